#include "core/dial/internal/check.hpp"

#include <string>

namespace penstock::dial::internal {
namespace {

using Found = std::optional<Error>;

Error invalid(std::string_view code, std::string_view at, std::vector<Arg> args = {}) {
  return {Kind::invalid_input, std::string(code), std::move(args), std::string(at)};
}
Error refused(std::string_view code, std::string_view at, std::vector<Arg> args = {}) {
  return {Kind::refused, std::string(code), std::move(args), std::string(at)};
}
std::string at_cartridge(std::size_t index, std::string_view field = "") {
  std::string at = "/cartridges/" + std::to_string(index);
  if (!field.empty()) at += "/" + std::string(field);
  return at;
}

Found wrong_dose(const DialRequest& r) {
  if (r.dose.is_zero()) return invalid(dial_codes::dose_none, "/dose_units");
  if (r.dose > dose_max) {
    return invalid(dial_codes::dose_limit, "/dose_units",
                   {arg_units("dose", r.dose), arg_units("most", dose_max)});
  }
  return {};
}

Found wrong_insulin(const DialRequest& r) {
  if (r.insulin.name.empty()) return invalid(dial_codes::insulin_unnamed, "/insulin/name");
  const auto strength = r.insulin.strength.units_per_ml;
  if (strength < 1 || strength > strength_max) {
    return invalid(dial_codes::strength_limit, "/insulin/strength_units_per_ml",
                   {arg_strength("strength", r.insulin.strength),
                    arg_strength("most", Strength{strength_max})});
  }
  // H14: unmixed it gives too much or too little, and "it must be clear" throws good insulin away.
  if (!r.insulin.suspension && known_cloudy(r.insulin).value_or(false)) {
    return refused(dial_codes::cloudy_as_clear, "/insulin/suspension",
                   {arg_text("insulin", r.insulin.name), arg_units("dose", r.dose)});
  }
  // H58: "mix until milky" and "must be clear" are no two steps of one plan.
  if (r.insulin.suspension && !known_cloudy(r.insulin).value_or(true)) {
    return refused(dial_codes::clear_as_cloudy, "/insulin/suspension",
                   {arg_text("insulin", r.insulin.name), arg_units("dose", r.dose)});
  }
  return {};
}

Found wrong_pen(const DialRequest& r) {
  const Pen& pen = r.pen;
  if (!pen.window) return refused(dial_codes::window_unknown, "/pen/window");
  if (pen.step < step_least || pen.step > step_max) {
    return invalid(
        dial_codes::step_limit, "/pen/step_units",
        {arg_units("step", pen.step), arg_units("least", step_least), arg_units("most", step_max)});
  }
  if (pen.most < pen.step || pen.most > most_max) {
    return invalid(dial_codes::most_limit, "/pen/most_units",
                   {arg_units("pen_most", pen.most), arg_units("least", pen.step),
                    arg_units("most", most_max)});
  }
  if (pen.hold_seconds < 1 || pen.hold_seconds > hold_seconds_max) {
    return invalid(dial_codes::hold_limit, "/pen/hold_seconds",
                   {arg_count("seconds", pen.hold_seconds), arg_count("most", hold_seconds_max)});
  }
  return {};
}

/// H26: a dose between two steps is never rounded; the nearest one below is said, the prescriber
/// decides.
Found wrong_steps(const DialRequest& r) {
  if (!is_multiple(r.dose, r.pen.step)) {
    const auto steps = whole_steps(r.dose, r.pen.step);
    const auto below = Units::from_hundredths(steps * r.pen.step.hundredths());
    return refused(
        dial_codes::dose_not_in_steps, "/dose_units",
        {arg_units("dose", r.dose), arg_units("step", r.pen.step), arg_units("below", *below)});
  }
  if (r.part_of && (*r.part_of <= r.dose || *r.part_of > dose_max)) {
    return invalid(
        dial_codes::part_of_limit, "/part_of_units",
        {arg_units("part_of", *r.part_of), arg_units("dose", r.dose), arg_units("most", dose_max)});
  }
  return {};
}

/// H01, H64: so many whole primes without a drop, then one that showed: all of it stands in a
/// window that counts on, and fewer units would make the number too small.
Found dry_spent(const DialRequest& r) {
  const Prime& prime = r.prime;
  const bool counts_on = r.pen.window == shelf::Window::counts_on;
  if (!counts_on || !prime.flow_seen || !prime.needle_on.value_or(true) || prime.dry_primes == 0)
    return {};
  const auto least =
      Units::from_hundredths(prime.units.hundredths() * prime.dry_primes + r.pen.step.hundredths());
  if (!least || prime.spent >= *least) return {};
  return invalid(dial_codes::dry_spent, "/prime/spent_units",
                 {arg_units("spent", prime.spent), arg_units("least", *least),
                  arg_count("primes", prime.dry_primes)});
}

Found wrong_prime(const DialRequest& r) {
  const Prime& prime = r.prime;
  const auto limit = [](Units amount, std::string_view at) {
    return invalid(dial_codes::prime_limit, at,
                   {arg_units("prime", amount), arg_units("most", prime_max)});
  };
  if (prime.units > prime_max) return limit(prime.units, "/prime/units");
  if (prime.new_cartridge && *prime.new_cartridge > prime_max) {
    return limit(*prime.new_cartridge, "/prime/new_cartridge_units");
  }
  if (prime.spent > spent_max) {
    return invalid(dial_codes::spent_limit, "/prime/spent_units",
                   {arg_units("spent", prime.spent), arg_units("most", spent_max)});
  }
  if (!is_multiple(prime.spent, r.pen.step)) {
    return invalid(dial_codes::spent_not_in_steps, "/prime/spent_units",
                   {arg_units("spent", prime.spent), arg_units("step", r.pen.step)});
  }
  if (prime.through_needle && *prime.through_needle > prime.spent) {
    return invalid(dial_codes::through_limit, "/prime/through_needle_units",
                   {arg_units("through", *prime.through_needle), arg_units("spent", prime.spent)});
  }
  if (prime.dry_primes < 0 || prime.dry_primes > dry_primes_max) {
    return invalid(dial_codes::dry_limit, "/prime/dry_primes",
                   {arg_count("primes", prime.dry_primes), arg_count("most", dry_primes_max)});
  }
  return dry_spent(r);
}

Found wrong_next(const DialRequest& r) {
  if (!r.next_doses) return {};
  const auto& doses = *r.next_doses;
  const auto limit = [](Units dose, std::string_view at) {
    return invalid(dial_codes::next_dose_limit, at,
                   {arg_units("dose", dose), arg_units("most", dose_max)});
  };
  if (doses.empty() || doses.size() > next_doses_max) {
    return limit(Units::zero(), "/next_doses_units");
  }
  for (std::size_t i = 0; i < doses.size(); ++i) {
    if (doses[i].is_zero() || doses[i] > dose_max) {
      return limit(doses[i], "/next_doses_units/" + std::to_string(i));
    }
  }
  for (std::size_t i = 0; i < doses.size(); ++i) {
    if (is_multiple(doses[i], r.pen.step)) continue;
    return invalid(dial_codes::next_dose_not_in_steps, "/next_doses_units/" + std::to_string(i),
                   {arg_units("dose", doses[i]), arg_units("step", r.pen.step)});
  }
  return {};
}

Found wrong_least(const DialRequest& r) {
  const auto& least = r.insulin.least_left_to_mix;
  if (!least || *least <= left_max) return {};
  return invalid(dial_codes::least_to_mix_limit, "/insulin/least_left_to_mix_units",
                 {arg_units("least", *least), arg_units("most", left_max)});
}

Found wrong_list(const DialRequest& r) {
  const auto& all = r.cartridges;
  if (all.empty()) {
    return refused(dial_codes::no_cartridge, "/cartridges", {arg_units("dose", r.dose)});
  }
  if (all.size() > draw::cartridges_max) {
    return invalid(dial_codes::too_many_cartridges, "/cartridges",
                   {arg_count("count", static_cast<std::int64_t>(all.size())),
                    arg_count("most", static_cast<std::int64_t>(draw::cartridges_max))});
  }
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (!all[i].id.empty() && all[i].id.size() <= id_bytes_max) continue;
    return invalid(dial_codes::cartridge_id, at_cartridge(i, "id"),
                   {arg_count("most", static_cast<std::int64_t>(id_bytes_max))});
  }
  for (std::size_t i = 0; i < all.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      if (all[i].id != all[j].id) continue;
      return invalid(dial_codes::cartridge_twice, at_cartridge(i, "id"),
                     {arg_text("cartridge", all[i].id)});
    }
  }
  return {};
}

/// One kind of fault over all cartridges before the next kind, so that the order holds.
Found wrong_cartridge(const DialRequest& r) {
  const auto& all = r.cartridges;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (all[i].left <= left_max) continue;
    return invalid(dial_codes::left_limit, at_cartridge(i, "left_units"),
                   {arg_text("cartridge", all[i].id), arg_units("left", all[i].left),
                    arg_units("most", left_max)});
  }
  const auto days = [&](std::string_view code, std::size_t i, std::string_view field,
                        std::int64_t number, std::int64_t most) {
    return invalid(
        code, at_cartridge(i, field),
        {arg_text("cartridge", all[i].id), arg_count("days", number), arg_count("most", most)});
  };
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (all[i].in_use_days >= 1 && all[i].in_use_days <= in_use_days_max) continue;
    return days(dial_codes::in_use_days_limit, i, "in_use_days", all[i].in_use_days,
                in_use_days_max);
  }
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (all[i].days_in_use || all[i].is_new.value_or(false)) continue;
    return invalid(dial_codes::days_in_use_unknown, at_cartridge(i, "days_in_use"),
                   {arg_text("cartridge", all[i].id)});
  }
  for (std::size_t i = 0; i < all.size(); ++i) {
    const std::int32_t used = all[i].days_in_use.value_or(0);
    if (used >= 0 && used <= days_in_use_max) continue;
    return days(dial_codes::days_in_use_limit, i, "days_in_use", used, days_in_use_max);
  }
  return {};
}

/// H44: three dry primes, a new needle, and that one dry, too. Flow seen since then ends it.
Found dry(const DialRequest& r) {
  const Prime& prime = r.prime;
  const bool flows = prime.flow_seen && prime.needle_on.value_or(true);
  if (flows || !prime.needle_changed || prime.dry_primes == 0) return {};
  return refused(dial_codes::no_flow, "/prime",
                 {arg_count("primes", prime.dry_primes), arg_units("dose", r.dose)});
}

}  // namespace

std::optional<Error> wrong(const DialRequest& request) {
  constexpr Found (*checks[])(const DialRequest&) = {
      wrong_dose, wrong_insulin, wrong_pen,  wrong_steps,     wrong_prime,
      wrong_next, wrong_least,   wrong_list, wrong_cartridge, dry};
  for (const auto check : checks) {
    if (auto found = check(request)) return found;
  }
  return {};
}

}  // namespace penstock::dial::internal
