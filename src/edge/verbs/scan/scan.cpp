#include "edge/verbs/scan/scan.hpp"

#include <algorithm>

#include "edge/gs1/gs1.hpp"

namespace penstock::verbs {
namespace {

using json::Reader;
using json::Value;

constexpr std::string_view defer_code = "scan.defer";
constexpr std::array<std::string_view, 3> verdict_names{"may be handed out", "ask first",
                                                        "do not hand out"};
constexpr std::array<std::string_view, 3> verdict_keys{"scan.verdict.may", "scan.verdict.ask",
                                                       "scan.verdict.stop"};
/// Of the sentences, in the order of carton::Remark.
constexpr std::array<std::string_view, carton::remark_names.size()> remark_keys{
    "expired",        "recalled", "other_insulin", "other_strength", "product_unknown",
    "expiry_differs", "no_lot",   "no_expiry",     "expires_soon",   "another_is_first"};
constexpr std::string_view only_item = "carton";  // the verb knows one product
constexpr std::int64_t pieces_max = 100'000;      // more than any shelf has of one lot

Result<void> read_insulin(Reader& read, carton::Insulin& into) {
  read.need("insulin", into.name);
  read.need("strength_units_per_ml", into.strength);
  return read.done();
}

Result<void> read_product(const Value& item, std::string_view at, ScanRequest& into) {
  Reader read(item, at);
  if (const auto* raw = read.may_raw("pieces")) {
    const auto pieces = json::count_of(*raw, 1, pieces_max, read.at("pieces"));
    if (!pieces) return pieces.error();
    into.pieces = static_cast<std::int32_t>(*pieces);
  }
  return read_insulin(read, into.question.product.emplace());
}

Result<void> read_lot(const Value& item, std::string_view at, stock::Stock& into) {
  Reader read(item, at);
  stock::Lot lot;
  lot.item = only_item;
  bool recalled = false;
  read.need("lot", lot.lot);
  read.may("expires", lot.expires);
  read.may("recalled", recalled);
  if (const auto* raw = read.need_raw("left")) {
    const auto left = json::count_of(*raw, 0, pieces_max, read.at("left"));
    if (!left) return left.error();
    lot.left = *left;
  }
  if (const auto done = read.done(); !done) return done;
  lot.key = stock::lot_key(lot.lot);
  // A recall of no lot would find none: it is not passed over.
  if (recalled && lot.key.empty())
    return Error{Kind::invalid_input,
                 std::string(json::codes::field_missing),
                 {arg_text("field", "lot")},
                 read.at("lot")};
  lot.came = lot.left;
  lot.recalled = recalled;
  if (recalled) {
    stock::Recall recall;
    recall.said.lot = lot.lot;
    recall.key = lot.key;
    into.recalls.push_back(std::move(recall));
  }
  into.lots.push_back(std::move(lot));
  return {};
}

Result<Answer> run_scan(const Value& value, const Say& say, const Stopped& /*stopped*/) {
  const auto asked = parse_scan_request(value);
  if (!asked) return asked.error();
  const auto findings = carton::judge(asked->question, asked->stock);
  return Answer{scan_answer_json(*asked, findings, say), scan_text(*asked, findings, say)};
}

constexpr std::string_view schema_text = R"({
  "$schema": "https://json-schema.org/draft/2020-12/schema",
  "title": "scan: the text of a carton's code",
  "type": "object",
  "additionalProperties": false,
  "required": ["text", "today"],
  "properties": {
    "text": {"type": "string", "minLength": 1, "maxLength": 500, "description": "as the scanner typed it: GS1 element strings, with separators, or in brackets"},
    "today": {"type": "string", "format": "date"},
    "order": {"type": "array", "description": "what the person's order names", "items": {
      "type": "object", "additionalProperties": false, "required": ["insulin", "strength_units_per_ml"],
      "properties": {"insulin": {"type": "string"}, "strength_units_per_ml": {"type": "integer", "minimum": 1}}}},
    "product": {"type": "object", "additionalProperties": false, "required": ["insulin", "strength_units_per_ml"], "description": "what the product's number stands for; missing: nobody has said yet",
      "properties": {"insulin": {"type": "string", "description": "generic name; empty: pen needles, which no order names"}, "strength_units_per_ml": {"type": "integer", "minimum": 1},
        "pieces": {"type": "integer", "minimum": 1, "maximum": 100000, "description": "in one carton"}}},
    "lots": {"type": "array", "description": "what of the same product stands on the shelf", "items": {
      "type": "object", "additionalProperties": false, "required": ["lot", "left"],
      "properties": {"lot": {"type": "string"}, "expires": {"type": "string", "format": "date"}, "recalled": {"type": "boolean"}, "left": {"type": "integer", "minimum": 0, "maximum": 100000}}}}
  }
})";

Value parsed(std::string_view text) {
  auto value = json::parse(text);
  INVARIANT(value.has_value());
  return *std::move(value);
}

Value day_or_null(const std::optional<LocalDay>& day) {
  return day ? json::string(*day) : json::null();
}

}  // namespace

std::pair<Sentence, Sentence> carton_said(const carton::Finding& found) {
  const auto key = std::string(remark_keys[static_cast<std::size_t>(found.remark)]);
  return {{"scan.what." + key, found.args}, {"scan.do." + key, found.args}};
}

std::string_view carton_verdict(carton::Weight weight) {
  return verdict_keys[static_cast<std::size_t>(weight)];
}

std::vector<std::pair<Sentence, std::string>> carton_lines(const carton::Carton& carton) {
  std::vector<std::pair<Sentence, std::string>> out;
  const auto add = [&out](std::string_view key, const std::string& value) {
    if (!value.empty()) out.push_back({{"scan.line." + std::string(key), {}}, value});
  };
  add("gtin", carton.gtin);
  add("lot", carton.lot);
  add("expires", carton.expires ? format_iso(*carton.expires) : "");
  add("made", carton.made ? format_iso(*carton.made) : "");
  add("serial", carton.serial);
  add("count", carton.count ? std::to_string(*carton.count) : "");
  return out;
}

Sentence carton_insulin_today() { return {"scan.today", {}}; }

Result<ScanRequest> parse_scan_request(const Value& request) {
  ScanRequest out;
  std::string text;
  Reader read(request);
  read.need("text", text);
  read.need("today", out.question.today);
  if (const auto* order = read.may_raw("order")) {
    out.question.order.emplace();
    read.each("order", *order, [&](const Value& item, std::string_view at) -> Result<void> {
      Reader one(item, at);
      return read_insulin(one, out.question.order->emplace_back());
    });
  }
  if (const auto* product = read.may_raw("product")) {
    read.keep(read_product(*product, read.at("product"), out));
  }
  out.question.item = only_item;
  if (const auto* lots = read.may_raw("lots")) {
    read.each("lots", *lots, [&](const Value& item, std::string_view at) {
      return read_lot(item, at, out.stock);
    });
  }
  if (const auto done = read.done(); !done) return done.error();
  std::ranges::stable_sort(out.stock.lots, {}, [](const stock::Lot& lot) {
    return lot.expires.value_or(LocalDay::max());
  });
  const auto carton = gs1::read_carton(
      text, static_cast<int>(std::chrono::year_month_day{out.question.today}.year()));
  if (!carton) return carton.error();
  out.question.carton = *carton;
  return out;
}

Result<ScanRequest> parse_scan_request(std::string_view text) {
  const auto value = json::parse(text);
  if (!value) return value.error();
  return parse_scan_request(*value);
}

json::Value scan_answer_json(const ScanRequest& asked, const std::vector<carton::Finding>& findings,
                             const Say& say) {
  const auto& carton = asked.question.carton;
  const auto weight = carton::weight_of(findings);
  std::vector<Value> found;
  for (const auto& one : findings) {
    const auto [what, do_this] = carton_said(one);
    found.push_back(json::object(
        {{"code", json::string(carton::remark_names[static_cast<std::size_t>(one.remark)])},
         {"weight", json::string(carton::weight_names[static_cast<std::size_t>(one.weight)])},
         {"text", json::string(said(what, say))},
         {"do_this", json::string(said(do_this, say))}}));
  }
  auto out =
      json::object({{"verdict", json::string(verdict_names[static_cast<std::size_t>(weight)])},
                    {"findings", json::array(std::move(found))},
                    {"gtin", json::string(carton.gtin)},
                    {"lot", json::string(carton.lot)},
                    {"expires", day_or_null(carton.expires)},
                    {"made", day_or_null(carton.made)},
                    {"serial", json::string(carton.serial)},
                    {"count", carton.count ? json::count(*carton.count) : json::null()}});
  json::add(out, "pieces", asked.pieces ? json::count(*asked.pieces) : json::null());
  json::add(out, "insulin_today",
            weight == carton::Weight::note ? json::null()
                                           : json::string(said(carton_insulin_today(), say)));
  json::add(out, "defer", json::string(say(defer_code, {})));
  return out;
}

std::string scan_text(const ScanRequest& asked, const std::vector<carton::Finding>& findings,
                      const Say& say) {
  const auto weight = carton::weight_of(findings);
  std::string text = say(carton_verdict(weight), {}) + "\n";
  for (const auto& one : findings) {
    const auto [what, do_this] = carton_said(one);
    text += "- " + said(what, say) + " " + said(do_this, say) + "\n";
  }
  if (weight != carton::Weight::note) text += said(carton_insulin_today(), say) + "\n";
  for (const auto& [label, value] : carton_lines(asked.question.carton))
    text += said(label, say) + ": " + value + "\n";
  return text + say(defer_code, {}) + "\n";
}

json::Value scan_example() {
  return parsed(
      R"({"text": "(01)02012345678903(17)280531(10)AB12", "today": "2027-03-16",
 "order": [{"insulin": "insulin glargine", "strength_units_per_ml": 100}],
 "product": {"insulin": "insulin glargine", "strength_units_per_ml": 100},
 "lots": [{"lot": "AA07", "expires": "2027-12-31", "left": 10}]})");
}

json::Value scan_schema() { return parsed(schema_text); }

const Verb scan_verb{"scan", &scan_example, &scan_schema, &run_scan, TextForm::prose};

}  // namespace penstock::verbs
