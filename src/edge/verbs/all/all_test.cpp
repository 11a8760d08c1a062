#include "edge/verbs/all/all.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <vector>

#include "edge/json/json.hpp"

namespace penstock::verbs {
namespace {

std::string bare(std::string_view code, std::span<const Arg>) { return std::string(code); }

TEST(AllVerbs, HaveNamesOfTheirOwn) {
  std::set<std::string_view> names;
  for (const auto& verb : all()) EXPECT_TRUE(names.insert(verb.name).second) << verb.name;
  EXPECT_GE(names.size(), 9U);
}

/// A field of a request and what its verb's schema says about it.
struct Place {
  std::vector<std::string> path;
  json::Value schema;
};

void places_in(const json::Value& schema, const json::Value& request,
               const std::vector<std::string>& path, std::vector<Place>& out) {
  const auto* properties = schema.find("properties");
  if (properties == nullptr) return;
  for (const auto& [name, found] : properties->members) {
    auto there = path;
    there.push_back(name);
    // What may be null has its say in the first of two.
    const auto* either = found.find("anyOf");
    auto said = either == nullptr ? found : either->members.front().value;
    if (const auto* usual = found.find("default"); usual != nullptr && either != nullptr) {
      json::add(said, "default", *usual);
    }
    out.push_back({there, said});
    const auto* value = request.find(name);
    if (value == nullptr) continue;
    places_in(said, *value, there, out);
    if (const auto* items = said.find("items"); items && !value->members.empty()) {
      there.emplace_back("0");
      out.push_back({there, *items});
      places_in(*items, value->members.front().value, there, out);
    }
  }
}

json::Value with(json::Value request, std::span<const std::string> path, const json::Value& put) {
  if (path.empty()) return put;
  for (auto& [key, value] : request.members) {
    if (key != path.front() && (request.type != json::Type::array || path.front() != "0")) continue;
    value = with(std::move(value), path.subspan(1), put);
    return request;
  }
  json::add(request, path.front(), put);
  return request;
}

json::Value without(json::Value request, std::span<const std::string> path) {
  const bool in_list = request.type == json::Type::array;
  for (auto at = request.members.begin(); at != request.members.end(); ++at) {
    if (!in_list && at->key != path.front()) continue;
    if (path.size() == 1) {
      request.members.erase(at);
    } else {
      at->value = without(std::move(at->value), path.subspan(1));
    }
    break;
  }
  return request;
}

/// A little below the least and above the most: more than what is rounded away.
std::vector<json::Value> beyond_limits(const json::Value& schema) {
  std::vector<json::Value> out;
  const auto* step = schema.find("multipleOf");
  const auto number = [&](std::string_view name) -> std::optional<std::int64_t> {
    const auto* found = schema.find(name);
    if (found == nullptr) return std::nullopt;
    return *json::fixed_of(*found, 6, "");
  };
  const auto size = step == nullptr ? 1'000'000 : 10 * *json::fixed_of(*step, 6, "");
  if (const auto least = number("minimum")) out.push_back(json::fixed(*least - size, 6));
  if (const auto least = number("exclusiveMinimum")) out.push_back(json::fixed(*least, 6));
  if (const auto most = number("maximum")) out.push_back(json::fixed(*most + size, 6));
  return out;
}

std::string told(const Verb& verb, const json::Value& request) {
  const auto answer = verb.run(request, bare, {});
  return answer ? json::to_text(answer->document) : answer.error().code + answer.error().at;
}

TEST(AllVerbs, AssumeWhatTheirSchemaCallsTheDefault) {
  int seen = 0;
  for (const auto& verb : all()) {
    const auto example = verb.example();
    std::vector<Place> places;
    places_in(verb.schema(), example, {}, places);
    for (const auto& place : places) {
      const auto* usual = place.schema.find("default");
      if (usual == nullptr) continue;
      // The strictest of the labels; that it was assumed is told.
      if (verb.name == "warmth" && place.path.back() == "in_use_most_celsius") continue;
      const auto said = with(example, place.path, *usual);
      const auto left_out = without(example, place.path);
      if (told(verb, left_out).starts_with("field.missing")) continue;
      ++seen;
      EXPECT_EQ(told(verb, said), told(verb, left_out)) << verb.name << " " << place.path.back();
    }
  }
  EXPECT_GT(seen, 20);
}

TEST(AllVerbs, RefuseWhatIsBeyondALimitOfTheirSchema) {
  int seen = 0;
  for (const auto& verb : all()) {
    const auto example = verb.example();
    std::vector<Place> places;
    places_in(verb.schema(), example, {}, places);
    for (const auto& place : places) {
      // Compared with what a carton says, never counted with: 0 is only another strength.
      if (verb.name == "scan" && place.path.back() == "strength_units_per_ml") continue;
      for (const auto& beyond : beyond_limits(place.schema)) {
        ++seen;
        EXPECT_FALSE(verb.run(with(example, place.path, beyond), bare, {}))
            << verb.name << " " << place.path.back() << " " << json::to_text(beyond);
      }
    }
  }
  EXPECT_GT(seen, 50);
}

TEST(AllVerbs, AnswerTheirExampleAsADocumentAndAsText) {
  for (const auto& verb : all()) {
    const auto answer = verb.run(verb.example(), bare, {});
    ASSERT_TRUE(answer) << verb.name << ": " << answer.error().code;
    EXPECT_EQ(answer->document.type, json::Type::object) << verb.name;
    EXPECT_TRUE(answer->text.ends_with("\n")) << verb.name;
    EXPECT_EQ(json::to_text(*run_verb(verb, json::to_text(verb.example()), bare)),
              json::to_text(answer->document));
    EXPECT_TRUE(verb.schema().find("title")->text.starts_with(std::string(verb.name) + ":"))
        << verb.name;
  }
}

TEST(AllVerbs, S4_ThoseThatTakeLongAreGivenUpWhereNobodyWaits) {
  for (const auto* name : {"cover", "reconcile"}) {
    const auto* verb = find_verb(all(), name);
    ASSERT_NE(verb, nullptr);
    const auto answer = run_verb(*verb, json::to_text(verb->example()), bare, [] { return true; });
    ASSERT_FALSE(answer) << name;
    EXPECT_EQ(answer.error().code, penstock::codes::stopped) << name;
  }
}

}  // namespace
}  // namespace penstock::verbs
