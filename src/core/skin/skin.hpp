// What the journal says about somebody's body and skin: how large they are, what was seen and felt,
// which areas are kept off, where injections went, and what they were promised. A fold like any
// other; no clock.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/base.hpp"
#include "core/journal/journal.hpp"
#include "core/places/places.hpp"
#include "core/reach/reach.hpp"
#include "core/units/units.hpp"

namespace penstock::skin {

/// One look at an area: what an examination, or the drawing of it, said.
struct Look {
  Id fact;
  When on;
  std::string by;
  Spot centre{};
  Zone zone = Zone::abdomen_left_upper;
  TenthsMm length;
  TenthsMm width;
  bool seen = false;
  bool felt = false;
  bool drawn = false;  ///< blocked without an examination
  journal::Tissue tissue = journal::Tissue::hardened;
  journal::AreaVerdict verdict = journal::AreaVerdict::keep_off;
  friend bool operator==(const Look&, const Look&) = default;
};

/// Against the look of the same kind before it, by the length times the width; within a fifth it is
/// the same (fingers do not measure better: ours). A circle that was drawn is no measurement, so it
/// is only compared with another one.
enum class Trend : std::uint8_t { first, growing, same, shrinking };

struct Area {
  Id area;
  journal::Tissue tissue = journal::Tissue::hardened;  ///< as the last look says
  std::vector<Look> looks;                             ///< oldest first; at least one
  Trend trend = Trend::first;
  bool kept_off = true;  ///< by the last look; only an examination opens it (H17)
  const Look& last() const { return looks.back(); }
  /// The circle around it that no spot may enter: half its longest way across.
  places::Circle circle() const;
  /// From when on it was hardened and kept off, the last time that it became so: whoever injected
  /// there injects elsewhere since (H36). Nothing: it never was.
  std::optional<When> left_since() const;
  friend bool operator==(const Area&, const Area&) = default;
};

/// One injection with a place; the place is what was noted last.
struct Place {
  Id injection;
  When on;
  Zone zone = Zone::abdomen_left_upper;
  std::optional<Spot> spot;
  std::optional<journal::SlotName> slot;
  friend bool operator==(const Place&, const Place&) = default;
};

struct Depth {
  Id fact;
  When on;
  Zone zone = Zone::abdomen_left_upper;
  TenthsMm depth;
  TenthsMm sd;
  friend bool operator==(const Depth&, const Depth&) = default;
};

struct Examination {
  Id fact;
  When on;
  std::string by;
  journal::SkinExamined said;
  friend bool operator==(const Examination&, const Examination&) = default;
};

struct Promise {
  Id fact;
  When on;
  journal::PlacePlanGiven said;
  friend bool operator==(const Promise&, const Promise&) = default;
};

struct Skin {
  journal::Sex sex = journal::Sex::unknown;
  std::optional<TenthsCm> height;
  std::optional<TenthsCm> waist;
  std::optional<LocalDay> due;
  std::optional<When> measured_on;  ///< height and waist
  std::vector<Area> areas;          ///< by the first look
  std::vector<Place> places;        ///< by time
  std::vector<Depth> depths;        ///< by time
  std::vector<Examination> examinations;
  std::optional<journal::PlaceRulesSet> rules;
  std::optional<Promise> promise;  ///< the last one
  std::optional<TenthsMm> fitted;  ///< length of the needle that was fitted last
  std::size_t without_place = 0;   ///< injections of which nothing is known

  const Area* area(const Id& id) const;
  friend bool operator==(const Skin&, const Skin&) = default;
};

/// An injection corrected away takes its place with it. A place noted for an injection that never
/// arrived waits without effect.
Skin fold_skin(const journal::History& history);

/// The first area that is kept off and holds a place; where no spot is said, one of that zone.
/// nullptr: none (H17).
const Area* kept_off_at(const Skin& skin, Zone zone, const std::optional<Spot>& spot);

/// Areas as they were kept off over time, for the rotation's own account: from the day after the
/// look (an injection that morning broke no rule) until the day on which another one opened them.
std::vector<places::BlockedSpell> blocked_spells(const Skin& skin);

/// Whether an area lies where this person injects: in or over the edge of a zone that the rules
/// allow, or with an injection nearer to it than its radius plus the spacing in the `days` up to
/// `on`; where only an injection's zone is known, anywhere in that zone. Nothing known at all of
/// somebody who injects: yes, rather one question too many (H36).
bool where_injected(const Skin& skin, const Area& area, LocalDay on, std::int32_t days);

/// An injection into or beside an area so many days ago or less: this person injects there.
inline constexpr std::int32_t injects_there_days = 28;

/// The body that zones are drawn on; nothing while no height is known.
std::optional<places::Body> body_of(const Skin& skin);

/// One injection a day that the order asks for, and where its insulin is absorbed as wanted.
struct SlotWish {
  journal::SlotName slot = journal::SlotName::bedtime;
  std::vector<BodyPart> prefers{};  ///< best first; empty: by the slot's name
};

/// What a plan from `from` on would be asked with. Slots are named by their words, the second of a
/// name with a number behind it; a part of the body that the rules decided is filled in; the first
/// promise of a day and name is the first slot's, and so on. Errors: codes of this room: no height,
/// no rules.
Result<places::PlaceRequest> place_request(const Skin& skin, const std::vector<SlotWish>& slots,
                                           LocalDay from, std::int32_t days);

/// What reach would be asked with for a part of the body on a day: cohort by age and pregnancy
/// unless the rules name one, sex and BMI where both are known and the cohort has a model for them,
/// the newest ultrasound there. Age and week go with every cohort, so that reach refuses where its
/// figures do not hold (H27): in pregnancy every part but the abdomen. The needle is the rules', or
/// the one that was fitted last. Errors: codes of this room: no rules, no needle, people unknown.
Result<reach::ReachRequest> reach_request(const Skin& skin, const journal::Person& person,
                                          BodyPart part, LocalDay on);

/// The needle that was fitted last where the rules name another: then reach speaks of a needle that
/// is not used (H16).
std::optional<TenthsMm> another_needle(const Skin& skin);

/// The whole weeks of pregnancy on a day, counted back from the day on which the child is expected
/// (40 weeks); nothing outside 1 to 42.
std::optional<std::int32_t> pregnancy_week(const Skin& skin, LocalDay on);

namespace skin_codes {
inline constexpr std::string_view no_height = "skin.no_height";
inline constexpr std::string_view no_rules = "skin.no_rules";
inline constexpr std::string_view no_needle = "skin.no_needle";
inline constexpr std::string_view people_unknown = "skin.people_unknown";  // people, allowed
}  // namespace skin_codes

}  // namespace penstock::skin
