#include "edge/pages/supplies/pen_tests.hpp"

#include <cmath>

#include "edge/drawing/supplies/supplies.hpp"
#include "edge/json/json.hpp"

namespace penstock::pages {
namespace {

// Two decimals of a unit: as fine as what was weighed.
std::string units_text(double units) { return format_fixed(std::llround(units * 100.0), 2); }
std::string units_text(accuracy::MicroUnits units) {
  return format_fixed(units.millionths / 10'000, 2);
}

std::string pen_name(const Words& words, const Chart& person, Id pen) {
  const auto* found = person.ledger.pen(pen);
  return found == nullptr || !found->is_given() ? said(words, "journal.unknown_pen")
                                                : found->copy.name + ", " + found->insulin;
}

std::vector<Arg> args_of(const accuracy::Accuracy& found) {
  return {arg_text("low", units_text(found.low_units)),
          arg_text("high", units_text(found.high_units)),
          arg_text("limit_low", units_text(found.limit_low)),
          arg_text("limit_high", units_text(found.limit_high)),
          arg_text("mean", units_text(found.mean_units)),
          arg_text("sd", format_fixed(std::llround(found.sd_units * 1000.0), 3)),
          arg_text("k", format_fixed(std::llround(found.k * 10'000.0), 4)),
          arg_count("n", found.n),
          arg_count("more", found.more_needed.value_or(0))};
}

drawing::Deliveries drawing_of(const Words& words, const supply::Test& test,
                               const accuracy::Accuracy& found) {
  const auto hundredths = [](double units) {
    return static_cast<int>(std::llround(units * 100.0));
  };
  const auto limit = [](accuracy::MicroUnits units) {
    return static_cast<int>(units.millionths / 10'000);
  };
  drawing::Deliveries out;
  out.delivered = test.said.delivered;
  out.dose = test.said.dialled;
  out.limit_low = limit(found.limit_low);
  out.limit_high = limit(found.limit_high);
  out.low = hundredths(found.low_units);
  out.high = hundredths(found.high_units);
  out.mean = hundredths(found.mean_units);
  out.limits_label = said(words, "pen_test.mark_limits");
  out.interval_label = said(words, "pen_test.mark_interval", args_of(found));
  return out;
}

std::vector<json::Value> details(const Words& words, const accuracy::Accuracy& found) {
  const auto args = args_of(found);
  std::vector<json::Value> out;
  out.push_back(say(words, "pen_test.sums", args));
  if (!found.within && found.more_needed && *found.more_needed > 0)
    out.push_back(say(words, "pen_test.more", args));
  if (found.mean_outside) out.push_back(say(words, "pen_test.mean_outside", args));
  for (const auto caution : found.cautions) out.push_back(say(words, caution, args));
  return out;
}

}  // namespace

Result<accuracy::Accuracy> accuracy_of(const Chart& person, const supply::Test& test) {
  accuracy::Request request;
  request.dose = test.said.dialled;
  const auto* pen = person.ledger.pen(test.said.pen);
  request.step = pen != nullptr && pen->is_given() ? pen->copy.step : *Units::from_hundredths(100);
  request.delivered = test.said.delivered;
  return accuracy::accuracy(request);
}

json::Value test_of(const Words& words, const Chart& person, const supply::Test& test) {
  auto out =
      json::object({{"id", json::string(test.fact)},
                    {"when_text", text(words.day_year(test.when.day()))},
                    {"title", text(said(words, "pen_test.title",
                                        {arg_text("pen", pen_name(words, person, test.said.pen)),
                                         arg_units("dose", test.said.dialled),
                                         arg_code("by", "measured/" + word_of(test.said.by))}))},
                    {"href", text(href_of(person.journal, "/pen-tests/" + to_text(test.fact)))}});
  const auto found = accuracy_of(person, test);
  if (!found) {
    const auto told = words.say(found.error());
    json::add(out, "verdict", rich({{told.what + " " + told.do_this, false}}));
    json::add(out, "picture", svg(""));
    json::add(out, "drift", svg(""));
    json::add(out, "detail", list());
    return out;
  }
  add_level(words, out, found->within ? Level::note : Level::caution);
  json::add(out, "verdict",
            say(words,
                found->within                           ? "pen_test.within"
                : found->fails == accuracy::Fails::low  ? "pen_test.fails_low"
                : found->fails == accuracy::Fails::high ? "pen_test.fails_high"
                                                        : "pen_test.fails_both",
                args_of(*found)));
  const auto drawn = drawing_of(words, test, *found);
  json::add(out, "picture", svg(drawing::tolerance(drawn)));
  json::add(out, "drift", svg(drawing::drift(drawn)));
  json::add(out, "detail", list(details(words, *found)));
  return out;
}

json::Value tests_of(const Words& words, const Chart& person) {
  std::vector<json::Value> out;
  const auto& tests = person.supply.tests;
  for (auto test = tests.rbegin(); test != tests.rend(); ++test)
    out.push_back(test_of(words, person, *test));
  return list(std::move(out));
}

}  // namespace penstock::pages
