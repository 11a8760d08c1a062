// What a kind of fact is, besides its struct: number, name and list of fields. Part of the room's
// door; included by facts.hpp.
#pragma once

#include <concepts>
#include <cstdint>
#include <optional>
#include <string_view>

#include "base/base.hpp"
#include "core/fields/fields.hpp"
#include "core/units/units.hpp"

namespace penstock::facts {

class Whole;

/// A value that is well formed and odd.
struct Asked {
  std::string_view field;
  std::int64_t value = 0;
  ArgType type = ArgType::count;
  fields::Range usual;
};

/// How people come to write one by hand. No address: nobody types it, and it is voided, never
/// replaced.
struct ByHand {
  std::string_view address{};  ///< the word in the address of its form
  int place = 0;               ///< among what can be recorded, from 1; 0: its form only corrects
  /// Below a person's address, where it is recorded on a page of its own: "skin/examine".
  std::string_view page{};
};

/// One kind of fact: what bytes, JSON, command line and docs look up. `type` and `name` are for
/// ever. The list of its fields grows by `since(version)`; nothing in it is removed or given
/// another type.
struct KindInfo : fields::Group {
  std::uint16_t type = 0;
  std::uint16_t version = 1;  ///< the newest that its list knows
  std::string_view name;
  const void* (*blank)() = nullptr;
  /// What only the whole fact shows: least above most, an end before its beginning.
  void (*sound)(const void* fact, Whole& whole) = nullptr;
  /// What is odd about the whole fact, and not about one field.
  std::optional<Asked> (*odd)(const void* fact, LocalDay on) = nullptr;
  bool is_of_clinic = false;  ///< stands in the clinic's journal
  ByHand form;
};

bool same(const fields::Group& list, const void* a, const void* b);

template <class T>
concept HasKind = requires {
  { T::kind } -> std::convertible_to<const KindInfo&>;
};
template <class T>
concept Listed = HasKind<T> || requires {
  { T::list } -> std::convertible_to<const fields::Group&>;
};
template <Listed T>
const fields::Group& list_of() {
  if constexpr (HasKind<T>) {
    return T::kind;
  } else {
    return T::list;
  }
}
template <Listed T>
bool operator==(const T& a, const T& b) {
  return same(list_of<T>(), &a, &b);
}

}  // namespace penstock::facts
