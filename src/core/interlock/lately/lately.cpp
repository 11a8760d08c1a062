#include "core/interlock/lately/lately.hpp"

#include <algorithm>

#include "core/order/recording.hpp"
#include "core/order/then/then.hpp"

namespace penstock::interlock {

// A weekly line comes round once.
constexpr int round_days = 8;

std::optional<order::Due> slot_before(const chart::Chart& person, const order::Due& due) {
  std::optional<order::Due> found;
  for (int back = 0; back <= round_days && !found; ++back) {
    for (const auto& one :
         order::dues_then(person.order, due.day - std::chrono::days{back}, person.zone)) {
      if (person.order.stands_for(*person.order.line(due.line), one.line) && one.at.at < due.at.at)
        found = one;
    }
  }
  return found;
}

std::optional<ForSlot> slot_for(const chart::Chart& person, const order::Line& line,
                                const order::Due& due, const ledger::Pending* rest, Instant now) {
  if (rest == nullptr) return ForSlot{due, now};
  const auto& order = person.order;
  const auto part = std::ranges::find(order.given, rest->fact, &order::Given::fact);
  const auto slot = order::slot_of(order, line, rest->fact, person.zone);
  if (!slot || part == order.given.end()) return std::nullopt;
  return ForSlot{*slot, part->begun.value_or(part->when).at - std::chrono::seconds{1}};
}

namespace {

/// Whether it lies so far from a day that it is said. Where the order's hour was changed it can be
/// much more than one (H38); after two days a missed dose is asked about.
constexpr std::chrono::hours gap_most{48};
bool is_no_day(std::chrono::seconds apart, bool changed) {
  constexpr std::chrono::hours day{24}, least{order::basal_apart_hours};
  return apart < least || (changed && apart > day + (day - least) && apart < gap_most);
}

bool is_answered_by(const order::Order& order, const order::Due& due, const Id& fact) {
  const auto all = order::given_for(order, due);
  return std::ranges::find(all, fact, &order::Given::fact) != all.end();
}

/// Recorded without a line, in the hours of another basal line of its insulin: that one's dose.
bool is_of_another_line(const chart::Chart& person, const order::Given& given,
                        const order::Line& line) {
  if (given.line) return false;
  const auto day = given.when.day();
  return std::ranges::any_of(person.order.holding(day), [&](const order::Line* own) {
    if (own->id == line.id || !order::is_basal(*own) || !order::is_of_line(given, *own))
      return false;
    const auto slots = order::slots_on(*own, day, person.zone);
    return std::ranges::any_of(slots, [&](const order::Due& slot) {
      return is_answered_by(person.order, slot, given.fact);
    });
  });
}

// Further apart than any change of clocks: their person's clock is another one by now (H18).
bool have_travelled(const When& a, const When& b) {
  return std::abs(a.offset_minutes - b.offset_minutes) > 60;
}

/// The last basal dose before this one of a line once a day, injected or said to be taken, where it
/// lies much less than a day before it and is another slot's, or of the line whose place this one
/// took: it went in late, or the order's hour or insulin has changed (H07, H38). What may be any
/// insulin, or is basal insulin that nobody ordered, may be that dose, too (H52). Of that line also
/// where it lies much more than a day before it. Nothing: a day lies between.
class LastBasal {
 public:
  LastBasal(const chart::Chart& person, const order::Line& line, const order::Due& due,
            Instant until)
      : person_(person), line_(line), due_(due), until_(until), once_(order::is_once_a_day(line)) {}

  void look_at(const order::Given& given, bool is_this_slots) {
    if (given.when.at > until_ || given.when.at >= due_.at.at) return;
    if ((last_ && last_->when.at > given.when.at) || is_of_another_line(person_, given, line_))
      return;
    const auto& order = person_.order;
    const bool of_old = std::ranges::any_of(order.lines, [&](const order::Line& own) {
      return own.replaced_by == line_.id && order::is_once_a_day(own) &&
             order::is_of_line(given, own);
    });
    const bool unordered = order::is_unordered_basal(order, given);
    if (!once_ && !of_old && !unordered) return;
    // Nobody can say that it was not this insulin (H52).
    const bool may_be = order::is_of_unknown_insulin(order, given) || unordered || of_old;
    if (!may_be && (!order::is_of_line(given, line_) || is_this_slots)) return;
    last_ = given;
    changed_ = of_old || have_travelled(given.when, due_.at);
  }

  std::optional<order::Given> found() const {
    return last_ && is_no_day(due_.at.at - last_->when.at, once_ && changed_) ? last_
                                                                              : std::nullopt;
  }

 private:
  const chart::Chart& person_;
  const order::Line& line_;
  const order::Due& due_;
  Instant until_;
  bool once_;
  std::optional<order::Given> last_;
  bool changed_ = false;
};

std::optional<order::Given> basal_before(const chart::Chart& person, const order::Line& line,
                                         const order::Due& due, Instant until) {
  if (!order::is_basal(line)) return std::nullopt;
  LastBasal last(person, line, due, until);
  // A journal of years is not gone through for each dose.
  const auto from = std::ranges::lower_bound(person.order.given, due.at.at - gap_most, {},
                                             [](const auto& given) { return given.when.at; });
  for (auto given = from; given != person.order.given.end(); ++given)
    last.look_at(*given, is_answered_by(person.order, due, given->fact));
  for (const auto& [told, taken] : order::only_told(person.order, person.zone)) {
    const bool is_this = told.line == due.line && told.day == due.day && told.name == due.name;
    if (taken) last.look_at(order::as_if_given(person.order, told), is_this);
  }
  return last.found();
}

/// Of basal insulin several times a day: the dose before this one, where it went in so late that
/// less than half of the time that the order has between them is left (H07, H38). Ours.
std::optional<order::Given> too_close(const chart::Chart& person, const order::Line& line,
                                      const order::Due& due, Instant until) {
  if (!order::is_basal(line) || line.text.slots.size() < 2) return std::nullopt;
  const auto before = slot_before(person, due);
  if (!before) return std::nullopt;
  const auto given = order::given_for(person.order, *before);
  if (given.empty() || given.back()->when.at > until) return std::nullopt;
  const auto left = due.at.at - given.back()->when.at;
  return left * 2 < due.at.at - before->at.at ? std::optional(*given.back()) : std::nullopt;
}

/// For how long the next dose is held after a basal dose; not at all where it went in as ordered
/// then.
std::chrono::hours held_after(const chart::Chart& person, const order::Given& given, LocalDay day) {
  const auto in_hours = [&](const order::Due& slot) {
    const std::chrono::minutes near{order::near_minutes};
    return slot.from.at - near <= given.when.at && given.when.at <= slot.to.at + near;
  };
  bool is_of_a_line = false;
  for (const auto& own : person.order.lines) {
    if (!order::is_of_line(given, own)) continue;
    is_of_a_line = true;
    if (!order::held_then(person.order, own, given.when)) continue;
    for (int ahead = -1; ahead <= 1; ++ahead) {
      const auto slots =
          order::slots_on(own, given.when.day() + std::chrono::days{ahead}, person.zone);
      if (std::ranges::any_of(slots, in_hours)) return std::chrono::hours{0};
    }
  }
  const auto insulin = order::insulin_of(person.order, given);
  const bool ordered = std::ranges::any_of(person.order.holding(day), [&](const auto* own) {
    return order::is_same_insulin(own->text.insulin, insulin);
  });
  const bool is_known = is_of_a_line || order::is_unordered_basal(person.order, given);
  return is_known && !ordered ? basal_held_after_end : basal_held;
}

}  // namespace

std::optional<Lately> lately_before(const chart::Chart& person, const order::Line& line,
                                    const order::Due& due, Instant until) {
  const auto once = basal_before(person, line, due, until);
  if (once) return Lately{*once, held_after(person, *once, due.day)};
  // It may be as late as its own hours allow: it is said, and holds nothing.
  const auto close = too_close(person, line, due, until);
  return close ? std::optional(Lately{*close, std::chrono::hours{0}, true}) : std::nullopt;
}

}  // namespace penstock::interlock
