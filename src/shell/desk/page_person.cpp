// A person's page: next injection, what is asked first, order, pens, background.
#include <algorithm>

#include "edge/json/json.hpp"
#include "edge/wire/fact_json.hpp"
#include "shell/desk/internal/inside.hpp"
#include "shell/desk/internal/next.hpp"
#include "shell/desk/internal/pens.hpp"
#include "shell/desk/internal/reach_page.hpp"
#include "shell/desk/internal/who.hpp"

namespace penstock::desk {
namespace {

using namespace journal;

json::Value fact(std::string_view kind) { return json::object({{"what", text(kind)}}); }

// ---- ask first

std::vector<json::Value> answers_to(const order::Question& question) {
  std::vector<json::Value> out;
  for (const auto answer :
       {AnswerKind::keep_dose, AnswerKind::new_order, AnswerKind::stop, AnswerKind::other}) {
    auto one = fact(QuestionAnswered::name);
    json::add(one, "question", json::string(question.id));
    json::add(one, "answer", text(word_of(answer)));
    json::add(one, "read_back", json::boolean(true));
    auto fill = list({fill_field("by", "field.prescriber", "text"),
                      fill_field("text", "field.answer_text", "text")});
    auto button =
        record_action("act.answer", {std::move(one)}, std::move(fill), "act.answer_confirm");
    for (auto& member : button.members) {
      if (member.key == "label") member.value = text(english().name("answer/" + word_of(answer)));
    }
    out.push_back(std::move(button));
  }
  return out;
}

json::Value ask_card(const Folded& person, const order::Line& line, const order::Due& due,
                     const ClinicState& clinic, bool first) {
  const auto holding = person.order.holding_back(line);
  const auto* question = holding.empty() ? nullptr : holding.front();
  const auto dose = capital(english().name("dose/" + word_of(line.text.purpose)));
  std::vector<Arg> args{
      arg_units("dose", due.units), arg_text("signed", english().day_year(line.text.signed_on)),
      arg_text("prescriber", line.text.prescriber), arg_text("time", format_iso(due.at.minute())),
      arg_text("phone", clinic.names.phone)};
  std::string reason;
  if (question != nullptr)
    reason = question->text.empty() ? english().name("reason/" + word_of(question->reason))
                                    : question->text;
  args.push_back(arg_text("reason", reason));
  const bool background =
      line.text.purpose == Purpose::background || line.text.purpose == Purpose::premixed;
  auto body = english().sentence("ask.text", args);
  if (background) body = body + Rich{{" ", false}} + english().sentence("refused.keep_background");
  const auto by = question != nullptr && question->answer_by
                      ? english().moment(*question->answer_by)
                      : format_iso(due.at.minute());
  return json::object(
      {{"time_text", text(format_iso(due.at.minute()))},
       {"mark", svg(drawing::insulin_mark(mark_of(clinic.shelf, line.text.insulin,
                                                  line.text.strength, line.text.purpose)))},
       {"purpose", text(dose)},
       {"title", text(said("ask.title"))},
       {"text", rich(body)},
       {"by_text", text(said("ask.by", {arg_text("by", by)}))},
       {"first", json::boolean(first)},
       {"phone_text", text(said("ask.phone"))},
       {"answer", list(question != nullptr && question->is_open() ? answers_to(*question)
                                                                  : std::vector<json::Value>{})}});
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

Rich doses_of(const order::Line& line, order::State state) {
  Rich out;
  for (const auto& slot : line.text.slots) {
    if (!out.empty()) out = out + Rich{{", ", false}};
    out = out + english().sentence("order.slot", {arg_units("dose", slot.units),
                                                  arg_code("when", "with/" + word_of(slot.slot)),
                                                  arg_text("time", format_iso(slot.at))});
  }
  return state == order::State::current || state == order::State::not_yet ? out : plainly(out);
}

std::string dates_of(const order::Line& line) {
  const auto last = line.last_day();
  const auto from = arg_text("from", english().day_year(line.text.from));
  return last ? said("order.dates_until", {from, arg_text("until", english().day_year(*last))})
              : said("order.dates", {from});
}

std::vector<json::Value> line_actions(const order::Line& line, order::State state) {
  std::vector<json::Value> out;
  if (state == order::State::replaced || state == order::State::ended) return out;
  if (!line.checked) {
    auto check = fact(OrderLineChecked::name);
    json::add(check, "line", json::string(line.id));
    out.push_back(record_action("act.check", {std::move(check)},
                                list({fill_field("checked_by", "field.checked_by", "text")}),
                                "act.check_confirm"));
  }
  if (line.signature_owed()) {
    auto seen = fact(OrderSignatureSeen::name);
    json::add(seen, "line", json::string(line.id));
    out.push_back(record_action("act.signature", {std::move(seen)}));
  }
  if (state != order::State::in_question) {
    auto question = fact(QuestionOpened::name);
    json::add(question, "line", json::string(line.id));
    out.push_back(
        record_action("act.question", {std::move(question)},
                      list({fill_choice("reason", "field.reason", names_of(QuestionReason{})),
                            fill_field("text", "field.question", "text")})));
  }
  return out;
}

json::Value order_line(const Folded& person, const order::Line& line, const ClinicState& clinic,
                       const When& now) {
  const auto state = person.order.state(line, now.day());
  const std::vector<Arg> args{
      arg_text("last", line.last_day() ? english().day_year(*line.last_day()) : ""),
      arg_text("from", english().day_year(line.text.from)),
      arg_text("copied_by", line.text.copied_by)};
  auto out = json::object(
      {{"id", json::string(line.id)},
       {"mark", svg(drawing::insulin_mark(mark_of(clinic.shelf, line.text.insulin,
                                                  line.text.strength, line.text.purpose)))},
       {"purpose", text(capital(english().name("dose/" + word_of(line.text.purpose))))},
       {"insulin", text(line.text.insulin)},
       {"strength_text", text(said("strength", {arg_strength("strength", line.text.strength)}))},
       {"doses", rich(doses_of(line, state))},
       {"dates", text(dates_of(line))},
       {"copied", text(said("order.copied." + word_of(line.text.copied_from),
                            {arg_text("by", line.text.copied_by)}))},
       {"prescriber", text(line.text.prescriber)},
       {"state", text(model_state(state))},
       {"state_text", text(state == order::State::current
                               ? ""
                               : said("order.state." + std::string(model_state(state)), args))}});
  if (state == order::State::awaiting_check || state == order::State::ended)
    add_level(out, Level::stop);
  if (state == order::State::in_question) add_level(out, Level::caution);
  json::add(out, "actions", list(line_actions(line, state)));
  return out;
}

json::Value order_of(const Folded& person, const ClinicState& clinic, const When& now) {
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
  for (const auto* line : lines) rows.push_back(order_line(person, *line, clinic, now));
  auto out = json::object(
      {{"version_text",
        text(newest == nullptr
                 ? ""
                 : said("order.head", {arg_count("version", newest->text.order_version),
                                       arg_text("prescriber", newest->text.prescriber),
                                       arg_date("day", newest->text.signed_on)}))},
       {"lines", list(std::move(rows))}});
  if (lines.empty()) {
    json::add(out, "empty",
              empty("order.empty_title", "order.empty", {arg_text("name", person.person.full_name)},
                    "", "order.write", href_of(person.journal, "/order/new")));
  }
  return out;
}

// ---- later doses, notices

json::Value later_row(const Folded& person, const order::Due& due, const ClinicState& clinic,
                      const When& now) {
  const auto* line = person.order.line(due.line);
  const auto state = person.order.state(*line, due.day);
  const bool plain = state == order::State::current;
  const std::vector<Arg> args{arg_code("purpose", "dose/" + word_of(line->text.purpose)),
                              arg_text("insulin", line->text.insulin),
                              arg_code("when", "with/" + word_of(due.name))};
  const auto day = due.day == now.day() ? std::string() : english().day_short(due.day) + " ";
  return json::object(
      {{"time_text", text(day + format_iso(due.at.minute()))},
       {"mark", svg(drawing::insulin_mark(mark_of(clinic.shelf, line->text.insulin,
                                                  line->text.strength, line->text.purpose)))},
       {"text", say(plain ? "next.later" : "next.later_held", args)}});
}

std::vector<json::Value> notices_of(const Card& card, const When& now, bool rest_is_next) {
  std::vector<json::Value> out;
  for (const auto* watch : ringing(card, now.at)) {
    // Open questions and unchecked lines have cards of their own on this page.
    const bool has_card = watch->kind == WatchKind::question_open ||
                          watch->kind == WatchKind::second_check ||
                          (watch->kind == WatchKind::part_owed && rest_is_next);
    if (has_card) continue;
    out.push_back(notice(ring(*watch, now.at)->level, sentence_of(*watch, card.full_name, now)));
  }
  return out;
}

std::vector<json::Value> supplies_of(const Folded& person) {
  std::vector<json::Value> out;
  for (const auto& stock : person.ledger.stock) {
    out.push_back(say("supplies.sealed",
                      {arg_count("count", stock.left), arg_text("insulin", stock.insulin),
                       arg_strength("strength", stock.strength), arg_units("each", stock.each)}));
  }
  if (person.ledger.needles.given > 0)
    out.push_back(say("supplies.needles", {arg_count("count", person.ledger.needles.left)}));
  return out;
}

// The background as a fact has it: what the form that notes it anew starts from.
json::Value background_fact(const Background& background) {
  const auto fact = wire::payload_to_json(BackgroundNoted{background});
  const auto* found = fact.find("background");
  return found != nullptr ? *found : json::object();
}

// Where this injection goes, and whether the needle that is used there has to be changed first
// (H16, H17). A rest that is owed has no place in the plan: it goes away from its first part.
void place_input(CardInput& input, const Folded& person, const Sites& sites) {
  if (input.dose->pending != nullptr) return;
  input.site = sites.for_due(input.dose->due);
  const auto body = skin::body_of(person.skin);
  if (input.site == nullptr || !body) return;
  input.place_words = capital(place_words(input.site->zone, input.site->spot, *body));
  if (const auto reach = reach_of(person, part_of(input.site->zone), input.dose->due.day))
    input.reach_notes.push_back(reach_note(*reach));
  input.reach_notes.push_back(needle_note(person));
  std::erase_if(input.reach_notes, [](const Rich& note) { return note.empty(); });
}

}  // namespace

Result<json::Value> Desk::person(Id id) {
  return in_->guarded(id, [&]() -> Result<json::Value> {
    const auto folded = in_->person(id);
    if (!folded) return folded.error();
    const auto cards = in_->cards();
    if (!cards) return cards.error();
    const auto clinic = in_->clinic();
    const auto& person = **folded;
    const auto now = person.zone.when(in_->ports.now());
    const auto agenda = agenda_of(person, clinic->shelf, now);
    const auto card = card_among(**cards, person, *clinic);

    auto next = json::null();
    if (agenda.next) {
      const auto& dose = *agenda.next;
      CardInput input;
      input.planned = &dose.planned;
      input.dose = &dose;
      input.person = &person;
      input.clinic = clinic.get();
      input.shelf = &clinic->shelf;
      input.new_id = in_->ports.new_id;
      input.now = now;
      input.mark = dose.mark;
      input.insulin = dose.line->text.insulin;
      input.strength = dose.line->text.strength;
      input.purpose = dose.line->text.purpose;
      const auto sites = sites_of(person, now, dose.due.day == now.day() ? 0 : 1);
      place_input(input, person, sites);
      next = next_card(input);
    }
    std::vector<json::Value> asks, later;
    for (std::size_t i = 0; i < agenda.ask_first.size(); ++i) {
      asks.push_back(ask_card(person, *agenda.ask_first[i], agenda.asked_due[i], *clinic, i == 0));
    }
    for (const auto& due : agenda.later) later.push_back(later_row(person, due, *clinic, now));
    const auto* line = agenda.next ? agenda.next->line : nullptr;
    return json::object(
        {{"id", json::string(id)},
         {"version", json::count(static_cast<std::int64_t>(person.version))},
         {"who", who_of(person, **cards, now)},
         {"notices", list(notices_of(card, now, agenda.next && agenda.next->pending != nullptr))},
         {"next", std::move(next)},
         {"later", list(std::move(later))},
         {"asks", list(std::move(asks))},
         {"order", order_of(person, *clinic, now)},
         {"pens", list(pen_cards(person, *clinic, agenda, now))},
         {"background", background_rows(person.person.background)},
         {"background_fact", background_fact(person.person.background)},
         {"supplies", list(supplies_of(person))},
         {"forms", forms_of(person, clinic->shelf)},
         {"low", low_box(line, *clinic)}});
  });
}

}  // namespace penstock::desk
