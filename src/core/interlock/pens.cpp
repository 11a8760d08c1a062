// Which pen of the insulin the dose is from, and what is said of the others in the house.
#include <algorithm>

#include "core/accuracy/accuracy.hpp"
#include "core/interlock/internal/case.hpp"

namespace penstock::interlock::internal {
namespace {

using chart::Chart;

// Whoever lost what was in a pen, and loaded nothing since, lost the pen with it: a new one is
// given, or a cartridge is loaded into this one (H38, H53).
bool went_lost(const Chart& person, const ledger::Pen& pen) {
  if (pen.cartridge) return false;
  const ledger::Cartridge* last = nullptr;
  for (const auto& one : person.ledger.cartridges) {
    const bool later = last == nullptr || last->loaded_when.at <= one.loaded_when.at;
    if (one.last_pen == pen.id && one.thrown && later) last = &one;
  }
  return last != nullptr && last->thrown->reason == journal::ThrowReason::lost;
}

const ledger::Cartridge* in_it(const Chart& person, const ledger::Pen& pen) {
  const auto* cartridge = pen.cartridge ? person.ledger.cartridge(*pen.cartridge) : nullptr;
  return cartridge == nullptr || cartridge->thrown ? nullptr : cartridge;
}

bool is_recalled(const House& house, const ledger::Cartridge& cartridge) {
  return interlock::is_recalled(house, cartridge.copy.name, cartridge.copy.strength, cartridge.lot);
}

// A pen with insulin in it that serves comes before one with a cartridge that does not, or that
// stayed dry, and an empty one is the spare (H61, H64).
int readiness(const Chart& person, const House& house, const ledger::Pen& pen, LocalDay on) {
  const auto* cartridge = in_it(person, pen);
  if (cartridge == nullptr) return 0;
  const bool serves = cartridge->fitness(on) == ledger::Fitness::serves &&
                      !cartridge->left.is_zero() && !is_recalled(house, *cartridge) &&
                      pen.flow() != ledger::FlowState::not_this_pen &&
                      test_outside(person, pen) == nullptr;
  return serves ? 2 : 1;
}

std::string_view window_code(std::optional<shelf::Window> window) {
  if (!window) return other_pens::window_unknown;
  return *window == shelf::Window::counts_on ? other_pens::counts_on : other_pens::returns_to_zero;
}

Error why_not(const Chart& person, const House& house, const ledger::Pen& pen,
              const ledger::Pen& instead, LocalDay on) {
  const auto* cartridge = in_it(person, pen);
  if (!pen.shared.empty()) return refused(other_pens::shared, {});
  if (pen.strength != instead.strength)
    return refused(other_pens::strength, {arg_strength("strength", pen.strength)});
  if (cartridge == nullptr) return refused(other_pens::empty, {});
  if (is_recalled(house, *cartridge))
    return refused(other_pens::recalled, {arg_text("lot", cartridge->lot)});
  if (const auto fitness = cartridge->fitness(on); fitness != ledger::Fitness::serves)
    return refused(other_pens::unfit, {arg_code("reason", ledger::code_of(fitness))});
  if (pen.flow() == ledger::FlowState::not_this_pen) return refused(other_pens::dry, {});
  if (test_outside(person, pen) != nullptr) return refused(other_pens::outside, {});
  if (cartridge->left.is_zero()) return refused(other_pens::empty, {});
  const auto window = known_window(pen, house.shelf);
  if (window != known_window(instead, house.shelf)) return refused(window_code(window), {});
  return refused(other_pens::ready, {});
}

}  // namespace

const supply::Test* test_outside(const Chart& person, const ledger::Pen& pen) {
  const supply::Test* last = nullptr;
  for (const auto& test : person.supply.tests) {
    if (test.said.pen == pen.id) last = &test;
  }
  const auto& values = last != nullptr ? last->said.delivered : std::vector<Units>{};
  const auto count = static_cast<std::int64_t>(values.size());
  if (last == nullptr || count < accuracy::limits::n_least) return nullptr;
  const auto limits =
      accuracy::limits_of(last->said.dialled, smaller(pen.copy.step, last->said.dialled));
  std::int64_t all = 0;
  for (const auto one : values) all += one.hundredths() * 10'000;
  const bool outside = all < count * limits.low.millionths || all > count * limits.high.millionths;
  return outside ? last : nullptr;
}

std::vector<const ledger::Pen*> pens_for(const Chart& person, const House& house,
                                         const order::Line& line, const ledger::Pending* rest,
                                         LocalDay on) {
  std::vector<const ledger::Pen*> out;
  for (const auto& pen : person.ledger.pens) {
    if (pen.is_here() && pen.shared.empty() && pen.insulin == line.text.insulin &&
        pen.strength == line.text.strength && !went_lost(person, pen))
      out.push_back(&pen);
  }
  std::ranges::reverse(out);  // of equals the one that was given last
  constexpr int gave_part = 3, has_question = 4;
  const auto rank = [&](const ledger::Pen* pen) {
    const auto* cartridge = in_it(person, *pen);
    // What one pen's scale says of this dose is settled before the other pen gives it (H59).
    if (open_scale(person, line, cartridge)) return has_question;
    const int ready = readiness(person, house, *pen, on);
    // The rest of a dose comes from the pen that gave the first part, while that serves (H39, H01).
    return rest != nullptr && pen->cartridge == rest->cartridge && ready == 2 ? gave_part : ready;
  };
  // Of those that serve the one in use, and of these the one that ends first.
  const auto ends = [&](const ledger::Pen* pen) {
    const auto* cartridge = in_it(person, *pen);
    if (cartridge == nullptr || cartridge->is_new()) return LocalDay::max();
    return cartridge->last_day().value_or(LocalDay::max());
  };
  std::ranges::stable_sort(out, [&](const ledger::Pen* a, const ledger::Pen* b) {
    if (rank(a) != rank(b)) return rank(a) > rank(b);
    return ends(a) < ends(b);
  });
  return out;
}

std::vector<OtherPen> others_of(const Chart& person, const House& house, const Dose& dose,
                                LocalDay on) {
  std::vector<OtherPen> out;
  if (dose.pen == nullptr) return out;
  const auto* plan = cleared(dose.verdict);
  // Where another cartridge goes in, the empty pen beside this one is one to put it into.
  const bool opens =
      plan != nullptr &&
      std::ranges::any_of((*plan)->plan.actions, [&](const dial::Action& action) {
        return action.what == dial::Do::dial && (*plan)->sources[action.cartridge].goes_in();
      });
  for (const auto& pen : person.ledger.pens) {
    if (&pen == dose.pen || !pen.is_here() || pen.insulin != dose.line->text.insulin ||
        went_lost(person, pen))
      continue;
    const bool may_be_filled = opens && pen.copy.takes == shelf::Presentation::cartridge;
    if (in_it(person, pen) == nullptr && !may_be_filled) continue;
    out.push_back({&pen, why_not(person, house, pen, *dose.pen, on)});
  }
  return out;
}

}  // namespace penstock::interlock::internal
