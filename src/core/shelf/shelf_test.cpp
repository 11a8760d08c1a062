#include "core/shelf/shelf.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <tuple>

#include "embedded/shelf_tables.hpp"

namespace penstock::shelf {
namespace {

using namespace literals;

std::string tables(std::string_view folder) {
  std::string out;
  for (const auto& file : embedded::shelf_tables()) {
    if (file.path.starts_with(folder)) out.append(file.data);
  }
  return out;
}

const Shelf& shelf() {
  static const Shelf parsed = [] {
    auto result = parse_shelf(tables("shelf/"));
    EXPECT_TRUE(result) << result.error().code << " line " << result.error().at;
    return result ? *result : Shelf{};
  }();
  return parsed;
}

template <class Thing>
const FigureSource& source(const Entry<Thing>& entry, std::string_view field) {
  const auto found = std::ranges::find(entry.sources, field, &FigureSource::field);
  EXPECT_NE(found, entry.sources.end()) << entry.code << " " << field;
  return *found;
}

Insulin clear_insulin() {
  return {"insulin glargine", {100}, Action::long_acting, false, 28, true, {300}, {20}, {80}, {}};
}
Pen whole_pen() {
  return {"reusable pen",
          1_units,
          60_units,
          Window::returns_to_zero,
          Presentation::cartridge,
          2_units,
          4_units,
          10,
          true,
          WhenShort::shows_rest,
          "fit A",
          "screw thread"};
}
Cartridge three_ml() {
  return {"3 mL cartridge", "glargine-100", Presentation::cartridge, 30, 300_units, "fit A", ""};
}
Needle four_mm() { return {"4 mm, 32G", {40}, 32, "screw thread", false}; }

// ---- the tables

TEST(Shelf, TheTablesAreReadWhole) {
  EXPECT_EQ(shelf().insulins.size(), 16U);
  EXPECT_GE(shelf().cartridges.size(), 30U);
  EXPECT_GE(shelf().pens.size(), 15U);
  EXPECT_GE(shelf().needles.size(), 10U);
}

TEST(Shelf, EveryFigureNamesItsSourceAndHowItIsKnown) {
  const auto all_sourced = [](const auto& entries) {
    for (const auto& entry : entries) {
      for (const auto& figure : entry.sources) {
        EXPECT_FALSE(figure.source.empty()) << entry.code << " " << figure.field;
      }
    }
  };
  all_sourced(shelf().insulins);
  all_sourced(shelf().cartridges);
  all_sourced(shelf().pens);
  all_sourced(shelf().needles);
}

// A row that claims to be read, second-hand or remembered names a row of data/reference that says
// the same about itself.
TEST(Shelf, AFigureIsKnownNoBetterThanTheRowThatItRestsOn) {
  std::map<std::string, std::string> how;
  const auto reference = tables("reference/");
  for (std::size_t begin = 0; begin < reference.size();) {
    const auto end = reference.find('\n', begin);
    const auto line = reference.substr(begin, end - begin);
    how[line.substr(0, line.find('\t'))] = line.substr(line.rfind('\t') + 1);
    begin = end + 1;
  }
  int compared = 0;
  const auto compare = [&](const auto& entries) {
    for (const auto& entry : entries) {
      for (const auto& figure : entry.sources) {
        const auto at = figure.source.find("(row ");
        if (at == std::string::npos) continue;
        const auto id = figure.source.substr(at + 5, figure.source.find(')', at) - at - 5);
        ASSERT_TRUE(how.contains(id)) << entry.code << " " << figure.field << " " << id;
        const auto named = names_of(Known{})[static_cast<std::size_t>(figure.known)];
        if (named == "read" || named == "read second-hand") {
          EXPECT_EQ(named, how[id]) << entry.code << " " << figure.field << " " << id;
          ++compared;
        }
      }
    }
  };
  compare(shelf().insulins);
  compare(shelf().pens);
  compare(shelf().needles);
  EXPECT_GT(compared, 60);
}

// Cartridges and pens, not vials; of several labels the shortest. Rows of data/reference/in_use.tsv
// (Heinemann et al. 2020/21 Table 1; a US pharmacy storage notice; labels from memory): whole days,
// no tolerance.
TEST(Shelf, H12_InUseDaysAndTemperaturesAreThoseOfTheTable) {
  struct Row {
    std::string_view code;
    std::int32_t days, celsius;
  };
  constexpr Row rows[] = {
      {"glargine-100", 28, 30},    {"glargine-300", 42, 30},    {"degludec-100", 56, 30},
      {"degludec-200", 56, 30},    {"detemir-100", 42, 30},     {"lispro-100", 28, 30},
      {"lispro-200", 28, 30},      {"aspart-100", 28, 30},      {"faster-aspart-100", 28, 30},
      {"glulisine-100", 28, 25},   {"regular-100", 28, 25},     {"regular-500", 28, 30},
      {"nph-100", 14, 25},         {"human-30-70-100", 10, 30}, {"lispro-25-75-100", 10, 30},
      {"aspart-30-70-100", 14, 30}};
  for (const auto& row : rows) {
    const auto* entry = shelf().insulin(row.code);
    ASSERT_NE(entry, nullptr) << row.code;
    EXPECT_EQ(entry->thing.in_use_days, row.days) << row.code;
    EXPECT_EQ(entry->thing.in_use_most.tenths, row.celsius * 10) << row.code;
    EXPECT_EQ(entry->thing.store_least.tenths, 20) << row.code;  // T368: 2 to 8 degrees unopened
    EXPECT_EQ(entry->thing.store_most.tenths, 80) << row.code;
    EXPECT_TRUE(entry->thing.counts_from_fridge) << row.code;
  }
  EXPECT_EQ(std::size(rows), shelf().insulins.size());
}

// Pharmacist D8.
TEST(Shelf, H14_AnInsulinIsCloudyByItsName) {
  const auto& shelf = of_the_program();
  EXPECT_EQ(shelf.is_cloudy("human NPH insulin"), true);
  EXPECT_EQ(shelf.is_cloudy("  Insulin LISPRO  25/75 "), true);
  EXPECT_EQ(shelf.is_cloudy("insulin glargine"), false);
  EXPECT_EQ(shelf.is_cloudy("insulin isophane"), true);  // not on the shelf by that name
  EXPECT_EQ(shelf.is_cloudy("insulin lispro"), false);
  EXPECT_EQ(shelf.is_cloudy("moon dust"), std::nullopt);
  // All strengths of one name look alike, or the name would not do.
  for (const auto& one : shelf.insulins) {
    EXPECT_EQ(shelf.is_cloudy(one.thing.name), one.thing.suspension) << one.code;
  }
}
TEST(Shelf, OfSeveralStrengthsTheNameStandsForTheStrictestLabel) {
  const auto& shelf = of_the_program();
  for (const auto& one : shelf.insulins) {
    const auto* named = shelf.named(one.thing.name);
    ASSERT_NE(named, nullptr);
    EXPECT_LE(named->thing.in_use_most, one.thing.in_use_most);
    EXPECT_EQ(shelf.named(one.thing.name, one.thing.strength)->code, one.code);
  }
  EXPECT_EQ(shelf.named("insulin glargine", Strength{999}), nullptr);
}

TEST(Shelf, H03_StrengthIsPartOfWhatAnInsulinIs) {
  const auto* weak = shelf().insulin("insulin glargine", Strength{100});
  const auto* strong = shelf().insulin("insulin glargine", Strength{300});
  ASSERT_TRUE(weak && strong);
  EXPECT_NE(weak->code, strong->code);
  EXPECT_NE(weak->thing.in_use_days, strong->thing.in_use_days);
  EXPECT_EQ(shelf().insulin("insulin glargine", Strength{200}), nullptr);
  EXPECT_EQ(shelf().insulin("glargine", Strength{100}), nullptr);
  std::set<std::pair<std::string, std::int32_t>> seen;
  for (const auto& entry : shelf().insulins) {
    EXPECT_TRUE(seen.emplace(entry.thing.name, entry.thing.strength.units_per_ml).second)
        << entry.code;
    EXPECT_TRUE(entry.code.ends_with(std::to_string(entry.thing.strength.units_per_ml)))
        << entry.code;
  }
}

// A 1.5 mL cartridge at 100 units/mL holds 150 units: common practice, no source. The others:
// T392 to T396, memory.
TEST(Shelf, H03_ContentIsVolumeTimesStrength) {
  EXPECT_EQ(shelf().cartridge("glargine-100-small-cartridge")->thing.content, 150_units);
  EXPECT_EQ(shelf().cartridge("glargine-100-cartridge")->thing.content, 300_units);
  EXPECT_EQ(shelf().cartridge("glargine-300-prefilled")->thing.content, 450_units);
  EXPECT_EQ(shelf().cartridge("degludec-200-prefilled")->thing.content, 600_units);
  EXPECT_EQ(shelf().cartridge("regular-500-prefilled")->thing.content, 1500_units);
  auto wrong = three_ml();
  wrong.content = 150_units;
  EXPECT_EQ(checked(wrong, shelf()).error().code, codes::content_wrong);
  EXPECT_TRUE(checked(three_ml(), shelf()));
}

TEST(Shelf, H14_H43_EverySuspensionSaysHowLittleCanBeMixed) {
  std::set<std::string> cloudy;
  for (const auto& entry : shelf().insulins) {
    EXPECT_EQ(entry.thing.suspension, entry.thing.least_left_to_mix.has_value()) << entry.code;
    if (!entry.thing.suspension) continue;
    cloudy.insert(entry.code);
    EXPECT_EQ(entry.thing.least_left_to_mix, 12_units);
    EXPECT_EQ(source(entry, "least_left_to_mix_units").known, Known::common_practice);
  }
  EXPECT_EQ(cloudy, (std::set<std::string>{"aspart-30-70-100", "human-30-70-100",
                                           "lispro-25-75-100", "nph-100"}));
}

TEST(Shelf, H01_EveryPenSaysWhatItsWindowDoesOrThatNobodyKnows) {
  EXPECT_EQ(shelf().pen("reusable-whole-60")->thing.window, Window::returns_to_zero);
  EXPECT_EQ(shelf().pen("counts-on-36")->thing.window, Window::counts_on);
  EXPECT_EQ(shelf().pen("window-unknown-40")->thing.window, std::nullopt);
  for (const auto& entry : shelf().pens) source(entry, "window");
}

// T399 (read), T400 to T404 (memory): step, most and safety test of pens.
TEST(Shelf, PensDialWhatTheTableSays) {
  struct Row {
    std::string_view code;
    Units step, most, prime;
  };
  const Row rows[] = {{"reusable-half-30", 0.5_units, 30_units, 2_units},
                      {"prefilled-whole-80-degludec", 1_units, 80_units, 2_units},
                      {"prefilled-double-160", 2_units, 160_units, 2_units},
                      {"prefilled-whole-60", 1_units, 60_units, 2_units},
                      {"prefilled-whole-80-300", 1_units, 80_units, 3_units},
                      {"prefilled-double-160-300", 2_units, 160_units, 4_units},
                      {"prefilled-five-300", 5_units, 300_units, 5_units}};
  for (const auto& row : rows) {
    const auto* entry = shelf().pen(row.code);
    ASSERT_NE(entry, nullptr) << row.code;
    EXPECT_EQ(entry->thing.step, row.step) << row.code;
    EXPECT_EQ(entry->thing.most, row.most) << row.code;
    EXPECT_EQ(entry->thing.prime, row.prime) << row.code;
  }
}

TEST(Shelf, NoNameOnTheShelfShowsWhatFits) {
  std::set<std::string> fits_codes;
  for (const auto& entry : shelf().pens) {
    fits_codes.insert(entry.thing.fits);
    EXPECT_EQ(entry.thing.name.find(entry.thing.fits), std::string::npos);
  }
  EXPECT_GE(fits_codes.size(), 8U);
}

TEST(Shelf, EveryCartridgeHasAPenThatTakesIt) {
  for (const auto& entry : shelf().cartridges) {
    EXPECT_TRUE(std::ranges::any_of(shelf().pens, [&](const Entry<Pen>& pen) {
      return fits(pen.thing, entry.thing);
    })) << entry.code;
  }
}

TEST(Shelf, H46_ThereIsASafetyNeedleForWhoeverInjectsAnother) {
  EXPECT_TRUE(
      std::ranges::any_of(shelf().needles, [](const Entry<Needle>& n) { return n.thing.safety; }));
}

// ---- what fits what

TEST(Shelf, H42_ACartridgeThatWasNotMadeForThePenDoesNotFit) {
  const auto pen = whole_pen();
  auto cartridge = three_ml();
  EXPECT_TRUE(fits(pen, cartridge));
  cartridge.fits = "fit B";  // same volume, same insulin, same name
  EXPECT_FALSE(fits(pen, cartridge));
  cartridge.fits = "";
  EXPECT_FALSE(fits(pen, cartridge));
  auto no_code = pen;
  no_code.fits = "";
  EXPECT_FALSE(fits(no_code, cartridge));  // two without a code do not fit each other
  auto prefilled = three_ml();
  prefilled.presentation = Presentation::prefilled_pen;
  EXPECT_FALSE(fits(pen, prefilled));
}

TEST(Shelf, H42_ANeedleFitsByItsCode) {
  EXPECT_TRUE(fits(whole_pen(), four_mm()));
  auto other = four_mm();
  other.fits = "push on";
  EXPECT_FALSE(fits(whole_pen(), other));
  other.fits = "";
  auto no_code = whole_pen();
  no_code.needle_fits = "";
  EXPECT_FALSE(fits(no_code, other));
}

TEST(Shelf, H42_CartridgesOfOneVolumeDoNotAllFitOnePen) {
  const auto& pen = shelf().pen("reusable-whole-60")->thing;
  EXPECT_TRUE(fits(pen, shelf().cartridge("glargine-100-cartridge")->thing));
  EXPECT_FALSE(fits(pen, shelf().cartridge("aspart-100-cartridge")->thing));
  EXPECT_FALSE(fits(pen, shelf().cartridge("glargine-100-small-cartridge")->thing));
  EXPECT_FALSE(fits(pen, shelf().cartridge("glargine-100-prefilled")->thing));
}

// ---- limits

/// The value just inside passes, the one just outside is refused at its field with both ends named.
template <class Thing, class Set>
void expect_limit(Thing thing, std::string_view field, const Limit& limit, const Set& set) {
  for (const auto inside : {limit.least, limit.most}) {
    auto good = thing;
    set(good, inside);
    const auto result = checked(good);
    EXPECT_TRUE(result) << field << " " << inside << " " << result.error().code;
  }
  for (const auto outside : {limit.least - 1, limit.most + 1}) {
    if (outside < 0 && field.ends_with("units")) continue;  // no such amount
    auto bad = thing;
    set(bad, outside);
    const auto result = checked(bad);
    ASSERT_FALSE(result) << field << " " << outside;
    EXPECT_EQ(result.error().code, codes::value_range) << field << " " << outside;
    EXPECT_EQ(result.error().at, field);
    const auto arg = [&](std::string_view name) {
      const auto found = std::ranges::find(result.error().args, name, &Arg::name);
      return found == result.error().args.end() ? Arg{} : *found;
    };
    EXPECT_EQ(arg("least").number, limit.least) << field;
    EXPECT_EQ(arg("most").number, limit.most) << field;
    EXPECT_EQ(arg("value").number, outside) << field;
    EXPECT_EQ(arg("why").text, limit.why) << field;
  }
}

std::int32_t small(std::int64_t n) { return static_cast<std::int32_t>(n); }

TEST(Shelf, H25_AnInsulinThatCannotBeIsRefused) {
  const auto insulin = clear_insulin();
  expect_limit(insulin, "strength_units_per_ml", limits::strength_units_per_ml,
               [](Insulin& i, std::int64_t n) { i.strength.units_per_ml = small(n); });
  expect_limit(insulin, "in_use_days", limits::in_use_days,
               [](Insulin& i, std::int64_t n) { i.in_use_days = small(n); });
  expect_limit(insulin, "in_use_most_celsius", limits::in_use_most_tenths,
               [](Insulin& i, std::int64_t n) { i.in_use_most.tenths = small(n); });
  auto warm = insulin;
  warm.store_most.tenths = 300;
  expect_limit(warm, "store_least_celsius", limits::store_least_tenths,
               [](Insulin& i, std::int64_t n) { i.store_least.tenths = small(n); });
  expect_limit(insulin, "store_most_celsius", limits::store_most_tenths,
               [](Insulin& i, std::int64_t n) { i.store_most.tenths = small(n); });
  auto upside_down = insulin;
  upside_down.store_least.tenths = 100;
  EXPECT_EQ(checked(upside_down).error().at, "store_most_celsius");
  auto mixed = insulin;
  mixed.least_left_to_mix = 12_units;
  EXPECT_EQ(checked(mixed).error().code, codes::not_suspension);
  mixed.suspension = true;
  EXPECT_TRUE(checked(mixed));
  mixed.action = static_cast<Action>(9);
  EXPECT_EQ(checked(mixed).error().at, "action");
}

TEST(Shelf, H25_APenThatCannotBeIsRefused) {
  const auto pen = whole_pen();
  const auto amount = [](std::int64_t n) { return *Units::from_hundredths(n); };
  expect_limit(pen, "hold_seconds", limits::hold_seconds,
               [](Pen& p, std::int64_t n) { p.hold_seconds = small(n); });
  for (const auto step : {9, 1001}) {
    auto bad = pen;
    bad.step = amount(step);
    EXPECT_EQ(checked(bad).error().at, "step_units") << step;
  }
  auto far = pen;
  far.most = 501_units;
  EXPECT_EQ(checked(far).error().at, "most_units");
  far.most = 500_units;
  EXPECT_TRUE(checked(far));
  auto prime = pen;
  prime.prime = 30_units;
  EXPECT_EQ(checked(prime).error().at, "prime_units");
  prime.prime = 29_units;
  EXPECT_TRUE(checked(prime));
  prime.prime_new_cartridge = 30_units;
  EXPECT_EQ(checked(prime).error().at, "new_cartridge_prime_units");
  auto half_prime = pen;
  half_prime.prime = 2.5_units;  // cannot be dialled in whole units
  EXPECT_EQ(checked(half_prime).error().code, codes::not_a_step);
  auto odd_most = pen;
  odd_most.step = 2_units;
  odd_most.most = 61_units;
  EXPECT_EQ(checked(odd_most).error().at, "most_units");
  auto tiny = pen;
  tiny.most = 3_units;  // the new cartridge's prime does not fit into the window
  EXPECT_EQ(checked(tiny).error().at, "new_cartridge_prime_units");
  auto zero_step = pen;
  zero_step.step = 0_units;
  EXPECT_EQ(checked(zero_step).error().at, "step_units");
  auto unknown = pen;
  unknown.window = std::nullopt;
  EXPECT_TRUE(checked(unknown));
  unknown.window = static_cast<Window>(2);
  EXPECT_EQ(checked(unknown).error().at, "window");
}

TEST(Shelf, H25_ACartridgeOrNeedleThatCannotBeIsRefused) {
  expect_limit(three_ml(), "tenths_ml", limits::cartridge_tenths_ml,
               [](Cartridge& c, std::int64_t n) { c.tenths_ml = small(n); });
  expect_limit(three_ml(), "content_units", limits::content_hundredths,
               [](Cartridge& c, std::int64_t n) { c.content = *Units::from_hundredths(n); });
  expect_limit(four_mm(), "length_mm", limits::needle_tenths_mm,
               [](Needle& n, std::int64_t v) { n.length.tenths = small(v); });
  expect_limit(four_mm(), "gauge", limits::needle_gauge,
               [](Needle& n, std::int64_t v) { n.gauge = small(v); });
  auto nowhere = three_ml();
  nowhere.insulin = "no-such";
  EXPECT_EQ(checked(nowhere, shelf()).error().code, codes::name_unknown);
  auto prefilled = three_ml();
  prefilled.presentation = Presentation::prefilled_pen;
  EXPECT_EQ(checked(prefilled).error().at, "pen");
  prefilled.pen = "prefilled-whole-80";
  EXPECT_EQ(checked(prefilled, shelf()).error().at, "pen");  // its fits code is another
  prefilled.fits = "prefilled A";
  EXPECT_TRUE(checked(prefilled, shelf()));
}

TEST(Shelf, NamesAreTextThatCanBeRead) {
  auto pen = whole_pen();
  pen.name = "  ";
  EXPECT_EQ(checked(pen).error().code, codes::field_missing);
  pen.name = std::string(200, 'x');
  EXPECT_TRUE(checked(pen));
  pen.name += 'x';
  EXPECT_EQ(checked(pen).error().code, codes::value_range);
  pen.name = "two\nlines";
  EXPECT_EQ(checked(pen).error().code, codes::value_form);
  EXPECT_TRUE(checked_code("glargine-100"));
  for (const auto* code : {"", "Glargine", "a b", "../x", "a.b"}) {
    EXPECT_EQ(checked_code(code).error().code, codes::code_form) << code;
  }
  EXPECT_TRUE(checked_code(std::string(60, 'a')));
  EXPECT_FALSE(checked_code(std::string(61, 'a')));
}

// ---- the form of the tables

std::string needle_rows(std::string_view length = "4", std::string_view known = "memory") {
  std::string out = "# a comment\nthing\tcode\tfield\tvalue\tsource\tknown\n";
  const auto row = [&](std::string_view field, std::string_view value) {
    out.append("needle\tn-1\t").append(field).append("\t").append(value);
    out.append("\tsold so\t").append(known).append("\n");
  };
  row("name", "4 mm, 32G");
  row("length_mm", length);
  row("gauge", "32");
  row("fits", "screw thread");
  row("safety", "no");
  return out;
}
std::pair<std::string, std::string> refusal(std::string_view text) {
  const auto result = parse_shelf(text);
  return result ? std::pair<std::string, std::string>{}
                : std::pair{result.error().code, result.error().at};
}
std::pair<std::string, std::string> expect(std::string_view code, std::string_view line) {
  return {std::string(code), std::string(line)};
}

TEST(Shelf, ATableIsReadRowByRow) {
  const auto result = parse_shelf(needle_rows("4.5"));
  ASSERT_TRUE(result) << result.error().code;
  const auto* entry = result->needle("n-1");
  ASSERT_NE(entry, nullptr);
  EXPECT_EQ(entry->thing.length.tenths, 45);
  EXPECT_EQ(entry->sources.size(), 5U);
  EXPECT_EQ(source(*entry, "gauge").source, "sold so");
  EXPECT_EQ(source(*entry, "gauge").known, Known::memory);
  EXPECT_TRUE(parse_shelf(""));
  std::string windows;
  for (const char c : needle_rows()) windows.append(c == '\n' ? "\r\n" : std::string(1, c));
  EXPECT_TRUE(parse_shelf(windows));
}

TEST(Shelf, ABadRowIsNamedWithItsLineAndNothingIsReturned) {
  const auto good = needle_rows();
  EXPECT_EQ(refusal(good + "needle\tn-1\tname\n"), expect(codes::row_form, "8"));
  EXPECT_EQ(refusal(good + "needle\tn-1\tname\tx\ty\tmemory\tz\n"), expect(codes::row_form, "8"));
  EXPECT_EQ(refusal(good + "syringe\tn-1\tname\tx\ty\tmemory\n"), expect(codes::row_form, "8"));
  EXPECT_EQ(refusal(good + "needle\tn-1\tname\t\xFF\ty\tmemory\n"), expect(codes::row_form, "8"));
  EXPECT_EQ(refusal(good + "needle\tn-1\tname\tx\ty\tmemory\n"), expect(codes::field_twice, "8"));
  EXPECT_EQ(refusal(good + "needle\tn-1\tcolour\tx\ty\tmemory\n"),
            expect(codes::field_unknown, "8"));
  EXPECT_EQ(refusal(good + "needle\tN 2\tname\tx\ty\tmemory\n"), expect(codes::code_form, "8"));
  EXPECT_EQ(refusal(good + "needle\tn-2\tname\tx\ty\tguess\n"), expect(codes::known_form, "8"));
  EXPECT_EQ(refusal(good + "needle\tn-2\tname\tx\t\tread\n"), expect(codes::source_missing, "8"));
  EXPECT_EQ(refusal(good + "needle\tn-2\tname\tx\ty\tmemory\n"), expect(codes::field_missing, "8"));
  EXPECT_EQ(refusal(good + "needle\tn-2\tsafety\ttrue\ty\tmemory\n"),
            expect(codes::value_form, "8"));
  EXPECT_EQ(refusal(needle_rows("4.55")), expect(codes::value_form, "4"));
  EXPECT_EQ(refusal(needle_rows("99999999999")), expect(codes::value_form, "4"));
  EXPECT_EQ(refusal(needle_rows("70")), expect(codes::value_range, "3"));
  EXPECT_TRUE(parse_shelf(needle_rows("4", "clinic's own")));
}

TEST(Shelf, TheClinicsEntryReplacesOrAdds) {
  Shelf laid = shelf();
  const auto before = laid.pens.size();
  lay(laid, Entry<Pen>{"our-pen", whole_pen(), {}});
  EXPECT_EQ(laid.pens.size(), before + 1);
  auto changed = whole_pen();
  changed.most = 40_units;
  lay(laid, Entry<Pen>{"our-pen", changed, {}});
  EXPECT_EQ(laid.pens.size(), before + 1);
  EXPECT_EQ(laid.pen("our-pen")->thing.most, 40_units);
  auto own_label = laid.insulin("nph-100")->thing;
  own_label.in_use_days = 28;
  lay(laid, Entry<Insulin>{"nph-100", own_label, {{"in_use_days", "our label", Known::clinic}}});
  EXPECT_EQ(laid.insulin("human NPH insulin", Strength{100})->thing.in_use_days, 28);
  EXPECT_EQ(shelf().insulin("nph-100")->thing.in_use_days, 14);
  lay(laid, Entry<Needle>{"our-needle", four_mm(), {}});
  lay(laid, Entry<Cartridge>{"our-cartridge", three_ml(), {}});
  EXPECT_TRUE(laid.needle("our-needle") && laid.cartridge("our-cartridge"));
}

}  // namespace
}  // namespace penstock::shelf
