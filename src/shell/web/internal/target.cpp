#include "shell/web/internal/target.hpp"

#include <algorithm>

#include "core/units/utf8.hpp"

namespace penstock::web {
namespace {

int hex(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

enum class Plus { is_plus, is_space };

// %41 -> A. Nothing when an escape is broken: such a request is refused, never guessed at.
std::optional<std::string> decoded(std::string_view text, Plus plus) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '%') {
      if (i + 2 >= text.size() || hex(text[i + 1]) < 0 || hex(text[i + 2]) < 0) return std::nullopt;
      out += static_cast<char>(hex(text[i + 1]) * 16 + hex(text[i + 2]));
      i += 2;
    } else {
      out += text[i] == '+' && plus == Plus::is_space ? ' ' : text[i];
    }
  }
  if (out.find('\0') != std::string::npos || first_bad_utf8(out)) return std::nullopt;
  return out;
}

bool is_control(char c) {
  const auto byte = static_cast<unsigned char>(c);
  return byte < 0x20 || byte == 0x7F;
}

}  // namespace

std::string as_written(std::string_view path) {
  constexpr std::string_view plain =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~/";
  constexpr std::string_view digits = "0123456789ABCDEF";
  // Two at its beginning would be another host's address.
  path.remove_prefix(std::min(path.find_first_not_of('/'), path.size()));
  std::string out = "/";
  for (const char c : path) {
    const auto byte = static_cast<unsigned char>(c);
    if (plain.find(c) != std::string_view::npos) {
      out += c;
    } else {
      out += {'%', digits[byte >> 4], digits[byte & 0xFU]};
    }
  }
  return out;
}

std::optional<Target> read_target(std::string_view target) {
  const auto mark = target.find('?');
  auto path = decoded(target.substr(0, mark), Plus::is_plus);
  if (!path || path->empty() || path->front() != '/') return std::nullopt;
  if (std::ranges::any_of(*path, is_control))
    return std::nullopt;  // no path of ours has a line end
  Target read{*std::move(path), {}, {}};
  auto rest = mark == std::string_view::npos ? std::string_view{} : target.substr(mark + 1);
  while (!rest.empty()) {
    const auto end = std::min(rest.find('&'), rest.size());
    const auto pair = rest.substr(0, end);
    rest.remove_prefix(std::min(end + 1, rest.size()));
    const auto equals = pair.find('=');
    const auto name = decoded(pair.substr(0, equals), Plus::is_space);
    const auto value =
        decoded(equals == std::string_view::npos ? "" : pair.substr(equals + 1), Plus::is_space);
    if (!name || !value) return std::nullopt;
    if (!read.query.emplace(*name, *value).second) read.twice = *name;
  }
  return read;
}

bool is_our_host(std::string_view host, std::uint16_t port) {
  const auto suffix = ":" + std::to_string(port);
  if (!host.ends_with(suffix)) return false;
  host.remove_suffix(suffix.size());
  return host == "127.0.0.1" || host == "localhost";
}

bool is_our_origin(std::string_view origin, std::uint16_t port) {
  constexpr std::string_view scheme = "http://";
  return origin.starts_with(scheme) && is_our_host(origin.substr(scheme.size()), port);
}

}  // namespace penstock::web
