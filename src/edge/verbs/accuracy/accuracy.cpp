#include "edge/verbs/accuracy/accuracy.hpp"

#include <cmath>

#include "core/fields/fields.hpp"
#include "edge/json/lists/lists.hpp"

namespace penstock::verbs {
namespace {

using accuracy::Accuracy;
using accuracy::Fails;
using accuracy::MicroUnits;
using accuracy::Share;
using fields::Field;
using fields::Group;
using json::Value;
namespace limits = accuracy::limits;

constexpr std::string_view defer_code = "accuracy.defer";

// ---- the request

Result<void> read_share(const Value& value, std::string_view at, void* into) {
  const auto read = json::fixed_within(value, 4, 1'000'000, at);
  if (!read) return read.error();
  fields::as<Share>(into) = {static_cast<std::int32_t>(*read)};
  return {};
}
Result<void> read_micro(const Value& value, std::string_view at, void* into) {
  const auto read = json::fixed_within(value, 6, 1'000'000'000'000, at);
  if (!read) return read.error();
  fields::as<MicroUnits>(into) = {*read};
  return {};
}
constexpr fields::Own share{&read_share, &json::own_number, 4};
constexpr fields::Own micro{&read_micro, &json::own_number, 6};

constexpr auto micro_most = limits::dose_most.hundredths() * 10'000;
constexpr auto share_least = limits::share_least.ten_thousandths;
constexpr auto share_most = limits::share_most.ten_thousandths;

constexpr Field summary_fields[] = {
    FIELD(accuracy::Summary, n, "n").bound(limits::n_least, limits::n_most),
    OWN_FIELD(accuracy::Summary, mean, "mean_units", micro).bound(0, micro_most),
    OWN_FIELD(accuracy::Summary, sd, "sd_units", micro)
        .bound(0, micro_most)
        .about("of the sample, n - 1")};
constexpr Group summary_list = fields::request<accuracy::Summary>(summary_fields);

constexpr Field request_fields[] = {
    FIELD(accuracy::Request, dose, "dose_units")
        .above(0, limits::dose_most)
        .about("what was set each time; a multiple of the step"),
    FIELD(accuracy::Request, step, "step_units")
        .above(0, fields::no_most)
        .about("of the pen; at most the dose"),
    OWN_FIELD(accuracy::Request, content, "content", share)
        .bound(share_least, share_most)
        .unless_said(accuracy::standard_content.ten_thousandths)
        .about("share of all deliveries that is to lie within"),
    OWN_FIELD(accuracy::Request, confidence, "confidence", share)
        .bound(share_least, share_most)
        .unless_said(accuracy::standard_confidence.ten_thousandths),
    FIELD(accuracy::Request, delivered, "delivered_units")
        .bound(limits::n_least, limits::n_most)
        .items_bound(0, limits::dose_most)
        .about("in the order in which they came; instead of n, mean_units and sd_units"),
    FIELD(accuracy::Request, summary, "", &summary_list).spread()};
constexpr Group request_list = fields::request<accuracy::Request>(request_fields);

// ---- the answer

std::int64_t rounded(double value, int decimals) {
  return std::llround(value * std::pow(10.0, decimals));
}
Value fixed_json(double value, int decimals) {
  return json::fixed(rounded(value, decimals), decimals);
}

/// An end of the interval in so many decimals; one that passes its limit never prints as the limit.
enum class End : std::uint8_t { low, high };
std::int64_t shown(const Accuracy& found, End end, int decimals) {
  const bool low = end == End::low;
  const double value = low ? found.low_units : found.high_units;
  const double limit =
      static_cast<double>((low ? found.limit_low : found.limit_high).millionths) / 1e6;
  const bool passes = found.fails == Fails::both || found.fails == (low ? Fails::low : Fails::high);
  const double scale = std::pow(10.0, decimals);
  const auto nearest = std::llround(value * scale);
  if (!passes) return nearest;
  if (low) return std::min<std::int64_t>(nearest, std::llround(std::ceil(limit * scale)) - 1);
  return std::max<std::int64_t>(nearest, std::llround(std::floor(limit * scale)) + 1);
}

std::string micro_text(MicroUnits value) { return format_fixed(value.millionths, 6); }
std::string percent_text(Share share) { return format_fixed(share.ten_thousandths, 2); }
std::string number_text(double value, int decimals) {
  return format_fixed(rounded(value, decimals), decimals);
}

Value count_or_null(const std::optional<std::int32_t>& value) {
  return value ? json::count(*value) : json::null();
}

Value drift_json(const std::optional<accuracy::Drift>& drift) {
  if (!drift) return json::null();
  return json::object({{"slope_units", fixed_json(drift->slope_units, 6)},
                       {"low_units", fixed_json(drift->low_units, 6)},
                       {"high_units", fixed_json(drift->high_units, 6)},
                       {"p", fixed_json(drift->p, 4)},
                       {"seen", json::boolean(drift->seen)}});
}

/// What the sentences of one answer share.
std::vector<Arg> args_of(const accuracy::Request& request, const Accuracy& found) {
  return {arg_units("dose", request.dose),
          arg_text("content", percent_text(request.content)),
          arg_text("confidence", percent_text(request.confidence)),
          arg_text("standard_content", percent_text(accuracy::standard_content)),
          arg_text("standard_confidence", percent_text(accuracy::standard_confidence)),
          arg_text("low", format_fixed(shown(found, End::low, 3), 3)),
          arg_text("high", format_fixed(shown(found, End::high, 3), 3)),
          arg_text("limit_low", micro_text(found.limit_low)),
          arg_text("limit_high", micro_text(found.limit_high)),
          arg_count("n", found.n),
          arg_text("k", number_text(found.k, 4)),
          arg_text("mean", number_text(found.mean_units, 3)),
          arg_text("sd", number_text(found.sd_units, 3)),
          arg_count("outside", found.outside.value_or(0)),
          arg_count("least", found.least_n.value_or(0)),
          arg_count("more", found.more_needed.value_or(0)),
          arg_count("most", accuracy::limits::n_most)};
}

Sentence drift_said(const accuracy::Drift& drift) {
  return {drift.seen ? "accuracy.drift.seen" : "accuracy.drift.none",
          {arg_text("slope", number_text(drift.slope_units, 4)),
           arg_text("low", number_text(drift.low_units, 4)),
           arg_text("high", number_text(drift.high_units, 4))}};
}

Result<Answer> run_accuracy(const Value& value, const Say& say, const Stopped& /*stopped*/) {
  const auto request = parse_accuracy_request(value);
  if (!request) return request.error();
  const auto found = accuracy::accuracy(*request);
  if (!found) return found.error();
  return Answer{accuracy_answer_json(*request, *found, say), accuracy_text(*request, *found, say)};
}

}  // namespace

Result<accuracy::Request> parse_accuracy_request(const Value& request) {
  accuracy::Request out;
  if (const auto read = json::ListReader().object(request, "", request_list, &out); !read) {
    return read.error();
  }
  return out;
}

Result<accuracy::Request> parse_accuracy_request(std::string_view text) {
  const auto value = json::parse(text);
  if (!value) return value.error();
  return parse_accuracy_request(*value);
}

std::string_view accuracy_source() {
  return "Limits: Krzywon M, et al. Curr Med Res Opin 2010;26(4):901-905 (limits of ISO "
         "11608-1:2000; read). Rule, acceptance, 97.5% at 95%: ISO 11608-1, dose accuracy clause "
         "(from memory). Factor: exact integral, definition in ISO 16269-6 and NIST/SEMATECH "
         "e-Handbook 7.2.6.3 (from memory)";
}

Sentence accuracy_verdict(const accuracy::Request& request, const Accuracy& found) {
  std::string key = "accuracy.verdict.";
  if (found.within) {
    key += "within";
  } else if (found.mean_outside) {
    key += found.fails == Fails::low    ? "mean_low"
           : found.fails == Fails::high ? "mean_high"
                                        : "both";
  } else {
    key += accuracy::fails_names[static_cast<std::size_t>(found.fails)];
  }
  return {key, args_of(request, found)};
}

std::vector<Sentence> accuracy_details(const accuracy::Request& request, const Accuracy& found) {
  const auto args = args_of(request, found);
  std::vector<Sentence> out{{"accuracy.interval", args}, {"accuracy.numbers", args}};
  if (found.outside.value_or(0) > 0) out.push_back({"accuracy.outside", args});
  if (!found.within) {
    out.push_back({found.least_n ? "accuracy.more" : "accuracy.no_number", args});
  } else if (found.sd_units > 0) {
    out.push_back({"accuracy.enough", args});
  }
  if (found.drift) out.push_back(drift_said(*found.drift));
  return out;
}

std::vector<Caution> accuracy_cautions_said(const accuracy::Request& request,
                                            const Accuracy& found) {
  std::vector<Caution> out;
  const auto args = args_of(request, found);
  for (const auto code : found.cautions) out.push_back({code, {std::string(code), args}});
  return out;
}

json::Value accuracy_answer_json(const accuracy::Request& request, const Accuracy& found,
                                 const Say& say) {
  auto out = json::object({{"k", fixed_json(found.k, 4)},
                           {"mean_units", fixed_json(found.mean_units, 4)},
                           {"sd_units", fixed_json(found.sd_units, 4)},
                           {"low_units", json::fixed(shown(found, End::low, 4), 4)},
                           {"high_units", json::fixed(shown(found, End::high, 4), 4)},
                           {"limit_low_units", json::fixed(found.limit_low.millionths, 6)},
                           {"limit_high_units", json::fixed(found.limit_high.millionths, 6)},
                           {"within", json::boolean(found.within)},
                           {"n", json::count(found.n)},
                           {"content", json::fixed(request.content.ten_thousandths, 4)},
                           {"confidence", json::fixed(request.confidence.ten_thousandths, 4)}});
  const auto side = accuracy::fails_names[static_cast<std::size_t>(found.fails)];
  json::add(out, "fails", json::string(side));
  json::add(out, "mean_outside", json::boolean(found.mean_outside));
  json::add(out, "outside", count_or_null(found.outside));
  json::add(out, "least_n", count_or_null(found.least_n));
  json::add(out, "more_needed", count_or_null(found.more_needed));
  json::add(out, "drift", drift_json(found.drift));
  json::add(out, "cautions", cautions_of(accuracy_cautions_said(request, found), say));
  json::add(out, "text",
            json::string(said(accuracy_verdict(request, found), say) + " " +
                         said(accuracy_details(request, found), say)));
  json::add(out, "source", json::string(accuracy_source()));
  json::add(out, "defer", json::string(say(defer_code, {})));
  return out;
}

std::string accuracy_text(const accuracy::Request& request, const Accuracy& found, const Say& say) {
  std::string text = said(accuracy_verdict(request, found), say) + "\n";
  for (const auto& sentence : accuracy_details(request, found)) text += said(sentence, say) + "\n";
  text += "\n";
  for (const auto& caution : accuracy_cautions_said(request, found)) {
    text += "- " + said(caution.sentence, say) + "\n";
  }
  return text + std::string(accuracy_source()) + ".\n" + say(defer_code, {}) + "\n";
}

json::Value accuracy_example() {
  return example_of(R"({"dose_units": 10, "step_units": 1, "content": 0.95, "confidence": 0.95,
  "delivered_units": [9.92, 10.04, 9.85, 10.1, 9.98, 10.01, 9.79, 9.95, 10.06, 9.9, 10.03, 9.88,
    9.97, 10.12, 9.94, 9.86, 10, 9.91, 10.05, 9.96]})");
}

json::Value accuracy_schema() {
  auto schema = json::headed("accuracy: does a pen deliver what its window says",
                             json::ListSchema().object(request_list));
  json::add(schema, "oneOf", json::sets_of({{"delivered_units"}, {"n", "mean_units", "sd_units"}}));
  return schema;
}

const Verb accuracy_verb{"accuracy", &accuracy_example, &accuracy_schema, &run_accuracy,
                         TextForm::prose};

}  // namespace penstock::verbs
