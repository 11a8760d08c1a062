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
#include "core/stock/stock.hpp"
#include "core/units/units.hpp"
#include "edge/gs1/gs1.hpp"
#include "edge/json/json.hpp"
#include "edge/verbs/verbs.hpp"

namespace penstock::verbs {

/// What can be said against a carton; the gravest first, and in this order.
enum class CartonRemark : std::uint8_t {
  expired,           ///< stop (H12)
  recalled,          ///< stop
  other_insulin,     ///< ask: the order does not name it (H04)
  other_strength,    ///< ask: the order names another (H03)
  product_unknown,   ///< ask: nobody has said what this number stands for
  expiry_differs,    ///< ask: the record has another day for this lot
  no_lot,            ///< ask: to be typed from the carton
  no_expiry,         ///< ask: the same
  expires_soon,      ///< ask
  another_is_first,  ///< note: another lot expires earlier
};
inline constexpr std::array<std::string_view, 10> carton_remark_names{
    "expired",        "recalled",    "other insulin",  "other strength", "product unknown",
    "expiry differs", "lot missing", "expiry missing", "expires soon",   "another is first"};

enum class CartonWeight : std::uint8_t { note, ask, stop };
inline constexpr std::array<std::string_view, 3> carton_weight_names{"note", "ask", "stop"};
inline constexpr std::array<std::string_view, 3> carton_verdict_names{
    "may be handed out", "ask first", "do not hand out"};

struct CartonFinding {
  CartonRemark remark = CartonRemark::expired;
  CartonWeight weight = CartonWeight::note;
  Sentence what;
  Sentence do_this;
};

/// An insulin of one strength, as an order or a shelf names it.
struct CartonInsulin {
  std::string name;  ///< generic; empty: needles
  Strength strength;
};

struct CartonQuestion {
  gs1::Carton carton;
  LocalDay today{};
  /// What the product's number stands for; nothing: not learnt yet.
  std::optional<CartonInsulin> product;
  std::string item;  ///< in `stock`; empty: not known
  /// What the person's order names; nothing: it is for nobody in particular.
  std::optional<std::vector<CartonInsulin>> order;
};
std::vector<CartonFinding> judge_carton(const CartonQuestion& asked, const stock::Stock& stock);
/// The heaviest of them; nothing found: note, which is "may be handed out".
CartonWeight weight_of(const std::vector<CartonFinding>& findings);
/// The key of its sentence.
std::string_view carton_verdict(CartonWeight weight);
/// What was read, as label and value.
std::vector<std::pair<Sentence, std::string>> carton_lines(const gs1::Carton& carton);
/// How insulin is had today all the same (H38); said wherever the answer is not "may".
Sentence carton_insulin_today();

struct ScanRequest {
  CartonQuestion question;
  std::optional<std::int32_t> pieces;  ///< in one carton, as the shelf has it
  stock::Stock stock;
};
/// `text` and `today`; optional `order`, `product`, `lots` of the same product.
Result<ScanRequest> parse_scan_request(const json::Value& request);
Result<ScanRequest> parse_scan_request(std::string_view text);
json::Value scan_answer_json(const ScanRequest& asked, const std::vector<CartonFinding>& findings,
                             const Say& say);
std::string scan_text(const ScanRequest& asked, const std::vector<CartonFinding>& findings,
                      const Say& say);
json::Value scan_example();
json::Value scan_schema();

extern const Verb scan_verb;

}  // namespace penstock::verbs
