#include "base/base.hpp"

namespace penstock {
namespace {

constexpr char hex_digits[] = "0123456789abcdef";

std::optional<unsigned> hex_value(char c) {
  if (c >= '0' && c <= '9') return static_cast<unsigned>(c - '0');
  if (c >= 'a' && c <= 'f') return static_cast<unsigned>(c - 'a' + 10);
  if (c >= 'A' && c <= 'F') return static_cast<unsigned>(c - 'A' + 10);
  return std::nullopt;
}

}  // namespace

void promise_broken(std::string_view what, std::source_location where) {
#if defined(__cpp_exceptions)
  throw BrokenPromise{std::string(what),
                      std::string(where.file_name()) + ":" + std::to_string(where.line())};
#else
  static_cast<void>(what);
  static_cast<void>(where);
  __builtin_trap();
#endif
}

std::string to_text(const Id& id) {
  std::string out(32, '0');
  for (int digit = 0; digit < 16; ++digit) {
    out[static_cast<std::size_t>(15 - digit)] = hex_digits[(id.high >> (4 * digit)) & 0xF];
    out[static_cast<std::size_t>(31 - digit)] = hex_digits[(id.low >> (4 * digit)) & 0xF];
  }
  return out;
}

std::optional<Id> parse_id(std::string_view text) {
  const bool dashed = text.size() == 36;
  if (!dashed && text.size() != 32) return std::nullopt;
  Id id;
  int digits = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (dashed && (i == 8 || i == 13 || i == 18 || i == 23)) {
      if (text[i] != '-') return std::nullopt;
      continue;
    }
    const auto value = hex_value(text[i]);
    if (!value) return std::nullopt;
    auto& half = digits < 16 ? id.high : id.low;
    half = (half << 4) | *value;
    ++digits;
  }
  if (id.is_nil()) return std::nullopt;
  return id;
}

Id id_from(std::string_view text, DigestFunction digest) {
  const auto hash = digest({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
  Id id;
  for (std::size_t i = 0; i < 8; ++i) {
    id.high = id.high << 8U | hash[i];
    id.low = id.low << 8U | hash[i + 8];
  }
  if (id.is_nil()) id.low = 1;
  return id;
}

std::string to_text(const Digest& digest) {
  std::string out;
  out.reserve(64);
  for (const auto byte : digest) {
    out += hex_digits[byte >> 4];
    out += hex_digits[byte & 0xF];
  }
  return out;
}

}  // namespace penstock
