#include "core/cover/internal/counts.hpp"

#include <algorithm>
#include <cmath>

#include "core/cover/internal/law.hpp"

namespace penstock::cover::internal {
namespace {

constexpr double tiny = 1e-20;

void add(CountLaw& to, const CountLaw& more) {
  to.least += more.least;
  if (more.chance.size() == 1) return;  // certain
  std::vector<double> sum = convolved(to.chance, more.chance);
  // What is nothing goes to its neighbour, so that all of it stays one.
  std::size_t first = 0, end = sum.size();
  while (first + 1 < end && sum[first] < tiny) sum[first + 1] += sum[first], ++first;
  while (end > first + 1 && sum[end - 1] < tiny) sum[end - 2] += sum[end - 1], --end;
  to.least += static_cast<std::int64_t>(first);
  to.chance.assign(sum.begin() + static_cast<std::ptrdiff_t>(first),
                   sum.begin() + static_cast<std::ptrdiff_t>(end));
}

CountLaw injections_of(const DoseLaw& doses, const std::vector<Taking>& in_use) {
  CountLaw law{0, {}};
  for (std::size_t i = 0; i < doses.chance.size(); ++i) {
    const auto dose = static_cast<std::size_t>(doses.least) + i;
    const auto count = static_cast<std::size_t>(in_use[dose].injections);
    if (law.chance.size() <= count) law.chance.resize(count + 1, 0.0);
    law.chance[count] += doses.chance[i];
  }
  while (law.chance.size() > 1 && law.chance.front() == 0) {
    law.chance.erase(law.chance.begin());
    ++law.least;
  }
  return law;
}

/// One injection gives no more than a few times what a cartridge holds.
std::int64_t most_steps(const Line& line) { return 1 + whole_steps(line.cartridge, line.step); }

}  // namespace

Injections::Of Injections::of(const Line& line, LocalDay on) {
  auto house = std::make_unique<House>(line, on);
  Written written(line, *house, on);
  Of out{std::move(house), std::move(written), !line.dose_sd.is_zero(), {}};
  const draw::Rules rules = rules_of(line);
  const draw::AtHand full{.left = line.cartridge};
  std::vector<std::vector<DoseLaw>> laws;
  std::int64_t largest = 1;
  for (const Period& period : periods_of(line, on)) {
    out.periods.push_back({period.from, 0, {}, {}});
    laws.emplace_back();
    for (const Units dose : *period.doses) {
      const auto taken = draw::take(rules, full, dose);
      out.periods.back().plain += taken ? taken->injections : 1;
      if (!out.varies) continue;
      laws.back().push_back(rounded_normal(dose, line.dose_sd, line.step, most_steps(line)));
      largest = std::max(largest, laws.back().back().most());
    }
  }
  if (!out.varies) return out;
  const auto in_use = takings(rules, largest, false);
  for (std::size_t i = 0; i < laws.size(); ++i) {
    Days& period = out.periods[i];
    for (const DoseLaw& law : laws[i]) {
      period.doses.push_back(injections_of(law, in_use));
      add(period.day, period.doses.back());
    }
  }
  return out;
}

Injections::Injections(const Request& request) : request_(request) {
  for (const Line& line : request.lines) lines_.push_back(of(line, request.on));
}

void Injections::next_day() {
  for (std::size_t i = 0; i < lines_.size(); ++i) {
    Of& one = lines_[i];
    const std::int64_t written = one.written.next_day();
    as_written_ += written;
    if (!one.varies) {
      so_far_.least += written;
      continue;
    }
    const Days& period = one.periods[period_on(one.periods, day_)];
    const std::size_t given = first_dose(request_.lines[i], day_);
    if (given == 0) {
      add(so_far_, period.day);
      // Splits and the larger primes of new cartridges: the needles that the written doses take.
      so_far_.least += std::max<std::int64_t>(0, written - period.plain);
      continue;
    }
    for (std::size_t d = given; d < period.doses.size(); ++d) add(so_far_, period.doses[d]);
  }
  ++day_;
}

std::vector<double> not_enough(std::int64_t needles, double fails) {
  const auto n = static_cast<std::size_t>(needles);
  std::vector<double> law(n + 2, 0.0);
  if (fails <= 0) {
    law[n + 1] = 1;
    return law;
  }
  // [b + 1]: b good ones, from the likeliest count outwards, then made one.
  const double good = 1 - fails;
  const auto mode = std::min(n, static_cast<std::size_t>(static_cast<double>(n + 1) * good));
  law[mode + 1] = 1;
  double sum = 1;
  for (std::size_t b = mode; b < n && law[b + 1] > tiny; ++b) {
    law[b + 2] =
        law[b + 1] * (static_cast<double>(n - b) / static_cast<double>(b + 1)) * (good / fails);
    sum += law[b + 2];
  }
  for (std::size_t b = mode; b > 0 && law[b + 1] > tiny; --b) {
    law[b] =
        law[b + 1] * (static_cast<double>(b) / static_cast<double>(n - b + 1)) * (fails / good);
    sum += law[b];
  }
  // m injections cannot be given when fewer than m are good.
  double fewer = 0;
  for (double& chance : law) chance = fewer += chance / sum;
  return law;
}

double not_enough(const std::vector<double>& for_injections, const CountLaw& injections) {
  double chance = 0;
  for (std::size_t i = 0; i < injections.chance.size(); ++i) {
    const auto m = static_cast<std::size_t>(injections.least) + i;
    chance += injections.chance[i] * (m < for_injections.size() ? for_injections[m] : 1.0);
  }
  return std::min(1.0, chance);
}

}  // namespace penstock::cover::internal
