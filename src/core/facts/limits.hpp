// What a fact's values may be: beyond the hard limits they cannot be, outside the soft ones they
// are asked about (H25). Part of the room's door; included by facts.hpp.
#pragma once

#include <array>
#include <chrono>
#include <cstdint>
#include <string_view>

#include "core/units/units.hpp"

namespace penstock::facts {

// Hard limits: beyond them a value is a slip of the hand or a broken file, not a fact. Each has its
// reason. An error carries the limit's reason as the argument `why`, a code of `limit_reasons`.
inline constexpr std::int64_t record_hundredths_max =
    150'000;  // 1'500 units: the largest cartridge (3 mL at 500 units/mL)
inline constexpr std::int32_t weight_tenths_kg_max =
    6'500;  // the heaviest person on record weighed 635 kg (from memory)
inline constexpr std::int32_t weight_tenths_kg_least =
    5;  // half a kilogram: below any newborn who injects
inline constexpr std::int32_t celsius_tenths_max = 1'000;   // boiling
inline constexpr std::int32_t celsius_tenths_least = -900;  // below any place where people live
inline constexpr std::int32_t text_bytes_max = 4'000;  // a long note; a letter belongs elsewhere
inline constexpr std::int32_t name_bytes_max = 200;
inline constexpr std::int32_t slots_max = 12;  // a dose every two hours
inline constexpr std::int32_t supplies_max = 10'000;
inline constexpr std::int32_t order_version_max = 10'000;    // a new version a day for 27 years
inline constexpr std::int32_t window_minutes_max = 1'440;    // a day early or late is another dose
inline constexpr std::int32_t spell_minutes_max = 527'040;   // a year at one temperature
inline constexpr std::int32_t import_rows_max = 1'200'000;   // ten years, a row every five minutes
inline constexpr std::int32_t journals_max = 1'000'000;      // a large clinic's people, many times
inline constexpr std::int32_t offset_minutes_max = 18 * 60;  // ISO 8601; no zone is so far
inline constexpr std::int32_t needle_tenths_mm_max = 500;    // the longest hypodermic needle
inline constexpr std::int32_t spot_tenths_mm_max = 5'000;    // half a metre from the navel
// The tallest and the shortest grown person on record: 272 and 55 cm (from memory); a newborn is
// about 45.
inline constexpr std::int32_t height_tenths_cm_max = 2'800;
inline constexpr std::int32_t height_tenths_cm_least = 300;
inline constexpr std::int32_t waist_tenths_cm_max = 3'500;  // above any that was measured
inline constexpr std::int32_t waist_tenths_cm_least = 200;
inline constexpr std::int32_t depth_tenths_mm_max = 2'000;  // 20 cm of fat: no probe looks deeper
inline constexpr std::int32_t area_tenths_mm_max = 4'000;   // as wide as a trunk
inline constexpr std::int32_t findings_max = 40;            // one visit, one body
inline constexpr std::int32_t places_max = 5'000;           // a year of twelve injections a day
inline constexpr std::int32_t rest_days_max = 365;          // a year
// Nearer than a centimetre is the same spot (common practice, no source); a hand apart is the most.
inline constexpr std::int32_t spacing_tenths_mm_least = 100;
inline constexpr std::int32_t spacing_tenths_mm_max = 1'000;
inline constexpr std::int32_t navel_tenths_mm_max = 1'000;  // more leaves nothing of the belly
inline constexpr std::int32_t angle_deg_least = 15;  // flatter and it is under the skin, not below
inline constexpr std::int32_t angle_deg_max = 90;
inline constexpr std::int32_t due_days_max = 366;         // expected, or born, within a year
inline constexpr std::int32_t lead_days_max = 120;        // a season; longer is no order
inline constexpr std::int32_t service_least = 500;        // below, a coin decides
inline constexpr std::int32_t service_max = 999;          // never certain: doses vary
inline constexpr std::int32_t service_plain_least = 990;  // below it somebody says why, by name
inline constexpr std::int32_t spare_max = 20;             // more is a store, not a spare
inline constexpr std::int32_t box_max = 1'000;            // pieces in one box
inline constexpr std::int32_t boxes_max = 200;            // asked for at once, for one person
inline constexpr std::int32_t pieces_max = 1'000'000;     // of one lot, in one clinic
inline constexpr std::int32_t measured_doses_max = 200;   // the standard asks for sixty
inline constexpr std::int32_t closed_dates_max = 400;     // a year and more, day by day
inline constexpr std::int32_t years_ahead_max = 100;      // nobody's order or label lasts longer
// A low limit outside these is the other unit's number (H06): the published levels are 54 and 70
// mg/dL, 3.0 and 3.9 mmol/L.
inline constexpr std::int32_t low_limit_mmol_tenths_least = 20;
inline constexpr std::int32_t low_limit_mmol_tenths_max = 100;
inline constexpr std::int32_t low_limit_mg_least = 36;
inline constexpr std::int32_t low_limit_mg_max = 180;
// Below any reading that somebody was awake for, above any that was survived (from memory). What
// may be the number of the other unit, and is within, is asked about (usual.glucose, H06).
inline constexpr std::int32_t glucose_mmol_tenths_least = 5;
inline constexpr std::int32_t glucose_mmol_tenths_max = 1'000;
inline constexpr std::int32_t glucose_mg_least = 9;
inline constexpr std::int32_t glucose_mg_max = 1'800;
// Below and above any HbA1c that a laboratory reports (from memory). The two ends are the same in
// either unit; what may be the number of the other unit, and is within, is asked about
// (usual.hba1c).
inline constexpr std::int32_t hba1c_percent_tenths_least = 30;
inline constexpr std::int32_t hba1c_percent_tenths_max = 200;
inline constexpr std::int32_t hba1c_mmol_mol_least = 9;
inline constexpr std::int32_t hba1c_mmol_mol_max = 195;
// Nobody alive was born before: the oldest person on record lived 122 years (from memory).
inline constexpr LocalDay first_day = std::chrono::local_days{std::chrono::year{1900} / 1 / 1};

/// Every reason that an error's argument `why` can name; the catalogue has a name for each.
inline constexpr auto limit_reasons = std::to_array<std::string_view>(
    {"limit.record_units", "limit.weight",     "limit.celsius",
     "limit.slots",        "limit.supplies",   "limit.order_version",
     "limit.window",       "limit.spell",      "limit.import_rows",
     "limit.journals",     "limit.offset",     "limit.needle_mm",
     "limit.spot",         "limit.sources",    "limit.low_limit",
     "limit.date_past",    "limit.date_ahead", "limit.minute_of_day",
     "limit.choice",       "limit.least_most", "limit.slot_in_range",
     "limit.from_until",   "limit.content",    "limit.not_fuller",
     "limit.strength",     "limit.height",     "limit.waist",
     "limit.due",          "limit.depth",      "limit.sd",
     "limit.area",         "limit.findings",   "limit.zones",
     "limit.places",       "limit.rest",       "limit.spacing",
     "limit.navel",        "limit.angle",      "limit.lead",
     "limit.percent",      "limit.service",    "limit.spare",
     "limit.for_days",     "limit.box",        "limit.boxes",
     "limit.pieces",       "limit.trip",       "limit.measured",
     "limit.period",       "limit.closed",     "limit.glucose",
     "limit.hba1c"});

// Soft limits: outside them a well-formed value is asked about once, never refused. Ours, where no
// source is named.
inline constexpr std::int32_t usual_weight_tenths_kg_least = 100;   // a toddler
inline constexpr std::int32_t usual_weight_tenths_kg_most = 2'500;  // above most clinic scales
inline constexpr std::int64_t usual_dose_hundredths_most =
    8'000;  // usual pens dial 60 or 80 units (data/reference/pens.tsv, T402, from memory)
inline constexpr std::int64_t usual_prime_hundredths_most =
    600;  // a new cartridge may take four to six units (common practice, no source)
inline constexpr std::int32_t usual_celsius_tenths_least = -300;  // a freezer, a night outdoors
inline constexpr std::int32_t usual_celsius_tenths_most = 700;    // a closed car in the sun
inline constexpr std::int32_t usual_window_minutes_most = 240;
inline constexpr std::int32_t usual_age_years_most = 105;
inline constexpr std::int32_t usual_days_late_most = 366;          // a year written wrong
inline constexpr std::int32_t usual_height_tenths_cm_least = 500;  // a newborn
inline constexpr std::int32_t usual_height_tenths_cm_most = 2'200;
inline constexpr std::int32_t usual_waist_tenths_cm_least = 400;
inline constexpr std::int32_t usual_waist_tenths_cm_most = 2'000;
// Forty weeks are counted to the day; a child is rarely born more than two weeks after it.
inline constexpr std::int32_t usual_due_days_ahead_most = 280;
inline constexpr std::int32_t usual_due_days_past_most = 14;
inline constexpr std::int32_t usual_depth_tenths_mm_least = 20;  // skin alone
inline constexpr std::int32_t usual_depth_tenths_mm_most = 800;
inline constexpr std::int32_t usual_area_tenths_mm_most = 1'500;  // more than a hand covers
inline constexpr std::int32_t usual_rest_days_least = 14;
inline constexpr std::int32_t usual_rest_days_most = 90;
inline constexpr std::int32_t usual_spacing_tenths_mm_most = 300;
inline constexpr std::int32_t usual_angle_deg_least = 45;  // half upright (common practice)
inline constexpr std::int32_t usual_trip_days_most = 120;
inline constexpr std::int32_t usual_lead_days_most = 30;
// What meters show before they say "low" and "high": 20 to 600 mg/dL, 1.1 to 33.3 mmol/L (from
// memory).
inline constexpr std::int32_t usual_glucose_mmol_tenths_least = 11;
inline constexpr std::int32_t usual_glucose_mmol_tenths_most = 333;
inline constexpr std::int32_t usual_glucose_mg_least = 34;
inline constexpr std::int32_t usual_glucose_mg_most = 600;

// From somebody with short-lived red cells to somebody who was never treated (from memory).
inline constexpr std::int32_t usual_hba1c_percent_tenths_least = 40;
inline constexpr std::int32_t usual_hba1c_percent_tenths_most = 150;
inline constexpr std::int32_t usual_hba1c_mmol_mol_least = 20;
inline constexpr std::int32_t usual_hba1c_mmol_mol_most = 140;

/// Every reason that an odd value's argument `why` can name.
inline constexpr auto odd_reasons = std::to_array<std::string_view>(
    {"usual.weight", "usual.dose", "usual.prime", "usual.celsius", "usual.window", "usual.age",
     "usual.late", "usual.height", "usual.waist", "usual.due", "usual.depth", "usual.area",
     "usual.rest", "usual.spacing", "usual.angle", "usual.trip", "usual.lead", "usual.glucose",
     "usual.hba1c"});

}  // namespace penstock::facts
