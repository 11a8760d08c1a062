// The word of a closed list's value, as facts and the catalogue write it.
#pragma once

#include <cstddef>
#include <string_view>

namespace penstock::order::internal {

template <class Enum>
std::string_view word(Enum value) {
  return names_of(value)[static_cast<std::size_t>(value)];
}

}  // namespace penstock::order::internal
