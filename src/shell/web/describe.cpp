// The interface describes itself: the same table that answers calls makes its JSON and its page.
#include "core/journal/journal.hpp"
#include "edge/json/json.hpp"
#include "edge/verbs/all/all.hpp"
#include "shell/web/internal/site.hpp"

namespace penstock::web {
namespace {

std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

std::string code(std::string_view text) { return "<code>" + escaped(text) + "</code>"; }

void entry(std::string& page, std::string_view name, const std::string& html) {
  if (!html.empty()) page += "<dt>" + std::string(name) + "</dt><dd>" + html + "</dd>\n";
}

void describe(std::string& page, const pages::Row& route) {
  page += "<h3>" + escaped(route.method) + " " + escaped(route.pattern) + "</h3>\n<p>" +
          escaped(route.summary) + "</p>\n<dl>\n";
  entry(page, "Takes", escaped(pages::takes_text(route)));
  entry(page, "Answers", escaped(route.gives));
  std::string codes;
  for (const auto each : route.codes) codes += (codes.empty() ? "" : ", ") + code(each);
  entry(page, "Refusals of its own", codes);
  page += "</dl>\n<pre>" + escaped(route.method) + " " + escaped(route.example);
  if (!route.example_body.empty()) page += "\n\n" + escaped(route.example_body);
  if (!route.example_hex.empty())
    page += "\n\n(bytes, in hexadecimal) " + escaped(route.example_hex);
  page += "</pre>\n";
}

constexpr std::string_view head = R"(<!doctype html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Penstock: the calls</title>
<link rel="stylesheet" href="/api.css">
</head>
<body>
<main>
<h1>The calls</h1>
<p>Everything that the pages show and record goes through these calls, on this machine only. A
request is JSON; unknown fields and the same field twice are refused. Amounts are numbers with at
most two decimals, and the unit is in the field's name.</p>
<dl>
<dt>Refused</dt>
<dd>Status 4xx or 503, and <code>{"refused": {"code", "what", "do_this", "at"}}</code>:
400 not well formed, 404 not there, 409 somebody else wrote in between, 413 too large, 415 another
kind of content, 422 well formed, but it must not be done, 503 nothing was written, try again.</dd>
<dt>Asked</dt>
<dd>Status 422 and <code>{"ask": {"code", "what", "do_this"}}</code>: odd, but possible. Send the
same again with <code>"confirmed": true</code>.</dd>
<dt>Who may ask</dt>
<dd>Whoever has opened the address that Penstock printed at its start, <code>/?start=TOKEN</code>. A
program sends the cookie <code>penstock-PORT=TOKEN</code> with each request; only
<code>/api/health</code> goes without.</dd>
<dt>Twice is once</dt>
<dd>The sender makes the identities (32 hexadecimal digits, or a UUID). The same fact sent again is
answered with <code>known</code> and nothing is added.</dd>
</dl>
<h2>All calls</h2>
)";

}  // namespace

json::Value api_document() {
  auto calls = json::array();
  for (const auto& each : routes()) {
    const auto& route = each.row;
    auto codes = json::array();
    for (const auto code : route.codes) json::add(codes, json::string(code));
    json::add(calls, json::object({{"method", json::string(route.method)},
                                   {"path", json::string(route.pattern)},
                                   {"summary", json::string(route.summary)},
                                   {"takes", json::string(pages::takes_text(route))},
                                   {"answers", json::string(route.gives)},
                                   {"codes", std::move(codes)},
                                   {"example", json::string(route.example)},
                                   {"example_body", json::string(route.example_body)},
                                   {"example_hex", json::string(route.example_hex)}}));
  }
  auto kinds = json::array();
  for (const auto& kind : journal::kinds) json::add(kinds, json::string(kind.name));
  auto known_verbs = json::array();
  for (const auto& verb : verbs::all()) json::add(known_verbs, json::string(verb.name));
  return json::object({{"calls", std::move(calls)},
                       {"verbs", std::move(known_verbs)},
                       {"facts", std::move(kinds)}});
}

std::string api_page() {
  std::string page(head);
  for (const auto& route : routes()) describe(page, route.row);
  page += "<h2>Facts that can be recorded</h2>\n<ul>\n";
  for (const auto& kind : journal::kinds) {
    std::string name(kind.name);
    std::string in_path;
    for (const char c : name) in_path += c == ' ' ? std::string("%20") : std::string(1, c);
    page += "<li><a href=\"/api/facts/" + escaped(in_path) + "\">" + escaped(name) + "</a></li>\n";
  }
  page += "</ul>\n</main>\n</body>\n</html>\n";
  return page;
}

}  // namespace penstock::web
