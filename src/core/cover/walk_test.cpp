// The walk with the doses as written against a second, simpler account of the same house.
#include <gtest/gtest.h>

#include <random>

#include "core/cover/cover.hpp"
#include "support/naive_cover.hpp"

namespace penstock::cover {
namespace {

using namespace literals;
using std::chrono::days;

Units hundredths(std::int64_t n) { return *Units::from_hundredths(n); }

struct World {
  Request request;
  std::uint32_t seed = 0;
  int round = 0;
  std::string told() const {
    const auto& line = request.lines.front();
    std::string text = "seed " + std::to_string(seed) + " round " + std::to_string(round) + ":";
    for (const auto dose : line.doses) text += " " + format(dose);
    for (const auto& change : line.changes) {
      text += ", from " + format_iso(change.from);
      for (const auto dose : change.doses) text += " " + format(dose);
    }
    return text + " of " + format(line.cartridge) + ", " + std::to_string(line.in_use_days) +
           " days" + (line.use_the_rest ? ", rests are used" : "") +
           (line.suspension ? ", suspension" : "") + (line.most ? ", divided" : "");
  }
};

class AnyHouse : public testing::TestWithParam<std::uint32_t> {
 protected:
  std::mt19937 random{GetParam()};
  std::int64_t pick(std::int64_t n) {
    return static_cast<std::int64_t>(random() % static_cast<std::uint32_t>(n));
  }
  bool one_in(std::int64_t n) { return pick(n) == 0; }
  std::optional<LocalDay> expiry(LocalDay on) {
    if (one_in(2)) return std::nullopt;
    return on + days{pick(60) - 3};
  }

  Line line(LocalDay on) {
    constexpr std::int64_t steps[] = {50, 100, 200};
    const auto step = steps[pick(3)];
    Line out;
    out.insulin = "insulin glargine";
    out.step = hundredths(step);
    const auto doses = 1 + pick(4);
    for (std::int64_t i = 0; i < doses; ++i) {
      out.doses.push_back(hundredths((1 + pick(12)) * step));
    }
    if (one_in(3)) out.given_on_first_day = static_cast<std::size_t>(pick(doses + 1));
    out.prime = hundredths(pick(3) * step / (1 + pick(2)));
    out.new_cartridge_prime = hundredths(pick(5) * step);
    out.cartridge = hundredths((30 + pick(90)) * step + pick(2) * pick(step));
    out.in_use_days = static_cast<std::int32_t>(1 + pick(30));
    if (one_in(3)) {
      out.most = hundredths((6 + pick(4)) * step + pick(2) * 10);
      out.window = one_in(2) ? shelf::Window::counts_on : shelf::Window::returns_to_zero;
    }
    if (one_in(4)) {
      out.suspension = true;
      out.least_left_to_mix = hundredths(pick(12) * step + pick(step));
    } else {
      out.use_the_rest = one_in(3);
    }
    for (auto open = pick(3); open > 0; --open) {
      out.open.push_back({hundredths(pick(out.cartridge.hundredths() + 1)),
                          static_cast<std::int32_t>(pick(out.in_use_days + 2)), one_in(5),
                          expiry(on)});
    }
    for (auto lots = pick(4); lots > 0; --lots) {
      out.sealed.push_back({static_cast<std::int32_t>(pick(3)), expiry(on)});
    }
    change(out, on, step);
    return out;
  }
  /// Some from before the first day, some that leave nothing to take for a while.
  void change(Line& line, LocalDay on, std::int64_t step) {
    auto from = on + days{pick(20) - 4};
    for (auto changes = pick(4); changes > 0; --changes) {
      Change next{from, {}};
      const auto least = changes == 1 ? 1 : 0;  // the last one takes something
      for (auto i = least + pick(3); i > 0; --i)
        next.doses.push_back(hundredths((1 + pick(12)) * step));
      line.changes.push_back(std::move(next));
      from += days{1 + pick(14)};
    }
    line.given_on_first_day = std::min(line.given_on_first_day, doses_on(line, on).size());
  }

  World world(int round) {
    World w;
    w.seed = GetParam();
    w.round = round;
    w.request.on = *parse_day("2027-02-15") + days{pick(400)};
    w.request.lines = {line(w.request.on)};
    Ask ask;
    ask.leads = {{static_cast<std::int32_t>(pick(12)), 1.0}};
    ask.spare_cartridges = static_cast<std::int32_t>(pick(3));
    ask.for_days = static_cast<std::int32_t>(1 + pick(60));
    ask.cartridges_per_box = static_cast<std::int32_t>(1 + pick(5));
    ask.needles_per_box = static_cast<std::int32_t>(1 + pick(100));
    for (std::int64_t day = 0; day < 200 && round % 2 == 0; ++day) {
      if (one_in(4)) ask.closed.push_back(w.request.on + days{day});
    }
    w.request.ask = ask;
    w.request.needles_left = static_cast<std::int32_t>(pick(150));
    return w;
  }
};

constexpr int walked_days = 300;  // longer than any of these houses lasts

struct Walked {
  int full_days = 0;
  std::int64_t thrown = 0;
  std::vector<int> injections;  // by day, of the full days
};

Walked walk(const Request& request, int spare, int added) {
  const auto& line = request.lines.front();
  const naive::House house(line, request.on, spare, added);
  naive::State state;
  Walked out;
  for (int day = 0; day < walked_days; ++day) {
    int injections = 0;
    const auto doses = naive::doses_of(line, request.on + days{day});
    for (std::size_t i = day == 0 ? line.given_on_first_day : 0; i < doses.size(); ++i) {
      const auto given = house.give(state, request.on + days{day}, doses[i].hundredths());
      out.thrown += given.thrown;
      injections += given.injections;
      if (!given.whole) return out;
    }
    ++out.full_days;
    out.injections.push_back(injections);
  }
  return out;
}

bool is_open(const Ask& ask, LocalDay day) {
  return !std::binary_search(ask.closed.begin(), ask.closed.end(), day);
}
LocalDay arrival(const Ask& ask, LocalDay asked) {
  LocalDay day = asked;
  for (int left = ask.leads.front().days; left > 0;) {
    day += days{1};
    if (is_open(ask, day)) --left;
  }
  return day;
}
/// The latest open day from which on everything can be given until it comes.
std::optional<LocalDay> latest(const Request& request, int full_days) {
  std::optional<LocalDay> best;
  for (int day = 0; day <= full_days; ++day) {
    const LocalDay asked = request.on + days{day};
    if (!is_open(*request.ask, asked)) continue;
    const bool ok = arrival(*request.ask, asked) <= request.on + days{full_days};
    if (ok) best = asked;
  }
  return best;
}

void compare_asking(const World& w, const Lasts& lasts, int full_days) {
  const auto best = latest(w.request, full_days);
  ASSERT_EQ(lasts.late, !best) << w.told();
  ASSERT_EQ(lasts.ask_by, best.value_or(w.request.on)) << w.told();
  LocalDay from = *lasts.ask_by;
  while (!is_open(*w.request.ask, from)) from += days{1};
  ASSERT_EQ(lasts.here_by, arrival(*w.request.ask, from)) << w.told();
}

void compare_cartridges(const World& w, const Lasts& lasts) {
  const auto& ask = *w.request.ask;
  const auto all = walk(w.request, 0, 0);
  ASSERT_EQ(lasts.full_days, all.full_days) << w.told();
  ASSERT_EQ(lasts.thrown_away.hundredths(), all.thrown) << w.told();
  const LocalDay short_on = w.request.on + days{all.full_days};
  ASSERT_EQ(lasts.last_full_day.has_value(), all.full_days > 0);
  if (lasts.last_full_day) {
    ASSERT_EQ(*lasts.last_full_day, short_on - days{1});
  }
  ASSERT_EQ(lasts.runs_out, (std::vector<DayChance>{{short_on, 1.0}})) << w.told();
  compare_asking(w, lasts, walk(w.request, ask.spare_cartridges, 0).full_days);
  if (testing::Test::HasFatalFailure()) return;
  int boxes = 0;
  while (walk(w.request, ask.spare_cartridges, boxes * ask.cartridges_per_box).full_days <
         ask.for_days) {
    ++boxes;
  }
  ASSERT_EQ(lasts.boxes, boxes) << w.told();
}

void compare_needles(const World& w, const Lasts& lasts) {
  const auto& ask = *w.request.ask;
  // So many cartridges that only needles can run out.
  const auto plenty = walk(w.request, 0, walked_days);
  const auto last = [&](std::int64_t needles) {
    int day = 0;
    for (const int injections : plenty.injections) {
      if (needles < injections) break;
      needles -= injections;
      ++day;
    }
    return day;
  };
  const int full_days = last(*w.request.needles_left);
  ASSERT_EQ(lasts.full_days, full_days) << w.told();
  compare_asking(w, lasts, full_days);
  std::int64_t boxes = 0;
  while (last(*w.request.needles_left + boxes * ask.needles_per_box) < ask.for_days) ++boxes;
  ASSERT_EQ(lasts.boxes, boxes) << w.told();
}

// H51: a change to the same doses changes nothing, and before its day no change does.
TEST_P(AnyHouse, H51_NoChangeChangesTheDaysBeforeIt) {
  for (int round = 0; round < 300; ++round) {
    World w = world(round);
    auto& line = w.request.lines.front();
    line.changes.clear();
    line.given_on_first_day = std::min(line.given_on_first_day, line.doses.size());
    const auto plain = cover(w.request);
    if (!plain) continue;
    const auto& before = plain->lines.front();
    const auto day = static_cast<std::int32_t>(pick(40));
    line.changes = {{w.request.on + days{day}, line.doses}};
    const auto same = cover(w.request);
    ASSERT_TRUE(same) << w.told();
    ASSERT_EQ(same->lines.front().runs_out, before.runs_out) << w.told();
    ASSERT_EQ(same->lines.front().thrown_away, before.thrown_away) << w.told();
    ASSERT_EQ(same->lines.front().boxes, before.boxes) << w.told();
    ASSERT_EQ(same->lines.front().ask_by, before.ask_by) << w.told();
    ASSERT_EQ(same->needles->full_days, plain->needles->full_days) << w.told();
    // Other doses: what ran out before that day does so still, and nothing else does.
    line.changes.front().doses.push_back(line.doses.front());
    if (day == 0) continue;
    const auto more = cover(w.request);
    ASSERT_TRUE(more) << w.told();
    ASSERT_EQ(std::min(more->lines.front().full_days, day), std::min(before.full_days, day))
        << w.told();
    ASSERT_LE(more->needles->full_days, plain->needles->full_days) << w.told();
  }
}

TEST_P(AnyHouse, H12_IsWalkedLikeTheSimplerAccount) {
  int answered = 0, late = 0, expired = 0, unused = 0;
  for (int round = 0; round < 1'000; ++round) {
    const World w = world(round);
    const auto answer = cover(w.request);
    if (!answer) {
      const auto& code = answer.error().code;
      ASSERT_TRUE(code == codes::dose_never_fits || code == codes::prime_fills_window)
          << code << answer.error().at << w.told();
      continue;
    }
    ++answered;
    compare_cartridges(w, answer->lines.front());
    if (HasFatalFailure()) return;
    compare_needles(w, *answer->needles);
    if (HasFatalFailure()) return;
    const auto& cautions = answer->lines.front().cautions;
    const auto says = [&](std::string_view code) {
      return std::find(cautions.begin(), cautions.end(), code) != cautions.end();
    };
    late += answer->lines.front().late ? 1 : 0;
    expired += says(cover_cautions::expired) ? 1 : 0;
    unused += says(cover_cautions::ends_unused) ? 1 : 0;
  }
  // The mix must have them all.
  EXPECT_GT(answered, 800);
  EXPECT_GT(late, 60);
  EXPECT_GT(expired, 30);
  EXPECT_GT(unused, 60);
}
INSTANTIATE_TEST_SUITE_P(Seeds, AnyHouse, testing::Values(20261201, 20261202, 20261203, 20261204));

}  // namespace
}  // namespace penstock::cover
