// What the visitors over the facts' field lists share.
#pragma once

#include <concepts>
#include <memory>
#include <optional>
#include <string_view>
#include <type_traits>
#include <vector>

#include "core/journal/journal.hpp"

namespace penstock::wire {

struct AnyVisitor {
  template <class T>
  constexpr void operator()(std::string_view /*name*/, T& /*field*/) {}
};

/// Has a list of fields of its own, visited in turn.
template <class T>
concept Listed =
    std::is_class_v<T> && requires(AnyVisitor& visit, T& value) { fields(visit, value); };

template <class T>
inline constexpr bool is_optional = false;
template <class T>
inline constexpr bool is_optional<std::optional<T>> = true;
template <class T>
inline constexpr bool is_vector = false;
template <class T>
inline constexpr bool is_vector<std::vector<T>> = true;

using ReplacementPointer = std::shared_ptr<const journal::Replacement>;

/// An empty one, to be filled: Units has no default constructor on purpose.
template <class T>
constexpr T blank() {
  if constexpr (std::same_as<T, Units>) {
    return Units::zero();
  } else {
    return T{};
  }
}

}  // namespace penstock::wire
