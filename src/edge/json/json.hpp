// Strict JSON. Numbers stay as their text, so an amount is read exactly or not at all; the same key
// twice, an unknown field, a byte order mark and anything after the end are refused, with the
// place.
#pragma once

#include <concepts>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/units/units.hpp"

namespace penstock::json {

enum class Type : std::uint8_t { null, boolean, number, string, array, object };

struct Member;

/// One JSON value. `text` is a string's text, or a number exactly as it was written. Members of an
/// object keep their order; items of an array have empty keys.
struct Value {
  Type type = Type::null;
  bool flag = false;
  std::string text;
  std::vector<Member> members;

  Value();
  Value(const Value& other);
  Value(Value&& other) noexcept;
  Value& operator=(const Value& other);
  Value& operator=(Value&& other) noexcept;
  ~Value();

  /// The member with this key; nullptr when it is missing, or when this is no object.
  const Value* find(std::string_view key) const;
  friend bool operator==(const Value& a, const Value& b);
};
struct Member {
  std::string key;
  Value value;

  Member(std::string_view its_key, Value its_value);
  Member(const Member& other);
  Member(Member&& other) noexcept;
  Member& operator=(const Member& other);
  Member& operator=(Member&& other) noexcept;
  ~Member();
  friend bool operator==(const Member& a, const Member& b);
};

// ---- making values: no double ever; amounts go through the one formatting routine

inline Value null() { return {}; }
Value boolean(bool flag);
Value string(std::string_view text);
Value count(std::int64_t number);
/// value / 10^scale, without needless zeros: fixed(1850, 2) is 18.5.
Value fixed(std::int64_t value, int scale);
Value number(Units amount);
Value number(TenthsMm length);
Value number(TenthsCm length);
Value number(TenthsCelsius celsius);
Value number(TenthsKg mass);
Value string(const Id& id);
Value string(LocalDay day);
Value string(MinuteOfDay minute);
Value string(const When& when);
/// An instant in UTC: "2027-03-16T17:30:00Z".
Value string(Instant instant);
/// Keeps a pointer to a text from turning into a boolean.
inline Value string(const char* text) { return string(std::string_view(text)); }
Value object(std::vector<Member> members = {});
Value array(std::vector<Value> items = {});
/// Adds a member at the end of an object, or an item at the end of an array.
void add(Value& object, std::string_view key, Value value);
void add(Value& array, Value item);

enum class Layout : std::uint8_t { compact, indented };
std::string to_text(const Value& value, Layout layout = Layout::compact);

// ---- reading

/// What a request may be. A file of a whole journal says otherwise.
struct Limits {
  std::size_t bytes_max = 1'048'576;  ///< a request is some kilobytes
  std::size_t values_max = 200'000;   ///< a value takes about a hundred bytes of memory
  int depth_max = 16;                 ///< the deepest document of ours has 8
};

/// Reads one JSON document. `at` of an error is a JSON pointer, or for a text that is no JSON the
/// number of the line.
Result<Value> parse(std::string_view bytes, const Limits& limits = {});

/// `at` + "/" + key, with ~ and / escaped as RFC 6901 says.
std::string pointer(std::string_view at, std::string_view key);
std::string pointer(std::string_view at, std::size_t index);

/// Codes of this part; arguments behind them.
namespace codes {
inline constexpr std::string_view too_large = "json.too_large";  // most (bytes)
inline constexpr std::string_view too_many = "json.too_many";    // most (values)
inline constexpr std::string_view byte_order_mark = "json.byte_order_mark";
inline constexpr std::string_view encoding = "json.encoding";       // byte, line, column
inline constexpr std::string_view syntax = "json.syntax";           // byte, line, column
inline constexpr std::string_view trailing = "json.trailing";       // byte, line, column
inline constexpr std::string_view deep = "json.deep";               // most
inline constexpr std::string_view duplicate = "json.duplicate";     // field
inline constexpr std::string_view field_unknown = "field.unknown";  // field, allowed
inline constexpr std::string_view field_missing = "field.missing";  // field
inline constexpr std::string_view field_type = "field.type";        // field, expected (code)
inline constexpr std::string_view field_choice = "field.choice";    // field, text, allowed
inline constexpr std::string_view field_range = "field.range";      // field, least, most
inline constexpr std::string_view field_id = "field.id";            // field, text
}  // namespace codes

// ---- values out of values. `at` is the pointer of the value itself, for the error.

Result<std::string> text_of(const Value& value, std::string_view at);
Result<bool> bool_of(const Value& value, std::string_view at);
Result<std::int64_t> count_of(const Value& value, std::int64_t least, std::int64_t most,
                              std::string_view at);
/// A number with at most `decimals` decimals, as an integer of 10^-decimals.
Result<std::int64_t> fixed_of(const Value& value, int decimals, std::string_view at);
Result<Units> units_of(const Value& value, std::string_view at);
Result<Id> id_of(const Value& value, std::string_view at);
Result<LocalDay> day_of(const Value& value, std::string_view at);
Result<MinuteOfDay> minute_of(const Value& value, std::string_view at);
/// ISO 8601 with its offset.
Result<When> when_of(const Value& value, std::string_view at);
/// Its place in `names`.
Result<std::size_t> choice_of(const Value& value, std::span<const std::string_view> names,
                              std::string_view at);

template <class E>
concept Named = std::is_enum_v<E> && requires(E e) {
  { names_of(e) } -> std::convertible_to<std::span<const std::string_view>>;
};
template <Named E>
Result<E> enum_of(const Value& value, std::string_view at) {
  const auto place = choice_of(value, names_of(E{}), at);
  if (!place) return place.error();
  return static_cast<E>(*place);
}

// The same under one name, by the type that is wanted; Reader and the facts use it.
Result<void> get(const Value& value, std::string_view at, std::string& into);
Result<void> get(const Value& value, std::string_view at, bool& into);
Result<void> get(const Value& value, std::string_view at, std::int32_t& into);
Result<void> get(const Value& value, std::string_view at, std::int64_t& into);
Result<void> get(const Value& value, std::string_view at, std::uint32_t& into);
Result<void> get(const Value& value, std::string_view at, Units& into);
Result<void> get(const Value& value, std::string_view at, Strength& into);
Result<void> get(const Value& value, std::string_view at, TenthsMm& into);
Result<void> get(const Value& value, std::string_view at, TenthsCm& into);
Result<void> get(const Value& value, std::string_view at, TenthsCelsius& into);
Result<void> get(const Value& value, std::string_view at, TenthsKg& into);
/// {"value": 3.9, "unit": "mmol/L"}: without its unit a glucose value is refused (H06).
Result<void> get(const Value& value, std::string_view at, Glucose& into);
Result<void> get(const Value& value, std::string_view at, Hba1c& into);
Result<void> get(const Value& value, std::string_view at, Id& into);
Result<void> get(const Value& value, std::string_view at, LocalDay& into);
Result<void> get(const Value& value, std::string_view at, MinuteOfDay& into);
Result<void> get(const Value& value, std::string_view at, When& into);
Result<void> get(const Value& value, std::string_view at, Instant& into);
template <Named E>
Result<void> get(const Value& value, std::string_view at, E& into) {
  const auto read = enum_of<E>(value, at);
  if (!read) return read.error();
  into = *read;
  return {};
}
template <class T>
Result<void> get(const Value& value, std::string_view at, std::optional<T>& into);

/// Takes an object's fields by name. The first thing wrong is kept and later calls do nothing more
/// than note their names; `done` returns it, or the field that nobody asked for, which goes first:
/// a misspelt name is a better answer than "missing".
///
///   Reader read(value, "/pen");
///   read.need("step_units", step);            // must be there
///   read.may("most_units", most);             // left as it is when missing
///   if (auto done = read.done(); !done) return done.error();
class Reader {
 public:
  explicit Reader(const Value& value, std::string_view at = "");

  template <class T>
  void need(std::string_view key, T& into) {
    take(key, into, Presence::needed);
  }
  template <class T>
  void may(std::string_view key, T& into) {
    take(key, into, Presence::optional);
  }
  /// The raw member, for what has a shape of its own; nullptr when missing (and an error kept, with
  /// `need_raw`) or when something was wrong before.
  const Value* need_raw(std::string_view key);
  const Value* may_raw(std::string_view key);
  /// For arrays: calls each(item, its pointer) -> Result<void> until one fails.
  template <class Each>
  void each(std::string_view key, const Value& array, Each&& each_item);

  std::string at(std::string_view key) const { return pointer(at_, key); }
  bool failed() const { return error_.has_value(); }
  void fail(Error error);
  void keep(const Result<void>& result) {
    if (!result) fail(result.error());
  }
  Result<void> done();
  /// As `done`, but leaves alone what nobody asked for.
  Result<void> done_so_far() const;

 private:
  enum class Presence : std::uint8_t { needed, optional };
  const Value* look(std::string_view key, Presence presence);
  template <class T>
  void take(std::string_view key, T& into, Presence presence) {
    if (const auto* member = look(key, presence)) keep(get(*member, pointer(at_, key), into));
  }

  const Value& value_;
  std::string at_;
  std::vector<std::string> asked_;
  std::optional<Error> error_;
};

// ---- templates

template <class T>
Result<void> get(const Value& value, std::string_view at, std::optional<T>& into) {
  if (value.type == Type::null) {
    into.reset();
    return {};
  }
  T inner = [] {
    if constexpr (std::same_as<T, Units>) {
      return Units::zero();
    } else {
      return T{};
    }
  }();
  const auto read = get(value, at, inner);
  if (read) into = std::move(inner);
  return read;
}

Error type_error(std::string_view at, std::string_view expected);

template <class Each>
void Reader::each(std::string_view key, const Value& array, Each&& each_item) {
  if (failed()) return;
  if (array.type != Type::array) return fail(type_error(at(key), "array"));
  for (std::size_t i = 0; i < array.members.size() && !failed(); ++i) {
    keep(each_item(array.members[i].value, pointer(at(key), i)));
  }
}

}  // namespace penstock::json
