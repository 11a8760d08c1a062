#include "shell/desk/internal/hardened.hpp"

#include <algorithm>

#include "shell/desk/internal/page.hpp"

namespace penstock::desk {
namespace {

using namespace journal;
using std::chrono::days;

// What a trial told those who leave such tissue: 10 to 20 % less (Q022, read in its abstract).
constexpr std::int64_t cut_percent_least = 10;
constexpr std::int64_t cut_percent_most = 20;
constexpr std::string_view cut_source =
    "Chen L, Xing Q, et al. Diabetes 2019;68(Suppl 1):337-OR, abstract";

bool goes_near(const Folded& person, const skin::Place& place, const places::Circle& circle) {
  const auto spacing = person.skin.rules ? person.skin.rules->spacing : PlaceRulesSet{}.spacing;
  return place.spot && places::same_plane(place.zone, circle.zone) &&
         places::distance(*place.spot, circle.centre).tenths <
             circle.radius.tenths + spacing.tenths;
}

bool still_holds(const Folded& person, Id line, LocalDay on) {
  const auto* found = person.order.line(line);
  if (found == nullptr) return false;  // a diary can name a line that never was
  const auto state = person.order.state(*found, on);
  return state != order::State::replaced && state != order::State::ended;
}

// Lines of which an injection went into or beside the area lately: their dose is in question.
std::vector<std::optional<Id>> lines_into(const Folded& person, const skin::Area& area,
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

bool is_news(const Folded& before, const skin::Area& area) {
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

QuestionOpened question_about(const Folded& person, const skin::Area& area,
                              const std::optional<Id>& line) {
  const auto zone = area.last().zone;
  QuestionOpened question;
  question.line = line;
  question.reason = QuestionReason::hardened_tissue;
  question.text =
      said("site.hardened_question",
           {arg_text("name", person.person.full_name),
            arg_text("place", english().name(word_of(zone))), arg_count("least", cut_percent_least),
            arg_count("most", cut_percent_most), arg_text("source", cut_source)});
  return question;
}

}  // namespace

const order::Question* hardened_question(const Folded& person) {
  for (const auto& question : person.order.questions) {
    if (question.is_open() && question.reason == QuestionReason::hardened_tissue) return &question;
  }
  return nullptr;
}

bool is_about_skin(const Fact& fact) {
  return std::holds_alternative<SkinExamined>(fact.payload) ||
         std::holds_alternative<AreaBlocked>(fact.payload) ||
         std::holds_alternative<Correction>(fact.payload);
}

std::vector<Fact> questions_opened_by(const Folded& before, const Folded& after, const Fact& cause,
                                      const Ports& ports) {
  std::vector<Fact> out;
  const auto now = after.zone.when(ports.now());
  std::vector<std::optional<Id>> opened;
  for (const auto& area : after.skin.areas) {
    const auto on = area.last().on.day();
    if (!is_news(before, area)) continue;
    if (!skin::where_injected(after.skin, area, on, skin::injects_there_days)) continue;
    for (const auto& line : lines_into(after, area, on)) {
      const bool told = std::ranges::find(opened, line) != opened.end();
      if (told || is_asked(after.order.questions, line)) continue;
      opened.push_back(line);
      Fact fact;
      fact.id = ports.new_id();
      fact.journal = after.journal;
      fact.recorded = now.at;
      fact.happened = now;
      fact.sequence = cause.sequence + static_cast<std::uint32_t>(opened.size());
      fact.author = cause.author;
      fact.told_by = cause.told_by;
      fact.source = cause.source;
      fact.payload = question_about(after, area, line);
      out.push_back(std::move(fact));
    }
  }
  return out;
}

}  // namespace penstock::desk
