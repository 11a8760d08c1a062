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

Arg::Arg() = default;
Arg::Arg(std::string_view its_name, ArgType its_type, std::int64_t its_number,
         std::string_view its_text)
    : name(its_name), type(its_type), number(its_number), text(its_text) {}
Arg::Arg(const Arg& other) = default;
Arg::Arg(Arg&& other) noexcept = default;
Arg& Arg::operator=(const Arg& other) = default;
Arg& Arg::operator=(Arg&& other) noexcept = default;
Arg::~Arg() = default;
bool operator==(const Arg& a, const Arg& b) {
  return a.name == b.name && a.type == b.type && a.number == b.number && a.text == b.text;
}

Arg arg_text(std::string_view name, std::string_view text) {
  return {name, ArgType::text, 0, text};
}
Arg arg_code(std::string_view name, std::string_view code) {
  return {name, ArgType::code, 0, code};
}
Arg arg_count(std::string_view name, std::int64_t count) {
  return {name, ArgType::count, count, {}};
}

Error::Error() = default;
Error::Error(Kind its_kind, std::string_view its_code, std::vector<Arg> its_args,
             std::string_view where)
    : kind(its_kind), code(its_code), args(std::move(its_args)), at(where) {}
Error::Error(const Error& other) = default;
Error::Error(Error&& other) noexcept = default;
Error& Error::operator=(const Error& other) = default;
Error& Error::operator=(Error&& other) noexcept = default;
Error::~Error() = default;
bool operator==(const Error& a, const Error& b) {
  return a.kind == b.kind && a.code == b.code && a.args == b.args && a.at == b.at;
}

Error located(Error error, std::string_view at) {
  error.at = std::string(at);
  return error;
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
