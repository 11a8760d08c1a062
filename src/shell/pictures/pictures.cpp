#include "shell/pictures/pictures.hpp"

#include <algorithm>
#include <array>

namespace penstock::pictures {
namespace {

using Bytes = std::span<const std::uint8_t>;
using Out = std::vector<std::uint8_t>;

constexpr std::array<std::uint8_t, 2> jpeg_begins{0xFF, 0xD8};
constexpr std::array<std::uint8_t, 8> png_begins{0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'};

void add(Out& out, Bytes bytes) { out.insert(out.end(), bytes.begin(), bytes.end()); }

bool begins(Bytes bytes, Bytes with) {
  return bytes.size() >= with.size() && std::ranges::equal(bytes.first(with.size()), with);
}

// ---- JPEG (ITU-T T.81, B.1): SOI, segments of a marker and their length, scans, EOI

constexpr std::uint8_t app0 = 0xE0, app1 = 0xE1, app14 = 0xEE, app15 = 0xEF, comment = 0xFE,
                       scan = 0xDA, end_of_image = 0xD9, restart_first = 0xD0, restart_last = 0xD7;
constexpr std::array<std::uint8_t, 6> exif{'E', 'x', 'i', 'f', 0, 0};

// Exif's tag 0x0112 in the first directory: 1 is upright, 2 to 8 are turned or mirrored.
int orientation_in(Bytes segment) {
  if (!begins(segment, exif)) return 1;
  const auto tiff = segment.subspan(exif.size());
  constexpr std::size_t entry_size = 12, tag = 0x0112, offset_at = 4;
  if (tiff.size() < 8) return 1;
  const bool little = tiff[0] == 'I';
  const auto number = [&](std::size_t at, std::size_t width) -> std::size_t {
    if (at > tiff.size() || tiff.size() - at < width) return 0;
    std::size_t out = 0;
    for (std::size_t i = 0; i < width; ++i)
      out = (out << 8) | tiff[at + (little ? width - 1 - i : i)];
    return out;
  };
  const auto directory = number(offset_at, 4);
  const auto entries = number(directory, 2);
  for (std::size_t i = 0; i < entries; ++i) {
    const auto entry = directory + 2 + i * entry_size;
    if (entry >= tiff.size()) break;
    if (number(entry, 2) != tag) continue;
    const auto value = number(entry + 8, 2);
    return value >= 1 && value <= 8 ? static_cast<int>(value) : 1;
  }
  return 1;
}

// How it is to be turned, and nothing else.
void add_orientation(Out& out, int orientation) {
  if (orientation == 1) return;
  const std::array<std::uint8_t, 36> segment{
      0xFF, app1, 0, 34, 'E', 'x', 'i', 'f', 0, 0,
      'M',  'M',  0, 42, 0,   0,   0,   8,   0, 1,
      0x01, 0x12, 0, 3,  0,   0,   0,   1,   0, static_cast<std::uint8_t>(orientation),
      0,    0,    0, 0,  0,   0};
  add(out, segment);
}

// The bytes of a scan: to the next marker that does not belong to it.
std::size_t end_of_scan(Bytes bytes, std::size_t from) {
  for (auto at = from; at + 1 < bytes.size(); ++at) {
    if (bytes[at] != 0xFF) continue;
    const auto next = bytes[at + 1];
    const bool of_scan =
        next == 0 || next == 0xFF || (next >= restart_first && next <= restart_last);
    if (!of_scan) return at;
  }
  return bytes.size();
}

std::uint32_t number_at(Bytes bytes, std::size_t at, std::size_t width) {
  std::uint32_t out = 0;
  for (std::size_t i = 0; i < width; ++i) out = (out << 8) | bytes[at + i];
  return out;
}

// A frame's header (SOF): every marker from 0xC0 to 0xCF but those of tables.
bool is_frame(std::uint8_t marker) {
  constexpr std::uint8_t first = 0xC0, last = 0xCF, huffman = 0xC4, reserved = 0xC8, coding = 0xCC;
  return marker >= first && marker <= last && marker != huffman && marker != reserved &&
         marker != coding;
}

// Of several frames the largest of each side.
void measure(Picture& picture, std::uint32_t width, std::uint32_t height) {
  picture.width = std::max(picture.width, width);
  picture.height = std::max(picture.height, height);
}

std::optional<Picture> plain_jpeg(Bytes bytes) {
  Picture picture{"image/jpeg", Out(bytes.begin(), bytes.begin() + jpeg_begins.size())};
  auto& out = picture.bytes;
  bool has_scan = false;
  int orientation = 1;
  for (auto at = jpeg_begins.size(); at + 1 < bytes.size();) {
    const auto marker = bytes[at + 1];
    if (bytes[at] != 0xFF) return std::nullopt;
    if (marker == 0xFF) {  // filled up
      ++at;
      continue;
    }
    if (marker == end_of_image) {
      if (!has_scan) return std::nullopt;
      add(out, bytes.subspan(at, 2));
      return picture;
    }
    if (at + 4 > bytes.size()) return std::nullopt;
    const std::size_t length = (std::size_t{bytes[at + 2]} << 8) | bytes[at + 3];
    if (length < 2 || at + 2 + length > bytes.size()) return std::nullopt;
    auto end = at + 2 + length;
    const bool told = marker == comment || (marker > app0 && marker <= app15 && marker != app14);
    if (marker == app1) {
      const auto turned = orientation_in(bytes.subspan(at + 4, length - 2));
      if (orientation == 1 && turned != 1) add_orientation(out, orientation = turned);
    }
    constexpr std::size_t frame_most = 7;  // length, precision, height and width
    if (is_frame(marker) && length >= frame_most)
      measure(picture, number_at(bytes, at + 7, 2), number_at(bytes, at + 5, 2));
    if (marker == scan) {
      has_scan = true;
      end = end_of_scan(bytes, end);
    }
    if (!told) add(out, bytes.subspan(at, end - at));
    at = end;
  }
  return std::nullopt;
}

// ---- PNG (ISO/IEC 15948, 5.3): chunks of length, name, data and checksum

bool is_needed(std::string_view chunk) {
  constexpr std::array<std::string_view, 12> needed{"IHDR", "PLTE", "IDAT", "IEND", "tRNS", "gAMA",
                                                    "cHRM", "sRGB", "iCCP", "sBIT", "bKGD", "pHYs"};
  return std::ranges::find(needed, chunk) != needed.end();
}

std::optional<Picture> plain_png(Bytes bytes) {
  Picture picture{"image/png", Out(bytes.begin(), bytes.begin() + png_begins.size())};
  auto& out = picture.bytes;
  constexpr std::size_t frame = 12;  // length, name and checksum
  for (auto at = png_begins.size(); at + frame <= bytes.size();) {
    const std::size_t length = number_at(bytes, at, 4);
    if (length > bytes.size() - at - frame) return std::nullopt;
    const std::string_view name(reinterpret_cast<const char*>(&bytes[at + 4]), 4);
    if (is_needed(name)) add(out, bytes.subspan(at, frame + length));
    if (name == "IHDR" && length >= 8)
      measure(picture, number_at(bytes, at + 8, 4), number_at(bytes, at + 12, 4));
    if (name == "IEND") return picture;
    at += frame + length;
  }
  return std::nullopt;
}

}  // namespace

std::optional<Picture> plain(Bytes bytes) {
  if (begins(bytes, jpeg_begins)) return plain_jpeg(bytes);
  if (begins(bytes, png_begins)) return plain_png(bytes);
  return std::nullopt;
}

std::optional<Error> too_large(const Picture& picture) {
  const std::int64_t width = picture.width, height = picture.height;
  if (width <= side_max && height <= side_max && width * height <= pixels_max) return std::nullopt;
  return Error{Kind::refused,
               std::string(codes::photo_pixels),
               {arg_count("width", width), arg_count("height", height),
                arg_count("most", pixels_max), arg_count("side", side_max)},
               ""};
}

}  // namespace penstock::pictures
