// Changes an input into another one: by bytes, or so that it stays JSON, or stays a script.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "fuzz/targets.hpp"

namespace penstock::fuzz {

/// `other` lends pieces. The same arguments give the same text on every machine; at most
/// `bytes_most` of it.
std::string mutated(Shape shape, std::string_view input, std::string_view other, std::uint64_t seed,
                    std::size_t bytes_most);

}  // namespace penstock::fuzz
