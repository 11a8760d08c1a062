#include "core/order/order.hpp"

#include <algorithm>

#include "core/order/internal/matching.hpp"
#include "core/order/internal/same_name.hpp"

namespace penstock::order {

using journal::AnswerKind;

static_assert(state_codes.size() == static_cast<std::size_t>(State::current) + 1);
static_assert(mark_codes.size() == static_cast<std::size_t>(MarkKind::checked_by_copier) + 1);

std::string_view code_of(State state) { return state_codes[static_cast<std::size_t>(state)]; }
std::string_view code_of(MarkKind kind) { return mark_codes[static_cast<std::size_t>(kind)]; }

std::vector<Arg> args_of(const Mark& mark) {
  return {arg_units("units", mark.units), arg_instant("when", mark.when)};
}

// ---- lines

std::optional<LocalDay> Line::last_day() const {
  std::optional<LocalDay> last = text.until;
  const auto no_later_than = [&](LocalDay day) {
    if (!last || day < *last) last = day;
  };
  if (ended) no_later_than(ended->last_day);
  if (replaced_by) no_later_than(replaced_from - std::chrono::days{1});
  return last;
}

bool Line::was_there(Instant at) const {
  return at >= std::chrono::floor<std::chrono::minutes>(signed_when.at);
}

// A line whose limits are both zero states none; then its own slots are all that it allows.
Units Line::least() const {
  if (!text.most_units.is_zero() || text.slots.empty()) return text.least_units;
  return std::ranges::min(text.slots, {}, &journal::Slot::units).units;
}
Units Line::most() const {
  if (!text.most_units.is_zero() || text.slots.empty()) return text.most_units;
  return std::ranges::max(text.slots, {}, &journal::Slot::units).units;
}

// ---- the order

const Line* Order::line(const Id& id) const {
  const auto found = std::ranges::find(lines, id, &Line::id);
  return found == lines.end() ? nullptr : &*found;
}

bool Order::stands_for(const Line& line, const Id& old) const {
  const Line* one = &line;
  for (std::size_t n = 0; n <= lines.size() && one->id != old; ++n) {
    if (one->text.replaces == old) return true;
    one = one->text.replaces ? this->line(*one->text.replaces) : nullptr;
    if (one == nullptr) return false;
  }
  return one->id == old;
}

namespace {

/// What was answered says nothing about an order that was copied after it. The day of signing
/// decides as well: the same old paper, copied again, carries no answer out (H37).
bool carries_out(const Line& line, const Answer& answer) {
  return line.recorded > answer.recorded && line.paper_of >= answer.when.day();
}

/// Whether the question is about this line: itself, or as one in the place of the line that was
/// asked about, or a later one of the same insulin. Paper of the question's own day may be from the
/// morning before it, so only that of a later day is not asked about. An hour that somebody told
/// decides nothing here (H37, H08).
bool is_about(const Order& order, const Question& question, const Line& line) {
  if (question.concerns(line.id)) return true;
  if (!question.line || line.paper_of > question.asked_on) return false;
  const Line* asked = order.line(*question.line);
  const auto struck = std::ranges::find(order.struck, *question.line, &Struck::id);
  if (asked == nullptr && struck == order.struck.end()) return false;
  const bool later = line.written >= question.recorded;
  if (order.stands_for(line, *question.line)) return later || question.is_open();
  const auto& insulin = asked != nullptr ? asked->text.insulin : struck->insulin;
  return later && internal::same_name(insulin, line.text.insulin);
}

}  // namespace

std::vector<const Question*> Order::open_about(const Line& line) const {
  std::vector<const Question*> open;
  for (const Question& q : questions) {
    if (q.is_open() && is_about(*this, q, line)) open.push_back(&q);
  }
  return open;
}

std::optional<LocalDay> Order::overtaken_from(const Question& question) const {
  if (!question.line || line(*question.line) == nullptr) return std::nullopt;
  std::optional<LocalDay> from;
  for (const Line& one : lines) {
    if (!is_about(*this, question, one)) continue;
    if (!one.replaced_by) return std::nullopt;
    from = std::max(from.value_or(one.replaced_from), one.replaced_from);
  }
  return from;
}

std::vector<const Question*> Order::holding_back(const Line& line) const {
  auto held = open_about(line);
  const Question* decided = nullptr;  // the latest answer that keeps, stops or renews the line
  for (const Question& q : questions) {
    if (q.is_open() || !is_about(*this, q, line) || carries_out(line, *q.answer)) continue;
    if (!decided || decided->answer->when.at <= q.answer->when.at) decided = &q;
  }
  if (decided && decided->answer->answer != AnswerKind::keep_dose) held.push_back(decided);
  return held;
}

State Order::state(const Line& line, LocalDay on) const {
  if (line.replaced_by && on >= line.replaced_from) return State::replaced;
  const auto last = line.last_day();
  if (last && on > *last) return State::ended;
  if (!line.checked) return State::awaiting_check;
  if (!holding_back(line).empty()) return State::in_question;
  if (on < line.text.from) return State::not_yet;
  return State::current;
}

std::vector<const Line*> Order::holding(LocalDay on) const {
  std::vector<const Line*> held;
  for (const Line& line : lines) {
    const auto last = line.last_day();
    if (on >= line.text.from && !(last && on > *last)) held.push_back(&line);
  }
  return held;
}

// ---- what is due

std::vector<Due> due_on(const Order& order, LocalDay day, const ZoneRules& zone) {
  std::vector<Due> dues;
  for (const Line* line : order.holding(day)) internal::add_dues(*line, day, zone, dues);
  std::ranges::stable_sort(dues, {}, [](const Due& due) { return due.at.at; });
  return dues;
}

bool is_same_insulin(std::string_view a, std::string_view b) { return internal::same_name(a, b); }

std::vector<const Given*> given_for(const Order& order, const Due& due) {
  std::vector<const Given*> answers;
  const Line* line = order.line(due.line);
  if (!line) return answers;
  for (const Given& given : order.given) {
    if (internal::is_of(given, *line) && internal::answers_slot(given, *line, due) &&
        !internal::leaves_open(given, *line)) {
      answers.push_back(&given);
    }
  }
  return answers;
}

bool speaks_of(const Order& order, const Said& said, const Line& line) {
  if (order.stands_for(line, said.line)) return true;
  const auto struck = std::ranges::find(order.struck, said.line, &Struck::id);
  return struck != order.struck.end() && struck->purpose == line.text.purpose &&
         internal::same_name(struck->insulin, line.text.insulin);
}

const Said* said_of(const Order& order, const Due& due) {
  const Said* latest = nullptr;
  const Line* line = order.line(due.line);
  for (const Said& said : order.said) {
    if (!said.rest_of && said.slot == due.name && said.day == due.day && line != nullptr &&
        speaks_of(order, said, *line))
      latest = &said;
  }
  const bool not_yet =
      latest && latest->was == journal::DoseWas::not_taken && latest->when.at < due.from.at;
  return not_yet ? nullptr : latest;
}

std::optional<Due> slot_of(const Order& order, const Line& line, const Id& injection,
                           const ZoneRules& zone) {
  const auto given = std::ranges::find(order.given, injection, &Given::fact);
  if (given == order.given.end() || !internal::is_of(*given, line)) return std::nullopt;
  for (const int ahead : {0, -1, 1}) {
    std::vector<Due> dues;
    internal::add_dues(line, given->when.day() + std::chrono::days{ahead}, zone, dues);
    for (const Due& due : dues) {
      if (internal::answers_slot(*given, line, due)) return due;
    }
  }
  return std::nullopt;
}

const Said* said_of_rest(const Order& order, const Line& line, const Id& part,
                         const ZoneRules& zone) {
  const Said* of_rest = nullptr;
  for (const Said& said : order.said) {
    if (said.rest_of == part) of_rest = &said;
  }
  if (of_rest) return of_rest;
  const auto slot = slot_of(order, line, part, zone);
  const auto given = std::ranges::find(order.given, part, &Given::fact);
  const Said* said = slot ? said_of(order, *slot) : nullptr;
  return said && said->when.at >= given->when.at ? said : nullptr;
}

std::vector<Due> open_dues(const Order& order, const When& now, const ZoneRules& zone,
                           std::int32_t days_ahead) {
  std::vector<Due> open;
  // A window of yesterday's may reach past midnight.
  for (std::int32_t ahead = -1; ahead <= days_ahead; ++ahead) {
    for (const Due& due : due_on(order, now.day() + std::chrono::days{ahead}, zone)) {
      const Said* said = said_of(order, due);
      const bool taken = said && said->was == journal::DoseWas::taken;
      if (due.to.at >= now.at && !taken && given_for(order, due).empty()) open.push_back(due);
    }
  }
  std::ranges::stable_sort(open, {}, [](const Due& due) { return due.at.at; });
  return open;
}

}  // namespace penstock::order
