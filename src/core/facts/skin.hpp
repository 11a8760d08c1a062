// Body and skin: how large somebody is, what was measured, seen and felt, where injections really
// went, where they may go, and which place plan was handed out. Part of the room's door; included
// by facts.hpp. The lists stand in skin.cpp.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/facts/choices.hpp"
#include "core/facts/kind.hpp"
#include "core/units/units.hpp"

namespace penstock::facts {

/// What decides how deep the muscle lies and how large the zones are. Said whole each time; nothing
/// said stays unknown.
struct BodyMeasured {
  static constexpr std::uint16_t type = 33;
  static constexpr std::string_view name = "body measured";
  static const KindInfo kind;
  Sex sex = Sex::unknown;
  std::optional<TenthsCm> height;
  std::optional<TenthsCm> waist;
  std::optional<LocalDay> due;  ///< pregnancy: the day on which the child is expected
};

/// Skin surface to muscle by ultrasound, without a fold and without pressing.
struct DepthMeasured {
  static constexpr std::uint16_t type = 34;
  static constexpr std::string_view name = "depth measured";
  static const KindInfo kind;
  Zone zone = Zone::abdomen_left_upper;
  TenthsMm depth;
  TenthsMm sd;  ///< of the measurement itself
  std::string text;
};

/// One place that was looked at and felt. `area` is its identity over the visits, made by the
/// sender at the first.
struct SkinFinding {
  static const fields::Group list;
  Id area;
  Tissue tissue = Tissue::hardened;
  Zone zone = Zone::abdomen_left_upper;
  Spot centre{};
  TenthsMm length;  ///< the longest way across
  TenthsMm width;   ///< square to it
  bool seen = false;
  bool felt = false;
  AreaVerdict verdict = AreaVerdict::keep_off;
};

/// Look and feel: how it was examined, where, and what was found. Nothing found is a fact, too. An
/// area that is kept off opens again by a finding here, never by time (H17).
struct SkinExamined {
  static constexpr std::uint16_t type = 35;
  static constexpr std::string_view name = "skin examined";
  static const KindInfo kind;
  Light light = Light::unknown;
  Posture posture = Posture::unknown;
  std::vector<Zone> zones;  ///< that were looked at and felt
  std::vector<SkinFinding> findings;
  std::string photo;           ///< digest of the stored picture, hexadecimal; empty: none
  bool photo_consent = false;  ///< there is no picture without it
  std::string text;
};

/// An area where nobody injects from now on, drawn by the nurse: a circle on the skin.
struct AreaBlocked {
  static constexpr std::uint16_t type = 36;
  static constexpr std::string_view name = "area blocked";
  static const KindInfo kind;
  Id area;
  Tissue tissue = Tissue::hardened;
  Zone zone = Zone::abdomen_left_upper;
  Spot centre{};
  TenthsMm radius;
  std::string text;
};

/// Where an injection really went: the last said holds.
struct PlaceNoted {
  static constexpr std::uint16_t type = 37;
  static constexpr std::string_view name = "place noted";
  static const KindInfo kind;
  Id injection;
  Zone zone = Zone::abdomen_left_upper;
  std::optional<Spot> spot;  ///< nothing: only the zone is known
};

struct SlotPart {
  static const fields::Group list;
  SlotName slot = SlotName::bedtime;
  BodyPart part = BodyPart::abdomen;
};

/// How this person injects, and where a plan may go: said whole each time.
struct PlaceRulesSet {
  static constexpr std::uint16_t type = 38;
  static constexpr std::string_view name = "place rules set";
  static const KindInfo kind;
  std::vector<Zone> zones;      ///< that are allowed
  std::vector<SlotPart> parts;  ///< where the educator decided; the others the plan chooses
  std::int32_t rest_days = 28;
  TenthsMm spacing{100};
  TenthsMm navel_clear{500};
  Turn turn = Turn::each_week;
  std::optional<TenthsMm> needle;
  std::int32_t angle_deg = 90;
  YesNo fold = YesNo::unknown;      ///< whether a fold is lifted
  YesNo can_fold = YesNo::unknown;  ///< whether somebody can lift one
  std::string people;               ///< the cohort's name for reach; empty: worked out
};

struct PromisedPlace {
  static const fields::Group list;
  LocalDay day{};
  SlotName slot = SlotName::bedtime;
  Zone zone = Zone::abdomen_left_upper;
  Spot spot{};
};

/// A place plan was handed out. Later plans keep to it wherever it may still be kept to, so that
/// the paper at home stays right.
struct PlacePlanGiven {
  static constexpr std::uint16_t type = 39;
  static constexpr std::string_view name = "place plan given";
  static const KindInfo kind;
  std::int32_t order_version = 0;  ///< the order's that its times are from (H28)
  std::vector<PromisedPlace> places;
};

}  // namespace penstock::facts
