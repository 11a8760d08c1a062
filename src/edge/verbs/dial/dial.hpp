// The `dial` call: its request and its result as JSON, its schema, its example, and the plan as a
// text that a person can act on.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/base.hpp"
#include "core/dial/dial.hpp"
#include "edge/json/json.hpp"
#include "edge/verbs/verbs.hpp"

namespace penstock::verbs {

/// Reads a request. Unknown fields, wrong types and amounts with more than two decimals are refused
/// with a JSON pointer; what the numbers may be is checked by dial::plan.
/// `least_left_to_mix_units` is read inside `insulin` or beside it, `next_doses_units` as one
/// amount or a list.
Result<dial::DialRequest> parse_dial_request(const json::Value& request);
Result<dial::DialRequest> parse_dial_request(std::string_view text);

/// The result: `actions`, `given_units`, `needles`, `left_after`, `cautions`, and more.
json::Value dial_answer_json(const dial::DialRequest& request, const dial::DialPlan& plan,
                             const Say& say);
json::Value dial_example();
json::Value dial_schema();

/// The plan as numbered lines: first the question, then the actions, what is left, the cautions.
std::string dial_text(const dial::DialRequest& request, const dial::DialPlan& plan, const Say& say);

/// The catalogue's key and arguments for one action: "dial.do.prime" and so on.
std::pair<std::string, std::vector<Arg>> dial_action_said(const dial::DialRequest& request,
                                                          const dial::Action& action);

/// The verb: request in, result out.
extern const Verb dial_verb;

}  // namespace penstock::verbs
