// Strong types for every quantity, their parsing from text, and the one formatting routine (H05).
#pragma once

#include <chrono>
#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/units/text.hpp"

namespace penstock {

/// Where a quotient that is not whole goes; halves go away from zero.
enum class Rounding : std::uint8_t { down, nearest, up };

/// n / by as a whole number. `by` above zero; |n| + by stays in 64 bits.
constexpr std::int64_t quotient(std::int64_t n, std::int64_t by, Rounding rounding) {
  switch (rounding) {
    case Rounding::down:
      return n >= 0 ? n / by : -((by - 1 - n) / by);
    case Rounding::nearest:
      return (n < 0 ? n - by / 2 : n + by / 2) / by;
    case Rounding::up:
      return n >= 0 ? (n + by - 1) / by : n / by;
  }
  promise_broken("a rounding that is none");
}

/// Insulin activity in hundredths of a unit: 1 unit is stored as 100. Never negative, never made
/// from a double. Range 0 to 10'000'000'000'000 units: no sum over one journal (at most 2^32 facts
/// of at most 1'500 units) can leave it, so adding is total; what one dose may be is the order's
/// and the pen's business.
class Units {
 public:
  static constexpr std::int64_t hundredths_max = 1'000'000'000'000'000;

  static constexpr std::optional<Units> from_hundredths(std::int64_t hundredths) {
    if (hundredths < 0 || hundredths > hundredths_max) return std::nullopt;
    return Units(hundredths);
  }
  static constexpr Units zero() { return Units(0); }
  constexpr std::int64_t hundredths() const { return hundredths_; }
  constexpr bool is_zero() const { return hundredths_ == 0; }

  friend constexpr auto operator<=>(Units, Units) = default;
  friend constexpr std::optional<Units> checked_add(Units a, Units b) {
    return from_hundredths(a.hundredths_ +
                           b.hundredths_);  // two values in range cannot overflow 64 bits
  }
  /// Nothing when b is more than a: an amount cannot be negative.
  friend constexpr std::optional<Units> checked_sub(Units a, Units b) {
    return from_hundredths(a.hundredths_ - b.hundredths_);
  }
  /// How many times `step` goes into this amount, and whether it goes in exactly. `step` above
  /// zero.
  friend constexpr std::int64_t whole_steps(Units amount, Units step) {
    return amount.hundredths_ / step.hundredths_;
  }
  friend constexpr bool is_multiple(Units amount, Units step) {
    return amount.hundredths_ % step.hundredths_ == 0;
  }

 private:
  explicit constexpr Units(std::int64_t hundredths) : hundredths_(hundredths) {}
  std::int64_t hundredths_;
};

/// Sum of amounts that are known to stay in range (see the range of Units).
constexpr Units sum(Units a, Units b) {
  const auto total = checked_add(a, b);
  INVARIANT(total.has_value());
  return *total;
}
/// a - b where the caller has checked that b is not more than a.
constexpr Units difference(Units a, Units b) {
  const auto rest = checked_sub(a, b);
  INVARIANT(rest.has_value());
  return *rest;
}
constexpr Units smaller(Units a, Units b) { return b < a ? b : a; }
constexpr Units larger(Units a, Units b) { return a < b ? b : a; }

namespace literals {
/// 4.5_units; 0.125_units does not compile: a promise broken during compilation is a compile error.
consteval Units operator""_units(const char* text) {
  std::int64_t value = 0;
  int decimals = -1;
  for (; *text != '\0'; ++text) {
    if (*text == '.') {
      if (decimals >= 0) promise_broken("two points");
      decimals = 0;
      continue;
    }
    if (*text == '\'') continue;
    if (*text < '0' || *text > '9') promise_broken("digits and one point only");
    if (decimals >= 2) promise_broken("at most two decimals");
    value = value * 10 + (*text - '0');
    if (decimals >= 0) ++decimals;
  }
  for (int i = decimals < 0 ? 0 : decimals; i < 2; ++i) value *= 10;
  return *Units::from_hundredths(value);
}
}  // namespace literals

/// Insulin units in one millilitre, as printed on the label: a label, never a factor in a dose
/// (H03).
struct Strength {
  std::int32_t units_per_ml = 0;
  friend constexpr auto operator<=>(Strength, Strength) = default;
};

/// Length in tenths of a millimetre.
struct TenthsMm {
  std::int32_t tenths = 0;
  friend constexpr auto operator<=>(TenthsMm, TenthsMm) = default;
};

/// Length of a body in tenths of a centimetre.
struct TenthsCm {
  std::int32_t tenths = 0;
  friend constexpr auto operator<=>(TenthsCm, TenthsCm) = default;
};

/// Temperature in tenths of a degree Celsius.
struct TenthsCelsius {
  std::int32_t tenths = 0;
  friend constexpr auto operator<=>(TenthsCelsius, TenthsCelsius) = default;
};

/// Body mass in tenths of a kilogram.
struct TenthsKg {
  std::int32_t tenths = 0;
  friend constexpr auto operator<=>(TenthsKg, TenthsKg) = default;
};

enum class GlucoseUnit : std::uint8_t { mmol_l, mg_dl };

/// A glucose value in the unit in which it came: tenths of mmol/L, or whole mg/dL. Never converted
/// to be compared (H06).
struct Glucose {
  GlucoseUnit unit = GlucoseUnit::mmol_l;
  std::int32_t value = 0;  ///< tenths of mmol/L, or mg/dL
  friend constexpr bool operator==(Glucose, Glucose) = default;
};

/// Which of two values in either unit is the lower; no value to show. In 1/100,000 of a mg/dL: 1
/// mmol/L is 18.0156 mg/dL, by the molar mass of C6H12O6, 180.156 g/mol (standard atomic weights,
/// from memory).
constexpr std::int64_t comparable(const Glucose& value) {
  return value.unit == GlucoseUnit::mmol_l ? std::int64_t{value.value} * 180'156
                                           : std::int64_t{value.value} * 100'000;
}

enum class Hba1cUnit : std::uint8_t { ngsp_percent, ifcc_mmol_mol };

/// HbA1c in the unit in which it came: tenths of a per cent (NGSP), or whole mmol/mol (IFCC).
struct Hba1c {
  Hba1cUnit unit = Hba1cUnit::ngsp_percent;
  std::int32_t value = 0;  ///< tenths of a per cent, or mmol/mol
  friend constexpr bool operator==(Hba1c, Hba1c) = default;
};

// The master equation, per cent = 0.09148 x (mmol/mol) + 2.152, in hundred-thousandths of a per
// cent. Source: NGSP, "IFCC Standardization of HbA1c", ngsp.org/ifcc.asp, looked up on 2026-11-30;
// the same in Weykamp C et al., Clin Chem 2008;54:240-248 (the paper from memory).
inline constexpr std::int64_t ngsp_slope = 9'148;
inline constexpr std::int64_t ngsp_intercept = 215'200;
inline constexpr std::int64_t ngsp_tenth = 10'000;  // a tenth of a per cent

/// The same value in the other unit, nearest; there and back it may differ by one mmol/mol.
constexpr Hba1c converted(Hba1c from) {
  if (from.unit == Hba1cUnit::ngsp_percent) {
    const auto mmol_mol =
        quotient(from.value * ngsp_tenth - ngsp_intercept, ngsp_slope, Rounding::nearest);
    return {Hba1cUnit::ifcc_mmol_mol, static_cast<std::int32_t>(mmol_mol)};
  }
  const auto tenths =
      quotient(from.value * ngsp_slope + ngsp_intercept, ngsp_tenth, Rounding::nearest);
  return {Hba1cUnit::ngsp_percent, static_cast<std::int32_t>(tenths)};
}

// ---- time

using Instant = std::chrono::sys_seconds;
/// A calendar day as the person lives it.
using LocalDay = std::chrono::local_days;
using LocalTime = std::chrono::local_seconds;
/// Minutes after local midnight, 0 to 1439.
struct MinuteOfDay {
  std::int16_t minutes = 0;
  friend constexpr auto operator<=>(MinuteOfDay, MinuteOfDay) = default;
};

/// When something happened: the instant, and the offset from UTC that the person's clock had. The
/// local date is the two together, for ever.
struct When {
  Instant at{};
  std::int16_t offset_minutes = 0;

  constexpr LocalTime local() const {
    return LocalTime{at.time_since_epoch() + std::chrono::minutes{offset_minutes}};
  }
  constexpr LocalDay day() const { return std::chrono::floor<std::chrono::days>(local()); }
  constexpr MinuteOfDay minute() const {
    return {static_cast<std::int16_t>(
        std::chrono::floor<std::chrono::minutes>(local() - LocalTime{day()}).count())};
  }
  friend constexpr bool operator==(const When&, const When&) = default;
};

/// Whether a name of the time-zone database stands for a place or a fixed offset, as far as its
/// name says: not for what the machine is set to (localtime, posixrules), no zone at all (Factory),
/// and no second set of the rules (posix/, right/ with leap seconds, SystemV/) (H18).
bool stands_for_a_place(std::string_view zone);

/// A zone's rules as a value; the time-zone database itself stays in the shell (H18).
/// `changes` ascend; each says from which instant on which offset holds. The first holds before it,
/// too.
struct ZoneRules {
  struct Change {
    Instant from{};
    std::int16_t offset_minutes = 0;
    friend bool operator==(const Change&, const Change&) = default;
  };
  std::string name;
  std::vector<Change> changes;

  /// The offset in force at an instant. No rules: UTC.
  std::int16_t offset_at(Instant at) const;
  When when(Instant at) const { return {at, offset_at(at)}; }

  enum class Pick : std::uint8_t { earlier, later };
  /// The instant at which local clocks show `local`. An ambiguous time is picked as asked; a time
  /// that does not exist (clocks go forward) is moved on by the gap, the way a person who gets up
  /// that morning lives it.
  When resolve(LocalTime local, Pick pick = Pick::earlier) const;
  enum class Fit : std::uint8_t { unique, ambiguous, missing };
  Fit fit(LocalTime local) const;
};

// ---- text to values

/// Codes that these functions return, in the order in which they are looked for.
namespace units_codes {
inline constexpr std::string_view number_form = "number.form";  // not digits with at most one point
inline constexpr std::string_view number_decimals =
    "number.decimals";  // more decimals than the field has
inline constexpr std::string_view number_range = "number.range";
inline constexpr std::string_view date_form = "date.form";
inline constexpr std::string_view minute_form = "time.minute_form";
inline constexpr std::string_view time_form = "time.form";
inline constexpr std::string_view time_offset =
    "time.offset";  // an ISO time without an offset where one is needed
}  // namespace units_codes

/// Decimal text to an integer of 10^-decimals. Digits, an optional point with digits on both sides,
/// an optional leading minus; no exponent, no plus, no spaces; ".5" is refused (H05). Trailing
/// zeros beyond `decimals` are refused, too: the text is what counts.
Result<std::int64_t> parse_fixed(std::string_view text, int decimals);
Result<Units> parse_units(std::string_view text);
/// YYYY-MM-DD, a day that exists, years 1850 to 2200.
Result<LocalDay> parse_day(std::string_view text);
/// HH:MM.
Result<MinuteOfDay> parse_minute(std::string_view text);
/// ISO 8601 date and time (seconds optional, fraction dropped), with an offset or `Z` if it has
/// one.
struct ParsedTime {
  LocalTime local{};
  std::optional<std::int16_t> offset_minutes;
};
Result<ParsedTime> parse_time(std::string_view text);
/// As parse_time, but the offset must be there.
Result<When> parse_when(std::string_view text);

// ---- values to text: the one formatting routine

/// value / 10^scale with at least `decimals_least` decimals and no more than are needed; leading
/// zero always, no trailing zeros beyond that. Everything that shows a number goes through here:
/// screen, paper, messages, JSON.
std::string format_fixed(std::int64_t value, int scale, int decimals_least = 0);
std::string format(Units amount);            ///< "18", "4.5", "0.5": never a trailing zero
std::string format(Glucose glucose);         ///< "3.0" mmol/L always with one decimal; mg/dL whole
std::string format(TenthsMm length);         ///< "4", "4.5"
std::string format(TenthsCm length);         ///< "168", "80.5"
std::string format(TenthsCelsius celsius);   ///< "30", "37.5"
std::string format(TenthsKg mass);           ///< "72.4"
std::string format_iso(LocalDay day);        ///< "2027-03-16"
std::string format_iso(MinuteOfDay minute);  ///< "18:30"
std::string format_iso(const When& when);    ///< "2027-03-16T18:30:00+01:00"

/// Error arguments from the types of this room.
Arg arg_units(std::string_view name, Units amount);
Arg arg_strength(std::string_view name, Strength strength);
Arg arg_date(std::string_view name, LocalDay day);
Arg arg_instant(std::string_view name, const When& when);
Arg arg_celsius(std::string_view name, TenthsCelsius celsius);
/// "7.0 % (53 mmol/mol)": as it came, then converted.
std::string format_both(Hba1c value);
Arg arg_glucose(std::string_view name, Glucose glucose);  ///< with its unit: "3.0 mmol/L"

}  // namespace penstock

// The zones of the body are made of these types, and belong to the same door.
#include "core/units/body.hpp"
