// What exists: insulins by generic name and strength, cartridges and prefilled pens, pens, pen
// needles, and what fits what. Every figure has its source. The clinic's own entries are facts of
// the clinic's journal and are laid over these.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/units/units.hpp"

namespace penstock::fields {
struct Group;
}

namespace penstock::shelf {

// Every enum that people or files see has its words beside it; the order is the order of the
// enumerators.

/// How an insulin acts: chooses the shape mark (H04) and the wording, never a dose.
enum class Action : std::uint8_t { rapid, short_acting, intermediate, long_acting, premixed };
inline constexpr std::array<std::string_view, 5> action_names{
    "rapid", "short acting", "intermediate", "long acting", "premixed"};
constexpr std::span<const std::string_view> names_of(Action) { return action_names; }

/// What the number in the window does with units pressed out while priming (H01). Never assumed.
enum class Window : std::uint8_t { counts_on, returns_to_zero };
inline constexpr std::array<std::string_view, 2> window_names{"counts on", "returns to zero"};
constexpr std::span<const std::string_view> names_of(Window) { return window_names; }

enum class Presentation : std::uint8_t { cartridge, prefilled_pen };
inline constexpr std::array<std::string_view, 2> presentation_names{"cartridge", "prefilled pen"};
constexpr std::span<const std::string_view> names_of(Presentation) { return presentation_names; }

/// What a pen does when the cartridge holds less than was dialled.
enum class WhenShort : std::uint8_t {
  stops_dialling,  ///< the knob goes no further than what is left
  shows_rest,      ///< the window stops at what is still owed
  unknown,
};
inline constexpr std::array<std::string_view, 3> when_short_names{"stops dialling",
                                                                  "shows the rest", "unknown"};
constexpr std::span<const std::string_view> names_of(WhenShort) { return when_short_names; }

/// How a figure is known; shown beside it.
/// `computed`: arithmetic on other figures, a second opinion, never a publication.
enum class Known : std::uint8_t { read, second_hand, memory, common_practice, clinic, computed };
inline constexpr std::array<std::string_view, 6> known_names{
    "read", "read second-hand", "memory", "common practice, no source", "clinic's own", "computed"};
constexpr std::span<const std::string_view> names_of(Known) { return known_names; }

/// What a cartridge's insulin is and bears. Copied into the fact when a cartridge is loaded, so
/// that editing the shelf rewrites no past.
struct Insulin {
  static const fields::Group list;
  std::string name;  ///< generic: "insulin glargine"
  Strength strength;
  Action action = Action::long_acting;
  bool suspension = false;       ///< cloudy: it is mixed before each injection (H14)
  std::int32_t in_use_days = 0;  ///< the day of first use is 0; serves while days in use are fewer
  bool counts_from_fridge =
      false;                  ///< the label counts from leaving the fridge, if that came first
  TenthsCelsius in_use_most;  ///< in use: not above
  TenthsCelsius store_least;  ///< unopened: not below; frozen is final
  TenthsCelsius store_most;   ///< unopened: not above
  std::optional<Units> least_left_to_mix;  ///< a suspension with less in it cannot be mixed (H43)

  friend bool operator==(const Insulin&, const Insulin&) = default;
};

/// A container of one insulin. `fits`: the clinic's code for the pens that take it; a prefilled pen
/// fits itself.
struct Cartridge {
  static const fields::Group list;
  std::string name;     ///< "3 mL cartridge"
  std::string insulin;  ///< code of the insulin's entry
  Presentation presentation = Presentation::cartridge;
  std::int32_t tenths_ml = 30;
  Units content = Units::zero();
  std::string fits;
  std::string pen;  ///< prefilled: code of the pen's entry; otherwise empty

  friend bool operator==(const Cartridge&, const Cartridge&) = default;
};

/// A pen by its attributes. Copied into the fact when the pen is given.
struct Pen {
  static const fields::Group list;
  std::string name;
  Units step = Units::zero();
  Units most = Units::zero();  ///< most that one injection can dial
  std::optional<Window>
      window;  ///< unknown until shelf or window check says so: no plan without it (H01)
  Presentation takes = Presentation::cartridge;
  Units prime = Units::zero();                ///< before each injection
  Units prime_new_cartridge = Units::zero();  ///< the first time on a new cartridge
  std::int32_t hold_seconds = 10;
  bool turns_back = false;  ///< a dose dialled too far can be turned back without losing insulin
  WhenShort when_short = WhenShort::unknown;
  std::string fits;         ///< the clinic's code, shared with the cartridges that it takes (H42)
  std::string needle_fits;  ///< the same for pen needles

  friend bool operator==(const Pen&, const Pen&) = default;
};

struct Needle {
  static const fields::Group list;
  std::string name;
  TenthsMm length;
  std::int32_t gauge = 0;
  std::string fits;
  bool safety = false;  ///< shields itself: for whoever injects another person (H46)

  friend bool operator==(const Needle&, const Needle&) = default;
};

/// Where one figure of an entry comes from.
struct FigureSource {
  static const fields::Group list;
  std::string field;  ///< the field's name as in the thing's list
  std::string source;
  Known known = Known::clinic;
  friend bool operator==(const FigureSource&, const FigureSource&) = default;
};
/// One thing on the shelf, with its code and the source of each figure. A figure without a source
/// is the clinic's own.
template <class Thing>
struct Entry {
  static const fields::Group list;
  std::string code;  ///< stable: letters, digits and dashes
  Thing thing;
  std::vector<FigureSource> sources;
  friend bool operator==(const Entry&, const Entry&) = default;
};

template <>
const fields::Group Entry<Insulin>::list;
template <>
const fields::Group Entry<Cartridge>::list;
template <>
const fields::Group Entry<Pen>::list;
template <>
const fields::Group Entry<Needle>::list;

struct Shelf {
  std::vector<Entry<Insulin>> insulins;
  std::vector<Entry<Cartridge>> cartridges;
  std::vector<Entry<Pen>> pens;
  std::vector<Entry<Needle>> needles;

  const Entry<Insulin>* insulin(std::string_view code) const;
  const Entry<Insulin>* insulin(std::string_view name, Strength strength) const;
  const Entry<Cartridge>* cartridge(std::string_view code) const;
  const Entry<Pen>* pen(std::string_view code) const;
  const Entry<Needle>* needle(std::string_view code) const;

  /// Whether an insulin of this name is cloudy, whatever its strength; capitals and blanks do not
  /// count. What the shelf does not have and is called NPH, isophane or protamine is cloudy, too
  /// (from memory). Nothing: it does not know the name (H14).
  std::optional<bool> is_cloudy(std::string_view name) const;
  /// The entry of this name, of that strength where one is said; of several strengths the one whose
  /// label allows least heat.
  const Entry<Insulin>* named(std::string_view name, std::optional<Strength> strength = {}) const;
};

/// The shelf that the program brings (data/shelf), before a clinic lays its own over it.
const Shelf& of_the_program();

namespace codes {
inline constexpr std::string_view row_form =
    "shelf.row_form";  // a row that is not thing, code, field, value, source, known
inline constexpr std::string_view field_unknown = "shelf.field_unknown";
inline constexpr std::string_view field_missing = "shelf.field_missing";
inline constexpr std::string_view field_twice = "shelf.field_twice";
inline constexpr std::string_view value_form = "shelf.value_form";
inline constexpr std::string_view value_range = "shelf.value_range";
inline constexpr std::string_view name_unknown =
    "shelf.name_unknown";  // names an insulin or pen that is not there
inline constexpr std::string_view code_form = "shelf.code_form";
inline constexpr std::string_view known_form = "shelf.known_form";  // args: text, allowed
inline constexpr std::string_view source_missing =
    "shelf.source_missing";  // a figure that was read, heard or remembered, without from where
inline constexpr std::string_view content_wrong =
    "shelf.content_wrong";  // content is not volume times strength; args: value, expected
inline constexpr std::string_view not_a_step =
    "shelf.not_a_step";  // an amount that the pen's steps do not reach; args: field, value, step
inline constexpr std::string_view not_suspension =
    "shelf.not_suspension";  // a least amount to mix on an insulin that is not mixed
}  // namespace codes

/// A hard limit, both ends included (H25). `why` is a code whose name in the catalogue is the
/// reason; the figure's origin stands beside its value here.
struct Limit {
  std::int64_t least = 0;
  std::int64_t most = 0;
  std::string_view why;
};
namespace limits {
// Diluted insulin for newborns is 10 units/mL, the strongest sold is 500 (both from memory).
inline constexpr Limit strength_units_per_ml{10, 500, "limit.strength"};
// The longest in-use period of any label that we read is 8 weeks
// (data/reference/in_use.tsv, T330); half as much again is a slip.
inline constexpr Limit in_use_days{1, 84, "limit.in_use_days"};
// Recommendations lie between 25 and 37 degrees (T369, read); a label's own limit cannot be far
// from them.
inline constexpr Limit in_use_most_tenths{150, 450, "limit.in_use_celsius"};
// Insulin freezes a little below zero; unopened it is kept at 2 to 8 degrees (T368, read).
inline constexpr Limit store_least_tenths{0, 150, "limit.store_celsius"};
inline constexpr Limit store_most_tenths{20, 300, "limit.store_celsius"};
// 1 mL to 10 mL: below, no cartridge; above, a vial (ours).
inline constexpr Limit cartridge_tenths_ml{10, 100, "limit.cartridge_ml"};
// 3 mL at 500 units/mL (T396, memory).
inline constexpr Limit content_hundredths{1, 150'000, "limit.content"};
// Steps of a half to five units are sold (T401, T403, memory); a tenth to ten is what could be.
inline constexpr Limit step_hundredths{10, 1'000, "limit.step"};
// The most that a pen dials is 300 units (T403, memory).
inline constexpr Limit pen_most_hundredths{10, 50'000, "limit.pen_most"};
// Six units on a new cartridge are common practice; thirty are a dose.
inline constexpr Limit prime_hundredths{0, 2'999, "limit.prime"};
// Ten seconds are the consensus (Q006, read); a minute is what nobody holds.
inline constexpr Limit hold_seconds{1, 60, "limit.hold"};
// Pen needles are sold from 4 to 12.7 mm (memory).
inline constexpr Limit needle_tenths_mm{30, 130, "limit.needle_mm"};
// 27G is the thickest, 34G the thinnest of the charts (N023, N030).
inline constexpr Limit needle_gauge{27, 34, "limit.gauge"};
inline constexpr Limit sources{0, 40, "limit.sources"};  // more than a thing has figures
inline constexpr std::int64_t name_bytes_max = 200;      // two lines of a label
inline constexpr std::int64_t code_bytes_max = 60;
}  // namespace limits

/// Reads the tab-separated text of data/shelf: thing, code, field, value, source, known; one row a
/// figure, `#` starts a comment line. The whole text is checked before anything is returned; an
/// error names its line in `at`.
Result<Shelf> parse_shelf(std::string_view text);

/// Hard limits of what can be on a shelf, each with its reason in shelf.cpp (H25). The error's `at`
/// is the field.
Result<Insulin> checked(Insulin insulin);
Result<Cartridge> checked(Cartridge cartridge);
Result<Pen> checked(Pen pen);
Result<Needle> checked(Needle needle);
/// A code that can stand in a file, a command and an address: lower case letters, digits, dashes.
Result<std::string> checked_code(std::string code);
/// As checked, and what it names is on the shelf: its insulin, a prefilled one's pen with the same
/// fits code, and the content is volume times strength.
Result<Cartridge> checked(Cartridge cartridge, const Shelf& shelf);

/// H42: names do not show whether a cartridge was made for a pen; the clinic's code does.
bool fits(const Pen& pen, const Cartridge& cartridge);
bool fits(const Pen& pen, const Needle& needle);
/// The shelf's container of this insulin and content that was made for the pen; nullptr: none
/// (H42).
const Entry<Cartridge>* made_for(const Shelf& shelf, const Pen& pen, std::string_view insulin_code,
                                 Units content);

/// Lays the clinic's own entry over the shelf: the same code replaces, another one adds.
void lay(Shelf& shelf, Entry<Insulin> entry);
void lay(Shelf& shelf, Entry<Cartridge> entry);
void lay(Shelf& shelf, Entry<Pen> entry);
void lay(Shelf& shelf, Entry<Needle> entry);

}  // namespace penstock::shelf
