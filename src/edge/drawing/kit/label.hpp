// A caption beside a mark: to its right where there is room, else to its left, else in several
// lines.
#pragma once

#include <string_view>
#include <vector>

#include "edge/drawing/kit/svg.hpp"

namespace penstock::drawing {

struct Label {
  std::string_view cls;  ///< lb or lo: 15 px bold
  Px left;               ///< a caption to the left of the mark ends here
  Px right;              ///< one to the right begins here
  Px y;                  ///< its first baseline
  Px width;              ///< of the whole drawing
  std::string_view words;
};

/// Draws it and returns how far down the next caption starts.
Px label(Canvas& canvas, const Label& caption);

/// Words in lines of at most `width`, by the widest average of the face at 15 px bold. A single
/// long word is never broken.
std::vector<std::string> wrapped(std::string_view words, Px width);

/// A generous guess of a text's width at 15 px bold: the drawing has no font to ask.
Px guessed_width(std::string_view words);

}  // namespace penstock::drawing
