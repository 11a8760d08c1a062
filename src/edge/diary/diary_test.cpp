#include "edge/diary/diary.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <map>
#include <set>

#include "core/journal/journal.hpp"
#include "edge/csv/csv.hpp"
#include "edge/wire/for_tests.hpp"

namespace penstock::diary {
namespace {

using namespace wire::for_tests;
using namespace literals;
using journal::Fact;
using journal::Injected;
using journal::Note;

constexpr std::string_view header = "time,what,units,cartridge,zone,spot,note\n";

// A person's journal while files come in.
struct Home {
  std::map<Id, Fact> facts;
  std::string author = "Jo Winter";
  Instant now = when("2028-01-01T12:00Z").at;

  DiaryContext context() const {
    DiaryContext context;
    context.journal = {9, 9};
    context.full_name = "Mary Miller";
    context.number = "HS-0117";
    context.zone = berlin();
    context.now = now;
    context.author = author;
    context.cartridge = [](std::string_view name, const When&) -> std::optional<DiaryCartridge> {
      if (name == "1" || name == "A" || name == to_text(Id{7, 1})) {
        return DiaryCartridge{{7, 1}, {8, 1}};
      }
      if (name == "2") return DiaryCartridge{{7, 2}, {8, 1}};
      return std::nullopt;
    };
    context.known = [this](const Id& id) -> const Fact* {
      const auto found = facts.find(id);
      return found == facts.end() ? nullptr : &found->second;
    };
    context.digest = &digest;
    return context;
  }
  Result<DiaryPreview> look(std::string_view text) const { return preview_diary(text, context()); }
  // How many facts entered, the one about the import itself among them.
  std::size_t take(std::string_view text) {
    const auto preview = look(text);
    EXPECT_TRUE(preview.has_value() && preview->acceptable());
    const auto accepted = accept_diary(*preview, context(), "diary.csv", When{now, 60});
    EXPECT_TRUE(accepted.has_value());
    for (const auto& fact : *accepted) {
      EXPECT_TRUE(journal::checked(fact).has_value());
      EXPECT_TRUE(facts.emplace(fact.id, fact).second) << "the same identity twice";
    }
    return accepted->size();
  }
};

std::string file(std::string_view rows) { return std::string(header) + std::string(rows); }

// The code of the only bad line, with its number: "diary.what@2".
std::string only_bad(std::string_view rows) {
  const auto preview = Home{}.look(file(rows));
  if (!preview) return preview.error().code + "!" + preview.error().at;
  if (preview->bad.size() != 1) return "bad lines: " + std::to_string(preview->bad.size());
  EXPECT_EQ(preview->bad[0].error.at, std::to_string(preview->bad[0].line));
  return preview->bad[0].error.code + "@" + std::to_string(preview->bad[0].line);
}

// H56, nurse A6: the same injections by two clocks. Two rows near one injection: only the nearer is
// that one; other units and other insulins are nobody's double.
TEST(Diary, H56_EachHeldRowIsPairedOnceTheNearestInTimeFirst) {
  Home home;
  home.take(
      file("2027-03-12T22:00,injected,20,1,,,\n"
           "2027-03-13T22:00,injected,20,1,,,\n"));
  std::vector<Fact> held;
  for (const auto& [id, fact] : home.facts) held.push_back(fact);
  std::vector<journal::Effective> so_far;
  for (const auto& fact : held) so_far.push_back({fact.happened, 0, &fact, &fact.payload, nullptr});
  auto context = home.context();
  context.so_far = so_far;
  context.perhaps_same = [](const Id&) { return std::chrono::hours{2}; };
  const auto near = [&](std::string_view rows) {
    std::string out;
    const auto preview = preview_diary(file(rows), context);
    for (const auto& one : preview->near)
      out += std::to_string(preview->fresh[one.fresh].line) + "@" +
             (one.line == 0 ? format_iso(one.held) : std::to_string(one.line)) + " ";
    return out;
  };
  EXPECT_EQ(near("2027-03-12T22:20,injected,20,1,left thigh,,\n"
                 "2027-03-12T22:25,injected,20,1,,,\n"
                 "2027-03-13T21:50,injected,20,1,,,\n"),
            "2@2027-03-12T22:00:00+01:00 3@2 4@2027-03-13T22:00:00+01:00 ");
  EXPECT_EQ(near("2027-03-12T22:32,injected,20,1,,,\n"), "2@2027-03-12T22:00:00+01:00 ");
  EXPECT_EQ(near("2027-03-12T23:00,injected,20,1,,,\n"), "2@2027-03-12T22:00:00+01:00 ");
  EXPECT_EQ(near("2027-03-13T00:00,injected,20,1,,,\n"), "2@2027-03-12T22:00:00+01:00 ");
  EXPECT_EQ(near("2027-03-13T00:01,injected,20,1,,,\n"), "");
  EXPECT_EQ(near("2027-03-12T22:10,injected,18,1,,,\n"), "");
  EXPECT_EQ(near("2027-03-12T22:10,injected,20,2,,,\n"), "");
  context.same_insulin = [](const Id&, const Id&) { return true; };
  EXPECT_EQ(near("2027-03-12T22:10,injected,20,2,,,\n"), "2@2027-03-12T22:00:00+01:00 ");
}

// H56: the same injection twice in one file, by two hands. Primes of one evening are several.
TEST(Diary, H56_RowsNearEachOtherInOneFileAreAskedAbout) {
  Home home;
  auto context = home.context();
  context.perhaps_same = [](const Id&) { return std::chrono::hours{2}; };
  const auto near = [&](std::string_view rows) {
    std::string out;
    const auto preview = preview_diary(file(rows), context);
    for (const auto& one : preview->near)
      out += std::to_string(preview->fresh[one.fresh].line) + "@" + std::to_string(one.line) + " ";
    return out;
  };
  EXPECT_EQ(near("2027-03-12T22:00,injected,20,1,,,\n"
                 "2027-03-12T22:40,injected,20,1,,,\n"
                 "2027-03-12T23:10,injected,20,1,,,\n"),
            "3@2 4@3 ");
  EXPECT_EQ(near("2027-03-12T22:00,injected,20,1,thigh left,,\n"
                 "2027-03-12T22:00,injected,20,1,thigh right,,\n"),
            "3@2 ");
  EXPECT_EQ(near("2027-03-12T22:00,primed,2,1,,,\n"
                 "2027-03-12T22:01,primed,2,1,,,\n"
                 "2027-03-12T22:02,injected,20,1,,,\n"
                 "2027-03-13T00:03,injected,20,1,,,\n"),
            "");
  const auto rows = file(
      "2027-03-12T22:00,injected,20,1,,,\n"
      "2027-03-12T22:40,injected,20,1,,,\n");
  const auto preview = preview_diary(rows, context);
  const When now{home.now, 60};
  EXPECT_EQ(accept_diary(*preview, context, "a.csv", now).error().code, codes::diary_near);
  EXPECT_EQ(accept_diary(*preview, context, "a.csv", now, {AskedRows::leave_out})->size(), 2U);
  EXPECT_EQ(accept_diary(*preview, context, "a.csv", now, {AskedRows::bring_in})->size(), 3U);
}

// H22: somebody's program wrote each row twice.
TEST(Diary, H22_TheSameRowTwiceInOneFileIsOneRowAndIsSaid) {
  Home home;
  const auto rows = file(
      "2027-03-12T22:00,injected,20,1,thigh left,,\n"
      "2027-03-12T22:00,injected,20,1,left thigh,,\n"
      "2027-03-12T22:00,injected,20,1,,,\n"
      "2027-03-12T22:00:30,injected,20,1,thigh left,,\n");
  const auto preview = home.look(rows);
  ASSERT_TRUE(preview && preview->acceptable());
  EXPECT_EQ(preview->repeated, std::vector<std::int64_t>{3});
  EXPECT_EQ(preview->fresh.size(), 3U);
  EXPECT_EQ(home.take(rows), 4U);
  EXPECT_EQ(home.look(rows)->fresh.size(), 0U);
  EXPECT_EQ(home.look(rows)->repeated, std::vector<std::int64_t>{3});
}

// H25: asked about as the same dose is where it is typed.
TEST(Diary, H25_UnusualRowsEnterOnlyAfterAnAnswer) {
  Home home;
  const auto rows = file(
      "2027-03-12T22:00,injected,200,1,,,felt odd\n"
      "2027-03-13T22:00,injected,80,1,,,\n");
  const auto preview = home.look(rows);
  ASSERT_EQ(preview->odd.size(), 1U);
  EXPECT_EQ(preview->odd[0].line, 2);
  const When now{home.now, 60};
  const auto context = home.context();
  EXPECT_EQ(accept_diary(*preview, context, "a.csv", now).error().code, codes::diary_odd);
  const auto facts = [&](AskedRows odd) {
    return accept_diary(*preview, context, "a.csv", now, {AskedRows::not_said, odd})->size();
  };
  EXPECT_EQ(facts(AskedRows::leave_out), 2U);  // neither the dose nor its note
  EXPECT_EQ(facts(AskedRows::bring_in), 4U);
  // Of years ago is said and not asked, and hides nothing else.
  const auto old =
      home.look(file("2024-03-12T22:00,injected,200,1,,,\n"
                     "2024-03-13T22:00,injected,20,1,,,\n"));
  ASSERT_EQ(old->odd.size(), 1U);
  EXPECT_EQ(old->odd[0].line, 2);
  EXPECT_EQ(old->odd[0].error.at, "/units");
  EXPECT_EQ(old->late, (std::vector<std::int64_t>{2, 3}));
}

std::string two_thousand_lines() {
  std::string text(header);
  auto at = when("2027-01-01T06:00:00Z").at;
  for (int i = 0; i < 500; ++i) {
    at += std::chrono::hours{12};
    const auto time = format_iso(When{at, 0});
    text += time + ",needle on,,1,,,\n" + time + ",primed,2,1,,,\n" + time +
            ",injected,10.5,1,thigh left,,\n" + time + ",needle off,,1,,,\n";
  }
  return text;
}

TEST(Diary, EveryWordBecomesItsFact) {
  Home home;
  const auto preview = home.look(
      file("2027-03-16T08:00,left the fridge,,1,,,\n"
           "2027-03-16T08:01,Needle On,,1,,,\n"
           "2027-03-16T08:02,primed,2,1,,,\n"
           "2027-03-16T08:03,primed no flow,2,1,,,\n"
           "2027-03-16T08:04,primed flow seen,1,1,,,\n"
           "2027-03-16T08:05:30+01:00, injected ,4.5,A,Thigh Left,1.5 -2,\"felt \"\"fine\"\"\"\n"
           "2027-03-16T08:06,injected part,3,1,,,\n"
           "2027-03-16T08:07,injected unknown,0,1,,,\n"
           "2027-03-16T08:08,scale,126,1,,,\n"
           "2027-03-16T08:09,needle off,,1,,,\n"
           "2027-03-16T08:10,thrown away,,1,,,heat\n"
           "2027-03-16T08:11,thrown away,,2,,,the dog had it\n"
           "2027-03-16T08:12,note,,,,,ate late\n"));
  ASSERT_TRUE(preview.has_value());
  ASSERT_TRUE(preview->acceptable()) << preview->bad[0].error.code;
  EXPECT_EQ(preview->rows, 13);
  ASSERT_EQ(preview->fresh.size(), 14U);  // the injection's note is a fact of its own
  const auto payload = [&](std::size_t i) { return preview->fresh[i].fact.payload; };
  using namespace journal;
  EXPECT_EQ(payload(0), Payload(LeftFridge{{7, 1}}));
  EXPECT_EQ(payload(1), Payload(NeedleOn{{8, 1}, "", {}, true}));
  EXPECT_EQ(payload(2), Payload(Primed{{7, 1}, 2_units, Flow::unknown}));
  EXPECT_EQ(payload(3), Payload(Primed{{7, 1}, 2_units, Flow::not_seen}));
  EXPECT_EQ(payload(4), Payload(Primed{{7, 1}, 1_units, Flow::seen}));
  Injected injected;
  injected.cartridge = {7, 1};
  injected.units = 4.5_units;
  injected.zone = Zone::thigh_left;
  injected.spot = Spot{{150}, {-200}};
  EXPECT_EQ(payload(5), Payload(injected));
  EXPECT_EQ(payload(6), Payload(Note{"felt \"fine\""}));
  EXPECT_EQ(std::get<Injected>(payload(7)).outcome, Outcome::part);
  EXPECT_EQ(std::get<Injected>(payload(8)).outcome, Outcome::unknown);
  EXPECT_EQ(payload(9), Payload(ScaleCounted{{7, 1}, 126_units}));
  EXPECT_EQ(payload(10), Payload(NeedleOff{{8, 1}, Disposal::unknown}));
  EXPECT_EQ(payload(11), Payload(ThrownAway{{7, 1}, ThrowReason::heat, ""}));
  EXPECT_EQ(payload(12), Payload(ThrownAway{{7, 2}, ThrowReason::other, "the dog had it"}));
  EXPECT_EQ(payload(13), Payload(Note{"ate late"}));
  const auto& fact = preview->fresh[5].fact;
  EXPECT_EQ(fact.happened, when("2027-03-16T08:05:30+01:00"));
  EXPECT_EQ(fact.source, "diary");
  EXPECT_EQ(fact.told_by, "Mary Miller");
  EXPECT_EQ(fact.author, "Jo Winter");
}

TEST(Diary, H22_TwoThousandLinesTwiceChangeNothingTwice) {
  Home home;
  const auto text = two_thousand_lines();
  EXPECT_EQ(std::ranges::count(text, '\n'), 2001);
  EXPECT_EQ(home.take(text), 2001U);
  const auto again = home.look(text);
  ASSERT_TRUE(again.has_value());
  EXPECT_TRUE(again->fresh.empty());
  EXPECT_EQ(again->known, 2000);
  EXPECT_TRUE(again->differs.empty());
  home.author = "Sam Field";  // whoever imports it
  home.now += std::chrono::hours{24};
  EXPECT_EQ(home.take(text), 0U);
}

TEST(Diary, H31_TwoFilesThatOverlapEnterOnceInEitherOrder) {
  const std::string rows[] = {"2027-03-16T08:00,injected,10,1,,,\n",
                              "2027-03-16T12:00,injected,6,1,,,\n",
                              "2027-03-16T12:00,injected,6,1,thigh left,,\n",  // truly twice
                              "2027-03-16T18:00,injected,8,1,,,late\n"};
  const auto early = file(rows[0] + rows[1] + rows[2]);
  const auto late = file(rows[1] + rows[2] + rows[3]);
  Home one, other;
  EXPECT_EQ(one.take(early), 4U);
  EXPECT_EQ(one.take(late), 3U);  // the injection, its note, the import
  other.take(late);
  other.take(early);
  const auto acts = [](const Home& home) {
    std::vector<Id> ids;
    for (const auto& [id, fact] : home.facts) {
      if (!std::holds_alternative<journal::DiaryImported>(fact.payload)) ids.push_back(id);
    }
    return ids;
  };
  EXPECT_EQ(acts(one).size(), 5U);
  EXPECT_EQ(acts(one), acts(other));
}

RC_GTEST_PROP(Diary, H31_AnyPiecesInAnyOrderGiveTheSameActs, ()) {
  std::vector<std::string> rows;
  auto minute = 0;
  for (int i = 0; i < 12; ++i) {
    minute += *rc::gen::inRange(0, 3) * 20;
    const auto time =
        format_iso(When{when("2027-10-30T22:00Z").at + std::chrono::minutes{minute}, 0});
    rows.push_back(time + ",injected," + std::to_string(*rc::gen::inRange(1, 3)) + ",1,,,\n");
  }
  std::string all;
  for (const auto& row : rows) all += row;
  Home whole, pieces;
  whole.take(file(all));
  for (int n = *rc::gen::inRange(0, 4); n > 0; --n) {
    // Pieces begin where the time changes: of equal rows, a piece holds all.
    auto from = *rc::gen::inRange<std::size_t>(0, rows.size());
    while (from > 0 && rows[from].substr(0, 25) == rows[from - 1].substr(0, 25)) --from;
    std::string piece;
    for (auto i = from; i < rows.size(); ++i) piece += rows[i];
    pieces.take(file(piece));
  }
  pieces.take(file(all));
  std::size_t a = 0, b = 0;
  for (const auto& [id, fact] : whole.facts) a += std::holds_alternative<Injected>(fact.payload);
  for (const auto& [id, fact] : pieces.facts) b += std::holds_alternative<Injected>(fact.payload);
  // What a row says again counts once.
  const auto different = std::set<std::string>(rows.begin(), rows.end()).size();
  RC_ASSERT(a == different);
  RC_ASSERT(b == different);
}

TEST(Diary, H22_NothingEntersWhileOneLineIsBad) {
  Home home;
  const auto preview =
      home.look(file("2027-03-16T08:00,injected,10,1,,,\n"
                     "2027-03-16T09:00,injected,36"
                     "U,1,,,\n"
                     "2027-03-16T10:00,jogged,,1,,,\n"));
  ASSERT_TRUE(preview.has_value());
  EXPECT_FALSE(preview->acceptable());
  ASSERT_EQ(preview->bad.size(), 2U);
  EXPECT_EQ(preview->bad[0].line, 3);
  EXPECT_EQ(preview->bad[1].line, 4);
  const auto accepted = accept_diary(*preview, home.context(), "diary.csv", When{home.now, 0});
  ASSERT_FALSE(accepted.has_value());
  EXPECT_EQ(accepted.error().code, codes::diary_units_form);
  EXPECT_EQ(accepted.error().at, "3");
}

TEST(Diary, H05_UnitsAreABareExactAmount) {
  const auto with = [](std::string_view units) {
    return only_bad("2027-03-16T08:00,injected," + std::string(units) + ",1,,,\n");
  };
  EXPECT_EQ(with("4.5"), "bad lines: 0");
  EXPECT_EQ(with("36"
                 "U"),
            "diary.units_form@2");
  EXPECT_EQ(with("36 units"), "diary.units_form@2");
  EXPECT_EQ(with(".5"), "number.form@2");
  EXPECT_EQ(with("\"4,5\""), "number.form@2");
  EXPECT_EQ(with("4.125"), "number.decimals@2");
  EXPECT_EQ(with("-4"), "number.range@2");
  EXPECT_EQ(with(""), "diary.units_missing@2");
  EXPECT_EQ(only_bad("2027-03-16T08:00,thrown away,12,1,,,\n"), "diary.units_extra@2");
}

TEST(Diary, H06_AGlucoseValueIsNoAmountOfInsulin) {
  EXPECT_EQ(only_bad("2027-03-16T08:00,injected,7.2 mmol/L,1,,,\n"), "diary.units_form@2");
  EXPECT_EQ(only_bad("2027-03-16T08:00,injected,120 mg/dL,1,,,\n"), "diary.units_form@2");
  const auto readings = Home{}.look("time,glucose,unit\n2027-03-16T08:00,7.2,mmol/L\n");
  ASSERT_FALSE(readings.has_value());
  EXPECT_EQ(readings.error().code, csv::codes::csv_header);
}

TEST(Diary, H25_WhatNoCartridgeHoldsIsRefused) {
  EXPECT_EQ(only_bad("2027-03-16T08:00,injected,1500,1,,,\n"), "bad lines: 0");
  EXPECT_EQ(only_bad("2027-03-16T08:00,injected,1500.01,1,,,\n"), "diary.units_large@2");
  EXPECT_EQ(only_bad("2029-03-16T08:00,injected,10,1,,,\n"), "diary.time_future@2");
  // Tomorrow's dose counted as given, and the card left it out.
  EXPECT_EQ(only_bad("2028-01-02T10:00,injected,10,1,,,\n"), "diary.time_future@2");
  EXPECT_EQ(only_bad("1899-03-16T08:00,injected,10,1,,,\n"), "fact.time_range@2");
}

TEST(Diary, H22_EachFaultOfALineHasItsName) {
  EXPECT_EQ(only_bad("yesterday,injected,10,1,,,\n"), "time.form@2");
  EXPECT_EQ(only_bad("2027-02-30T08:00,injected,10,1,,,\n"), "time.form@2");
  EXPECT_EQ(only_bad("2027-03-16T08:00,injected,10,,,,\n"), "diary.cartridge_missing@2");
  EXPECT_EQ(only_bad("2027-03-16T08:00,injected,10,9,,,\n"), "diary.cartridge_unknown@2");
  EXPECT_EQ(only_bad("2027-03-16T08:00,injected,10,1,belly,,\n"), "diary.zone@2");
  EXPECT_EQ(only_bad("2027-03-16T08:00,injected,10,1,thigh left,7,\n"), "diary.spot@2");
  EXPECT_EQ(only_bad("2027-03-16T08:00,injected,10,1,,7 -6,\n"), "diary.spot_without_zone@2");
  EXPECT_EQ(only_bad("2027-03-16T08:00,primed,2,1,thigh left,,\n"), "diary.zone_extra@2");
  EXPECT_EQ(only_bad("2027-03-16T08:00,note,,,,,\n"), "diary.note_missing@2");
  EXPECT_EQ(only_bad("2027-03-16T08:00,injected,10,1\n"), "csv.columns@2");
  EXPECT_EQ(only_bad("2027-03-16T08:00,note,,,,,\"a\x01\"\n"), "fact.text_form@2");
  EXPECT_EQ(only_bad("2027-03-16T08:00,injected,1\"0,1,,,\n"), "csv.quote@2");
}

TEST(Diary, H22_AFileThatIsNoDiaryIsRefusedAsAWhole) {
  const auto code = [](std::string_view text) {
    const auto preview = Home{}.look(text);
    return preview ? "it was read" : preview.error().code;
  };
  EXPECT_EQ(code("time;what;units;cartridge\n"), csv::codes::csv_separator);
  EXPECT_EQ(code("time\twhat\tunits\tcartridge\n"), csv::codes::csv_separator);
  EXPECT_EQ(code("time,what,units\n"), csv::codes::csv_header_missing);
  EXPECT_EQ(code("time,what,units,cartridge,time\n"), csv::codes::csv_header_twice);
  EXPECT_EQ(code("time,what,units,cartridge,mood\n"), csv::codes::csv_header);
  EXPECT_EQ(code("\x89PNG\r\n\x1A\n"), csv::codes::csv_encoding);
  EXPECT_EQ(code(""), csv::codes::csv_empty);
  EXPECT_EQ(code("PK\x03\x04 not a table"), csv::codes::csv_header);
  EXPECT_EQ(code("\xEF\xBB\xBFTIME , What,units,cartridge\r\n"), "it was read");
}

TEST(Diary, H22_AFileInTheWrongOrderIsRefused) {
  EXPECT_EQ(only_bad("2027-03-16T08:00,injected,10,1,,,\n"
                     "2027-03-15T08:00,injected,10,1,,,\n"
                     "2027-03-17T08:00,injected,10,1,,,\n"),
            "diary.order@3");
  EXPECT_EQ(only_bad("2027-03-17T08:00,injected,10,1,,,\n"
                     "2027-03-16T08:00,injected,10,1,,,\n"
                     "2027-03-15T08:00,injected,10,1,,,\n"),
            "diary.newest_first@0");
}

TEST(Diary, H19_AnotherPersonsFileIsRefused) {
  const auto bad = [](std::string_view text) {
    const auto preview = Home{}.look(text);
    return preview->bad.empty() ? "" : preview->bad[0].error.code;
  };
  const std::string rows = file("2027-03-16T08:00,injected,10,1,,,\n");
  EXPECT_EQ(bad("# person: HS-0117\n" + rows), "");
  EXPECT_EQ(bad("# person: mary  MILLER\n# device: meter\n" + rows), "");
  EXPECT_EQ(bad("# person: HS-0118\n" + rows), codes::diary_person);
  EXPECT_EQ(bad("# name: Mary Muller\n" + rows), codes::diary_person);
  EXPECT_EQ(bad("time,what,units,cartridge,number\n2027-03-16T08:00,injected,10,1,HS-0118\n"),
            codes::diary_person);
  EXPECT_EQ(bad("time,what,units,cartridge,name\n2027-03-16T08:00,injected,10,1,Mary Miller\n"),
            "");
}

TEST(Diary, H22_ThousandsOfBadLinesAreCountedAndTheFirstNamed) {
  std::string text(header);
  for (int i = 0; i < 5'000; ++i) text += "garbage,,,,,,\n";
  const auto preview = Home{}.look(text);
  ASSERT_TRUE(preview.has_value());
  EXPECT_EQ(preview->bad_count, 5'000);
  EXPECT_EQ(preview->bad.size(), diary_bad_lines_max);
  EXPECT_EQ(preview->bad.back().line, 1 + static_cast<std::int64_t>(diary_bad_lines_max));
}

TEST(Diary, TheLimitOfRowsIsNamed) {
  std::string text(header);
  for (std::int64_t i = 0; i <= diary_rows_max; ++i) text += "x,,,,,,\n";
  const auto preview = Home{}.look(text);
  ASSERT_FALSE(preview.has_value());
  EXPECT_EQ(preview.error().code, codes::diary_rows);
}

// 28 March 2027, Europe/Berlin: 02:00 to 03:00 does not exist.
TEST(Diary, H18_ATimeThatTheClocksSkippedIsABadLine) {
  EXPECT_EQ(only_bad("2027-03-28T02:30,injected,10,1,,,\n"), "diary.time_missing@2");
  EXPECT_EQ(only_bad("2027-03-28T02:30+01:00,injected,10,1,,,\n"), "bad lines: 0");
  const auto preview =
      Home{}.look(file("2027-03-28T01:59,injected,10,1,,,\n"
                       "2027-03-28T03:00,injected,10,1,,,\n"));
  ASSERT_EQ(preview->fresh.size(), 2U);
  EXPECT_EQ(preview->fresh[0].fact.happened, when("2027-03-28T01:59+01:00"));
  EXPECT_EQ(preview->fresh[1].fact.happened, when("2027-03-28T03:00+02:00"));
}

// 31 October 2027, Europe/Berlin: 02:00 to 03:00 comes twice.
TEST(Diary, H18_ATimeThatComesTwiceTakesTheOffsetThatKeepsTheFileAscending) {
  const auto times = [](std::string_view rows) {
    std::vector<std::string> out;
    const auto preview = Home{}.look(file(rows));
    for (const auto& line : preview->fresh) out.push_back(format_iso(line.fact.happened));
    return out;
  };
  EXPECT_EQ(times("2027-10-31T02:30,injected,10,1,,,\n"
                  "2027-10-31T02:45,injected,4,1,,,\n"
                  "2027-10-31T02:30,injected,10,1,,,\n"
                  "2027-10-31T02:50,injected,4,1,,,\n"
                  "2027-10-31T03:00,injected,4,1,,,\n"),
            (std::vector<std::string>{"2027-10-31T02:30:00+02:00", "2027-10-31T02:45:00+02:00",
                                      "2027-10-31T02:30:00+01:00", "2027-10-31T02:50:00+01:00",
                                      "2027-10-31T03:00:00+01:00"}));
}

TEST(Diary, H18_ATimeThatCameTwiceIsSaidToHave) {
  const auto preview =
      Home{}.look(file("2027-10-31T02:30,injected,10,1,,,\n"
                       "2027-10-31T02:30+01:00,injected,10,1,,,\n"
                       "2027-10-31T03:00,injected,4,1,,,\n"));
  EXPECT_EQ(preview->twice, (std::vector<std::int64_t>{2}));
  ASSERT_EQ(preview->fresh.size(), 3U);
  EXPECT_TRUE(preview->fresh[0].hour_came_twice);
  EXPECT_TRUE(preview->fresh[1].hour_came_twice);
  EXPECT_FALSE(preview->fresh[2].hour_came_twice);
}

TEST(Diary, H18_H31_AFileThatBeginsInTheHourThatComesTwiceChangesNothingTwice) {
  Home home;
  const std::string second_half =
      "2027-10-31T02:30,injected,10,1,,,\n2027-10-31T02:50,injected,4,1,,,\n";
  home.take(file("2027-10-31T02:45,injected,6,1,,,\n" + second_half));
  const auto preview = home.look(file(second_half));
  ASSERT_TRUE(preview->acceptable());
  EXPECT_TRUE(preview->fresh.empty());
  EXPECT_EQ(preview->known, 2);
}

TEST(Diary, H31_TheSameMomentWithAndWithoutItsOffsetIsOneRow) {
  Home home;
  home.take(file("2027-03-16T08:00,injected,10,1,,,\n"));
  EXPECT_EQ(home.take(file("2027-03-16T07:00Z,injected,10.0,A,,,\n")), 0U);
}

TEST(Diary, H31_AChangedZoneOrNoteNeverMakesASecondDose) {
  Home home;
  home.take(file("2027-03-16T08:00,injected,10,1,thigh left,,\n"));
  const auto preview =
      home.look(file("2027-03-16T08:00,injected,10,1,thigh right,,forgot to say\n"));
  EXPECT_EQ(preview->known, 1);
  EXPECT_EQ(preview->differs, (std::vector<std::int64_t>{2}));
  ASSERT_EQ(preview->fresh.size(), 1U);
  EXPECT_EQ(preview->fresh[0].fact.payload, journal::Payload(Note{"forgot to say"}));
}

TEST(Diary, WhatIsWrittenComesBackAsTheSameFacts) {
  Home home;
  home.take(two_thousand_lines());
  home.take(
      file("2027-12-24T18:00,injected,10,1,abdomen left lower,7 -6,\"a, \"\"b\"\"\nc\"\n"
           "2027-12-24T19:00,thrown away,,1,,,past in use\n"));
  std::vector<Fact> facts;
  for (const auto& [id, fact] : home.facts) facts.push_back(fact);
  journal::CartridgeLoaded loaded;
  loaded.cartridge = {7, 1};
  loaded.pen = {8, 1};
  auto first = injection(99, "2026-12-31T08:00Z", 1_units);
  first.payload = loaded;
  facts.push_back(first);
  const auto text = write_diary(facts, [](const Id& id) { return to_text(id); });
  const auto again = home.look(text);
  ASSERT_TRUE(again.has_value());
  ASSERT_TRUE(again->acceptable()) << again->bad[0].error.code << again->bad[0].line;
  EXPECT_EQ(again->known, 2003);
  EXPECT_TRUE(again->fresh.empty());
  EXPECT_TRUE(again->differs.empty());
  // Elsewhere the same identities arrive.
  Home elsewhere;
  elsewhere.take(text);
  for (const auto& [id, fact] : home.facts) {
    if (std::holds_alternative<journal::DiaryImported>(fact.payload)) continue;
    ASSERT_TRUE(elsewhere.facts.contains(id));
    EXPECT_EQ(elsewhere.facts.at(id).payload, fact.payload);
  }
}

TEST(Diary, TheSameIdentityOnTwoRowsIsABadLine) {
  const auto preview = Home{}.look(
      "time,what,units,cartridge,id\n"
      "2027-03-16T08:00,injected,10,1,1f2e3d4c5b6a79880a1b2c3d4e5f6071\n"
      "2027-03-16T09:00,injected,10,1,1f2e3d4c5b6a79880a1b2c3d4e5f6071\n");
  ASSERT_EQ(preview->bad.size(), 1U);
  EXPECT_EQ(preview->bad[0].error.code, codes::diary_id_twice);
}

// A known id hides no injection: only a line that says what the entry says is known.
TEST(Diary, H22_H57_AnIdOfAnEntryThatSaysOtherwiseIsABadLine) {
  Home home;
  const auto with_id = [](const Id& id, std::string_view row) {
    return "time,what,units,cartridge,zone,note,id\n" + std::string(row) + "," + to_text(id) + "\n";
  };
  home.take(file("2027-03-16T08:00,injected,10,1,thigh left,,\n"));
  Id dose;
  for (const auto& [id, fact] : home.facts)
    if (std::holds_alternative<Injected>(fact.payload)) dose = id;
  auto note = injection(98, "2027-03-16T09:00Z", 1_units);
  note.payload = Note{"Felt well"};
  home.facts.emplace(note.id, note);
  const auto same = home.look(with_id(dose, "2027-03-16T08:00,injected,10,1,thigh right,"));
  ASSERT_TRUE(same->acceptable());
  EXPECT_EQ(same->known, 1);
  EXPECT_EQ(same->differs, (std::vector<std::int64_t>{2}));
  for (const auto* row :
       {"2027-03-16T08:00,injected,30,1,thigh left,", "2027-03-16T08:30,injected,10,1,thigh left,",
        "2027-03-16T08:00,injected,10,2,thigh left,", "2027-03-16T08:00,primed,10,1,,"}) {
    const auto seen = home.look(with_id(dose, row));
    ASSERT_EQ(seen->bad.size(), 1U) << row;
    EXPECT_EQ(seen->bad[0].error.code, codes::diary_id_differs) << row;
    EXPECT_EQ(seen->known, 0);
  }
  const auto hidden = home.look(with_id(note.id, "2027-03-16T10:00,injected,10,1,,"));
  ASSERT_EQ(hidden->bad.size(), 1U);
  EXPECT_EQ(hidden->bad[0].error.code, codes::diary_id_differs);
}

TEST(Diary, H22_H19_AnIdThatIsOnAnotherRecordIsABadLineOfThePreview) {
  const Home home;
  auto context = home.context();
  context.elsewhere = [](const Id&) { return true; };
  const auto seen = preview_diary(
      "time,what,units,cartridge,id\n"
      "2027-03-16T08:00,injected,10,1,1f2e3d4c5b6a79880a1b2c3d4e5f6071\n",
      context);
  ASSERT_EQ(seen->bad.size(), 1U);
  EXPECT_EQ(seen->bad[0].error.code, codes::diary_id_elsewhere);
}

// What stands before an entry that only says so came by itself, in the same second or not.
TEST(Diary, H29_H37_H56_AnImportThatBroughtNoFileTakesNothingBackWithIt) {
  Home home;
  const auto preview =
      home.look(file("2027-03-16T08:00,injected,10,1,,,\n2027-03-17T08:00,injected,10,1,,,\n"));
  auto facts = accept_diary(*preview, home.context(), "diary.csv", When{home.now, 60}).value();
  ASSERT_EQ(facts.size(), 3U);
  const auto taken_back = [&] {
    auto back = injection(97, "2028-01-01T12:00Z", 1_units);
    back.payload = journal::Correction{facts.back().id, "wrong file", false, nullptr};
    return taken_back_with(std::vector{back}, journal::read(facts), &digest).size();
  };
  EXPECT_EQ(taken_back(), 2U);
  facts.back().id = {1, 1};
  EXPECT_EQ(taken_back(), 0U);
}

}  // namespace
}  // namespace penstock::diary
