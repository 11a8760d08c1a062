// The heads of the insulin marks: the shape of the action, on a stem.
#pragma once

#include "edge/drawing/kit/svg.hpp"
#include "edge/drawing/pens/pens.hpp"

namespace penstock::drawing {

struct InsulinAt {
  Px x{};          ///< middle of the stem
  Px y{};          ///< top of the head
  Px foot{};       ///< lower end of the stem
  int size = 100;  ///< of the head, in per cent
  Standing standing =
      Standing::ordered;  ///< in question, or not yet injected: open, in the overprint
};
void draw_insulin(Canvas& canvas, Action action, const InsulinAt& at);

}  // namespace penstock::drawing
