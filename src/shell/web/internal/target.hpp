// What the first line and the head of a request say, read without guessing.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>

namespace penstock::web {

struct Target {
  std::string path;                                       ///< decoded
  std::map<std::string, std::string, std::less<>> query;  ///< decoded
  std::string twice = {};  ///< a name that stands in it more than once; empty: none
};

/// "/people?q=Le%C3%B3n". Nothing when an escape is broken, the text is no UTF-8, it holds a
/// control character or is no path.
std::optional<Target> read_target(std::string_view target);
/// A decoded path as it stands in a header: one slash first, all but plain signs escaped, so that
/// it names no other host and ends no line.
std::string as_written(std::string_view path);

/// Whether a Host header is ours: 127.0.0.1 or localhost, at our port. Any other name, also one
/// that somebody bent to this address, is not.
bool is_our_host(std::string_view host, std::uint16_t port);
/// The same for an Origin header: our own pages and nobody else's.
bool is_our_origin(std::string_view origin, std::uint16_t port);

}  // namespace penstock::web
