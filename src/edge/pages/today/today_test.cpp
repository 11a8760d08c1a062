// Search over everybody, judged by looking for each part of the query in what is written of each.
#include "edge/pages/today/today.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "edge/json/json.hpp"
#include "edge/summary/summary.hpp"
#include "edge/words/words.hpp"

namespace penstock::pages {
namespace {

using std::chrono::days;
using words::english;

std::string small(std::string_view text) {
  std::string out(text);
  for (auto& c : out) c = static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
  return out;
}
constexpr summary::Keys plain_keys{small, small};

summary::Row row(std::uint64_t id, std::string name, LocalDay born) {
  summary::Row out;
  out.person = Id{0x70DA, id};
  out.full_name = std::move(name);
  out.number = "HS " + std::to_string(4'000 + id);
  out.born = born;
  put_keys(out, plain_keys);
  return out;
}

// Of all ages; some share their names, and one of these the birth date, too.
People clinic() {
  const std::vector<std::string> given{"Mirela", "Mara", "May", "Noor", "Bram", "Amaia", "Juno"};
  const std::vector<std::string> family{"Okonkwo", "March", "Halvorsen", "Augustin", "Osei"};
  std::vector<summary::Row> rows;
  for (std::uint64_t i = 0; i < 900; ++i) {
    const auto name = given[i % given.size()] + " " + family[i % family.size()];
    const auto born = parse_day("1931-01-01").value() + days{static_cast<int>(i % 450) * 71};
    rows.push_back(row(i, name, born));
  }
  return People(std::move(rows));
}

bool is_found(const summary::Row& row, const std::string& query) {
  const auto born = small(english().day_year(row.born));
  std::string part;
  for (const char c : small(query) + " ") {
    if (c != ' ') {
      part += c;
      continue;
    }
    if (row.search_key.find(part) == std::string::npos && born.find(part) == std::string::npos)
      return false;
    part.clear();
  }
  return true;
}

TEST(Matching, FindsWhoeverHasEveryPartInNameNumberOrBirthDate) {
  const auto people = clinic();
  std::size_t some = 0;
  for (const char* query :
       {"",         "osei",        "mar",     "ma",    "a",          "march",    "may",
        "9 may",    "29 february", "hs 04",   "4031",  "hs 4031",    "1945",     "45",
        "6",        "06",          "1945-03", "-03-1", "1945-03-1",  "mar o",    "o mar 19",
        "MIRELA",   "noor may 19", "nobody",  "2 2 2", "december 7", "1 august", "st",
        "hs 4 may", "19,",         ", 4",     "4th",   "ju ly",      "n 8"}) {
    std::vector<std::size_t> expected;
    for (std::size_t i = 0; i < people.size(); ++i) {
      if (is_found(people[i], query)) expected.push_back(i);
    }
    EXPECT_EQ(matching(english(), people, query, small), expected) << query;
    some += expected.empty() ? 0 : 1;
  }
  EXPECT_GT(some, 20U);
}

TEST(Matching, ABirthDateIsFoundHoweverItIsTyped) {
  const People people({row(1, "Noor Halvorsen", parse_day("1949-11-30").value()),
                       row(2, "Bram Osei", parse_day("1949-11-03").value()),
                       row(3, "Mirela March", parse_day("1958-06-04").value())});
  const auto found = [&](const char* query) {
    std::string out;
    for (const auto place : matching(english(), people, query, small))
      out += people[place].full_name.substr(0, 1);
    return out;
  };
  for (const char* query :
       {"30.11.1949", "30/11/1949", "30-11-1949", "30 11 1949", "30.11.49", "30. 11. 1949", "30/11",
        "30.11.", "1949-11-30", "30 November 1949", "30 Nov 1949", "30-Nov-1949", "30nov49",
        "30th november 1949", "Wednesday, 30 November 1949", "noor 30.11.1949",
        "30 11 1949 halvorsen"})
    EXPECT_EQ(found(query), "N") << query;
  EXPECT_EQ(found("3/11/1949"), "B");
  EXPECT_EQ(found("1949-11-3"), "BN") << "may be the beginning of the 30th";
  EXPECT_EQ(found("4.6.58"), "M");
  for (const char* query : {"11/30/1949", "30.11.1950", "6/4/1958", "osei 30.11.1949", "0.0.1949"})
    EXPECT_EQ(found(query), "") << query;
}

// What search rests on: nothing stands in digits in a birth date's words that does not stand in the
// search key, and one year's days have the words of all.
TEST(Matching, ABirthDateInWordsHasNoDigitsOfItsOwn) {
  const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
  for (auto day = parse_day("1899-12-25").value(); day < parse_day("2101-01-10").value();
       day += days{1}) {
    const auto iso = format_iso(day);
    std::string run, letters;
    for (const char c : english().day_year(day) + " ") {
      if (is_digit(c)) {
        run += c;
        continue;
      }
      EXPECT_NE(iso.find(run), std::string::npos) << iso << " " << run;
      run.clear();
      letters += c;
    }
    const std::chrono::year_month_day date{day};
    const std::chrono::year_month_day same{std::chrono::year{2000}, date.month(), date.day()};
    auto expected = english().day_year(LocalDay{std::chrono::local_days{same}}) + " ";
    std::erase_if(expected, is_digit);
    EXPECT_EQ(letters, expected) << iso;
  }
}

TEST(PeoplePage, ShowsEachPageOfTheListInItsOrder) {
  const auto people = clinic();
  std::vector<const summary::Row*> sorted;
  for (const auto& one : people) sorted.push_back(&one);
  std::ranges::stable_sort(sorted, {}, [](const summary::Row* one) {
    return std::pair{one->name_key.folded, one->born};
  });
  const Caller caller{.author = "", .words = english()};
  std::vector<std::string> expected, shown;
  for (const auto* one : sorted) expected.push_back(to_text(one->person));
  for (int page = 1; shown.size() < people.size(); ++page) {
    const auto document = people_page(people, "", page, Clinic{}, caller, small);
    const auto* rows = document.find("people");
    ASSERT_FALSE(rows->members.empty());
    for (const auto& one : rows->members) shown.push_back(one.value.find("id")->text);
  }
  EXPECT_EQ(shown, expected);
}

// ---- Today

using std::chrono::hours;
using watch::What;

// A Tuesday, 14:10 UTC.
const Instant now{parse_day("2027-03-16").value().time_since_epoch() + hours{14} +
                  std::chrono::minutes{10}};
constexpr When hour(int day, int at) {
  return {Instant{std::chrono::sys_days{std::chrono::year{2027} / 3 / 16} + days{day} + hours{at}},
          0};
}

watch::Watch watching(What what, When due, std::string insulin = {}) {
  watch::Watch out;
  out.what = what;
  out.shows_from = hour(-30, 8);
  out.due = due;
  out.insulin = std::move(insulin);
  out.figures = watch::figures_of(what);
  out.basis = "0000000000000000000000000000f00d";
  return out;
}

summary::Row person(std::uint64_t n, std::string name, std::vector<watch::Watch> watches,
                    int dose_at = 22) {
  auto out = row(n, std::move(name), parse_day("1958-06-04").value());
  out.watches = std::move(watches);
  out.doses = {{"insulin glargine", {static_cast<std::int16_t>(dose_at * 60)}, 60, {}, {}, {}}};
  return out;
}

/// As Marit Oyelaran has it, her own or everybody's.
json::Value marits(std::vector<summary::Row> rows, std::string_view whose) {
  Clinic clinic;
  return today_page(People(std::move(rows)), {}, {{}, whose, 1}, clinic,
                    {.author = "Marit Oyelaran", .words = english(), .now = now});
}

json::Value today_of(std::vector<summary::Row> rows, std::string_view reason = {}, int page = 1) {
  Clinic clinic;
  return today_page(People(std::move(rows)), {}, {reason, {}, page}, clinic,
                    {.author = "", .words = english(), .now = now});
}

std::vector<std::string> rows_of(const json::Value& today) {
  std::vector<std::string> out;
  for (const auto& group : today.find("groups")->members) {
    for (const auto& need : group.value.find("needs")->members)
      out.push_back(need.value.find("by")->text + " " + need.value.find("name")->text);
  }
  return out;
}

const json::Value& first_of(const json::Value& today) {
  return today.find("groups")->members.front().value.find("needs")->members.front().value;
}

using Rows = std::vector<std::string>;

TEST(Today, H32_RanksADoseInQuestionThenStopsThenTheHourOfTheNextInjection) {
  const auto past = hour(-2, 9);
  const auto today =
      today_of({person(1, "Ada Early", {watching(What::basal_ended, past)}, 18),
                person(2, "Bo Late", {watching(What::basal_ended, past)}, 22),
                person(3, "Cy Stop", {watching(What::past_in_use, past, "insulin glargine")}, 23),
                person(4, "Di Asked", {watching(What::question_open, past)}, 23),
                person(5, "Ed Half", {watching(What::part_owed, hour(0, 13))}, 23),
                person(6, "Flo Tomorrow", {watching(What::basal_ended, past)}, 7),
                person(7, "Gus Other", {watching(What::past_in_use, past, "insulin lispro")}, 15)});
  EXPECT_EQ(rows_of(today),
            (Rows{"now Ed Half", "by 23:00 Di Asked", "by 23:00 Cy Stop", "today Gus Other",
                  "by 18:00 Ada Early", "by 22:00 Bo Late", "by Wed 17, 07:00 Flo Tomorrow"}));
}

// The row asked which dose it may have been, below somebody else's rest.
TEST(Today, H04_TooMuchInsulinThatActsComesBeforeWhateverElseIsAsked) {
  const auto today = today_of({person(1, "Ada Rest", {watching(What::part_owed, hour(0, 12))}),
                               person(2, "Bo Overdose",
                                      {watching(What::given_perhaps, hour(0, 12), "insulin aspart"),
                                       watching(What::too_much, hour(0, 13), "insulin aspart")})});
  EXPECT_EQ(rows_of(today), (Rows{"now Bo Overdose", "now Ada Rest"}));
  const auto& runs = first_of(today).find("sentence")->members;
  const bool is_said = std::ranges::any_of(
      runs, [](const auto& run) { return run.value.text.find("went in") != std::string::npos; });
  EXPECT_TRUE(is_said);
}

// Held since the evening, and in the morning there seemed to be time until the next one.
TEST(Today, H57_H38_AHeldBasalDoseThatHasGoneIsNowUntilSomebodySaysWhatBecameOfIt) {
  const auto gone = hour(-1, 22);
  const auto held = [&](What what, std::string insulin) {
    auto out = watching(what, gone, std::move(insulin));
    out.holds = true;
    return out;
  };
  const auto missed = held(What::dose_unrecorded, "insulin glargine");
  auto every_line = held(What::question_open, "insulin lispro");
  every_line.figures = watch::Reason{journal::QuestionReason::other, true};
  const auto today =
      today_of({person(1, "Ada Asked", {held(What::question_open, "insulin glargine"), missed}),
                person(2, "Bo Check", {held(What::second_check, "insulin glargine"), missed}),
                person(3, "Cy All", {every_line, missed}),
                person(4, "Di Answered", {held(What::question_open, "insulin glargine")}),
                person(5, "Ed Other",
                       {held(What::dose_held, "insulin lispro"),
                        held(What::dose_unrecorded, "insulin degludec")})});
  EXPECT_EQ(rows_of(today), (Rows{"now Ada Asked", "now Cy All", "by 22:00 Di Answered",
                                  "today Ed Other", "now Bo Check"}));
  const auto by_reason =
      today_of({person(1, "Ada Asked", {held(What::question_open, "insulin glargine"), missed})},
               "dose-in-question");
  EXPECT_EQ(rows_of(by_reason), Rows{"now Ada Asked"});
}

TEST(Today, NowIsSaidOfWhatIsLateAlone) {
  const auto today =
      today_of({person(1, "Ada Called", {watching(What::contact_due, hour(0, 9))}),
                person(2, "Bo Later", {watching(What::contact_due, hour(0, 16))}),
                person(3, "Cy Looked", {watching(What::scale_disagrees, hour(0, 10))}),
                person(4, "Di First", {watching(What::call_due, hour(1, 0))}),
                person(5, "Ed Missed", {watching(What::contact_due, hour(-1, 9))}),
                person(6, "Flo Next", {watching(What::order_ends, hour(4, 0))})});
  EXPECT_EQ(rows_of(today), (Rows{"since Mon 15 Ed Missed", "now Ada Called", "by 16:00 Bo Later",
                                  "today Cy Looked", "today Di First", "Fri 19 Flo Next"}));
}

TEST(Today, H32_SomebodyIsOneRowWithTheirOtherThingsUnderItEachDismissedByItself) {
  auto mirela = person(1, "Mirela Okonkwo",
                       {watching(What::signature_owed, hour(-2, 9), "insulin glargine"),
                        watching(What::past_in_use, hour(-1, 0), "insulin glargine"),
                        watching(What::call_due, hour(1, 0))});
  const auto today = today_of({mirela});
  EXPECT_EQ(rows_of(today), Rows{"by 22:00 Mirela Okonkwo"});
  const auto& need = first_of(today);
  EXPECT_EQ(need.find("dismiss"), nullptr);
  const auto& also = need.find("also")->members;
  ASSERT_EQ(also.size(), 2U);
  EXPECT_EQ(also[0].value.find("dismiss")->find("reminder")->text, "signature_owed");
  EXPECT_EQ(also[1].value.find("dismiss")->find("reminder")->text, "call_due");
  EXPECT_EQ(also[1].value.find("href")->text,
            "/people/" + to_text(mirela.person) + "/record/call?meeting=call");
}

TEST(Today, ARowSaysHowSomebodyIsReachedAndWhoFollowsItUp) {
  auto noor = person(1, "Noor Halvorsen", {watching(What::contact_due, hour(0, 16))});
  const auto alone = today_of({noor});
  EXPECT_EQ(json::to_text(*first_of(alone).find("phone")), R"([{"b":"no phone number"}])");
  EXPECT_EQ(json::to_text(*first_of(alone).find("last")), R"(["not called"])");
  EXPECT_EQ(first_of(alone).find("whose")->text, "not assigned");
  EXPECT_TRUE(first_of(alone).find("instead")->members.empty());
  EXPECT_EQ(first_of(alone).find("action")->find("href")->text,
            "/people/" + to_text(noor.person) +
                "/record/call?meeting=call&appointment=0000000000000000000000000000f00d");
  EXPECT_EQ(first_of(alone).find("beside")->find("href")->text,
            "/people/" + to_text(noor.person) + "/record/glucose");
  noor.phone = "555 0177";
  noor.reached = {summary::Reached::Last{hour(0, 13), journal::Meeting::call,
                                         journal::ContactOutcome::no_answer},
                  3,
                  "Femi Adair",
                  journal::ContactRole::carer,
                  "Ada Halvorsen",
                  "555 0178"};
  const auto tried = today_of({noor});
  EXPECT_EQ(json::to_text(*first_of(tried).find("phone")), R"(["555 0177"])");
  EXPECT_EQ(json::to_text(*first_of(tried).find("last")), R"([{"b":"13:00"}," no answer"])");
  EXPECT_EQ(first_of(tried).find("whose")->text, "Femi Adair");
  EXPECT_NE(json::to_text(*first_of(tried).find("instead")).find("555 0178"), std::string::npos);
}

// "Not assigned" stood there, and nothing could be done about it; nobody could see their own alone.
TEST(Today, H32_H38_MineLeavesOutWhatCanWaitForItsOwnerAndNothingElse) {
  auto ada = person(1, "Ada Mine", {watching(What::call_due, hour(1, 0))});
  auto bo = person(2, "Bo Femis", {watching(What::call_due, hour(1, 0))});
  auto cy = person(3, "Cy Nobodys", {watching(What::call_due, hour(1, 0))});
  auto di = person(4, "Di Held", {watching(What::past_in_use, hour(-1, 0), "insulin glargine")});
  auto flo = person(5, "Flo Late", {watching(What::contact_due, hour(0, 9))});
  ada.reached.whose = "Marit Oyelaran";
  for (auto* one : {&bo, &di, &flo}) one->reached.whose = "Femi Adair";
  const auto all = marits({ada, bo, cy, di, flo}, "");
  const auto mine = marits({ada, bo, cy, di, flo}, "me");
  EXPECT_EQ(rows_of(all).size(), 5U);
  EXPECT_EQ(json::to_text(*mine.find("headline")), json::to_text(*all.find("headline")));
  std::map<std::string, std::string> others;
  for (const auto& group : mine.find("groups")->members) {
    for (const auto& need : group.value.find("needs")->members)
      others[need.value.find("name")->text] = need.value.find("others")->text;
  }
  ASSERT_EQ(others.size(), 3U);
  EXPECT_EQ(others.at("Ada Mine"), "");
  EXPECT_NE(others.at("Di Held"), "");
  EXPECT_NE(others.at("Flo Late"), "");
  for (const auto* page : {&all, &mine}) {
    const auto& choices = page->find("whose")->members;
    ASSERT_EQ(choices.size(), 2U);
    EXPECT_EQ(choices[0].value.find("label")->text, "Mine: 1");
    EXPECT_EQ(choices[1].value.find("label")->text, "Everybody: 5");
    EXPECT_EQ(choices[0].value.find("chosen")->flag, page == &mine);
  }
}

TEST(Today, WhatNobodyFollowsUpIsOfferedToWhoeverIsSignedIn) {
  auto cy = person(3, "Cy Nobodys", {watching(What::call_due, hour(1, 0))});
  const auto offered = marits({cy}, "");
  const auto* take = first_of(offered).find("take");
  ASSERT_NE(take, nullptr);
  EXPECT_EQ(take->find("fact")->find("what")->text, "follow-up taken");
  EXPECT_EQ(take->find("fact")->find("with")->text, "Marit Oyelaran");
  cy.reached.whose = "Femi Adair";
  const auto taken = marits({cy}, "");
  EXPECT_EQ(first_of(taken).find("take"), nullptr);
}

TEST(Today, H32_ACrowdHasFourteenRowsAndBelowThemAllThatIsOpenByReason) {
  std::vector<summary::Row> rows;
  for (std::uint64_t i = 0; i < 199; ++i) {
    rows.push_back(person(i, "Person " + std::to_string(100 + i),
                          {watching(What::signature_owed, hour(i % 2 == 0 ? -2 : 3, 9)),
                           watching(What::sharps_full, hour(3, 9))}));
  }
  const auto before = today_of(rows);
  EXPECT_FALSE(before.find("crowd")->flag);
  EXPECT_EQ(rows_of(before).size(), 24U);
  EXPECT_TRUE(before.find("open")->members.empty());
  rows.push_back(person(999, "One More", {watching(What::past_in_use, hour(-1, 0))}));
  rows.back().reached.whose = "Femi Adair";
  const auto crowd = today_of(rows);
  EXPECT_TRUE(crowd.find("crowd")->flag);
  EXPECT_EQ(rows_of(crowd).size(), 14U);
  const auto& open = crowd.find("open")->members;
  ASSERT_EQ(open.size(), 3U);
  EXPECT_EQ(json::to_text(open[0].value),
            R"({"reason":"Do not use","href":"/?reason=do-not-use","things":"1","passed":"",)"
            R"("oldest":"today","whose":"Femi Adair 1"})");
  EXPECT_EQ(open[1].value.find("things")->text, "199");
  EXPECT_EQ(open[1].value.find("passed")->text, "100");
  EXPECT_EQ(open[1].value.find("oldest")->text, "Sun 14");
  // Behind a reason stands everybody with it, nobody left out.
  std::size_t found = 0;
  for (int page = 1; page <= 5; ++page) found += rows_of(today_of(rows, "supplies", page)).size();
  EXPECT_EQ(found, 199U);
}

}  // namespace
}  // namespace penstock::pages
