#include "edge/verbs/scan/scan.hpp"

#include <algorithm>

#include "core/fields/fields.hpp"
#include "edge/gs1/gs1.hpp"
#include "edge/json/lists/lists.hpp"

namespace penstock::verbs {
/// Named: whether a list leaves out a member cannot be asked of an optional without linkage.
namespace asked {
struct Product {
  std::optional<std::int32_t> pieces;
  std::string insulin;
  Strength strength;
};
}  // namespace asked

namespace {

using asked::Product;
using fields::Field;
using fields::Group;
using json::Value;

constexpr std::string_view defer_code = "scan.defer";
constexpr std::array<std::string_view, 3> verdict_names{"may be handed out", "ask first",
                                                        "do not hand out"};
constexpr std::array<std::string_view, 3> verdict_keys{"scan.verdict.may", "scan.verdict.ask",
                                                       "scan.verdict.stop"};
/// Of the sentences, in the order of carton::Remark.
constexpr std::array<std::string_view, carton::remark_names.size()> remark_keys{
    "expired",         "recalled",   "lot_unclear",    "other_insulin", "other_strength",
    "product_unknown", "no_product", "expiry_differs", "made_after",    "made_ahead",
    "expiry_far",      "no_lot",     "no_expiry",      "expires_soon",  "another_is_first"};
constexpr std::string_view only_item = "carton";  // the verb knows one product
constexpr std::int64_t pieces_max = 100'000;      // more than any shelf has of one lot

// ---- the request

/// Wanted now rather than by the judge: what a shelf can have of one product.
template <class Count, std::int64_t least>
Result<void> read_pieces(const Value& value, std::string_view at, void* into) {
  const auto pieces = json::count_of(value, least, pieces_max, at);
  if (!pieces) return pieces.error();
  fields::as<Count>(into) = static_cast<std::int32_t>(*pieces);
  return {};
}
constexpr fields::Own in_a_carton{&read_pieces<std::optional<std::int32_t>, 1>, &json::own_number};
constexpr fields::Own on_the_shelf{&read_pieces<std::int64_t, 0>, &json::own_number};

/// Wanted now: nobody after this looks at a strength by itself.
std::optional<Error> wrong_strength(Strength strength) {
  if (strength.units_per_ml >= 1) return std::nullopt;
  return Error{Kind::invalid_input,
               std::string(json::codes::field_range),
               {arg_text("field", "strength_units_per_ml"), arg_count("least", 1),
                arg_count("most", shelf::limits::strength_units_per_ml.most)},
               "strength_units_per_ml"};
}
std::optional<Error> ordered_insulin(const void* value) {
  return wrong_strength(fields::as<carton::Insulin>(value).strength);
}
std::optional<Error> known_product(const void* value) {
  return wrong_strength(fields::as<Product>(value).strength);
}

constexpr Field insulin_fields[] = {
    FIELD(carton::Insulin, name, "insulin").stated(),
    FIELD(carton::Insulin, strength, "strength_units_per_ml").bound(1, fields::no_most)};
constexpr Group insulin_list = fields::request<carton::Insulin>(insulin_fields, ordered_insulin);

constexpr Field product_fields[] = {
    OWN_FIELD(Product, pieces, "pieces", in_a_carton)
        .bound(1, pieces_max)
        .optional()
        .about("in one carton"),
    FIELD(Product, insulin, "insulin")
        .stated()
        .about("generic name; empty: pen needles, which no order names"),
    FIELD(Product, strength, "strength_units_per_ml").bound(1, fields::no_most)};
constexpr Group product_list = fields::request<Product>(product_fields, known_product);

struct Lot {
  std::string lot;
  std::optional<LocalDay> expires;
  bool recalled = false;
  std::int64_t left = 0;
};
/// A recall of no lot would find none: it is not passed over.
std::optional<Error> recalled_lot(const void* value) {
  const auto& lot = fields::as<Lot>(value);
  if (!lot.recalled || !lot_key(lot.lot).empty()) return std::nullopt;
  return Error{Kind::invalid_input,
               std::string(json::codes::field_missing),
               {arg_text("field", "lot")},
               "lot"};
}
constexpr Field lot_fields[] = {FIELD(Lot, lot, "lot").stated(), FIELD(Lot, expires, "expires"),
                                FIELD(Lot, recalled, "recalled"),
                                OWN_FIELD(Lot, left, "left", on_the_shelf).bound(0, pieces_max)};
constexpr Group lot_list = fields::request<Lot>(lot_fields, recalled_lot);

struct Scan {
  std::string text;
  LocalDay today{};
  std::vector<carton::Insulin> order;
  std::optional<Product> product;
  std::vector<Lot> lots;
};
constexpr Field scan_fields[] = {
    FIELD(Scan, text, "text")
        .stated()
        .bound(1, gs1::carton_bytes_max)
        .about("as the scanner typed it: GS1 element strings, with separators, or in brackets"),
    FIELD(Scan, today, "today"),
    FIELD(Scan, order, "order", &insulin_list).about("what the person's order names"),
    FIELD(Scan, product, "product", &product_list)
        .never_null()
        .about("what the product's number stands for; missing: nobody has said yet"),
    FIELD(Scan, lots, "lots", &lot_list).about("what of the same product stands on the shelf")};
constexpr Group scan_list = fields::request<Scan>(scan_fields);

void put_on_shelf(const Lot& asked, stock::Stock& into) {
  stock::Lot lot;
  lot.item = only_item;
  lot.lot = asked.lot;
  lot.key = lot_key(asked.lot);
  lot.expires = asked.expires;
  lot.left = asked.left;
  lot.came = asked.left;
  lot.recalled = asked.recalled;
  if (asked.recalled) {
    stock::Recall recall;
    recall.said.lot = lot.lot;
    recall.key = lot.key;
    into.recalls.push_back(std::move(recall));
  }
  into.lots.push_back(std::move(lot));
}

// ---- the answer

Result<Answer> run_scan(const Value& value, const Say& say, const Stopped& /*stopped*/) {
  const auto asked = parse_scan_request(value);
  if (!asked) return asked.error();
  const auto findings = carton::judge(asked->question, asked->stock);
  return Answer{scan_answer_json(*asked, findings, say), scan_text(*asked, findings, say)};
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
  Scan asked;
  if (const auto read = json::ListReader().object(request, "", scan_list, &asked); !read) {
    return read.error();
  }
  ScanRequest out;
  out.question.today = asked.today;
  out.question.item = only_item;
  // An order that names nothing is not the same as none.
  if (request.find("order") != nullptr) out.question.order = std::move(asked.order);
  if (asked.product) {
    out.pieces = asked.product->pieces;
    out.question.product = {asked.product->insulin, asked.product->strength};
  }
  for (const auto& lot : asked.lots) put_on_shelf(lot, out.stock);
  std::ranges::stable_sort(out.stock.lots, {}, [](const stock::Lot& lot) {
    return lot.expires.value_or(LocalDay::max());
  });
  const auto carton = gs1::read_carton(
      asked.text, static_cast<int>(std::chrono::year_month_day{out.question.today}.year()));
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
  std::vector<Value> may_be;
  for (const auto& lot : carton::lots_it_may_be(asked.question, asked.stock))
    may_be.push_back(json::string(lot));
  auto out =
      json::object({{"verdict", json::string(verdict_names[static_cast<std::size_t>(weight)])},
                    {"findings", json::array(std::move(found))},
                    {"gtin", json::string(carton.gtin)},
                    {"lot", json::string(carton.lot)},
                    {"lot_may_be", json::array(std::move(may_be))},
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
  return example_of(
      R"({"text": "(01)02012345678903(17)280531(10)AB12", "today": "2027-03-16",
 "order": [{"insulin": "insulin glargine", "strength_units_per_ml": 100}],
 "product": {"insulin": "insulin glargine", "strength_units_per_ml": 100},
 "lots": [{"lot": "AA07", "expires": "2027-12-31", "left": 10}]})");
}

json::Value scan_schema() {
  return json::headed("scan: the text of a carton's code", json::ListSchema().object(scan_list));
}

const Verb scan_verb{"scan", &scan_example, &scan_schema, &run_scan, TextForm::prose};

}  // namespace penstock::verbs
