// Where this person's next injections go: the order's slots, what the journal says about the skin,
// and the plan that comes of both.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/order/order.hpp"
#include "core/places/places.hpp"
#include "core/reach/reach.hpp"
#include "shell/desk/internal/folded.hpp"
#include "shell/desk/internal/page.hpp"

namespace penstock::desk {

struct Site {
  LocalDay day{};
  journal::SlotName slot = journal::SlotName::bedtime;
  Id line;
  Zone zone = Zone::abdomen_left_upper;
  Spot spot{};
  bool kept = false;  ///< as it was promised on paper
};

struct Sites {
  std::vector<std::string> slots;  ///< the plan's columns, in order of time
  std::vector<Site> plan;          ///< by day, then slot; what was given already is left out
  std::optional<places::PlacePlan> figures;  ///< counts and bounds, for the days after today
  std::optional<places::Body> body;
  std::optional<Error> refusal;

  const Site* for_due(const order::Due& due) const;
};

/// Four weeks: how long a plan is, and how long a spot rests unless the rules say otherwise.
inline constexpr std::int32_t plan_days = 28;

/// Today's open slots first, then `days` from tomorrow on; none of them where only today is wanted.
/// Replanned from the journal, keeping to what was promised.
/// `weeks_from`: the day on which the paper's weeks begin; nothing: as on the paper that was given.
Sites sites_of(const Folded& person, const When& now, std::int32_t days = plan_days,
               std::optional<LocalDay> weeks_from = std::nullopt);

/// The place in a person's own words: "right belly, upper outer quarter, 4 finger-widths …".
std::string place_words(Zone zone, Spot spot, const places::Body& body);
/// "right belly, upper quarter".
std::string zone_words(Zone zone);

/// What reach says about a part of this person's body, with their needle, angle and fold.
Result<reach::Reach> reach_of(const Folded& person, BodyPart part, LocalDay on);
/// H16: the chance of muscle, or of skin, is above what a plan may leave unsaid.
bool is_too_likely(const reach::Reach& found);
/// One change as an order to the hand: "a 4 mm needle", "a lifted fold".
std::string change_words(const reach::Better& better);
/// "under 0.5", "14": of a hundred injections.
std::string of_hundred(double chance);

/// H36: an open question about leaving hardened tissue, or nothing.
const order::Question* hardened_question(const Folded& person);
/// The questions that facts on their way in open by themselves: hardened tissue where this person
/// injects (H36). `after` is the journal with those facts; what it knew before opens nothing again.
std::vector<journal::Fact> questions_opened_by(const Folded& before, const Folded& after,
                                               const Ports& ports);

}  // namespace penstock::desk
