// What age and weight change: how much insulin in one dose is usual, which needle is offered,
// whether it goes in straight or into a lifted fold (H16, H25, H63). One place for copies, records
// and imports, and for card, sheet and reach. Rows are those of data/reference/children.tsv.
#pragma once

#include <array>
#include <chrono>
#include <cstdint>
#include <optional>
#include <string_view>

#include "base/base.hpp"
#include "core/facts/facts.hpp"
#include "core/journal/journal.hpp"
#include "core/units/units.hpp"

namespace penstock::by_age {

inline constexpr int adult_years = 18;
/// A child's weight of longer ago is no longer theirs. Ours.
inline constexpr std::chrono::days weight_holds{365};

/// Nothing: nobody weighed them in the year before `on`.
std::optional<TenthsKg> weight_on(const facts::Background& known, LocalDay on);

/// What somebody of each age below 18 weighs at the median, in tenths of a kilogram: between boys
/// and girls, in the middle of the year. From memory of the published growth tables (WHO, CDC), not
/// looked up.
inline constexpr std::array<std::int32_t, 18> median_tenths_kg{
    75, 110, 130, 150, 170, 190, 215, 240, 270, 300, 340, 380, 430, 480, 530, 570, 605, 630};
/// Beyond three times the median, or a third of it, a weight is asked about. Ours.
inline constexpr std::int32_t weight_factor = 3;

// ---- one dose

/// More in one dose is asked about: six tenths of a unit a kilogram. A child's day is up to 1.0
/// unit a kilogram, up to 60 % of it basal (T248, read); in puberty up to two (T251, from memory),
/// so a larger child is asked about once more than needed rather than a smaller one never.
Units usual_dose_most(TenthsKg weight);

/// What a fact of somebody is compared with.
struct Known {
  std::optional<LocalDay> born;  ///< nothing: nobody is registered
  facts::Background background;
  /// The largest dose that the order has for it: ordered so, it was asked about when it was copied.
  std::optional<Units> ordered;
};

Known known_of(const journal::Person& person);

namespace codes {
inline constexpr std::string_view ask_dose = "ask.childs_dose";      // [dose, usual, age, weight]
inline constexpr std::string_view ask_weight = "ask.childs_weight";  // no weight [dose, age]
inline constexpr std::string_view ask_weight_odd =
    "ask.childs_weight_odd";  // H25 [weight, least, most, age]
inline constexpr std::string_view ask_needle = "ask.childs_needle";  // [needle, most, age]
}  // namespace codes

/// What is odd about a fact of a child: the dose of a copied line or of an injection, the needle
/// that was fitted or that the place rules name, a weight at registration or later; of a correction
/// what it says instead. A question, answered with a yes; nothing from 18 years on.
std::optional<Error> oddity(const facts::Fact& fact, const Known& known);

// ---- the needle

/// The longest that is offered to a child. In slim children 8 mm ended in muscle in 38 % (A150,
/// read), 6 mm in three times as many as 4 mm (A116, read). Where the line is drawn is ours.
inline constexpr TenthsMm childs_needle_most{60};
/// Straight into a lifted fold goes a child's needle up to this, from `straight_years` on; longer
/// ones, and younger children's, go in at 45 degrees: at 5 mm a fold alone left 12 % (A140, read),
/// 45 degrees 5.6 % (A166, read); from 2 to 6 years 4 mm straight in left 20.2 % (A115, read).
inline constexpr TenthsMm straight_needle_most{40};
inline constexpr int straight_years = 7;
inline constexpr std::int32_t slant_deg = 45;  // Q008, read

/// How this person's needle goes in.
struct Way {
  bool is_child = false;
  std::int32_t angle_deg = 90;
  bool fold = false;
  /// The longest needle that is offered; nothing: any that fits.
  std::optional<TenthsMm> longest;
  /// Whoever injects another is kept from the needle (H46).
  bool safety_only = false;
};
/// `rules`: nullptr where nobody set any. `needle`: theirs, or the one that was fitted last.
Way way_of(const facts::PlaceRulesSet* rules, std::optional<TenthsMm> needle, const Known& known,
           LocalDay on);
/// Whether a needle of that kind is offered to them.
bool may_offer(const Way& way, TenthsMm length, bool is_safety);

}  // namespace penstock::by_age
