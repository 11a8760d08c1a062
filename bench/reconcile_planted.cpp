// Of differences that were planted, how many does reconcile find, and how often is an honest
// account flagged? Is the right mechanism the likeliest, and are its probabilities what they say?
//
// Prints the tables of RESULTS.md: shares found by mechanism, size and days; false alarms; the
// right mechanism first; probabilities in bins. Seeds are those of the line.
//   reconcile_planted [PEOPLE] [SEED]
#include <array>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

#include "core/reconcile/reconcile.hpp"
#include "support/planted_accounts.hpp"

namespace penstock {
namespace {

using planted::Plant;
using reconcile::Mechanism;

struct Share {
  int hits = 0, of = 0;
  void add(bool hit) {
    ++of;
    hits += hit ? 1 : 0;
  }
  double percent() const { return of == 0 ? 0 : 100.0 * hits / of; }
};

constexpr std::array sizes{0.05, 0.10, 0.15, 0.20, 0.30};
constexpr std::array spans{30, 60, 90};

std::string_view name_of(Mechanism which) {
  return reconcile::mechanism_names[static_cast<std::size_t>(which)];
}

reconcile::Accounts judged(const planted::Person& person) {
  auto found = reconcile::reconcile(person.request);
  if (!found) {
    std::fprintf(stderr, "refused: %s %s\n", found.error().code.c_str(), found.error().at.c_str());
    std::exit(1);
  }
  return *std::move(found);
}

bool is_flagged(const reconcile::Accounts& found) { return found.differs || found.diary_later; }

void false_alarms(int people, std::uint64_t seed, bool uneven) {
  std::printf("\n| honest%s, days | flagged (units) | flagged (diary) | either | nothing known |\n",
              uneven ? " and uneven" : "");
  std::printf("| --- | --- | --- | --- | --- |\n");
  for (const int days : spans) {
    Share units, diary, either, unknown;
    for (int i = 0; i < people; ++i) {
      const auto found =
          judged(planted::person(seed + static_cast<std::uint64_t>(i), {{}, 0, days, uneven}));
      units.add(found.differs);
      diary.add(found.diary_later);
      either.add(is_flagged(found));
      unknown.add(found.verdict == reconcile::Verdict::not_known);
    }
    std::printf("| %d | %.1f %% | %.1f %% | %.1f %% | %.1f %% |\n", days, units.percent(),
                diary.percent(), either.percent(), unknown.percent());
  }
}

/// Of the diary only where it was the diary: it is a question of its own.
Mechanism likeliest(const reconcile::Accounts& found, Mechanism planted) {
  if (planted == Mechanism::diary_later && found.diary_later) return planted;
  for (const auto& one : found.found) {
    if (one.which != Mechanism::diary_later) return one.which;
  }
  return Mechanism::unknown;
}

struct Bins {
  std::array<Share, 10> bins{};
  std::array<double, 10> sums{};
  void add(double probability, bool is) {
    const auto bin = std::min<std::size_t>(9, static_cast<std::size_t>(probability * 10));
    bins[bin].add(is);
    sums[bin] += probability;
  }
};

void found_shares(int people, std::uint64_t seed, bool uneven) {
  Share all;
  std::printf("\n| mechanism%s | days |", uneven ? ", uneven people" : "");
  for (const auto size : sizes) std::printf(" %.0f %% |", size * 100);
  std::printf(
      " right one first (10 %% and more) |\n| --- | --- | --- | --- | --- | --- | --- | --- |\n");
  for (const auto which : planted::planted) {
    for (const int days : spans) {
      std::printf("| %s | %d |", std::string(name_of(which)).c_str(), days);
      Share first;
      for (const auto size : sizes) {
        Share share;
        for (int i = 0; i < people; ++i) {
          const auto person = planted::person(seed + 7'000'000 + static_cast<std::uint64_t>(i),
                                              Plant{which, size, days, uneven});
          if (!person.possible) continue;
          const auto found = judged(person);
          const bool flagged = is_flagged(found);
          share.add(flagged);
          if (days == 60 && size >= 0.10) all.add(flagged);
          if (size >= 0.10 && flagged) {
            first.add(likeliest(found, which) == which);
          }
        }
        std::printf(" %.0f |", share.percent());
      }
      std::printf(" %.0f |\n", first.percent());
    }
  }
  std::printf("\n10 %% and more at 60 days, all mechanisms: %d of %d, %.1f %%\n", all.hits, all.of,
              all.percent());
}

/// Mechanisms as often as the priors say, sizes evenly: are the probabilities right?
void calibration(int people, std::uint64_t seed) {
  Bins finding, single;
  planted::Dice dice(seed);
  for (int i = 0; i < people * 10; ++i) {
    Plant plant{{}, 0, 60};
    if (dice.happens(0.26)) {
      // As the priors are to each other; gaps and diaries are not in it.
      constexpr std::array weights{0.245, 0.061, 0.163, 0.163, 0.122, 0.122, 0.124};
      plant.what = planted::planted[static_cast<std::size_t>(dice.weighed(weights))];
      plant.share = sizes[static_cast<std::size_t>(dice.below(5))];
    }
    const auto person = planted::person(seed + 9'000'000 + static_cast<std::uint64_t>(i), plant);
    if (!person.possible) continue;
    const auto found = judged(person);
    finding.add(found.probability, plant.what.has_value());
    for (const auto& one : found.found) {
      if (one.possible && one.which != Mechanism::diary_later)
        single.add(one.probability, plant.what == one.which);
    }
  }
  std::printf(
      "\n| probability said | any mechanism: cases, share true | each mechanism: cases, share true "
      "|\n");
  std::printf("| --- | --- | --- |\n");
  for (std::size_t bin = 0; bin < 10; ++bin) {
    const auto& a = finding.bins[bin];
    const auto& b = single.bins[bin];
    std::printf("| %zu to %zu %% | %d, %.0f %% (said %.0f) | %d, %.0f %% (said %.0f) |\n", bin * 10,
                bin * 10 + 10, a.of, a.percent(), a.of ? 100 * finding.sums[bin] / a.of : 0.0, b.of,
                b.percent(), b.of ? 100 * single.sums[bin] / b.of : 0.0);
  }
}

}  // namespace
}  // namespace penstock

int main(int argc, char** argv) {
  const int people = argc > 1 ? std::atoi(argv[1]) : 400;
  const std::uint64_t seed = argc > 2 ? std::strtoull(argv[2], nullptr, 10) : 41'000'000;
  std::printf("%d people a cell, seeds from %llu\n", people, static_cast<unsigned long long>(seed));
  for (const bool uneven : {false, true}) {
    penstock::false_alarms(people * 3, seed, uneven);
    penstock::found_shares(people, seed, uneven);
  }
  penstock::calibration(people, seed);
  return 0;
}
