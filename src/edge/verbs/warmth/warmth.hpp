// The `warmth` call: what heat has done to a cartridge. The label's verdict and what to do come
// first and stand in a text of their own for the person, without any percentage; the estimate is
// the nurse's (H49).
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/warmth/warmth.hpp"
#include "edge/json/json.hpp"
#include "edge/verbs/verbs.hpp"

namespace penstock::verbs {

struct WarmthRequest {
  warmth::Request request;
  std::string insulin;  ///< generic name; empty: none was given
};

/// Reads a request: `in_use_days`, `spells` (`celsius` with one decimal, `hours` with two),
/// optional `frozen`, `in_use_most_celsius`, `insulin`. Where `frozen` is true `spells` may be
/// missing.
Result<WarmthRequest> parse_warmth_request(const json::Value& request);
Result<WarmthRequest> parse_warmth_request(std::string_view text);
/// Where no limit is given that of the insulin's name on the program's shelf is taken; what is
/// given may be stricter than its label, never looser.
Result<warmth::Warmth> warmth_of(const WarmthRequest& asked);

/// The result, in this order: `limit_broken`, `do_first`, `broken`, `limit_celsius`,
/// `limit_assumed`, `limit_from` (`request`, `shelf`, `strictest`), `warmest_celsius`, hours,
/// `why`, `for_person`, `text` (the same), `cautions`, `defer`; then for the nurse only
/// `lost_percent` (null: none), `no_number`, `for_nurse`, `source`.
json::Value warmth_answer_json(const WarmthRequest& asked, const warmth::Warmth& found,
                               const Say& say);
json::Value warmth_example();
json::Value warmth_schema();

/// The answer as lines; what is the nurse's comes last, under its own head.
std::string warmth_text(const WarmthRequest& asked, const warmth::Warmth& found, const Say& say);

/// What to do first, why, and the whole answer for the person: no percentage is in any (H49).
std::vector<Sentence> warmth_do_first(const WarmthRequest& asked, const warmth::Warmth& found);
std::vector<Sentence> warmth_why(const WarmthRequest& asked, const warmth::Warmth& found);
std::vector<Sentence> warmth_for_person(const WarmthRequest& asked, const warmth::Warmth& found);
/// The estimate or the reason why there is none, and its cautions.
std::vector<Sentence> warmth_for_nurse(const warmth::Warmth& found);
/// The cautions that are the person's too.
std::vector<Caution> warmth_cautions_said(const warmth::Warmth& found);
std::string_view warmth_source();

extern const Verb warmth_verb;

}  // namespace penstock::verbs
