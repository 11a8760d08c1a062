// What was given under another line, version, strength or pen, and what nobody accounts for: both
// look at the person, the insulin and the time (H52, H57).
#include <algorithm>

#include "core/order/internal/matching.hpp"
#include "core/order/internal/same_name.hpp"
#include "core/order/order.hpp"
#include "core/order/recording.hpp"

namespace penstock::order {

std::string_view insulin_of(const Order& order, const Given& given) {
  const Line* line = given.line ? order.line(*given.line) : nullptr;
  return given.insulin.empty() && line != nullptr ? std::string_view(line->text.insulin)
                                                  : given.insulin;
}

bool is_of_unknown_insulin(const Order& order, const Given& given) {
  return insulin_of(order, given).empty();
}

bool is_unnamed(const Given& given, const Line& line, const ZoneRules& zone) {
  if (!internal::is_of(given, line)) return false;
  if (!given.slot || internal::leaves_open(given, line)) return true;
  std::vector<Due> slots;
  for (int ahead = -1; ahead <= 1; ++ahead)
    internal::add_dues(line, given.when.day() + std::chrono::days{ahead}, zone, slots);
  return std::ranges::none_of(slots, [&](const Due& due) {
    return due.day >= line.text.from && internal::answers_slot(given, line, due);
  });
}

namespace {

using internal::same_name;
using journal::Purpose;
using std::chrono::days;
using std::chrono::minutes;

// A line's next slot: a weekly one comes round once.
constexpr int look_ahead_days = 8;

/// Whether this line begins where that one stops: in its place, or on its last day or soon after.
bool comes_after(const Line& line, const Line& old) {
  const auto last = old.last_day();
  return old.replaced_by == line.id ||
         (old.ended && last && *last <= line.text.from && line.text.from <= *last + days{2});
}

/// Of the same insulin or the same use, or of the line whose place this one took or that takes its
/// place; and not named as one of this line's slots.
bool is_like(const Order& order, const Given& given, const Line& line, const ZoneRules& zone) {
  if (is_unnamed(given, line, zone) || is_of_unknown_insulin(order, given)) return true;
  if (given.line == line.id) return false;
  if (is_basal(line) && is_unordered_basal(order, given)) return true;
  const auto is_background = [](const Line& one) {
    return one.text.purpose == Purpose::background;
  };
  for (const Line& own : order.lines) {
    if (!internal::is_of(given, own)) continue;
    // A correction comes on top of a meal's dose of the same insulin.
    if (given.line && own.text.purpose != line.text.purpose &&
        (own.text.purpose == Purpose::correction || line.text.purpose == Purpose::correction))
      return false;
    const bool had_its_place = own.replaced_by == line.id ||
                               (own.text.purpose == line.text.purpose && comes_after(line, own));
    if ((is_background(own) && is_background(line)) || had_its_place ||
        (is_basal(own) && line.replaced_by == own.id) ||
        same_name(own.text.insulin, line.text.insulin))
      return true;
  }
  return !given.insulin.empty() && same_name(given.insulin, line.text.insulin);
}

/// Whether something else is on record as the slot's dose: this one is no dose of that slot.
bool is_answered_by_another(const Order& order, const Due& slot, const Given& given) {
  const auto all = given_for(order, slot);
  return !all.empty() && std::ranges::find(all, &given) == all.end();
}

/// Whether it is nearer to a slot of its own line, which is another dose of the day.
bool is_another_dose(const Order& order, const Given& given, const Line& line, const Due& due,
                     const ZoneRules& zone) {
  const bool of_this = is_unnamed(given, line, zone);
  std::vector<Due> slots;
  const LocalDay day = given.when.day();
  for (const Line& own : order.lines) {
    const auto last = own.last_day();
    const bool is_own = of_this ? own.id == line.id : internal::is_of(given, own);
    if (!is_own || due.day < own.text.from || (last && due.day > *last)) continue;
    for (int ahead = -1; ahead <= 1; ++ahead) {
      if (day + days{ahead} >= own.text.from)
        internal::add_dues(own, day + days{ahead}, zone, slots);
    }
  }
  const auto apart = abs(given.when.at - due.at.at);
  return std::ranges::any_of(slots, [&](const Due& slot) {
    const auto between = abs(slot.at.at - due.at.at);
    return (of_this ? between > minutes{0} : between >= internal::reach_of(line)) &&
           abs(given.when.at - slot.at.at) <= apart && !is_answered_by_another(order, slot, given);
  });
}

bool is_answered(const Order& order, const Due& due, const ZoneRules& zone) {
  return said_of(order, due) != nullptr || is_on_record(order, due, zone);
}

Instant written_at(const Line& line) { return std::max(line.signed_when.at, line.written.at); }

bool has_slot(const Line& line, journal::SlotName name) {
  return std::ranges::find(line.text.slots, name, &journal::Slot::slot) != line.text.slots.end();
}

/// On the first day of the line in its place those, too, that had gone before that one was written,
/// and that it moved to another time of day: they may be in (H52, H07).
std::vector<Due> slots_of(const Order& order, const Line& line, LocalDay day,
                          const ZoneRules& zone) {
  std::vector<Due> slots;
  const auto last = line.last_day();
  const Line* anew = line.replaced_by ? order.line(*line.replaced_by) : nullptr;
  const bool is_moved = anew != nullptr && day == line.replaced_from && last == day - days{1};
  if (day < line.text.from || (last && day > *last && !is_moved)) return slots;
  internal::add_dues(line, day, zone, slots);
  // An hour that had gone by before it was written, and that no version before it had, was nobody's
  // to give.
  std::erase_if(slots, [&](const Due& due) {
    return due.to.at <= written_at(line) &&
           std::ranges::any_of(order.lines,
                               [&](const Line& old) { return old.replaced_by == line.id; }) &&
           std::ranges::none_of(order.lines, [&](const Line& old) {
             return old.id != line.id && order.stands_for(line, old.id) && has_slot(old, due.name);
           });
  });
  if (is_moved)
    std::erase_if(slots, [&](const Due& due) {
      return due.to.at > written_at(*anew) || has_slot(*anew, due.name);
    });
  return slots;
}

/// When it or a line in whose place it stands was first checked, or written and waited for that: a
/// version that was copied behind a slot's hour hides that slot no more than the one before (H57).
Instant first_told(const Order& order, const Line& line) {
  Instant first = written_at(line);
  for (const Line& old : order.lines) {
    if (old.text.purpose != line.text.purpose || !order.stands_for(line, old.id)) continue;
    first = std::min({first, written_at(old), old.checked ? old.checked->when.at : first});
  }
  return first;
}

struct Record {
  std::optional<When> from;  ///< the last injection of this insulin
  bool by_diary = false;     ///< it was told afterwards
};

Record record_of(const Order& order, const Line& line, const ZoneRules& zone) {
  Record record;
  for (const Given& given : order.given) {
    if (!internal::is_of(given, line) && !is_like(order, given, line, zone)) continue;
    record = {given.when, given.from_diary};
  }
  return record;
}

/// The day's basal dose may have been given under the line before this one, at another hour or of
/// another insulin: most of a day. What may be any insulin only on the day of the change. Ours.
std::chrono::seconds reach_of_switch(const Order& order, const Given& given, const Line& line) {
  constexpr std::chrono::hours most_of_a_day{16};
  if (!is_once_a_day(line)) return {};
  const bool may_be_old = is_of_unknown_insulin(order, given) && given.when.day() <= line.text.from;
  const bool is_old = std::ranges::any_of(order.lines, [&](const Line& own) {
    return is_once_a_day(own) && comes_after(line, own) &&
           (may_be_old || internal::is_of(given, own));
  });
  return is_old ? most_of_a_day : std::chrono::seconds{};
}

/// Premixed insulin has basal insulin in it: what went in outside its hours acts for longer than a
/// meal's. Ours, as at the telephone.
std::chrono::seconds reach_of_premixed(const Line& line) {
  return line.text.purpose == Purpose::premixed ? std::chrono::hours{6} : std::chrono::hours{0};
}

/// A basal dose more than the slot before this one asked for, after that one's own: it can only be
/// this one, however early (H52, H07).
bool is_one_more(const Order& order, const Given& given, const Due& due, const Line& line,
                 const ZoneRules& zone) {
  // A journal of years is not gone through for each injection: the slot before is a day away.
  if (due.at.at - given.when.at > days{2} || !is_basal(line) || !internal::is_of(given, line))
    return false;
  std::optional<Due> before;
  std::vector<Due> slots;
  for (int back = -1; back <= 0; ++back)
    internal::add_dues(line, due.day + days{back}, zone, slots);
  for (const Due& slot : slots) {
    if (slot.at.at < due.at.at && (!before || slot.at.at > before->at.at)) before = slot;
  }
  if (!before) return false;
  // Of a line once a day a second dose is more than ordered: no answer of its own excuses it.
  const bool is_more = before->day < line.text.from ||
                       (!is_once_a_day(line) && is_answered_by_another(order, *before, given));
  return is_more && given.when.at > before->to.at && is_unnamed(given, line, zone);
}

bool may_be(const Order& order, const Given& given, const Due& due, const Line& line,
            std::chrono::seconds reach, Instant until, const ZoneRules& zone) {
  const Instant from =
      due.from.at - std::max({reach, reach_of_switch(order, given, line), reach_of_premixed(line)});
  if (given.when.at > until) return false;
  return (given.when.at >= from || is_one_more(order, given, due, line, zone)) &&
         is_like(order, given, line, zone) && !is_another_dose(order, given, line, due, zone);
}

std::vector<const Given*> like_given(const Order& order, const Due& due, const Line& line,
                                     std::chrono::seconds reach, Instant until,
                                     const ZoneRules& zone) {
  std::vector<const Given*> found;
  for (const Given& given : order.given) {
    if (may_be(order, given, due, line, reach, until, zone)) found.push_back(&given);
  }
  return found;
}

/// Whether the line and the other are versions of each other.
bool is_chained(const Order& order, const Line& one, const Id& other) {
  const Line* line = order.line(other);
  return line != nullptr && (order.stands_for(*line, one.id) || order.stands_for(one, line->id));
}

/// Whether nobody said something else of that time of day since.
bool is_last_word(const Order& order, const Line& own, const Said& said) {
  const auto later =
      std::ranges::find_if(order.said.rbegin(), order.said.rend(), [&](const Said& one) {
        return one.rest_of == said.rest_of && one.slot == said.slot && one.day == said.day &&
               is_chained(order, own, one.line);
      });
  return later != order.said.rend() && &*later == &said;
}

/// The slot that it is about, of its line or else of one before or after it that has that time of
/// day; nothing: of none, or somebody said something else of it since.
std::optional<Due> slot_told(const Order& order, const Said& said, const ZoneRules& zone) {
  const Line* own = order.line(said.line);
  if (own == nullptr || said.rest_of || !is_last_word(order, *own, said)) return std::nullopt;
  std::optional<Due> found;
  for (const Line& line : order.lines) {
    if (!is_chained(order, *own, line.id) || (found && line.id != own->id)) continue;
    std::vector<Due> dues;
    internal::add_dues(line, said.day, zone, dues);
    const auto due = std::ranges::find(dues, said.slot, &Due::name);
    if (due != dues.end()) found = *due;
  }
  return found;
}

Given as_given(const Order& order, const Said& said, const Due& due) {
  Given given = as_if_given(order, due);
  given.fact = said.fact;
  if (said.was == journal::DoseWas::taken && said.when.at < due.at.at) given.when = said.when;
  return given;
}

/// What was said of a line or a part that was struck out since, or of a time of day that no line
/// has any more: nothing is left of it but the insulin and the day, and it is perhaps this day's
/// dose, of whatever time of day (H52, H07).
std::optional<Given> told_of_gone(const Order& order, const Said& said, const Line& line,
                                  const Due& due, const ZoneRules& zone) {
  if (said.day != due.day || said.was == journal::DoseWas::not_taken) return std::nullopt;
  const auto struck = std::ranges::find(order.struck, said.line, &Struck::id);
  const bool of_struck = struck != order.struck.end() && is_once_a_day(line) &&
                         struck->purpose == Purpose::background && !said.rest_of;
  const Line* own = order.line(said.line);
  const bool of_this =
      own != nullptr && speaks_of(order, said, line) && is_last_word(order, *own, said);
  const bool no_part = said.rest_of && std::ranges::find(order.given, *said.rest_of,
                                                         &Given::fact) == order.given.end();
  const bool no_slot = !said.rest_of && is_once_a_day(line) && !slot_told(order, said, zone);
  if (!of_struck && !(of_this && (no_part || no_slot))) return std::nullopt;
  Given given;
  given.fact = said.fact;
  given.when = said.when;
  given.insulin = of_struck ? struck->insulin : line.text.insulin;
  given.units = given.meant = due.units;
  return given;
}

}  // namespace

std::vector<const Given*> perhaps_given(const Order& order, const Due& due, Instant until,
                                        const ZoneRules& zone) {
  const Line* line = order.line(due.line);
  if (!line) return {};
  return like_given(order, due, *line, internal::reach_of(*line), until, zone);
}

std::vector<SaidDose> perhaps_said(const Order& order, const Due& due, Instant until,
                                   const ZoneRules& zone) {
  std::vector<SaidDose> found;
  const Line* line = order.line(due.line);
  if (!line) return found;
  for (const Said& said : order.said) {
    if (auto told = told_of_gone(order, said, *line, due, zone); told && told->when.at <= until)
      found.push_back({&said, *std::move(told)});
    const bool of_this = speaks_of(order, said, *line) && has_slot(*line, said.slot);
    if (said.was == journal::DoseWas::not_taken || said.line == line->id || of_this) continue;
    const auto slot = slot_told(order, said, zone);
    if (!slot || !given_for(order, *slot).empty()) continue;
    Given given = as_given(order, said, *slot);
    if (may_be(order, given, due, *line, internal::reach_of(*line), until, zone))
      found.push_back({&said, std::move(given)});
  }
  return found;
}

std::vector<const Given*> given_beside(const Order& order, const Due& due, Instant until,
                                       const ZoneRules& zone) {
  const Line* line = order.line(due.line);
  if (!line) return {};
  const std::chrono::seconds half_a_day{std::chrono::hours{beside_hours}};
  return like_given(order, due, *line,
                    is_once_a_day(*line) ? half_a_day : internal::reach_of(*line), until, zone);
}

namespace {

bool allows(const Line& line, Units units) {
  return !line.most().is_zero() && units >= line.least() && units <= line.most();
}

/// As much as this line orders, and as no line of its own insulin does on that day; of an insulin
/// that nobody ordered, as much as this line orders.
bool is_as_if_of(const Order& order, const Given& given, const Due& due, const Line& line,
                 const ZoneRules& zone) {
  if (given.insulin.empty() || given.outcome != journal::Outcome::whole ||
      !allows(line, given.units))
    return false;
  for (const Line* own : order.holding(given.when.day())) {
    if (!same_name(own->text.insulin, given.insulin)) continue;
    // As much as this dose, and at no hour of its own line's: its limits alone do not explain it.
    const auto slot = slot_of(order, *own, given.fact, zone);
    if (given.units == due.units && !(slot && slot->units == given.units)) continue;
    // A line that states no limits may allow something above its doses, too.
    const bool unstated = own->text.most_units.is_zero() &&
                          given.units.hundredths() * 2 <= own->most().hundredths() * 3;
    if (unstated || allows(*own, given.units)) return false;
  }
  return true;
}

}  // namespace

namespace {

/// Tissue, heat, a pen past its days: whoever keeps the dose then was not asked how much went in.
bool is_about_doses(journal::QuestionReason reason) {
  using Reason = journal::QuestionReason;
  return reason != Reason::hardened_tissue && reason != Reason::heat &&
         reason != Reason::shared_pen && reason != Reason::past_in_use;
}

/// What went in up to the answer and came on record after it.
bool is_told_later(const Order& order, const Line& line, Instant since, const Answer& answer) {
  constexpr std::chrono::hours acts{26};
  const auto from = std::ranges::lower_bound(order.given, since - acts, {},
                                             [](const Given& given) { return given.when.at; });
  return std::any_of(from, order.given.end(), [&](const Given& given) {
    const auto of = insulin_of(order, given);
    return given.when.at <= answer.when.at && given.recorded > answer.recorded &&
           (of.empty() || same_name(of, line.text.insulin) || is_unordered_basal(order, given));
  });
}

}  // namespace

bool is_answered_since(const Order& order, const Line& line, Instant since,
                       const std::optional<Recorded>& known) {
  return std::ranges::any_of(order.questions, [&](const Question& question) {
    return question.concerns(line.id) && is_about_doses(question.reason) && question.answer &&
           question.answer->when.at >= since && !(known && *known > question.answer->recorded) &&
           !is_told_later(order, line, since, *question.answer);
  });
}

const Given* swapped_for(const Order& order, const Due& due, Instant until, const ZoneRules& zone) {
  const Line* line = order.line(due.line);
  if (!line) return nullptr;
  const Given* found = nullptr;
  for (const Given& given : order.given) {
    const bool told_so = given.not_of == line->id;
    const std::chrono::seconds reach = told_so ? internal::reach_of(*line) : minutes{near_minutes};
    if (given.when.at < due.from.at - reach || given.when.at > until) continue;
    if (internal::is_of(given, *line) ||
        (is_like(order, given, *line, zone) && !is_unordered_basal(order, given)))
      continue;
    if (told_so || is_as_if_of(order, given, due, *line, zone)) found = &given;
  }
  return found && !is_answered_since(order, *line, found->when.at) ? found : nullptr;
}

bool is_on_record(const Order& order, const Due& due, const ZoneRules& zone) {
  const auto perhaps = perhaps_given(order, due, due.to.at + minutes{near_minutes}, zone);
  return !given_for(order, due).empty() || std::ranges::any_of(perhaps, [&](const Given* given) {
    // Of another slot, so little of it, an insulin that nobody ordered, or a rest whose part was
    // struck out: it answers this one only where somebody says so (H57, H39, H04).
    const bool is_part = given->outcome != journal::Outcome::unknown && given->units < given->meant;
    const bool is_little = given->without_part || is_unordered_basal(order, *given) ||
                           (!is_part && given->units.hundredths() * 2 < due.units.hundredths());
    return !is_little && !internal::is_other_slots(order, *given, due, zone);
  });
}

std::vector<Told> only_told(const Order& order, const ZoneRules& zone) {
  std::vector<Told> found;
  for (const Said& said : order.said) {
    auto due =
        said.was == journal::DoseWas::not_taken ? std::nullopt : slot_told(order, said, zone);
    if (!due || is_on_record(order, *due, zone)) continue;
    due->at = as_given(order, said, *due).when;
    found.push_back({*due, said.was == journal::DoseWas::taken});
  }
  for (const Given& part : order.given) {
    const Line* line = part.line ? order.line(*part.line) : nullptr;
    if (line == nullptr || part.completes || part.meant <= part.units) continue;
    const auto whole = internal::whole_of(order, *line, part.fact, zone);
    if (!whole.taken && !whole.rest_unknown) continue;
    auto due = slot_of(order, *line, part.fact, zone).value_or(Due{});
    due.line = line->id;
    due.at = part.when;
    due.units = whole.missing();
    found.push_back({due, whole.taken});
  }
  return found;
}

bool contradicts_not_taken(const Order& order, const Given& given, const Line& line) {
  if (line.text.purpose == Purpose::mealtime && internal::is_of(given, line) &&
      !internal::leaves_open(given, line))
    return false;
  const Line* own = given.line ? order.line(*given.line) : nullptr;
  return same_name(own ? own->text.insulin : given.insulin, line.text.insulin);
}

std::vector<const Given*> given_near(const Order& order, std::string_view insulin, Instant when) {
  // A second dose of the night's basal insulin is one however far apart (H52).
  std::chrono::seconds reach = minutes{near_minutes};
  for (const Line& line : order.lines) {
    if (!line.replaced_by && same_name(line.text.insulin, insulin))
      reach = std::max(reach, internal::reach_of(line));
  }
  std::vector<const Given*> found;
  for (const Given& given : order.given) {
    const auto of = insulin_of(order, given);
    if ((of.empty() || same_name(of, insulin)) && abs(given.when.at - when) <= reach)
      found.push_back(&given);
  }
  return found;
}

bool waited_for_check(const Line& line, const Due& due) {
  const bool checked = line.checked && line.checked->when.at <= due.at.at;
  return written_at(line) <= due.to.at && !checked;
}

std::optional<Unrecorded> unrecorded(const Order& order, const Line& line, const When& since,
                                     std::optional<Instant> now, const ZoneRules& zone) {
  if (!is_basal(line)) return std::nullopt;
  const Record record = record_of(order, line, zone);
  When start = zone.when(std::max(since.at, first_told(order, line)));
  if (record.from && start.at < record.from->at) start = *record.from;
  for (const Said& said : order.said) {
    for (const Due& due : slots_of(order, line, said.day, zone)) {
      if (!said.rest_of && said.slot == due.name && speaks_of(order, said, line) &&
          said_of(order, due) != nullptr && start.at < due.to.at)
        start = due.to;
    }
  }
  std::optional<Unrecorded> found;
  const LocalDay last = now ? zone.when(*now).day() : start.day() + days{2 * look_ahead_days};
  for (LocalDay day = start.day() - days{1}; day <= last; day += days{1}) {
    for (const Due& due : slots_of(order, line, day, zone)) {
      if (due.to.at <= start.at || (now && due.to.at >= *now) || is_answered(order, due, zone))
        continue;
      if (found && !found->until && !record.from && !waited_for_check(line, found->first))
        found->until = due.to;
      if (!found) found = Unrecorded{due, due, record.by_diary, {}};
      found->last = due;
    }
    if (!now && found && (record.from || found->until)) break;
    // What lies between the first and the last weeks changes nothing.
    if (found && day + days{look_ahead_days} < last) day = last - days{look_ahead_days};
  }
  if (now && found && found->until) return std::nullopt;
  return found;
}

std::optional<Due> passed_over(const Order& order, const Line& line, const When& since, Instant now,
                               const ZoneRules& zone) {
  if (!is_basal(line)) return std::nullopt;
  std::optional<Instant> first, last;  // that are on record
  for (const Given& given : order.given) {
    if (given.when.at > now || !(internal::is_of(given, line) || is_like(order, given, line, zone)))
      continue;
    if (!first) first = given.when.at;
    last = given.when.at;
  }
  if (!first) return std::nullopt;
  const Instant from = std::max(
      {*first, since.at, first_told(order, line), now - std::chrono::seconds{passed_over_hours}});
  std::optional<Due> found;
  for (LocalDay day = zone.when(from).day() - days{1}; day <= zone.when(*last).day();
       day += days{1}) {
    for (const Due& due : slots_of(order, line, day, zone)) {
      if (due.to.at > from && due.to.at < *last && !is_answered(order, due, zone)) found = due;
    }
  }
  return found;
}

}  // namespace penstock::order
