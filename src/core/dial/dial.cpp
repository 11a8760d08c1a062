#include "core/dial/dial.hpp"

#include <algorithm>
#include <utility>

#include "core/dial/internal/check.hpp"

namespace penstock::dial {
namespace {

/// What the request means, worked out once.
struct Case {
  const DialRequest& request;
  draw::Rules rules;
  Units next_dose;
  std::vector<draw::AtHand> at_hand;        // those that may serve
  std::vector<std::size_t> listed;          // their places in the request's list
  std::optional<draw::OnNeedle> on_needle;  // on the first of them

  std::size_t place(std::size_t serving) const { return listed[serving]; }
  const Cartridge& cartridge(std::size_t place) const { return request.cartridges[place]; }
};

std::int32_t days_in_use(const Cartridge& cartridge) { return cartridge.days_in_use.value_or(0); }

/// H12: the day of first use is 0, and it serves while its days are fewer than the label's.
bool serves(const Cartridge& cartridge) { return days_in_use(cartridge) < cartridge.in_use_days; }

/// New when it says so, or says nothing, has 0 days, and no spent prime is on it.
bool is_new(const Cartridge& cartridge, bool spent_on_it) {
  if (cartridge.is_new) return *cartridge.is_new;
  return days_in_use(cartridge) == 0 && !spent_on_it;
}

draw::Rules rules_of(const DialRequest& r) {
  return {.step = r.pen.step,
          .most = r.pen.most,
          .window = *r.pen.window,
          .prime = r.prime.units,
          .prime_new_cartridge = r.prime.new_cartridge.value_or(r.prime.units),
          .suspension = r.insulin.suspension,
          .least_left_to_mix = r.insulin.least_left_to_mix.value_or(Units::zero())};
}

Units next_dose_of(const DialRequest& r) {
  if (r.next_doses) return r.next_doses->front();
  const Units again = r.part_of.value_or(r.dose);
  return is_multiple(again, r.pen.step) ? again : r.dose;
}

bool something_was_pressed(const Prime& prime) {
  return !prime.spent.is_zero() || prime.flow_seen || prime.dry_primes > 0;
}
bool is_needle_on(const Prime& prime) {
  return prime.needle_on.value_or(something_was_pressed(prime));
}

/// Of what went through the needle that is on, what belongs to the prime that is under way. After a
/// dry one the whole prime is pressed again, never one unit of it, and what an old needle took
/// primes no new one (H64).
Units under_way(const Prime& prime) {
  if (prime.dry_primes > 0) return Units::zero();
  return prime.through_needle.value_or(prime.needle_changed ? Units::zero() : prime.spent);
}

std::optional<draw::OnNeedle> needle_of(const Prime& prime) {
  if (!something_was_pressed(prime) && !is_needle_on(prime)) return {};
  draw::OnNeedle on;
  on.spent = prime.spent;
  if (!is_needle_on(prime)) {
    on.change = true;
    return on;
  }
  on.primed = under_way(prime);
  on.flow_seen = prime.flow_seen;
  on.change =
      !prime.flow_seen && !prime.needle_changed && prime.dry_primes >= dry_primes_for_new_needle;
  return on;
}

Case case_of(const DialRequest& r) {
  Case c{r, rules_of(r), next_dose_of(r), {}, {}, needle_of(r.prime)};
  c.at_hand.reserve(r.cartridges.size());
  c.listed.reserve(r.cartridges.size());
  for (std::size_t i = 0; i < r.cartridges.size(); ++i) {
    const Cartridge& cartridge = r.cartridges[i];
    if (!serves(cartridge)) continue;
    const bool first = c.at_hand.empty();
    c.at_hand.push_back({.left = cartridge.left,
                         .is_new = is_new(cartridge, first && !r.prime.spent.is_zero()),
                         .sealed = cartridge.is_new.value_or(false),
                         .days_to_end = cartridge.in_use_days - days_in_use(cartridge)});
    c.listed.push_back(i);
  }
  return c;
}

Error refusal(std::string_view code, std::string_view at, std::vector<Arg> args) {
  return {Kind::refused, std::string(code), std::move(args), std::string(at)};
}

Error refusal_of(const draw::NoChoice& no, const DialRequest& r) {
  switch (no.why) {
    case draw::Why::prime_fills_window:
      return refusal(dial_codes::prime_fills_window, "/pen/most_units",
                     {arg_units("pen_most", r.pen.most), arg_units("dose", r.dose)});
    case draw::Why::too_little_to_mix:
      return refusal(dial_codes::mix_too_little, "/cartridges",
                     {arg_units("least", r.insulin.least_left_to_mix.value_or(Units::zero())),
                      arg_units("dose", r.dose)});
    case draw::Why::only_by_splitting:
      return refusal(dial_codes::only_by_splitting, "/cartridges",
                     {arg_units("dose", r.dose), arg_units("most_alone", no.most_alone)});
    case draw::Why::too_little:
      break;
  }
  return refusal(dial_codes::cartridge_short, "/cartridges",
                 {arg_units("dose", r.dose), arg_units("most_together", no.most_together),
                  arg_units("missing", difference(r.dose, no.most_together))});
}

// ---- the actions

/// On a pen that counts on, for each number of units primed when insulin shows, the window. From
/// the planned prime on, a step at a time, to two more whole primes (three in all, then a new
/// needle), and no further than window and cartridge allow.
std::vector<WindowRow> rows_of(const Case& c, const draw::Part& part, Units left) {
  std::vector<WindowRow> rows;
  if (c.rules.window != shelf::Window::counts_on || part.primed.is_zero()) return rows;
  const std::int64_t step = c.rules.step.hundredths();
  const bool fresh = c.at_hand[part.cartridge].is_new;
  const std::int64_t rule = draw::prime_in_steps(c.rules, fresh).hundredths();
  const std::int64_t planned = part.spent.hundredths() + part.primed.hundredths();
  const std::int64_t dose = part.dose.hundredths();
  const std::int64_t most = std::min({planned + 2 * rule, c.rules.most.hundredths() - dose,
                                      part.spent.hundredths() + left.hundredths() - dose});
  if (most >= planned) rows.reserve(static_cast<std::size_t>((most - planned) / step + 1));
  for (std::int64_t primed = planned; primed <= most; primed += step) {
    rows.push_back({*Units::from_hundredths(primed), *Units::from_hundredths(primed + dose)});
  }
  return rows;
}

/// Writes the actions of all parts, keeping in mind what is in the pen and what is left in it.
class Writer {
 public:
  Writer(const Case& c, const draw::Choice& choice, std::vector<Action>& actions)
      : c_(c), choice_(choice), actions_(actions) {
    for (const draw::AtHand& a : c.at_hand) left_.push_back(a.left);
    needle_on_ = is_needle_on(c.request.prime);
    // The first in the list is in the pen; a needle that is on, or units that are in the window's
    // count, are on the first that may serve.
    in_pen_ = c.on_needle ? c.place(0) : 0;
    actions_.reserve(choice.parts.size() * 10 + c.request.cartridges.size());
  }

  void write() {
    for (const draw::Part& part : choice_.parts) inject(part);
  }

 private:
  Action& add(Do what, const draw::Part& part) {
    actions_.push_back({.what = what,
                        .cartridge = c_.place(part.cartridge),
                        .part_of = {},
                        .left = left_[part.cartridge],
                        .window_by_prime = {}});
    return actions_.back();
  }

  void inject(const draw::Part& part) {
    const std::size_t place = c_.place(part.cartridge);
    if (c_.request.insulin.suspension) add(Do::mix, part);
    if (needle_on_ && (place != in_pen_ || c_.on_needle->change)) {
      add(Do::needle_off, part).cartridge = in_pen_;
      actions_.back().left = left_[0];
      needle_on_ = false;
    }
    if (place != in_pen_) add(Do::change_cartridge, part);
    in_pen_ = place;
    add(Do::look_at_insulin, part);
    if (!needle_on_) add(Do::fit_needle, part);
    press(part);
    add(Do::needle_off, part);
    needle_on_ = false;
  }

  void press(const draw::Part& part) {
    Units& left = left_[part.cartridge];
    const Units before = left;
    if (!part.primed.is_zero()) {
      left = difference(left, part.primed);
      Action& prime = add(Do::prime, part);
      prime.primed = part.primed;
      if (c_.rules.window == shelf::Window::counts_on) prime.window = part.spent;
    }
    Action& dial = add(Do::dial, part);
    dial.dose = part.dose;
    dial.window = part.window;
    const Units whole = c_.request.part_of.value_or(c_.request.dose);
    if (part.dose != whole) dial.part_of = whole;
    dial.window_by_prime = rows_of(c_, part, before);
    left = difference(left, part.dose);
    Action& inject = add(Do::inject, part);
    inject.dose = part.dose;
    inject.hold_seconds = c_.request.pen.hold_seconds;
    const bool returns = c_.rules.window == shelf::Window::returns_to_zero;
    Action& check = add(returns ? Do::check_window_at_0 : Do::check_window, part);
    if (!returns) check.window = part.window;
  }

  const Case& c_;
  const draw::Choice& choice_;
  std::vector<Action>& actions_;
  std::vector<Units> left_;
  std::size_t in_pen_ = 0;
  bool needle_on_ = false;
};

/// Whether something listed gives the next dose as well.
bool gives_next(const Case& c, const draw::Choice& choice) {
  for (std::size_t i = 0; i < c.at_hand.size(); ++i) {
    const bool untouched = choice.left_after[i] == c.at_hand[i].left;
    const auto needs = draw::needed(c.rules, c.next_dose, untouched && c.at_hand[i].is_new);
    if (!choice.thrown_away[i] && needs && *needs <= choice.left_after[i]) return true;
  }
  return false;
}

/// What the one in the pen would need for this dose alone; nothing: it gives some of it, or does
/// not stay in the pen for its sake, or the window is the reason.
bool is_short(const Case& c, const draw::Choice& choice, std::size_t serving) {
  if (!c.request.keep_in_pen || serving != 0 || c.at_hand.front().sealed) return false;
  const bool used =
      std::ranges::any_of(choice.parts, [](const draw::Part& part) { return part.cartridge == 0; });
  const auto& in_pen = c.at_hand.front();
  const auto needs = draw::needed(c.rules, c.request.dose, in_pen.is_new);
  return !used && needs && *needs > in_pen.left;
}

/// Enough for the dose, were it not for the mixing (H43).
bool is_short_to_mix(const Case& c, std::size_t serving) {
  if (!c.rules.suspension) return false;
  auto clear = c.rules;
  clear.least_left_to_mix = Units::zero();
  const auto needs = draw::needed(clear, c.request.dose, c.at_hand[serving].is_new);
  return needs && *needs <= c.at_hand[serving].left;
}

/// Kept for a smaller dose to come it would never be in the pen again: changed for this dose it
/// goes, where something else gives the next one (H58).
void leave_behind(const Case& c, draw::Choice& choice) {
  if (!is_short(c, choice, 0) || choice.thrown_away[0]) return;
  auto without = choice;
  without.thrown_away[0] = true;
  if (!gives_next(c, without)) return;
  choice.thrown_away[0] = true;
  choice.thrown[0] = std::exchange(choice.left_after[0], Units::zero());
  choice.wasted = sum(choice.wasted, choice.thrown[0]);
}

/// Thrown away for this dose's sake alone: for the next one it would be enough.
bool is_short_of_dose(const Case& c, const draw::Choice& choice, std::size_t serving) {
  if (!is_short(c, choice, serving)) return false;
  const auto& in_pen = c.at_hand[serving];
  const auto next = draw::needed(c.rules, c.next_dose, in_pen.is_new);
  return next && *next <= in_pen.left;
}

/// What is left of every cartridge; those past their days go, whatever is in them: they cannot give
/// the next dose either. Thrown away last: nothing goes before the dose is in (H38).
void finish(const Case& c, const draw::Choice& choice, DialPlan& plan) {
  std::size_t serving = 0;
  const bool next = gives_next(c, choice);
  plan.left_after.reserve(c.request.cartridges.size());
  for (std::size_t i = 0; i < c.request.cartridges.size(); ++i) {
    const Cartridge& cartridge = c.cartridge(i);
    const bool at_hand = serving < c.listed.size() && c.place(serving) == i;
    const bool goes = !at_hand || choice.thrown_away[serving];
    const Units thrown = at_hand ? choice.thrown[serving] : cartridge.left;
    const Units left = at_hand ? choice.left_after[serving] : Units::zero();
    plan.left_after.push_back({cartridge.id, left, goes});
    if (goes) {
      plan.actions.push_back({.what = Do::throw_away,
                              .cartridge = i,
                              .part_of = {},
                              .left = thrown,
                              .window_by_prime = {},
                              .keep_until_next = at_hand && !next && !thrown.is_zero(),
                              .short_of_dose = at_hand && is_short_of_dose(c, choice, serving)});
      plan.thrown_away = sum(plan.thrown_away, thrown);
    }
    serving += at_hand ? 1U : 0U;
  }
}

// ---- the cautions, in the order in which they matter

/// What was probably typed wrong, or is not what the shelf knows: the numbers stand, and it is said
/// first.
void say_odd(const Case& c, const draw::Part& first, std::vector<Caution>& all) {
  const DialRequest& r = c.request;
  if (r.dose > dose_usual_most) {
    all.push_back({dial_cautions::dose_unusual,
                   {arg_units("dose", r.dose), arg_units("most", dose_usual_most)}});
  }
  // Insulin shows only where some was pressed out, and on this pen that stands in the window.
  const bool unprimed = c.on_needle && c.on_needle->flow_seen && r.prime.spent.is_zero();
  if (unprimed && c.rules.window == shelf::Window::counts_on) {
    all.push_back({dial_cautions::flow_unprimed, {arg_units("window", first.window)}});
  }
  for (const Cartridge& cartridge : r.cartridges) {
    if (cartridge.in_use_days <= shelf::limits::in_use_days.most) continue;
    all.push_back({dial_cautions::in_use_unusual,
                   {arg_text("cartridge", cartridge.id), arg_count("days", cartridge.in_use_days),
                    arg_count("most", shelf::limits::in_use_days.most)}});
  }
}

void say_window(const Case& c, const draw::Part& first, std::vector<Caution>& all) {
  if (c.rules.window == shelf::Window::counts_on) {
    all.push_back({dial_cautions::window_counts_on,
                   {arg_units("window", first.window), arg_units("dose", first.dose),
                    arg_units("primed", sum(first.spent, first.primed))}});
  } else {
    all.push_back({dial_cautions::window_returns, {arg_units("window", first.window)}});
  }
}

void say_flow(const Case& c, const draw::Choice& choice, std::vector<Caution>& all) {
  const bool on_first = c.on_needle && choice.parts.front().cartridge == 0;
  if (on_first && c.on_needle->change && c.request.prime.dry_primes >= dry_primes_for_new_needle) {
    all.push_back({dial_cautions::new_needle, {arg_count("primes", c.request.prime.dry_primes)}});
  }
  for (const draw::Part& part : choice.parts) {
    if (part.primed.is_zero()) continue;
    // What dry primes took stands in a window that counts on; of another it is no part (H01, H58).
    if (c.rules.window == shelf::Window::counts_on) {
      all.push_back({dial_cautions::flow_assumed_window,
                     {arg_units("primed", sum(part.spent, part.primed))}});
    } else {
      all.push_back({dial_cautions::flow_assumed, {arg_units("primed", part.primed)}});
    }
    break;
  }
  for (std::size_t i = 0; i < choice.parts.size(); ++i) {
    const draw::Part& part = choice.parts[i];
    const bool first_on_it = i == 0 || choice.parts[i - 1].cartridge != part.cartridge;
    if (!first_on_it || part.primed.is_zero() || !c.at_hand[part.cartridge].is_new) continue;
    all.push_back({dial_cautions::new_may_take_more,
                   {arg_text("cartridge", c.cartridge(c.place(part.cartridge)).id),
                    arg_units("primed", part.primed)}});
  }
}

void say_parts(const Case& c, const draw::Choice& choice, std::vector<Caution>& all) {
  const DialRequest& r = c.request;
  if (r.part_of) {
    all.push_back(
        {dial_cautions::rest_of_dose, {arg_units("dose", r.dose), arg_units("of", *r.part_of)}});
  }
  const auto& parts = choice.parts;
  if (parts.size() == 1) return;
  std::int64_t cartridges = 1;
  for (std::size_t i = 1; i < parts.size(); ++i) {
    cartridges += parts[i].cartridge != parts[i - 1].cartridge ? 1 : 0;
  }
  if (cartridges > 1) {
    all.push_back(
        {dial_cautions::split, {arg_units("dose", r.dose), arg_count("cartridges", cartridges)}});
  }
  if (static_cast<std::int64_t>(parts.size()) > cartridges) {
    all.push_back({dial_cautions::divided,
                   {arg_units("dose", r.dose),
                    arg_count("injections", static_cast<std::int64_t>(parts.size()))}});
  }
}

void say_days(const Case& c, const draw::Choice& choice, std::vector<Caution>& all) {
  for (const Cartridge& cartridge : c.request.cartridges) {
    if (serves(cartridge)) continue;
    all.push_back({dial_cautions::past_in_use,
                   {arg_text("cartridge", cartridge.id), arg_count("days", days_in_use(cartridge)),
                    arg_count("in_use_days", cartridge.in_use_days)}});
  }
  for (std::size_t i = 0; i < choice.parts.size(); ++i) {
    const std::size_t at = choice.parts[i].cartridge;
    if (i > 0 && choice.parts[i - 1].cartridge == at) continue;
    if (c.at_hand[at].days_to_end == 1 && !choice.thrown_away[at]) {
      all.push_back(
          {dial_cautions::last_day, {arg_text("cartridge", c.cartridge(c.place(at)).id)}});
    }
  }
}

void say_rests(const Case& c, const draw::Choice& choice, std::vector<Caution>& all) {
  const bool next = gives_next(c, choice);
  for (std::size_t i = 0; i < c.at_hand.size(); ++i) {
    const std::string& id = c.cartridge(c.place(i)).id;
    // What is true of this dose is said before what is true of the next one.
    const bool is_short_now = is_short_of_dose(c, choice, i) || (next && is_short(c, choice, i));
    if (!choice.thrown[i].is_zero() && is_short_now) {
      all.push_back(
          {is_short_to_mix(c, i) ? dial_cautions::rest_short_to_mix : dial_cautions::rest_short,
           {arg_text("cartridge", id), arg_units("left", choice.thrown[i]),
            arg_units("dose", c.request.dose), arg_units("least", c.rules.least_left_to_mix)}});
    } else if (!choice.thrown[i].is_zero()) {
      all.push_back({next ? dial_cautions::rest_thrown_away : dial_cautions::rest_kept,
                     {arg_text("cartridge", id), arg_units("left", choice.thrown[i]),
                      arg_units("next_dose", c.next_dose)}});
    }
    const Units most =
        *Units::from_hundredths(std::int64_t{c.request.insulin.strength.units_per_ml} *
                                300);  // 3 mL, in hundredths of a unit
    if (c.at_hand[i].left > most) {
      all.push_back({dial_cautions::more_than_cartridge,
                     {arg_text("cartridge", id), arg_units("left", c.at_hand[i].left),
                      arg_units("most", most)}});
    }
  }
  if (!next)
    all.push_back({dial_cautions::nothing_for_next, {arg_units("next_dose", c.next_dose)}});
}

void say(const Case& c, const draw::Choice& choice, std::vector<Caution>& all) {
  all.reserve(8);
  say_odd(c, choice.parts.front(), all);
  say_parts(c, choice, all);
  say_window(c, choice.parts.front(), all);
  say_flow(c, choice, all);
  say_days(c, choice, all);
  if (c.request.insulin.suspension && !c.request.insulin.least_left_to_mix) {
    all.push_back({dial_cautions::least_to_mix_unknown, {}});
  }
  say_rests(c, choice, all);
}

}  // namespace

std::optional<bool> known_cloudy(const Insulin& insulin) {
  return shelf::of_the_program().is_cloudy(insulin.name);
}

Result<DialPlan> plan(const DialRequest& request) {
  if (auto wrong = internal::wrong(request)) return *std::move(wrong);
  const Case c = case_of(request);
  if (c.at_hand.empty()) {
    return refusal(dial_codes::all_past_in_use, "/cartridges",
                   {arg_count("cartridges", static_cast<std::int64_t>(request.cartridges.size())),
                    arg_units("dose", request.dose)});
  }
  auto choice =
      draw::choose(c.rules, c.at_hand,
                   {.dose = request.dose,
                    .next_dose = c.next_dose,
                    .prefer = request.prefer,
                    .split = request.split,
                    .on_needle = c.on_needle,
                    .stays = request.keep_in_pen ? std::optional(std::size_t{0}) : std::nullopt});
  if (!choice) return refusal_of(choice.error(), request);
  leave_behind(c, *choice);
  DialPlan plan;
  Writer(c, *choice, plan.actions).write();
  plan.given = request.dose;
  plan.needles = static_cast<std::int32_t>(choice->parts.size());
  plan.primed = choice->primed;
  finish(c, *choice, plan);
  say(c, *choice, plan.cautions);
  return plan;
}

std::span<const std::string_view> refusals() {
  using namespace dial_codes;
  static constexpr std::string_view all[] = {
      dose_none,          dose_limit,        insulin_unnamed,     strength_limit,
      cloudy_as_clear,    clear_as_cloudy,   window_unknown,      step_limit,
      most_limit,         hold_limit,        dose_not_in_steps,   part_of_limit,
      prime_limit,        spent_limit,       spent_not_in_steps,  through_limit,
      dry_limit,          dry_spent,         next_dose_limit,     next_dose_not_in_steps,
      least_to_mix_limit, no_cartridge,      too_many_cartridges, cartridge_id,
      cartridge_twice,    left_limit,        in_use_days_limit,   days_in_use_unknown,
      days_in_use_limit,  no_flow,           all_past_in_use,     prime_fills_window,
      mix_too_little,     only_by_splitting, cartridge_short};
  return all;
}

std::span<const std::string_view> cautions() {
  using namespace dial_cautions;
  static constexpr std::string_view all[] = {dose_unusual,
                                             flow_unprimed,
                                             in_use_unusual,
                                             rest_of_dose,
                                             split,
                                             divided,
                                             window_counts_on,
                                             window_returns,
                                             new_needle,
                                             flow_assumed,
                                             flow_assumed_window,
                                             new_may_take_more,
                                             past_in_use,
                                             last_day,
                                             least_to_mix_unknown,
                                             rest_thrown_away,
                                             rest_short,
                                             rest_short_to_mix,
                                             rest_kept,
                                             more_than_cartridge,
                                             nothing_for_next};
  return all;
}

DialRequest example() {
  DialRequest r;
  r.dose = 18_units;
  r.insulin = {"insulin glargine", Strength{100}, false, {}};
  r.pen = {1_units, 60_units, shelf::Window::counts_on, 10};
  r.prime.units = 2_units;
  r.prime.new_cartridge = 4_units;
  r.prime.spent = 3_units;
  r.prime.flow_seen = true;
  r.cartridges.push_back({"A", 247_units, 6, 28, {}});
  return r;
}

}  // namespace penstock::dial
