#include "edge/pages/verbs/verbs.hpp"

#include "edge/json/json.hpp"
#include "edge/verbs/all/all.hpp"
#include "edge/verbs/verbs.hpp"
#include "edge/words/words.hpp"

namespace penstock::pages {
namespace {

constexpr Parameter verb_parameter{"verb", Form::text, "the calculation's name"};

constexpr std::string_view example_dial =
    R"({"dose_units": 18,
 "insulin": {"name": "insulin glargine", "strength_units_per_ml": 100, "suspension": false},
 "pen": {"step_units": 1, "most_units": 60, "window": "counts on"},
 "prime": {"units": 2, "new_cartridge_units": 4, "spent_units": 3, "flow_seen": true},
 "cartridges": [{"id": "A", "left_units": 247, "days_in_use": 6, "in_use_days": 28}],
 "prefer": "fewest needles"})";

Error unknown(std::string_view name) {
  std::string allowed;
  for (const auto& verb : verbs::all()) {
    allowed += (allowed.empty() ? "" : ", ") + std::string(verb.name);
  }
  return {Kind::not_found,
          std::string(verbs::codes::verb_unknown),
          {arg_text("text", name), arg_text("allowed", allowed)},
          ""};
}

Result<json::Value> description(const Asked& asked) {
  const auto name = asked.given.text("verb");
  const auto* verb = verbs::find_verb(verbs::all(), name);
  if (verb == nullptr) return unknown(name);
  return json::object({{"verb", json::string(verb->name)},
                       {"schema", verb->schema()},
                       {"example", verb->example()}});
}

Result<json::Value> answer(const Asked& asked) {
  const auto name = asked.given.text("verb");
  const auto* verb = verbs::find_verb(verbs::all(), name);
  if (verb == nullptr) return unknown(name);
  const auto& words = asked.caller.words;
  const auto say = [&words](std::string_view code, std::span<const Arg> args) {
    return words.text(code, {args.begin(), args.end()});
  };
  return verbs::run_verb(*verb, asked.given.body, say, asked.stopped);
}

}  // namespace

std::vector<Row> verb_rows() {
  return {{.method = "GET",
           .pattern = "/api/{verb}",
           .summary = "A calculation's request.",
           .parameters = {verb_parameter},
           .gives = "verb, schema (JSON Schema), example.",
           .codes = {verbs::codes::verb_unknown},
           .example = "/api/dial",
           .document = description},
          {.method = "POST",
           .pattern = "/api/{verb}",
           .summary = "A calculation: the same as the command of this name.",
           .parameters = {verb_parameter},
           .takes = "The request that GET describes.",
           .body = Body::json,
           .gives = "The verb's result.",
           .codes = {verbs::codes::verb_unknown},
           .example = "/api/dial",
           .example_body = example_dial,
           .document = answer}};
}

}  // namespace penstock::pages
