// A person's page: next injection, what is asked first, order, pens, background.
#include "edge/pages/person/person.hpp"

#include <algorithm>
#include <set>

#include "core/order/recording.hpp"
#include "edge/drawing/pens/pens.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/kit/watches.hpp"
#include "edge/pages/kit/who.hpp"
#include "edge/pages/next/next.hpp"
#include "edge/pages/person/internal/hold.hpp"
#include "edge/pages/person/internal/pens.hpp"
#include "edge/pages/sites/reach.hpp"
#include "edge/wire/fact_json.hpp"

namespace penstock::pages {
namespace {

using namespace journal;

// ---- ask first

std::vector<json::Value> answers_to(const Words& words, const order::Question& question) {
  std::vector<json::Value> out;
  for (const auto answer :
       {AnswerKind::keep_dose, AnswerKind::new_order, AnswerKind::stop, AnswerKind::other}) {
    if (question.is_exposure() && answer != AnswerKind::other) continue;
    auto one = fact(QuestionAnswered::name);
    json::add(one, "question", json::string(question.id));
    json::add(one, "answer", text(word_of(answer)));
    json::add(one, "read_back", json::boolean(true));
    auto fill = list({fill_field(words, "by", "field.prescriber", "text"),
                      fill_field(words, "text", "field.answer_text", "text")});
    auto button =
        record_action(words, "act.answer", {std::move(one)}, std::move(fill), "act.answer_confirm");
    for (auto& member : button.members) {
      if (member.key == "label")
        member.value = text(
            words.name(question.is_exposure() ? "answer/exposure" : "answer/" + word_of(answer)));
    }
    out.push_back(std::move(button));
  }
  return out;
}

// Before when the prescriber is phoned: a day and an hour that lie ahead, or now.
std::string phone_by(const Words& words, const order::Question* question,
                     const interlock::Dose& dose, const When& now) {
  // Of the dose before nobody knows how much went in: perhaps nothing did (H38, H44).
  if (dose.done && dose.done->is_unknown) return said(words, "ask.now");
  const auto& due = dose.due;
  const auto by = question != nullptr && question->answer_by && question->answer_by->at < due.at.at
                      ? *question->answer_by
                      : due.at;
  if (by.at <= now.at) return said(words, "ask.now");
  return said(words, "ask.by", {arg_text("by", words.moment(by))});
}

Rich in_question_text(const Words& words, const order::Question& question,
                      const order::Line& line) {
  auto reason =
      question.text.empty() ? words.name("reason/" + word_of(question.reason)) : question.text;
  if (!reason.ends_with('.') && !reason.ends_with('?')) reason += '.';
  return words.sentence("ask.text",
                        {arg_text("signed", words.day_year(line.text.signed_on)),
                         arg_text("prescriber", line.text.prescriber), arg_text("reason", reason)});
}

// One answer is recorded for all of them (H37).
std::string insulins_of(const order::Order& order, LocalDay on) {
  std::set<std::string> names;
  for (const auto* line : order.holding(on)) names.insert(line->text.insulin);
  std::string out;
  for (const auto& name : names) out += (out.empty() ? "" : ", ") + name;
  return out;
}

json::Value ask_card(const CardInput& input, bool first) {
  const auto& words = *input.words;
  const auto& dose = *input.dose;
  const auto& line = *dose.line;
  const auto* held = interlock::held(dose.verdict);
  INVARIANT(held != nullptr);
  const bool is_open = held->error.code == order::codes::question_open;
  const bool of_prescriber = held->today == interlock::Today::prescriber;
  const auto holding = input.person->order.holding_back(line);
  const auto* question = holding.empty() ? nullptr : holding.front();
  const auto told = words.say(held->error);
  Rich body{{told.what + " " + told.do_this, false}};
  if (is_open) body = in_question_text(words, *question, line);
  if (is_open && !question->line)
    body =
        body + Rich{{" ", false}} +
        words.sentence("ask.for_every",
                       {arg_text("insulins", insulins_of(input.person->order, input.now.day()))});
  // "Do not miss basal insulin" is read by whoever has it in already (H52, H07). What is asked of
  // them says it itself.
  if (of_prescriber) {
    for (const auto& in : {near_text(words, dose), done_text(words, *input.person, dose)})
      if (!in.empty()) body = body + Rich{{" ", false}} + in;
  }
  const bool background =
      line.text.purpose == Purpose::background || line.text.purpose == Purpose::premixed;
  // Beside "give nothing more of it" nobody is told not to miss it (H58).
  const bool is_in = of_prescriber && dose.done && dose.done->is_unknown &&
                     held->error.code != order::codes::answered_in_words;
  auto answers = is_open ? answers_to(words, *question) : answers_of(words, dose);
  const bool of_them = std::holds_alternative<interlock::AskFirst>(dose.verdict);
  const std::string which = is_open ? "ask.answer" : of_them ? "ask.was" : "ask.held";
  // A hypo, or what is to be checked at the pen, has a heading of its own.
  const auto says = [&](const char* part) {
    const auto own = which + part + "." +
                     std::string(interlock::today_names[static_cast<std::size_t>(held->today)]);
    return text(said(words, words.has_sentence(own) ? own : which + part));
  };
  return json::object(
      {{"time_text", text(hour_text(words, dose.asked.at, input.now))},
       {"mark", svg(drawing::insulin_mark(input.mark))},
       {"purpose", text(capital(words.name("dose/" + word_of(line.text.purpose))))},
       {"title", of_prescriber ? text(said(words, "ask.title")) : says("_title")},
       {"text", rich(body)},
       {"by_text", text(of_prescriber ? phone_by(words, question, dose, input.now) : "")},
       {"first", json::boolean(first)},
       {"phone_text",
        text(words::plain(insulin_today(words, is_in ? interlock::Today::nothing_more : held->today,
                                        background, *input.clinic)))},
       {"answer_title", says("_title")},
       {"answer_legend", says("_legend")},
       {"answer_button", says("_button")},
       {"answer", list(std::move(answers))}});
}

// Beside whatever has no number: where a call about it is recorded, and whom it is made to (H38).
json::Value phoning_of(const Words& words, const Chart& person) {
  std::vector<json::Value> phones;
  const auto add = [&](const std::string& who, const std::string& phone) {
    if (!phone.empty())
      phones.push_back(json::object({{"who", text(who)}, {"phone", text(phone)}}));
  };
  for (const auto& one : person.contacts.people) {
    if (one.said.role == ContactRole::prescriber)
      add(contact_label(words, one.said), one.said.phone);
  }
  add(person.person.full_name, person.person.phone);
  auto call = json::object({{"label", text(said(words, "today.call"))},
                            {"href", text(href_of(person.journal, "/record/call?meeting=call"))}});
  return json::object({{"call", std::move(call)}, {"phones", list(std::move(phones))}});
}

// Who was exposed, for which no dose waits; or a question about a line that has no dose of its own
// to show, as while its copy waits for the second check (H13, H37, H38).
json::Value question_card(const Words& words, const Chart& person, const Clinic& clinic,
                          const order::Question& question, bool first) {
  const auto* line = question.line ? person.order.line(*question.line) : nullptr;
  const bool exposure = question.is_exposure();
  const bool background = line == nullptr || order::is_basal(*line);
  const auto phone =
      exposure
          ? said(words, "ask.exposure_insulin")
          : words::plain(insulin_today(words, interlock::Today::prescriber, background, clinic));
  return json::object({{"time_text", text("")},
                       {"mark", svg("")},
                       {"purpose", text(capital(words.name("reason/" + word_of(question.reason))))},
                       {"title", text(said(words, exposure ? "ask.exposure_title" : "ask.title"))},
                       {"text", rich(line != nullptr ? in_question_text(words, question, *line)
                                                     : Rich{{question.text, false}})},
                       {"by_text", text(said(words, "ask.now"))},
                       {"first", json::boolean(first)},
                       {"phone_text", text(phone)},
                       {"answer_title", text(said(words, "ask.answer_title"))},
                       {"answer_legend", text(said(words, "ask.answer_legend"))},
                       {"answer_button", text(said(words, "ask.answer_button"))},
                       {"answer", list(answers_to(words, question))}});
}

/// Open questions that no dose of the page asks.
std::vector<const order::Question*> questions_alone(const Chart& person,
                                                    const interlock::Agenda& agenda,
                                                    const When& now) {
  std::vector<const order::Question*> out;
  for (const auto& question : person.order.questions) {
    const auto from = person.order.overtaken_from(question);
    const bool over = from && *from <= now.day();
    const bool asked = std::ranges::any_of(agenda.ask_first, [&](const interlock::Dose& dose) {
      const auto holding = person.order.holding_back(*dose.line);
      return std::ranges::find(holding, &question) != holding.end();
    });
    if (question.is_open() && !over && !asked) out.push_back(&question);
  }
  return out;
}

// ---- the order

std::string_view model_state(order::State state) {
  switch (state) {
    case order::State::replaced:
      return "replaced";
    case order::State::ended:
      return "ended";
    case order::State::awaiting_check:
      return "unchecked";
    case order::State::in_question:
      return "in question";
    case order::State::not_yet:
      return "not yet";
    case order::State::current:
      break;
  }
  return "current";
}

// A number that must not be dialled is not bold.
Rich plainly(Rich text) {
  for (auto& run : text) run.bold = false;
  return text;
}

Rich doses_of(const Words& words, const order::Line& line, order::State state) {
  Rich out;
  for (const auto& slot : line.text.slots) {
    if (!out.empty()) out = out + Rich{{", ", false}};
    out = out + words.sentence("order.slot", {arg_units("dose", slot.units),
                                              arg_code("when", "with/" + word_of(slot.slot)),
                                              arg_text("time", format_iso(slot.at))});
  }
  return state == order::State::current || state == order::State::not_yet ? out : plainly(out);
}

std::string dates_of(const Words& words, const order::Line& line) {
  const auto last = line.last_day();
  const auto from = arg_text("from", words.day_year(line.text.from));
  return last ? said(words, "order.dates_until", {from, arg_text("until", words.day_year(*last))})
              : said(words, "order.dates", {from});
}

std::vector<json::Value> line_actions(const Words& words, const order::Line& line,
                                      order::State state) {
  std::vector<json::Value> out;
  if (state == order::State::replaced || state == order::State::ended) return out;
  if (line.signature_owed()) {
    auto seen = fact(OrderSignatureSeen::name);
    json::add(seen, "line", json::string(line.id));
    out.push_back(record_action(words, "act.signature", {std::move(seen)}));
  }
  if (state != order::State::in_question) {
    auto question = fact(QuestionOpened::name);
    json::add(question, "line", json::string(line.id));
    out.push_back(record_action(
        words, "act.question", {std::move(question)},
        list({fill_choice(words, "reason", "field.reason", names_of(QuestionReason{})),
              fill_field(words, "text", "field.question", "text")})));
  }
  return out;
}

json::Value order_line(const Words& words, const Chart& person, const order::Line& line,
                       const Clinic& clinic, const When& now) {
  const auto state = person.order.state(line, now.day());
  const std::vector<Arg> args{
      arg_text("last", line.last_day() ? words.day_year(*line.last_day()) : ""),
      arg_text("from", words.day_year(line.text.from)), arg_text("copied_by", line.text.copied_by)};
  auto out = json::object(
      {{"id", json::string(line.id)},
       {"mark", svg(drawing::insulin_mark(mark_of(clinic.shelf, line.text.insulin,
                                                  line.text.strength, line.text.purpose)))},
       {"purpose", text(capital(words.name("dose/" + word_of(line.text.purpose))))},
       {"insulin", text(line.text.insulin)},
       {"strength_text",
        text(said(words, "strength", {arg_strength("strength", line.text.strength)}))},
       {"doses", rich(doses_of(words, line, state))},
       {"dates", text(dates_of(words, line))},
       {"copied", text(said(words, "order.copied." + word_of(line.text.copied_from),
                            {arg_text("by", line.text.copied_by)}))},
       {"checked", text(line.checked && !line.checked->days_read
                            ? said(words, "order.days_unread", {arg_text("by", line.checked->by)})
                            : "")},
       {"prescriber", text(line.text.prescriber)},
       {"state", text(model_state(state))},
       {"state_text",
        text(state == order::State::current
                 ? ""
                 : said(words, "order.state." + std::string(model_state(state)), args))}});
  if (state == order::State::awaiting_check || state == order::State::ended)
    add_level(words, out, Level::stop);
  if (state == order::State::in_question) add_level(words, out, Level::caution);
  const bool over = state == order::State::replaced || state == order::State::ended;
  json::add(out, "fact", wire::payload_to_json(line.text));
  json::add(out, "to_check", json::boolean(!over && (!line.checked || !line.checked->days_read)));
  json::add(out, "actions", list(line_actions(words, line, state)));
  return out;
}

json::Value order_of(const Words& words, const Chart& person, const Clinic& clinic,
                     const When& now) {
  std::vector<const order::Line*> lines;
  for (const auto& line : person.order.lines) {
    // A replaced line is history: the journal has it.
    if (!line.replaced_by || line.replaced_from > now.day()) lines.push_back(&line);
  }
  std::ranges::stable_sort(
      lines, {}, [](const order::Line* line) { return line->text.purpose != Purpose::mealtime; });
  const order::Line* newest = nullptr;
  for (const auto* line : lines) {
    if (newest == nullptr || line->text.order_version > newest->text.order_version) newest = line;
  }
  std::vector<json::Value> rows;
  for (const auto* line : lines) rows.push_back(order_line(words, person, *line, clinic, now));
  auto out = json::object(
      {{"version_text",
        text(newest == nullptr ? ""
                               : said(words, "order.head",
                                      {arg_count("version", newest->text.order_version),
                                       arg_text("prescriber", newest->text.prescriber),
                                       arg_date("day", newest->text.signed_on)}))},
       {"lines", list(std::move(rows))}});
  if (lines.empty()) {
    json::add(out, "empty",
              empty(words, "order.empty_title", "order.empty",
                    {arg_text("name", person.person.full_name)}, "", "order.write",
                    href_of(person.journal, "/order/new")));
  }
  return out;
}

// ---- later doses, notices

json::Value later_row(const Words& words, const Chart& person, const order::Due& due,
                      const Clinic& clinic, const When& now) {
  const auto* line = person.order.line(due.line);
  const auto state = person.order.state(*line, due.day);
  const bool plain = state == order::State::current;
  const std::vector<Arg> args{arg_code("purpose", "dose/" + word_of(line->text.purpose)),
                              arg_text("insulin", line->text.insulin),
                              arg_strength("strength", line->text.strength),
                              arg_code("when", "with/" + word_of(due.name))};
  return json::object(
      {{"time_text", text(hour_text(words, due.at, now))},
       {"mark", svg(drawing::insulin_mark(mark_of(clinic.shelf, line->text.insulin,
                                                  line->text.strength, line->text.purpose)))},
       {"text", say(words, plain ? "next.later" : "next.later_held", args)}});
}

// The doses that have a card of their own on the page.
using Shown = std::vector<const interlock::Dose*>;

Shown shown_of(const interlock::Agenda& agenda, std::span<const interlock::Dose> beside) {
  Shown out;
  if (agenda.next) out.push_back(&*agenda.next);
  for (const auto& doses : {std::span<const interlock::Dose>(agenda.unrecorded),
                            std::span<const interlock::Dose>(agenda.ask_first), beside}) {
    for (const auto& dose : doses) out.push_back(&dose);
  }
  return out;
}

bool is_about(const watch::Watch& watch, const order::Line& line) {
  return watch.insulin == line.text.insulin && watch.strength == line.text.strength &&
         watch.purpose == line.text.purpose;
}

// Those that a card with the reason answers: it says why there is no number.
bool is_of_a_dose(watch::What what) {
  using enum watch::What;
  return what == answer_waits || what == dose_held || what == dose_unrecorded || what == swapped ||
         what == given_perhaps;
}

// Whether what is open is said by a card of its own line: the card of another insulin says nothing
// of it (H58).
bool has_card(const watch::Watch& watch, const Shown& shown) {
  if (watch.what == watch::What::question_open) return true;
  const bool of_a_rest = watch.what == watch::What::part_owed;
  if (!of_a_rest && !is_of_a_dose(watch.what)) return false;
  return std::ranges::any_of(shown, [&](const interlock::Dose* dose) {
    const bool says =
        of_a_rest ? dose->pending != nullptr : interlock::held(dose->verdict) != nullptr;
    return says && is_about(watch, *dose->line);
  });
}

// As far ahead as a dose that is taken once a week.
constexpr std::int32_t held_days_ahead = 8;

// Held though it is not next: Today says that the page gives the reason (H58).
std::vector<interlock::Dose> held_beside(const Chart& person, const Clinic& clinic,
                                         const interlock::Agenda& agenda,
                                         const summary::Row& listed, const When& now) {
  std::vector<interlock::Dose> out;
  const auto dues = order::open_dues(person.order, now, person.zone, held_days_ahead);
  for (const auto* watch : summary::ringing(listed, now.at)) {
    if (!is_of_a_dose(watch->what) || has_card(*watch, shown_of(agenda, out))) continue;
    for (const auto& due : dues) {
      if (!is_about(*watch, *person.order.line(due.line))) continue;
      auto dose = interlock::decide(person, interlock::house_of(clinic), due, now);
      if (interlock::held(dose.verdict) == nullptr) continue;
      out.push_back(std::move(dose));
      break;
    }
  }
  return out;
}

json::Value open_row(const Words& words, Level level, const Rich& text, std::string_view by,
                     const WatchAction* action) {
  auto out = notice(words, level, text);
  json::add(out, "by", pages::text(by));
  if (action != nullptr)
    json::add(
        out, "action",
        json::object({{"label", pages::text(action->label)}, {"href", pages::text(action->href)}}));
  return out;
}

/// What has a row: what no card says, first what holds the next dose.
std::vector<const watch::Watch*> rows_of(const summary::Row& listed,
                                         const interlock::Agenda& agenda, const Shown& shown,
                                         const When& now) {
  auto out = summary::ringing(listed, now.at);
  std::erase_if(out, [&](const auto* watch) { return has_card(*watch, shown); });
  std::ranges::stable_partition(out, [&](const auto* watch) { return says_hold(*watch, agenda); });
  return out;
}

std::vector<json::Value> notices_of(const Words& words, const Chart& person, const Clinic& clinic,
                                    const summary::Row& listed,
                                    std::span<const watch::Watch* const> rows,
                                    const std::optional<HoldRow>& hold, const When& now) {
  std::vector<json::Value> out;
  if (auto clock = clock_text(words, person, clinic, now); !clock.empty())
    out.push_back(open_row(words, Level::stop, clock, "", nullptr));
  if (hold) out.push_back(open_row(words, hold->level, hold->text, hold->by, &hold->action));
  for (const auto* watch : rows) {
    const auto action = action_of(words, *watch, listed.person, listed.full_name);
    out.push_back(open_row(words, watch::alarm(*watch, now.at)->level,
                           sentence_of(words, *watch, listed.full_name, now),
                           due_text(words, *watch, now), &action));
  }
  return out;
}

// How much is open behind each part of somebody's record, and how loud: by where its button leads.
std::vector<json::Value> tabs_of(const Words& words, const summary::Row& listed, const When& now) {
  struct Tab {
    std::string part;
    Level level = Level::note;
    std::int64_t count = 0;
  };
  std::vector<Tab> tabs;
  for (const auto* watch : summary::ringing(listed, now.at)) {
    const auto action = action_of(words, *watch, listed.person, listed.full_name);
    auto part = action.href.substr(href_of(listed.person).size());
    part = part.substr(0, part.find_first_of("/?#", 1));
    auto tab = std::ranges::find(tabs, part, &Tab::part);
    if (tab == tabs.end()) tab = tabs.insert(tab, Tab{part});
    tab->level = std::max(tab->level, watch::alarm(*watch, now.at)->level);
    ++tab->count;
  }
  std::vector<json::Value> out;
  for (const auto& tab : tabs) {
    auto row = json::object({{"part", text(tab.part)}, {"count", json::count(tab.count)}});
    add_level(words, row, tab.level);
    out.push_back(std::move(row));
  }
  return out;
}

/// What the visit lists under its heading, and no other count: each card and each row once.
struct Listed {
  std::int64_t all = 0;
  std::int64_t first = 0;   ///< of these, what is asked before the next injection
  std::string_view next{};  ///< what the next dose's own card, beside the list, has open
};

Listed listed_open(const interlock::Agenda& agenda, std::span<const watch::Watch* const> rows,
                   bool has_hold_row, std::size_t beside, std::size_t all, const When& now) {
  const auto count = [](std::size_t many) { return static_cast<std::int64_t>(many); };
  Listed out{count(all), 0, {}};
  if (has_hold_row)
    ++out.first;
  else if (agenda.next && interlock::held(agenda.next->verdict) != nullptr)
    out.next = "visit.next_held";
  else if (agenda.next && agenda.next->pending != nullptr)
    out.next = "visit.next_part";
  out.first += count(agenda.unrecorded.size() + agenda.ask_first.size() + beside);
  for (const auto* watch : rows) {
    if (watch::alarm(*watch, now.at)->before_next) ++out.first;
  }
  return out;
}

// "*2 things are open.* 1 before the next injection."
Rich open_text(const Words& words, const Listed& open) {
  const auto next = open.next.empty() ? Rich{} : words.sentence(open.next);
  if (open.all == 0) return next.empty() ? words.sentence("visit.open_none") : next;
  auto out = words.sentence(open.first == 0 ? "visit.open" : "visit.open_before",
                            {arg_count("things", open.all), arg_count("first", open.first)});
  return next.empty() ? out : out + Rich{{" ", false}} + next;
}

// What was dismissed and would ring otherwise: who said so and why, and a way back (H62).
std::vector<json::Value> dismissed_of(const Words& words, const Chart& person,
                                      const summary::Row& listed, const When& now) {
  std::vector<json::Value> out;
  for (const auto* watch : watch::ringing(listed.watches, {}, now.at)) {
    const auto by = std::ranges::find_if(person.person.dismissals, [&](const Dismissal& one) {
      return one.reminder == watch::word_of(watch->what) && one.basis == watch->basis;
    });
    if (by == person.person.dismissals.end() || !watch::can_be_dismissed(*watch, now.at)) continue;
    auto back = fact(Correction::name);
    json::add(back, "target", json::string(by->fact));
    json::add(back, "reason", text(said(words, "dismissed.back_reason")));
    out.push_back(
        json::object({{"text", rich(sentence_of(words, *watch, listed.full_name, now))},
                      {"why", text(said(words, "dismissed.why",
                                        {arg_text("by", by->by), arg_text("reason", by->reason),
                                         arg_text("day", words.day_year(by->on.day()))}))},
                      {"action", record_action(words, "act.bring_back", {std::move(back)})}}));
  }
  return out;
}

std::vector<json::Value> supplies_of(const Words& words, const Chart& person) {
  std::vector<json::Value> out;
  for (const auto& stock : person.ledger.stock) {
    out.push_back(say(words, "supplies.sealed",
                      {arg_count("count", stock.left), arg_text("insulin", stock.insulin),
                       arg_strength("strength", stock.strength), arg_units("each", stock.each)}));
  }
  // As the page Supplies has it: an injection without a needle on record used one all the same.
  if (person.ledger.needles.given > 0) {
    const auto length = person.skin.rules ? person.skin.rules->needle : std::nullopt;
    out.push_back(say(words, "supplies.needles",
                      {arg_count("count", supply::needles_left(person.ledger.needles, length))}));
  }
  return out;
}

// The background as a fact has it: what the form that notes it anew starts from.
json::Value background_fact(const Background& background) {
  const auto fact = wire::payload_to_json(BackgroundNoted{background});
  const auto* found = fact.find("background");
  return found != nullptr ? *found : json::object();
}

// The same of who somebody is.
json::Value details_fact(const journal::Person& person) {
  const DetailsChanged now{person.full_name, person.born, person.number, person.phone, person.zone};
  return wire::payload_to_json(now);
}

}  // namespace

json::Value person_page(const Chart& person, const People& people, const Clinic& clinic,
                        const Caller& caller, std::span<const ledger::Claim> elsewhere,
                        const NewId& new_id) {
  const auto now = now_at(person, caller);
  const auto agenda = interlock::agenda_of(person, interlock::house_of(clinic), now);
  const auto listed = summary::row_among(people, person, clinic);

  const auto input_of = [&](const interlock::Dose& dose) {
    return card_input(person, clinic, caller.words, new_id, now, dose);
  };
  auto next = json::null();
  if (agenda.next) {
    auto input = input_of(*agenda.next);
    const auto sites =
        sites_of(caller.words, person, now, agenda.next->due.day == now.day() ? 0 : 1);
    add_place(caller.words, input, person, sites);
    if (auto trip = trip_text(caller.words, person, now); !trip.empty())
      input.first_notes.push_back(std::move(trip));
    next = next_card(input);
  } else if (agenda.unrecorded.empty() && agenda.ask_first.empty()) {
    next = no_dose_card(caller.words, person, clinic, now);
  }
  const auto beside = held_beside(person, clinic, agenda, listed, now);
  std::vector<json::Value> asks, later;
  for (const auto* doses : {&agenda.unrecorded, &agenda.ask_first, &beside}) {
    for (const auto& dose : *doses) asks.push_back(ask_card(input_of(dose), asks.empty()));
  }
  for (const auto* question : questions_alone(person, agenda, now))
    asks.push_back(question_card(caller.words, person, clinic, *question, asks.empty()));
  for (const auto& due : agenda.later)
    later.push_back(later_row(caller.words, person, due, clinic, now));
  const auto rows = rows_of(listed, agenda, shown_of(agenda, beside), now);
  const auto hold = hold_row(caller.words, person, agenda, rows, now);
  auto notices = notices_of(caller.words, person, clinic, listed, rows, hold, now);
  const auto open =
      listed_open(agenda, rows, hold.has_value(), beside.size(), asks.size() + notices.size(), now);
  return json::object(
      {{"id", json::string(person.journal)},
       {"version", json::count(static_cast<std::int64_t>(person.version))},
       {"who", who_of(caller.words, person, people, clinic, now)},
       {"notices", list(std::move(notices))},
       {"open_text", rich(open_text(caller.words, open))},
       {"tabs", list(tabs_of(caller.words, listed, now))},
       {"dismissed", list(dismissed_of(caller.words, person, listed, now))},
       {"next", std::move(next)},
       {"later", list(std::move(later))},
       {"asks", list(std::move(asks))},
       {"phoning", phoning_of(caller.words, person)},
       {"order", order_of(caller.words, person, clinic, now)},
       {"pens", list(pen_cards(caller.words, person, clinic, agenda, elsewhere, now))},
       {"background", background_rows(caller.words, person, now.at)},
       {"hypos_text", text(hypos_text(caller.words, person, now.at))},
       {"background_fact", background_fact(person.person.background)},
       {"details_fact", details_fact(person.person)},
       {"start", start_of(caller.words, person, now)},
       {"taken", list(taken_of(caller.words, person, now))},
       {"supplies", list(supplies_of(caller.words, person))},
       {"forms", forms_of(caller.words, person, clinic.shelf)},
       {"low", low_box(caller.words, &person, now.day(), clinic)}});
}

}  // namespace penstock::pages
