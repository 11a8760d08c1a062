#include "core/reconcile/reconcile.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "core/reconcile/internal/accounts.hpp"
#include "core/reconcile/internal/diary.hpp"
#include "core/reconcile/weigh/model.hpp"

namespace penstock::reconcile {
namespace {

using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;

// ---- what a request may be

std::string at(std::string_view field, std::size_t index) {
  return "/" + std::string(field) + "/" + std::to_string(index);
}
Error error(std::string_view code, std::string where, std::vector<Arg> args = {}) {
  return {Kind::invalid_input, std::string(code), std::move(args), std::move(where)};
}
Units units(std::int64_t hundredths) { return *Units::from_hundredths(hundredths); }

std::optional<Error> above(std::string_view code, std::string where, Units value,
                           std::int64_t most) {
  if (value.hundredths() <= most) return std::nullopt;
  return error(code, std::move(where), {arg_units("value", value), arg_units("most", units(most))});
}

std::optional<Error> wrong_rules(const Request& r) {
  const auto length = (r.until - r.from).count() + 1;
  if (length < 1 || length > limits::days_most) {
    return error(codes::period, "/until",
                 {arg_date("from", r.from), arg_date("until", r.until),
                  arg_count("most", limits::days_most)});
  }
  if (r.strength.units_per_ml < 10 || r.strength.units_per_ml > 500)
    return error(codes::strength, "/strength_units_per_ml", {arg_strength("value", r.strength)});
  const auto holds = std::min(limits::cartridge_hundredths_most,
                              limits::millilitres_most * 100 * r.strength.units_per_ml);
  if (r.cartridge.is_zero() || r.cartridge.hundredths() > holds) {
    return error(codes::cartridge, "/cartridge_units",
                 {arg_units("value", r.cartridge), arg_units("most", units(holds))});
  }
  for (const auto& [field, value] :
       {std::pair{"/prime_units", r.prime},
        std::pair{"/new_cartridge_prime_units", r.new_cartridge_prime}}) {
    if (auto found = above(codes::prime, field, value, limits::prime_hundredths_most)) return found;
  }
  if (r.in_use_days < 1 || r.in_use_days > limits::in_use_days_most) {
    return error(codes::in_use_days, "/in_use_days",
                 {arg_count("value", r.in_use_days), arg_count("most", limits::in_use_days_most)});
  }
  for (std::size_t i = 0; i < r.ordered.size(); ++i) {
    const auto& one = r.ordered[i];
    bool wrong =
        one.doses.size() > limits::doses_most || (i > 0 && one.from <= r.ordered[i - 1].from);
    for (const auto dose : one.doses) wrong |= dose.is_zero() || dose > r.cartridge;
    if (wrong) return error(codes::ordered, at("ordered", i));
  }
  return std::nullopt;
}

std::optional<Error> wrong_sizes(const Request& r) {
  const std::pair<std::string_view, std::pair<std::size_t, std::size_t>> sizes[] = {
      {"ordered", {r.ordered.size(), limits::orders_most}},
      {"dispensed", {r.dispensed.size(), limits::supplies_most}},
      {"sealed_counts", {r.sealed_counts.size(), limits::supplies_most}},
      {"cartridges", {r.cartridges.size(), limits::cartridges_most}},
      {"diary", {r.diary.size(), limits::entries_most}}};
  const auto too_many = [](std::string_view field, std::string where, std::size_t most) {
    return error(codes::too_many, std::move(where),
                 {arg_text("field", field), arg_count("most", static_cast<std::int64_t>(most))});
  };
  for (const auto& [field, size] : sizes) {
    if (size.first > size.second) return too_many(field, "/" + std::string(field), size.second);
  }
  for (std::size_t i = 0; i < r.cartridges.size(); ++i) {
    if (r.cartridges[i].readings.size() > limits::readings_most)
      return too_many("readings", at("cartridges", i) + "/readings", limits::readings_most);
  }
  const auto pieces = [](std::int32_t count, std::string where) -> std::optional<Error> {
    if (count >= 0 && count <= limits::pieces_most) return std::nullopt;
    return error(codes::pieces, std::move(where),
                 {arg_count("value", count), arg_count("most", limits::pieces_most)});
  };
  if (auto found = pieces(r.sealed_before.value_or(0), "/sealed_before")) return found;
  for (std::size_t i = 0; i < r.dispensed.size(); ++i) {
    if (auto found = pieces(r.dispensed[i].cartridges, at("dispensed", i) + "/cartridges"))
      return found;
  }
  for (std::size_t i = 0; i < r.sealed_counts.size(); ++i) {
    if (auto found = pieces(r.sealed_counts[i].cartridges, at("sealed_counts", i) + "/cartridges"))
      return found;
  }
  return std::nullopt;
}

std::optional<Error> wrong_cartridges(const Request& r) {
  for (std::size_t i = 0; i < r.cartridges.size(); ++i) {
    const auto& use = r.cartridges[i];
    bool wrong = use.ended && use.ended->at < use.opened.at;
    for (const auto& reading : use.readings) wrong |= reading.when.at < use.opened.at;
    if (wrong) return error(codes::times, at("cartridges", i));
  }
  const auto most = r.cartridge.hundredths();
  for (std::size_t i = 0; i < r.cartridges.size(); ++i) {
    const auto& use = r.cartridges[i];
    const auto where = at("cartridges", i);
    if (auto found = above(codes::not_fuller, where + "/units", use.held, most)) return found;
    if (use.rest) {
      if (auto found = above(codes::not_fuller, where + "/rest_units", *use.rest, most))
        return found;
    }
    for (std::size_t j = 0; j < use.readings.size(); ++j) {
      if (auto found = above(codes::not_fuller, where + "/readings/" + std::to_string(j),
                             use.readings[j].left, most))
        return found;
    }
  }
  return std::nullopt;
}

std::optional<Error> wrong_diary(const Request& r) {
  const auto most = r.cartridge.hundredths();
  for (std::size_t i = 0; i < r.diary.size(); ++i) {
    if (auto found = above(codes::dose, at("diary", i) + "/units", r.diary[i].units, most))
      return found;
    if (auto found = above(codes::dose, at("diary", i) + "/primed_units",
                           r.diary[i].primed.value_or(Units::zero()), most))
      return found;
  }
  for (std::size_t i = 0; i < r.diary.size(); ++i) {
    if (r.diary[i].cartridge.value_or(0) >= std::max<std::size_t>(1, r.cartridges.size()) ||
        (r.diary[i].cartridge && r.cartridges.empty()))
      return error(codes::which, at("diary", i) + "/cartridge");
  }
  for (std::size_t i = 0; i < r.diary.size(); ++i) {
    if (r.diary[i].slot.size() > limits::slot_bytes_most ||
        !is_plain_text(r.diary[i].slot, Lines::one)) {
      return error(codes::slot_name, at("diary", i) + "/slot",
                   {arg_count("most", static_cast<std::int64_t>(limits::slot_bytes_most))});
    }
  }
  return std::nullopt;
}

std::optional<Error> wrong(const Request& request) {
  for (const auto check : {wrong_rules, wrong_sizes, wrong_cartridges, wrong_diary}) {
    if (auto found = check(request)) return found;
  }
  return std::nullopt;
}

// ---- the one kind question

Arg mechanism_arg(std::string_view name, Mechanism which) {
  return arg_code(name,
                  "mechanism/" + std::string(mechanism_names[static_cast<std::size_t>(which)]));
}

/// The three likeliest of those that can make a difference this way and that something speaks for;
/// said in a fixed order, the harmless ones first, so that nobody is accused.
std::vector<Mechanism> reasons(const Accounts& found, bool more_left) {
  std::vector<Mechanism> out =
      more_left ? std::vector{Mechanism::extra_priming, Mechanism::not_written,
                              Mechanism::cartridge_thrown_early, Mechanism::double_doses}
                : std::vector{Mechanism::entered_twice, Mechanism::change_not_recorded,
                              Mechanism::primes_left_out, Mechanism::missed_doses};
  const auto chance = [&](Mechanism which) {
    const auto place = std::ranges::find(found.found, which, &Found::which);
    return place->possible ? place->probability : 0.0;
  };
  std::erase_if(out, [&](Mechanism which) { return chance(which) < reason_least; });
  while (out.size() > 3) out.erase(std::ranges::min_element(out, {}, chance));
  return out;
}

/// To the nearest five units: no more is known, and a round number is no reproach.
Units told(std::int64_t hundredths) {
  const auto size = hundredths < 0 ? -hundredths : hundredths;
  return units((size + 250) / 500 * 500);
}

Question question_of(const Accounts& found) {
  if (found.verdict == Verdict::not_known) {
    const bool no_diary =
        std::ranges::find(found.not_known, unknowns::no_diary) != found.not_known.end();
    return {no_diary ? questions::no_diary : questions::not_known, {}};
  }
  if (found.differs) {
    const auto& missing = found.dispensed.missing;
    const bool outside = found.left_claimed.known && !found.left_claimed.units.holds(0);
    if (found.dispensed.known && missing > 0 && !outside) {
      return {questions::ask_sealed,
              {arg_count("count", missing), mechanism_arg("first", Mechanism::change_not_recorded),
               mechanism_arg("second", Mechanism::cartridge_lost)}};
    }
    if (outside) {
      const auto named = reasons(found, found.left_claimed.units.low > 0);
      constexpr std::array codes{questions::ask_none, questions::ask_one, questions::ask_two,
                                 questions::ask};
      constexpr std::array places{"first", "second", "third"};
      Question out{codes[named.size()], {arg_units("units", told(found.left_claimed.hundredths))}};
      for (std::size_t i = 0; i < named.size(); ++i)
        out.args.push_back(mechanism_arg(places[i], named[i]));
      return out;
    }
    const auto size = [](const Row& row) {
      return row.why_not.empty() ? std::abs(row.difference_hundredths) : -1;
    };
    const auto single = std::ranges::max_element(found.rows, {}, size)->difference_hundredths;
    return {questions::ask_single, {arg_units("units", told(single))}};
  }
  if (found.diary_later) return {questions::ask_diary, {}};
  return {questions::agree, {}};
}

/// Whether anything that was counted or read is apart: the sum, one cartridge, the sealed ones.
bool is_apart(const Accounts& found) {
  if (found.dispensed.known && found.dispensed.missing != 0) return true;
  if (found.left_claimed.known && !found.left_claimed.units.holds(0)) return true;
  return std::ranges::any_of(
      found.rows, [](const Row& row) { return row.why_not.empty() && !row.units.holds(0); });
}

void note(Accounts& out, const Request& request, const internal::Written& diary) {
  const auto miss = [&](std::string_view code) {
    if (std::ranges::find(out.not_known, code) == out.not_known.end())
      out.not_known.push_back(code);
  };
  if (!diary.looked) {
    miss(unknowns::few_entries);
  } else if (std::ranges::none_of(request.diary,
                                  [](const Entry& e) { return e.recorded.has_value(); })) {
    miss(unknowns::recorded);
  }
  // In their declared order.
  std::ranges::stable_sort(out.not_known, {}, [](std::string_view code) {
    return std::ranges::find(all_unknowns, code) - all_unknowns.begin();
  });
}

}  // namespace

journal::Explained explained_of(Mechanism mechanism) {
  using journal::Explained;
  switch (mechanism) {
    case Mechanism::missed_doses:
      return Explained::missed_doses;
    case Mechanism::double_doses:
      return Explained::double_doses;
    case Mechanism::primes_left_out:
      return Explained::primes_left_out;
    case Mechanism::extra_priming:
      return Explained::extra_priming;
    case Mechanism::cartridge_thrown_early:
      return Explained::cartridge_thrown_early;
    case Mechanism::cartridge_lost:
      return Explained::cartridge_lost;
    case Mechanism::diary_later:
      return Explained::diary_later;
    case Mechanism::unknown:
      return Explained::not_known;
    case Mechanism::change_not_recorded:
    case Mechanism::not_written:
    case Mechanism::entered_twice:
    case Mechanism::scale_misread:
      break;
  }
  return Explained::other;
}

Result<Accounts> reconcile(const Request& request, const Stopped& stopped) {
  if (auto found = wrong(request)) return *std::move(found);
  auto books = internal::books_of(request);
  const double content = static_cast<double>(request.cartridge.hundredths()) / 100.0;
  const auto missing =
      books.dispensed.known ? std::optional(books.dispensed.missing) : std::nullopt;
  // Counted against itself a supply says nothing of lost cartridges.
  const bool by_supply = !books.rows.empty() && books.rows.front().by_supply;
  auto weighed =
      weigh(books.stretches, by_supply || request.cartridges.empty() ? std::nullopt : missing,
            content, stopped);
  if (is_stopped(stopped))
    return Error{Kind::unavailable, std::string(penstock::codes::stopped), {}, ""};
  const auto diary = internal::written(books.entries, request);

  Accounts out;
  out.dispensed = books.dispensed;
  out.left = books.left;
  out.claimed = books.claimed;
  out.rows = std::move(books.rows);
  out.not_known = std::move(books.not_known);
  for (std::size_t k = 0; k < books.stretches.size(); ++k)
    out.rows[books.stretches[k].row].units = weighed.rows[k];
  out.left_claimed.known = !books.stretches.empty();
  out.left_claimed.hundredths = out.left.left.hundredths() - out.claimed.claimed.hundredths();
  out.left_claimed.units = weighed.units;
  if (missing && !request.cartridges.empty()) {
    out.dispensed_left.known = true;
    out.dispensed_left.hundredths = *missing * request.cartridge.hundredths();
    const auto exact = static_cast<double>(*missing) * content;
    out.dispensed_left.units = {exact, exact};  // a count is right in more than nine of ten
  }
  out.probability = weighed.finding;
  out.found.assign(weighed.found.begin(), weighed.found.end());
  auto& later = out.found[static_cast<std::size_t>(Mechanism::diary_later)];
  later.possible = diary.looked;
  later.prior = inclusion(Mechanism::diary_later);
  later.probability = diary.probability;
  out.signs = diary.signs;
  std::ranges::stable_sort(out.found, [](const Found& a, const Found& b) {
    return std::pair{a.possible, a.probability} > std::pair{b.possible, b.probability};
  });
  out.differs = weighed.looked && weighed.finding >= flag_least && is_apart(out);
  out.diary_later = diary.looked && diary.probability >= diary_flag_least;
  // Sealed ones that are as many as were opened are no account that agrees: without a diary nothing
  // was held against it.
  const bool is_compared = out.left_claimed.known && !request.diary.empty();
  if (out.differs) {
    out.verdict = Verdict::differ;
  } else if (weighed.looked && is_compared) {
    out.verdict = Verdict::agree;
  }
  if (out.verdict == Verdict::not_known) out.found.clear();
  note(out, request, diary);
  out.question = question_of(out);
  return out;
}

// ---- the example

Request example() {
  using namespace penstock::literals;
  constexpr LocalDay first{std::chrono::year{2027} / 3 / 1};
  const auto when = [&](int day, int minute) {
    return When{
        Instant{(LocalTime{first + days{day}} + minutes{minute}).time_since_epoch()} - hours{1},
        60};
  };
  Request out;
  out.from = first;
  out.until = first + days{29};
  out.insulin = "insulin glargine";
  out.strength = {100};
  out.cartridge = 300_units;
  out.prime = 2_units;
  out.new_cartridge_prime = 4_units;
  out.ordered = {{first, {20_units}, false}};
  out.sealed_before = 0;
  out.dispensed = {{when(0, 600), 5}};
  out.sealed_counts = {{when(29, 1350), 2}};
  // 300 units are 13 doses of 20 with their primes, by the diary. It says 15 and 14 were taken.
  out.cartridges = {{when(0, 1315), 300_units, true, when(15, 1310), End::used_up, {}, {}},
                    {when(15, 1315), 300_units, true, when(29, 1310), End::used_up, {}, {}},
                    {when(29, 1315), 300_units, true, {}, End::not_said, {}, {}}};
  out.cartridges.back().readings = {{when(29, 1349), 276_units}};
  constexpr int late[] = {5, 12, -4, 20, 7, 0, 31, -9, 14, 3};
  for (int day = 0; day < 30; ++day) {
    Entry entry;
    entry.when = when(day, 1320 + late[day % 10] % 28);
    entry.units = 20_units;
    entry.slot = "bedtime";
    out.diary.push_back(entry);
  }
  return out;
}

}  // namespace penstock::reconcile
