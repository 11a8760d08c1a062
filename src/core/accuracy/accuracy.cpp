#include "core/accuracy/accuracy.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "core/stats/stats.hpp"

namespace penstock::accuracy {
namespace {

constexpr double per_unit = 1e6;             // of MicroUnits
constexpr double on_the_limit = 1e-9;        // units: what rounding of doubles can be, and no more
constexpr double drift_confidence = 0.95;    // as usual
constexpr double few_ratio = 1.5;            // ours: the factor is half as large again as for many
constexpr std::int64_t milligram_ratio = 3;  // a unit of 100 units/mL weighs about 10 mg
constexpr std::int64_t wide_ratio = 10;      // ours: limits further than a tenth of the dose

constexpr std::int64_t micro(Units amount) { return amount.hundredths() * 10'000; }
double units_of(MicroUnits amount) { return static_cast<double>(amount.millionths) / per_unit; }
double share_of(Share share) { return share.ten_thousandths / 10'000.0; }

Error refused(std::string_view code, std::vector<Arg> args, std::string_view at) {
  return {Kind::invalid_input, std::string(code), std::move(args), std::string(at)};
}

std::optional<Error> dose_wrong(const Request& r) {
  if (r.dose.is_zero() || r.dose > limits::dose_most) {
    return refused(accuracy_codes::dose_limit,
                   {arg_units("dose", r.dose), arg_units("least", *Units::from_hundredths(1)),
                    arg_units("most", limits::dose_most)},
                   "/dose_units");
  }
  if (r.step.is_zero() || r.step > r.dose) {
    return refused(accuracy_codes::step_limit,
                   {arg_units("step", r.step), arg_units("dose", r.dose)}, "/step_units");
  }
  if (!is_multiple(r.dose, r.step)) {
    return refused(accuracy_codes::step_misses,
                   {arg_units("dose", r.dose), arg_units("step", r.step)}, "/dose_units");
  }
  return std::nullopt;
}

std::optional<Error> share_wrong(std::string_view code, std::string_view name, Share share,
                                 std::string_view at) {
  if (share >= limits::share_least && share <= limits::share_most) return std::nullopt;
  return refused(code,
                 {arg_text(name, format_fixed(share.ten_thousandths, 4)),
                  arg_text("least", format_fixed(limits::share_least.ten_thousandths, 4)),
                  arg_text("most", format_fixed(limits::share_most.ten_thousandths, 4))},
                 at);
}

std::optional<Error> count_wrong(std::int64_t n, std::string_view at) {
  if (n >= limits::n_least && n <= limits::n_most) return std::nullopt;
  return refused(
      accuracy_codes::n_limit,
      {arg_count("n", n), arg_count("least", limits::n_least), arg_count("most", limits::n_most)},
      at);
}

std::optional<Error> measured_wrong(const Request& r) {
  if (r.delivered.empty() == !r.summary) {
    return refused(accuracy_codes::values_or_summary, {}, "/delivered_units");
  }
  if (!r.summary) {
    if (auto error = count_wrong(static_cast<std::int64_t>(r.delivered.size()), "/delivered_units"))
      return error;
    for (std::size_t i = 0; i < r.delivered.size(); ++i) {
      if (r.delivered[i] <= limits::dose_most) continue;
      return refused(accuracy_codes::delivered_limit,
                     {arg_units("delivered", r.delivered[i]), arg_units("most", limits::dose_most)},
                     "/delivered_units/" + std::to_string(i));
    }
    return std::nullopt;
  }
  if (auto error = count_wrong(r.summary->n, "/n")) return error;
  const auto inside = [](MicroUnits value) {
    return value.millionths >= 0 && value.millionths <= micro(limits::dose_most);
  };
  const auto text = [](MicroUnits value) { return format_fixed(value.millionths, 6); };
  if (!inside(r.summary->mean)) {
    return refused(accuracy_codes::mean_limit,
                   {arg_text("mean", text(r.summary->mean)), arg_units("most", limits::dose_most)},
                   "/mean_units");
  }
  if (!inside(r.summary->sd)) {
    return refused(accuracy_codes::sd_limit,
                   {arg_text("sd", text(r.summary->sd)), arg_units("most", limits::dose_most)},
                   "/sd_units");
  }
  return std::nullopt;
}

std::optional<Error> wrong(const Request& r) {
  if (auto error = dose_wrong(r)) return error;
  if (auto error = share_wrong(accuracy_codes::content_limit, "content", r.content, "/content"))
    return error;
  if (auto error =
          share_wrong(accuracy_codes::confidence_limit, "confidence", r.confidence, "/confidence"))
    return error;
  return measured_wrong(r);
}

std::vector<double> in_units(std::span<const Units> amounts) {
  std::vector<double> out;
  for (const Units amount : amounts)
    out.push_back(static_cast<double>(amount.hundredths()) / 100.0);
  return out;
}

void summarise(Accuracy& out, const Request& r) {
  if (r.summary) {
    out.n = r.summary->n;
    out.mean_units = units_of(r.summary->mean);
    out.sd_units = units_of(r.summary->sd);
    return;
  }
  // Sums of whole hundredths are exact: at most 10'000^2 (150'000)^2 is below 2^63.
  std::int64_t sum = 0, squares = 0;
  for (const Units one : r.delivered) {
    sum += one.hundredths();
    squares += one.hundredths() * one.hundredths();
  }
  const auto n = static_cast<std::int64_t>(r.delivered.size());
  out.n = static_cast<std::int32_t>(n);
  out.mean_units = static_cast<double>(sum) / static_cast<double>(n) / 100.0;
  const auto spread = static_cast<double>(n * squares - sum * sum);
  out.sd_units = std::sqrt(spread / static_cast<double>(n * (n - 1))) / 100.0;
}

/// Verdict, which side, and how many measurements this spread takes.
void judge(Accuracy& out, const stats::Tolerance& asked) {
  const double limit_low = units_of(out.limit_low), limit_high = units_of(out.limit_high);
  out.low_units = out.mean_units - out.k * out.sd_units;
  out.high_units = out.mean_units + out.k * out.sd_units;
  const bool low = out.low_units < limit_low - on_the_limit;
  const bool high = out.high_units > limit_high + on_the_limit;
  out.within = !low && !high;
  out.fails = low ? (high ? Fails::both : Fails::low) : high ? Fails::high : Fails::none;
  out.mean_outside = out.mean_units < limit_low || out.mean_units > limit_high;
  if (out.mean_outside && !out.within) return;
  const double room = std::min(out.mean_units - limit_low, limit_high - out.mean_units);
  if (out.sd_units == 0) {
    out.least_n = limits::n_least;
  } else {
    out.least_n = stats::least_n({limits::n_least, asked.content, asked.confidence},
                                 (room + on_the_limit) / out.sd_units, limits::n_most);
  }
  if (out.least_n) out.more_needed = std::max(0, *out.least_n - out.n);
}

/// The grid on which the values lie: what the scale, or the eye, could tell apart.
std::int64_t resolution(std::span<const Units> values) {
  std::int64_t grid = 0;
  for (const Units value : values) {
    grid = std::gcd(grid, value.hundredths() - values[0].hundredths());
  }
  return grid;
}

void look_at_values(Accuracy& out, const Request& r) {
  const auto outside = [&](Units one) {
    return micro(one) < out.limit_low.millionths || micro(one) > out.limit_high.millionths;
  };
  out.outside = static_cast<std::int32_t>(std::ranges::count_if(r.delivered, outside));
  const auto values = in_units(r.delivered);
  const auto line = stats::trend(values, drift_confidence);
  if (!line) return;
  out.drift = Drift{line->slope, line->low, line->high, line->p, line->low > 0 || line->high < 0};
}

void caution(Accuracy& out, const Request& r) {
  const auto add = [&](bool when, std::string_view code) {
    if (when) out.cautions.push_back(code);
  };
  const double dose = static_cast<double>(r.dose.hundredths()) / 100.0;
  add(out.mean_units > dose * milligram_ratio, accuracy_cautions::milligrams);
  add(out.k > few_ratio * stats::factor_at_infinity(share_of(r.content)), accuracy_cautions::few);
  add(out.sd_units == 0, accuracy_cautions::no_spread);
  const auto grid = static_cast<double>(resolution(r.delivered)) / 100.0;
  add(out.sd_units > 0 && grid > out.sd_units, accuracy_cautions::coarse);
  add(out.drift && out.drift->seen, accuracy_cautions::drifts);
  add(out.within && out.outside.value_or(0) > 0, accuracy_cautions::single_outside);
  add(r.content < standard_content || r.confidence < standard_confidence,
      accuracy_cautions::asked_less);
  const std::int64_t half = micro(r.dose) - out.limit_low.millionths;
  add(half * wide_ratio > micro(r.dose), accuracy_cautions::wide_limits);
  add(true, accuracy_cautions::one_dose);
}

}  // namespace

std::span<const std::string_view> refusals() {
  using namespace accuracy_codes;
  static constexpr std::array all{dose_limit,       step_limit,        step_misses, content_limit,
                                  confidence_limit, values_or_summary, n_limit,     delivered_limit,
                                  mean_limit,       sd_limit};
  return all;
}

std::span<const std::string_view> cautions() {
  using namespace accuracy_cautions;
  static constexpr std::array all{milligrams,     few,        no_spread,   coarse,  drifts,
                                  single_outside, asked_less, wide_limits, one_dose};
  return all;
}

Limits limits_of(Units dose, Units step) {
  INVARIANT(step <= dose);
  const std::int64_t half = std::max(micro(step), micro(dose) / 20);  // 5 %: hundredths divide
  return {{micro(dose) - half}, {micro(dose) + half}};
}

Result<Accuracy> accuracy(const Request& request) {
  if (auto error = wrong(request)) return *std::move(error);
  Accuracy out;
  summarise(out, request);
  const auto limits = limits_of(request.dose, request.step);
  out.limit_low = limits.low;
  out.limit_high = limits.high;
  const stats::Tolerance asked{out.n, share_of(request.content), share_of(request.confidence)};
  const auto k = stats::tolerance_factor(asked);
  INVARIANT(k.has_value());
  out.k = *k;
  judge(out, asked);
  if (!request.summary) look_at_values(out, request);
  caution(out, request);
  return out;
}

Request example() {
  Request out;
  out.dose = *Units::from_hundredths(1'000);
  out.step = *Units::from_hundredths(100);
  out.content = {9'500};
  out.confidence = {9'500};
  for (const std::int64_t hundredths :
       {992,   1'004, 985, 1'010, 998, 1'001, 979,   995, 1'006, 990,
        1'003, 988,   997, 1'012, 994, 986,   1'000, 991, 1'005, 996}) {
    out.delivered.push_back(*Units::from_hundredths(hundredths));
  }
  return out;
}

}  // namespace penstock::accuracy
