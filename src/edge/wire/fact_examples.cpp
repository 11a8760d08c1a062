// One request for each kind of fact, as a person would write it: for help texts and the API page.
// Each is read and checked by a test.
#include <algorithm>
#include <array>

#include "edge/wire/fact_json.hpp"

namespace penstock::wire {
namespace {

struct Example {
  std::string_view kind;
  std::string_view rest;  ///< what follows "what" and "happened"
};

#define PEN "9a4f0c1d2e3b4a5968778695a4b3c2d1"
#define CARTRIDGE "1f2e3d4c5b6a79880a1b2c3d4e5f6071"
#define LINE "c0ffee0012345678c0ffee0012345678"
#define AREA "7c9e6679f3a44d0b8a1c5e2b90d4f163"
#define DIGEST "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"
#define PEN_VALUES                                                               \
  R"({"name": "reusable pen, 1-unit steps", "step_units": 1, "most_units": 60,)" \
  R"( "window": "returns to zero", "takes": "cartridge", "prime_units": 2,)"     \
  R"( "new_cartridge_prime_units": 4, "hold_seconds": 10, "turns_back": true,)"  \
  R"( "when_short": "stops dialling", "fits": "A", "needle_fits": "screw"})"
#define INSULIN_VALUES                                                                     \
  R"({"name": "insulin glargine", "strength_units_per_ml": 100, "action": "long acting",)" \
  R"( "suspension": false, "in_use_days": 28, "counts_from_fridge": false,)"               \
  R"( "in_use_most_celsius": 30, "store_least_celsius": 2, "store_most_celsius": 8})"

constexpr Example examples[] = {
    {"person registered",
     R"("full_name": "Mary Miller", "born": "1958-06-04", "number": "HS-0117",)"
     R"( "zone": "Europe/Berlin", "phone": "030 555 0117", "background": {"diabetes": "type 2",)"
     R"( "weight_kg": 72.4, "weighed_on": "2027-03-02", "injector": "self", "sight": "reduced"})"},
    {"background noted",
     R"("background": {"diabetes": "type 2", "lives_alone": "yes", "speaks": "German"})"},
    {"order line signed",
     R"("order_version": 1, "insulin": "insulin glargine", "strength_units_per_ml": 100,)"
     R"( "purpose": "background", "slots": [{"slot": "bedtime", "at": "22:00",)"
     R"( "minutes_before": 60, "minutes_after": 120, "units": 10}], "least_units": 4,)"
     R"( "most_units": 30, "from": "2027-03-16", "prescriber": "Dr Amara Osei",)"
     R"( "signed_on": "2027-03-15", "copied_from": "paper", "copied_by": "Jo Winter",)"
     R"( "read_back": true, "low_limit": {"value": 3.9, "unit": "mmol/L"})"},
    {"order line checked", R"("line": ")" LINE R"(", "checked_by": "Sam Field")"},
    {"order signature seen", R"("line": ")" LINE R"(")"},
    {"order line ended", R"("line": ")" LINE R"(", "last_day": "2027-04-30",)"
                         R"( "prescriber": "Dr Amara Osei", "reason": "changed to 200 units/mL")"},
    {"question opened", R"("line": ")" LINE R"(", "reason": "lows",)"
                        R"( "text": "Two lows before breakfast this week.")"},
    {"question answered",
     R"("question": "5d41402abc4b2a76b9719d911017c592", "answer": "keep the dose",)"
     R"( "by": "Dr Amara Osei", "text": "Keep 10, ring again on Friday.", "read_back": true)"},
    {"pen given", R"("pen": ")" PEN R"(", "copy": )" PEN_VALUES
                  R"(, "insulin": "insulin glargine", "strength_units_per_ml": 100)"},
    {"supplies given",
     R"("insulin": "insulin glargine", "strength_units_per_ml": 100, "each_units": 300,)"
     R"( "cartridges": 5, "needles": 100, "lot": "4K117", "expires": "2028-09-30")"},
    {"cartridge loaded",
     R"("cartridge": ")" CARTRIDGE R"(", "pen": ")" PEN R"(", "copy": )" INSULIN_VALUES
     R"(, "units": 300, "content_units": 300, "fits": "A", "lot": "4K117")"},
    {"left the fridge", R"("cartridge": ")" CARTRIDGE R"(")"},
    {"window tested", R"("pen": ")" PEN R"(", "dialled_units": 2, "shown_after_units": 0,)"
                      R"( "cartridge": ")" CARTRIDGE R"(")"},
    {"primed", R"("cartridge": ")" CARTRIDGE R"(", "units": 2, "flow": "seen")"},
    {"injected",
     R"("cartridge": ")" CARTRIDGE R"(", "units": 10, "zone": "thigh left", "given_by": "self")"},
    {"needle on", R"("pen": ")" PEN R"(", "needle": "4 mm", "length_mm": 4)"},
    {"needle off", R"("pen": ")" PEN R"(", "disposal": "sharps container")"},
    {"scale counted", R"("cartridge": ")" CARTRIDGE R"(", "units": 126)"},
    {"thrown away", R"("cartridge": ")" CARTRIDGE R"(", "reason": "past in use")"},
    {"temperature spell", R"("cartridge": ")" CARTRIDGE R"(", "celsius": 45, "minutes": 240,)"
                          R"( "text": "lay in the car")"},
    {"pen shared", R"("pen": ")" PEN R"(", "with": "her sister")"},
    {"body measured",
     R"("sex": "female", "height_cm": 168, "waist_cm": 84.5, "due": "2027-06-04")"},
    {"depth measured",
     R"("zone": "thigh left", "depth_mm": 11.5, "sd_mm": 1, "text": "standing, linear probe")"},
    {"skin examined",
     R"("light": "lamp from the side", "posture": "standing",)"
     R"( "zones": ["abdomen left lower", "abdomen right lower"], "findings": [{"area": ")" AREA
     R"(", "tissue": "hardened", "zone": "abdomen left lower",)"
     R"( "centre": {"x_mm": 62, "y_mm": -30}, "length_mm": 38, "width_mm": 25, "seen": false,)"
     R"( "felt": true, "verdict": "keep off"}])"},
    {"area blocked", R"("area": ")" AREA R"(", "tissue": "scar", "zone": "abdomen right upper",)"
                     R"( "centre": {"x_mm": -70, "y_mm": 55}, "radius_mm": 20)"},
    {"place noted", R"("injection": "5d41402abc4b2a76b9719d911017c592",)"
                    R"( "zone": "abdomen left upper", "spot": {"x_mm": 60, "y_mm": 24.5})"},
    {"place rules set",
     R"("zones": ["abdomen left upper", "abdomen right upper", "thigh left", "thigh right"],)"
     R"( "parts": [{"slot": "bedtime", "part": "thigh"}], "rest_days": 28, "spacing_mm": 10,)"
     R"( "navel_clear_mm": 50, "turn": "each week", "needle_mm": 4, "angle_deg": 90,)"
     R"( "fold": "no", "can_fold": "yes")"},
    {"place plan given",
     R"("order_version": 1, "places": [{"day": "2027-03-17", "slot": "bedtime",)"
     R"( "zone": "thigh left", "spot": {"x_mm": 10, "y_mm": -20}}])"},
    {"supplies counted", R"("insulin": "insulin glargine", "strength_units_per_ml": 100,)"
                         R"( "each_units": 300, "cartridges": 2, "needles": 61)"},
    {"needles given", R"("needle": "4 mm", "length_mm": 4, "needles": 100, "lot": "N2207",)"
                      R"( "expires": "2030-01-31")"},
    {"supply rules set", R"("lead_days": 5, "spare_cartridges": 1, "for_days": 30)"},
    {"supplies asked for", R"("insulin": "insulin glargine", "strength_units_per_ml": 100,)"
                           R"( "boxes": 1, "needle_boxes": 1, "of_whom": "the pharmacy",)"
                           R"( "expected": "2027-03-25")"},
    {"sharps box given", R"("box": ")" AREA R"(", "holds_needles": 200)"},
    {"sharps box closed", R"("box": ")" AREA R"(", "brought_to": "the clinic")"},
    {"trip planned", R"("leaves": "2027-04-02", "returns": "2027-04-16",)"
                     R"( "zone": "America/New_York", "warmest_celsius": 34, "pharmacy": "no")"},
    {"pen tested", R"("pen": ")" PEN R"(", "dialled_units": 10, "by": "weighed",)"
                   R"( "delivered_units": [9.8, 9.91, 10.02, 9.87])"},
    {"difference talked over",
     R"("from": "2027-01-15", "until": "2027-03-15",)"
     R"( "insulin": "insulin glargine", "strength_units_per_ml": 100,)"
     R"( "because": "extra priming", "text": "Primed until two drops fell.")"},
    {"taught back", R"("skill": "injection", "needle": "4 mm", "unprompted": true)"},
    {"note", R"("text": "Wants the sheet in large print.")"},
    {"reminder dismissed", R"("reminder": "today.scale_disagrees", "basis": "12",)"
                           R"( "reason": "Counted again together, both 126.")"},
    {"phone advice", R"("said": "dial.part_left", "read_back": true, "text": "12, not 22.")"},
    {"diary imported",
     R"("file": "march.csv", "digest": ")" DIGEST R"(", "rows": 212, "facts_new": 180)"},
    {"clinic named", R"("clinic": "Harbour Street Clinic", "user": "Jo Winter",)"
                     R"( "zone": "Europe/Berlin", "phone": "030 555 0100", "emergency": "112")"},
    {"shelf insulin added",
     R"("entry": {"code": "glargine-100-own", "thing": )" INSULIN_VALUES
     R"(, "sources": [{"field": "in_use_days", "source": "carton", "known": "read"}]})"},
    {"shelf cartridge added",
     R"("entry": {"code": "glargine-100-3ml-own", "thing": {"name": "3 mL cartridge",)"
     R"( "insulin": "glargine-100", "presentation": "cartridge", "tenths_ml": 30,)"
     R"( "content_units": 300, "fits": "A"}})"},
    {"shelf pen added", R"("entry": {"code": "pen-own", "thing": )" PEN_VALUES R"(})"},
    {"shelf needle added",
     R"("entry": {"code": "needle-4-own", "thing": {"name": "4 mm, 32 gauge", "length_mm": 4,)"
     R"( "gauge": 32, "fits": "screw"}})"},
    {"heads sealed", R"("digest": ")" DIGEST R"(", "journals": 24)"},
    {"stock came", R"("item": "glargine-100-cartridge", "pieces": 50, "lot": "4K117",)"
                   R"( "expires": "2028-09-30", "gtin": "04012345678901")"},
    {"stock moved", R"("item": "glargine-100-cartridge", "lot": "4K117", "pieces": 5,)"
                    R"( "way": "destroyed", "text": "found frozen")"},
    {"stock counted", R"("item": "glargine-100-cartridge", "lot": "4K117", "pieces": 45)"},
    {"product learnt",
     R"("gtin": "04012345678901", "item": "glargine-100-cartridge", "pieces": 5)"},
    {"recall opened", R"("recall": ")" AREA R"(", "lot": "4K117",)"
                      R"( "item": "glargine-100-cartridge", "from_whom": "the wholesaler")"},
    {"recall called", R"("recall": ")" AREA R"(", "person": ")" LINE R"(",)"
                      R"( "outcome": "replaced")"},
    {"closed days set", R"("weekdays": ["saturday", "sunday"], "dates": ["2027-03-26"])"},
    {"correction", R"("target": "5d41402abc4b2a76b9719d911017c592", "reason": "26, not 36",)"
                   R"( "replacement": {"happened": "2027-03-16T22:05:00+01:00",)"
                   R"( "what": "injected", "cartridge": ")" CARTRIDGE R"(", "units": 26})"},
};

#undef PEN
#undef CARTRIDGE
#undef LINE
#undef AREA
#undef DIGEST
#undef PEN_VALUES
#undef INSULIN_VALUES

}  // namespace

std::optional<json::Value> kind_example(std::string_view kind) {
  const auto found = std::ranges::find(examples, kind, &Example::kind);
  if (found == std::end(examples)) return std::nullopt;
  const auto text = R"({"what": ")" + std::string(kind) +
                    R"(", "happened": "2027-03-16T22:05:00+01:00", )" + std::string(found->rest) +
                    "}";
  auto read = json::parse(text);
  INVARIANT(read.has_value());
  return *std::move(read);
}

}  // namespace penstock::wire
