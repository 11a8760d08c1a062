// Where this person's next injections go: the order's slots, what the journal says about the skin,
// and the plan and the reach that come of both.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/order/order.hpp"
#include "core/places/places.hpp"
#include "core/reach/reach.hpp"
#include "edge/pages/kit/kit.hpp"

namespace penstock::pages {

struct Site {
  LocalDay day{};
  journal::SlotName slot = journal::SlotName::bedtime;
  Id line;
  Zone zone = Zone::abdomen_left_upper;
  Spot spot{};
  bool kept = false;  ///< as it was promised on paper
};

struct Sites {
  std::vector<journal::SlotName> slots;  ///< the plan's columns, in order of time
  std::vector<Site> plan;                ///< by day, then slot; what was given already is left out
  std::optional<places::PlacePlan> figures;  ///< counts and bounds, for the days after today
  std::vector<Rich> cautions;
  std::optional<Error> refusal;

  const Site* for_due(const order::Due& due) const;
};

/// Four weeks: how long a plan is, and how long a spot rests unless the rules say otherwise.
inline constexpr std::int32_t plan_days = 28;

/// Today's open slots first, then `days` from tomorrow on; none of them where only today is wanted.
/// Replanned from the journal, keeping to what was promised.
/// `weeks_from`: the day on which the paper's weeks begin; nothing: as on the paper that was given.
Sites sites_of(const Words& words, const Chart& person, const When& now,
               std::int32_t days = plan_days, std::optional<LocalDay> weeks_from = std::nullopt);

/// The place in a person's own words: "right belly, upper outer quarter, 4 finger-widths …".
std::string place_words(const Words& words, Zone zone, Spot spot, const places::Body& body);
/// "right belly, upper".
std::string zone_words(const Words& words, Zone zone);

/// Reach for a part of this person's body, with their needle, angle and fold.
struct PersonReach {
  reach::ReachRequest request;
  Result<reach::Reach> found;
};
/// Changes to a zone that this person's rules do not allow are left out. Error: nobody said which
/// needle, or whose figures.
Result<PersonReach> reach_of(const Chart& person, BodyPart part, LocalDay on);

}  // namespace penstock::pages
