// The fold: lines first, then what was said about them, so that the order in which facts of one
// moment were written does not matter.
#include <algorithm>
#include <unordered_map>

#include "core/order/internal/matching.hpp"
#include "core/order/internal/same_name.hpp"
#include "core/order/order.hpp"

namespace penstock::order {
namespace {

using journal::Effective;

Recorded place_of(const journal::Fact& fact) { return {fact.recorded, fact.sequence}; }

struct InsulinOf {
  explicit InsulinOf(const shelf::Insulin& copy)
      : name(copy.name),
        strength(copy.strength),
        acts_long(copy.action == shelf::Action::long_acting ||
                  copy.action == shelf::Action::intermediate ||
                  copy.action == shelf::Action::premixed) {}
  std::string name;
  Strength strength;
  bool acts_long;
};

/// What does not depend on anything else in the order.
class First {
 public:
  First(Order& order, const ZoneRules& zone) : order_(order), zone_(zone) {}

  void on(const Effective& e, const journal::OrderLineSigned& p) {
    Line& line = order_.lines.emplace_back();
    line.id = e.fact->id;
    line.signed_when = e.happened;
    line.recorded = place_of(*e.fact);
    line.put_right = e.correction != nullptr;
    line.written = line.put_right ? place_of(*e.correction) : line.recorded;
    line.paper_of = std::min(p.signed_on, zone_.when(line.written.at).day());
    line.text = p;
    line.copyists.push_back(p.copied_by);
    // Whoever typed it, whomever they named as its copyist.
    if (!e.fact->author.empty()) line.copyists.push_back(e.fact->author);
    if (const auto* copy = std::get_if<journal::OrderLineSigned>(&e.fact->payload))
      line.copyists.push_back(copy->copied_by);
    if (e.correction != nullptr) wrote(line, *e.correction);
  }
  void on(const Effective& e, const journal::QuestionOpened& p) {
    const auto asked_on = std::max(e.happened.day(), zone_.when(e.fact->recorded).day());
    order_.questions.push_back({e.fact->id, e.happened, place_of(*e.fact), asked_on, p.line,
                                p.reason, p.text, p.answer_by, std::nullopt});
  }
  void on(const Effective&, const journal::CartridgeLoaded& p) {
    insulins.try_emplace(p.cartridge, InsulinOf(p.copy));
  }
  /// What was injected from it was of its insulin, though the loading was struck out (H07, H52).
  void on_voided(const journal::History& history) {
    for (const auto& voided : history.voided) {
      if (const auto* load = std::get_if<journal::CartridgeLoaded>(&voided.fact->payload))
        insulins.try_emplace(load->cartridge, InsulinOf(load->copy));
      if (const auto* line = std::get_if<journal::OrderLineSigned>(&voided.fact->payload))
        order_.struck.push_back(
            {voided.fact->id, line->insulin, line->purpose, line->strength, line->slots});
    }
  }

  /// A correction that no longer holds was in the copy once, too.
  void on_rival(const journal::Fact& fact) {
    const auto* correction = std::get_if<journal::Correction>(&fact.payload);
    if (correction == nullptr) return;
    const auto line = std::ranges::find(order_.lines, correction->target, &Line::id);
    if (line != order_.lines.end()) wrote(*line, fact);
  }

  std::unordered_map<Id, InsulinOf, IdHash> insulins;

 private:
  static void wrote(Line& line, const journal::Fact& fact) {
    line.copyists.push_back(fact.author);
    const auto& correction = std::get<journal::Correction>(fact.payload);
    if (!correction.replacement) return;
    const auto* copy = std::get_if<journal::OrderLineSigned>(&correction.replacement->payload);
    if (copy != nullptr) line.copyists.push_back(copy->copied_by);
  }
  Order& order_;
  const ZoneRules& zone_;
};

/// What names a line, a question or a cartridge.
class Second {
 public:
  Second(Order& order, const First& first) : order_(order), first_(first) {}

  void on(const Effective& e, const journal::OrderLineSigned& p) {
    if (!p.replaces || *p.replaces == e.fact->id) return;
    Line* old = line(*p.replaces);
    // What is over before that line begins takes the place of the one that holds until then (H38).
    const auto is_too_late = [&] { return old && p.until && *p.until < old->text.from; };
    for (std::size_t n = 0; is_too_late() && n < order_.lines.size(); ++n)
      old = old->text.replaces ? line(*old->text.replaces) : nullptr;
    if (!old || is_too_late() || (old->replaced_by && old->replaced_from <= p.from)) return;
    old->replaced_by = e.fact->id;
    old->replaced_from = p.from;
  }
  void on(const Effective& e, const journal::OrderLineChecked& p) {
    Line* checked = line(p.line);
    if (!checked) return;
    // Whoever read otherwise has seen the copy by the time at which the reading is put right: the
    // order is read anew (H60, H40).
    const auto* told = std::get_if<journal::OrderLineChecked>(&e.fact->payload);
    if (told != nullptr && !(told->reading == p.reading)) return;
    const auto wrote_it = [&](const std::string& name) {
      return internal::same_name(p.checked_by, name);
    };
    if (std::ranges::any_of(checked->copyists, wrote_it)) {
      order_.marks.push_back(
          {MarkKind::checked_by_copier, e.fact->id, e.happened, checked->id, Units::zero()});
      return;
    }
    if (!checked->was_there(e.happened.at) || !stands_as_read(e, p, *checked)) return;
    if (!checked->checked) checked->checked = Check{e.fact->id, e.happened, p.checked_by};
    // Whoever reads the days later completes the check (H60).
    if (has_read_days(p)) checked->checked->days_read = true;
  }
  void on(const Effective& e, const journal::OrderSignatureSeen& p) {
    Line* seen = line(p.line);
    if (seen && !seen->signature_seen) seen->signature_seen = e.happened;
  }
  // Of several ends the earliest holds: an old order is not followed (H08).
  void on(const Effective& e, const journal::OrderLineEnded& p) {
    Line* ended = line(p.line);
    if (!ended || (ended->ended && ended->ended->last_day <= p.last_day)) return;
    ended->ended = End{e.fact->id, e.happened, p.last_day, p.prescriber, p.reason};
  }
  void on(const Effective& e, const journal::QuestionAnswered& p) {
    const auto found = std::ranges::find(order_.questions, p.question, &Question::id);
    if (found == order_.questions.end()) return;
    // Of an hour before anybody had asked it is an answer to something else (H37).
    if (e.happened.at < std::chrono::floor<std::chrono::minutes>(found->opened.at)) return;
    found->answer =
        Answer{e.fact->id, e.happened, place_of(*e.fact), p.answer, p.by, p.text, p.read_back};
  }
  void on(const Effective& e, const journal::Injected& p) {
    Given& given = order_.given.emplace_back();
    given.fact = e.fact->id;
    given.when = e.happened;
    given.recorded = place_of(e.correction != nullptr ? *e.correction : *e.fact);
    // A clock that runs ahead by some minutes hides nothing that is in already (H07, H61).
    if (given.when.at > e.fact->recorded &&
        given.when.at - e.fact->recorded <= journal::clock_slack)
      given.when.at = e.fact->recorded;
    given.line = p.line;
    given.slot = p.slot;
    if (const auto found = first_.insulins.find(p.cartridge); found != first_.insulins.end()) {
      given.insulin = found->second.name;
      given.strength = found->second.strength;
      given.acts_long = found->second.acts_long;
    }
    // Whatever was said: what came from another insulin's cartridge is no dose of this line (H04).
    const Line* under = p.line ? line(*p.line) : nullptr;
    if (under && !given.insulin.empty() &&
        !internal::same_name(given.insulin, under->text.insulin)) {
      given.not_of = p.line;
      given.line.reset();
      given.slot.reset();
    }
    given.units = p.units;
    given.meant = p.meant.value_or(p.units);
    given.meant_said = p.meant.has_value();
    given.outcome = journal::outcome_of(p);
    given.completes = p.completes;
    given.by = p.given_by;
    given.by_name = p.given_by_name;
    given.from_diary = e.fact->source == "diary";
  }
  void on(const Effective& e, const journal::DoseAnswered& p) {
    order_.said.push_back({e.fact->id, e.happened, p.line, p.slot, p.day, p.was, p.rest_of});
  }

 private:
  /// H40, H60: what was put right in the copy after it was checked, nobody has checked; and a
  /// reading that differs stands in the journal, and checks nothing.
  static bool stands_as_read(const Effective& e, const journal::OrderLineChecked& p,
                             const Line& line) {
    if (line.put_right && place_of(*e.fact) <= line.written) return false;
    if (line.read_otherwise && place_of(*e.fact) <= *line.read_otherwise) return false;
    return p.reading.insulin.empty() ||
           same_as_copy(line.text, line.signed_when.day(), p).has_value();
  }
  Line* line(const Id& id) {
    const auto found = std::ranges::find(order_.lines, id, &Line::id);
    return found == order_.lines.end() ? nullptr : &*found;
  }
  Order& order_;
  const First& first_;
};

/// What somebody read otherwise than the copy says now: whatever was checked before it waits until
/// somebody has looked again (H60, H40).
class Readings {
 public:
  explicit Readings(Order& order) : order_(order) {}

  void on(const Effective& e, const journal::OrderLineChecked& p) {
    const auto line = std::ranges::find(order_.lines, p.line, &Line::id);
    if (line == order_.lines.end() || p.reading.insulin.empty()) return;
    const auto place = place_of(*e.fact);
    if (place < line->written || same_as_copy(line->text, line->signed_when.day(), p)) return;
    line->read_otherwise = std::max(line->read_otherwise.value_or(place), place);
  }

 private:
  Order& order_;
};

/// One version written twice is one copy put right, not another order.
void copied_anew(Order& order) {
  for (Line& line : order.lines) {
    if (!line.text.replaces || *line.text.replaces == line.id) continue;
    const Line* old = order.line(*line.text.replaces);
    if (old == nullptr || old->text.order_version != line.text.order_version) continue;
    line.copyists.insert(line.copyists.end(), old->copyists.begin(), old->copyists.end());
  }
}

/// A rest alone is not the dose: the part may have been struck out since; and it is of the slot
/// that its first part was for (H39). What names a dose that is finished, or no part at all, went
/// in besides, whatever it says (H52).
void find_parts(Order& order) {
  std::unordered_map<Id, const Given*, IdHash> by_fact;
  for (const Given& given : order.given) by_fact.try_emplace(given.fact, &given);
  for (Given& given : order.given) {
    const bool names_one = given.completes && by_fact.contains(*given.completes);
    if (names_one && !internal::open_part(order, given)) given.completes.reset();
    if (const Given* part = internal::part_before(order, given)) given.completes = part->fact;
  }
  for (Given& given : order.given) {
    const Given* first = &given;
    // What completes itself by a detour has no first part.
    for (int n = 0; first->completes && n < parts_most; ++n) {
      const auto part = by_fact.find(*first->completes);
      given.without_part = part == by_fact.end();
      if (given.without_part) break;
      first = part->second;
    }
    if (first == &given) continue;
    given.begun = first->when;
    given.slot = first->slot;
  }
}

template <class Fold>
void run(Fold& fold, const journal::History& history) {
  for (const Effective& e : history.facts) {
    std::visit(
        [&]<class P>(const P& payload) {
          if constexpr (requires { fold.on(e, payload); }) fold.on(e, payload);
        },
        *e.payload);
  }
}

}  // namespace

Order fold(const journal::History& history, const ZoneRules& zone) {
  Order order;
  First first(order, zone);
  run(first, history);
  first.on_voided(history);
  for (const auto* rival : history.rivals) first.on_rival(*rival);
  copied_anew(order);
  Readings readings(order);
  run(readings, history);
  Second second(order, first);
  run(second, history);
  std::ranges::stable_sort(order.given, {}, [](const Given& given) { return given.when.at; });
  find_parts(order);
  internal::mark_given(order, zone);
  // No units are no dose: marked above, and nothing that was given (H02, H57).
  std::erase_if(order.given, [](const Given& given) {
    return given.outcome != journal::Outcome::unknown && given.units.is_zero() && !given.completes;
  });
  std::ranges::stable_sort(order.marks, {}, [](const Mark& m) { return m.when.at; });
  return order;
}

}  // namespace penstock::order
