#include "edge/drawing/kit/label.hpp"

#include <algorithm>

namespace penstock::drawing {
namespace {

using namespace literals;

constexpr Px character =
    8.2_px;  // average of Atkinson Hyperlegible bold at 15 px, with a little to spare
constexpr Px line_height = 18_px;

}  // namespace

Px guessed_width(std::string_view words) { return characters(words) * character; }

std::vector<std::string> wrapped(std::string_view words, Px width) {
  std::vector<std::string> lines(1);
  while (!words.empty()) {
    const auto end = std::min(words.find(' '), words.size());
    const std::string_view word = words.substr(0, end);
    words.remove_prefix(std::min(end + 1, words.size()));
    auto& line = lines.back();
    if (!line.empty() && guessed_width(line) + guessed_width(word) + character > width) {
      lines.emplace_back(word);
    } else {
      if (!line.empty()) line += ' ';
      line += word;
    }
  }
  return lines;
}

Px label(Canvas& canvas, const Label& caption) {
  const Px needed = guessed_width(caption.words);
  const Px right_room = caption.width - caption.right;
  const Px left_room = caption.left;
  const bool to_right = right_room >= needed || right_room >= left_room;
  const Px room = to_right ? right_room : left_room;
  Px y = caption.y;
  for (const auto& line : wrapped(caption.words, room)) {
    canvas.text(caption.cls, to_right ? caption.right : caption.left, y,
                to_right ? Anchor::start : Anchor::end, line);
    y = y + line_height;
  }
  return y - caption.y + 2_px;
}

}  // namespace penstock::drawing
