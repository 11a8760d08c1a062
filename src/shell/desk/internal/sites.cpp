#include "shell/desk/internal/sites.hpp"

#include <algorithm>
#include <cmath>

namespace penstock::desk {
namespace {

using namespace journal;
using std::chrono::days;

// An injection into or near the area within so many days: this person injects there.
constexpr std::int32_t injects_there_days = 28;

struct Column {
  Id line;
  SlotName slot = SlotName::bedtime;
  places::Slot asked;
};

// Mealtime insulin where it is absorbed fastest, background insulin where it is not in the way:
// abdomen before arm before thigh (Koivisto 1980), and the consensus's order of zones (from
// memory).
std::vector<BodyPart> preferred_for(Purpose purpose) {
  if (purpose == Purpose::background)
    return {BodyPart::thigh, BodyPart::buttock, BodyPart::abdomen, BodyPart::arm};
  return {BodyPart::abdomen, BodyPart::arm, BodyPart::thigh, BodyPart::buttock};
}

std::vector<Column> columns_of(const Folded& person, const std::vector<order::Due>& dues) {
  std::vector<Column> out;
  for (const auto& due : dues) {
    const auto* line = person.order.line(due.line);
    if (line == nullptr) continue;
    Column column{due.line, due.name, {word_of(due.name), {}, preferred_for(line->text.purpose)}};
    const auto same = std::ranges::count(out, due.name, &Column::slot);
    if (same > 0) column.asked.name += " " + std::to_string(same + 1);
    if (person.skin.rules) {
      for (const auto& part : person.skin.rules->parts) {
        if (part.slot == due.name) column.asked.part = part.part;
      }
    }
    out.push_back(std::move(column));
  }
  return out;
}

// What was promised for these columns: the first of a slot's name on a day belongs to its first
// column, and so on.
std::vector<places::Promised> promised_for(const Folded& person, const std::vector<Column>& columns,
                                           LocalDay from) {
  std::vector<places::Promised> out;
  if (!person.skin.promise) return out;
  const auto& promised = person.skin.promise->said.places;
  for (std::size_t i = 0; i < promised.size(); ++i) {
    if (promised[i].day < from) continue;
    const auto before = std::count_if(
        promised.begin(), promised.begin() + static_cast<std::ptrdiff_t>(i), [&](const auto& one) {
          return one.day == promised[i].day && one.slot == promised[i].slot;
        });
    auto nth = before;
    for (std::size_t column = 0; column < columns.size(); ++column) {
      if (columns[column].slot != promised[i].slot || nth-- != 0) continue;
      out.push_back({promised[i].day, column, promised[i].zone, promised[i].spot});
    }
  }
  return out;
}

struct Planner {
  const Folded& person;
  Sites& out;
  std::optional<LocalDay> weeks_from;
  std::vector<places::Used> planned_today{};

  // One stretch of days; nothing when the body refuses.
  bool stretch(const std::vector<Column>& columns, LocalDay from, std::int32_t count) {
    std::vector<places::Slot> slots;
    for (const auto& column : columns) slots.push_back(column.asked);
    auto request = skin::place_request(person.skin, std::move(slots), from, count);
    if (!request) {
      out.refusal = request.error();
      return false;
    }
    out.body = request->body;
    request->weeks_from = weeks_from;
    request->promised = promised_for(person, columns, from);
    std::erase_if(request->promised,
                  [&](const auto& one) { return one.day >= from + days{count}; });
    request->used.insert(request->used.end(), planned_today.begin(), planned_today.end());
    auto plan = places::plan(*request);
    if (!plan) {
      out.refusal = plan.error();
      return false;
    }
    for (const auto& one : plan->plan) {
      const auto& column = columns[one.slot];
      out.plan.push_back({one.day, column.slot, column.line, one.zone, one.spot, one.kept});
    }
    out.figures = *std::move(plan);
    return true;
  }
};

}  // namespace

const Site* Sites::for_due(const order::Due& due) const {
  for (const auto& site : plan) {
    if (site.day == due.day && site.slot == due.name && site.line == due.line) return &site;
  }
  return nullptr;
}

Sites sites_of(const Folded& person, const When& now, std::int32_t count,
               std::optional<LocalDay> weeks_from) {
  Sites out;
  const auto today = now.day();
  auto dues = order::due_on(person.order, today + days{1}, person.zone);
  auto open_today = order::due_on(person.order, today, person.zone);
  if (dues.empty()) dues = open_today;
  std::erase_if(open_today, [&](const order::Due& due) {
    return due.to.at < now.at || !order::given_for(person.order, due).empty();
  });
  const auto columns = columns_of(person, dues);
  for (const auto& column : columns) out.slots.push_back(column.asked.name);
  const auto& promise = person.skin.promise;
  if (!weeks_from && promise && !promise->said.places.empty())
    weeks_from = promise->said.places.front().day;
  Planner planner{person, out, weeks_from};
  if (!open_today.empty()) {
    if (!planner.stretch(columns_of(person, open_today), today, 1)) return out;
    for (const auto& site : out.plan)
      planner.planned_today.push_back({site.day, site.zone, site.spot});
  }
  if (count > 0) planner.stretch(columns, today + days{1}, count);
  return out;
}

std::string zone_words(Zone zone) { return english().name(word_of(zone)); }

std::string place_words(Zone zone, Spot spot, const places::Body& body) {
  const auto told = places::told(zone, spot, body);
  const bool belly = part_of(zone) == BodyPart::abdomen;
  const auto side = zone == Zone::abdomen_left_upper || zone == Zone::abdomen_left_lower ||
                            zone == Zone::thigh_left || zone == Zone::buttock_left ||
                            zone == Zone::arm_left
                        ? "left"
                        : "right";
  const auto corner =
      std::string(told.upper ? "upper" : "lower") + (told.outer ? "_outer" : "_inner");
  const std::vector<Arg> args{arg_code("side", std::string("side/") + side),
                              arg_code("part", "part/" + word_of(part_of(zone))),
                              arg_code("corner", "corner/" + corner),
                              arg_count("fingers", told.fingers)};
  if (!belly && told.fingers == 0) return said("site.told.middle", args);
  return said(belly ? "site.told.belly" : "site.told.other", args);
}

Result<reach::Reach> reach_of(const Folded& person, BodyPart part, LocalDay on) {
  const auto request = skin::reach_request(person.skin, person.person, part, on);
  if (!request) return request.error();
  return reach::reach(*request);
}

bool is_too_likely(const reach::Reach& found) {
  return found.muscle.value > reach::chance_most || found.skin.value > reach::chance_most;
}

std::string of_hundred(double chance) {
  constexpr double half_a_percent = 0.005;
  if (chance < half_a_percent) return said("site.under", {arg_text("least", format_fixed(5, 1))});
  return format_fixed(std::lround(chance * 100), 0);
}

std::string change_words(const reach::Better& better) {
  const std::vector<Arg> args{arg_text("needle", format(better.needle)),
                              arg_count("angle", better.angle_deg),
                              arg_code("zone", "part/" + word_of(better.zone))};
  return said("site.change." + word_of(better.change), args);
}

// ---- H36
// ------------------------------------------------------------------------------------------

const order::Question* hardened_question(const Folded& person) {
  for (const auto& question : person.order.questions) {
    if (question.is_open() && question.reason == QuestionReason::hardened_tissue) return &question;
  }
  return nullptr;
}

namespace {

// Lines of which an injection went into or beside the area lately: their dose is in question.
std::vector<Id> lines_into(const Folded& person, const skin::Area& area, LocalDay on) {
  std::vector<Id> out;
  const auto circle = area.circle();
  const auto near = circle.radius.tenths +
                    (person.skin.rules ? person.skin.rules->spacing : TenthsMm{100}).tenths;
  for (const auto& place : person.skin.places) {
    if (!place.spot || place.on.day() + days{injects_there_days} < on) continue;
    if (!places::same_plane(place.zone, circle.zone)) continue;
    if (places::distance(*place.spot, circle.centre).tenths >= near) continue;
    for (const auto& given : person.order.given) {
      if (given.fact != place.injection || !given.line) continue;
      if (std::ranges::find(out, *given.line) == out.end()) out.push_back(*given.line);
    }
  }
  return out;
}

// Hardened and kept off now, but not before.
bool is_news(const Folded& before, const skin::Area& area) {
  if (area.tissue != Tissue::hardened || !area.kept_off) return false;
  const auto* old = before.skin.area(area.area);
  return old == nullptr || !old->kept_off || old->tissue != Tissue::hardened;
}

bool is_asked(const Folded& person, const std::optional<Id>& line) {
  return std::ranges::any_of(person.order.questions, [&](const order::Question& question) {
    return question.is_open() && question.reason == QuestionReason::hardened_tissue &&
           (!question.line || question.line == line);
  });
}

}  // namespace

std::vector<Fact> questions_opened_by(const Folded& before, const Folded& after,
                                      const Ports& ports) {
  std::vector<Fact> out;
  for (const auto& area : after.skin.areas) {
    if (!is_news(before, area)) continue;
    const auto& look = area.last();
    const auto on = look.on.day();
    if (!skin::where_injected(after.skin, area, on, injects_there_days)) continue;
    std::vector<std::optional<Id>> lines;
    for (const auto& line : lines_into(after, area, on)) {
      const auto* found = after.order.line(line);
      const auto state = after.order.state(*found, on);
      if (state != order::State::replaced && state != order::State::ended) lines.push_back(line);
    }
    if (lines.empty()) lines.push_back(std::nullopt);  // nobody knows which: every dose
    for (const auto& line : lines) {
      if (is_asked(after, line)) continue;
      QuestionOpened question;
      question.line = line;
      question.reason = QuestionReason::hardened_tissue;
      // Chen 2019, Diabetes 68(Suppl 1):337-OR, abstract (read): 10 to 20 % less on leaving it.
      question.text =
          said("site.hardened_question",
               {arg_text("name", after.person.full_name), arg_text("place", zone_words(look.zone)),
                arg_text("least", format_fixed(10, 0)), arg_text("most", format_fixed(20, 0))});
      const bool told = std::ranges::any_of(out, [&](const Fact& fact) {
        return std::get<QuestionOpened>(fact.payload).line == line;
      });
      if (told) continue;
      Fact fact;
      fact.id = ports.new_id();
      fact.journal = after.journal;
      fact.recorded = ports.now();
      fact.happened = look.on;
      fact.payload = std::move(question);
      out.push_back(std::move(fact));
    }
  }
  return out;
}

}  // namespace penstock::desk
