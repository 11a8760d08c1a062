// Ten thousand invented houses, the same for every benchmark of the cover: one to three insulins,
// one to five doses a day, one to eight sealed cartridges of each; half of the people vary their
// doses by two to four units.
#pragma once

#include <cstdint>
#include <random>
#include <vector>

#include "core/cover/cover.hpp"

namespace penstock {

constexpr std::uint32_t cover_people_seed = 20261126;

class CoverPeople {
 public:
  std::vector<cover::Request> make(std::size_t people) {
    std::vector<cover::Request> all;
    for (std::size_t i = 0; i < people; ++i) all.push_back(person(i % 2 == 1));
    return all;
  }

 private:
  std::mt19937 random_{cover_people_seed};

  std::int64_t between(std::int64_t least, std::int64_t most) {
    return least +
           static_cast<std::int64_t>(random_() % static_cast<std::uint32_t>(most - least + 1));
  }
  static Units units(std::int64_t n) { return *Units::from_hundredths(n * 100); }

  cover::Line line(std::int64_t doses, std::int64_t least, std::int64_t most, bool varies) {
    cover::Line out;
    out.insulin = "insulin";
    for (std::int64_t i = 0; i < doses; ++i) out.doses.push_back(units(between(least, most)));
    if (varies) out.dose_sd = *Units::from_hundredths(between(200, 400));
    out.prime = units(2);
    out.new_cartridge_prime = units(4);
    out.cartridge = units(300);
    out.open = {{units(between(20, 300)), static_cast<std::int32_t>(between(0, 20)), false, {}}};
    out.sealed = {{static_cast<std::int32_t>(between(1, 8)), {}}};
    return out;
  }

  cover::Request person(bool varies) {
    cover::Request r;
    r.on = *parse_day("2027-03-01");
    const auto lines = between(1, 3);
    // Background insulin alone, a premix twice a day; with mealtime insulin; with a third one.
    if (lines == 1) r.lines = {line(between(1, 2), 12, 40, varies)};
    if (lines >= 2) r.lines = {line(1, 12, 40, varies), line(between(1, 3), 6, 16, varies)};
    if (lines == 3) r.lines.push_back(line(1, 8, 20, varies));
    r.ask.emplace().leads = {{7, 1.0}};
    return r;
  }
};

}  // namespace penstock
