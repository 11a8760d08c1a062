#include "shell/cli/internal/shown.hpp"

#include "core/units/units.hpp"

namespace penstock::cli {
namespace {

constexpr std::string_view replacement = "\xEF\xBF\xBD";

bool is_control(unsigned char c) {
  const bool keeps_lines = c == '\n' || c == '\t';
  return (c < 0x20 && !keeps_lines) || c == 0x7F;
}

bool continues(unsigned char c) { return (c & 0xC0U) == 0x80U; }

// Bytes of a character by its first one; none: no character begins so.
std::size_t length_by(unsigned char first) {
  if (first >= 0xC2 && first <= 0xDF) return 2;
  if (first >= 0xE0 && first <= 0xEF) return 3;
  return first >= 0xF0 && first <= 0xF4 ? 4 : 0;
}

}  // namespace

void Shown::take(char c) {
  const auto byte = static_cast<unsigned char>(c);
  if (!begun_.empty() && continues(byte)) {
    begun_ += c;
    if (begun_.size() == length_by(static_cast<unsigned char>(begun_.front()))) hand_on();
    return;
  }
  put_back();
  if (length_by(byte) > 0) {
    begun_ = c;
  } else if (byte >= 0x80 || is_control(byte)) {
    to_ << replacement;
  } else {
    to_.put(c);
  }
}

void Shown::hand_on() {
  to_ << (is_plain_text(begun_, Lines::one) ? std::string_view(begun_) : replacement);
  begun_.clear();
}

void Shown::put_back() {
  if (!begun_.empty()) to_ << replacement;
  begun_.clear();
}

Shown::int_type Shown::overflow(int_type c) {
  if (traits_type::eq_int_type(c, traits_type::eof())) return traits_type::not_eof(c);
  take(traits_type::to_char_type(c));
  return to_ ? c : traits_type::eof();
}

std::streamsize Shown::xsputn(const char* bytes, std::streamsize count) {
  for (std::streamsize i = 0; i < count; ++i) take(bytes[i]);
  return to_ ? count : 0;
}

int Shown::sync() { return to_.flush() ? 0 : -1; }

void Shown::raw(std::string_view bytes) {
  put_back();
  to_ << bytes;
}

}  // namespace penstock::cli
