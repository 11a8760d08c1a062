#include "core/warmth/warmth.hpp"

#include <algorithm>
#include <cmath>

namespace penstock::warmth {
namespace {

using std::chrono::seconds;

/// Time within which loss stays below 10 %, rows T372-T376 of data/reference/heat.tsv. A year has
/// 365.25 days, a month 30.44.
struct Published {
  std::int32_t celsius;
  double days;
};
constexpr std::array<Published, 5> published{
    {{5, 69 * 365.25}, {15, 10 * 365.25}, {25, 20 * 30.44}, {35, 3 * 30.44}, {45, 10}}};

double rate_of(const Published& row) { return std::log(1 / 0.9) / row.days; }
double inverse_kelvin(double celsius) { return 1 / (celsius + 273.15); }

Error refused(std::string_view code, std::vector<Arg> args, std::string_view at) {
  return {Kind::invalid_input, std::string(code), std::move(args), std::string(at)};
}
bool inside(TenthsCelsius value, TenthsCelsius least, TenthsCelsius most) {
  return value >= least && value <= most;
}

std::optional<Error> spell_wrong(const Spell& spell, std::size_t place) {
  const std::string at = "/spells/" + std::to_string(place);
  if (!inside(spell.celsius, limits::celsius_least, limits::celsius_most)) {
    return refused(
        warmth_codes::celsius_limit,
        {arg_celsius("celsius", spell.celsius), arg_celsius("least", limits::celsius_least),
         arg_celsius("most", limits::celsius_most)},
        at + "/celsius");
  }
  if (spell.lasted <= seconds{0} || spell.lasted > limits::lasted_most) {
    const auto hundredths = spell.lasted.count() / 36;
    return refused(warmth_codes::hours_limit,
                   {arg_text("hours", format_fixed(hundredths, 2)),
                    arg_count("most", limits::lasted_most.count())},
                   at + "/hours");
  }
  return std::nullopt;
}

std::optional<Error> wrong(const Request& r) {
  if (r.in_use_days < limits::in_use_days_least || r.in_use_days > limits::in_use_days_most) {
    return refused(warmth_codes::days_limit,
                   {arg_count("days", r.in_use_days), arg_count("least", limits::in_use_days_least),
                    arg_count("most", limits::in_use_days_most)},
                   "/in_use_days");
  }
  if (r.limit && !inside(*r.limit, limits::limit_least, limits::limit_most)) {
    return refused(warmth_codes::limit_limit,
                   {arg_celsius("celsius", *r.limit), arg_celsius("least", limits::limit_least),
                    arg_celsius("most", limits::limit_most)},
                   "/in_use_most_celsius");
  }
  if (r.spells.empty() && !r.frozen) return refused(warmth_codes::nothing_noted, {}, "/spells");
  if (r.spells.size() > static_cast<std::size_t>(limits::spells_most)) {
    return refused(warmth_codes::spells_limit,
                   {arg_count("spells", static_cast<std::int64_t>(r.spells.size())),
                    arg_count("most", limits::spells_most)},
                   "/spells");
  }
  for (std::size_t i = 0; i < r.spells.size(); ++i) {
    if (auto error = spell_wrong(r.spells[i], i)) return error;
  }
  return std::nullopt;
}

/// The label's verdict: nothing here knows of any estimate.
void by_the_label(Warmth& out, const Request& r) {
  bool froze = r.frozen;
  for (const auto& spell : r.spells) {
    froze = froze || spell.celsius <= freezing;
    if (!out.warmest || *out.warmest < spell.celsius) out.warmest = spell.celsius;
    if (spell.celsius > fridge_most) out.out_of_fridge += spell.lasted;
    if (spell.celsius > out.limit) out.above_limit += spell.lasted;
  }
  if (froze) out.broken.push_back(Broken::frozen);
  if (out.above_limit > seconds{0}) out.broken.push_back(Broken::too_warm);
  // The day of leaving the fridge is 0: it serves while its days are fewer than the label's.
  if (out.out_of_fridge >= std::chrono::days{out.in_use_days})
    out.broken.push_back(Broken::period_over);
  out.limit_broken = !out.broken.empty();
}

void estimate(Warmth& out, const Request& r) {
  if (!out.broken.empty() && out.broken.front() == Broken::frozen) {
    out.no_number = NoNumber::frozen;  // frozen is final, whatever the rest did
    return;
  }
  double exponent = 0;
  for (const auto& spell : r.spells) {
    const auto rate = loss_rate_per_day(spell.celsius);
    if (!rate) {
      out.no_number = NoNumber::above_published;
      return;
    }
    exponent +=
        *rate * std::chrono::duration<double, std::chrono::days::period>(spell.lasted).count();
  }
  const double percent = -std::expm1(-exponent) * 100;
  out.lost = {static_cast<std::int32_t>(std::ceil(percent * 10 - 1e-9))};
}

void caution(Warmth& out, const Request& r) {
  const auto add = [&](bool when, std::string_view code) {
    if (when) out.cautions.push_back(code);
  };
  const auto cold = [](const Spell& spell) {
    return spell.celsius > freezing && spell.celsius < fridge_least;
  };
  add(out.limit_assumed, warmth_cautions::limit_assumed);
  const bool looser = (r.limit && *r.limit > out.limit) || r.in_use_days > out.in_use_days;
  add(looser, warmth_cautions::label_stricter);
  add(std::ranges::any_of(r.spells, cold), warmth_cautions::near_freezing);
  add(!out.limit_broken, warmth_cautions::look);
  add(out.lost.has_value(), warmth_cautions::old_preparations);
  add(out.lost && *out.lost > TenthsPercent{100}, warmth_cautions::extrapolated);
}

}  // namespace

std::span<const std::string_view> refusals() {
  using namespace warmth_codes;
  static constexpr std::array all{days_limit,   limit_limit,   nothing_noted,
                                  spells_limit, celsius_limit, hours_limit};
  return all;
}

std::span<const std::string_view> cautions() {
  using namespace warmth_cautions;
  static constexpr std::array all{limit_assumed, label_stricter,   near_freezing,
                                  look,          old_preparations, extrapolated};
  return all;
}

std::optional<double> loss_rate_per_day(TenthsCelsius celsius) {
  if (celsius <= freezing || celsius.tenths > published.back().celsius * 10) return std::nullopt;
  if (celsius.tenths <= published.front().celsius * 10) return rate_of(published.front());
  const auto above = std::ranges::find_if(
      published, [&](const Published& row) { return row.celsius * 10 >= celsius.tenths; });
  const auto& warm = *above;
  const auto& cool = *(above - 1);
  const double at = inverse_kelvin(celsius.tenths / 10.0);
  const double from = inverse_kelvin(cool.celsius), to = inverse_kelvin(warm.celsius);
  const double part = (at - from) / (to - from);
  return std::exp((1 - part) * std::log(rate_of(cool)) + part * std::log(rate_of(warm)));
}

Result<Warmth> warmth(const Request& request, const Label& label) {
  if (auto error = wrong(request)) return *std::move(error);
  Warmth out;
  out.limit = request.limit.value_or(label.limit.value_or(strictest_limit));
  if (label.limit) out.limit = std::min(out.limit, *label.limit);
  out.limit_assumed = !request.limit && !label.limit;
  out.in_use_days = std::min(request.in_use_days, label.days.value_or(request.in_use_days));
  by_the_label(out, request);
  estimate(out, request);
  caution(out, request);
  return out;
}

Request example() {
  Request out;
  out.in_use_days = 28;
  out.spells = {{{370}, std::chrono::hours{240}}};
  return out;
}

}  // namespace penstock::warmth
