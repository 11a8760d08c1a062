// H36: hardened tissue where somebody injects.

#include <algorithm>

#include "core/places/places.hpp"
#include "core/watch/watch.hpp"

namespace penstock::watch {
namespace {

using namespace journal;
using std::chrono::days;

bool goes_near(const chart::Chart& person, const skin::Place& place, const places::Circle& circle) {
  const auto spacing = person.skin.rules ? person.skin.rules->spacing : PlaceRulesSet{}.spacing;
  return place.spot && places::same_plane(place.zone, circle.zone) &&
         places::distance(*place.spot, circle.centre).tenths <
             circle.radius.tenths + spacing.tenths;
}

bool still_holds(const chart::Chart& person, Id line, LocalDay on) {
  const auto* found = person.order.line(line);
  if (found == nullptr) return false;  // a diary can name a line that never was
  const auto state = person.order.state(*found, on);
  return state != order::State::replaced && state != order::State::ended;
}

// Lines of which an injection went into or beside the area lately: their dose is in question.
std::vector<std::optional<Id>> lines_into(const chart::Chart& person, const skin::Area& area,
                                          LocalDay on) {
  std::vector<std::optional<Id>> out;
  for (const auto& place : person.skin.places) {
    if (place.on.day() + days{skin::injects_there_days} < on) continue;
    if (!goes_near(person, place, area.circle())) continue;
    const auto given = std::ranges::find(person.order.given, place.injection, &order::Given::fact);
    if (given == person.order.given.end() || !given->line) continue;
    if (std::ranges::find(out, given->line) == out.end() && still_holds(person, *given->line, on))
      out.push_back(given->line);
  }
  if (out.empty()) out.push_back(std::nullopt);  // nobody knows which: every dose
  return out;
}

bool is_news(const chart::Chart& before, const skin::Area& area) {
  const auto now = area.left_since();
  if (!now || !area.kept_off) return false;
  const auto* old = before.skin.area(area.area);
  return old == nullptr || !old->kept_off || old->left_since() != now;
}

bool is_asked(const std::vector<order::Question>& questions, const std::optional<Id>& line) {
  return std::ranges::any_of(questions, [&](const order::Question& question) {
    return question.is_open() && question.reason == QuestionReason::hardened_tissue &&
           (!question.line || question.line == line);
  });
}

}  // namespace

const order::Question* hardened_question(const chart::Chart& person) {
  for (const auto& question : person.order.questions) {
    if (question.is_open() && question.reason == QuestionReason::hardened_tissue) return &question;
  }
  return nullptr;
}

bool may_open_question(const Fact& fact) {
  return std::holds_alternative<SkinExamined>(fact.payload) ||
         std::holds_alternative<AreaBlocked>(fact.payload) ||
         std::holds_alternative<PenShared>(fact.payload) ||
         std::holds_alternative<GlucoseNoted>(fact.payload) ||
         std::holds_alternative<ContactMade>(fact.payload) ||
         std::holds_alternative<Correction>(fact.payload);
}

std::vector<const ledger::Pen*> exposures(const chart::Chart& before, const chart::Chart& after) {
  std::vector<const ledger::Pen*> out;
  for (const auto& pen : after.ledger.pens) {
    const auto* was = before.ledger.pen(pen.id);
    if (pen.shared.size() > (was != nullptr ? was->shared.size() : 0)) out.push_back(&pen);
  }
  return out;
}

std::vector<HardenedAsk> hardened_asks(const chart::Chart& before, const chart::Chart& after) {
  std::vector<HardenedAsk> out;
  for (const auto& area : after.skin.areas) {
    const auto on = area.last().on.day();
    if (!is_news(before, area)) continue;
    if (!skin::where_injected(after.skin, area, on, skin::injects_there_days)) continue;
    for (const auto& line : lines_into(after, area, on)) {
      const bool told = std::ranges::find(out, line, &HardenedAsk::line) != out.end();
      if (told || is_asked(after.order.questions, line)) continue;
      out.push_back({area.last().zone, line});
    }
  }
  return out;
}

}  // namespace penstock::watch
