// A page as the web answers it, without a server: by the rows.
#pragma once

#include <string>
#include <string_view>

#include "edge/json/json.hpp"
#include "edge/pages/all/all.hpp"
#include "shell/desk/desk.hpp"

namespace penstock::tests {

inline Result<json::Value> read_page(desk::Desk& desk, const pages::Row& row,
                                     const pages::Texts& texts, std::string_view body = {}) {
  const auto given = pages::read(row, texts, body);
  if (!given) return given.error();
  return desk.page(row, *given, desk.caller());
}

/// `target`: a path with its query, nothing in it escaped. With a body it is a POST.
inline Result<json::Value> read_page(desk::Desk& desk, std::string_view target,
                                     std::string_view body = {}) {
  const auto mark = std::min(target.find('?'), target.size());
  const std::string_view method = body.empty() ? "GET" : "POST";
  for (const auto& row : pages::all()) {
    auto texts = pages::match(row.pattern, target.substr(0, mark));
    if (!texts || row.method != method) continue;
    for (auto rest = target.substr(std::min(mark + 1, target.size())); !rest.empty();) {
      const auto end = std::min(rest.find('&'), rest.size());
      const auto equals = rest.find('=');
      texts->emplace(rest.substr(0, equals), rest.substr(equals + 1, end - equals - 1));
      rest.remove_prefix(std::min(end + 1, rest.size()));
    }
    return read_page(desk, row, *texts, body);
  }
  promise_broken("no row has this path");
}

}  // namespace penstock::tests
