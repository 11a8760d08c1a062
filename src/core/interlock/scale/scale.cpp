#include "core/interlock/scale/scale.hpp"

#include <algorithm>
#include <optional>
#include <variant>

#include "core/journal/journal.hpp"
#include "core/order/order.hpp"

namespace penstock::interlock {

Units between(const ledger::ScaleCount& scale) {
  return difference(larger(scale.ledger_left, scale.counted),
                    smaller(scale.ledger_left, scale.counted));
}

namespace {

/// Whether the reading before the last one, with nothing pressed out in between, was the same: what
/// was left is what was read twice (H41), unless a dose or more may be missing (H59).
bool is_confirmed(const chart::Chart& person, const Id& line, const ledger::Cartridge& cartridge) {
  std::optional<Units> before, last;
  bool pressed_since = false;
  for (const auto& one : person.history.facts) {
    const auto* read = std::get_if<journal::ScaleCounted>(one.payload);
    const auto* in = std::get_if<journal::Injected>(one.payload);
    const auto* out = std::get_if<journal::Primed>(one.payload);
    if (read != nullptr && read->cartridge == cartridge.id) {
      before = pressed_since ? std::nullopt : last;
      last = read->units;
      pressed_since = false;
    } else if ((in != nullptr && in->cartridge == cartridge.id) ||
               (out != nullptr && out->cartridge == cartridge.id)) {
      pressed_since = true;
    }
  }
  if (!before || !last ||
      difference(larger(*before, *last), smaller(*before, *last)).hundredths() >
          scale_slack_hundredths)
    return false;
  const auto missing = checked_sub(cartridge.scale->ledger_left, cartridge.scale->counted);
  const auto* of = person.order.line(line);
  if (!missing || of == nullptr) return true;
  return std::ranges::none_of(of->text.slots, [&](const journal::Slot& slot) {
    return missing->hundredths() >= slot.units.hundredths() - scale_slack_hundredths;
  });
}

}  // namespace

const ledger::ScaleCount* open_scale(const chart::Chart& person, const Id& line,
                                     const ledger::Cartridge* cartridge) {
  if (cartridge == nullptr || !cartridge->scale) return nullptr;
  const auto& scale = *cartridge->scale;
  if (between(scale).hundredths() <= scale_slack_hundredths) return nullptr;
  // It was read to find out how much of a dose had gone in: the difference is the answer (H44).
  const auto less = checked_sub(scale.ledger_left, scale.counted);
  const auto unknown = sum(scale.uncounted, *Units::from_hundredths(scale_slack_hundredths));
  if (!scale.uncounted.is_zero() && less && *less <= unknown) return nullptr;
  if (is_confirmed(person, line, *cartridge)) return nullptr;
  const bool answered = std::ranges::any_of(person.order.said, [&](const order::Said& said) {
    return said.line == line && !said.rest_of && said.when.at >= scale.when.at;
  });
  return answered ? nullptr : &scale;
}

}  // namespace penstock::interlock
