// What stands beside the steps of the card: what is not as usual, and what to do about it.
#include <algorithm>

#include "core/dial/dial.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/next/internal/card.hpp"
#include "edge/pages/next/next.hpp"

namespace penstock::pages::card {

std::string told(const CardInput& input, std::string_view key, std::vector<Arg> args) {
  if (const auto* plan = interlock::cleared(*input.verdict))
    args.push_back(interlock::arg_pen_kind((*plan)->takes));
  return said(*input.words, key, args);
}

bool records(const CardInput& input) { return input.dose != nullptr && input.dose->pen != nullptr; }

const interlock::Plan& planned(const CardInput& input) {
  const auto* plan = interlock::cleared(*input.verdict);
  INVARIANT(plan != nullptr);
  return **plan;
}

Way way_in(const CardInput& input) {
  return way_of(input.person, input.dose != nullptr ? input.dose->due.day : input.now.day());
}

std::vector<const shelf::Entry<shelf::Needle>*> needles_to_offer(const CardInput& input) {
  constexpr std::size_t offered_max = 4;
  const auto way = way_in(input);
  std::vector<const shelf::Entry<shelf::Needle>*> taught, fitting;
  for (const auto& entry : input.shelf->needles) {
    if (!shelf::fits(input.dose->pen->copy, entry.thing)) continue;
    if (!by_age::may_offer(way.rule, entry.thing.length, entry.thing.safety)) continue;
    if (input.person->person.taught_needle(entry.code)) taught.push_back(&entry);
    if (fitting.size() < offered_max) fitting.push_back(&entry);
  }
  return taught.empty() ? fitting : taught;
}

bool is_sealed(const Error& aside) {
  return std::ranges::find(aside.args, "where", &Arg::name) != aside.args.end();
}

namespace {

// A plan names cartridges by their identity; people know them by where they are.
std::vector<Arg> with_places(std::vector<Arg> args, const CardInput& input) {
  for (auto& arg : args) {
    if (arg.name != "cartridge") continue;
    const auto unopened = interlock::unopened_id;
    if (input.dose != nullptr) {
      const auto& plan = planned(input);
      const auto source = std::ranges::find(plan.sources, parse_id(arg.text).value_or(Id{}),
                                            &interlock::Source::cartridge);
      const bool known = parse_id(arg.text) && source != plan.sources.end();
      arg.text = told(input, !known              ? "cartridge.sealed"
                             : source->taken_out ? "cartridge.taken_out"
                                                 : "cartridge.in_pen");
    } else if (arg.text.starts_with(unopened)) {
      arg.text = said(*input.words, "phone.unopened",
                      {arg_text("place", arg.text.substr(unopened.size()))});
    } else {
      arg.text = said(*input.words, "phone.in_pen");
    }
  }
  args.push_back(interlock::arg_pen_kind(planned(input).takes));
  return args;
}

// A needle that was used and is still on another pen comes off before this injection (H15).
void say_needle_elsewhere(const CardInput& input, std::vector<json::Value>& out) {
  if (!records(input)) return;
  for (const auto& pen : input.person->ledger.pens) {
    if (!pen.is_here() || pen.id == input.dose->pen->id || !pen.needle.on || pen.needle.uses == 0)
      continue;
    out.push_back(
        notice(*input.words, Level::caution,
               input.words->sentence("next.needle_elsewhere", {arg_text("insulin", pen.insulin)})));
  }
}

// What the prescriber added to "keep the dose": it may say otherwise (H37).
Rich answer_text(const CardInput& input) {
  const auto& dose = *input.dose;
  const order::Question* last = nullptr;
  for (const auto& question : input.person->order.questions) {
    if (!question.answer || !question.concerns(dose.line->id)) continue;
    if (last == nullptr || last->answer->when.at <= question.answer->when.at) last = &question;
  }
  if (last == nullptr || last->answer->answer != journal::AnswerKind::keep_dose ||
      last->answer->text.empty() || dose.line->recorded.at > last->answer->recorded.at)
    return {};
  return input.words->sentence(
      "next.prescriber_added",
      {arg_text("by", last->answer->by), arg_text("text", last->answer->text),
       arg_text("when", input.words->moment(last->answer->when))});
}

// What was asked when the line was copied stands where the dose is given as well (H25, H61, H63).
Rich childs_dose_text(const CardInput& input) {
  journal::Fact copy;
  copy.happened = input.dose->due.at;
  copy.payload = input.dose->line->text;
  const auto odd = by_age::oddity(copy, by_age::known_of(input.person->person));
  return odd ? input.words->sentence("next." + odd->code, odd->args) : Rich{};
}

json::Value sick_day_notice(const Words& words, Level level, const std::string& sick_day) {
  // The second check reads doses and times, and none of these words (H40, H60).
  return notice(
      words, level,
      words.sentence(order::holds_number(sick_day) ? "next.sick_day_number" : "next.sick_day",
                     {arg_text("text", sick_day)}));
}

// How the window counts stands in its own step; and of a divided dose the card is about the first
// injection, whose prime was seen (H58).
bool is_said_elsewhere(const CardInput& input, const dial::Caution& caution) {
  using namespace dial::dial_cautions;
  if (caution.code == window_returns || caution.code == window_counts_on) return true;
  if (caution.code != flow_assumed && caution.code != flow_assumed_window) return false;
  const auto& actions = planned(input).plan.actions;
  const auto first = std::ranges::find_if(actions, [](const dial::Action& action) {
    return action.what == dial::Do::prime || action.what == dial::Do::dial;
  });
  return first != actions.end() && first->what == dial::Do::dial;
}

// The plan knows the cartridges of its own pen: the next dose may be in another one that serves.
bool another_gives(const CardInput& input, Units next_dose) {
  if (input.dose == nullptr) return false;
  return std::ranges::any_of(input.dose->others, [&](const interlock::OtherPen& other) {
    const auto* in_it =
        other.pen->cartridge ? input.person->ledger.cartridge(*other.pen->cartridge) : nullptr;
    return other.why.code == interlock::other_pens::ready && in_it != nullptr &&
           in_it->at_least() >= sum(next_dose, other.pen->copy.prime);
  });
}

Rich caution_text(const CardInput& input, const dial::Caution& caution) {
  const auto next = std::ranges::find(caution.args, "next_dose", &Arg::name);
  if (caution.code == dial::dial_cautions::nothing_for_next && next != caution.args.end() &&
      another_gives(input, Units::from_hundredths(next->number).value_or(Units::zero())))
    return input.words->sentence("next.other_pen_next", {*next});
  return input.words->sentence(caution.code, with_places(caution.args, input));
}

}  // namespace

// Whoever is ill is told what the order says for it, on the very card that holds the number (H47).
json::Value cautions_of_held(const CardInput& input, const interlock::Held& held) {
  std::vector<json::Value> out;
  const auto sick_day = std::ranges::find(held.error.args, "sick_day", &Arg::name);
  if (sick_day != held.error.args.end())
    out.push_back(sick_day_notice(*input.words, Level::stop, sick_day->text));
  const auto told = std::ranges::find(held.error.args, "told", &Arg::name);
  if (told != held.error.args.end())
    out.push_back(notice(*input.words, Level::stop, input.words->sentence("held.told", {*told})));
  // Which pen the refusal is about, and why the others give the dose no more than this one.
  if (input.dose != nullptr && !input.dose->others.empty() &&
      (held.today == interlock::Today::other_source || held.today == interlock::Today::get_more)) {
    const auto& words = *input.words;
    out.push_back(notice(
        words, Level::stop,
        words.sentence("held.pen",
                       {arg_text("take", pen_title(words, *input.person, *input.dose)),
                        arg_text("others", other_pens_text(words, *input.person, *input.dose))})));
  }
  // What lies there and must not be used is named where somebody is sent to look (H61).
  for (const auto& aside : held.set_aside)
    out.push_back(notice(*input.words, Level::stop,
                         aside_text(*input.words, input.dose->pen->copy.takes, aside)));
  return list(std::move(out));
}

json::Value cautions_of(const CardInput& input) {
  std::vector<json::Value> out;
  if (input.dose != nullptr) {
    if (input.dose->near)
      out.push_back(notice(*input.words, Level::stop, near_text(*input.words, *input.dose)));
    // What nobody knows is said once, with what is done about it now.
    const bool is_told = input.dose->before && input.dose->done && input.dose->done->is_unknown;
    if (input.dose->done && !is_told)
      out.push_back(notice(*input.words, Level::caution,
                           done_text(*input.words, *input.person, *input.dose)));
  }
  if (input.dose != nullptr)
    if (auto before = before_text(*input.words, *input.dose); !before.empty())
      out.push_back(notice(*input.words, Level::caution, before));
  if (input.dose != nullptr) {
    const auto add = [&](Level level, const Rich& said) {
      if (!said.empty()) out.push_back(notice(*input.words, level, said));
    };
    for (const auto& said : beside_texts(*input.words, *input.person, *input.dose, input.now))
      add(Level::caution, said);
    add(Level::caution, answer_text(input));
    if (!input.until_it_flows) add(Level::caution, childs_dose_text(input));
  }
  say_needle_elsewhere(input, out);
  for (const auto& aside : planned(input).set_aside)
    out.push_back(
        notice(*input.words, Level::stop, aside_text(*input.words, planned(input).takes, aside)));
  for (const auto& doubt : planned(input).doubts)
    out.push_back(notice(*input.words, Level::caution, doubt_text(*input.words, doubt)));
  for (const auto& note : input.first_notes)
    out.push_back(notice(*input.words, Level::caution, note));
  for (const auto& caution : planned(input).plan.cautions) {
    if (is_said_elsewhere(input, caution) || input.until_it_flows) continue;
    out.push_back(notice(*input.words, Level::caution, caution_text(input, caution)));
  }
  if (input.dose != nullptr && !input.dose->line->text.sick_day.empty())  // H47
    out.push_back(sick_day_notice(*input.words, Level::note, input.dose->line->text.sick_day));
  if (records(input)) {
    const auto offered = needles_to_offer(input);
    const bool taught = std::ranges::any_of(offered, [&](const auto* entry) {
      return input.person->person.taught_needle(entry->code);
    });
    if (!taught)
      out.push_back(
          notice(*input.words, Level::caution, input.words->sentence("next.needle_untaught")));
  }
  return list(std::move(out));
}

}  // namespace penstock::pages::card
