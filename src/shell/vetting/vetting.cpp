// What a fact meets on its way in. Records of what happened are taken, after a question; acts that
// give leave for more are refused.
#include "shell/vetting/vetting.hpp"

#include <algorithm>
#include <type_traits>

#include "core/by_age/by_age.hpp"
#include "core/interlock/interlock.hpp"
#include "core/ledger/recording.hpp"
#include "core/low/low.hpp"
#include "core/order/asked/asked.hpp"
#include "core/order/recording.hpp"
#include "core/watch/watch.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/wire/fact_codec.hpp"
#include "shell/names/names.hpp"
#include "shell/vetting/internal/doses.hpp"
#include "shell/vetting/internal/supplies.hpp"

namespace penstock::vetting {
namespace {

using namespace journal;

// A word at least: "x" tells nobody why.
constexpr std::size_t reason_letters = 3;

Objection refuse(std::string_view code, std::vector<Arg> args = {}) {
  return {{Kind::refused, std::string(code), std::move(args), ""}, false};
}
Objection ask(std::string_view code, std::vector<Arg> args = {}) {
  return {{Kind::refused, std::string(code), std::move(args), ""}, true};
}

struct Vet {
  const Fact& fact;
  const Chart& so_far;
  const Clinic& clinic;

  std::optional<Objection> operator()(const PersonRegistered&) const {
    if (!so_far.person.registered) return std::nullopt;
    return refuse(codes::registered_already, {arg_text("name", so_far.person.full_name)});
  }

  // H18: every hour of theirs moves with it.
  std::optional<Objection> operator()(const DetailsChanged& changed) const {
    if (changed.zone.empty() || changed.zone == so_far.person.zone) return std::nullopt;
    return ask(codes::ask_zone,
               {arg_text("from", so_far.person.zone), arg_text("zone", changed.zone)});
  }

  std::optional<Objection> operator()(const OrderLineSigned& line) const {
    if (line.copied_from == CopiedFrom::telephone && !line.read_back)
      return refuse(codes::read_back_missing);
    if (line.replaces && so_far.order.line(*line.replaces) == nullptr)
      return refuse(codes::line_unknown);
    return std::nullopt;
  }

  std::optional<Objection> operator()(const OrderLineChecked& check) const {
    const auto* line = so_far.order.line(check.line);
    if (line == nullptr) return refuse(codes::line_unknown);
    if (!line->was_there(fact.happened.at))
      return refuse(order::codes::check_early, {arg_instant("copied", line->signed_when)});
    if (check.reading.insulin.empty()) return refuse(order::codes::check_blind);
    const auto* before = order::read_otherwise_before(so_far.order, so_far.facts, check);
    if (before == nullptr) return std::nullopt;
    return ask(codes::ask_read_otherwise,
               {arg_text("by", std::get<OrderLineChecked>(before->payload).checked_by),
                arg_instant("when", before->happened)});
  }
  std::optional<Objection> operator()(const OrderSignatureSeen& seen) const {
    return line_there(seen.line);
  }
  std::optional<Objection> operator()(const OrderLineEnded& end) const {
    if (auto unknown = line_there(end.line)) return unknown;
    if (!order::ends_basal(so_far.order, end)) return std::nullopt;
    return ask(codes::ask_ends_basal,
               {arg_text("insulin", so_far.order.line(end.line)->text.insulin),
                arg_date("last_day", end.last_day)});
  }

  std::optional<Objection> operator()(const QuestionOpened& question) const {
    return question.line ? line_there(*question.line) : std::nullopt;
  }
  std::optional<Objection> operator()(const QuestionAnswered& answer) const {
    const auto found =
        std::ranges::find(so_far.order.questions, answer.question, &order::Question::id);
    if (found == so_far.order.questions.end()) return refuse(codes::question_unknown);
    if (!found->is_open())
      return refuse(codes::question_answered, {arg_text("by", found->answer->by)});
    if (fact.happened.at < std::chrono::floor<std::chrono::minutes>(found->opened.at))
      return refuse(codes::answer_early, {arg_instant("asked", found->opened)});
    // An answer is heard back before it lets a number go (H37, H40).
    if (!answer.read_back) return refuse(codes::answer_not_read_back);
    if (const auto* came = copied_since(*found); came && answer.answer == AnswerKind::new_order)
      return ask(codes::ask_new_order_came, {arg_count("version", came->text.order_version),
                                             arg_instant("when", came->signed_when)});
    // What else was said cannot be compared; a number in it may be another dose (H37, H05).
    if (answer.answer == AnswerKind::keep_dose && order::holds_number(answer.text))
      return ask(codes::ask_answer_number);
    return std::nullopt;
  }

  std::optional<Objection> operator()(const PenGiven& given) const {
    const auto* pen = so_far.ledger.pen(given.pen);
    if (pen != nullptr && pen->is_given())
      return refuse(codes::pen_twice, {arg_text("pen", pen->copy.name)});
    for (const auto& one : so_far.ledger.pens) {
      if (one.is_given() && !given.serial.empty() && names::same(one.serial, given.serial))
        return refuse(codes::pen_twice, {arg_text("pen", one.copy.name + " " + one.serial)});
    }
    if (auto other = other_strength(given)) return other;
    // A new start gives the pen before its order is copied.
    return so_far.order.lines.empty() ? std::nullopt : against_order(given, so_far);
  }

  std::optional<Objection> operator()(const PenEnded& ended) const {
    return pen_gone(so_far.ledger.pen(ended.pen));
  }
  // Nothing goes into a pen that is not there, and it ends once.
  std::optional<Objection> pen_gone(const ledger::Pen* pen) const {
    if (pen == nullptr || !pen->gone || pen->gone->when.at > fact.happened.at) return std::nullopt;
    return refuse(codes::pen_ended,
                  {arg_text("pen", pen->copy.name), arg_instant("when", pen->gone->when)});
  }

  std::optional<Objection> operator()(const CartridgeLoaded& load) const {
    const auto* pen = so_far.ledger.pen(load.pen);
    if (pen == nullptr || !pen->is_given()) return std::nullopt;
    if (auto gone = pen_gone(pen)) return gone;
    if (pen->insulin != load.copy.name || pen->strength != load.copy.strength) {
      return ask(
          codes::ask_other_insulin,
          {arg_text("pen", pen->insulin), arg_strength("pen_strength", pen->strength),
           arg_text("cartridge", load.copy.name), arg_strength("strength", load.copy.strength)});
    }
    if (load.fits != pen->copy.fits)
      return ask(codes::ask_no_fit, {arg_text("pen", pen->copy.name)});
    return internal::about_loaded(load, so_far, clinic, fact.happened.day());
  }
  std::optional<Objection> operator()(const SuppliesGiven& given) const {
    return internal::about_given(given, so_far, clinic, fact.happened.day());
  }
  std::optional<Objection> operator()(const NeedlesGiven& given) const {
    return internal::about_given(given, clinic, fact.happened.day());
  }
  std::optional<Objection> operator()(const ScaleCounted& read) const {
    return internal::about_scale(read, so_far);
  }

  // H01: one digit turns a window round, and every number after it.
  std::optional<Objection> operator()(const WindowTested& test) const {
    const auto* pen = so_far.ledger.pen(test.pen);
    if (pen == nullptr) return std::nullopt;
    const auto& [step, window] = std::pair{pen->copy.step.hundredths(), pen->copy.window};
    const bool back = test.shown_after.is_zero() == (window == shelf::Window::returns_to_zero);
    if ((step <= 0 || test.dialled.hundredths() % step == 0) && (!window || back))
      return std::nullopt;
    return ask(codes::ask_test_window,
               {arg_text("pen", pen->copy.name), arg_units("step", pen->copy.step)});
  }

  std::optional<Objection> operator()(Injected dose) const {
    // What it says it completes may be finished, or none of this line and day (H52).
    if (dose.completes && !internal::rest_of(fact, dose, so_far)) dose.completes.reset();
    // As much as is missing of a dose that was begun is asked about as its rest (H39).
    if (!dose.completes) dose.completes = order::rest_told(so_far.order, dose, fact.happened);
    const auto* cartridge = so_far.ledger.cartridge(dose.cartridge);
    if (auto asked = taken_already(dose, cartridge)) return asked;
    if (auto asked = internal::meant_more(fact, dose, so_far)) return asked;
    if (dose.outcome == Outcome::part && dose.meant && *dose.meant <= dose.units)
      return ask(codes::ask_no_part,
                 {arg_units("units", dose.units), arg_units("meant", *dose.meant)});
    if (dose.units.is_zero() && dose.outcome != Outcome::unknown) return ask(codes::ask_no_units);
    // What happened is taken all the same, and the ledger and the order mark it.
    if (cartridge == nullptr || !cartridge->is_loaded()) return ask(codes::ask_cartridge_unknown);
    if (cartridge->thrown && cartridge->thrown->when.at <= fact.happened.at)
      return ask(codes::ask_cartridge_ended, {arg_instant("when", cartridge->thrown->when)});
    if (fact.happened.at < cartridge->loaded_when.at)
      return ask(codes::ask_before_loaded, {arg_instant("when", cartridge->loaded_when)});
    if (dose.line && so_far.order.line(*dose.line) == nullptr) return ask(codes::ask_line_unknown);
    if (const auto days = cartridge->days_in_use(fact.happened.day());
        days && cartridge->is_loaded() && *days >= cartridge->copy.in_use_days) {
      const auto* pen = so_far.ledger.pen(cartridge->in_pen.value_or(cartridge->last_pen));
      const auto takes = pen != nullptr ? pen->copy.takes : shelf::Presentation::cartridge;
      return ask(codes::ask_past_in_use,
                 {arg_count("days", *days), arg_count("limit", cartridge->copy.in_use_days),
                  interlock::arg_pen_kind(takes)});
    }
    // Before it was thrown away it still held what went with it.
    const auto left = sum(cartridge->left, cartridge->thrown_away);
    if (dose.units > left) {
      return ask(codes::ask_more_than_left,
                 {arg_units("dose", dose.units), arg_units("left", left)});
    }
    if (const auto early = order::too_early(so_far.order, dose, fact.happened, so_far.zone))
      return ask(codes::ask_too_early,
                 {arg_instant("when", fact.happened), arg_instant("due", early->due),
                  arg_instant("from", early->from)});
    if (const auto late = order::too_late(so_far.order, dose, fact.happened, so_far.zone))
      return ask(codes::ask_too_late, {arg_instant("when", fact.happened),
                                       arg_instant("due", late->due), arg_instant("to", late->to)});
    return dose.zone ? kept_off(*dose.zone, dose.spot) : std::nullopt;
  }

  // H17: what is newly found hard opens by an examination later, never in the same breath.
  std::optional<Objection> operator()(const SkinExamined& examined) const {
    for (const auto& finding : examined.findings) {
      const bool is_hard =
          finding.tissue == Tissue::hardened && finding.verdict == AreaVerdict::may_be_used;
      if (is_hard && so_far.skin.area(finding.area) == nullptr)
        return ask(codes::ask_hardened_used, {arg_code("place", pages::word_of(finding.zone))});
    }
    return std::nullopt;
  }
  std::optional<Objection> operator()(const PlaceNoted& noted) const {
    return kept_off(noted.zone, noted.spot);
  }
  std::optional<Objection> kept_off(Zone zone, const std::optional<Spot>& spot) const {
    const auto* area = skin::kept_off_at(so_far.skin, zone, spot);
    if (area == nullptr) return std::nullopt;
    return ask(spot ? codes::ask_into_kept_off : codes::ask_near_kept_off,
               {arg_code("place", pages::word_of(area->last().zone)),
                arg_code("tissue", "tissue/" + pages::word_of(area->tissue))});
  }

  // The order that was copied and checked while the question was open may be the one that the
  // prescriber says will follow: then the answer would hold it until it is copied again (H38).
  const order::Line* copied_since(const order::Question& question) const {
    for (const auto& line : so_far.order.lines) {
      if (line.replaced_by || !line.checked || line.recorded.at <= question.opened.at) continue;
      for (const auto* open : so_far.order.open_about(line))
        if (open->id == question.id && question.line != line.id) return &line;
    }
    return nullptr;
  }

  bool is_given(const Id& injection) const {
    return std::ranges::any_of(so_far.order.given, [&](const order::Given& one) {
      return one.fact == injection && one.meant > one.units;
    });
  }

  // H52: an injection of this insulin, near this slot, says otherwise. One of another insulin may
  // be another dose.
  std::optional<Objection> operator()(const DoseAnswered& answer) const {
    const auto* line = so_far.order.line(answer.line);
    if (answer.rest_of && !is_given(*answer.rest_of)) return refuse(codes::rest_unknown);
    if (line == nullptr || answer.rest_of) return std::nullopt;
    for (const auto& due : order::due_on(so_far.order, answer.day, so_far.zone)) {
      if (due.line != answer.line || due.name != answer.slot) continue;
      if (auto odd = odd_answer(answer, due)) return odd;
      if (answer.was == DoseWas::taken) continue;
      const auto until =
          std::min(fact.happened.at, due.to.at + std::chrono::minutes{order::near_minutes});
      auto on_record = order::given_for(so_far.order, due);
      if (answer.was == DoseWas::not_taken)
        std::ranges::copy(order::perhaps_given(so_far.order, due, until, so_far.zone),
                          std::back_inserter(on_record));
      for (const auto* given : on_record) {
        const bool whole = given->outcome == Outcome::whole && given->meant <= given->units;
        if (!whole || !order::contradicts_not_taken(so_far.order, *given, *line)) continue;
        const std::vector args{arg_units("given", given->units), arg_instant("when", given->when)};
        return answer.was == DoseWas::not_taken ? refuse(codes::not_taken_recorded, args)
                                                : ask(codes::ask_known_recorded, args);
      }
    }
    return std::nullopt;
  }

  // A slip of the date, or two voices about one dose.
  std::optional<Objection> odd_answer(const DoseAnswered& answer, const order::Due& due) const {
    if (due.from.at > fact.recorded)
      return ask(codes::ask_dose_ahead, {arg_instant("due", due.at)});
    const auto* said = order::said_of(so_far.order, due);
    if (said == nullptr || said->was == answer.was || said->was == DoseWas::not_known)
      return std::nullopt;
    return ask(codes::ask_said_otherwise, {arg_code("was", "dose-was/" + pages::word_of(said->was)),
                                           arg_instant("when", said->when)});
  }

  std::optional<Objection> operator()(const ReminderDismissed& dismissed) const {
    if (std::ranges::find(watch::what_names, dismissed.reminder) == watch::what_names.end())
      return refuse(codes::reminder_unknown,
                    {arg_text("text", dismissed.reminder), arg_text("allowed", all_reminders())});
    const auto there = watch::watches(so_far, clinic);
    const watch::Watch* later = nullptr;
    bool shown = false;
    for (const auto& watch : there) {
      if (pages::word_of(watch.what) != dismissed.reminder || watch.basis != dismissed.basis)
        continue;
      if (!watch::can_be_dismissed(watch, fact.happened.at))
        return refuse(codes::stop_not_dismissed);
      shown = shown || watch::alarm(watch, fact.happened.at).has_value();
      if (fact.happened.at < watch.shows_from.at) later = &watch;
    }
    if (names::folded(dismissed.reason).size() < reason_letters)
      return refuse(codes::reason_missing);
    if (shown) return std::nullopt;
    // H32: what nobody has seen yet would never be shown.
    return later != nullptr
               ? ask(codes::ask_reminder_later, {arg_instant("from", later->shows_from)})
               : ask(codes::ask_reminder_gone);
  }
  static std::string all_reminders() {
    std::string out;
    for (const auto name : watch::what_names) out += (out.empty() ? "" : ", ") + std::string(name);
    return out;
  }

  // Nobody goes home over something that is open and is nobody's.
  std::optional<Objection> operator()(const VisitClosed& closed) const {
    if (!closed.left_open_with.empty()) return std::nullopt;
    std::vector<watch::Dismissed> dismissed;
    for (const auto& one : so_far.person.dismissals)
      dismissed.emplace_back(one.reminder, one.basis);
    const auto watches = watch::watches(so_far, clinic);
    const auto open = watch::ringing(watches, dismissed, fact.happened.at);
    const auto count = std::ranges::count_if(open, [&](const watch::Watch* one) {
      return watch::alarm(*one, fact.happened.at)->level != watch::Level::note;
    });
    if (count == 0) return std::nullopt;
    return ask(codes::ask_visit_open, {arg_count("things", count)});
  }

  std::optional<Objection> operator()(const Correction& correction) const {
    const auto there = std::ranges::any_of(
        so_far.facts, [&](const Fact& one) { return one.id == correction.target; });
    if (!there) return refuse(codes::correction_target);
    if (names::folded(correction.reason).empty()) return refuse(codes::reason_missing);
    // What stands is corrected at its original; a correction says nothing of its own (H31).
    const auto is_target = [&](const Fact& one) {
      return one.id == correction.target && std::holds_alternative<Correction>(one.payload);
    };
    if (std::ranges::any_of(so_far.facts, is_target)) return refuse(codes::correction_stands);
    if (auto refused = keeps_registration(correction)) return refused;
    if (auto refused = keeps_what_hangs(correction)) return refused;
    if (auto asked = leaves_rest(correction)) return asked;
    return takes_question(correction);
  }

  // H54: what was injected or primed would be from nothing, and what was loaded in no pen.
  std::optional<Objection> keeps_what_hangs(const Correction& correction) const {
    const auto* stands = journal::find(so_far.history, correction.target);
    if (stands == nullptr) return std::nullopt;
    const auto* instead = correction.replacement ? &correction.replacement->payload : nullptr;
    if (const auto* load = std::get_if<CartridgeLoaded>(stands->payload)) {
      const auto* kept = instead != nullptr ? std::get_if<CartridgeLoaded>(instead) : nullptr;
      const bool goes = kept == nullptr || kept->cartridge != load->cartridge;
      if (goes && (has<Injected>(load->cartridge) || has<Primed>(load->cartridge)))
        return refuse(codes::load_stands);
    }
    if (const auto* given = std::get_if<PenGiven>(stands->payload)) {
      const auto* kept = instead != nullptr ? std::get_if<PenGiven>(instead) : nullptr;
      const bool goes = kept == nullptr || kept->pen != given->pen;
      const bool loaded =
          std::ranges::any_of(so_far.history.facts, [&](const journal::Effective& one) {
            const auto* load = std::get_if<CartridgeLoaded>(one.payload);
            return load != nullptr && load->pen == given->pen &&
                   (has<Injected>(load->cartridge) || has<Primed>(load->cartridge));
          });
      if (goes && loaded) return refuse(codes::pen_stands);
    }
    return std::nullopt;
  }
  template <class P>
  bool has(const Id& cartridge) const {
    return std::ranges::any_of(so_far.history.facts, [&](const journal::Effective& one) {
      const auto* fact = std::get_if<P>(one.payload);
      return fact != nullptr && fact->cartridge == cartridge;
    });
  }

  // H39: the part goes, and its rest stays behind as if it were the dose.
  std::optional<Objection> leaves_rest(const Correction& correction) const {
    if (correction.replacement) return std::nullopt;
    for (const auto& given : so_far.order.given) {
      if (given.completes == correction.target)
        return ask(codes::ask_leaves_rest,
                   {arg_units("rest", given.units), arg_instant("when", given.when)});
    }
    return std::nullopt;
  }

  // H37: what holds a number back goes by its answer.
  std::optional<Objection> takes_question(const Correction& correction) const {
    const auto question =
        std::ranges::find(so_far.order.questions, correction.target, &order::Question::id);
    if (question == so_far.order.questions.end() || !question->is_open()) return std::nullopt;
    return ask(codes::ask_question_struck, {arg_instant("opened", question->opened)});
  }

  // H54: nobody could find what hangs on somebody who is not registered.
  std::optional<Objection> keeps_registration(const Correction& correction) const {
    const auto target = std::ranges::find(so_far.facts, correction.target, &Fact::id);
    const bool is_registration = std::holds_alternative<PersonRegistered>(target->payload);
    const bool goes = !correction.replacement ||
                      !std::holds_alternative<PersonRegistered>(correction.replacement->payload);
    if (!is_registration || !goes || so_far.history.facts.size() < 2) return std::nullopt;
    return refuse(codes::registration_stands, {arg_text("name", so_far.person.full_name)});
  }

  // H52: whatever line, version, strength or pen stands beside it: this person, this insulin, this
  // hour. Only what a person might not know while recording is asked; the other refusals are marks
  // of the record.
  std::optional<Objection> taken_already(const Injected& dose,
                                         const ledger::Cartridge* cartridge) const {
    namespace oc = order::codes;
    std::string insulin = cartridge != nullptr ? cartridge->copy.name : "";
    if (dose.line) {
      const order::Ask asked{*dose.line, dose.units, fact.happened.at, dose.completes,
                             order::Ask::Taken::ask};
      const auto allowed = order::may_dial(so_far.order, asked, so_far.zone);
      const std::string code = allowed ? "" : allowed.error().code;
      if (code == oc::taken_already || code == oc::part_given || code == oc::taken_perhaps)
        return already(dose, allowed.error().args);
      const auto* line = so_far.order.line(*dose.line);
      // So little may have been meant; more than the order allows went in all the same (H04).
      const bool above = line != nullptr && dose.units > line->most();
      if (code == oc::dose_outside && (!dose.meant || above))
        return ask(codes::ask_outside_order, allowed.error().args);
      if (insulin.empty() && line != nullptr) insulin = line->text.insulin;
    }
    if (dose.completes || insulin.empty()) return std::nullopt;
    const auto near = order::given_near(so_far.order, insulin, fact.happened.at);
    // A part, and what nobody knows, have their own words.
    const auto whole = std::ranges::find_if(near, [](const order::Given* given) {
      return given->outcome == Outcome::whole && given->meant <= given->units;
    });
    if (whole == near.end()) return std::nullopt;
    if (are_two_doses(dose, **whole)) return std::nullopt;
    return already(dose,
                   {arg_units("given", (*whole)->units), arg_instant("when", (*whole)->when)});
  }

  // That it is early for a dose of the same day is asked in the same breath: one answer is all that
  // comes (H38). Beside tomorrow's, it is the same dose again.
  Objection already(const Injected& dose, std::vector<Arg> args) const {
    const auto early = order::too_early(so_far.order, dose, fact.happened, so_far.zone);
    if (!early || early->due.day() != fact.happened.day())
      return ask(codes::ask_taken_already, std::move(args));
    args.push_back(arg_instant("at", fact.happened));
    args.push_back(arg_instant("due", early->due));
    return ask(codes::ask_too_early_after, std::move(args));
  }

  // Two slots of one line, or a correction beside a meal's dose, are two doses.
  bool are_two_doses(const Injected& dose, const order::Given& other) const {
    if (dose.line && dose.line == other.line) return true;  // may_dial has looked
    const auto* one = dose.line ? so_far.order.line(*dose.line) : nullptr;
    const auto* two = other.line ? so_far.order.line(*other.line) : nullptr;
    return one != nullptr && two != nullptr && one->text.purpose != two->text.purpose &&
           (one->text.purpose == Purpose::correction || two->text.purpose == Purpose::correction);
  }

  // H03: only where the order names this insulin, and not in this strength.
  std::optional<Objection> other_strength(const PenGiven& given) const {
    const order::Line* other = nullptr;
    for (const auto* line : so_far.order.holding(fact.happened.day())) {
      if (line->text.insulin != given.insulin) continue;
      if (line->text.strength == given.strength) return std::nullopt;
      other = line;
    }
    if (other == nullptr) return std::nullopt;
    return ask(codes::ask_pen_strength,
               {arg_text("insulin", given.insulin), arg_strength("strength", given.strength),
                arg_strength("ordered", other->text.strength)});
  }

  std::optional<Objection> line_there(Id line) const {
    if (so_far.order.line(line) == nullptr) return refuse(codes::line_unknown);
    return std::nullopt;
  }
};

// The kinds that Vet has a word about.
template <class P>
constexpr bool is_vetted = std::is_invocable_v<const Vet&, const P&>;

// H04: told without its line, of an insulin that is ordered on that day, and no line allows it.
std::optional<Error> outside_order(const Injected& dose, LocalDay on, const Chart& so_far) {
  const auto* cartridge = so_far.ledger.cartridge(dose.cartridge);
  const bool whole = dose.outcome == Outcome::whole && !dose.completes &&
                     !dose.units.is_zero();  // that has its own question
  if (cartridge == nullptr || !cartridge->is_loaded() || dose.line || !whole) return std::nullopt;
  const order::Line* first = nullptr;
  for (const auto* line : so_far.order.holding(on)) {
    const auto& text = line->text;
    if (text.insulin != cartridge->copy.name || text.strength != cartridge->copy.strength ||
        line->most().is_zero())
      continue;
    if (dose.units >= line->least() && dose.units <= line->most()) return std::nullopt;
    if (first == nullptr) first = line;
  }
  if (first == nullptr || (dose.meant && dose.units <= first->most())) return std::nullopt;
  return Error{Kind::refused,
               std::string(codes::ask_outside_order),
               {arg_units("dose", dose.units), arg_units("least", first->least()),
                arg_units("most", first->most())},
               "/units"};
}

}  // namespace

const Payload& said_by(const Fact& fact) {
  const auto* correction = std::get_if<Correction>(&fact.payload);
  return correction != nullptr && correction->replacement ? correction->replacement->payload
                                                          : fact.payload;
}

std::optional<Error> odd_of(const Fact& fact, const Chart& so_far) {
  auto known = by_age::known_of(so_far.person);
  const auto* payload = &said_by(fact);
  if (const auto* dose = std::get_if<Injected>(payload)) {
    for (const auto& line : so_far.order.lines) {
      if (dose->line && *dose->line != line.id) continue;
      for (const auto& slot : line.text.slots)
        known.ordered = larger(known.ordered.value_or(Units::zero()), slot.units);
    }
  }
  if (auto odd = by_age::oddity(fact, known)) return odd;
  const auto* dose = std::get_if<Injected>(payload);
  if (dose != nullptr) {
    if (auto odd = ledger::beyond_the_pen(so_far.ledger, *dose)) return odd;
  }
  if (auto odd = oddity(fact)) return odd;
  return dose != nullptr ? outside_order(*dose, fact.happened.day(), so_far) : std::nullopt;
}

bool looks_at_journal(const Payload& payload) {
  return std::visit([]<class P>(const P&) { return is_vetted<P>; }, payload);
}

Fact as_recorded(const Fact& fact) {
  const auto* correction = std::get_if<Correction>(&fact.payload);
  if (correction == nullptr || !correction->replacement) return fact;
  Fact out = fact;
  out.id = correction->target;
  out.happened = correction->replacement->happened;
  out.payload = correction->replacement->payload;
  return out;
}

namespace {

// What a correction puts in an entry's place meets what it would have met if it had been recorded
// so at once: without the entry as it was, and only what that one did not meet as well.
std::vector<Objection> object_to_instead(const Fact& fact, const Chart& so_far,
                                         const Clinic& clinic, Instant now) {
  const auto& correction = std::get<Correction>(fact.payload);
  const auto original = std::ranges::find(so_far.facts, correction.target, &Fact::id);
  if (!correction.replacement || original == so_far.facts.end()) return {};
  const auto instead = as_recorded(fact);
  if (std::holds_alternative<Correction>(instead.payload)) return {};
  const bool is_registration = std::holds_alternative<PersonRegistered>(original->payload);
  auto facts = so_far.facts;
  if (!is_registration)
    std::erase_if(facts, [&](const Fact& one) { return one.id == correction.target; });
  const auto without =
      chart::finish(chart::begin(so_far.journal, so_far.version, so_far.head, std::move(facts), {}),
                    so_far.zone, so_far.zones);
  Fact before = *original;
  if (const auto* stands = journal::find(so_far.history, correction.target)) {
    before.happened = stands->happened;
    before.payload = *stands->payload;
  }
  const auto* was = std::get_if<PersonRegistered>(&before.payload);
  const auto* is = std::get_if<PersonRegistered>(&instead.payload);
  const auto met = object_to(before, *without, clinic, now);
  auto out = object_to(instead, *without, clinic, now);
  std::erase_if(out, [&](const Objection& one) {
    return std::ranges::any_of(met, [&](const Objection& old) { return old.error == one.error; });
  });
  // H18: every hour of theirs moves with it.
  if (was != nullptr && is != nullptr && was->zone != is->zone)
    out.push_back(ask(codes::ask_zone, {arg_text("from", was->zone), arg_text("zone", is->zone)}));
  return out;
}

}  // namespace

std::vector<Objection> object_to(const Fact& sent, const Chart& so_far, const Clinic& clinic,
                                 Instant now) {
  if (is_of_clinic(type_of(sent.payload)))
    return {refuse(codes::not_a_person, {arg_code("kind", name_of(sent.payload))})};
  Fact fact = sent;
  fact.happened = so_far.clock.told(sent.happened);  // H18: as it will be read
  std::vector<Objection> out;
  if (fact.happened.at > now + clock_slack)
    out.push_back(ask(codes::ask_future, {arg_instant("when", fact.happened)}));
  const auto add = [&](std::optional<Objection> one) {
    if (one) out.push_back(*std::move(one));
  };
  if (std::holds_alternative<PayloadErased>(said_by(fact))) return {refuse(codes::erased_by_hand)};
  for (auto& differs : products::differences(said_by(fact), clinic.shelf))
    out.push_back({std::move(differs), true});
  for (auto& name : signers::against_names(fact, so_far, clinic))
    out.push_back({std::move(name.error), name.is_question});
  std::visit(
      [&, vet = Vet{fact, so_far, clinic}]<class P>(const P& payload) {
        if constexpr (is_vetted<P>) add(vet(payload));  // else it is taken as told
      },
      fact.payload);
  if (const auto* dose = std::get_if<Injected>(&fact.payload)) {
    for (auto& one : internal::about_dose(fact, *dose, so_far)) {
      const bool first = one.error.code == codes::ask_of_other_insulin;
      out.insert(first ? out.begin() : out.end(), std::move(one));
    }
  }
  if (const auto* copy = std::get_if<OrderLineSigned>(&fact.payload)) {
    const auto today = so_far.zone.when(now).day();
    const auto copied_on = std::min(fact.happened.day(), today);
    for (auto& odd : order::oddities(*copy, so_far.order, clinic.shelf, copied_on))
      out.push_back({std::move(odd), true});
    if (order::ends_basal(so_far.order, *copy))
      out.push_back(ask(codes::ask_ends_with_it, {arg_date("last_day", *copy->until)}));
    if (copy->low_limit && low::is_below(*copy->low_limit, low::consensus_limit))
      out.push_back(ask(codes::ask_low_limit, {arg_glucose("limit", *copy->low_limit),
                                               arg_glucose("usual", low::consensus_limit)}));
    if (const auto* waits = order::question_before(so_far.order, *copy, today))
      out.push_back(ask(codes::ask_question_waits,
                        {arg_code("reason", "reason/" + pages::word_of(waits->reason)),
                         arg_instant("opened", waits->opened)}));
  }
  std::ranges::move(about_contact(fact, so_far), std::back_inserter(out));
  if (auto odd = odd_of(fact, so_far)) out.push_back({*std::move(odd), true});
  if (const auto* dose = std::get_if<Injected>(&fact.payload))
    add(internal::unlike_order(fact, *dose, so_far));
  if (const auto* correction = std::get_if<Correction>(&fact.payload)) {
    if (out.empty()) out = object_to_instead(fact, so_far, clinic, now);
    add(internal::takes_basal(fact, *correction, so_far, now));
  }
  return out;
}

namespace {

// H38: a number that stands on every refusal can be dialled.
bool is_telephone_number(std::string_view text) {
  // The shortest are those that are dialled in an emergency.
  constexpr std::ptrdiff_t digits_least = 3;
  return std::ranges::count_if(text, [](char c) { return c >= '0' && c <= '9'; }) >= digits_least;
}

/// What went off the shelf is asked about where it does not fit the account; handed out all the
/// same is a record, so nothing is refused.
struct VetClinic {
  const Fact& fact;
  const Clinic& clinic;
  std::span<const Fact> entries;

  std::vector<Objection> operator()(const StockMoved& moved) const {
    const auto& stock = clinic.stock;
    if (moved.way == StockWay::handed_out) {
      auto out =
          stock::may_hand_out(stock, moved.item, moved.lot, moved.pieces, fact.happened.day());
      std::vector<Objection> asked;
      for (auto& one : out) asked.push_back({std::move(one.error), true});
      return asked;
    }
    const auto* lot = stock.lot(moved.item, moved.lot);
    const auto there = lot == nullptr                     ? 0
                       : moved.way == StockWay::came_back ? lot->handed_out - lot->back
                                                          : lot->left + lot->held;
    if (moved.pieces <= there) return {};
    return {ask(
        moved.way == StockWay::came_back ? codes::ask_more_than_out
                                         : stock::codes::ask_more_than_left,
        {arg_text("lot", moved.lot), arg_count("pieces", moved.pieces), arg_count("left", there)})};
  }
  std::vector<Objection> operator()(const ClinicNamed& named) const {
    for (const auto& number : {named.phone, named.emergency}) {
      if (!number.empty() && !is_telephone_number(number))
        return {refuse(codes::phone_form, {arg_text("text", number)})};
    }
    return {};
  }
  std::vector<Objection> operator()(const StockCame& came) const {
    auto out = item_there(came.item);
    if (clinic.stock.recall(came.lot, came.item) != nullptr)
      out.push_back(ask(codes::ask_came_recalled, {arg_text("lot", came.lot)}));
    if (came.expires && *came.expires < fact.happened.day())
      out.push_back(ask(codes::ask_came_expired,
                        {arg_text("lot", came.lot), arg_date("last", *came.expires)}));
    return out;
  }
  // What came before its entry was struck out of the shelf is still there to be counted.
  std::vector<Objection> operator()(const StockCounted& count) const {
    if (clinic.stock.lot(count.item, count.lot) != nullptr) return {};
    return item_there(count.item);
  }
  std::vector<Objection> operator()(const HeadsSealed&) const {
    return {refuse(codes::sealed_by_hand)};
  }
  std::vector<Objection> operator()(const ProductLearnt& learnt) const {
    return item_there(learnt.item);
  }
  // H61: of an item that is not there it would hold nothing, and list nobody.
  std::vector<Objection> operator()(const RecallOpened& opened) const {
    return opened.item.empty() ? std::vector<Objection>{} : item_there(opened.item);
  }
  std::vector<Objection> operator()(const RecallCalled& call) const {
    const auto known = std::ranges::any_of(clinic.stock.recalls, [&](const stock::Recall& recall) {
      return recall.said.recall == call.recall;
    });
    if (known) return {};
    return {refuse(codes::recall_unknown)};
  }
  // H61: what is struck out before it comes would come without effect.
  std::vector<Objection> operator()(const Correction& correction) const {
    const auto target = std::ranges::find(entries, correction.target, &Fact::id);
    if (target == entries.end()) return {refuse(codes::correction_target)};
    if (names::folded(correction.reason).empty()) return {refuse(codes::reason_missing)};
    if (std::holds_alternative<Correction>(target->payload))
      return {refuse(codes::correction_stands)};
    if (std::holds_alternative<ClinicNamed>(target->payload)) return instead_of_name(correction);
    for (const auto& recall : clinic.stock.recalls) {
      if (recall.fact == correction.target)
        return {ask(codes::ask_recall_struck, {arg_text("lot", recall.said.lot)})};
    }
    return {};
  }
  template <class Other>
  std::vector<Objection> operator()(const Other&) const {
    return {};
  }

  // H38: every refusal and every sheet says whom to phone.
  std::vector<Objection> instead_of_name(const Correction& correction) const {
    const auto* named = correction.replacement
                            ? std::get_if<ClinicNamed>(&correction.replacement->payload)
                            : nullptr;
    if (named != nullptr) return (*this)(*named);
    const auto history = journal::read(entries);
    const auto stays = std::ranges::any_of(history.facts, [&](const journal::Effective& one) {
      return one.fact->id != correction.target && std::holds_alternative<ClinicNamed>(*one.payload);
    });
    if (stays) return {};
    return {refuse(codes::clinic_stands)};
  }

  // What the shelf does not know cannot be handed out: nobody could say which insulin it is.
  std::vector<Objection> item_there(const std::string& item) const {
    if (clinic.shelf.cartridge(item) != nullptr || clinic.shelf.needle(item) != nullptr) return {};
    return {refuse(
        codes::item_unknown,
        {arg_text("text", item), arg_text("codes", products::items_meant(item, clinic.shelf))})};
  }
};

}  // namespace

std::vector<Objection> objections_of_clinic(const Fact& fact, const Clinic& clinic,
                                            std::span<const Fact> entries, Instant now) {
  auto out = std::visit(VetClinic{fact, clinic, entries}, fact.payload);
  for (auto& odd : products::about_entry(said_by(fact), clinic.shelf))
    out.push_back({std::move(odd), true});
  if (fact.happened.at > now + clock_slack)
    out.push_back(ask(codes::ask_future, {arg_instant("when", fact.happened)}));
  if (auto odd = oddity(fact)) out.push_back({*std::move(odd), true});
  return out;
}

}  // namespace penstock::vetting
