// One test of what a pen delivers, on paper (web/src/model.ts: PenTestSheet).
#include <algorithm>
#include <cmath>

#include "edge/json/json.hpp"
#include "shell/desk/internal/inside.hpp"
#include "shell/desk/internal/pen_tests.hpp"
#include "shell/desk/internal/who.hpp"

namespace penstock::desk {
namespace {

json::Value rows_of(const accuracy::Accuracy& found) {
  std::vector<json::Value> out;
  const auto row = [&out](std::string_view label, const std::string& value) {
    out.push_back(json::object({{"label", text(said(label))}, {"value", text(value)}}));
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

Result<json::Value> Desk::pen_test(Id id, Id fact) {
  return in_->guarded(id, [&]() -> Result<json::Value> {
    const auto folded = in_->person(id);
    if (!folded) return folded.error();
    const auto& person = **folded;
    const auto& tests = person.supply.tests;
    const auto test = std::ranges::find(tests, fact, &supply::Test::fact);
    if (test == tests.end()) return Error{Kind::not_found, std::string(codes::no_pen_test), {}, ""};
    const auto cards = in_->cards();
    if (!cards) return cards.error();
    const auto clinic = in_->clinic();
    const auto now = person.zone.when(in_->ports.now());
    std::vector<json::Value> values;
    for (const auto delivered : test->said.delivered) values.push_back(text(format(delivered)));
    const auto found = accuracy_of(person, *test);
    return json::object(
        {{"who", who_of(person, **cards, now)},
         {"clinic", text(clinic->names.clinic)},
         {"title", text(said("pen_test.sheet_title",
                             {arg_text("day", english().day_year(test->when.day()))}))},
         {"printed_text",
          text(said("pen_test.printed", {arg_text("when", english().moment(now))}))},
         {"test", test_of(person, *test)},
         {"rows", found ? rows_of(*found) : list()},
         {"values", list(std::move(values))},
         {"source", text(said("pen_test.source"))},
         {"last", say("pen_test.last", {arg_text("phone", clinic->names.phone)})}});
  });
}

}  // namespace penstock::desk
