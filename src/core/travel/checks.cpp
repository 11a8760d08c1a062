#include "core/travel/internal/checks.hpp"

namespace penstock::travel {
namespace {

using Found = std::optional<Error>;

bool inside(Limit limit, std::int64_t value) { return value >= limit.least && value <= limit.most; }

Error refused(std::string_view code, std::vector<Arg> args, std::string_view at) {
  return {Kind::invalid_input, std::string(code), std::move(args), std::string(at)};
}

Found count_wrong(std::string_view code, std::string_view name, std::int64_t value, Limit limit,
                  std::string_view at) {
  if (inside(limit, value)) return std::nullopt;
  return refused(
      code,
      {arg_count(name, value), arg_count("least", limit.least), arg_count("most", limit.most)}, at);
}

Found celsius_wrong(std::string_view code, std::optional<TenthsCelsius> value, Limit limit,
                    std::string_view at) {
  if (!value || inside(limit, value->tenths)) return std::nullopt;
  return refused(code,
                 {arg_celsius("celsius", *value), arg_celsius("least", {limit.least}),
                  arg_celsius("most", {limit.most})},
                 at);
}

enum class Zero : std::uint8_t { refused, allowed };
Found units_wrong(std::string_view code, std::string_view name, Units value, Zero zero,
                  std::string_view at) {
  if (value <= limits::units_most && (zero == Zero::allowed || !value.is_zero()))
    return std::nullopt;
  return refused(code, {arg_units(name, value), arg_units("most", limits::units_most)}, at);
}

Found line_wrong(const Line& line, std::string_view at) {
  const auto in = [&](std::string_view field) {
    return std::string(at) + "/" + std::string(field);
  };
  using namespace travel_codes;
  if (auto e = units_wrong(dose_limit, "dose", line.a_day, Zero::refused, in("units_a_day")))
    return e;
  if (auto e = units_wrong(prime_limit, "prime", line.primes_a_day, Zero::allowed,
                           in("prime_units_a_day")))
    return e;
  if (auto e = units_wrong(prime_limit, "prime", line.new_cartridge_prime, Zero::allowed,
                           in("new_cartridge_prime_units")))
    return e;
  if (auto e = units_wrong(cartridge_limit, "cartridge", line.cartridge, Zero::refused,
                           in("cartridge_units")))
    return e;
  if (line.new_cartridge_prime >= line.cartridge) {
    return refused(
        cartridge_small,
        {arg_units("cartridge", line.cartridge), arg_units("prime", line.new_cartridge_prime)},
        in("cartridge_units"));
  }
  if (auto e = count_wrong(in_use_limit, "days", line.in_use_days, limits::in_use_days,
                           in("in_use_days")))
    return e;
  if (auto e = count_wrong(doses_limit, "doses", line.doses_a_day, limits::doses_a_day,
                           in("doses_a_day")))
    return e;
  if (auto e = units_wrong(step_limit, "step", line.step, Zero::allowed, in("step_units")))
    return e;
  return celsius_wrong(limit_limit, line.limit, limits::limit_tenths, in("in_use_most_celsius"));
}

/// A slip of the sign: against the clocks of both places, and of the way out against the way back
/// (both are how far the clocks there are ahead).
Found direction_wrong(const Request& r) {
  using namespace travel_codes;
  if (r.home_offset_minutes && r.there_offset_minutes) {
    const std::int32_t between = *r.there_offset_minutes - *r.home_offset_minutes;
    if (between != r.shift_minutes) {
      return refused(
          shift_offsets,
          {arg_count("minutes", r.shift_minutes), arg_count("home", *r.home_offset_minutes),
           arg_count("there", *r.there_offset_minutes), arg_count("between", between)},
          "/shift_minutes");
    }
  }
  if (!r.return_shift_minutes) return std::nullopt;
  const std::int32_t apart = *r.return_shift_minutes - r.shift_minutes;
  if (apart >= -limits::shifts_apart_most && apart <= limits::shifts_apart_most)
    return std::nullopt;
  return refused(shifts_apart,
                 {arg_count("out", r.shift_minutes), arg_count("back", *r.return_shift_minutes),
                  arg_count("most", limits::shifts_apart_most)},
                 "/return_shift_minutes");
}

Found when_and_where_wrong(const Request& r) {
  using namespace travel_codes;
  if (r.returns < r.leaves) {
    return refused(dates, {arg_date("leaves", r.leaves), arg_date("returns", r.returns)},
                   "/returns");
  }
  const auto days = (r.returns - r.leaves).count() + 1;
  if (days > limits::days_most) {
    return refused(days_limit, {arg_count("days", days), arg_count("most", limits::days_most)},
                   "/returns");
  }
  const std::int32_t back = r.return_shift_minutes.value_or(r.shift_minutes);
  const std::pair<std::int32_t, std::string_view> shifts[] = {{r.shift_minutes, "/shift_minutes"},
                                                              {back, "/return_shift_minutes"}};
  for (const auto& [minutes, at] : shifts) {
    if (auto e = count_wrong(shift_limit, "minutes", minutes, limits::shift_minutes, at)) return e;
  }
  const std::pair<std::optional<std::int32_t>, std::string_view> clocks[] = {
      {r.home_offset_minutes, "/home_utc_offset_minutes"},
      {r.there_offset_minutes, "/there_utc_offset_minutes"}};
  for (const auto& [minutes, at] : clocks) {
    if (!minutes) continue;
    if (auto e = count_wrong(shift_limit, "minutes", *minutes, limits::offset_minutes, at))
      return e;
  }
  for (const auto& [minutes, at] : shifts) {
    if (minutes % limits::shift_step_minutes == 0) continue;
    return refused(shift_zones,
                   {arg_count("minutes", minutes), arg_count("step", limits::shift_step_minutes)},
                   at);
  }
  if (auto e = direction_wrong(r)) return e;
  return celsius_wrong(celsius_limit, r.warmest, limits::celsius_tenths, "/warmest_celsius");
}

}  // namespace

std::span<const std::string_view> refusals() {
  using namespace travel_codes;
  static constexpr std::array all{
      dates,         days_limit,  shift_limit, shift_zones, shift_offsets,   shifts_apart,
      celsius_limit, lines_limit, dose_limit,  prime_limit, cartridge_limit, cartridge_small,
      in_use_limit,  doses_limit, step_limit,  limit_limit, needles_limit};
  return all;
}

std::optional<Error> wrong(const Request& request) {
  if (auto error = when_and_where_wrong(request)) return error;
  if (auto error =
          count_wrong(travel_codes::lines_limit, "lines",
                      static_cast<std::int64_t>(request.lines.size()), limits::lines, "/lines"))
    return error;
  for (std::size_t i = 0; i < request.lines.size(); ++i) {
    if (auto error = line_wrong(request.lines[i], "/lines/" + std::to_string(i))) return error;
  }
  return count_wrong(travel_codes::needles_limit, "needles", request.needles_a_day,
                     limits::needles_a_day, "/needles_a_day");
}

}  // namespace penstock::travel
