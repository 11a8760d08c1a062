// A picture without what says where, when and by whom it was taken (S13): by its own structure, a
// JPEG or a PNG, part by part. Nothing is decoded: what a browser shows stays byte for byte.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "base/base.hpp"

namespace penstock::pictures {

namespace codes {
inline constexpr std::string_view photo_pixels =
    "desk.photo_pixels";  // [width, height, most, side]
}  // namespace codes

struct Picture {
  std::string_view media;  ///< "image/jpeg"
  std::vector<std::uint8_t> bytes;
  std::uint32_t width = 0, height = 0;  ///< in pixels, as it says itself; 0: it does not say
};

/// What every page that shows a picture can be asked to unpack: two megabytes may be gigabytes
/// then. A telephone's camera takes up to fifty million pixels.
inline constexpr std::int64_t pixels_max = 50'000'000, side_max = 20'000;
/// What is refused for that; nothing: it is kept.
std::optional<Error> too_large(const Picture& picture);

/// Of a JPEG the marker segments APP1 to APP15 and COM go, but for how it is to be turned (Exif)
/// and for what its colours need (Adobe's APP14); of a PNG all chunks that its picture does not
/// need; of both what stands behind the end. The same again changes nothing. Nothing: neither, or
/// not whole.
std::optional<Picture> plain(std::span<const std::uint8_t> bytes);

}  // namespace penstock::pictures
