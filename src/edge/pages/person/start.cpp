// A new start, step by step: what is recorded of it already, and where the next step is. The one
// list of these steps.
#include <algorithm>
#include <array>

#include "edge/pages/person/internal/pens.hpp"

namespace penstock::pages {
namespace {

using namespace journal;

// In this order. A step is done when the one after it is next.
enum class Step : std::uint8_t { registered, order, check, pen, load, inject };
constexpr std::array<std::string_view, 6> step_keys{
    "start.registered", "start.order", "start.check", "start.pen", "start.load", "start.inject"};

struct Next {
  Step step = Step::order;
  const order::Line* line = nullptr;
  const ledger::Pen* pen = nullptr;
};

bool is_of(const OrderLineSigned& text, std::string_view insulin, Strength strength) {
  return text.insulin == insulin && text.strength == strength;
}

// Somebody has injected it once: whatever follows is no start.
bool was_injected(const Chart& person, const OrderLineSigned& text) {
  return std::ranges::any_of(person.ledger.cartridges, [&](const ledger::Cartridge& one) {
    return !one.uses.empty() && is_of(text, one.copy.name, one.copy.strength);
  });
}

Next next_for(const Chart& person, const order::Line& line) {
  if (!line.checked) return {Step::check, &line};
  const ledger::Pen* empty = nullptr;
  for (const auto& pen : person.ledger.pens) {
    if (!pen.is_given() || !is_of(line.text, pen.insulin, pen.strength)) continue;
    if (pen.cartridge) return {Step::inject, &line, &pen};
    empty = &pen;
  }
  return {empty != nullptr ? Step::load : Step::pen, &line, empty};
}

std::optional<Next> next_of(const Chart& person, const When& now) {
  if (person.order.lines.empty()) return Next{};
  std::optional<Next> first;
  for (const auto& line : person.order.lines) {
    const auto state = person.order.state(line, now.day());
    if (state == order::State::replaced || state == order::State::ended ||
        was_injected(person, line.text))
      continue;
    // Whoever checks one line checks the others of the same paper.
    const auto next = next_for(person, line);
    if (!first || next.step < first->step) first = next;
  }
  return first;
}

std::string path_of(const Next& next) {
  switch (next.step) {
    case Step::registered:
    case Step::order:
      return "/order/new";
    case Step::check:
      return "/order/check?line=" + to_text(next.line->id);
    case Step::pen:
      return "/pens/new?line=" + to_text(next.line->id);
    case Step::load:
      return "/load?pen=" + to_text(next.pen->id);
    case Step::inject:
      return "";
  }
  return "";
}

}  // namespace

json::Value start_of(const Words& words, const Chart& person, const When& now) {
  const auto next = next_of(person, now);
  if (!next) return json::null();
  std::vector<json::Value> steps;
  for (std::size_t n = 0; n < step_keys.size(); ++n) {
    steps.push_back(
        json::object({{"text", text(said(words, step_keys[n]))},
                      {"done", json::boolean(n < static_cast<std::size_t>(next->step))}}));
  }
  const auto title = next->line == nullptr
                         ? say(words, "start.title")
                         : say(words, "start.title_of",
                               {arg_text("insulin", next->line->text.insulin),
                                arg_strength("strength", next->line->text.strength)});
  const auto key = step_keys[static_cast<std::size_t>(next->step)];
  return json::object({{"title", title},
                       {"steps", list(std::move(steps))},
                       {"label", text(said(words, std::string(key) + "_next"))},
                       {"href", text(href_of(person.journal, path_of(*next)))}});
}

}  // namespace penstock::pages
