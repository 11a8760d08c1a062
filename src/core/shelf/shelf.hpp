// What exists: insulins by generic name and strength, cartridges and prefilled pens, pens, pen
// needles, and what fits what. Every figure has its source. The clinic's own entries are facts of
// the clinic's journal and are laid over these.
#pragma once

#include <array>
#include <concepts>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/units/units.hpp"

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
enum class Known : std::uint8_t { read, second_hand, memory, common_practice, clinic };
inline constexpr std::array<std::string_view, 5> known_names{
    "read", "read second-hand", "memory", "common practice, no source", "clinic's own"};
constexpr std::span<const std::string_view> names_of(Known) { return known_names; }

/// What a cartridge's insulin is and bears. Copied into the fact when a cartridge is loaded, so
/// that editing the shelf rewrites no past.
struct Insulin {
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
  std::string name;
  Units step = Units::zero();
  Units most = Units::zero();  ///< most that one injection can dial
  std::optional<Window>
      window;  ///< unknown until shelf or two-unit test says so: no plan without it (H01)
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
  std::string name;
  TenthsMm length;
  std::int32_t gauge = 0;
  std::string fits;
  bool safety = false;  ///< shields itself: for whoever injects another person (H46)

  friend bool operator==(const Needle&, const Needle&) = default;
};

template <class V, class S>
  requires std::same_as<std::remove_const_t<S>, Insulin>
constexpr void fields(V& visit, S& s) {
  visit("name", s.name);
  visit("strength_units_per_ml", s.strength);
  visit("action", s.action);
  visit("suspension", s.suspension);
  visit("in_use_days", s.in_use_days);
  visit("counts_from_fridge", s.counts_from_fridge);
  visit("in_use_most_celsius", s.in_use_most);
  visit("store_least_celsius", s.store_least);
  visit("store_most_celsius", s.store_most);
  visit("least_left_to_mix_units", s.least_left_to_mix);
}
template <class V, class S>
  requires std::same_as<std::remove_const_t<S>, Cartridge>
constexpr void fields(V& visit, S& s) {
  visit("name", s.name);
  visit("insulin", s.insulin);
  visit("presentation", s.presentation);
  visit("tenths_ml", s.tenths_ml);
  visit("content_units", s.content);
  visit("fits", s.fits);
  visit("pen", s.pen);
}
template <class V, class S>
  requires std::same_as<std::remove_const_t<S>, Pen>
constexpr void fields(V& visit, S& s) {
  visit("name", s.name);
  visit("step_units", s.step);
  visit("most_units", s.most);
  visit("window", s.window);
  visit("takes", s.takes);
  visit("prime_units", s.prime);
  visit("new_cartridge_prime_units", s.prime_new_cartridge);
  visit("hold_seconds", s.hold_seconds);
  visit("turns_back", s.turns_back);
  visit("when_short", s.when_short);
  visit("fits", s.fits);
  visit("needle_fits", s.needle_fits);
}
template <class V, class S>
  requires std::same_as<std::remove_const_t<S>, Needle>
constexpr void fields(V& visit, S& s) {
  visit("name", s.name);
  visit("length_mm", s.length);
  visit("gauge", s.gauge);
  visit("fits", s.fits);
  visit("safety", s.safety);
}

/// Where one figure of an entry comes from.
struct FigureSource {
  std::string field;  ///< the field's name as in fields()
  std::string source;
  Known known = Known::clinic;
  friend bool operator==(const FigureSource&, const FigureSource&) = default;
};
template <class V, class S>
  requires std::same_as<std::remove_const_t<S>, FigureSource>
constexpr void fields(V& visit, S& s) {
  visit("field", s.field);
  visit("source", s.source);
  visit("known", s.known);
}

/// One thing on the shelf, with its code and the source of each figure. A figure without a source
/// is the clinic's own.
template <class Thing>
struct Entry {
  std::string code;  ///< stable: letters, digits and dashes
  Thing thing;
  std::vector<FigureSource> sources;
  friend bool operator==(const Entry&, const Entry&) = default;
};
template <class V, class Thing>
constexpr void fields(V& visit, Entry<Thing>& e) {
  visit("code", e.code);
  visit("thing", e.thing);
  visit("sources", e.sources);
}
template <class V, class Thing>
constexpr void fields(V& visit, const Entry<Thing>& e) {
  visit("code", e.code);
  visit("thing", e.thing);
  visit("sources", e.sources);
}

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
};

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
}  // namespace codes

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

/// H42: names do not show whether a cartridge was made for a pen; the clinic's code does.
bool fits(const Pen& pen, const Cartridge& cartridge);
bool fits(const Pen& pen, const Needle& needle);

/// Lays the clinic's own entry over the shelf: the same code replaces, another one adds.
void lay(Shelf& shelf, Entry<Insulin> entry);
void lay(Shelf& shelf, Entry<Cartridge> entry);
void lay(Shelf& shelf, Entry<Pen> entry);
void lay(Shelf& shelf, Entry<Needle> entry);

}  // namespace penstock::shelf
