// Every refusal and caution of cover, asked for as a person would, read out in English: each has
// its sentence, no hole is left open, and the answer says what to do, by when, and who decides.
#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "edge/json/json.hpp"
#include "edge/verbs/cover/cover.hpp"
#include "edge/verbs/verbs.hpp"
#include "edge/words/words.hpp"
#include "support/in_words.hpp"

namespace penstock {
namespace {

using in_words::say;
const std::initializer_list<std::string_view> own_codes = {"cover.c", "cover.t"};

void is_whole(const std::string& text, std::string_view of) {
  in_words::is_whole(text, of, own_codes);
}

/// A line of the contract's example; the first name given for a field holds.
std::string request(std::string_view line, std::string_view beside = "") {
  std::string text = R"({"on": "2027-03-01", "lines": [{"insulin": "insulin glargine")";
  const auto with = [&](std::string_view field, std::string_view value) {
    const std::string key = "\"" + std::string(field) + "\"";
    if (line.find(key) == std::string_view::npos) text += ", " + key + ": " + std::string(value);
  };
  with("doses_units", "[20]");
  with("prime_units", "2");
  with("cartridge_units", "300");
  with("in_use_days", "28");
  return text + std::string(line) + "}]" + std::string(beside) + "}";
}
constexpr std::string_view week = R"(, "ask": {"lead_days": 7})";

/// Fifty lines of 24 doses that vary: each value may be, all of them together would take minutes.
std::string endless() {
  std::string doses, lines;
  for (int i = 0; i < 24; ++i) doses += i == 0 ? "5" : ", 5";
  for (int i = 0; i < 50; ++i) {
    lines += (i == 0 ? "" : ", ") +
             (R"({"insulin": "insulin glargine", "doses_units": [)" + doses +
              R"(], "dose_sd_units": 3.33, "prime_units": 2, "cartridge_units": 1500,)"
              R"( "in_use_days": 28})");
  }
  return R"({"on": "2027-03-01", "lines": [)" + lines + "]}";
}

TEST(CoverWords, H25_EveryRefusalIsASentenceThatSaysWhatToDo) {
  const std::string refused[] = {
      R"({"on": "2027-03-01", "lines": []})",
      request(R"(, "doses_units": [])"),
      request(R"(, "in_use_days": 0)"),
      request(R"(, "doses_units": [20.5], "step_units": 1)"),
      request(R"(, "most_units": 2, "window": "counts on")"),
      request(R"(, "doses_units": [320])"),
      request(R"(, "suspension": true, "use_the_rest": true)"),
      request(R"(, "doses_units": [20], "changes": [{"from": "2027-03-04", "doses_units": [22]},
                               {"from": "2027-03-04", "doses_units": [24]}])"),
      request("", R"(, "ask": {"leads": [{"lead_days": 7, "chance": 0.9}]})"),
      endless()};
  const auto met = in_words::refused_in_words(verbs::cover_verb, refused, own_codes);
  EXPECT_TRUE(std::ranges::equal(met, cover::refusals));
}

const std::string answered[] = {
    request("", week),
    request(R"(, "unopened": 1)", R"(, "ask": {"lead_days": 7, "spare_cartridges": 2})"),
    request(R"(, "unopened": 4, "open": {"left_units": 100, "days_in_use": 28})", week),
    request(R"(, "unopened_lots": [{"unopened": 2, "expires": "2027-03-10"}])", week),
    request(R"(, "unopened": 3, "doses_units": [5])", week),
    request(R"(, "unopened": 3, "dose_sd_units": 100)", week),
    request(R"(, "unopened": 100)", R"(, "needles_left": 9, "needle_fails": 0.02, "sharps_room": 0,
            "ask": {"lead_days": 7})"),
    request(R"(, "unopened": 2, "dose_sd_units": 3)", R"(, "needles_left": 0, "sharps_room": 500,
            "ask": {"lead_days": 3, "service": 0.9, "service_reason": "delivered daily",
                    "service_by": "Mara Lindqvist"})"),
    request(R"(, "unopened": 2, "most_units": 60)", week)};

TEST(CoverWords, EveryAnswerAndCautionIsASentence) {
  std::set<std::string> cautions;
  for (const auto& text : answered) {
    const auto result = verbs::run_verb(verbs::cover_verb, text, say);
    ASSERT_TRUE(result) << text << result.error().code;
    is_whole(result->find("text")->text, text);
    is_whole(result->find("defer")->text, text);
    for (const auto& item : result->find("cautions")->members) {
      cautions.insert(item.value.find("code")->text);
      is_whole(item.value.find("text")->text, text);
    }
    const auto asked = verbs::parse_cover_request(text);
    is_whole(verbs::cover_text(*asked, *cover::cover(asked->request), say), text);
  }
  for (const auto code : cover::cautions) EXPECT_TRUE(cautions.contains(std::string(code))) << code;
  EXPECT_TRUE(cautions.contains("cover.caution.service"));
  EXPECT_TRUE(cautions.contains("cover.caution.window_assumed"));
}

std::string text_of(const std::string& request) {
  const auto asked = verbs::parse_cover_request(request);
  return verbs::cover_text(*asked, *cover::cover(asked->request), say);
}
void holds(const std::string& text, std::initializer_list<const char*> parts) {
  for (const auto* part : parts) {
    EXPECT_NE(text.find(part), std::string::npos) << part << " is not in\n" << text;
  }
}

TEST(CoverWords, H51_TheTextSaysWhenItIsShortByWhenToAskWhatIsLeftAloneAndWhoDecides) {
  holds(text_of(json::to_text(verbs::cover_example())),
        {"Request first: insulin glargine, by Friday 12 March 2027",
         "runs out on Thursday 1 April 2027, the spare included", "Request by Friday 12 March 2027",
         "arrives by Friday 19 March 2027", "99%", "1 more box covers 30 days",
         "34 units will be discarded", "Needles: runs out on Friday 30 April 2027",
         "leaves 1 unopened cartridge of each insulin alone", "the prescriber decides"});
}

TEST(CoverWords, H38_WhereTheFirstDayIsNotCoveredHowToGetInsulinTodayComesFirst) {
  const auto text = text_of(request("", week));
  holds(text, {"not enough for the first day", "For today:", "phone the clinic",
               "Do not miss basal insulin", "is an emergency", "Request now"});
  EXPECT_LT(text.find("For today:"), text.find("none unopened"));
}

TEST(CoverWords, WhereDosesVaryTheEarlyDayAndTheMiddleOneAreSaid) {
  holds(text_of(request(R"(, "unopened": 2, "dose_sd_units": 4)", week)),
        {"The doses vary: it may run out from ", "a chance of 1% or more",
         "as likely to have run out as not"});
}

}  // namespace
}  // namespace penstock
