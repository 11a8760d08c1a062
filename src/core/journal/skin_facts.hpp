// Facts about the body and the skin: how large somebody is, what was measured, seen and felt, where
// injections really went, where they may go, and which place plan was handed out. Part of the
// journal's door; included by facts.hpp.
#pragma once

#include <concepts>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

#include "base/base.hpp"
#include "core/journal/choices.hpp"
#include "core/units/units.hpp"

namespace penstock::journal {

/// What decides how deep the muscle lies and how large the zones are. Said whole each time; nothing
/// said stays unknown.
struct BodyMeasured {
  static constexpr std::uint16_t type = 33, version = 1;
  static constexpr std::string_view name = "body measured";
  Sex sex = Sex::unknown;
  std::optional<TenthsCm> height;
  std::optional<TenthsCm> waist;
  std::optional<LocalDay> due;  ///< pregnancy: the day on which the child is expected
  friend bool operator==(const BodyMeasured&, const BodyMeasured&) = default;
};
template <class V, class S>
  requires std::same_as<std::remove_const_t<S>, BodyMeasured>
constexpr void fields(V& visit, S& s) {
  visit("sex", s.sex);
  visit("height_cm", s.height);
  visit("waist_cm", s.waist);
  visit("due", s.due);
}

/// Skin surface to muscle by ultrasound, without a fold and without pressing.
struct DepthMeasured {
  static constexpr std::uint16_t type = 34, version = 1;
  static constexpr std::string_view name = "depth measured";
  Zone zone = Zone::abdomen_left_upper;
  TenthsMm depth;
  TenthsMm sd;  ///< of the measurement itself
  std::string text;
  friend bool operator==(const DepthMeasured&, const DepthMeasured&) = default;
};
template <class V, class S>
  requires std::same_as<std::remove_const_t<S>, DepthMeasured>
constexpr void fields(V& visit, S& s) {
  visit("zone", s.zone);
  visit("depth_mm", s.depth);
  visit("sd_mm", s.sd);
  visit("text", s.text);
}

/// One place that was looked at and felt. `area` is its identity over the visits, made by the
/// sender at the first.
struct SkinFinding {
  Id area;
  Tissue tissue = Tissue::hardened;
  Zone zone = Zone::abdomen_left_upper;
  Spot centre{};
  TenthsMm length;  ///< the longest way across
  TenthsMm width;   ///< square to it
  bool seen = false;
  bool felt = false;
  AreaVerdict verdict = AreaVerdict::keep_off;
  friend bool operator==(const SkinFinding&, const SkinFinding&) = default;
};
template <class V, class S>
  requires std::same_as<std::remove_const_t<S>, SkinFinding>
constexpr void fields(V& visit, S& s) {
  visit("area", s.area);
  visit("tissue", s.tissue);
  visit("zone", s.zone);
  visit("centre", s.centre);
  visit("length_mm", s.length);
  visit("width_mm", s.width);
  visit("seen", s.seen);
  visit("felt", s.felt);
  visit("verdict", s.verdict);
}

/// Look and feel: how it was examined, where, and what was found. Nothing found is a fact, too. An
/// area that is kept off opens again by a finding here, never by time (H17).
struct SkinExamined {
  static constexpr std::uint16_t type = 35, version = 1;
  static constexpr std::string_view name = "skin examined";
  Light light = Light::unknown;
  Posture posture = Posture::unknown;
  std::vector<Zone> zones;  ///< that were looked at and felt
  std::vector<SkinFinding> findings;
  std::string photo;           ///< digest of the stored picture, hexadecimal; empty: none
  bool photo_consent = false;  ///< there is no picture without it
  std::string text;
  friend bool operator==(const SkinExamined&, const SkinExamined&) = default;
};
template <class V, class S>
  requires std::same_as<std::remove_const_t<S>, SkinExamined>
constexpr void fields(V& visit, S& s) {
  visit("light", s.light);
  visit("posture", s.posture);
  visit("zones", s.zones);
  visit("findings", s.findings);
  visit("photo", s.photo);
  visit("photo_consent", s.photo_consent);
  visit("text", s.text);
}

/// An area where nobody injects from now on, drawn by the nurse: a circle on the skin.
struct AreaBlocked {
  static constexpr std::uint16_t type = 36, version = 1;
  static constexpr std::string_view name = "area blocked";
  Id area;
  Tissue tissue = Tissue::hardened;
  Zone zone = Zone::abdomen_left_upper;
  Spot centre{};
  TenthsMm radius;
  std::string text;
  friend bool operator==(const AreaBlocked&, const AreaBlocked&) = default;
};
template <class V, class S>
  requires std::same_as<std::remove_const_t<S>, AreaBlocked>
constexpr void fields(V& visit, S& s) {
  visit("area", s.area);
  visit("tissue", s.tissue);
  visit("zone", s.zone);
  visit("centre", s.centre);
  visit("radius_mm", s.radius);
  visit("text", s.text);
}

/// Where an injection really went: the last said holds.
struct PlaceNoted {
  static constexpr std::uint16_t type = 37, version = 1;
  static constexpr std::string_view name = "place noted";
  Id injection;
  Zone zone = Zone::abdomen_left_upper;
  std::optional<Spot> spot;  ///< nothing: only the zone is known
  friend bool operator==(const PlaceNoted&, const PlaceNoted&) = default;
};
template <class V, class S>
  requires std::same_as<std::remove_const_t<S>, PlaceNoted>
constexpr void fields(V& visit, S& s) {
  visit("injection", s.injection);
  visit("zone", s.zone);
  visit("spot", s.spot);
}

struct SlotPart {
  SlotName slot = SlotName::bedtime;
  BodyPart part = BodyPart::abdomen;
  friend bool operator==(const SlotPart&, const SlotPart&) = default;
};
template <class V, class S>
  requires std::same_as<std::remove_const_t<S>, SlotPart>
constexpr void fields(V& visit, S& s) {
  visit("slot", s.slot);
  visit("part", s.part);
}

/// How this person injects, and where a plan may go: said whole each time.
struct PlaceRulesSet {
  static constexpr std::uint16_t type = 38, version = 1;
  static constexpr std::string_view name = "place rules set";
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
  friend bool operator==(const PlaceRulesSet&, const PlaceRulesSet&) = default;
};
template <class V, class S>
  requires std::same_as<std::remove_const_t<S>, PlaceRulesSet>
constexpr void fields(V& visit, S& s) {
  visit("zones", s.zones);
  visit("parts", s.parts);
  visit("rest_days", s.rest_days);
  visit("spacing_mm", s.spacing);
  visit("navel_clear_mm", s.navel_clear);
  visit("turn", s.turn);
  visit("needle_mm", s.needle);
  visit("angle_deg", s.angle_deg);
  visit("fold", s.fold);
  visit("can_fold", s.can_fold);
  visit("people", s.people);
}

struct PromisedPlace {
  LocalDay day{};
  SlotName slot = SlotName::bedtime;
  Zone zone = Zone::abdomen_left_upper;
  Spot spot{};
  friend bool operator==(const PromisedPlace&, const PromisedPlace&) = default;
};
template <class V, class S>
  requires std::same_as<std::remove_const_t<S>, PromisedPlace>
constexpr void fields(V& visit, S& s) {
  visit("day", s.day);
  visit("slot", s.slot);
  visit("zone", s.zone);
  visit("spot", s.spot);
}

/// A place plan was handed out. Later plans keep to it wherever it may still be kept to, so that
/// the paper at home stays right.
struct PlacePlanGiven {
  static constexpr std::uint16_t type = 39, version = 1;
  static constexpr std::string_view name = "place plan given";
  std::int32_t order_version = 0;  ///< the order's that its times are from (H28)
  std::vector<PromisedPlace> places;
  friend bool operator==(const PlacePlanGiven&, const PlacePlanGiven&) = default;
};
template <class V, class S>
  requires std::same_as<std::remove_const_t<S>, PlacePlanGiven>
constexpr void fields(V& visit, S& s) {
  visit("order_version", s.order_version);
  visit("places", s.places);
}

}  // namespace penstock::journal
