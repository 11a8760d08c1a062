// A correction that brings a number is asked about (H08, H12, H59, H61), and a number that is held
// is on Today (H32, H38), whatever holds it.
#include <gtest/gtest.h>

#include "shell/desk/desk.hpp"
#include "support/said.hpp"
#include "support/test_clinic.hpp"

namespace penstock::desk {
namespace {

const std::string id = "00000000000000000000000000000d01";

std::string fact(const std::string& body, const std::string& happened = "2027-03-16T21:20:00") {
  return R"({"id":")" + id + R"(","happened":")" + happened + R"(+01:00",)" + body + "}";
}
std::string struck(const std::string& target) {
  return R"({"what":"correction","target":")" + target + R"(","reason":"a slip"})";
}
std::string number(Clinic& clinic) { return Bench::at(clinic.page(), "/next/state").text; }

/// Struck out without a yes it asks, and nothing has changed; with one the number is there.
void asks_before_it_gives_back(Clinic& clinic, const std::string& target) {
  const auto before = Bench::at(clinic.page(), "/version").text;
  EXPECT_EQ(code(clinic.record(clinic.person, struck(target))), "ask.gives_back");
  EXPECT_EQ(Bench::at(clinic.page(), "/version").text, before);
  EXPECT_EQ(code(clinic.record(clinic.person, struck(target), R"("confirmed":true,)")), "recorded");
  EXPECT_EQ(number(clinic), "dial");
}

TEST(DeskGivesBack, StrikingOutWhatHoldsADoseAsks_H08_H12_H44_H59_H13) {
  const std::string of_cartridge = R"("cartridge":")" + std::string(Bench::cartridge) + "\"";
  const std::string line = R"("line":"00000000000000000000000000000a01")";
  for (const auto& body : {
           R"("what":"order line ended",)" + line +
               R"(,"last_day":"2027-03-15","prescriber":"Dr Tomasz Adeyemi")",
           R"("what":"temperature spell",)" + of_cartridge +
               R"(,"celsius":-6,"minutes":600,"frozen":true)",
           R"("what":"scale counted",)" + of_cartridge + R"(,"units":255)",
           R"("what":"dose answered",)" + line +
               R"(,"slot":"bedtime","day":"2027-03-16","was":"not known")",
           R"("what":"injected",)" + of_cartridge + "," + line + R"(,"slot":"bedtime","units":22)",
       }) {
    SCOPED_TRACE(body);
    Clinic clinic("2027-03-16T21:30:00+01:00");
    EXPECT_EQ(number(clinic), "dial");
    Bench::must(clinic.record(clinic.person, fact(body), R"("confirmed":true,)"));
    asks_before_it_gives_back(clinic, id);
  }
}

// "Without this entry, 1 unit of insulin glargine are shown for dialling", and three things that
// the entry might do.
TEST(DeskGivesBack, H08_TheQuestionSaysWhatWillBeShownAlsoOfOneUnit) {
  const Error asked{
      Kind::refused,
      std::string(vetting::codes::ask_gives_back),
      {arg_units("dose", *Units::from_hundredths(100)), arg_text("insulin", "insulin glargine"),
       arg_text("when", "Tuesday 16 March 2027, 22:00")},
      ""};
  const auto told = words::english().say(asked);
  EXPECT_TRUE(has(told.what, "shows 1 unit of insulin glargine to dial for")) << told.what;
  EXPECT_FALSE(has(told.what, " unit of insulin glargine are")) << told.what;
}

// "So that nobody dials it by mistake. Nothing was changed." stood as the reason under every hold.
TEST(DeskGivesBack, H38_AHoldHasNoReasonThatStandsUnderEveryHold) {
  Clinic clinic("2027-03-16T21:30:00+01:00");
  Bench::must(clinic.record(clinic.person,
                            R"({"what":"glucose noted","value":{"value":3.1,"unit":"mmol/L"}})",
                            R"("confirmed":true,)"));
  const auto page = clinic.page();
  EXPECT_EQ(number(clinic), "refused");
  EXPECT_EQ(Bench::all_text(page).find("Nothing was changed"), std::string::npos);
}

// Told for an hour before its slot's it was taken for another, earlier dose than the whole.
TEST(DeskGivesBack, H39_H07_StrikingOutAPartAsksBeforeTheWholeDoseIsShownAgain) {
  const auto part = fact(
      R"("what":"injected","line":"00000000000000000000000000000a01","slot":"bedtime","units":8,)"
      R"("meant_units":22,"outcome":"part","cartridge":")" +
          std::string(Bench::cartridge) + "\"",
      "2027-03-16T21:50:00");
  const auto instead = [&](const std::string& with) {
    auto correction = struck(id);
    correction.pop_back();
    return correction + R"(,"replacement":{"happened":"2027-03-16T21:50:00+01:00",)" + with + "}}";
  };
  for (const auto& takes_away :
       {struck(id), instead(R"("what":"note","text":"came by")"),
        instead(R"("what":"primed","units":2,"flow":"seen","cartridge":")" +
                std::string(Bench::cartridge) + "\"")}) {
    SCOPED_TRACE(takes_away);
    Clinic clinic("2027-03-16T21:55:00+01:00");
    Bench::must(clinic.record(clinic.person, part));
    EXPECT_TRUE(has(clinic.plan(), "14 units"));
    EXPECT_EQ(code(clinic.record(clinic.person, takes_away)), "ask.gives_back");
    EXPECT_EQ(code(clinic.record(clinic.person, takes_away, R"("confirmed":true,)")), "recorded");
    EXPECT_TRUE(has(clinic.plan(), "22 units"));
  }
}

// The order that came after it goes, and what it replaced stands there again.
TEST(DeskGivesBack, StrikingOutANewOrderAsksBeforeTheOldDoseIsShown_H08) {
  Clinic clinic("2027-03-16T21:30:00+01:00");
  const auto second = clinic.second_line("00000000000000000000000000000a01");
  EXPECT_TRUE(has(clinic.plan(), "24 units"));
  asks_before_it_gives_back(clinic, second);
  EXPECT_TRUE(has(clinic.plan(), "22 units"));
}

TEST(DeskGivesBack, AnotherHourOfWhatIsPastAsksNothing) {
  Clinic clinic("2027-03-16T21:30:00+01:00");
  Bench::must(clinic.record(clinic.person, fact(R"("what":"note","text":"came by")")));
  EXPECT_EQ(code(clinic.record(clinic.person, struck(id))), "recorded");
}

TEST(DeskGivesBack, ARecallIsNotStruckOutInSilence_H61) {
  Clinic clinic("2027-03-16T21:30:00+01:00");
  const std::string recall =
      fact(R"("what":"recall opened","recall":"00000000000000000000000000000e01",)"
           R"("lot":"ZQ77","item":"glargine-100-cartridge","from_whom":"the maker")");
  const auto told = [&](const std::string& one, const std::string& more = "") {
    return clinic.desk().record_clinic(Bench::request("{" + more + R"("facts":[)" + one + "]}"),
                                       clinic.desk().caller());
  };
  Bench::must(told(recall));
  EXPECT_EQ(code(told(struck(id))), "ask.recall_struck");
  EXPECT_EQ(code(told(struck(id), R"("confirmed":true,)")), "recorded");
}

// What is struck out before it comes would be answered "recorded", and hold nothing back.
TEST(DeskGivesBack, H61_TheClinicsJournalCorrectsOnlyWhatIsThere) {
  Clinic clinic("2027-03-16T21:30:00+01:00");
  const auto told = [&](const std::string& facts) {
    return code(clinic.desk().record_clinic(
        Bench::request(R"({"confirmed":true,"facts":[)" + facts + "]}"), clinic.desk().caller()));
  };
  const auto recall =
      fact(R"("what":"recall opened","recall":"00000000000000000000000000000e01",)"
           R"("lot":"ZQ77","item":"glargine-100-cartridge","from_whom":"the maker")");
  EXPECT_EQ(told(struck(id)), codes::correction_target);
  EXPECT_EQ(told(struck(id) + "," + recall), codes::correction_target);
  EXPECT_EQ(told(recall), "recorded");
  const std::string correction = "00000000000000000000000000000d02";
  EXPECT_EQ(told(R"({"id":")" + correction + R"(",)" + struck(id).substr(1)), "recorded");
  EXPECT_EQ(told(struck(correction)), vetting::codes::correction_stands);
  EXPECT_EQ(told(R"({"id":"00000000000000000000000000000d03","what":"note","text":"x"})"),
            codes::not_a_person);
}

TEST(DeskGivesBack, H38_WhatNamesTheClinicIsPutRightAndNotStruckOut) {
  Clinic clinic;
  const auto told = [&](const std::string& facts) {
    return code(clinic.desk().record_clinic(
        Bench::request(R"({"confirmed":true,"facts":[)" + facts + "]}"), clinic.desk().caller()));
  };
  std::string first;
  EXPECT_TRUE(clinic.store().read([&](store::ReadTx& tx) -> Result<void> {
    const auto entries = tx.entries(clinic.desk().clinic_journal(), 1);
    if (!entries) return entries.error();
    first = to_text(entries->front().fact);
    return {};
  }));
  const std::string named =
      R"("what":"clinic named","clinic":"Harbour Street Clinic","user":"Marit Oyelaran",)"
      R"("zone":"Europe/Berlin","phone":")";
  EXPECT_EQ(told(struck(first)), vetting::codes::clinic_stands);
  const auto instead = [&](const std::string& phone) {
    auto correction = struck(first);
    correction.pop_back();
    return correction + R"(,"replacement":{"happened":"2027-03-16T09:00:00+01:00",)" + named +
           phone + R"("}})";
  };
  EXPECT_EQ(told(instead("ask Marit")), vetting::codes::phone_form);
  EXPECT_EQ(told(instead("555 0199")), "recorded");
  EXPECT_EQ(told(struck(first)), vetting::codes::clinic_stands);
  EXPECT_EQ(told("{" + named + R"(555 0200"})"), "recorded");
  EXPECT_EQ(told(struck(first)), "recorded") << "another one names it";
  EXPECT_EQ(code(clinic.record(clinic.person, R"({"what":"note","text":"came by"})")), "recorded");
}

// A line "a diary came in" typed by hand took back with it whatever was recorded in its second.
TEST(DeskGivesBack, ThatADiaryCameInIsSaidByItsOwnWayInAlone_H56) {
  Clinic clinic;
  EXPECT_EQ(code(clinic.record(
                clinic.person,
                R"({"what":"diary imported","file":"x.csv","rows":1,"facts_new":1,"digest":")" +
                    std::string(64, '0') + R"("})")),
            "desk.imported_by_file");
}

std::string today(Clinic& clinic) {
  return Bench::all_text(Bench::must(clinic.Bench::page("/api/today")));
}

TEST(DeskGivesBack, WhateverHoldsADoseIsOnToday_H32_H38_H64_H03) {
  {
    Clinic clinic("2027-03-16T21:30:00+01:00");
    EXPECT_FALSE(has(today(clinic), tests::piece("sentences/watch.dose_held.dry")));
    // Pressed dry three times, then through a new needle: no other pen is there.
    const std::string pen = R"("pen":")" + std::string(Bench::pen) + "\"";
    const auto dry = R"({"what":"primed","cartridge":")" + std::string(Bench::cartridge) +
                     R"(","units":2,"flow":"not seen"})";
    for (int i = 0; i < 3; ++i) Bench::must(clinic.record(clinic.person, dry));
    Bench::must(clinic.record(clinic.person, R"({"what":"needle off",)" + pen + "}"));
    Bench::must(clinic.record(
        clinic.person, R"({"what":"needle on",)" + pen + R"(,"needle":"4 mm","length_mm":4})"));
    for (int i = 0; i < 3; ++i) Bench::must(clinic.record(clinic.person, dry));
    EXPECT_NE(number(clinic), "dial");
    EXPECT_TRUE(has(today(clinic), tests::piece("sentences/watch.dose_held.dry")));
  }
  {
    Clinic clinic("2027-03-16T21:30:00+01:00");
    clinic.second_line("00000000000000000000000000000a01", "300");
    EXPECT_NE(number(clinic), "dial");
    EXPECT_TRUE(has(today(clinic), "the pen on record is for another strength"));
  }
  {
    Bench bench("2027-03-16T21:30:00+01:00");
    bench.order(bench.enrol());
    EXPECT_TRUE(has(Bench::all_text(Bench::must(bench.page("/api/today"))), "no pen for it"));
  }
}

// It was taken, and the travel sheet refused to open.
TEST(DeskGivesBack, H18_ATripToAZoneThatIsNotThereIsRefusedByItsName) {
  Clinic clinic("2027-03-16T21:30:00+01:00");
  const std::string trip = R"("what":"trip planned","leaves":"2027-03-18","returns":"2027-03-25")";
  const auto unknown = clinic.record(clinic.person, "{" + trip + R"(,"zone":"New York"})");
  ASSERT_FALSE(unknown);
  EXPECT_EQ(unknown.error().code, codes::zone_unknown);
  EXPECT_EQ(unknown.error().at, "/facts/0/zone");
  Bench::must(clinic.record(clinic.person, fact(trip + R"(,"zone":"UTC")", "2027-03-16T21:20:00")));
  auto correction = struck(id);
  correction.pop_back();
  EXPECT_EQ(code(clinic.record(clinic.person, correction +
                                                  R"(,"replacement":{"happened":)"
                                                  R"("2027-03-16T21:20:00+01:00",)" +
                                                  trip + R"(,"zone":"New York"}})")),
            codes::zone_unknown);
}

TEST(DeskGivesBack, ATripHoldsOnTodayFromTheDayOfLeaving_H18_H32) {
  Clinic clinic("2027-03-16T21:30:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"trip planned","leaves":"2027-03-18","returns":"2027-03-25","zone":"UTC"})",
      R"("confirmed":true,)"));
  EXPECT_FALSE(has(today(clinic), "is in another time zone"));
  for (const auto* evening : {"2027-03-16T22:05:00+01:00", "2027-03-17T22:05:00+01:00"}) {
    clinic.set_clock(evening);
    EXPECT_EQ(code(clinic.inject(22, evening)), "recorded");
  }
  clinic.set_clock("2027-03-18T09:00:00+01:00");
  EXPECT_TRUE(has(today(clinic), "is in another time zone"));
  clinic.set_clock("2027-03-26T09:00:00+01:00");
  EXPECT_FALSE(has(today(clinic), "is in another time zone"));
}

}  // namespace
}  // namespace penstock::desk
