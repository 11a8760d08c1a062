// What is wrong with a request, in the order in which the door declares it.
#pragma once

#include <optional>

#include "core/places/places.hpp"

namespace penstock::places::internal {

/// The first thing that is wrong; nothing when the request can be planned or refused on its merits.
std::optional<Error> wrong(const PlaceRequest& request);

inline Arg arg_size(std::string_view name, std::size_t size) {
  return arg_count(name, static_cast<std::int64_t>(size));
}
/// A length as the contract writes it, in centimetres.
Arg arg_cm(std::string_view name, TenthsMm length);

}  // namespace penstock::places::internal
