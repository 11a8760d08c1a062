#include "core/facts/facts.hpp"
#include "core/facts/list.hpp"

namespace penstock::facts {
namespace {

using std::chrono::days;

// Needles alone have no insulin, and so no strength.
bool is_needles_alone(const SuppliesGiven& given) { return given.cartridges == 0; }
bool is_needles_alone(const SuppliesCounted& counted) { return is_blank(counted.insulin); }
bool is_needles_alone(const SuppliesAsked& asked) { return is_blank(asked.insulin); }
template <class T>
std::int64_t least_strength(const T& supplies, std::int64_t value) {
  return value == 0 && is_needles_alone(supplies) ? 0 : shelf::limits::strength_units_per_ml.least;
}

constexpr Field supplies_given_fields[] = {
    FIELD(SuppliesGiven, insulin, "insulin").kept().like(R"("insulin glargine")"),
    FIELD(SuppliesGiven, strength, "strength_units_per_ml")
        .kept()
        .optional()
        .least_by(erased<least_strength<SuppliesGiven>>)
        .like("100"),
    FIELD(SuppliesGiven, each, "each_units").kept().optional().like("300"),
    FIELD(SuppliesGiven, cartridges, "cartridges")
        .wanted()
        .within(0, supplies_max, "limit.supplies")
        .optional()
        .like("5"),
    FIELD(SuppliesGiven, needles, "needles")
        .wanted()
        .within(0, supplies_max, "limit.supplies")
        .optional()
        .like("100"),
    FIELD(SuppliesGiven, lot, "lot").like(R"("4K117")"),
    FIELD(SuppliesGiven, expires, "expires").like(R"("2028-09-30")")};
constexpr Field supplies_counted_fields[] = {
    FIELD(SuppliesCounted, insulin, "insulin").kept().like(R"("insulin glargine")"),
    FIELD(SuppliesCounted, strength, "strength_units_per_ml")
        .kept()
        .optional()
        .least_by(erased<least_strength<SuppliesCounted>>)
        .like("100"),
    FIELD(SuppliesCounted, each, "each_units").kept().optional().like("300"),
    FIELD(SuppliesCounted, cartridges, "cartridges")
        .within(0, supplies_max, "limit.supplies")
        .like("2"),
    FIELD(SuppliesCounted, needles, "needles")
        .within(0, supplies_max, "limit.supplies")
        .like("61")};
constexpr Field needles_given_fields[] = {
    FIELD(NeedlesGiven, needle, "needle").naming(Names::needle).kept().needed().like(R"("4 mm")"),
    FIELD(NeedlesGiven, length, "length_mm")
        .within(0, needle_tenths_mm_max, "limit.needle_mm")
        .optional()
        .like("4"),
    FIELD(NeedlesGiven, needles, "needles").within(0, supplies_max, "limit.supplies").like("100"),
    FIELD(NeedlesGiven, lot, "lot").like(R"("N2207")"),
    FIELD(NeedlesGiven, expires, "expires").like(R"("2030-01-31")")};
constexpr Field supply_rules_set_fields[] = {
    FIELD(SupplyRulesSet, lead_days, "lead_days")
        .within(0, lead_days_max, "limit.lead")
        .usual(0, usual_lead_days_most, "usual.lead")
        .optional()
        .like("5"),
    FIELD(SupplyRulesSet, late_days, "late_days")
        .within(0, lead_days_max, "limit.lead")
        .usual(0, usual_lead_days_most, "usual.lead")
        .optional(),
    FIELD(SupplyRulesSet, late_percent, "late_percent").within(0, 99, "limit.percent").optional(),
    FIELD(SupplyRulesSet, service_per_thousand, "service_per_thousand")
        .within(service_least, service_max, "limit.service")
        .optional(),
    FIELD(SupplyRulesSet, service_reason, "service_reason").long_text(),
    FIELD(SupplyRulesSet, service_by, "service_by"),
    FIELD(SupplyRulesSet, spare_cartridges, "spare_cartridges")
        .within(0, spare_max, "limit.spare")
        .optional()
        .like("1"),
    FIELD(SupplyRulesSet, spare_pens, "spare_pens").within(0, spare_max, "limit.spare").optional(),
    FIELD(SupplyRulesSet, for_days, "for_days")
        .within(1, due_days_max, "limit.for_days")
        .optional()
        .like("30"),
    FIELD(SupplyRulesSet, cartridges_per_box, "cartridges_per_box")
        .within(1, box_max, "limit.box")
        .optional(),
    FIELD(SupplyRulesSet, needles_per_box, "needles_per_box")
        .within(1, box_max, "limit.box")
        .optional(),
    FIELD(SupplyRulesSet, failed_needles_percent, "failed_needles_percent")
        .within(0, 50, "limit.percent")
        .optional(),
    FIELD(SupplyRulesSet, spread, "spread").optional()};
constexpr Field supplies_asked_fields[] = {
    FIELD(SuppliesAsked, insulin, "insulin").kept().like(R"("insulin glargine")"),
    FIELD(SuppliesAsked, strength, "strength_units_per_ml")
        .kept()
        .optional()
        .least_by(erased<least_strength<SuppliesAsked>>)
        .like("100"),
    FIELD(SuppliesAsked, boxes, "boxes").within(0, boxes_max, "limit.boxes").optional().like("1"),
    FIELD(SuppliesAsked, needle_boxes, "needle_boxes")
        .within(0, boxes_max, "limit.boxes")
        .optional()
        .like("1"),
    FIELD(SuppliesAsked, of_whom, "of_whom").like(R"("the pharmacy")"),
    FIELD(SuppliesAsked, expected, "expected").like(R"("2026-03-25")")};
constexpr Field sharps_box_given_fields[] = {FIELD(SharpsBoxGiven, box, "box").like(an_area),
                                             FIELD(SharpsBoxGiven, holds_needles, "holds_needles")
                                                 .within(4, supplies_max, "limit.supplies")
                                                 .like("200")};
constexpr Field sharps_box_closed_fields[] = {
    FIELD(SharpsBoxClosed, box, "box").like(an_area),
    FIELD(SharpsBoxClosed, brought_to, "brought_to").like(R"("the clinic")")};
constexpr Field trip_planned_fields[] = {
    FIELD(TripPlanned, leaves, "leaves").like(R"("2026-04-02")"),
    FIELD(TripPlanned, returns, "returns").like(R"("2026-04-16")"),
    FIELD(TripPlanned, zone, "zone").like(R"("America/New_York")"),
    FIELD(TripPlanned, warmest, "warmest_celsius")
        .within(celsius_tenths_least, celsius_tenths_max, "limit.celsius")
        .usual(usual_celsius_tenths_least, usual_celsius_tenths_most, "usual.celsius")
        .like("34"),
    FIELD(TripPlanned, pharmacy, "pharmacy").offering(yes_first).like(R"("no")"),
    FIELD(TripPlanned, text, "text").long_text()};
constexpr Field difference_talked_fields[] = {
    FIELD(DifferenceTalked, from, "from").like(R"("2026-01-15")"),
    FIELD(DifferenceTalked, until, "until").like(R"("2026-03-15")"),
    FIELD(DifferenceTalked, insulin, "insulin").kept().needed().like(R"("insulin glargine")"),
    FIELD(DifferenceTalked, strength, "strength_units_per_ml").kept().like("100"),
    FIELD(DifferenceTalked, because, "because").like(R"("extra priming")"),
    FIELD(DifferenceTalked, text, "text").long_text().like(R"("Primed until two drops fell.")")};

// How much of an insulin: its name, and what one cartridge of it holds.
void of_insulin(const std::string& insulin, Units each, Whole& whole) {
  whole.needs("insulin", insulin, codes::text_empty);
  whole.units("each_units", each, 1, record_hundredths_max, "limit.content");
}
void given_sound(const SuppliesGiven& given, Whole& whole) {
  if (given.cartridges > 0) of_insulin(given.insulin, given.each, whole);
}
void counted_sound(const SuppliesCounted& counted, Whole& whole) {
  if (counted.cartridges) return of_insulin(counted.insulin, counted.each, whole);
  if (!counted.needles) whole.some("needles", 0, supplies_max, "limit.supplies");
}
void needles_sound(const NeedlesGiven& given, Whole& whole) {
  whole.some("needles", given.needles, supplies_max, "limit.supplies");
}
void supply_rules_sound(const SupplyRulesSet& rules, Whole& whole) {
  // Less than the usual certainty is somebody's decision, and has a reason.
  if (rules.service_per_thousand < service_plain_least) {
    whole.needs("service_reason", rules.service_reason, codes::service_reason);
    whole.needs("service_by", rules.service_by, codes::service_reason);
  }
  if (rules.late_percent > 0) {
    whole.range("late_days", rules.late_days, rules.lead_days, lead_days_max, ArgType::count,
                "limit.lead");
  }
}
void asked_sound(const SuppliesAsked& asked, Whole& whole) {
  if (asked.boxes > 0) return whole.needs("insulin", asked.insulin, codes::text_empty);
  whole.some("needle_boxes", asked.needle_boxes, boxes_max, "limit.boxes");
}
void trip_sound(const TripPlanned& trip, Whole& whole) {
  whole.day("returns", trip.returns, trip.leaves, trip.leaves + days{due_days_max}, "limit.trip");
}
std::optional<Asked> trip_odd(const TripPlanned& trip, LocalDay /*on*/) {
  return Asked{"returns",
               (trip.returns - trip.leaves).count(),
               ArgType::count,
               {0, usual_trip_days_most, "usual.trip"}};
}
void talked_sound(const DifferenceTalked& talked, Whole& whole) {
  whole.day("until", talked.until, talked.from, talked.from + days{due_days_max}, "limit.period");
}

}  // namespace

constexpr KindInfo SuppliesGiven::kind = listed<SuppliesGiven>(
    supplies_given_fields,
    {.sound = erased<given_sound>, .form = {"supplies", 60, "supplies/give"}});
constexpr KindInfo SuppliesCounted::kind = listed<SuppliesCounted>(
    supplies_counted_fields,
    {.sound = erased<counted_sound>, .form = {"counted", 61, "supplies/count"}});
constexpr KindInfo NeedlesGiven::kind = listed<NeedlesGiven>(
    needles_given_fields, {.sound = erased<needles_sound>, .form = {"needles"}});
constexpr KindInfo SupplyRulesSet::kind =
    listed<SupplyRulesSet>(supply_rules_set_fields, {.sound = erased<supply_rules_sound>});
constexpr KindInfo SuppliesAsked::kind =
    listed<SuppliesAsked>(supplies_asked_fields, {.sound = erased<asked_sound>, .form = {"asked"}});
constexpr KindInfo SharpsBoxGiven::kind =
    listed<SharpsBoxGiven>(sharps_box_given_fields, {.form = {"box", 62, "supplies/box"}});
constexpr KindInfo SharpsBoxClosed::kind =
    listed<SharpsBoxClosed>(sharps_box_closed_fields, {.form = {"box-closed"}});
constexpr KindInfo TripPlanned::kind = listed<TripPlanned>(
    trip_planned_fields,
    {.sound = erased<trip_sound>, .odd = erased<trip_odd>, .form = {"trip", 64, "supplies/trip"}});
constexpr KindInfo DifferenceTalked::kind = listed<DifferenceTalked>(
    difference_talked_fields, {.sound = erased<talked_sound>, .form = {"talked"}});

}  // namespace penstock::facts
