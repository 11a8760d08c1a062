#include "core/interlock/scale/scale.hpp"

#include <algorithm>

#include "core/order/recording.hpp"

namespace penstock::interlock {
namespace {

const Units slack = *Units::from_hundredths(scale_slack_hundredths);

Units apart(Units a, Units b) { return difference(larger(a, b), smaller(a, b)); }
bool agree(Units a, Units b) { return apart(a, b) <= slack; }

/// Whether so much may be a dose of the line, or more.
bool may_be_a_dose(const order::Line& line, Units missing) {
  return std::ranges::any_of(line.text.slots, [&](const journal::Slot& slot) {
    return sum(missing, slack) >= slot.units;
  });
}

/// The slot that somebody spoke of; nothing: its line is not there any more.
std::optional<order::Due> slot_of(const chart::Chart& person, const order::Said& said) {
  const auto* line = person.order.line(said.line);
  if (line == nullptr) return std::nullopt;
  for (const auto& due : order::slots_on(*line, said.day, person.zone)) {
    if (due.name == said.slot) return due;
  }
  return std::nullopt;
}

/// What was said since of doses whose hour had not gone by then: it is an answer to the reading. Of
/// earlier ones the ledger has what was taken, and the rest says nothing of what is missing besides
/// (H59).
struct Answered {
  bool settles = false;         ///< one was not taken, or nobody knows; or the prescriber answered
  Units taken = Units::zero();  ///< of it so much was told
  bool is_told = false;
};
Answered answered_since(const chart::Chart& person, const order::Line& line,
                        const ledger::ScaleCount& count) {
  const When& read = count.when;
  const auto fact = std::ranges::find(person.facts, count.fact, &journal::Fact::id);
  std::optional<order::Recorded> known;
  if (fact != person.facts.end()) known = order::Recorded{fact->recorded, fact->sequence};
  Answered out{order::is_answered_since(person.order, line, read.at, known), Units::zero(), false};
  for (const auto& said : person.order.said) {
    if (said.rest_of || said.when.at < read.at || !order::speaks_of(person.order, said, line))
      continue;
    const auto slot = slot_of(person, said);
    if (said.was == journal::DoseWas::taken) {
      out.is_told = true;
      if (slot && slot->at.at > read.at) out.taken = sum(out.taken, slot->units);
    } else if (!slot || slot->to.at >= read.at) {
      out.settles = true;
    }
  }
  return out;
}

/// Whether the answers since leave no dose of the line missing.
bool is_answered(const chart::Chart& person, const order::Line& line,
                 const ledger::ScaleCount& read, Units expected) {
  const auto answered = answered_since(person, line, read);
  if (answered.settles || !answered.is_told) return answered.settles;
  const auto missing = checked_sub(expected, read.counted);
  const auto told = sum(answered.taken, read.uncounted);
  const auto besides =
      missing ? checked_sub(*missing, told).value_or(Units::zero()) : Units::zero();
  return besides.is_zero() || !may_be_a_dose(line, besides);
}

/// Whether the reading before it, with nothing pressed out in between, was the same: what was left
/// is what was read twice (H41), unless a dose or more may be missing, or be left (H59).
bool is_confirmed(const order::Line& line, const ledger::ScaleCount* before,
                  const ledger::ScaleCount& read, Units expected) {
  if (before == nullptr || !before->taken_since.is_zero() || !agree(before->counted, read.counted))
    return false;
  // So much more may be a dose that did not go in.
  return !may_be_a_dose(line, apart(expected, read.counted));
}

/// It was read to find out how much of a dose had gone in, or whether one that was said to be taken
/// came out of it: the difference is the answer (H44, H59).
bool is_explained(const ledger::ScaleCount& read, Units expected) {
  const auto less = checked_sub(expected, read.counted);
  return !read.uncounted.is_zero() && less && *less <= sum(read.uncounted, slack);
}

}  // namespace

Units OpenScale::difference() const { return apart(account, counted); }

std::optional<OpenScale> open_scale(const chart::Chart& person, const order::Line& line,
                                    const ledger::Cartridge* cartridge) {
  if (cartridge == nullptr || !cartridge->scale) return std::nullopt;
  auto readings = cartridge->scales_before;
  readings.push_back(*cartridge->scale);
  std::optional<OpenScale> open;
  auto expected = readings.front().ledger_left;
  const ledger::ScaleCount* before = nullptr;
  for (const auto& read : readings) {
    open.reset();
    if (agree(expected, read.counted)) {
      // The account goes on: little by little a dose may be missing.
    } else if (read.ledger_left > expected && agree(read.ledger_left, read.counted)) {
      expected = read.ledger_left;  // the reading that differed was a wrong one
    } else if (is_explained(read, expected) || is_confirmed(line, before, read, expected) ||
               is_answered(person, line, read, expected)) {
      expected = read.counted;
    } else {
      auto left = expected;
      if (read.counted < expected)
        left = checked_sub(expected, read.uncounted).value_or(Units::zero());
      open = OpenScale{cartridge->id, read.when, left, read.counted};
    }
    expected = checked_sub(expected, read.taken_since).value_or(Units::zero());
    before = &read;
  }
  return open;
}

std::optional<OpenScale> open_scale_elsewhere(const chart::Chart& person, const order::Line& line,
                                              const ledger::Cartridge* in_pen, Instant since) {
  std::optional<OpenScale> found;
  for (const auto& cartridge : person.ledger.cartridges) {
    const bool is_other = (in_pen == nullptr || cartridge.id != in_pen->id) &&
                          order::is_same_insulin(cartridge.copy.name, line.text.insulin) &&
                          cartridge.copy.strength == line.text.strength;
    const auto open = is_other ? open_scale(person, line, &cartridge) : std::nullopt;
    if (!open || open->when.at < since) continue;
    const auto missing = checked_sub(open->account, open->counted);
    if (missing && may_be_a_dose(line, *missing) && (!found || found->when.at <= open->when.at))
      found = open;
  }
  return found;
}

bool lacks(const OpenScale& open, const order::Line& line, const order::Due& due, Units dose,
           const shelf::Pen& pen) {
  const auto missing = checked_sub(open.account, open.counted);
  const bool background = line.text.purpose == journal::Purpose::background;
  const std::chrono::minutes reach = background ? std::chrono::hours{order::background_hours}
                                                : std::chrono::minutes{order::near_minutes};
  if (!missing || open.when.at < due.from.at - reach) return false;
  const auto most = sum(sum(dose, larger(pen.prime, pen.prime_new_cartridge)), slack);
  return sum(*missing, slack) >= dose && *missing <= most;
}

}  // namespace penstock::interlock
