// H37: after a serious hypo the prescriber is asked before the next dose.
#include <algorithm>

#include "core/watch/watch.hpp"

namespace penstock::watch {
namespace {

using journal::QuestionReason;

bool is_asked(const chart::Chart& person, const Id& line) {
  return std::ranges::any_of(person.order.questions, [&](const order::Question& question) {
    return question.is_open() && question.reason == QuestionReason::lows && question.concerns(line);
  });
}

/// What the person injected by when it happened: an order that was signed afterwards knew of it.
bool is_of(const order::Line& line, LocalDay on) {
  return line.text.from <= on && line.paper_of <= on;
}

/// Every hypo on record: entered, or told in a call.
std::vector<contacts::Value> lows_of(const chart::Chart& person) {
  auto out = person.contacts.glucose;
  for (const auto& made : person.contacts.made) {
    if (made.said.low == journal::YesNo::yes) out.push_back({made.fact, made.when, {}});
  }
  std::ranges::stable_sort(out, {}, [](const contacts::Value& one) { return one.when.at; });
  return out;
}

bool is_news(const chart::Chart& before, const contacts::Value& value, low::Serious why) {
  const auto known = lows_of(before);
  const auto old = std::ranges::find(known, value.fact, &contacts::Value::fact);
  return old == known.end() || low::serious(before, *old) != why;
}

}  // namespace

std::vector<LowsAsk> lows_asks(const chart::Chart& before, const chart::Chart& after) {
  const auto lows = lows_of(after);
  const contacts::Value* last = nullptr;
  for (const auto& value : lows) {
    const auto why = low::serious(after, value);
    if (why && is_news(before, value, *why)) last = &value;
  }
  if (last == nullptr) return {};
  const auto why = *low::serious(after, *last);
  std::vector<LowsAsk> out;
  bool every = true;
  for (const auto& line : after.order.lines) {
    const bool replaced = line.replaced_by && line.replaced_from <= last->when.day();
    if (replaced || line.ended) continue;
    if (!is_of(line, last->when.day()) || is_asked(after, line.id)) {
      every = false;
    } else {
      out.push_back({last->said, last->when, why, line.id});
    }
  }
  // One question where it is about all of them.
  if (every && !out.empty()) out = {{last->said, last->when, why, std::nullopt}};
  return out;
}

}  // namespace penstock::watch
