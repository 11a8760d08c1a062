// One list of fields a struct: a small constant table that says what each field is called, of what
// type it is, where it lies, what it may be and how it is read. Packed bytes, JSON, schema, limits,
// examples and the front end's forms are engines that walk these tables; none of them is a template
// and none keeps a list of its own.
//
// A struct declares `static const fields::Group list;` in its header, and its list stands in a .cpp
// file, so that whoever includes the struct pays for the struct alone:
//
//   constexpr Field slot_part[] = {FIELD(SlotPart, slot, "slot"), FIELD(SlotPart, part, "part")};
//   constexpr Group SlotPart::list = group<SlotPart>(slot_part);
//
// A wrong list does not compile, and the compiler names its line: a member left out, a count
// without limits, limits the wrong way round, a name twice, a later field that may not be left out.
#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include "base/base.hpp"
#include "core/units/units.hpp"

namespace penstock::fields {

enum class Type : std::uint8_t {
  flag,
  count,     ///< std::int32_t
  sequence,  ///< std::uint32_t
  units,
  strength,
  mm,
  cm,
  celsius,
  kg,
  day,
  minute,
  choice,  ///< an enum of one byte with names_of
  text,
  id,
  glucose,
  hba1c,
  when,
  instant,
  group,  ///< a struct with a list of its own
  fact,   ///< what a correction puts in a fact's place
  own,    ///< what no type here can say: its format reads and describes it in a way of its own
};

template <class T>
inline constexpr Type type_of = std::is_enum_v<T> ? Type::choice : Type::group;
template <>
inline constexpr Type type_of<bool> = Type::flag;
template <>
inline constexpr Type type_of<std::int32_t> = Type::count;
template <>
inline constexpr Type type_of<std::uint32_t> = Type::sequence;
template <>
inline constexpr Type type_of<Units> = Type::units;
template <>
inline constexpr Type type_of<Strength> = Type::strength;
template <>
inline constexpr Type type_of<TenthsMm> = Type::mm;
template <>
inline constexpr Type type_of<TenthsCm> = Type::cm;
template <>
inline constexpr Type type_of<TenthsCelsius> = Type::celsius;
template <>
inline constexpr Type type_of<TenthsKg> = Type::kg;
template <>
inline constexpr Type type_of<LocalDay> = Type::day;
template <>
inline constexpr Type type_of<MinuteOfDay> = Type::minute;
template <>
inline constexpr Type type_of<std::string> = Type::text;
template <>
inline constexpr Type type_of<Id> = Type::id;
template <>
inline constexpr Type type_of<Glucose> = Type::glucose;
template <>
inline constexpr Type type_of<Hba1c> = Type::hba1c;
template <>
inline constexpr Type type_of<When> = Type::when;
template <>
inline constexpr Type type_of<Instant> = Type::instant;

/// An empty one, to be filled: Units has no default constructor on purpose.
template <class T>
constexpr T blank() {
  return T{};
}
template <>
constexpr Units blank<Units>() {
  return Units::zero();
}

/// Holds none, one or many (optional, vector), asked without knowing of what. One for each type,
/// not for each field.
struct Holder {
  bool many;
  std::size_t (*size)(const void* held);
  const void* (*at)(const void* held, std::size_t n);
  void* (*grow)(void* held);  ///< adds a blank one
};
template <class T>
struct Held {
  using Item = T;
  static constexpr const Holder* holder = nullptr;
};
template <class T>
struct Held<std::optional<T>> {
  using Item = T;
  using Held_ = std::optional<T>;
  static constexpr Holder how{
      false,
      [](const void* held) -> std::size_t { return static_cast<const Held_*>(held)->has_value(); },
      [](const void* held, std::size_t) -> const void* {
        return &**static_cast<const Held_*>(held);
      },
      [](void* held) -> void* { return &static_cast<Held_*>(held)->emplace(blank<T>()); }};
  static constexpr const Holder* holder = &how;
};
template <class T>
struct Held<std::vector<T>> {
  using Item = T;
  using Held_ = std::vector<T>;
  static constexpr Holder how{
      true, [](const void* held) { return static_cast<const Held_*>(held)->size(); },
      [](const void* held, std::size_t n) -> const void* {
        return &(*static_cast<const Held_*>(held))[n];
      },
      [](void* held) -> void* { return &static_cast<Held_*>(held)->emplace_back(blank<T>()); }};
  static constexpr const Holder* holder = &how;
};

/// Both ends included, in the field's own smallest unit: hundredths of a unit, tenths of a
/// millimetre. `why` is a code whose name in the catalogue is the reason; without it nothing was
/// said.
struct Range {
  std::int64_t least = 0;
  std::int64_t most = -1;
  std::string_view why;
};

inline constexpr std::int64_t no_most = std::numeric_limits<std::int64_t>::max();
/// What a limit or a default counts: a value in its type's smallest unit.
template <class T>
constexpr std::int64_t smallest(const T& value) {
  if constexpr (requires { value.hundredths(); }) {
    return value.hundredths();
  } else if constexpr (requires { value.tenths; }) {
    return value.tenths;
  } else {
    return static_cast<std::int64_t>(value);
  }
}

struct Group;
/// How a format reads and describes `Type::own`; the format says what is in it.
struct Own;

/// What of a person's own a field names by its identity or its code: a form offers those, and a
/// sentence says their names.
enum class Names : std::uint8_t { nothing, cartridge, pen, line, needle };

/// One field. What is not said about it here is as its type has it: `core/facts` knows the types'
/// own limits.
struct Field {
  std::string_view name;
  Type type = Type::flag;
  std::size_t offset = 0;          ///< in its struct
  const Holder* holder = nullptr;  ///< nullptr: always one
  const Group* group = nullptr;
  std::span<const std::string_view> words{};  ///< of a choice
  Range hard{}, soft{};
  bool is_needed = false;    ///< a text without which a fact says nothing
  bool is_optional = false;  ///< may be left out of a request
  bool is_past = false;      ///< lies behind whoever records it
  bool is_long = false;  ///< what people write in sentences; every other text is one line of a form
  bool is_digest = false;
  bool is_another = false;   ///< the identity of another fact, never of the same one
  bool is_distinct = false;  ///< of a list: no two alike
  bool is_kept = false;      ///< on no form: a correction carries it through as it was
  bool is_wanted = false;    ///< a form asks for it, although a record may leave it out
  std::string_view key{};    ///< the items' field in which they differ; empty: the items themselves
  int version = 1;
  Names names = Names::nothing;
  std::string_view said_as{};  ///< of a choice: what its words' names in the catalogue begin with
  std::span<const std::string_view> offered{};  ///< of a choice: its words in a form's order
  std::string_view behind{};   ///< on a form it stands behind that field; else in the list's order
  std::string_view start{};    ///< what a form holds at first, where that is not the blank's
  std::string_view example{};  ///< as JSON

  // Of a request: its calculation refuses in words of its own what lies beyond the limits, so these
  // have no reason here; they are what its schema says.
  const Own* own = nullptr;
  Range item{};                           ///< of a list: what each item may be
  std::int64_t step = 1;                  ///< whole numbers come in steps of so many
  bool is_never_null = false;             ///< of an optional: left out or a value
  bool is_above = false;                  ///< above the least, not at it
  bool is_spread = false;                 ///< a group whose fields stand among its owner's own
  std::optional<std::int64_t> assumed{};  ///< where it is left out
  std::string_view description{};

  /// Some least values hang on a neighbour.
  std::int64_t (*least)(const void* owner, std::int64_t value) = nullptr;
  /// Where it is not asked whether the value is usual.
  bool (*unasked)(const void* owner) = nullptr;
  /// Says what is wrong in its own words; the error's `at` is empty or a field of the value.
  std::optional<Error> (*judge)(const void* value) = nullptr;

  /// Beyond it cannot be: refused, with the reason's name. Of a list: how many.
  consteval Field within(std::int64_t from, std::int64_t to, std::string_view why) const {
    if (from > to || !why.starts_with("limit."))
      promise_broken("within: least, most, \"limit.reason\"");
    auto made = *this;
    made.hard = {from, to, why};
    return made;
  }
  /// Outside it somebody is asked, once. Of a day: its age in years when the fact happened.
  consteval Field usual(std::int64_t from, std::int64_t to, std::string_view why) const {
    if (from > to || !why.starts_with("usual."))
      promise_broken("usual: least, most, \"usual.reason\"");
    if (!hard.why.empty() && (from < hard.least || to > hard.most))
      promise_broken("usual lies within the limits");
    auto made = *this;
    made.soft = {from, to, why};
    return made;
  }
  consteval Field unless(bool (*ask)(const void* owner)) const {
    if (soft.why.empty()) promise_broken("unless: after usual()");
    auto made = *this;
    made.unasked = ask;
    return made;
  }
  consteval Field least_by(std::int64_t (*how)(const void* owner, std::int64_t value)) const {
    auto made = *this;
    made.least = how;
    return made;
  }
  consteval Field judged(std::optional<Error> (*how)(const void* value)) const {
    auto made = *this;
    made.judge = how;
    return made;
  }
  consteval Field needed() const {
    if (type != Type::text && type != Type::choice)
      promise_broken("needed: a text or a choice; else it is needed unless optional()");
    auto made = *this;
    made.is_needed = true;
    return made;
  }
  /// Left out it is as the struct has it. Texts, flags, lists, optionals and choices with "unknown"
  /// may be left out in any case; amounts, identities, days and times are never assumed unless
  /// their list says so.
  consteval Field optional() const {
    auto made = *this;
    made.is_optional = true;
    return made;
  }
  consteval Field past() const {
    if (type != Type::day && type != Type::when) promise_broken("past: a day or a moment");
    auto made = *this;
    made.is_past = true;
    return made;
  }
  consteval Field long_text() const {
    if (type != Type::text) promise_broken("long_text: a text");
    auto made = *this;
    made.is_long = true;
    return made;
  }
  consteval Field digest() const {
    if (type != Type::text) promise_broken("digest: a text");
    auto made = *this;
    made.is_digest = true;
    return made;
  }
  consteval Field another() const {
    if (type != Type::id) promise_broken("another: an identity");
    auto made = *this;
    made.is_another = true;
    return made;
  }
  consteval Field no_two_alike(std::string_view in = "") const {
    if (holder == nullptr || !holder->many) promise_broken("no_two_alike: a list");
    auto made = *this;
    made.is_distinct = true;
    made.key = in;
    return made;
  }
  /// Added in a later version of its struct. Facts that do not use it are written as before.
  consteval Field since(int number) const {
    auto made = *this;
    made.version = number;
    return made;
  }
  consteval Field naming(Names what) const {
    if (type != Type::id && type != Type::text) promise_broken("naming: an identity or a code");
    auto made = *this;
    made.names = what;
    return made;
  }
  consteval Field kept() const {
    auto made = *this;
    made.is_kept = true;
    return made;
  }
  consteval Field wanted() const {
    auto made = *this;
    made.is_wanted = true;
    return made;
  }
  consteval Field offering(std::span<const std::string_view> in_order) const {
    if (type != Type::choice || in_order.size() != words.size())
      promise_broken("offering: every word of a choice, in another order");
    auto made = *this;
    made.offered = in_order;
    return made;
  }
  consteval Field stands_behind(std::string_view other) const {
    auto made = *this;
    made.behind = other;
    return made;
  }
  consteval Field starts(std::string_view text) const {
    auto made = *this;
    made.start = text;
    return made;
  }
  consteval Field like(std::string_view json) const {
    auto made = *this;
    made.example = json;
    return made;
  }

  /// As `within` and `usual`, of a request.
  template <class Least, class Most>
  consteval Field bound(Least from, Most to) const {
    auto made = *this;
    made.hard = {smallest(from), smallest(to), {}};
    if (made.hard.least > made.hard.most) promise_broken("bound: least, most");
    return made;
  }
  template <class Limit>
  consteval Field bound(Limit limit) const {
    return bound(limit.least, limit.most);
  }
  template <class Least, class Most>
  consteval Field above(Least from, Most to) const {
    auto made = bound(from, to);
    made.is_above = true;
    return made;
  }
  template <class Least, class Most>
  consteval Field items_bound(Least from, Most to) const {
    if (holder == nullptr || !holder->many) promise_broken("items_bound: a list");
    auto made = *this;
    made.item = bound(from, to).hard;
    return made;
  }
  consteval Field in_steps_of(std::int64_t size) const {
    auto made = *this;
    made.step = size;
    return made;
  }
  /// Must be in the request, whatever its type.
  consteval Field stated() const {
    auto made = *this;
    made.is_optional = false;
    return made;
  }
  consteval Field never_null() const {
    if (holder == nullptr || holder->many) promise_broken("never_null: an optional");
    auto made = *this;
    made.is_never_null = true;
    return made;
  }
  template <class T>
  consteval Field unless_said(T value) const {
    auto made = *this;
    made.is_optional = true;
    made.assumed = smallest(value);
    return made;
  }
  /// Its name is never read. Of an optional group: all of its fields, or none.
  consteval Field spread() const {
    if (type != Type::group || (holder != nullptr && holder->many))
      promise_broken("spread: a group");
    auto made = *this;
    made.is_spread = true;
    return made;
  }
  consteval Field about(std::string_view text) const {
    auto made = *this;
    made.description = text;
    return made;
  }

  const void* in(const void* owner) const { return static_cast<const std::byte*>(owner) + offset; }
  void* in(void* owner) const { return static_cast<std::byte*>(owner) + offset; }
};

struct Group {
  std::span<const Field> fields;
  /// What knows better than this list whether a value can be; the error's `at` is a field.
  std::optional<Error> (*judge)(const void* value) = nullptr;

  const Field* find(std::string_view name) const {
    for (const auto& field : fields) {
      if (field.name == name) return &field;
    }
    return nullptr;
  }
};

template <class T>
const T& as(const void* value) {
  return *static_cast<const T*>(value);
}
template <class T>
T& as(void* value) {
  return *static_cast<T*>(value);
}

/// A struct's own list; specialised for the structs of rooms below this one.
template <class T>
inline constexpr const Group* group_of = nullptr;
template <class T>
  requires requires { T::list; }
inline constexpr const Group* group_of<T> = &T::list;

/// Of a group whose struct knows no list, with the list behind the name.
#define FIELD(Owner, member, name, ...)               \
  ::penstock::fields::field<decltype(Owner::member)>( \
      name, offsetof(Owner, member) __VA_OPT__(, ) __VA_ARGS__)
/// The whole member is its format's own: an optional or a list is not taken apart.
#define OWN_FIELD(Owner, member, name, own) \
  ::penstock::fields::own_field(name, offsetof(Owner, member), own)

consteval Field own_field(std::string_view name, std::size_t offset, const Own& own) {
  Field made;
  made.name = name;
  made.type = Type::own;
  made.offset = offset;
  made.own = &own;
  return made;
}
template <class Member>
consteval Field field(std::string_view name, std::size_t offset, const Group* list = nullptr) {
  using Hold = Held<Member>;
  using T = typename Hold::Item;
  Field made;
  made.name = name;
  made.type = type_of<T>;
  made.offset = offset;
  made.holder = Hold::holder;
  made.is_optional = Hold::holder != nullptr || made.type == Type::text ||
                     made.type == Type::flag || made.type == Type::fact;
  if constexpr (type_of<T> == Type::choice) {
    static_assert(sizeof(T) == 1, "a choice is read and written as one byte");
    made.words = names_of(T{});
    for (const auto word : made.words) made.is_optional |= word == "unknown";
    if constexpr (requires { said_as(T{}); }) made.said_as = said_as(T{});
  } else if constexpr (type_of<T> == Type::group) {
    made.group = list != nullptr ? list : group_of<T>;
    if (made.group == nullptr) promise_broken("a group without its list");
  }
  return made;
}

struct Anything {
  template <class T>
  operator T() const;
};
template <class T, std::size_t... I>
constexpr bool takes(std::index_sequence<I...> /*members*/) {
  return requires { T{((void)I, Anything{})...}; };
}

/// Every member once, of a struct that offsetof may be asked about; `More` rows say one again.
template <class T, std::size_t More = 0, std::size_t N>
consteval void check_members(const Field (&fields)[N]) {
  static_assert(std::is_standard_layout_v<T>,
                "offsetof wants plain members, all public, no base with members");
  static_assert(takes<T>(std::make_index_sequence<N - More>{}),
                "the list has more fields than the struct");
  static_assert(!takes<T>(std::make_index_sequence<N - More + 1>{}),
                "the list leaves out a member of the struct");
  for (std::size_t n = 0; n < N; ++n) {
    for (std::size_t m = 0; m < n; ++m) {
      if (fields[m].name == fields[n].name || (More == 0 && fields[m].offset == fields[n].offset))
        promise_broken("one field twice");
    }
  }
}

template <class T, std::size_t N>
consteval Group group(const Field (&fields)[N]) {
  check_members<T>(fields);
  for (const auto& one : fields) {
    const bool number = one.type == Type::count || one.type == Type::mm || one.type == Type::cm ||
                        one.type == Type::celsius || one.type == Type::kg;
    const bool many = one.holder != nullptr && one.holder->many;
    if ((number || many) && one.hard.why.empty())
      promise_broken("a number or a list needs within()");
    if (one.version > 1 && !one.is_optional)
      promise_broken("older facts lack what came later: optional()");
  }
  return {fields, nullptr};
}
/// Of what is asked of a calculation. `More` names are other ways to say what a row says already.
template <class T, std::size_t More = 0, std::size_t N>
consteval Group request(const Field (&fields)[N],
                        std::optional<Error> (*judge)(const void*) = nullptr) {
  check_members<T, More>(fields);
  return {fields, judge};
}
template <class T, std::size_t N>
consteval Group group(const Field (&fields)[N], std::optional<Error> (*judge)(const void*)) {
  auto made = group<T>(fields);
  made.judge = judge;
  return made;
}

}  // namespace penstock::fields
