// The `scan` call: what a carton's code says, and whether the carton may be handed out: expired,
// called back, not what the order names (H03, H04, H12). The clinic's page asks the same judge.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/carton/carton.hpp"
#include "core/stock/stock.hpp"
#include "core/units/units.hpp"
#include "edge/json/json.hpp"
#include "edge/verbs/verbs.hpp"

namespace penstock::verbs {

/// What is said of a remark, and what to do about it.
std::pair<Sentence, Sentence> carton_said(const carton::Finding& found);
/// The key of its sentence.
std::string_view carton_verdict(carton::Weight weight);
/// What was read, as label and value.
std::vector<std::pair<Sentence, std::string>> carton_lines(const carton::Carton& carton);
/// How insulin is had today all the same (H38); said wherever the answer is not "may".
Sentence carton_insulin_today();

struct ScanRequest {
  carton::Question question;
  std::optional<std::int32_t> pieces;  ///< in one carton, as the shelf has it
  stock::Stock stock;
};
/// `text` and `today`; optional `order`, `product`, `lots` of the same product.
Result<ScanRequest> parse_scan_request(const json::Value& request);
Result<ScanRequest> parse_scan_request(std::string_view text);
json::Value scan_answer_json(const ScanRequest& asked, const std::vector<carton::Finding>& findings,
                             const Say& say);
std::string scan_text(const ScanRequest& asked, const std::vector<carton::Finding>& findings,
                      const Say& say);
json::Value scan_example();
json::Value scan_schema();

extern const Verb scan_verb;

}  // namespace penstock::verbs
