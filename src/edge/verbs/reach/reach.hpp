// The `reach` call: its request and its result as JSON, its schema, its example, and the answer as
// a text that a person can act on.
#pragma once

#include <string>
#include <string_view>

#include "base/base.hpp"
#include "core/reach/reach.hpp"
#include "edge/json/json.hpp"
#include "edge/verbs/verbs.hpp"

namespace penstock::verbs {

/// Reads a request. `zone` is a part of the body or one of its zones ("thigh", "thigh left"). BMI
/// and measurement may have two decimals and are rounded to a tenth, the needle has one. What the
/// numbers may be is checked by reach::reach.
Result<reach::ReachRequest> parse_reach_request(const json::Value& request);
Result<reach::ReachRequest> parse_reach_request(std::string_view text);

/// The result: `tip_mm`, `median_depth_mm`, `muscle_chance`, `skin_chance` and their bands,
/// `model`, `source`, `better`, `changes`, `cautions`, `text`, `defer`, and more. Chances have four
/// decimals.
json::Value reach_answer_json(const reach::ReachRequest& request, const reach::Reach& found,
                              const Say& say);
json::Value reach_example();
json::Value reach_schema();

/// The answer as lines: where the tip is, the chances, the best change, the cautions, for whom.
std::string reach_text(const reach::ReachRequest& request, const reach::Reach& found,
                       const Say& say);

/// Model, people and publications behind an answer, in a sentence or two.
std::string reach_source_text(const reach::ReachRequest& request, const reach::Reach& found,
                              const Say& say);

/// A chance as people read it: "25 %", "1.6 %"; what lies beyond reach::chance_least of nothing or
/// of certain as "under" or "over" (reach.under, reach.over).
std::string reach_chance_text(double chance, const Say& say);

/// The verb: request in, result out.
extern const Verb reach_verb;

}  // namespace penstock::verbs
