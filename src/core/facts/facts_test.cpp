#include "core/facts/facts.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>

namespace penstock::facts {
namespace {

using namespace literals;
using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;
using std::chrono::year;

constexpr LocalDay day(int y, unsigned m, unsigned d) {
  return std::chrono::local_days{year{y} / static_cast<int>(m) / static_cast<int>(d)};
}
constexpr Instant noon = std::chrono::sys_days{year{2027} / 3 / 16} + hours{12};
constexpr Id id(std::uint64_t n) { return {9, n}; }

Fact fact(Payload payload) {
  return {id(1), id(2), {noon, 60}, 0, noon, "N. Okafor", "", "bench", std::move(payload)};
}

PersonRegistered person() {
  return {"Ada Marsh", day(1958, 6, 4), "HS-0417", "Europe/Berlin", "", {}};
}
OrderLineSigned line() {
  OrderLineSigned made;
  made.insulin = "insulin glargine";
  made.strength = {100};
  made.slots = {{SlotName::bedtime, {22 * 60}, 60, 60, 10_units}};
  made.least_units = 4_units;
  made.most_units = 20_units;
  made.from = day(2027, 3, 16);
  made.prescriber = "Dr. R. Haddad";
  made.signed_on = day(2027, 3, 16);
  made.copied_by = "N. Okafor";
  return made;
}
shelf::Pen pen() {
  return {"reusable pen", 1_units,       60_units, std::nullopt, shelf::Presentation::cartridge,
          2_units,        4_units,       10,       true,         shelf::WhenShort::unknown,
          "fit A",        "screw thread"};
}
shelf::Insulin insulin() {
  return {"insulin glargine",
          {100},
          shelf::Action::long_acting,
          false,
          28,
          true,
          {300},
          {20},
          {80},
          {}};
}
CartridgeLoaded loaded() {
  return {id(7), id(8), insulin(), 300_units, 300_units, "fit A", true, "L1", day(2027, 11, 30)};
}
Injected injected(Units units) {
  Injected made;
  made.cartridge = id(7);
  made.units = units;
  return made;
}
SuppliesGiven supplies() {
  return {"insulin glargine", {100}, 300_units, 5, 100, "L1", day(2027, 11, 30)};
}

std::pair<std::string, std::string> refusal(const Fact& made) {
  const auto result = checked(made);
  return result ? std::pair<std::string, std::string>{"taken", ""}
                : std::pair{result.error().code, result.error().at};
}
std::pair<std::string, std::string> refusal(Payload payload) {
  return refusal(fact(std::move(payload)));
}
std::pair<std::string, std::string> expect(std::string_view code, std::string_view at) {
  return {std::string(code), std::string(at)};
}
const auto taken = expect("taken", "");

/// Just inside passes; just outside is refused there, with both ends and a reason that has a name.
template <class Make>
void expect_range(std::string_view at, std::int64_t least, std::int64_t most, const Make& make) {
  EXPECT_EQ(refusal(make(least)), taken) << at << " " << least;
  EXPECT_EQ(refusal(make(most)), taken) << at << " " << most;
  for (const auto outside : {least - 1, most + 1}) {
    const auto result = checked(fact(make(outside)));
    ASSERT_FALSE(result) << at << " " << outside;
    const auto& error = result.error();
    EXPECT_EQ(error.code, codes::value_range) << at;
    EXPECT_EQ(error.at, at);
    const auto arg = [&](std::string_view name) {
      const auto found = std::ranges::find(error.args, name, &Arg::name);
      return found == error.args.end() ? Arg{} : *found;
    };
    EXPECT_EQ(arg("value").number, outside) << at;
    EXPECT_EQ(arg("least").number, least) << at;
    EXPECT_EQ(arg("most").number, most) << at;
    EXPECT_NE(std::ranges::find(limit_reasons, arg("why").text), std::end(limit_reasons)) << at;
  }
}
std::int32_t small(std::int64_t n) { return static_cast<std::int32_t>(n); }

TEST(Facts, EveryKindIsInTheTable) {
  std::set<std::string_view> names;
  for (std::size_t n = 0; n < kinds.size(); ++n) {
    Payload made;
    make(made, kinds[n]);
    EXPECT_EQ(made.index(), n);
    EXPECT_EQ(type_of(made), kinds[n].type);
    EXPECT_EQ(name_of(made), kinds[n].name);
    EXPECT_EQ(kind_of_name(kinds[n].name), &kinds[n]);
    EXPECT_EQ(kind_of_type(kinds[n].type), &kinds[n]);
    EXPECT_TRUE(names.insert(kinds[n].name).second) << kinds[n].name;
  }
  EXPECT_EQ(kind_of_type(0), nullptr);
  EXPECT_EQ(kind_of_type(9'999), nullptr);
  EXPECT_EQ(kind_of_name("order"), nullptr);
}

// Type numbers and names are for ever: a change here breaks every stored journal.
struct NumberedKind {
  std::uint16_t type;
  std::string_view name;
};
constexpr NumberedKind numbered[] = {{1, "person registered"},
                                     {2, "background noted"},
                                     {3, "details changed"},
                                     {10, "order line signed"},
                                     {11, "order line checked"},
                                     {12, "order signature seen"},
                                     {13, "order line ended"},
                                     {14, "question opened"},
                                     {15, "question answered"},
                                     {18, "dose answered"},
                                     {20, "pen given"},
                                     {21, "supplies given"},
                                     {22, "cartridge loaded"},
                                     {23, "left the fridge"},
                                     {24, "window tested"},
                                     {25, "primed"},
                                     {26, "injected"},
                                     {27, "needle on"},
                                     {28, "needle off"},
                                     {29, "scale counted"},
                                     {30, "thrown away"},
                                     {31, "temperature spell"},
                                     {32, "pen shared"},
                                     {33, "body measured"},
                                     {34, "depth measured"},
                                     {35, "skin examined"},
                                     {36, "area blocked"},
                                     {37, "place noted"},
                                     {38, "place rules set"},
                                     {39, "place plan given"},
                                     {40, "taught back"},
                                     {41, "note"},
                                     {42, "reminder dismissed"},
                                     {43, "phone advice"},
                                     {44, "diary imported"},
                                     {45, "payload erased"},
                                     {46, "technique watched"},
                                     {47, "contact noted"},
                                     {48, "appointment made"},
                                     {49, "contact made"},
                                     {50, "clinic named"},
                                     {51, "shelf insulin added"},
                                     {52, "shelf cartridge added"},
                                     {53, "shelf pen added"},
                                     {54, "shelf needle added"},
                                     {55, "heads sealed"},
                                     {56, "glucose noted"},
                                     {57, "step judged"},
                                     {58, "visit closed"},
                                     {60, "correction"},
                                     {61, "allergy noted"},
                                     {62, "rescue noted"},
                                     {63, "needlestick"},
                                     {64, "hba1c noted"},
                                     {65, "pen ended"},
                                     {70, "supplies counted"},
                                     {71, "needles given"},
                                     {72, "supply rules set"},
                                     {73, "supplies asked for"},
                                     {74, "sharps box given"},
                                     {75, "sharps box closed"},
                                     {76, "trip planned"},
                                     {77, "pen tested"},
                                     {78, "difference talked over"},
                                     {80, "stock came"},
                                     {81, "stock moved"},
                                     {82, "stock counted"},
                                     {83, "product learnt"},
                                     {84, "recall opened"},
                                     {85, "recall called"},
                                     {86, "closed days set"},
                                     {87, "follow-up taken"}};

TEST(Facts, TypeNumbersAndNamesAreForEver) {
  EXPECT_EQ(std::size(numbered), std::size(kinds)) << "a new kind is pinned here, too";
  for (const auto& row : numbered) {
    const auto* kind = kind_of_type(row.type);
    ASSERT_NE(kind, nullptr) << row.type;
    EXPECT_EQ(kind->name, row.name);
  }
}

// ---- records of what happened do not refuse

TEST(Facts, WhatHappenedIsTakenHoweverOdd) {
  auto more = injected(36_units);
  more.meant = 26_units;
  EXPECT_EQ(refusal(more), taken);
  auto unheard_of = injected(20_units);
  unheard_of.cartridge = id(12345);
  EXPECT_EQ(refusal(unheard_of), taken);
  auto unknown = injected(0_units);
  unknown.outcome = Outcome::unknown;
  EXPECT_EQ(refusal(unknown), taken);
  auto expired = loaded();
  expired.expires = day(2019, 1, 1);
  EXPECT_EQ(refusal(expired), taken);
  EXPECT_EQ(refusal(Primed{id(7), 60_units, Flow::not_seen}), taken);
  EXPECT_EQ(refusal(PenShared{id(8), "a neighbour", "once"}), taken);
  EXPECT_EQ(refusal(TemperatureSpell{id(7), {-180}, 600, true, ""}), taken);
  auto long_ago = fact(injected(20_units));
  long_ago.happened.at = noon - days{365 * 30};
  EXPECT_EQ(refusal(long_ago), taken);
}

// ---- H25: what cannot be

TEST(Facts, H25_AmountsStayBelowTheLargestCartridge) {
  EXPECT_EQ(refusal(injected(1500_units)), taken);
  EXPECT_EQ(refusal(injected(1500.01_units)), expect(codes::value_range, "/units"));
  EXPECT_EQ(refusal(Primed{id(7), 1501_units, Flow::seen}), expect(codes::value_range, "/units"));
  EXPECT_EQ(refusal(ScaleCounted{id(7), 1501_units}), expect(codes::value_range, "/units"));
  EXPECT_EQ(refusal(WindowTested{id(8), 1501_units, 0_units, {}}),
            expect(codes::value_range, "/dialled_units"));
  auto meant = injected(20_units);
  meant.meant = 2000_units;
  EXPECT_EQ(refusal(meant), expect(codes::value_range, "/meant_units"));
  auto most = line();
  most.most_units = 1500_units;
  EXPECT_EQ(refusal(most), taken);
  most.most_units = 1500.01_units;
  EXPECT_EQ(refusal(most), expect(codes::value_range, "/most_units"));
}

TEST(Facts, H25_WeightIsAPersons) {
  expect_range("/background/weight_kg", 5, 6'500, [](std::int64_t n) {
    auto made = person();
    made.background.weight = TenthsKg{small(n)};
    return made;
  });
  auto made = person();
  made.background.weight = TenthsKg{7'000};
  EXPECT_EQ(refusal(made), expect(codes::value_range, "/background/weight_kg"));
  EXPECT_EQ(refusal(BackgroundNoted{made.background}),
            expect(codes::value_range, "/background/weight_kg"));
}

TEST(Facts, H25_TemperaturesLengthsAndTimesHaveTheirLimits) {
  expect_range("/celsius", -900, 1'000,
               [](std::int64_t n) { return TemperatureSpell{id(7), {small(n)}, 10, false, ""}; });
  expect_range("/minutes", 0, spell_minutes_max,
               [](std::int64_t n) { return TemperatureSpell{id(7), {300}, small(n), false, ""}; });
  expect_range("/length_mm", 0, needle_tenths_mm_max,
               [](std::int64_t n) { return NeedleOn{id(8), "", {small(n)}, true}; });
  expect_range("/spot/x_mm", -spot_tenths_mm_max, spot_tenths_mm_max, [](std::int64_t n) {
    auto made = injected(20_units);
    made.zone = Zone::abdomen_left_upper;
    made.spot = Spot{{small(n)}, {0}};
    return made;
  });
  expect_range("/spot/y_mm", -spot_tenths_mm_max, spot_tenths_mm_max, [](std::int64_t n) {
    auto made = injected(20_units);
    made.spot = Spot{{0}, {small(n)}};
    return made;
  });
}

TEST(Facts, H25_CountsHaveTheirLimits) {
  expect_range("/cartridges", 0, supplies_max, [](std::int64_t n) {
    auto made = supplies();
    made.cartridges = small(n);
    return made;
  });
  expect_range("/needles", 0, supplies_max, [](std::int64_t n) {
    auto made = supplies();
    made.needles = small(n);
    return made;
  });
  const std::string digest(64, '0');
  expect_range("/rows", 0, import_rows_max,
               [&](std::int64_t n) { return DiaryImported{"a.csv", digest, small(n), 0}; });
  expect_range("/facts_new", 0, import_rows_max,
               [&](std::int64_t n) { return DiaryImported{"a.csv", digest, 0, small(n)}; });
  expect_range("/journals", 0, journals_max,
               [&](std::int64_t n) { return HeadsSealed{digest, small(n)}; });
}

TEST(Facts, H25_AnOrderLineIsOneThatCanBeFollowed) {
  const auto with_slot = [](auto set) {
    auto made = line();
    set(made.slots[0]);
    return made;
  };
  expect_range("/order_version", 1, order_version_max, [](std::int64_t n) {
    auto made = line();
    made.order_version = small(n);
    return made;
  });
  expect_range("/slots/0/at", 0, 1439, [&](std::int64_t n) {
    return with_slot([n](Slot& slot) { slot.at.minutes = static_cast<std::int16_t>(n); });
  });
  expect_range("/slots/0/minutes_before", 0, 1440, [&](std::int64_t n) {
    return with_slot([n](Slot& slot) { slot.minutes_before = small(n); });
  });
  expect_range("/slots/0/minutes_after", 0, 1440, [&](std::int64_t n) {
    return with_slot([n](Slot& slot) { slot.minutes_after = small(n); });
  });
  expect_range("/slots/0/units", 400, 2'000, [&](std::int64_t n) {
    return with_slot([n](Slot& slot) { slot.units = *Units::from_hundredths(n); });
  });
  expect_range("/strength_units_per_ml", 10, 500, [](std::int64_t n) {
    auto made = line();
    made.strength.units_per_ml = small(n);
    return made;
  });
  auto crowded = line();
  crowded.slots.resize(slots_max, crowded.slots[0]);
  EXPECT_EQ(refusal(crowded), taken);
  crowded.slots.push_back(crowded.slots[0]);
  EXPECT_EQ(refusal(crowded), expect(codes::value_range, "/slots"));
  auto reversed = line();
  reversed.slots.clear();
  reversed.least_units = 21_units;
  EXPECT_EQ(refusal(reversed), expect(codes::value_range, "/most_units"));
  auto unlimited = line();  // an order that states no limits: its own doses are all that it allows
  unlimited.least_units = unlimited.most_units = 0_units;
  EXPECT_EQ(refusal(unlimited), taken);
  unlimited.slots[0].units = 0_units;
  EXPECT_EQ(refusal(unlimited), expect(codes::value_range, "/slots/0/units"));
  auto nothing = unlimited;
  nothing.slots.clear();
  EXPECT_EQ(refusal(nothing), expect(codes::value_range, "/most_units"));
  auto over = line();
  over.until = over.from;
  EXPECT_EQ(refusal(over), taken);
  over.until = over.from - days{1};
  EXPECT_EQ(refusal(over), expect(codes::value_range, "/until"));
}

TEST(Facts, H06_AnHba1cThatIsTheOtherUnitsNumberIsRefusedOrAskedAbout) {
  const auto with = [](Hba1cUnit unit, std::int64_t n) {
    Hba1cNoted made;
    made.value = {unit, small(n)};
    made.sampled_on = first_day;
    return made;
  };
  expect_range("/value", 30, 200, [&](std::int64_t n) { return with(Hba1cUnit::ngsp_percent, n); });
  expect_range("/value", 9, 195, [&](std::int64_t n) { return with(Hba1cUnit::ifcc_mmol_mol, n); });
  EXPECT_EQ(refusal(with(static_cast<Hba1cUnit>(2), 50)), expect(codes::value_range, "/value"));
}

TEST(Facts, H06_ALowLimitInTheOtherUnitIsRefused) {
  const auto with = [](GlucoseUnit unit, std::int64_t n) {
    auto made = line();
    made.low_limit = Glucose{unit, small(n)};
    return made;
  };
  expect_range("/low_limit", 20, 100, [&](std::int64_t n) { return with(GlucoseUnit::mmol_l, n); });
  expect_range("/low_limit", 36, 180, [&](std::int64_t n) { return with(GlucoseUnit::mg_dl, n); });
  EXPECT_EQ(refusal(with(GlucoseUnit::mmol_l, 700)), expect(codes::value_range, "/low_limit"));
  EXPECT_EQ(refusal(with(GlucoseUnit::mg_dl, 4)), expect(codes::value_range, "/low_limit"));
  EXPECT_EQ(refusal(with(static_cast<GlucoseUnit>(2), 50)),
            expect(codes::value_range, "/low_limit"));
}

TEST(Facts, H25_ACartridgeIsNotFullerThanFull) {
  auto made = loaded();
  made.units = 300.01_units;
  EXPECT_EQ(refusal(made), expect(codes::value_range, "/units"));
  made.units = 120_units;
  EXPECT_EQ(refusal(made), taken);
  made.content = made.units = 0_units;
  EXPECT_EQ(refusal(made), expect(codes::value_range, "/content_units"));
}

TEST(Facts, SuppliesNameTheirInsulinAndNeedlesNeedNone) {
  auto needles = SuppliesGiven{"", {}, 0_units, 0, 100, "", {}};
  EXPECT_EQ(refusal(needles), taken);
  needles.cartridges = 1;
  EXPECT_EQ(refusal(needles), expect(codes::value_range, "/strength_units_per_ml"));
  needles.strength = {100};
  EXPECT_EQ(refusal(needles), expect(codes::text_empty, "/insulin"));
  needles.insulin = "insulin glargine";
  EXPECT_EQ(refusal(needles), expect(codes::value_range, "/each_units"));
  needles.each = 300_units;
  EXPECT_EQ(refusal(needles), taken);
}

TEST(Facts, ABrokenShelfCopyIsRefusedInTheShelfsWords) {
  auto given = PenGiven{id(8), pen(), "insulin glargine", {100}, ""};
  given.copy.step = 0_units;
  EXPECT_EQ(refusal(given), expect(shelf::codes::value_range, "/copy/step_units"));
  auto made = loaded();
  made.copy.in_use_days = 400;
  EXPECT_EQ(refusal(made), expect(shelf::codes::value_range, "/copy/in_use_days"));
  auto added = ShelfPenAdded{{"Our Pen", pen(), {}}};
  EXPECT_EQ(refusal(added), expect(shelf::codes::code_form, "/entry/code"));
  added.entry.code = "our-pen";
  added.entry.thing.hold_seconds = 0;
  EXPECT_EQ(refusal(added), expect(shelf::codes::value_range, "/entry/thing/hold_seconds"));
  added.entry.thing.hold_seconds = 6;
  added.entry.sources.assign(shelf::limits::sources.most,
                             {"hold_seconds", std::string(4'000, 'x'), {}});
  EXPECT_EQ(refusal(added), taken);
  added.entry.sources[1].source += 'x';
  EXPECT_EQ(refusal(added), expect(codes::text_long, "/entry/sources/1/source"));
  added.entry.sources[1].source = "a leaflet";
  added.entry.sources[2].known = static_cast<shelf::Known>(99);
  EXPECT_EQ(refusal(added), expect(codes::value_range, "/entry/sources/2/known"));
  added.entry.sources.assign(shelf::limits::sources.most + 1, {"hold_seconds", "a leaflet", {}});
  EXPECT_EQ(refusal(added), expect(codes::value_range, "/entry/sources"));
}

TEST(Facts, ChoicesAreClosedLists) {
  auto flow = Primed{id(7), 2_units, static_cast<Flow>(3)};
  EXPECT_EQ(refusal(flow), expect(codes::value_range, "/flow"));
  auto zone = injected(20_units);
  zone.zone = static_cast<Zone>(10);
  EXPECT_EQ(refusal(zone), expect(codes::value_range, "/zone"));
  auto slot = line();
  slot.slots[0].slot = static_cast<SlotName>(8);
  EXPECT_EQ(refusal(slot), expect(codes::value_range, "/slots/0/slot"));
  auto background = BackgroundNoted{};
  background.background.sight = static_cast<Ability>(4);
  EXPECT_EQ(refusal(background), expect(codes::value_range, "/background/sight"));
}

// ---- times

TEST(Facts, TimesAreThoseOfTheLiving) {
  auto made = fact(Note{"x"});
  made.happened.at = noon + days{1};
  EXPECT_EQ(refusal(made), taken);
  made.happened.at += std::chrono::seconds{1};
  EXPECT_EQ(refusal(made), expect(codes::time_range, "/happened"));
  made.happened.at = std::chrono::sys_days{year{1900} / 1 / 1};
  EXPECT_EQ(refusal(made), taken);
  made.happened.at -= std::chrono::seconds{1};
  EXPECT_EQ(refusal(made), expect(codes::time_range, "/happened"));
  made.happened = {noon, 18 * 60};
  EXPECT_EQ(refusal(made), taken);
  made.happened.offset_minutes = -18 * 60 - 1;
  EXPECT_EQ(refusal(made), expect(codes::value_range, "/happened"));
  for (const auto extreme : {Instant::min(), Instant::max()}) {
    made = fact(Note{"x"});
    made.recorded = extreme;
    EXPECT_EQ(refusal(made), expect(codes::time_range, "/recorded"));
    made = fact(Note{"x"});
    made.happened.at = extreme;
    EXPECT_EQ(refusal(made), expect(codes::time_range, "/happened"));
  }
}

TEST(Facts, H25_NobodyIsBornTomorrowOrBefore1900) {
  auto made = person();
  const auto today = LocalDay{std::chrono::floor<days>(noon).time_since_epoch()};
  made.born = today + days{1};  // it is tomorrow east of here
  EXPECT_EQ(refusal(made), taken);
  made.born = today + days{2};
  EXPECT_EQ(refusal(made), expect(codes::value_range, "/born"));
  made.born = first_day;
  EXPECT_EQ(refusal(made), taken);
  made.born = first_day - days{1};
  EXPECT_EQ(refusal(made), expect(codes::value_range, "/born"));
  made.born = LocalDay::max();
  EXPECT_EQ(refusal(made), expect(codes::value_range, "/born"));
  auto order = line();
  order.signed_on = today + days{2};
  EXPECT_EQ(refusal(order), expect(codes::value_range, "/signed_on"));
  order = line();
  order.from = today + days{365};
  EXPECT_EQ(refusal(order), taken);
  order.from = today + days{366 * 101};
  EXPECT_EQ(refusal(order), expect(codes::value_range, "/from"));
  auto question = QuestionOpened{std::nullopt, QuestionReason::lows, "", When{noon + days{30}, 0}};
  EXPECT_EQ(refusal(question), taken);
  question.answer_by->at = noon + days{366 * 101};
  EXPECT_EQ(refusal(question), expect(codes::time_range, "/answer_by"));
}

// ---- texts

TEST(Facts, TextsAreReadableAndOfALengthThatSomebodyReads) {
  EXPECT_EQ(refusal(Note{std::string(4'000, 'x')}), taken);
  EXPECT_EQ(refusal(Note{std::string(4'001, 'x')}), expect(codes::text_long, "/text"));
  EXPECT_EQ(refusal(Note{" \n"}), expect(codes::text_empty, "/text"));
  EXPECT_EQ(refusal(Note{"bell \a"}), expect(codes::text_form, "/text"));
  EXPECT_EQ(refusal(Note{"\xC3"}), expect(codes::text_form, "/text"));
  auto made = person();
  made.full_name = std::string(200, 'x');
  EXPECT_EQ(refusal(made), taken);
  made.full_name += 'x';
  EXPECT_EQ(refusal(made), expect(codes::text_long, "/full_name"));
  made.full_name = "Ada\nMarsh";
  EXPECT_EQ(refusal(made), expect(codes::text_form, "/full_name"));
  made = person();
  made.background.kidneys = "eGFR 38,\nfalling";
  EXPECT_EQ(refusal(made), taken);
  made.background.speaks = "two\nlines";
  EXPECT_EQ(refusal(made), expect(codes::text_form, "/background/speaks"));
  EXPECT_EQ(refusal(DiaryImported{"a.csv", "beef", 0, 0}), expect(codes::text_form, "/digest"));
}

TEST(Facts, H19_APersonIsKnownByNameBirthDateAndNumberTogether) {
  for (const auto& [field, member] : {std::pair{"/full_name", &PersonRegistered::full_name},
                                      std::pair{"/number", &PersonRegistered::number},
                                      std::pair{"/zone", &PersonRegistered::zone}}) {
    auto made = person();
    made.*member = "";
    EXPECT_EQ(refusal(made), expect(codes::text_empty, field));
  }
}

TEST(Facts, H40_AnOrderSaysFromWhomAndByWhom) {
  for (const auto& [field, member] : {std::pair{"/insulin", &OrderLineSigned::insulin},
                                      std::pair{"/prescriber", &OrderLineSigned::prescriber},
                                      std::pair{"/copied_by", &OrderLineSigned::copied_by}}) {
    auto made = line();
    made.*member = " ";
    EXPECT_EQ(refusal(made), expect(codes::text_empty, field));
  }
  OrderLineChecked check;
  check.line = id(3);
  EXPECT_EQ(refusal(check), expect(codes::text_empty, "/checked_by"));
}

TEST(Facts, H32_ADismissalNeedsANameAndAReason) {
  EXPECT_EQ(refusal(ReminderDismissed{"stock.short", "f00d", ""}),
            expect(codes::text_empty, "/reason"));
  auto nameless = fact(ReminderDismissed{"stock.short", "f00d", "seen"});
  nameless.author = "";
  EXPECT_EQ(refusal(nameless), expect(codes::text_empty, "/author"));
}

// ---- H25: what is odd

std::pair<std::string, std::string> question(const Fact& made) {
  const auto found = oddity(made);
  if (!found) return {"usual", ""};
  EXPECT_EQ(found->kind, Kind::refused);
  EXPECT_EQ(found->code, codes::odd);
  const auto why = std::ranges::find(found->args, "why", &Arg::name);
  EXPECT_NE(why, found->args.end());
  EXPECT_NE(std::ranges::find(odd_reasons, why->text), std::end(odd_reasons)) << why->text;
  return {why->text, found->at};
}
std::pair<std::string, std::string> question(Payload payload) {
  const auto made = fact(std::move(payload));
  EXPECT_TRUE(checked(made));  // what is odd is taken all the same
  return question(made);
}
const auto usual = expect("usual", "");

TEST(Facts, H25_AnOddValueIsAskedAboutAndTaken) {
  auto made = person();
  for (const auto& [tenths, asked] :
       {std::pair{99, true}, {100, false}, {2'500, false}, {2'501, true}}) {
    made.background.weight = TenthsKg{tenths};
    const auto expected = asked ? expect("usual.weight", "/background/weight_kg") : usual;
    EXPECT_EQ(question(made), expected) << tenths;
    EXPECT_EQ(question(BackgroundNoted{made.background}), expected) << tenths;
  }
  made = person();
  made.born = day(1921, 3, 16);
  const auto of_birth = [&] {
    const auto found = oddity(fact(made));
    return found ? found->code + " " + found->at : "none";
  };
  EXPECT_EQ(of_birth(), "fact.odd_age /born");
  made.born = day(2027, 3, 17);  // tomorrow
  EXPECT_EQ(of_birth(), "fact.born_ahead /born");
  made.born = day(1921, 3, 17);  // 105 until tomorrow
  EXPECT_EQ(question(made), usual);
  EXPECT_EQ(question(Primed{id(7), 6_units, Flow::seen}), usual);
  EXPECT_EQ(question(Primed{id(7), 6.5_units, Flow::seen}), expect("usual.prime", "/units"));
  EXPECT_EQ(question(TemperatureSpell{{}, {700}, 5, false, ""}), usual);
  EXPECT_EQ(question(TemperatureSpell{{}, {701}, 5, false, ""}),
            expect("usual.celsius", "/celsius"));
  EXPECT_EQ(question(TemperatureSpell{{}, {-301}, 5, true, ""}),
            expect("usual.celsius", "/celsius"));
}

TEST(Facts, H25_ADoseWithoutAnOrderLineIsAskedAboutAboveWhatUsualPensDial) {
  EXPECT_EQ(question(injected(80_units)), usual);
  EXPECT_EQ(question(injected(80.5_units)), expect("usual.dose", "/units"));
  auto ordered = injected(180_units);
  ordered.line = id(3);  // the order's own limits are nearer
  EXPECT_EQ(question(ordered), usual);
  auto part = injected(20_units);
  part.meant = 200_units;
  EXPECT_EQ(question(part), expect("usual.dose", "/meant_units"));
  auto order = line();
  order.most_units = 200_units;
  order.slots[0].units = 180_units;
  EXPECT_EQ(question(order), expect("usual.dose", "/slots/0/units"));
  order = line();
  order.slots[0].minutes_after = 241;
  EXPECT_EQ(question(order), expect("usual.window", "/slots/0/minutes_after"));
  order.slots[0].minutes_after = 240;
  order.slots[0].minutes_before = 300;
  EXPECT_EQ(question(order), expect("usual.window", "/slots/0/minutes_before"));
}

Payload replacing(Payload instead, When when = {noon, 60}) {
  return Correction{id(3), "misread", false,
                    std::make_shared<const Replacement>(Replacement{when, 0, std::move(instead)})};
}

TEST(Facts, H25_AYearWrittenWrongAndAnOddReplacementAreAskedAbout) {
  auto made = fact(Note{"x"});
  made.happened.at = noon - days{366};
  EXPECT_EQ(question(made), usual);
  made.happened.at = noon - days{367};
  EXPECT_EQ(question(made), expect("usual.late", "/happened"));
  made.happened.at = noon + days{1};
  EXPECT_EQ(question(made), usual);
  EXPECT_EQ(question(replacing(injected(100_units))), expect("usual.dose", "/replacement/units"));
  EXPECT_EQ(question(replacing(injected(10_units))), usual);
}

// ---- identities and corrections

TEST(Facts, IdentitiesAreThere) {
  auto made = fact(Note{"x"});
  made.id = {};
  EXPECT_EQ(refusal(made), expect(codes::identity_missing, "/id"));
  made = fact(Note{"x"});
  made.journal = {};
  EXPECT_EQ(refusal(made), expect(codes::identity_missing, "/journal"));
  EXPECT_EQ(refusal(LeftFridge{}), expect(codes::identity_missing, "/cartridge"));
  auto dose = injected(20_units);
  dose.line = Id{};
  EXPECT_EQ(refusal(dose), expect(codes::identity_missing, "/line"));
  dose.line = std::nullopt;
  dose.completes = id(1);
  EXPECT_EQ(refusal(dose), expect(codes::names_itself, "/completes"));
  auto order = line();
  order.replaces = id(1);
  EXPECT_EQ(refusal(order), expect(codes::names_itself, "/replaces"));
  auto given = PenGiven{id(1), pen(), "insulin glargine", {100}, ""};
  EXPECT_EQ(refusal(given), taken);  // a pen may bear the identity of the fact that gave it
}

TEST(Facts, ACorrectionNamesAnOriginalAndSaysOneThing) {
  EXPECT_EQ(refusal(replacing(injected(26_units))), taken);
  EXPECT_EQ(refusal(replacing(Correction{id(3), "typed twice", false, nullptr})),
            expect(codes::correction_target, "/replacement"));
  EXPECT_EQ(refusal(Correction{id(1), "", false, nullptr}),
            expect(codes::correction_target, "/target"));
  EXPECT_EQ(refusal(Correction{id(3), "", true, nullptr}), taken);
  auto both = std::get<Correction>(replacing(injected(26_units)));
  both.wrong_person = true;
  EXPECT_EQ(refusal(both), expect(codes::correction_both, "/wrong_person"));
}

TEST(Facts, WhatACorrectionPutsInstead_IsCheckedLikeAnyFact) {
  EXPECT_EQ(refusal(replacing(injected(1501_units))),
            expect(codes::value_range, "/replacement/units"));
  EXPECT_EQ(refusal(replacing(Note{""})), expect(codes::text_empty, "/replacement/text"));
  EXPECT_EQ(refusal(replacing(Note{"x"}, {noon + days{2}, 0})),
            expect(codes::time_range, "/replacement/happened"));
}

// A field that has no rule would break a promise of ours: every kind, also an empty one, gets an
// answer.
TEST(Facts, EveryFieldOfEveryKindHasARule) {
  [&]<std::size_t... I>(std::index_sequence<I...>) {
    (static_cast<void>(checked(fact(std::variant_alternative_t<I, AnyKind>{}))), ...);
  }(std::make_index_sequence<std::variant_size_v<AnyKind>>{});
  SUCCEED();
}

}  // namespace
}  // namespace penstock::facts
