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

/// An order that was signed on a later day knew of it. One of that day or before did not, whether
/// it holds already or begins later: its dose was written without it.
bool knew_nothing(const order::Line& line, LocalDay on) { return line.paper_of <= on; }

/// Whether a dose of it may still be due: a line that was ended, or replaced from a later day,
/// holds until then, and the window of its last evening may reach past midnight.
bool may_be_due(const chart::Chart& person, const order::Line& line, Instant now) {
  const auto last = line.last_day();
  if (!last) return true;
  if (*last < line.text.from) return false;  // another took its place before it began
  if (*last >= person.zone.when(now).day()) return true;
  const auto dues = order::due_on(person.order, *last, person.zone);
  return std::ranges::any_of(
      dues, [&](const order::Due& due) { return due.line == line.id && due.to.at >= now; });
}

/// Every hypo on record: entered, or told in a call. Whoever is drowsy with one cannot treat it
/// alone: ours, common practice, no source.
std::vector<contacts::Value> lows_of(const chart::Chart& person) {
  auto out = person.contacts.glucose;
  for (const auto& made : person.contacts.made) {
    if (made.said.low != journal::YesNo::yes) continue;
    journal::GlucoseNoted told;
    told.needed_help = made.said.drowsy;
    out.push_back({made.fact, made.when, told});
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

std::vector<LowsAsk> lows_asks(const chart::Chart& before, const chart::Chart& after, Instant now) {
  const auto lows = lows_of(after);
  const contacts::Value* last = nullptr;
  for (const auto& value : lows) {
    const auto why = low::serious(after, value);
    if (why && is_news(before, value, *why)) last = &value;
  }
  if (last == nullptr) return {};
  const auto why = *low::serious(after, *last);
  const bool is_told = std::ranges::find(after.contacts.made, last->fact, &contacts::Made::fact) !=
                       after.contacts.made.end();
  std::vector<LowsAsk> out;
  bool every = true;
  for (const auto& line : after.order.lines) {
    if (!may_be_due(after, line, now)) continue;
    if (!knew_nothing(line, last->when.day()) || is_asked(after, line.id)) {
      every = false;
    } else {
      out.push_back({last->said, last->when, why, is_told, line.id});
    }
  }
  // One question where it is about all of them.
  if (every && !out.empty()) out = {{last->said, last->when, why, is_told, std::nullopt}};
  return out;
}

}  // namespace penstock::watch
