// Skin, fat and muscle as an engraver cuts them: strokes that thin out, lobules, fibres. Everything
// stays inside its own layer, so nothing has to be cut off.
#pragma once

#include "edge/drawing/kit/smooth.hpp"

namespace penstock::drawing {

/// A block of tissue on the page. Depths count from `top`, along the needle.
struct Block {
  Px left;
  Px right;
  Px top;
  Px skin;    ///< where fat begins
  Px muscle;  ///< where muscle begins
  Px bottom;
  Px lift{};  ///< a fold is lifted by so much above what lies beside it; 0: flat

  Px width() const { return right - left; }
  /// How far below `top` the surface lies there.
  Px sink(Px x) const;
};

void draw_tissue(Canvas& canvas, const Block& block);

}  // namespace penstock::drawing
