// Requests to record a fact, made from the lists: what each field is `like`. For help texts and the
// API page, and for the tests, which read and check each.
#include <string>

#include "core/facts/list.hpp"
#include "edge/wire/fact_json.hpp"

namespace penstock::wire {
namespace {

json::Value example_of(const facts::KindInfo& kind, bool shortest) {
  auto request = json::object(
      {{"what", json::string(kind.name)}, {"happened", json::string("2026-03-16T22:05:00+01:00")}});
  for (const auto& field : kind.fields) {
    if (field.example.empty() || (shortest && field.is_optional && !field.is_needed)) continue;
    auto value = json::parse(field.example);
    INVARIANT(value.has_value());
    json::add(request, field.name, *std::move(value));
  }
  return request;
}

}  // namespace

std::optional<json::Value> kind_example(std::string_view kind) {
  const auto* info = facts::kind_of_name(kind);
  if (info == nullptr) return std::nullopt;
  return example_of(*info, false);
}

}  // namespace penstock::wire
