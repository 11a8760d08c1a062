// The `reconcile` call: its request and its result as JSON, its schema, its example, and the answer
// as a text for the nurse.
#pragma once

#include <string>
#include <string_view>

#include "base/base.hpp"
#include "core/reconcile/reconcile.hpp"
#include "edge/json/json.hpp"
#include "edge/verbs/verbs.hpp"

namespace penstock::verbs {

namespace codes {
/// Two cartridges with the same id. args: field, text
inline constexpr std::string_view reconcile_id_twice = "reconcile.id_twice";
}  // namespace codes

/// Reads a request. Cartridges have an `id` of the sender's; an entry may name one. What the
/// numbers may be is checked by reconcile::reconcile.
Result<reconcile::Request> parse_reconcile_request(const json::Value& request);
Result<reconcile::Request> parse_reconcile_request(std::string_view text);
/// The request as the call takes it; cartridges are named by their place.
json::Value reconcile_request_json(const reconcile::Request& request);

/// The result: `verdict`, the three `accounts`, their differences, `cartridges`, `mechanisms`,
/// `diary_signs`, `question` (for the person), `not_known`, `text` and `defer`. Probabilities have
/// four decimals, units of intervals one.
json::Value reconcile_answer_json(const reconcile::Request& request,
                                  const reconcile::Accounts& found, const Say& say);
json::Value reconcile_example();
json::Value reconcile_schema();

/// The answer as lines: the question to the person first, then what the nurse sees.
std::string reconcile_text(const reconcile::Request& request, const reconcile::Accounts& found,
                           const Say& say);

/// The verb: request in, result out.
extern const Verb reconcile_verb;

}  // namespace penstock::verbs
