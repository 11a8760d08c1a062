// What is refused, in the declared order, the first line first.
#include "core/cover/internal/checks.hpp"

#include <algorithm>
#include <cmath>

#include "core/cover/internal/house.hpp"

namespace penstock::cover::internal {
namespace {

using Found = std::optional<Error>;

std::string at_line(std::size_t line, std::string_view field) {
  return "/lines/" + std::to_string(line) + "/" + std::string(field);
}
std::string at_open(std::size_t line, std::size_t place, std::string_view field) {
  const std::string of = place == 0 ? "open" : "more_open/" + std::to_string(place - 1);
  return at_line(line, of + "/" + std::string(field));
}

bool inside(Limit limit, std::int64_t value) { return value >= limit.least && value <= limit.most; }

/// The field's name: of an item of a list, the list's.
std::string_view field_of(std::string_view at) {
  const auto name = at.substr(at.rfind('/') + 1);
  const bool item = name.find_first_not_of("0123456789") == std::string_view::npos;
  return item ? field_of(at.substr(0, at.rfind('/'))) : name;
}

Error out_of_range(std::string_view at, std::string value, std::string least, std::string most) {
  return {Kind::invalid_input,
          std::string(codes::value_range),
          {arg_text("field", field_of(at)), arg_text("value", value), arg_text("least", least),
           arg_text("most", most)},
          std::string(at)};
}
Found count_wrong(std::int64_t value, Limit limit, std::string_view at) {
  if (inside(limit, value)) return std::nullopt;
  return out_of_range(at, std::to_string(value), std::to_string(limit.least),
                      std::to_string(limit.most));
}
Found units_wrong(Units value, Units least, std::string_view at) {
  const auto most = *Units::from_hundredths(limits::units_hundredths.most);
  if (value >= least && value <= most) return std::nullopt;
  return out_of_range(at, format(value), format(least), format(most));
}
/// A share between two whole percentages; what is no number is outside.
Found share_wrong(double share, Limit percent, std::string_view at) {
  const double value = share * 100;
  if (value >= static_cast<double>(percent.least) && value <= static_cast<double>(percent.most)) {
    return std::nullopt;
  }
  constexpr double beyond = 1e6;
  const auto shown = std::isnan(share) ? 0.0 : std::clamp(share, -beyond, beyond);
  return out_of_range(at, format_fixed(std::llround(shown * 10'000), 4),
                      format_fixed(percent.least, 2), format_fixed(percent.most, 2));
}

/// The first of several findings.
template <class... Checks>
Found first_of(Checks... checks) {
  Found found;
  (void)((found = checks(), found.has_value()) || ...);
  return found;
}

/// A day's doses, and where they stand in the request.
struct DayDoses {
  const std::vector<Units>& doses;
  std::string at;
  Limit count;
  std::string at_dose(std::size_t i) const { return at + "/" + std::to_string(i); }
};
std::vector<DayDoses> all_doses(const Line& line, std::size_t at) {
  std::vector<DayDoses> out{{line.doses, at_line(at, "doses_units"), limits::doses_a_day}};
  for (std::size_t i = 0; i < line.changes.size(); ++i) {
    out.push_back({line.changes[i].doses,
                   at_line(at, "changes/" + std::to_string(i) + "/doses_units"),
                   {0, limits::doses_a_day.most}});
  }
  return out;
}

Found dose_ranges(const Line& line, std::size_t at, LocalDay on) {
  const auto changes = static_cast<std::int64_t>(line.changes.size());
  if (auto found = count_wrong(changes, limits::changes, at_line(at, "changes"))) return found;
  for (const auto& day : all_doses(line, at)) {
    for (std::size_t i = 0; i < day.doses.size(); ++i) {
      if (auto found = units_wrong(day.doses[i], *Units::from_hundredths(1), day.at_dose(i)))
        return found;
    }
    const auto count = static_cast<std::int64_t>(day.doses.size());
    if (auto found = count_wrong(count, day.count, day.at)) return found;
  }
  const Limit given{0, static_cast<std::int64_t>(doses_on(line, on).size())};
  return count_wrong(static_cast<std::int64_t>(line.given_on_first_day), given,
                     at_line(at, "given_on_first_day"));
}

/// A spread of more than a third of a cartridge is no spread of doses.
Found spread_wrong(const Line& line, std::size_t at) {
  const auto most = *Units::from_hundredths(line.cartridge.hundredths() / limits::sd_part);
  if (line.dose_sd <= most) return std::nullopt;
  return out_of_range(at_line(at, "dose_sd_units"), format(line.dose_sd), "0", format(most));
}

Found pen_ranges(const Line& line, std::size_t at) {
  const auto least = *Units::from_hundredths(1);
  return first_of(
      [&] { return units_wrong(line.step, least, at_line(at, "step_units")); },
      [&] {
        return units_wrong(line.most.value_or(line.step), line.step, at_line(at, "most_units"));
      },
      [&] { return units_wrong(line.prime, Units::zero(), at_line(at, "prime_units")); },
      [&] {
        return units_wrong(line.new_cartridge_prime, Units::zero(),
                           at_line(at, "new_cartridge_prime_units"));
      },
      [&] { return units_wrong(line.cartridge, line.step, at_line(at, "cartridge_units")); },
      [&] { return spread_wrong(line, at); },
      [&] {
        return count_wrong(line.in_use_days, limits::in_use_days, at_line(at, "in_use_days"));
      },
      [&] {
        return units_wrong(line.least_left_to_mix, Units::zero(),
                           at_line(at, "least_left_to_mix_units"));
      });
}

Found stock_ranges(const Line& line, std::size_t at) {
  const auto open = static_cast<std::int64_t>(line.open.size());
  if (auto found = count_wrong(open, limits::open_cartridges, at_line(at, "more_open"))) {
    return found;
  }
  for (std::size_t i = 0; i < line.open.size(); ++i) {
    if (auto found = first_of(
            [&] {
              return units_wrong(line.open[i].left, Units::zero(), at_open(at, i, "left_units"));
            },
            [&] {
              return count_wrong(line.open[i].days_in_use, limits::days_in_use,
                                 at_open(at, i, "days_in_use"));
            })) {
      return found;
    }
  }
  std::int64_t sealed = 0;
  for (const Sealed& some : line.sealed) {
    if (auto found =
            count_wrong(some.cartridges, limits::sealed_cartridges, at_line(at, "unopened"))) {
      return found;
    }
    sealed += some.cartridges;
  }
  if (auto found = count_wrong(sealed, limits::sealed_cartridges, at_line(at, "unopened"))) {
    return found;
  }
  if (line.dose_sd.is_zero()) return std::nullopt;
  // Where doses vary, every step of a cartridge is looked at.
  Units largest = line.cartridge;
  for (const Open& one : line.open) largest = larger(largest, one.left);
  const auto& steps = limits::steps_in_cartridge;
  const auto least = quotient(largest.hundredths(), steps.most, Rounding::up);
  return units_wrong(line.step, *Units::from_hundredths(std::max<std::int64_t>(1, least)),
                     at_line(at, "step_units"));
}

Found ask_ranges(const Ask& ask) {
  for (const Lead& lead : ask.leads) {
    if (auto found = count_wrong(lead.days, limits::lead_days, "/ask/lead_days")) return found;
  }
  const auto count = static_cast<std::int64_t>(ask.leads.size());
  return first_of(
      [&] { return count_wrong(count, limits::leads, "/ask/leads"); },
      [&] { return share_wrong(ask.service, limits::service_percent, "/ask/service"); },
      [&] {
        return count_wrong(ask.spare_cartridges, limits::spare_cartridges, "/ask/spare_cartridges");
      },
      [&] { return count_wrong(ask.for_days, limits::for_days, "/ask/for_days"); },
      [&] {
        return count_wrong(ask.cartridges_per_box, limits::per_box, "/ask/cartridges_per_box");
      },
      [&] { return count_wrong(ask.needles_per_box, limits::per_box, "/ask/needles_per_box"); });
}

Found value_wrong(const Request& request) {
  const auto lines = static_cast<std::int64_t>(request.lines.size());
  if (auto found = count_wrong(lines, limits::lines, "/lines")) return found;
  for (std::size_t i = 0; i < request.lines.size(); ++i) {
    const Line& line = request.lines[i];
    if (auto found =
            first_of([&] { return dose_ranges(line, i, request.on); },
                     [&] { return pen_ranges(line, i); }, [&] { return stock_ranges(line, i); })) {
      return found;
    }
  }
  return first_of(
      [&] {
        return count_wrong(request.needles_left.value_or(0), limits::needles, "/needles_left");
      },
      [&] {
        return share_wrong(request.needle_fails, limits::needle_fails_percent, "/needle_fails");
      },
      [&] { return count_wrong(request.sharps_room.value_or(0), limits::needles, "/sharps_room"); },
      [&] { return request.ask ? ask_ranges(*request.ask) : std::nullopt; });
}

Found not_in_steps(const Line& line, std::size_t at) {
  for (const auto& day : all_doses(line, at)) {
    for (std::size_t i = 0; i < day.doses.size(); ++i) {
      if (is_multiple(day.doses[i], line.step)) continue;
      return Error{Kind::invalid_input,
                   std::string(codes::not_a_step),
                   {arg_text("field", "doses_units"), arg_units("value", day.doses[i]),
                    arg_units("step", line.step)},
                   day.at_dose(i)};
    }
  }
  return std::nullopt;
}

Found prime_fills(const Line& line, std::size_t at) {
  const draw::Rules rules = rules_of(line);
  for (const bool is_new : {false, true}) {
    if (draw::needed(rules, line.step, is_new)) continue;
    return Error{Kind::refused,
                 std::string(codes::prime_fills_window),
                 {arg_text("insulin", line.insulin),
                  arg_units("prime", is_new ? line.new_cartridge_prime : line.prime),
                  arg_units("most", *line.most)},
                 at_line(at, is_new ? "new_cartridge_prime_units" : "prime_units")};
  }
  return std::nullopt;
}

Found never_fits_wrong(const Line& line, std::size_t at) {
  const draw::Rules rules = rules_of(line);
  const auto holds = draw::most_from(rules, {.left = line.cartridge, .is_new = true});
  for (const auto& day : all_doses(line, at)) {
    for (std::size_t i = 0; i < day.doses.size(); ++i) {
      if (day.doses[i] <= holds) continue;
      return Error{Kind::refused,
                   std::string(codes::dose_never_fits),
                   {arg_text("insulin", line.insulin), arg_units("dose", day.doses[i]),
                    arg_units("holds", holds)},
                   day.at_dose(i)};
    }
  }
  return std::nullopt;
}

Found split_wrong(const Line& line, std::size_t at) {
  if (!line.use_the_rest || !line.suspension) return std::nullopt;
  return Error{Kind::refused,
               std::string(codes::split_suspension),
               {arg_text("insulin", line.insulin)},
               at_line(at, "use_the_rest")};
}

Found changes_wrong(const Line& line, std::size_t at) {
  for (std::size_t i = 1; i < line.changes.size(); ++i) {
    if (line.changes[i - 1].from < line.changes[i].from) continue;
    return Error{Kind::invalid_input,
                 std::string(codes::changes_order),
                 {arg_text("insulin", line.insulin), arg_date("from", line.changes[i].from)},
                 at_line(at, "changes/" + std::to_string(i) + "/from")};
  }
  return std::nullopt;
}

Found leads_wrong(const Request& request) {
  if (!request.ask) return std::nullopt;
  double sum = 0;
  bool negative = false;
  for (const Lead& lead : request.ask->leads) {
    sum += lead.chance;
    negative = negative || !(lead.chance >= 0);
  }
  constexpr double enough = 1e-9;
  if (!negative && std::abs(sum - 1) <= enough) return std::nullopt;
  return Error{Kind::invalid_input, std::string(codes::leads_sum), {}, "/ask/leads"};
}

// Every value alone is one that may be; together they would take minutes.
Found too_much_work(const Request& request) {
  std::int64_t work = 0, varying = 0;
  for (const Line& line : request.lines) {
    if (line.dose_sd.is_zero()) continue;
    Units largest = line.cartridge;
    for (const Open& one : line.open) largest = larger(largest, one.left);
    const auto step = line.step.hundredths();
    const auto steps = largest.hundredths() / step + 1;
    const auto spread = 2 * limits::spread_sds * line.dose_sd.hundredths() / step + 1;
    auto doses = line.doses.size();
    for (const Change& change : line.changes) doses = std::max(doses, change.doses.size());
    work += static_cast<std::int64_t>(doses) * steps * std::min(spread, steps);
    work += static_cast<std::int64_t>(line.changes.size()) * steps * steps * line.in_use_days /
            horizon_days_max;
    ++varying;
  }
  if (work <= limits::work) return std::nullopt;
  return Error{
      Kind::refused, std::string(codes::too_much_work), {arg_count("lines", varying)}, "/lines"};
}

}  // namespace

std::optional<Error> wrong_in(const Request& request) {
  const auto& lines = request.lines;
  if (lines.empty()) {
    return Error{Kind::invalid_input, std::string(codes::no_lines), {}, "/lines"};
  }
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (!lines[i].doses.empty()) continue;
    return Error{Kind::invalid_input,
                 std::string(codes::no_doses),
                 {arg_text("insulin", lines[i].insulin)},
                 at_line(i, "doses_units")};
  }
  if (auto found = value_wrong(request)) return found;
  for (const auto& check :
       {not_in_steps, prime_fills, never_fits_wrong, split_wrong, changes_wrong}) {
    for (std::size_t i = 0; i < lines.size(); ++i) {
      if (auto found = check(lines[i], i)) return found;
    }
  }
  if (auto found = leads_wrong(request)) return found;
  return too_much_work(request);
}

}  // namespace penstock::cover::internal
