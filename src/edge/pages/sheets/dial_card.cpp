// The standing dial card: the whole order in large print, until it changes. None while anything of
// the order is in question or unchecked (H37, H48). And the log sheet: four weeks of empty rows by
// the order's times.
#include <algorithm>
#include <map>
#include <set>

#include "core/interlock/interlock.hpp"
#include "edge/drawing/pens/pens.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/kit/who.hpp"
#include "edge/pages/next/next.hpp"
#include "edge/pages/sheets/internal/no_sheet.hpp"
#include "edge/pages/sheets/internal/on_paper.hpp"
#include "edge/pages/sheets/sheets.hpp"

namespace penstock::pages {
namespace {

using namespace journal;
using namespace internal;
using std::chrono::days;

// From the hour of printing a line has a dose within two weeks: a weekly one, and a week's grace.
constexpr days next_dose_within{14};
constexpr int log_days = 28;

Error refused(std::string_view code, std::vector<Arg> args) {
  return {Kind::refused, std::string(code), std::move(args), ""};
}

// H37, H48: a card stays in the kitchen, and cannot hear the answer.
std::optional<Error> in_doubt(const Chart& person, std::span<const order::Line* const> lines,
                              LocalDay on) {
  for (const auto& question : person.order.questions) {
    if (question.is_open()) return refused(codes::card_question, {});
  }
  for (const auto* line : lines) {
    if (!line->checked || person.order.state(*line, on) == order::State::awaiting_check)
      return refused(codes::card_unchecked, {arg_text("insulin", line->text.insulin)});
    if (person.order.state(*line, on) != order::State::in_question) continue;
    // No question is open: an answer holds it, and it says which.
    constexpr std::chrono::hours noon{12};
    const order::Ask ask{line->id, line->most(), person.zone.resolve(LocalTime{on} + noon).at,
                         std::nullopt, order::Ask::Taken::ask};
    const auto allowed = order::may_dial(person.order, ask, person.zone);
    return allowed ? refused(codes::card_question, {}) : allowed.error();
  }
  return std::nullopt;
}

// The slot's dose of that hour, while its time lasts and nobody gave it, or its next one.
std::optional<order::Due> next_due(const Chart& person, const order::Line& line, const Slot& slot,
                                   const When& since) {
  for (const auto& due :
       order::open_dues(person.order, since, person.zone, next_dose_within.count())) {
    if (due.line == line.id && due.name == slot.slot) return due;
  }
  return std::nullopt;
}

// What holds a dose now, or is left of one, comes before every later dose of its line: a card would
// give all of it again (H37, H39).
std::optional<Error> unsettled(const Chart& person, const Clinic& clinic,
                               std::span<const order::Line* const> lines, const When& now) {
  const auto agenda = interlock::agenda_of(person, interlock::house_of(clinic), now);
  std::vector<const interlock::Dose*> doses;
  if (agenda.next) doses.push_back(&*agenda.next);
  for (const auto& dose : agenda.unrecorded) doses.push_back(&dose);
  for (const auto& dose : agenda.ask_first) doses.push_back(&dose);
  for (const auto* dose : doses) {
    if (std::ranges::find(lines, dose->line) == lines.end()) continue;
    if (const auto* held = interlock::held(dose->verdict)) return held->error;
    if (dose->pending != nullptr)
      return refused(codes::sheet_rest, {arg_units("rest", dose->pending->rest)});
  }
  return std::nullopt;
}

std::vector<const dial::Action*> dials_of(const interlock::Plan& plan) {
  std::vector<const dial::Action*> out;
  for (const auto& action : plan.plan.actions) {
    if (action.what == dial::Do::dial) out.push_back(&action);
  }
  return out;
}

Arg given_of(const interlock::Done& done) {
  return done.is_unknown ? arg_code("given", "amount/not_known") : arg_units("given", done.units);
}

// What the screen says beside the next dose alone, and a card in the kitchen says for half a year
// or not at all: it comes on top of another one, or much sooner or later than a day after it (H07,
// H52). Once that dose is on record, the card is the order again.
std::optional<Error> not_alone(const interlock::Dose& dose) {
  const auto insulin = arg_text("insulin", dose.line->text.insulin);
  if (dose.near) {
    const bool meal = dose.line->text.purpose == Purpose::mealtime;
    return refused(meal ? codes::card_near_meal : codes::card_near,
                   {given_of(*dose.near), arg_instant("when", dose.near->when), insulin});
  }
  if (!dose.lately) return std::nullopt;
  const auto apart = dose.due.at.at - dose.lately->when.at;
  return refused(codes::card_lately,
                 {given_of(*dose.lately), arg_instant("when", dose.lately->when), insulin,
                  arg_count("hours", std::chrono::round<std::chrono::hours>(apart).count())});
}

/// The next dose of each slot of the line, all of them cleared; why there is no card. Of a line
/// that ends or is replaced soon, a slot that has none left before then is not on the card.
Result<std::vector<interlock::Dose>> doses_of(const Chart& person, const Clinic& clinic,
                                              const order::Line& line, const When& now,
                                              const When& since) {
  std::vector<interlock::Dose> out;
  interlock::SaidOfDose said;
  said.on_paper = true;
  for (const auto& slot : line.text.slots) {
    const auto due = next_due(person, line, slot, since);
    if (!due) continue;
    auto dose = interlock::decide(person, interlock::house_of(clinic), *due, now, said);
    // What gives no sheet for tonight gives no card for half a year, whatever holds it.
    if (const auto* held = interlock::held(dose.verdict)) return held->error;
    out.push_back(std::move(dose));
  }
  // Of the line's next dose: what follows it comes after a dose that is not on record yet.
  const auto first =
      std::ranges::min_element(out, {}, [](const auto& dose) { return dose.due.at.at; });
  if (first == out.end()) return out;
  if (auto why = not_alone(*first)) return *std::move(why);
  return out;
}

struct CardWriter {
  const Words& words;
  const Chart& person;
  const Clinic& clinic;

  std::string hour(const Slot& slot, std::int32_t minutes) const {
    constexpr int day = 24 * 60;
    const auto at = ((slot.at.minutes + minutes) % day + day) % day;
    return format_iso(MinuteOfDay{static_cast<std::int16_t>(at)});
  }

  // "in 2 injections: 18 units, then 17 units", as the plan has them (H39).
  std::string divided(const interlock::Plan& plan) const {
    const auto dials = dials_of(plan);
    if (dials.size() < 2) return {};
    std::string parts;
    for (const auto* dial : dials) {
      const auto part = said(words, "dose", {arg_units("dose", dial->dose)});
      parts = parts.empty()
                  ? part
                  : said(words, "card.then", {arg_text("first", parts), arg_text("second", part)});
    }
    return said(
        words, "card.divided",
        {arg_count("count", static_cast<std::int64_t>(dials.size())), arg_text("parts", parts)});
  }

  // Whoever has today's already must not read today's hour on the card and take it again (H07).
  std::string in_already(const order::Due& next, const When& now) const {
    for (const auto& due : order::due_on(person.order, now.day(), person.zone)) {
      if (due.line == next.line && due.name == next.name && due.day < next.day &&
          due.to.at > now.at && !order::given_for(person.order, due).empty())
        return said(words, "card.in_already", {arg_text("day", words.day_long(next.day))});
    }
    return {};
  }

  json::Value dose(const Slot& slot, const interlock::Dose& next, const When& now) const {
    const auto& plan = *interlock::cleared(next.verdict);
    return json::object(
        {{"hour", text(format_iso(slot.at))},
         {"when", text(capital(words.name("with/" + word_of(slot.slot))))},
         {"dose_text", text(said(words, "dose", {arg_units("dose", plan->request.dose)}))},
         {"window_text",
          text(said(words,
                    slot.minutes_before == 0 && slot.minutes_after == 0 ? "card.window_none"
                                                                        : "card.window",
                    {arg_text("from", hour(slot, -slot.minutes_before)),
                     arg_text("until", hour(slot, slot.minutes_after))}))},
         {"divided", text(divided(*plan))},
         {"in_already", text(in_already(next.due, now))},
         {"tables", list(window_tables(words, plan))}});
  }

  std::vector<json::Value> notes(const order::Line& line,
                                 std::span<const interlock::Dose> next) const {
    const auto& pen = *next.front().pen;
    const auto& plan = **interlock::cleared(next.front().verdict);
    std::vector<json::Value> out;
    const auto add = [&](std::string_view key, const std::vector<Arg>& args = {}) {
      out.push_back(say(words, key, args));
    };
    const auto* entry = clinic.shelf.insulin(line.text.insulin, line.text.strength);
    if (entry != nullptr && entry->thing.suspension) add("card.mix");
    const bool prefilled = pen.copy.takes == shelf::Presentation::prefilled_pen;
    const bool same = pen.copy.prime == pen.copy.prime_new_cartridge;
    add(same        ? "card.prime"
        : prefilled ? "card.prime_first.prefilled"
                    : "card.prime_first",
        {arg_units("prime", pen.copy.prime), arg_units("first", pen.copy.prime_new_cartridge)});
    if (plan.request.pen.window == shelf::Window::counts_on) add("card.counts_on");
    add("card.hold", {arg_count("seconds", pen.copy.hold_seconds)});
    if (entry != nullptr)
      add("card.in_use", {arg_count("days", entry->thing.in_use_days),
                          arg_celsius("most", entry->thing.in_use_most)});
    if (!line.text.sick_day.empty()) add("card.sick_day", {arg_text("said", line.text.sick_day)});
    if (!line.text.remark.empty()) add("card.remark", {arg_text("said", line.text.remark)});
    return out;
  }

  json::Value line(const order::Line& line, std::span<const interlock::Dose> next,
                   std::vector<json::Value> notes, const When& now) const {
    std::vector<json::Value> doses;
    for (std::size_t at = 0; at < next.size(); ++at)
      doses.push_back(dose(line.text.slots[next[at].due.slot], next[at], now));
    const auto& pen = *next.front().pen;
    const auto mark =
        mark_of(clinic.shelf, line.text.insulin, line.text.strength, line.text.purpose);
    return json::object(
        {{"mark", svg(drawing::insulin_mark(mark))},
         {"purpose", text(capital(words.name("paper-dose/" + word_of(line.text.purpose))))},
         {"insulin", text(said(words, "insulin_label",
                               {arg_text("insulin", capital(line.text.insulin)),
                                arg_strength("strength", line.text.strength)}))},
         {"pen", text(capital(pen.copy.name))},
         {"doses", list(std::move(doses))},
         {"notes", list(std::move(notes))}});
  }

  json::Value section(std::string_view key) const {
    const auto of = "card." + std::string(key);
    return json::object({{"title", text(said(words, of + "_title"))}, {"text", say(words, of)}});
  }
};

// What holds for each of several insulins is said once, for all of them.
std::vector<json::Value> taken_out(std::vector<std::vector<json::Value>>& notes) {
  std::vector<json::Value> out;
  if (notes.size() < 2) return out;
  for (const auto& note : notes.front()) {
    if (std::ranges::all_of(notes,
                            [&](const auto& of) { return std::ranges::count(of, note) > 0; }))
      out.push_back(note);
  }
  for (auto& of : notes)
    std::erase_if(of, [&](const auto& note) { return std::ranges::count(out, note) > 0; });
  return out;
}

}  // namespace

std::vector<LocalDay> card_days(const Chart& person, LocalDay today) {
  std::set<LocalDay> out;
  for (const auto* line : lines_of(person, today)) {
    if (line->checked && line->text.from > today) out.insert(line->text.from);
  }
  return {out.begin(), out.end()};
}

Result<json::Value> dial_card_sheet(const Chart& person, const Clinic& clinic, const Caller& caller,
                                    std::optional<LocalDay> from) {
  const auto& words = caller.words;
  const auto now = now_at(person, caller);
  const auto coming = card_days(person, now.day());
  if (from && std::ranges::find(coming, *from) == coming.end())
    return refused(codes::card_from, {arg_date("day", *from)});
  const auto day = from.value_or(now.day());
  const auto since = from ? person.zone.resolve(LocalTime{day}) : now;
  const auto lines = lines_of(person, day);
  if (lines.empty())
    return Error{Kind::not_found, std::string(codes::nothing_due), {arg_date("day", day)}, ""};
  if (const auto none = no_sheet(person, clinic, now)) return *none;
  if (const auto doubt = in_doubt(person, lines, day)) return *doubt;
  if (auto first = unsettled(person, clinic, lines, now)) return *std::move(first);
  const CardWriter write{words, person, clinic};
  std::vector<std::vector<interlock::Dose>> doses;
  std::vector<std::vector<json::Value>> notes;
  for (const auto* line : lines) {
    if (person.order.state(*line, day) == order::State::not_yet) continue;
    auto next = doses_of(person, clinic, *line, now, since);
    if (!next) return next.error();
    if (next->empty()) continue;
    notes.push_back(write.notes(*line, *next));
    doses.push_back(*std::move(next));
  }
  if (doses.empty())
    return refused(codes::card_no_dose, {arg_text("insulin", lines.front()->text.insulin)});
  auto every = taken_out(notes);
  std::vector<json::Value> rows;
  for (std::size_t at = 0; at < doses.size(); ++at)
    rows.push_back(write.line(*doses[at].front().line, doses[at], std::move(notes[at]), now));
  std::vector<Arg> valid{arg_text("day", words.day_year(last_day(person, lines, day)))};
  if (from) valid.push_back(arg_text("from", words.day_long(day)));
  return json::object({{"who", who_of(words, person, {}, clinic, now)},
                       {"clinic", text(clinic.names.clinic)},
                       {"title", text(said(words, "card.title"))},
                       {"valid_text", say(words, from ? "card.valid_from" : "card.valid", valid)},
                       {"order_text", text(order_text(words, lines, day))},
                       {"printed_text", text(printed_text(words, now))},
                       {"lines", list(std::move(rows))},
                       {"every", list(std::move(every))},
                       {"sections", list({write.section("forgot"), write.section("nothing"),
                                          write.section("store")})},
                       {"low", low_box(words, &person, now.day(), clinic)},
                       {"phones", list(phones_of(words, person, clinic))}});
}

namespace {

bool holds_on(const order::Line& line, LocalDay day) {
  const auto last = line.last_day();
  return line.text.from <= day && (!last || day <= *last);
}

// An hour of the day at which an insulin is given, and the lines that order it.
using LogColumns = std::map<std::pair<std::int16_t, std::string>, std::vector<const order::Line*>>;

// A column is only written in on the days on which its order holds: with another hour ordered from
// Thursday the sheet had room for four doses a day (H08, H48).
json::Value log_day(const Words& words, const LogColumns& columns, LocalDay day) {
  std::vector<json::Value> due;
  for (const auto& [column, lines] : columns) {
    due.push_back(json::boolean(
        std::ranges::any_of(lines, [&](const order::Line* line) { return holds_on(*line, day); })));
  }
  return json::object({{"day", text(words.day_month(day))}, {"due", list(std::move(due))}});
}

// Each version that the sheet is written by.
std::string versions_text(const Words& words, std::span<const order::Line* const> lines,
                          LocalDay today) {
  std::map<std::int32_t, std::vector<const order::Line*>> versions;
  for (const auto* line : lines) versions[line->text.order_version].push_back(line);
  std::string out;
  for (const auto& [version, of_it] : versions)
    out += (out.empty() ? "" : " ") + order_text(words, of_it, today);
  return out;
}

}  // namespace

Result<json::Value> log_sheet(const Chart& person, const Clinic& clinic, const Caller& caller) {
  const auto& words = caller.words;
  const auto now = now_at(person, caller);
  if (const auto wrong = clock_set_back(person, clinic, now)) return *wrong;
  const auto lines = lines_of(person, now.day());
  LogColumns times;
  std::vector<const order::Line*> within;
  for (const auto* line : lines) {
    if (line->text.from >= now.day() + days{log_days}) continue;
    within.push_back(line);
    for (const auto& slot : line->text.slots)
      times[{slot.at.minutes, capital(line->text.insulin)}].push_back(line);
  }
  if (times.empty())
    return Error{
        Kind::not_found, std::string(codes::nothing_due), {arg_date("day", now.day())}, ""};
  std::vector<json::Value> columns, rows;
  for (const auto& [column, of_it] : times)
    columns.push_back(json::object(
        {{"hour", text(format_iso(MinuteOfDay{column.first}))}, {"insulin", text(column.second)}}));
  for (int n = 0; n < log_days; ++n) rows.push_back(log_day(words, times, now.day() + days{n}));
  return json::object({{"who", who_of(words, person, {}, clinic, now)},
                       {"clinic", text(clinic.names.clinic)},
                       {"title", text(said(words, "log.title"))},
                       {"lead", text(said(words, "log.lead"))},
                       {"order_text", text(versions_text(words, within, now.day()))},
                       {"printed_text", text(printed_text(words, now))},
                       {"columns", list(std::move(columns))},
                       {"days", list(std::move(rows))}});
}

}  // namespace penstock::pages
