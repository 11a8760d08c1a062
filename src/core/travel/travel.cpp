#include "core/travel/travel.hpp"

#include <algorithm>
#include <cstdlib>

#include "core/travel/internal/checks.hpp"

namespace penstock::travel {
namespace {
using namespace literals;

constexpr std::int32_t minutes_a_day = 1'440;
constexpr std::int32_t half_day = 720;
constexpr std::int32_t minutes_a_zone = 60;

/// What the clock is put on by: at most twelve hours either way.
std::int32_t of_the_clock(std::int32_t shift) {
  if (shift > half_day) return shift - minutes_a_day;
  if (shift < -half_day) return shift + minutes_a_day;
  return shift;
}

Carry carried(const Line& line, const Request& r, std::int32_t days) {
  Carry out;
  out.insulin = line.insulin;
  out.purpose = line.purpose;
  out.for_days =
      *Units::from_hundredths((line.a_day.hundredths() + line.primes_a_day.hundredths()) * days);
  out.cartridges_for_days = cartridges_for(line, days);
  out.cartridges = out.cartridges_for_days * reserve_factor;
  out.in_each_bag = out.cartridges / bags;
  out.pens = 2;
  out.cooled = r.warmest && *r.warmest > line.limit.value_or(strictest_limit);
  out.period_runs_out = days >= line.in_use_days;
  return out;
}

// ---- the published rules

constexpr std::string_view pinsker = "Pinsker et al. 2013 J Diabetes Metab Disord 12:59";
constexpr std::string_view leaflet_three = "travel leaflets: up to 3 zones";
constexpr std::string_view leaflet_two = "travel leaflets: up to 2 hours";

Units down_to(MicroUnits amount, Units step) {
  const std::int64_t hundredths = amount.millionths / 10'000;
  return *Units::from_hundredths(hundredths - hundredths % step.hundredths());
}

/// Beside "background insulin is never left out" no zero may stand.
std::vector<Units> in_steps_or_none(std::vector<Units> parts) {
  if (std::ranges::any_of(parts, [](Units part) { return part.is_zero(); })) return {};
  return parts;
}

/// Pinsker 2013, patient guidance text (T296, T302; read): from five zones on. East, one dose of
/// dose * (0.9 - zones / 24); west, half at the usual clock time of leaving and half at that clock
/// time there, the full dose the day after. For whom: one dose of background insulin a day.
Option by_pinsker(const Line& line, std::int32_t shift) {
  Option out{pinsker, "read", Says::nothing, {}, {}};
  const std::int32_t minutes = std::abs(shift);
  if (minutes < formula_zones * minutes_a_zone) {
    out.says = Says::no_change;
    return out;
  }
  if (line.doses_a_day != 1) return out;
  const std::int64_t dose = line.a_day.hundredths() * 10'000;  // millionths
  const Units step = line.step.is_zero() ? 1_units : line.step;
  if (shift > 0) {
    // 0.9 - minutes / 60 / 24, over a denominator of 1440: exact but for the last division.
    out.says = Says::once_reduced;
    out.units = {{dose * (1'296 - minutes) / minutes_a_day}};
    out.in_steps = in_steps_or_none({down_to(out.units[0], step)});
    return out;
  }
  out.says = Says::two_halves;
  out.units = {{dose / 2}, {dose - dose / 2}};
  const Units first = down_to(out.units[0], step);
  // H26: a sum between two steps has no two halves that this pen can dial.
  if (!is_multiple(line.a_day, step)) return out;
  out.in_steps = in_steps_or_none({first, difference(line.a_day, first)});
  return out;
}

/// The leaflets (T303, read second-hand) print no number beyond what they leave as it is.
Option by_leaflet(std::string_view source, std::int32_t shift, std::int32_t unchanged_zones) {
  const bool same = std::abs(shift) <= unchanged_zones * minutes_a_zone;
  return {source, "read second-hand", same ? Says::no_change : Says::change, {}, {}};
}

Question question(const Line& line, std::size_t place, Way way, std::int32_t shift) {
  Question out;
  out.line = place;
  out.way = way;
  out.shift_minutes = shift;
  out.direction = shift > 0 ? Direction::east : shift < 0 ? Direction::west : Direction::none;
  out.options = {by_pinsker(line, shift), by_leaflet(leaflet_three, shift, no_change_zones),
                 by_leaflet(leaflet_two, shift, no_change_hours_least)};
  const auto unchanged = [](const Option& one) { return one.says == Says::no_change; };
  const auto same = std::ranges::count_if(out.options, unchanged);
  out.sources_differ = same != 0 && same != static_cast<std::ptrdiff_t>(out.options.size());
  return out;
}

void ask(Travel& out, const Request& r) {
  for (std::size_t i = 0; i < r.lines.size(); ++i) {
    if (r.lines[i].purpose != Purpose::background) continue;
    for (const auto& [way, shift] :
         {std::pair{Way::out, out.shift_minutes}, std::pair{Way::back, out.back_shift_minutes}}) {
      if (shift != 0) out.questions.push_back(question(r.lines[i], i, way, shift));
    }
  }
}

void caution(Travel& out, const Request& r) {
  const auto add = [&](bool when, std::string_view code) {
    if (when) out.cautions.push_back(code);
  };
  const auto any = [&](auto test) { return std::ranges::any_of(r.lines, test); };
  const auto is_background = [](const Line& line) { return line.purpose == Purpose::background; };
  add(any(is_background), travel_cautions::never_left_out);
  add(true, travel_cautions::cabin);
  add(out.cooling, travel_cautions::cool);
  add(r.warmest && *r.warmest <= freezing, travel_cautions::frost);
  add(r.warmest && any([](const Line& line) { return !line.limit; }),
      travel_cautions::limit_assumed);
  add(std::ranges::any_of(out.carry, &Carry::period_runs_out), travel_cautions::period);
  const bool by_offsets = r.home_offset_minutes && r.there_offset_minutes;
  add(!by_offsets && out.shift_minutes > 0, travel_cautions::direction_east);
  add(!by_offsets && out.shift_minutes < 0, travel_cautions::direction_west);
  add(out.date_line, travel_cautions::date_line);
  add(r.pharmacy != YesNo::yes, travel_cautions::no_pharmacy);
  add(out.shift_minutes != -out.back_shift_minutes, travel_cautions::other_shift_back);
  const bool shifted = out.shift_minutes != 0 || out.back_shift_minutes != 0;
  add(shifted && any([&](const Line& line) { return !is_background(line); }),
      travel_cautions::other_insulins);
  add(shifted &&
          any([&](const Line& line) { return is_background(line) && line.doses_a_day != 1; }),
      travel_cautions::several_doses);
  add(true, travel_cautions::papers);
}

}  // namespace

std::span<const std::string_view> cautions() {
  using namespace travel_cautions;
  static constexpr std::array all{
      never_left_out,   cabin,          cool,           frost,     limit_assumed,
      period,           direction_east, direction_west, date_line, no_pharmacy,
      other_shift_back, other_insulins, several_doses,  papers};
  return all;
}

std::int32_t cartridges_for(const Line& line, std::int32_t days) {
  const std::int64_t day = line.a_day.hundredths() + line.primes_a_day.hundredths();
  const std::int64_t holds = line.cartridge.hundredths() - line.new_cartridge_prime.hundredths();
  INVARIANT(day > 0 && holds > 0 && days > 0);
  const std::int64_t serves = std::min<std::int64_t>(holds / day, line.in_use_days);
  if (serves >= 1) return static_cast<std::int32_t>(quotient(days, serves, Rounding::up));
  return static_cast<std::int32_t>(quotient(day, holds, Rounding::up)) * days;
}

Result<Travel> travel(const Request& request) {
  if (auto error = wrong(request)) return *std::move(error);
  Travel out;
  out.days = static_cast<std::int32_t>((request.returns - request.leaves).count()) + 1;
  out.shift_minutes = of_the_clock(request.shift_minutes);
  const auto there_at_return = request.return_shift_minutes.value_or(request.shift_minutes);
  out.back_shift_minutes = -of_the_clock(there_at_return);
  out.date_line =
      out.shift_minutes != request.shift_minutes || out.back_shift_minutes != -there_at_return;
  for (const auto& line : request.lines) out.carry.push_back(carried(line, request, out.days));
  out.cooling = std::ranges::any_of(out.carry, &Carry::cooled);
  out.needles.for_days = request.needles_a_day * out.days;
  out.needles.carried = out.needles.for_days * reserve_factor;
  out.needles.in_each_bag = out.needles.carried / bags;
  ask(out, request);
  caution(out, request);
  return out;
}

Request example() {
  Request out;
  const auto day = [](unsigned month, unsigned of_month) {
    return std::chrono::local_days{std::chrono::year{2027} / std::chrono::month{month} /
                                   std::chrono::day{of_month}};
  };
  out.leaves = day(3, 20);
  out.returns = day(4, 2);
  out.shift_minutes = 540;
  out.warmest = TenthsCelsius{340};
  out.pharmacy = YesNo::no;
  out.lines = {{"insulin glargine", Purpose::background, 20_units, 2_units, 2_units, 300_units, 28,
                1, 1_units, TenthsCelsius{300}},
               {"insulin lispro", Purpose::mealtime, 24_units, 6_units, 2_units, 300_units, 28, 3,
                1_units, TenthsCelsius{300}}};
  out.needles_a_day = 4;
  return out;
}

}  // namespace penstock::travel
