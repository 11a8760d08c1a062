#include "shell/cli/internal/shown.hpp"

namespace penstock::cli {
namespace {

constexpr std::string_view replacement = "\xEF\xBF\xBD";
constexpr char c2 = '\xC2';

bool is_control(unsigned char c) {
  const bool keeps_lines = c == '\n' || c == '\t';
  return (c < 0x20 && !keeps_lines) || c == 0x7F;
}

}  // namespace

void Shown::take(char c) {
  const auto byte = static_cast<unsigned char>(c);
  if (after_c2_) {
    after_c2_ = false;
    if (byte >= 0x80 && byte <= 0x9F) {
      to_ << replacement;
      return;
    }
    to_.put(c2);
  }
  if (c == c2) {
    after_c2_ = true;
  } else if (is_control(byte)) {
    to_ << replacement;
  } else {
    to_.put(c);
  }
}

void Shown::put_back() {
  if (after_c2_) to_.put(c2);
  after_c2_ = false;
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
