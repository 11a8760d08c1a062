#include "edge/pages/pages.hpp"

#include <limits>

namespace penstock::pages {
namespace {

using Value = std::variant<std::string, Id, LocalDay, std::int64_t>;

Result<Value> count_of(const Parameter& parameter, const std::string& text, std::string_view at) {
  json::Value written;
  written.type = json::Type::number;
  written.text = text;
  if (parameter.out_of_range.empty()) {
    const auto read = json::count_of(written, parameter.least, parameter.most, at);
    if (!read) return read.error();
    return Value{*read};
  }
  const auto read = json::count_of(written, std::numeric_limits<std::int32_t>::min(),
                                   std::numeric_limits<std::int32_t>::max(), at);
  if (!read) return read.error();
  if (*read >= parameter.least && *read <= parameter.most) return Value{*read};
  return Error{Kind::invalid_input,
               std::string(parameter.out_of_range),
               {arg_count("value", *read), arg_count("least", parameter.least),
                arg_count("most", parameter.most)},
               std::string(at)};
}

Result<Value> value_of(const Parameter& parameter, const std::string& text, std::string_view at) {
  switch (parameter.form) {
    case Form::text:
      return Value{text};
    case Form::id:
    case Form::person: {
      const auto id = json::id_of(json::string(text), at);
      if (!id) return id.error();
      return Value{*id};
    }
    case Form::day: {
      const auto day = json::day_of(json::string(text), at);
      if (!day) return day.error();
      return Value{*day};
    }
    case Form::count:
      return count_of(parameter, text, at);
  }
  promise_broken("a parameter has no form");
}

}  // namespace

bool is_in_path(const Row& row, const Parameter& parameter) {
  return row.pattern.find("{" + std::string(parameter.name) + "}") != std::string_view::npos;
}

Result<Given> read(const Row& row, const Texts& texts, std::string_view body) {
  Given given;
  given.body = body;
  for (const auto& parameter : row.parameters) {
    const auto found = texts.find(parameter.name);
    if (found == texts.end() || found->second.empty()) continue;
    const auto at = (is_in_path(row, parameter) ? "/" : "?") + std::string(parameter.name);
    auto value = value_of(parameter, found->second, at);
    if (!value) return value.error();
    given.values_.emplace(parameter.name, *std::move(value));
  }
  return given;
}

std::string takes_text(const Row& row) {
  std::string asked;
  for (const auto& parameter : row.parameters) {
    if (is_in_path(row, parameter)) continue;
    asked += (asked.empty() ? "" : "; ") + std::string(parameter.name);
    if (!parameter.says.empty()) asked += ": " + std::string(parameter.says);
  }
  if (!asked.empty()) asked += ".";
  std::string out;
  for (const auto part : {row.takes, std::string_view(asked), row.left_out}) {
    if (!part.empty()) out += (out.empty() ? "" : " ") + std::string(part);
  }
  return out.empty() ? "No parameters; the request body is empty." : out;
}

std::optional<Texts> match(std::string_view pattern, std::string_view path) {
  Texts found;
  for (;;) {
    const auto want = pattern.substr(0, pattern.find('/'));
    const auto have = path.substr(0, path.find('/'));
    if (want.starts_with('{') && want.ends_with('}')) {
      if (have.empty()) return std::nullopt;
      found.emplace(want.substr(1, want.size() - 2), have);
    } else if (want != have) {
      return std::nullopt;
    }
    const bool pattern_ends = want.size() == pattern.size();
    const bool path_ends = have.size() == path.size();
    if (pattern_ends || path_ends) {
      if (pattern_ends && path_ends) return found;
      return std::nullopt;
    }
    pattern.remove_prefix(want.size() + 1);
    path.remove_prefix(have.size() + 1);
  }
}

int page_of(const Given& given) { return static_cast<int>(given.count("page").value_or(1)); }

Result<json::Value> body_of(const Given& given) { return json::parse(given.body); }

}  // namespace penstock::pages
