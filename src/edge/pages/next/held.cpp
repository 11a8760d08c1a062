// Why there is no number: one state, one instruction, made from what the interlock says and from
// nothing else (H58).
#include <algorithm>
#include <array>
#include <utility>

#include "edge/json/json.hpp"
#include "edge/pages/next/internal/card.hpp"
#include "edge/pages/next/next.hpp"

namespace penstock::pages {
namespace {

using interlock::Answer;

json::Value answered(const interlock::Dose& dose, journal::DoseWas was) {
  const auto& slot = dose.asked;
  auto out = json::object({{"what", text(journal::DoseAnswered::name)},
                           {"line", json::string(slot.line)},
                           {"slot", text(word_of(slot.name))},
                           {"day", text(format_iso(slot.day))},
                           {"was", text(word_of(was))}});
  if (dose.pending != nullptr) json::add(out, "rest_of", json::string(dose.pending->fact));
  return out;
}

/// What the question is about is not always in the pen by now (H59).
Id cartridge_of(const interlock::Dose& dose) {
  return dose.asked_from.value_or(dose.pen != nullptr && dose.pen->cartridge ? *dose.pen->cartridge
                                                                             : Id{});
}

// How much it was is asked: no dose stands here while its number is held.
json::Value injected(const interlock::Dose& dose) {
  auto out = json::object({{"what", text(journal::Injected::name)},
                           {"cartridge", json::string(cartridge_of(dose))},
                           {"line", json::string(dose.asked.line)}});
  if (dose.pending == nullptr) {
    json::add(out, "slot", text(word_of(dose.asked.name)));
  } else {
    json::add(out, "completes", json::string(dose.pending->fact));  // of its part's slot (H39)
  }
  return out;
}

/// The first injection of a dose that takes two, or one that was broken off (H39).
json::Value part_of(const interlock::Dose& dose) {
  auto out = injected(dose);
  json::add(out, "outcome", text(word_of(journal::Outcome::part)));
  json::add(out, "meant_units", json::number(dose.asked.units));
  return out;
}

json::Value scale(const interlock::Dose& dose) {
  return json::object({{"what", text(journal::ScaleCounted::name)},
                       {"cartridge", json::string(cartridge_of(dose))}});
}

// How much it was is asked, as of what was injected.
json::Value primed(const interlock::Dose& dose, journal::Flow flow) {
  return json::object({{"what", text(journal::Primed::name)},
                       {"cartridge", json::string(cartridge_of(dose))},
                       {"flow", text(word_of(flow))}});
}

json::Value was_primed(const Words& words, const interlock::Dose& dose) {
  return json::object({{"what", text(journal::StepJudged::name)},
                       {"line", json::string(dose.due.line)},
                       {"step", text(said(words, "step.primed"))},
                       {"of", text(word_of(journal::HandStep::prime))},
                       {"how", text(word_of(journal::Judged::after_a_hint))}});
}

// "Not taken" beside an injection of this very insulin: the journal is put right instead (H52).
bool contradicts_record(const interlock::Held& held) {
  const auto of = std::ranges::find(held.error.args, "of", &Arg::name);
  return of != held.error.args.end() && of->text == "given/same_insulin";
}

// The hour at which it was given, by who says so: an hour alone is one near that of the dose, never
// one ahead (H07).
json::Value given_at(const Words& words, const When& due) {
  auto out = fill_field(words, "happened", "field.given_at", "time");
  json::add(out, "of", text(format_iso(due.day()) + "T" + format_iso(due.minute())));
  return out;
}

bool is_about(const interlock::Dose& dose, std::string_view code) {
  const auto* held = interlock::held(dose.verdict);
  return held != nullptr && held->error.code == code;
}

}  // namespace

json::Value answer_button(const Words& words, const interlock::Dose& dose, Answer answer) {
  const auto& slot = dose.asked;
  switch (answer) {
    case Answer::injected:
      return record_action(
          words, "act.was_injected", {injected(dose)},
          list({given_at(words, slot.at), fill_field(words, "units", "field.units_in", "units")}));
    case Answer::part:
      return record_action(
          words, "act.injected_part", {part_of(dose)},
          list({given_at(words, slot.at), fill_field(words, "units", "field.units_in", "units")}));
    case Answer::taken:
      return record_action(
          words,
          is_about(dose, order::codes::taken_perhaps) ? "act.was_this_dose" : "act.was_taken",
          {answered(dose, journal::DoseWas::taken)});
    case Answer::not_taken:
      // What is on record was taken: "it" would be either (H52).
      if (is_about(dose, order::codes::taken_perhaps))
        return record_action(words, "act.was_another_dose",
                             {answered(dose, journal::DoseWas::not_taken)}, json::null(),
                             "act.was_another_dose_confirm");
      if (is_about(dose, interlock::codes::parts_differ))
        return record_action(words, "act.no_rest", {answered(dose, journal::DoseWas::not_taken)},
                             json::null(), "act.no_rest_confirm");
      return record_action(
          words, "act.was_not_taken", {answered(dose, journal::DoseWas::not_taken)}, json::null(),
          "act.was_not_taken_confirm",
          {arg_units("dose", slot.units), arg_text("day", words.day_short(slot.at.day())),
           arg_text("time", format_iso(slot.at.minute()))});
    case Answer::not_known:
      return record_action(words, "act.was_not_known",
                           {answered(dose, journal::DoseWas::not_known)});
    case Answer::scale:
      return record_action(words, "act.scale", {scale(dose)},
                           list({fill_field(words, "units", "field.on_scale", "units")}));
    case Answer::primed:
    case Answer::primed_dry: {
      const bool seen = answer == Answer::primed;
      return record_action(words, seen ? "act.flow_seen" : "act.flow_not_seen",
                           {primed(dose, seen ? journal::Flow::seen : journal::Flow::not_seen)},
                           list({fill_field(words, "units", "field.primed", "units")}));
    }
    case Answer::was_primed:
      return record_action(words, "act.was_primed", {was_primed(words, dose)});
    case Answer::said:
      break;
  }
  return json::null();
}

drawing::Action mark_of(const shelf::Shelf& shelf, const interlock::Dose& dose) {
  return mark_of(shelf, dose.line->text.insulin, dose.line->text.strength, dose.line->text.purpose);
}

namespace {

json::Value question_button(const Words& words, const interlock::Dose& dose,
                            journal::QuestionReason reason) {
  const auto told = words.say(interlock::held(dose.verdict)->error);
  auto question = json::object({{"what", text(journal::QuestionOpened::name)},
                                {"line", json::string(dose.due.line)},
                                {"reason", text(word_of(reason))},
                                {"text", text(told.what)}});
  return record_action(words, "act.ask_prescriber", {std::move(question)}, json::null(),
                       "act.ask_prescriber_confirm");
}

// What nobody but the prescriber answers: the press that opens the question, whose answer is
// recorded beside it (H37, H44).
std::vector<json::Value> ask_prescriber(const Words& words, const interlock::Dose& dose) {
  static constexpr std::array<std::pair<std::string_view, journal::QuestionReason>, 16> asked{
      {{interlock::codes::childs_dose, journal::QuestionReason::other},
       {order::codes::new_awaited, journal::QuestionReason::other},
       {order::codes::swapped, journal::QuestionReason::other},
       {interlock::codes::allergic, journal::QuestionReason::other},
       {order::codes::outcome_unknown, journal::QuestionReason::part_dose},
       {order::codes::not_known, journal::QuestionReason::missed_dose},
       {interlock::codes::on_trip, journal::QuestionReason::travel},
       {interlock::codes::zone_moved, journal::QuestionReason::travel},
       {interlock::codes::far_too_much, journal::QuestionReason::other},
       {interlock::codes::too_much_together, journal::QuestionReason::other},
       {interlock::codes::parts_differ, journal::QuestionReason::part_dose},
       {interlock::codes::more_given, journal::QuestionReason::other},
       {interlock::codes::basal_lately, journal::QuestionReason::other},
       {interlock::codes::scale_says_taken, journal::QuestionReason::other},
       {interlock::codes::scale_differs, journal::QuestionReason::other},
       {interlock::codes::less_given, journal::QuestionReason::part_dose}}};
  const auto* held = interlock::held(dose.verdict);
  if (held == nullptr) return {};
  const auto reason = std::ranges::find(
      asked, held->error.code, &std::pair<std::string_view, journal::QuestionReason>::first);
  if (reason == asked.end()) return {};
  return {question_button(words, dose, reason->second)};
}

}  // namespace

std::vector<json::Value> card::ask_when_ill(const Words& words, const interlock::Dose& dose,
                                            const order::Order& order) {
  const auto* held = interlock::held(dose.verdict);
  const bool told =
      held != nullptr && held->today == interlock::Today::sick &&
      std::ranges::find(held->error.args, "told", &Arg::name) != held->error.args.end();
  if (!told || !order.open_about(*dose.line).empty()) return {};
  return {question_button(words, dose, journal::QuestionReason::sick_day)};
}

std::vector<json::Value> answers_of(const Words& words, const interlock::Dose& dose) {
  const auto* ask = std::get_if<interlock::AskFirst>(&dose.verdict);
  auto prescriber = ask_prescriber(words, dose);
  if (ask == nullptr) return prescriber;
  // What was given under the line before came out of that line's pen.
  const bool has_cartridge = !cartridge_of(dose).is_nil() && dose.asked.line == dose.due.line;
  std::vector<json::Value> answers;
  for (const auto answer : ask->answers) {
    const bool of_cartridge = answer == Answer::injected || answer == Answer::part ||
                              answer == Answer::scale || answer == Answer::primed ||
                              answer == Answer::primed_dry;
    if (of_cartridge && !has_cartridge) continue;
    if (answer == Answer::part && dose.pending != nullptr) continue;  // it is the rest of one
    if (answer == Answer::not_taken && contradicts_record(*ask)) continue;
    if (auto one = answer_button(words, dose, answer); one.type == json::Type::object)
      answers.push_back(std::move(one));
  }
  std::ranges::move(prescriber, std::back_inserter(answers));
  return answers;
}

Rich insulin_today(const Words& words, interlock::Today today, bool background,
                   const Clinic& clinic) {
  const std::string name(interlock::today_names[static_cast<std::size_t>(today)]);
  const auto number = [&](const std::string& given, std::string_view none) {
    return given.empty() ? said(words, none) : given;
  };
  const std::vector<Arg> phones{
      arg_text("phone", number(clinic.names.phone, "today.no_phone")),
      arg_text("emergency", number(clinic.names.emergency, "low.no_number"))};
  // Background insulin is not left out in silence; what may be in already is not given again.
  const bool own = background && words.has_sentence("today." + name + ".background");
  return words.sentence("today." + name + (own ? ".background" : ""), phones);
}

namespace {

// Nobody is sent to open what is not there, or must not be used (H38, H58): where the plan alone
// found too little, and nothing else at home may be used, that is the instruction.
std::string do_this_of(const Words& words, const interlock::Held& held, std::string told) {
  constexpr std::array opens_another{
      dial::dial_codes::no_cartridge,    dial::dial_codes::all_past_in_use,
      dial::dial_codes::mix_too_little,  dial::dial_codes::only_by_splitting,
      dial::dial_codes::cartridge_short, interlock::codes::unfit};
  const bool opens = std::ranges::find(opens_another, held.error.code) != opens_another.end();
  if (held.today != interlock::Today::get_more || !opens) return told;
  return words::plain(words.sentence("held.get_more", held.error.args));
}

}  // namespace

json::Value held_part(const Words& words, const interlock::Held& held, const Clinic& clinic) {
  const auto told = words.say(held.error);
  const auto purpose = std::ranges::find(held.error.args, "purpose", &Arg::name);
  const bool background = purpose != held.error.args.end() &&
                          (purpose->text == "background" || purpose->text == "premixed");
  // Whoever has more in than was ordered is not told to miss none (H58).
  const bool misses = background && held.error.code != interlock::codes::more_given;
  return json::object({{"code", text(held.error.code)},
                       {"what", text(told.what)},
                       {"do_this", rich({{do_this_of(words, held, told.do_this), false}})},
                       {"insulin_today", rich(insulin_today(words, held.today, misses, clinic))}});
}

}  // namespace penstock::pages
