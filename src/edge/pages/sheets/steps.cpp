// The large-print sheet: one injection, one day, one page. None for a dose in question (H37, H48).
#include <algorithm>

#include "edge/drawing/pens/pens.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/kit/who.hpp"
#include "edge/pages/next/next.hpp"
#include "edge/pages/sheets/internal/no_sheet.hpp"
#include "edge/pages/sheets/sheets.hpp"

namespace penstock::pages {
namespace {

using namespace journal;
using drawing::Hand;

std::optional<order::Due> due_for(const Chart& person, const SheetQuery& query, LocalDay day) {
  for (const auto& due : order::due_on(person.order, day, person.zone)) {
    const bool line = !query.line || due.line == *query.line;
    const bool slot = query.slot.empty() || word_of(due.name) == query.slot;
    if (line && slot) return due;
  }
  return std::nullopt;
}

Error nothing_due(LocalDay day) {
  return {Kind::not_found, std::string(codes::nothing_due), {arg_date("day", day)}, ""};
}

// With the needle and the prime of its own hour (H15, H48).
interlock::Dose on_paper(const Chart& person, const Clinic& clinic, const order::Due& due,
                         const When& now) {
  interlock::SaidOfDose said;
  said.on_paper = true;
  return interlock::decide(person, interlock::house_of(clinic), due, now, said);
}

// The card's own dose, so that paper and screen never speak of two (H07, H48).
Result<interlock::Dose> next_dose(const Chart& person, const Clinic& clinic, const When& now) {
  auto agenda = interlock::agenda_of(person, interlock::house_of(clinic), now);
  if (agenda.next) return on_paper(person, clinic, agenda.next->due, now);
  if (!agenda.unrecorded.empty()) return std::move(agenda.unrecorded.front());
  if (!agenda.ask_first.empty()) return std::move(agenda.ask_first.front());
  return nothing_due(now.day());
}

Result<interlock::Dose> dose_of(const Chart& person, const Clinic& clinic, const SheetQuery& query,
                                const When& now) {
  if (!query.line && query.slot.empty() && !query.day) return next_dose(person, clinic, now);
  const auto day = query.day.value_or(now.day());
  const auto due = due_for(person, query, day);
  if (!due) return nothing_due(day);
  if (due->to.at < now.at) {
    return Error{Kind::refused,
                 std::string(codes::sheet_past),
                 {arg_text("time", format_iso(due->at.minute())), arg_date("day", due->day)},
                 ""};
  }
  // What is given until a day further ahead changes cartridge, needle and dose (H28, H48). A weekly
  // line's next dose may lie there.
  if (day > now.day() + std::chrono::days{1}) {
    auto next = next_dose(person, clinic, now);
    if (!next || next->due != *due)
      return Error{Kind::refused, std::string(codes::sheet_far), {arg_date("day", day)}, ""};
  }
  return on_paper(person, clinic, *due, now);
}

struct SheetWriter {
  const Words& words;
  const ClearedPlan& plan;
  drawing::Action mark;
  Way way;
  std::string place;  ///< in the person's own words; empty: no place plan
  const Chart& person;
  const interlock::Dose& dose;
  std::vector<json::Value> steps{};
  int number = 0;
  bool loaded = false;
  bool primed = false;
  std::optional<std::size_t> changed_to{};  ///< mixed after it was put in, and put in once
  std::optional<std::size_t> in_pen{};      ///< the cartridge that was dialled from last

  std::string picture(Hand step) const {
    drawing::HandDrawing drawn;
    drawn.step = step;
    drawn.action = mark;
    drawn.percent = 93;
    return drawing::hand(drawn);
  }

  void add(std::string_view key, std::vector<Arg> args = {}, std::string_view drawn = {},
           bool is_dose = false) {
    args.push_back(interlock::arg_pen_kind(plan->takes));
    const auto more = "sheet." + std::string(key) + ".text";
    steps.push_back(
        json::object({{"n", text(std::to_string(++number))},
                      {"title", text(said(words, "sheet." + std::string(key), args))},
                      {"text", words.has_sentence(more) ? say(words, more, args) : list()},
                      {"picture", svg(drawn)},
                      {"dose", json::boolean(is_dose)}}));
  }

  // It is taken within the half hour in which the prime counts; a sheet cannot see that it is over.
  void add_primed(const Chart& person) {
    const auto last = interlock::last_prime(person, *dose.pen);
    if (!last) return;
    const auto hour = [&](Instant at) { return format_iso(person.zone.when(at).minute()); };
    add("primed", {arg_text("time", hour(last->at)),
                   arg_text("until", hour(last->at + interlock::prime_holds))});
  }

  void add_pen(const std::string& title, const std::string& others) {
    if (title.empty()) return;
    add("pen", {arg_text("pen", title)});
    add_words(others);
  }

  // H46, H63: whose needle it is, as on the card.
  void add_needle() {
    add(way.rule.safety_only ? "needle_other" : "needle");
    add_words(needle_words(words, way));
  }

  // The plan takes its first cartridge for the one in the pen; a sealed one has to get there first,
  // and why the other is not used stands beside it (H12, H61).
  void load_first(const dial::Action& action) {
    if (loaded || action.what == dial::Do::needle_off) return;
    loaded = true;
    if (action.what == dial::Do::change_cartridge || !plan->sources[action.cartridge].goes_in())
      return;
    add_change(action);
  }
  void add_change(const dial::Action& action) {
    if (changed_to == action.cartridge) return;
    changed_to = action.cartridge;
    add(change_key(*plan, &dose, action),
        {arg_units("left", plan->request.cartridges[action.cartridge].left)});
    const auto more = change_words(words, *plan, action);
    add_words(more.empty() ? more : more.substr(1));
    for (const auto& aside : plan->set_aside)
      add_words(words::plain(aside_text(words, plan->takes, aside)));
  }

  void add_words(const std::string& more) {
    if (more.empty()) return;
    for (auto& member : steps.back().members) {
      if (member.key != "text") continue;
      const bool first = member.value.members.empty();
      member.value.members.emplace_back("", json::string(first ? more : " " + more));
    }
  }

  void write(const dial::Action& action) {
    load_first(action);
    const bool counts_on = plan->request.pen.window == shelf::Window::counts_on;
    switch (action.what) {
      case dial::Do::mix:
        add("mix", {}, picture(Hand::mix_roll));
        break;
      case dial::Do::look_at_insulin:
        add(plan->request.insulin.suspension ? "look_cloudy" : "look_clear");
        for (const auto& doubt : plan->doubts) add_words(words::plain(doubt_text(words, doubt)));
        add(place.empty() ? "place" : "place_planned", {arg_text("place", place)});
        break;
      case dial::Do::change_cartridge:
        add_change(action);
        break;
      case dial::Do::fit_needle:
        add_needle();
        break;
      case dial::Do::prime:
        primed = true;
        // What stands in a window that counts on would be part of every number after it (H01).
        add(counts_on && action.window.is_zero() ? "prime_on" : "prime",
            {arg_units("prime", action.primed)}, picture(Hand::prime));
        break;
      case dial::Do::dial:
        if (!primed) add_primed(person);
        // A window that counts on gets no fixed number on paper, but the table under the steps
        // (H01).
        if (counts_on) {
          add("dial_table", {arg_units("dose", action.dose)}, {}, true);
        } else {
          add("dial", {arg_units("window", action.window)},
              drawing::dose_window(interlock::window_of(plan, action), drawing::WindowSize::large),
              true);
        }
        break;
      case dial::Do::inject:
        in_pen = action.cartridge;
        add("inject" + way.key, way.args);
        add(counts_on ? "hold_on" : "hold", {arg_count("seconds", action.hold_seconds)},
            drawing::hold_rings(std::max(1, action.hold_seconds)));
        break;
      case dial::Do::needle_off:
        add(way.rule.safety_only ? "off_other" : "off");
        break;
      case dial::Do::throw_away:
        // The one that went before is out of the pen already (H02, H51); the last there is stays
        // (H38).
        add(action.keep_until_next       ? "throw_later"
            : in_pen == action.cartridge ? "throw"
                                         : "throw_old");
        break;
      case dial::Do::check_window_at_0:
      case dial::Do::check_window:
        break;
    }
  }
};

bool is_after_a_dose(dial::Do what) {
  return what == dial::Do::needle_off || what == dial::Do::throw_away ||
         what == dial::Do::check_window || what == dial::Do::check_window_at_0;
}

// All of it: a divided dose has its second injection on the same sheet, and what is left between
// the two (H39).
std::vector<json::Value> steps_of(const Words& words, drawing::Action mark,
                                  const ClearedPlan& cleared, const Way& way,
                                  const std::string& place, const Chart& person,
                                  const interlock::Dose& dose, const When& now) {
  const auto& plan = *cleared;
  SheetWriter writer{words, cleared, mark, way, place, person, dose};
  const auto purpose = dose.line->text.purpose;
  const bool meal = purpose == Purpose::mealtime || purpose == Purpose::premixed;
  writer.add(meal ? "taken_meal" : "taken");
  // What is on record so near, and what changed since the last dose, stands on paper, too (H52,
  // H03, H38, H53).
  if (dose.near) writer.add_words(words::plain(near_text(words, dose)));
  for (const auto& said : beside_texts(words, person, dose, now))
    writer.add_words(words::plain(said));
  writer.add("low_first");
  // At home there is nobody to say which of two pens is meant (H01, H61, H64).
  writer.add_pen(pen_title(words, person, dose), other_pens_text(words, person, dose));
  const bool counts_on = plan.request.pen.window == shelf::Window::counts_on;
  bool given = false;
  Units left = Units::zero();
  const auto& actions = plan.plan.actions;
  for (auto action = actions.begin(); action != actions.end(); ++action) {
    if (given && !is_after_a_dose(action->what)) {
      given = false;
      const auto dial =
          std::ranges::find(action, actions.end(), dial::Do::dial, &dial::Action::what);
      if (dial != actions.end())
        writer.add("second", {arg_units("dose", dial->dose), arg_units("whole", plan.request.dose),
                              arg_units("left", left)});
    }
    writer.write(*action);
    if (action->what != dial::Do::inject) continue;
    given = true;
    left = action->left;
  }
  writer.add(counts_on ? "set_back" : "not_at_zero");
  return std::move(writer.steps);
}

Rich last_line(const Words& words, const Chart& person, const order::Due& sheet,
               const Clinic& clinic) {
  Rich out;
  for (const auto& due : order::due_on(person.order, sheet.day, person.zone)) {
    if (due.at.at <= sheet.at.at) continue;
    const auto* line = person.order.line(due.line);
    const bool held = person.order.state(*line, due.day) != order::State::current;
    out = out +
          words.sentence(held ? "sheet.later_held" : "sheet.later",
                         {arg_text("time", format_iso(due.at.minute())),
                          arg_code("purpose", "paper-dose/" + word_of(line->text.purpose))}) +
          Rich{{" ", false}};
  }
  return out + words.sentence("sheet.phone", {arg_text("clinic", clinic.names.clinic),
                                              arg_text("phone", clinic.names.phone)});
}

// The planned place of that day and slot, four weeks ahead at most.
std::string place_for(const Words& words, const Chart& person, const order::Due& due,
                      const When& now) {
  const auto sites = sites_of(words, person, now);
  const auto* site = sites.for_due(due);
  const auto body = skin::body_of(person.skin);
  return site == nullptr || !body ? "" : capital(place_words(words, site->zone, site->spot, *body));
}

}  // namespace

namespace {

// A dose of this line that is not settled yet comes before every later one: up to then there is no
// other number of it, on paper either (H37, H39).
std::optional<Error> waits(const Chart& person, const interlock::House& house,
                           const order::Due& sheet, const When& now) {
  const auto agenda = interlock::agenda_of(person, house, now);
  const auto held = [&](const interlock::Dose& dose) -> std::optional<Error> {
    const auto* why = interlock::held(dose.verdict);
    const bool earlier = person.order.stands_for(*person.order.line(sheet.line), dose.due.line) &&
                         dose.due.at.at < sheet.at.at;
    return why != nullptr && earlier ? std::optional(why->error) : std::nullopt;
  };
  if (agenda.next) {
    if (auto why = held(*agenda.next)) return why;
  }
  for (const auto* doses : {&agenda.ask_first, &agenda.unrecorded}) {
    for (const auto& dose : *doses) {
      if (auto why = held(dose)) return why;
    }
  }
  return std::nullopt;
}

}  // namespace

namespace {

// What comes before it is taken from the same cartridge: whether that still holds this dose, and
// the next, nobody knows until then (H02, H28, H48).
std::optional<Error> empties_before(const Chart& person, const interlock::Dose& dose,
                                    const interlock::Plan& plan, const When& now) {
  const auto prime = dose.pen->copy.prime;
  Units before = Units::zero();
  for (auto day = now.day() - std::chrono::days{1}; day <= dose.due.day;
       day += std::chrono::days{1}) {
    for (const auto& due : order::due_on(person.order, day, person.zone)) {
      const auto& text = person.order.line(due.line)->text;
      const bool same =
          text.insulin == dose.line->text.insulin && text.strength == dose.line->text.strength;
      if (!same || due.at.at >= dose.due.at.at || due.to.at < now.at ||
          !order::given_for(person.order, due).empty())
        continue;
      before = sum(before, sum(due.units, prime));
    }
  }
  if (before.is_zero()) return std::nullopt;
  const auto& request = plan.request;
  const auto next = request.next_doses ? request.next_doses->front() : request.dose;
  const auto needs = sum(before, sum(sum(request.dose, prime), sum(next, prime)));
  if (!plan.sources.front().goes_in() && request.cartridges.front().left >= needs)
    return std::nullopt;
  return Error{
      Kind::refused, std::string(codes::sheet_before), {arg_date("day", dose.due.day)}, ""};
}

}  // namespace

Result<json::Value> steps_sheet(const Chart& person, const Clinic& clinic, const Caller& caller,
                                const SheetQuery& query) {
  const auto now = now_at(person, caller);
  const auto found = dose_of(person, clinic, query, now);
  if (!found) return found.error();
  const auto& dose = *found;
  if (const auto unfit = internal::no_sheet(person, clinic, now)) return *unfit;
  if (const auto* held = interlock::held(dose.verdict)) return held->error;
  if (auto earlier = waits(person, interlock::house_of(clinic), dose.due, now))
    return *std::move(earlier);
  // A rest is given now, from the screen: a sheet would outlive it (H39).
  if (dose.pending != nullptr)
    return Error{
        Kind::refused, std::string(codes::sheet_rest), {arg_units("rest", dose.pending->rest)}, ""};
  const auto& plan = *interlock::cleared(dose.verdict);
  if (auto before = empties_before(person, dose, *plan, now)) return *std::move(before);
  const auto* due = &dose.due;
  const auto mark = mark_of(clinic.shelf, dose);
  const auto& line = *dose.line;
  auto out = json::object(
      {{"who", who_of(caller.words, person, {}, clinic, now)},
       {"clinic", text(clinic.names.clinic)},
       {"title", text(said(caller.words, "sheet.title", {arg_date("day", due->day)}))},
       {"hour", text(format_iso(due->at.minute()))},
       {"mark", svg(drawing::insulin_mark(mark))},
       {"purpose",
        text(capital(said(caller.words, "sheet.purpose",
                          {arg_code("purpose", "paper-dose/" + word_of(line.text.purpose)),
                           arg_code("when", "with/" + word_of(due->name))})))},
       {"insulin", text(said(caller.words, "insulin_label",
                             {arg_text("insulin", capital(line.text.insulin)),
                              arg_strength("strength", line.text.strength)}))},
       {"dose_text", text(said(caller.words, "dose", {arg_units("dose", plan->request.dose)}))},
       {"order_text", text(version_text(caller.words, line))},
       {"printed_text",
        text(said(caller.words, "sheet.printed", {arg_text("moment", caller.words.moment(now))}))},
       {"steps", list(steps_of(caller.words, mark, plan, way_of(&person, due->day),
                               place_for(caller.words, person, *due, now), person, dose, now))}});
  if (auto table = window_table(caller.words, plan); table.type == json::Type::object)
    json::add(out, "window_table", std::move(table));
  json::add(out, "low", low_box(caller.words, &person, now.day(), clinic));
  auto last = clock_text(caller.words, person, clinic, now);
  if (!last.empty()) last = last + Rich{{" ", false}};
  if (const auto before = before_text(caller.words, dose); !before.empty())
    last = last + before + Rich{{" ", false}};
  json::add(out, "last", rich(last + last_line(caller.words, person, *due, clinic)));
  return out;
}

}  // namespace penstock::pages
