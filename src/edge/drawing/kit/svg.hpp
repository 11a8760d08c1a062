// The little SVG that the drawings need: a path, a canvas, escaping. Everything that a caller
// passes in is escaped here and nowhere else.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "edge/drawing/kit/internal/px.hpp"

namespace penstock::drawing {

/// Text for an element or an attribute: the five characters of XML escaped; control characters that
/// XML forbids, broken UTF-8 and code points that are no characters become U+FFFD, so that no name
/// can break the page.
std::string escaped(std::string_view text);

/// Code points of a text: how many characters the eye sees, near enough to guess its width.
int characters(std::string_view text);

/// Path data, built by the usual letters. Absolute unless the name says `by`.
class Path {
 public:
  Path& move(Px x, Px y) { return point('M', x, y); }
  Path& line(Px x, Px y) { return point('L', x, y); }
  Path& line_by(Px x, Px y) { return point('l', x, y); }
  Path& across(Px x) { return single('H', x); }
  Path& across_by(Px x) { return single('h', x); }
  Path& down(Px y) { return single('V', y); }
  Path& down_by(Px y) { return single('v', y); }
  Path& curve(Px x1, Px y1, Px x2, Px y2, Px x, Px y);
  Path& quadratic(Px x1, Px y1, Px x, Px y);
  Path& arc(Px radius, bool clockwise, Px x, Px y);
  /// A whole circle, or an ellipse.
  Path& round(Px x, Px y, Px across, Px along);
  Path& close();
  Path& box(Px x, Px y, Px width, Px height);

  const std::string& data() const { return data_; }
  bool empty() const { return data_.empty(); }

 private:
  Path& point(char letter, Px x, Px y);
  Path& single(char letter, Px value);
  std::string data_;
};

/// One attribute; the value is escaped when it is written.
struct Attr {
  std::string_view name;
  std::string value;
};
using Attrs = std::vector<Attr>;

enum class Anchor : std::uint8_t { start, middle, end };

/// The inside of an <svg>, in painting order.
class Canvas {
 public:
  void path(std::string_view cls, std::string_view data, const Attrs& more = {});
  void path(std::string_view cls, const Path& data, const Attrs& more = {}) {
    if (!data.empty()) path(cls, data.data(), more);
  }
  void rect(std::string_view cls, Px x, Px y, Px width, Px height, const Attrs& more = {});
  void circle(std::string_view cls, Px x, Px y, Px radius, const Attrs& more = {});
  void text(std::string_view cls, Px x, Px y, Anchor anchor, std::string_view words,
            const Attrs& more = {});
  void open_group(const Attrs& attrs);
  void close_group();

  const std::string& body() const { return body_; }

 private:
  void element(std::string_view name, std::string_view cls, const Attrs& attrs, const Attrs& more);
  std::string body_;
};

/// What stands in the <svg> tag.
struct Frame {
  std::string_view cls{};
  Px left{};
  Px top{};
  Px width{};
  Px height{};
  std::string shown_width{};   ///< the attribute as text ("100%" or pixels); height follows
  std::string shown_height{};  ///< empty: follows from the width
  std::string_view alt{};      ///< empty: hidden from screen readers
  Attrs data{};                ///< what pointing at the drawing needs
};
std::string svg(const Frame& frame, const Canvas& canvas);

}  // namespace penstock::drawing
