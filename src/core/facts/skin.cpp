#include "core/facts/facts.hpp"
#include "core/facts/list.hpp"

namespace penstock::facts {
namespace {

using std::chrono::days;

// Of what may be used again nothing may be left.
std::int64_t least_across(const SkinFinding& finding, std::int64_t /*value*/) {
  return finding.verdict == AreaVerdict::may_be_used ? 0 : 1;
}

constexpr std::string_view standing_first[] = {"standing", "lying", "sitting", "unknown"};

constexpr Field body_measured_fields[] = {
    FIELD(BodyMeasured, sex, "sex").stands_behind("waist_cm").like(R"("female")"),
    FIELD(BodyMeasured, height, "height_cm")
        .within(height_tenths_cm_least, height_tenths_cm_max, "limit.height")
        .usual(usual_height_tenths_cm_least, usual_height_tenths_cm_most, "usual.height")
        .like("168"),
    FIELD(BodyMeasured, waist, "waist_cm")
        .within(waist_tenths_cm_least, waist_tenths_cm_max, "limit.waist")
        .usual(usual_waist_tenths_cm_least, usual_waist_tenths_cm_most, "usual.waist")
        .like("84.5"),
    FIELD(BodyMeasured, due, "due").like(R"("2026-06-04")")};
constexpr Field depth_measured_fields[] = {
    FIELD(DepthMeasured, zone, "zone").like(R"("thigh left")"),
    FIELD(DepthMeasured, depth, "depth_mm")
        .within(1, depth_tenths_mm_max, "limit.depth")
        .usual(usual_depth_tenths_mm_least, usual_depth_tenths_mm_most, "usual.depth")
        .like("11.5"),
    FIELD(DepthMeasured, sd, "sd_mm").within(1, depth_tenths_mm_max, "limit.depth").like("1"),
    FIELD(DepthMeasured, text, "text").long_text().like(R"("standing, linear probe")")};
constexpr Field skin_finding_fields[] = {FIELD(SkinFinding, area, "area"),
                                         FIELD(SkinFinding, tissue, "tissue"),
                                         FIELD(SkinFinding, zone, "zone"),
                                         FIELD(SkinFinding, centre, "centre"),
                                         FIELD(SkinFinding, length, "length_mm")
                                             .within(0, area_tenths_mm_max, "limit.area")
                                             .least_by(erased<least_across>)
                                             .usual(1, usual_area_tenths_mm_most, "usual.area"),
                                         FIELD(SkinFinding, width, "width_mm")
                                             .within(0, area_tenths_mm_max, "limit.area")
                                             .least_by(erased<least_across>)
                                             .usual(1, usual_area_tenths_mm_most, "usual.area"),
                                         FIELD(SkinFinding, seen, "seen"),
                                         FIELD(SkinFinding, felt, "felt"),
                                         FIELD(SkinFinding, verdict, "verdict")};
constexpr Field skin_examined_fields[] = {
    FIELD(SkinExamined, light, "light").like(R"("lamp from the side")"),
    FIELD(SkinExamined, posture, "posture").offering(standing_first).like(R"("standing")"),
    FIELD(SkinExamined, zones, "zones")
        .within(0, std::ssize(zone_names), "limit.zones")
        .no_two_alike()
        .like(R"(["abdomen left lower", "abdomen right lower"])"),
    FIELD(SkinExamined, findings, "findings")
        .within(0, findings_max, "limit.findings")
        .no_two_alike("area")
        .like(R"([{"area": "7c9e6679f3a44d0b8a1c5e2b90d4f163", "tissue": "hardened",)"
              R"( "zone": "abdomen left lower", "centre": {"x_mm": 62, "y_mm": -30},)"
              R"( "length_mm": 38, "width_mm": 25, "seen": false, "felt": true,)"
              R"( "verdict": "keep off"}])"),
    FIELD(SkinExamined, photo, "photo").digest(),
    FIELD(SkinExamined, photo_consent, "photo_consent").kept(),
    FIELD(SkinExamined, text, "text").long_text()};
constexpr Field area_blocked_fields[] = {
    FIELD(AreaBlocked, area, "area").like(an_area),
    FIELD(AreaBlocked, tissue, "tissue").like(R"("scar")"),
    FIELD(AreaBlocked, zone, "zone").kept().like(R"("abdomen right upper")"),
    FIELD(AreaBlocked, centre, "centre").like(R"({"x_mm": -70, "y_mm": 55})"),
    FIELD(AreaBlocked, radius, "radius_mm")
        .within(1, area_tenths_mm_max / 2, "limit.area")
        .usual(1, usual_area_tenths_mm_most / 2, "usual.area")
        .like("20"),
    FIELD(AreaBlocked, text, "text").long_text()};
constexpr Field place_noted_fields[] = {
    FIELD(PlaceNoted, injection, "injection").like(a_fact),
    FIELD(PlaceNoted, zone, "zone").like(R"("abdomen left upper")"),
    FIELD(PlaceNoted, spot, "spot").like(R"({"x_mm": 60, "y_mm": 24.5})")};
constexpr Field slot_part_fields[] = {FIELD(SlotPart, slot, "slot"), FIELD(SlotPart, part, "part")};
constexpr Field place_rules_set_fields[] = {
    FIELD(PlaceRulesSet, zones, "zones")
        .within(0, std::ssize(zone_names), "limit.zones")
        .no_two_alike()
        .like(R"(["abdomen left upper", "abdomen right upper", "thigh left",)"
              R"( "thigh right"])"),
    FIELD(PlaceRulesSet, parts, "parts")
        .within(0, slots_max, "limit.slots")
        .no_two_alike("slot")
        .like(R"([{"slot": "bedtime", "part": "thigh"}])"),
    FIELD(PlaceRulesSet, rest_days, "rest_days")
        .within(1, rest_days_max, "limit.rest")
        .usual(usual_rest_days_least, usual_rest_days_most, "usual.rest")
        .like("28"),
    FIELD(PlaceRulesSet, spacing, "spacing_mm")
        .within(spacing_tenths_mm_least, spacing_tenths_mm_max, "limit.spacing")
        .usual(spacing_tenths_mm_least, usual_spacing_tenths_mm_most, "usual.spacing")
        .like("10"),
    FIELD(PlaceRulesSet, navel_clear, "navel_clear_mm")
        .within(0, navel_tenths_mm_max, "limit.navel")
        .like("50"),
    FIELD(PlaceRulesSet, turn, "turn").kept().like(R"("each week")"),
    FIELD(PlaceRulesSet, needle, "needle_mm")
        .within(1, needle_tenths_mm_max, "limit.needle_mm")
        .like("4"),
    FIELD(PlaceRulesSet, angle_deg, "angle_deg")
        .within(angle_deg_least, angle_deg_max, "limit.angle")
        .usual(usual_angle_deg_least, angle_deg_max, "usual.angle")
        .like("90"),
    FIELD(PlaceRulesSet, fold, "fold").offering(yes_first).like(R"("no")"),
    FIELD(PlaceRulesSet, can_fold, "can_fold").offering(yes_first).like(R"("yes")"),
    FIELD(PlaceRulesSet, people, "people").kept()};
constexpr Field promised_place_fields[] = {
    FIELD(PromisedPlace, day, "day"), FIELD(PromisedPlace, slot, "slot"),
    FIELD(PromisedPlace, zone, "zone"), FIELD(PromisedPlace, spot, "spot")};
constexpr Field place_plan_given_fields[] = {
    FIELD(PlacePlanGiven, order_version, "order_version")
        .within(1, order_version_max, "limit.order_version")
        .like("1"),
    FIELD(PlacePlanGiven, places, "places")
        .within(1, places_max, "limit.places")
        .like(R"([{"day": "2026-03-17", "slot": "bedtime", "zone": "thigh left",)"
              R"( "spot": {"x_mm": 10, "y_mm": -20}}])")};

constexpr days due_most{due_days_max};

void body_sound(const BodyMeasured& body, Whole& whole) {
  if (body.due)
    whole.day("due", *body.due, whole.on() - due_most, whole.on() + due_most, "limit.due");
}
std::optional<Asked> body_odd(const BodyMeasured& body, LocalDay on) {
  if (!body.due) return std::nullopt;
  const auto day = [](LocalDay date) { return date.time_since_epoch().count(); };
  return Asked{
      "due",
      day(*body.due),
      ArgType::date,
      {day(on) - usual_due_days_past_most, day(on) + usual_due_days_ahead_most, "usual.due"}};
}
void depth_sound(const DepthMeasured& measured, Whole& whole) {
  whole.range("sd_mm", measured.sd.tenths, 1, measured.depth.tenths, ArgType::tenths, "limit.sd");
}
void some_zone(const std::vector<Zone>& zones, Whole& whole) {
  whole.some("zones", std::ssize(zones), std::ssize(zone_names), "limit.zones");
}
void examined_sound(const SkinExamined& examined, Whole& whole) {
  if (examined.findings.empty()) some_zone(examined.zones, whole);
  if (!examined.photo.empty() && !examined.photo_consent)
    whole.refuse("photo", codes::photo_consent);
}
void place_rules_sound(const PlaceRulesSet& rules, Whole& whole) { some_zone(rules.zones, whole); }

}  // namespace

constexpr KindInfo BodyMeasured::kind = listed<BodyMeasured>(
    body_measured_fields,
    {.sound = erased<body_sound>, .odd = erased<body_odd>, .form = {"body", 52, "skin/body"}});
constexpr KindInfo DepthMeasured::kind = listed<DepthMeasured>(
    depth_measured_fields, {.sound = erased<depth_sound>, .form = {"depth", 53, "skin/depth"}});
constexpr Group SkinFinding::list = fields::group<SkinFinding>(skin_finding_fields);
constexpr KindInfo SkinExamined::kind = listed<SkinExamined>(
    skin_examined_fields,
    {.sound = erased<examined_sound>, .form = {"examined", 51, "skin/examine"}});
constexpr KindInfo AreaBlocked::kind =
    listed<AreaBlocked>(area_blocked_fields, {.form = {"blocked"}});
constexpr KindInfo PlaceNoted::kind =
    listed<PlaceNoted>(place_noted_fields, {.form = {"", 50, "skin"}});
constexpr Group SlotPart::list = fields::group<SlotPart>(slot_part_fields);
constexpr KindInfo PlaceRulesSet::kind = listed<PlaceRulesSet>(
    place_rules_set_fields, {.sound = erased<place_rules_sound>, .form = {"place-rules"}});
constexpr Group PromisedPlace::list = fields::group<PromisedPlace>(promised_place_fields);
constexpr KindInfo PlacePlanGiven::kind = listed<PlacePlanGiven>(place_plan_given_fields);

}  // namespace penstock::facts
