#include "edge/drawing/kit/svg.hpp"

#include <cstddef>

#include "base/base.hpp"

namespace penstock::drawing {
namespace {

constexpr std::string_view replacement = "\xEF\xBF\xBD";  // U+FFFD

// Length of the UTF-8 sequence that starts here; 0 when it is broken, overlong, a surrogate or out
// of range.
std::size_t sequence_length(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char lead = byte(0);
  if (lead < 0x80) return 1;
  const std::size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
  if (lead < 0xC2 || lead > 0xF4 || text.size() < length) return 0;
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(i) & 0xC0) != 0x80) return 0;
  }
  if (lead == 0xE0 && byte(1) < 0xA0) return 0;
  if (lead == 0xED && byte(1) > 0x9F) return 0;
  if (lead == 0xF0 && byte(1) < 0x90) return 0;
  if (lead == 0xF4 && byte(1) > 0x8F) return 0;
  // U+FFFE and U+FFFF are no characters in XML.
  if (lead == 0xEF && byte(1) == 0xBF && byte(2) >= 0xBE) return 0;
  return length;
}

void append_escaped(std::string& out, char c) {
  switch (c) {
    case '&':
      out += "&amp;";
      return;
    case '<':
      out += "&lt;";
      return;
    case '>':
      out += "&gt;";
      return;
    case '"':
      out += "&quot;";
      return;
    case '\'':
      out += "&#39;";
      return;
    case '\t':
    case '\n':
    case '\r':
      out += ' ';
      return;
    default:
      break;
  }
  if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) {
    out += replacement;
  } else {
    out += c;
  }
}

std::string_view anchor_name(Anchor anchor) {
  switch (anchor) {
    case Anchor::start:
      return "start";
    case Anchor::middle:
      return "middle";
    case Anchor::end:
      return "end";
  }
  promise_broken("closed list");
}

void append_attr(std::string& out, std::string_view name, std::string_view value) {
  out += ' ';
  out += name;
  out += "=\"";
  out += escaped(value);
  out += '"';
}

}  // namespace

std::string escaped(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  while (!text.empty()) {
    const std::size_t length = sequence_length(text);
    if (length == 0) {
      out += replacement;
      text.remove_prefix(1);
    } else if (length == 1) {
      append_escaped(out, text[0]);
      text.remove_prefix(1);
    } else {
      out += text.substr(0, length);
      text.remove_prefix(length);
    }
  }
  return out;
}

int characters(std::string_view text) {
  int count = 0;
  for (const char c : text) count += (static_cast<unsigned char>(c) & 0xC0) != 0x80 ? 1 : 0;
  return count;
}

Path& Path::point(char letter, Px x, Px y) {
  data_ += letter;
  data_ += drawing::text(x);
  data_ += ' ';
  data_ += drawing::text(y);
  return *this;
}

Path& Path::single(char letter, Px value) {
  data_ += letter;
  data_ += drawing::text(value);
  return *this;
}

Path& Path::curve(Px x1, Px y1, Px x2, Px y2, Px x, Px y) {
  point('C', x1, y1);
  point(' ', x2, y2);
  return point(' ', x, y);
}

Path& Path::quadratic(Px x1, Px y1, Px x, Px y) {
  point('Q', x1, y1);
  return point(' ', x, y);
}

Path& Path::round(Px x, Px y, Px across, Px along) {
  const auto half = [&](Px to) {
    point('A', across, along);
    data_ += " 0 0 1";
    point(' ', to, y);
  };
  move(x - across, y);
  half(x + across);
  half(x - across);
  return close();
}

Path& Path::arc(Px radius, bool clockwise, Px x, Px y) {
  point('A', radius, radius);
  data_ += clockwise ? " 0 0 1" : " 0 0 0";
  return point(' ', x, y);
}

Path& Path::close() {
  data_ += 'Z';
  return *this;
}

Path& Path::box(Px x, Px y, Px width, Px height) {
  return move(x, y).across_by(width).down_by(height).across_by(-width).close();
}

void Canvas::element(std::string_view name, std::string_view cls, const Attrs& attrs,
                     const Attrs& more) {
  body_ += '<';
  body_ += name;
  if (!cls.empty()) append_attr(body_, "class", cls);
  for (const auto& attr : attrs) append_attr(body_, attr.name, attr.value);
  for (const auto& attr : more) append_attr(body_, attr.name, attr.value);
}

void Canvas::path(std::string_view cls, std::string_view data, const Attrs& more) {
  element("path", cls, {{"d", std::string(data)}}, more);
  body_ += "/>";
}

void Canvas::rect(std::string_view cls, Px x, Px y, Px width, Px height, const Attrs& more) {
  element("rect", cls,
          {{"x", drawing::text(x)},
           {"y", drawing::text(y)},
           {"width", drawing::text(width)},
           {"height", drawing::text(height)}},
          more);
  body_ += "/>";
}

void Canvas::circle(std::string_view cls, Px x, Px y, Px radius, const Attrs& more) {
  element("circle", cls,
          {{"cx", drawing::text(x)}, {"cy", drawing::text(y)}, {"r", drawing::text(radius)}}, more);
  body_ += "/>";
}

void Canvas::text(std::string_view cls, Px x, Px y, Anchor anchor, std::string_view words,
                  const Attrs& more) {
  Attrs attrs = {{"x", drawing::text(x)}, {"y", drawing::text(y)}};
  if (anchor != Anchor::start) attrs.push_back({"text-anchor", std::string(anchor_name(anchor))});
  element("text", cls, attrs, more);
  body_ += '>';
  body_ += escaped(words);
  body_ += "</text>";
}

void Canvas::open_group(const Attrs& attrs) {
  element("g", {}, attrs, {});
  body_ += '>';
}

void Canvas::close_group() { body_ += "</g>"; }

std::string svg(const Frame& frame, const Canvas& canvas) {
  std::string out = "<svg xmlns=\"http://www.w3.org/2000/svg\"";
  if (!frame.cls.empty()) append_attr(out, "class", frame.cls);
  append_attr(out, "viewBox",
              text(frame.left) + ' ' + text(frame.top) + ' ' + text(frame.width) + ' ' +
                  text(frame.height));
  append_attr(out, "width", frame.shown_width.empty() ? text(frame.width) : frame.shown_width);
  // A width in per cent takes its height from the viewBox.
  if (frame.shown_width.empty()) append_attr(out, "height", text(frame.height));
  if (!frame.shown_height.empty()) append_attr(out, "height", frame.shown_height);
  if (frame.alt.empty()) {
    out += " aria-hidden=\"true\"";
  } else {
    append_attr(out, "role", "img");
    append_attr(out, "aria-label", frame.alt);
  }
  for (const auto& attr : frame.data) append_attr(out, attr.name, attr.value);
  out += '>';
  out += canvas.body();
  out += "</svg>";
  return out;
}

}  // namespace penstock::drawing
