// The `cover` call: its request and its result as JSON, its schema, its example, and the answer as
// a text that a person can act on.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/cover/cover.hpp"
#include "edge/json/json.hpp"
#include "edge/verbs/verbs.hpp"

namespace penstock::verbs {

/// What is asked, and who answers for a service below the usual one.
struct CoverRequest {
  cover::Request request;
  std::string service_reason;
  std::string service_by;
  /// Insulins that are divided for a window that nobody named: taken as one that returns to zero.
  std::vector<std::string> window_assumed;
};

namespace codes {
/// A service below cover::service_usual without a reason and a name. args: service, usual
inline constexpr std::string_view service_unsigned = "cover.service_unsigned";
}  // namespace codes

/// Reads a request. `unopened` is one count or `unopened_lots` are several, with their expiries;
/// `lead_days` is one or `leads` are several, with their chances. Where no `step_units` is given
/// and doses do not vary, it is the largest of 1, 0.5, 0.1 and 0.01 that goes into doses and
/// primes; otherwise 1. What the numbers may be is checked by cover::cover.
Result<CoverRequest> parse_cover_request(const json::Value& request);
Result<CoverRequest> parse_cover_request(std::string_view text);

/// The result: `lines`, `needles`, `sharps` (each with `full_days`, `last_full_day`,
/// `runs_out_chance`, `ask_by`, `boxes`, and more), `ask_by`, `cautions`, `text`, `defer`. Chances
/// have nine decimals.
json::Value cover_answer_json(const CoverRequest& asked, const cover::Answer& answer,
                              const Say& say);
json::Value cover_example();
json::Value cover_schema();

/// The answer as lines: for each supply when it is short and by when to ask; the cautions; what is
/// left alone; who decides.
std::string cover_text(const CoverRequest& asked, const cover::Answer& answer, const Say& say);

/// The verb: request in, result out.
extern const Verb cover_verb;

}  // namespace penstock::verbs
