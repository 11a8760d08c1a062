// A number that the interlock cleared, for whoever tests what is drawn or written of one: the call
// of somebody with a pen that dials quarters, up to 300 units.
#pragma once

#include <algorithm>

#include "base/base.hpp"
#include "core/interlock/interlock.hpp"

namespace penstock::tests {

inline interlock::Cleared<interlock::Plan> cleared_plan(Units dose) {
  using Is = interlock::Flags::Is;
  const auto& shelf = shelf::of_the_program();
  interlock::Call call;
  call.flags = {Is::no, Is::no, Is::no, Is::no, interlock::Flags::Last::hours, 24, Is::no};
  call.pen = shelf.pen("reusable-whole-60")->thing;
  call.pen.window = shelf::Window::returns_to_zero;
  call.pen.step = *Units::from_hundredths(25);
  call.pen.most = *Units::from_hundredths(30'000);
  call.insulin = *shelf.insulin("glargine-100");
  call.dose = dose;
  call.dose_said_twice = true;
  call.left = *Units::from_hundredths(30'000);
  call.days_in_use = 6;
  const auto verdict = interlock::decide(call, {shelf, {}});
  const auto* cleared = interlock::cleared(verdict);
  INVARIANT(cleared != nullptr);
  return *cleared;
}

/// What that pen's window shows.
inline interlock::Cleared<Units> cleared_window(Units dose) {
  const auto plan = cleared_plan(dose);
  const auto step = std::ranges::find(plan->plan.actions, dial::Do::dial, &dial::Action::what);
  INVARIANT(step != plan->plan.actions.end());
  return interlock::window_of(plan, *step);
}

}  // namespace penstock::tests
