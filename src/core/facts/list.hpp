// What the lists of facts are written with; included by the .cpp files that hold them and by the
// engines.
#pragma once

#include <cstddef>
#include <string>

#include "core/facts/kind.hpp"
#include "core/facts/limits.hpp"
#include "core/fields/fields.hpp"

namespace penstock::facts {

using fields::Field;
using fields::Group;
using fields::Names;

/// What `sound` looks at a whole fact with. The first thing wrong is kept; `field` is a path inside
/// the fact.
class Whole {
 public:
  virtual void range(std::string_view field, std::int64_t value, std::int64_t least,
                     std::int64_t most, ArgType type, std::string_view why) = 0;
  virtual void refuse(std::string_view field, std::string_view code) = 0;
  /// The day on which it happened.
  virtual LocalDay on() const = 0;
  /// The last day that a date in it can name.
  virtual LocalDay last_day() const = 0;
  /// The identity of the fact under which it is recorded.
  virtual const Id& id() const = 0;

  void day(std::string_view field, LocalDay value, LocalDay least, LocalDay most,
           std::string_view why) {
    const auto count = [](LocalDay date) { return date.time_since_epoch().count(); };
    range(field, count(value), count(least), count(most), ArgType::date, why);
  }
  void units(std::string_view field, Units value, std::int64_t least, std::int64_t most,
             std::string_view why) {
    range(field, value.hundredths(), least, most, ArgType::units, why);
  }
  /// At least one, or the fact says nothing.
  void some(std::string_view field, std::int64_t count, std::int64_t most, std::string_view why) {
    range(field, count, 1, most, ArgType::count, why);
  }
  void needs(std::string_view field, const std::string& text, std::string_view code) {
    if (is_blank(text)) refuse(field, code);
  }

 protected:
  ~Whole() = default;
};

template <auto Function>
struct Erased;
template <class T, void (*Function)(const T&, Whole&)>
struct Erased<Function> {
  static void call(const void* fact, Whole& whole) { Function(fields::as<T>(fact), whole); }
};
template <class T, std::optional<Asked> (*Function)(const T&, LocalDay)>
struct Erased<Function> {
  static std::optional<Asked> call(const void* fact, LocalDay on) {
    return Function(fields::as<T>(fact), on);
  }
};
template <class T, bool (*Function)(const T&)>
struct Erased<Function> {
  static bool call(const void* owner) { return Function(fields::as<T>(owner)); }
};
template <class T, std::int64_t (*Function)(const T&, std::int64_t)>
struct Erased<Function> {
  static std::int64_t call(const void* owner, std::int64_t value) {
    return Function(fields::as<T>(owner), value);
  }
};
/// A function of one kind, asked without knowing of which.
template <auto Function>
inline constexpr auto erased = &Erased<Function>::call;

/// A kind and what is said about it besides its fields.
struct Also {
  void (*sound)(const void* fact, Whole& whole) = nullptr;
  std::optional<Asked> (*odd)(const void* fact, LocalDay on) = nullptr;
  bool is_of_clinic = false;
  ByHand form{};
};
template <class T, std::size_t N>
consteval KindInfo listed(const Field (&fields)[N], const Also& also = {}) {
  KindInfo made;
  static_cast<Group&>(made) = fields::group<T>(fields);
  made.type = T::type;
  made.name = T::name;
  made.blank = []() -> const void* {
    static const T blank{};
    return &blank;
  };
  made.sound = also.sound;
  made.odd = also.odd;
  made.is_of_clinic = also.is_of_clinic;
  made.form = also.form;
  for (const auto& field : fields) {
    if (field.version > made.version) made.version = static_cast<std::uint16_t>(field.version);
  }
  return made;
}

/// What a value of this field may be: what its list says, else what its type allows. `why` is empty
/// where anything goes. Days and moments hang on the day of recording and are not among these.
fields::Range limits_of(const Field& field);
/// The same for one item of a list, about which the list says nothing.
fields::Range limits_of_item(const Field& field);
/// The number behind a value, in its smallest unit; the types that `limits_of` knows, and days.
std::int64_t number_in(fields::Type type, const void* value);
ArgType arg_type_of(fields::Type type);

// ---- examples, as JSON

inline constexpr std::string_view a_pen = R"("9a4f0c1d2e3b4a5968778695a4b3c2d1")";
inline constexpr std::string_view a_cartridge = R"("1f2e3d4c5b6a79880a1b2c3d4e5f6071")";
inline constexpr std::string_view a_line = R"("c0ffee0012345678c0ffee0012345678")";
inline constexpr std::string_view an_area = R"("7c9e6679f3a44d0b8a1c5e2b90d4f163")";
inline constexpr std::string_view a_fact = R"("5d41402abc4b2a76b9719d911017c592")";
inline constexpr std::string_view a_digest =
    R"("9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08")";
inline constexpr std::string_view a_pens_values =
    R"({"name": "reusable pen, 1-unit steps", "step_units": 1, "most_units": 60,)"
    R"( "window": "returns to zero", "takes": "cartridge", "prime_units": 2,)"
    R"( "new_cartridge_prime_units": 4, "hold_seconds": 10, "turns_back": true,)"
    R"( "when_short": "stops dialling", "fits": "A", "needle_fits": "screw"})";
inline constexpr std::string_view an_insulins_values =
    R"({"name": "insulin glargine", "strength_units_per_ml": 100, "action": "long acting",)"
    R"( "suspension": false, "in_use_days": 28, "counts_from_fridge": true,)"
    R"( "in_use_most_celsius": 30, "store_least_celsius": 2, "store_most_celsius": 8})";

}  // namespace penstock::facts

namespace penstock::fields {
inline constexpr Field spot_fields[] = {
    FIELD(Spot, x, "x_mm")
        .within(-facts::spot_tenths_mm_max, facts::spot_tenths_mm_max, "limit.spot"),
    FIELD(Spot, y, "y_mm")
        .within(-facts::spot_tenths_mm_max, facts::spot_tenths_mm_max, "limit.spot")};
inline constexpr Group spot_list = group<Spot>(spot_fields);
template <>
inline constexpr const Group* group_of<Spot> = &spot_list;
}  // namespace penstock::fields
