// One test of what a pen delivers, on paper (web/src/model.ts: PenTestSheet).
#include <algorithm>
#include <cmath>

#include "edge/pages/kit/kit.hpp"
#include "edge/pages/kit/who.hpp"
#include "edge/pages/sheets/sheets.hpp"
#include "edge/pages/supplies/pen_tests.hpp"

namespace penstock::pages {
namespace {

json::Value rows_of(const Words& words, const accuracy::Accuracy& found) {
  std::vector<json::Value> out;
  const auto row = [&](std::string_view label, const std::string& value) {
    out.push_back(json::object({{"label", text(said(words, label))}, {"value", text(value)}}));
  };
  const auto units = [](double value) { return format_fixed(std::llround(value * 100.0), 2); };
  row("pen_test.n", format_fixed(found.n, 0));
  row("pen_test.mean", units(found.mean_units));
  row("pen_test.sd", format_fixed(std::llround(found.sd_units * 1000.0), 3));
  row("pen_test.k", format_fixed(std::llround(found.k * 10'000.0), 4));
  row("pen_test.interval", units(found.low_units) + " – " + units(found.high_units));
  row("pen_test.limits", format_fixed(found.limit_low.millionths / 10'000, 2) + " – " +
                             format_fixed(found.limit_high.millionths / 10'000, 2));
  return list(std::move(out));
}

}  // namespace

Result<json::Value> pen_test_sheet(const Chart& person, const People& people, const Clinic& clinic,
                                   const Caller& caller, Id fact) {
  const auto& words = caller.words;
  const auto& tests = person.supply.tests;
  const auto test = std::ranges::find(tests, fact, &supply::Test::fact);
  if (test == tests.end()) return Error{Kind::not_found, std::string(codes::no_pen_test), {}, ""};
  const auto now = now_at(person, caller);
  std::vector<json::Value> values;
  for (const auto delivered : test->said.delivered) values.push_back(text(format(delivered)));
  const auto found = accuracy_of(person, *test);
  return json::object(
      {{"who", who_of(words, person, people, clinic, now)},
       {"clinic", text(clinic.names.clinic)},
       {"title", text(said(words, "pen_test.sheet_title",
                           {arg_text("day", words.day_year(test->when.day()))}))},
       {"printed_text",
        text(said(words, "pen_test.printed", {arg_text("when", words.moment(now))}))},
       {"test", test_of(words, person, *test)},
       {"rows", found ? rows_of(words, *found) : list()},
       {"values", list(std::move(values))},
       {"source", text(said(words, "pen_test.source"))},
       {"last", say(words, "pen_test.last", {arg_text("phone", clinic.names.phone)})}});
}

}  // namespace penstock::pages
