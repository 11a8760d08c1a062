// A picture without what says where, when and by whom it was taken (S13): by its own structure, a
// JPEG or a PNG, part by part. Nothing is decoded: what a browser shows stays byte for byte.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace penstock::pictures {

struct Picture {
  std::string_view media;  ///< "image/jpeg"
  std::vector<std::uint8_t> bytes;
};

/// Of a JPEG the marker segments APP1 to APP15 and COM go, but for how it is to be turned (Exif)
/// and for what its colours need (Adobe's APP14); of a PNG all chunks that its picture does not
/// need; of both what stands behind the end. The same again changes nothing. Nothing: neither, or
/// not whole.
std::optional<Picture> plain(std::span<const std::uint8_t> bytes);

}  // namespace penstock::pictures
