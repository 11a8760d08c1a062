#include "edge/demo/internal/people.hpp"

namespace penstock::demo {
namespace {

using journal::Ability;
using journal::Background;
using journal::DiabetesKind;
using journal::Injector;
using journal::Purpose;
using journal::SlotName;
using journal::YesNo;

constexpr std::int16_t at(int hour, int minute) {
  return static_cast<std::int16_t>(hour * 60 + minute);
}

// What most people have answered; a story changes what matters to it. The day of weighing is the
// first visit.
Background answered(DiabetesKind kind, std::int32_t tenths_kg) {
  Background b;
  b.diabetes = kind;
  b.weight = TenthsKg{tenths_kg};
  b.pregnant = YesNo::no;
  b.kidneys = "no known trouble";
  b.other_glucose_medicines = kind == DiabetesKind::type_2 ? "metformin" : "none";
  b.severe_lows = YesNo::no;
  b.feels_lows = YesNo::yes;
  b.lives_alone = YesNo::no;
  b.drives = YesNo::yes;
  b.injector = Injector::self;
  b.sight = b.hands = b.hearing = b.memory = Ability::full;
  b.speaks = b.reads = "English";
  b.interpreter = YesNo::no;
  return b;
}

template <class Change>
Background but(Background b, Change change) {
  change(b);
  return b;
}

Line bedtime(std::string_view insulin, std::string_view cartridge, std::string_view pen,
             std::int32_t units) {
  return {
      Purpose::background, insulin, cartridge, pen, {{SlotName::bedtime, at(22, 0), units * 100}}};
}
Line glargine(std::int32_t units) {
  return bedtime("glargine-100", "glargine-100-cartridge", "reusable-whole-60", units);
}
Line lispro(int b, int l, int s) {
  return {Purpose::mealtime,
          "lispro-100",
          "lispro-100-cartridge",
          "reusable-whole-60-slim",
          {{SlotName::breakfast, at(7, 30), b * 100},
           {SlotName::lunch, at(12, 45), l * 100},
           {SlotName::supper, at(18, 30), s * 100}}};
}
Line aspart(int b, int l, int s) {
  return {Purpose::mealtime,
          "aspart-100",
          "aspart-100-cartridge",
          "reusable-whole-80",
          {{SlotName::breakfast, at(7, 15), b * 100},
           {SlotName::lunch, at(12, 30), l * 100},
           {SlotName::supper, at(19, 0), s * 100}}};
}

void add_alike_and_unusual(std::vector<Persona>& all) {
  const auto t1 = DiabetesKind::type_1;
  const auto t2 = DiabetesKind::type_2;
  // Two names that are nearly one (H19).
  all.push_back({"Mirela Okonkwo",
                 "1958-06-04",
                 "HS 04172",
                 Story::question_after_lows,
                 but(answered(t1, 684),
                     [](Background& b) {
                       b.sight = Ability::reduced;
                       b.lives_alone = YesNo::yes;
                       b.drives = YesNo::no;
                       b.severe_lows = YesNo::yes;
                     }),
                 {lispro(6, 7, 8), glargine(22)},
                 "Europe/Berlin",
                 "6-mm-31g"});
  all.push_back({"Mirella Okonkwo",
                 "1985-04-06",
                 "HS 04712",
                 Story::plain,
                 answered(t2, 912),
                 {glargine(34)}});
  // A child: half units, and the school nurse gives the midday dose.
  all.push_back({"Tove Marklund",
                 "2019-08-21",
                 "HS 05120",
                 Story::plain,
                 but(answered(t1, 248),
                     [](Background& b) {
                       b.injector = Injector::school_nurse;
                       b.drives = YesNo::no;
                       b.feels_lows = YesNo::unknown;
                     }),
                 {{Purpose::mealtime,
                   "lispro-100",
                   "lispro-100-cartridge",
                   "reusable-half-30-slim",
                   {{SlotName::breakfast, at(7, 0), 250},
                    {SlotName::lunch, at(12, 15), 350},
                    {SlotName::supper, at(18, 0), 300}}},
                  {Purpose::background,
                   "glargine-100",
                   "glargine-100-cartridge",
                   "reusable-half-30",
                   {{SlotName::bedtime, at(20, 0), 650}}}}});
  // Strengths other than 100 (H03).
  all.push_back(
      {"Noor Halvorsen",
       "1949-11-30",
       "HS 03987",
       Story::plain,
       answered(t2, 1043),
       {bedtime("glargine-300", "glargine-300-prefilled", "prefilled-whole-80-300", 48)}});
}

void add_with_their_own_pens(std::vector<Persona>& all) {
  const auto t1 = DiabetesKind::type_1;
  const auto t2 = DiabetesKind::type_2;
  all.push_back({"Bram Castellanos",
                 "1971-02-17",
                 "HS 04455",
                 Story::hardened_today,
                 answered(t2, 1187),
                 {bedtime("degludec-200", "degludec-200-prefilled", "prefilled-double-160", 76)}});
  // Cloudy insulin, and one evening dose left before it cannot be mixed (H43).
  all.push_back(
      {"Piet Haukila",
       "1944-07-09",
       "HS 03310",
       Story::plain,
       but(answered(t2, 791),
           [](Background& b) {
             b.hands = Ability::reduced;
             b.memory = Ability::reduced;
           }),
       {{Purpose::background,
         "nph-100",
         "nph-100-cartridge",
         "reusable-whole-60-slim",
         {{SlotName::breakfast, at(7, 30), 1400}, {SlotName::supper, at(18, 30), 1000}}}}});
  all.push_back(
      {"Salma Fairweather",
       "1962-03-25",
       "HS 04031",
       Story::plain,
       answered(t2, 866),
       {{Purpose::premixed,
         "aspart-30-70-100",
         "aspart-30-70-100-cartridge",
         "reusable-whole-80",
         {{SlotName::breakfast, at(7, 45), 2400}, {SlotName::supper, at(18, 45), 1800}}}}});
  // A pen whose window counts on, with 1.5 mL cartridges (H01).
  all.push_back({"Kwabena Ostrowski",
                 "1953-12-02",
                 "HS 03744",
                 Story::plain,
                 but(answered(t2, 774), [](Background& b) { b.hearing = Ability::reduced; }),
                 {bedtime("glargine-100", "glargine-100-small-cartridge", "counts-on-36", 20)}});
  all.push_back({"Yusuf Trevelyan",
                 "1979-05-14",
                 "HS 04520",
                 Story::runs_out_saturday,
                 answered(t1, 733),
                 {glargine(18)}});
}

void add_in_trouble(std::vector<Persona>& all) {
  const auto t1 = DiabetesKind::type_1;
  const auto t2 = DiabetesKind::type_2;
  all.push_back({"Zdzisława Michałowska-Wójcik",
                 "1966-01-19",
                 "HS 04102",
                 Story::past_in_use,
                 but(answered(t2, 702),
                     [](Background& b) {
                       b.speaks = b.reads = "Polish";
                       b.interpreter = YesNo::yes;
                     }),
                 {glargine(4)}});
  all.push_back({"Inés Paquette",
                 "1990-10-08",
                 "HS 04801",
                 Story::pen_in_the_sun,
                 answered(t1, 615),
                 {lispro(5, 6, 6), glargine(16)}});
  all.push_back({"Tomas Wren",
                 "1988-09-27",
                 "HS 04777",
                 Story::corrected_entry,
                 answered(t1, 820),
                 {aspart(8, 9, 10),
                  bedtime("degludec-100", "degludec-100-cartridge", "reusable-whole-80", 26)}});
  all.push_back({"Amaia Desrosiers",
                 "1974-04-11",
                 "HS 04388",
                 Story::part_dose,
                 answered(t2, 945),
                 {glargine(22)}});
  all.push_back({"Odhrán Vasilenko",
                 "1956-08-03",
                 "HS 03890",
                 Story::second_check,
                 answered(t2, 880),
                 {glargine(26)}});
  all.push_back({"Lumi Abernathy",
                 "1947-06-22",
                 "HS 03402",
                 Story::window_unknown,
                 answered(t2, 690),
                 {{Purpose::background,
                   "nph-100",
                   "nph-100-cartridge",
                   "window-unknown-40",
                   {{SlotName::bedtime, at(22, 30), 1200}}}}});
  all.push_back({"Emeka Sørensen",
                 "1969-03-07",
                 "HS 04260",
                 Story::scale_disagrees,
                 answered(t2, 1010),
                 {glargine(30)}});
}

void add_waiting_for_somebody(std::vector<Persona>& all) {
  const auto t1 = DiabetesKind::type_1;
  const auto t2 = DiabetesKind::type_2;
  all.push_back({"Beatriz Kaminski",
                 "1992-12-19",
                 "HS 04866",
                 Story::order_ends,
                 but(answered(DiabetesKind::gestational, 788),
                     [](Background& b) { b.pregnant = YesNo::yes; }),
                 {lispro(4, 6, 6)}});
  all.push_back({"Hamish Delacroix-Nakagawa",
                 "1951-09-15",
                 "HS 03655",
                 Story::needle_reused,
                 but(answered(t2, 990),
                     [](Background& b) {
                       b.lives_alone = YesNo::yes;
                       b.feels_lows = YesNo::no;
                     }),
                 {glargine(40)}});
  all.push_back({"Saoirse Bjelland",
                 "1983-07-28",
                 "HS 04611",
                 Story::signature_owed,
                 answered(t1, 667),
                 {aspart(6, 6, 7),
                  bedtime("detemir-100", "detemir-100-cartridge", "reusable-whole-80", 18)}});
  all.push_back({"Rafael Thistlewood",
                 "1960-11-12",
                 "HS 04007",
                 Story::rest_too_small,
                 answered(t2, 931),
                 {glargine(28)}});
  all.push_back({"Ingrid Adebayo",
                 "1937-02-24",
                 "HS 02988",
                 Story::plain,
                 but(answered(t2, 588),
                     [](Background& b) {
                       b.injector = Injector::district_nurse;
                       b.memory = Ability::reduced;
                       b.drives = YesNo::no;
                     }),
                 {glargine(12)},
                 "Europe/Berlin",
                 "safety-5-mm-30g"});
}

void add_and_the_rest(std::vector<Persona>& all) {
  const auto t1 = DiabetesKind::type_1;
  const auto t2 = DiabetesKind::type_2;
  // Far from home: her days are five hours behind the clinic's (H18).
  all.push_back({"Wilhelmina Osei",
                 "1995-05-30",
                 "HS 04912",
                 Story::plain,
                 answered(t1, 641),
                 {{Purpose::mealtime,
                   "faster-aspart-100",
                   "faster-aspart-100-cartridge",
                   "reusable-half-30-metal",
                   {{SlotName::breakfast, at(8, 0), 450},
                    {SlotName::lunch, at(13, 0), 550},
                    {SlotName::supper, at(19, 0), 600}}},
                  bedtime("degludec-100", "degludec-100-cartridge", "reusable-whole-80", 20)},
                 "America/Halifax"});
  all.push_back(
      {"Casimir O’Rourke",
       "1977-10-01",
       "HS 04499",
       Story::plain,
       answered(t2, 1264),
       {{Purpose::background,
         "regular-500",
         "regular-500-prefilled",
         "prefilled-five-300",
         {{SlotName::breakfast, at(7, 30), 8500}, {SlotName::supper, at(18, 30), 6000}}}}});
  all.push_back({"Nadia Engström", "2001-03-16", "HS 05208", Story::new_here, Background{}, {}});
}

std::vector<Persona> written() {
  std::vector<Persona> all;
  add_alike_and_unusual(all);
  add_with_their_own_pens(all);
  add_in_trouble(all);
  add_waiting_for_somebody(all);
  add_and_the_rest(all);
  return all;
}

}  // namespace

const std::vector<Persona>& people() {
  static const auto all = written();
  return all;
}

}  // namespace penstock::demo
