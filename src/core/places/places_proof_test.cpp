// A refusal is a proof: on instances small enough to try everything, a plan is refused exactly when
// there is none, the longest rest is the longest, and no fewer slots could move. And a plan is
// stable: what was promised changes only where it must.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <random>
#include <set>

#include "core/places/places.hpp"

namespace penstock::places {
namespace {

using std::chrono::days;

Spot at(std::int32_t x, std::int32_t y) { return {{x}, {y}}; }

/// Chance with a seed that a failing test prints.
class Chance {
 public:
  explicit Chance(std::uint64_t seed) : engine_(seed) {}
  std::int32_t in(std::int32_t least, std::int32_t most) {
    return least +
           static_cast<std::int32_t>(engine_() % static_cast<std::uint64_t>(most - least + 1));
  }
  bool one_in(std::int32_t n) { return in(1, n) == 1; }

 private:
  std::mt19937_64 engine_;
};

// ---- trying everything

struct SpotState {
  Zone zone;
  Spot spot;
  std::int32_t last = -1000;  // latest use before the plan
};

bool close(Zone a, Spot x, Zone b, Spot y, std::int32_t spacing) {
  const bool belly = part_of(a) == BodyPart::abdomen && part_of(b) == BodyPart::abdomen;
  if (a != b && !belly) return false;
  const double dx = x.x.tenths - y.x.tenths, dy = x.y.tenths - y.y.tenths;
  return dx * dx + dy * dy < 1.0 * spacing * spacing;
}

std::vector<SpotState> spots_of(const PlaceRequest& r) {
  std::vector<SpotState> spots;
  for (const Zone zone : r.zones) {
    for (const Spot spot : lattice(zone, r.body, r.spacing)) {
      const bool off = std::ranges::any_of(r.blocked, [&](const Circle& c) {
        return close(zone, spot, c.zone, c.centre, c.radius.tenths + 1);
      });
      if (off) continue;
      SpotState state{zone, spot};
      for (const auto& used : r.used) {
        if (close(zone, spot, used.zone, used.spot, r.spacing.tenths)) {
          state.last = std::max(state.last, static_cast<std::int32_t>((used.day - r.from).count()));
        }
      }
      spots.push_back(state);
    }
  }
  return spots;
}

/// Every choice of spots, day by day and slot by slot, until one goes through. `part`: where each
/// slot must go, or anywhere.
class Everything {
 public:
  Everything(const PlaceRequest& r, std::vector<std::optional<BodyPart>> part, std::int32_t rest)
      : spots_(spots_of(r)), part_(std::move(part)), days_(r.days), rest_(rest) {
    for (const auto& spot : spots_) free_.push_back(std::max(0, spot.last + rest));
  }
  bool found() { return from(0, 0); }

 private:
  bool from(std::int32_t day, std::size_t slot) {
    if (slot == part_.size()) return from(day + 1, 0);
    if (day == days_) return true;
    const std::pair key{day * 100 + static_cast<std::int32_t>(slot), free_};
    if (dead_.contains(key)) return false;
    for (std::size_t i = 0; i < spots_.size(); ++i) {
      if (free_[i] > day || (part_[slot] && part_of(spots_[i].zone) != *part_[slot])) continue;
      const auto before = free_[i];
      free_[i] = day + rest_;
      if (from(day, slot + 1)) return true;
      free_[i] = before;
    }
    dead_.insert(key);
    return false;
  }

  std::vector<SpotState> spots_;
  std::vector<std::optional<BodyPart>> part_;
  std::int32_t days_;
  std::int32_t rest_;
  std::vector<std::int32_t> free_;
  std::set<std::pair<std::int32_t, std::vector<std::int32_t>>> dead_;
};

std::vector<std::optional<BodyPart>> must(const PlaceRequest& r) {
  std::vector<std::optional<BodyPart>> parts;
  for (const auto& slot : r.slots) parts.push_back(slot.part);
  return parts;
}

/// The least number of slots that move in any assignment that can be planned.
std::size_t fewest_moving(const PlaceRequest& r) {
  std::size_t fewest = r.slots.size() + 1;
  std::size_t ways = 1;
  for (std::size_t i = 0; i < r.slots.size(); ++i) ways *= 5;
  for (std::size_t way = 0; way < ways; ++way) {
    auto parts = must(r);
    std::size_t rest = way, moving = 0;
    bool fits = true;
    for (auto& part : parts) {
      const auto choice = rest % 5;
      rest /= 5;
      if (part) {
        fits = fits && choice == static_cast<std::size_t>(*part);
      } else if (choice < 4) {
        part = static_cast<BodyPart>(choice);
      } else {
        ++moving;
      }
    }
    if (fits && moving < fewest && Everything(r, parts, r.rest_days).found()) fewest = moving;
  }
  return fewest;
}

/// A body with a handful of spots.
PlaceRequest small_request(Chance& chance) {
  PlaceRequest r;
  r.from = *parse_day("2027-03-01");
  r.days = chance.in(1, 5);
  r.rest_days = chance.in(1, 6);
  r.body.height = {chance.in(1000, 1900)};
  r.spacing = {chance.in(450, 1000)};
  for (std::size_t i = 0; i < zone_names.size(); ++i) {
    if (chance.one_in(4)) r.zones.push_back(static_cast<Zone>(i));
  }
  if (r.zones.empty()) r.zones.push_back(static_cast<Zone>(chance.in(0, 9)));
  const auto slots = chance.in(1, 3);
  for (std::int32_t i = 0; i < slots; ++i) {
    r.slots.push_back({std::string(1, static_cast<char>('a' + i)), {}, {}});
    if (chance.one_in(4)) {
      r.slots.back().part = part_of(r.zones[static_cast<std::size_t>(
          chance.in(0, static_cast<std::int32_t>(r.zones.size()) - 1))]);
    }
  }
  for (auto i = chance.in(0, 4); i > 0; --i) {
    const auto zone = static_cast<Zone>(chance.in(0, 9));
    const auto spots = lattice(zone, r.body, r.spacing);
    auto spot = at(chance.in(-700, 700), chance.in(-700, 700));
    if (!spots.empty() && chance.one_in(2))
      spot = spots[static_cast<std::size_t>(
          chance.in(0, static_cast<std::int32_t>(spots.size()) - 1))];
    r.used.push_back({r.from - days{chance.in(1, 6)}, zone, spot});
  }
  if (chance.one_in(3)) {
    r.blocked.push_back({static_cast<Zone>(chance.in(0, 9)),
                         at(chance.in(-800, 800), chance.in(-800, 800)),
                         {chance.in(0, 400)}});
  }
  return r;
}

std::int64_t number(const Error& error, std::string_view name) {
  for (const auto& arg : error.args) {
    if (arg.name == name) return arg.number;
  }
  ADD_FAILURE() << error.code << " has no " << name;
  return -1;
}

TEST(PlacesProof, H17_APlanIsRefusedExactlyWhenThereIsNone) {
  int planned = 0, refused = 0, moved = 0, tried = 0;
  for (std::uint64_t seed = 1; seed <= 3000; ++seed) {
    Chance chance(seed);
    const auto r = small_request(chance);
    if (spots_of(r).size() > 9) continue;  // too many to try everything
    ++tried;
    const bool exists = Everything(r, must(r), r.rest_days).found();
    const auto result = plan(r);
    ASSERT_EQ(result.has_value(), exists) << "seed " << seed;
    if (exists) {
      ++planned;
      const auto moving =
          std::ranges::count_if(result->slot_parts, [](const auto& part) { return !part; });
      ASSERT_EQ(static_cast<std::size_t>(moving), fewest_moving(r)) << "seed " << seed;
      moved += moving > 0 ? 1 : 0;
      continue;
    }
    const auto& error = result.error();
    if (error.code == places_codes::part_not_allowed) continue;
    if (spots_of(r).empty()) {
      ASSERT_EQ(error.code, places_codes::no_spot) << "seed " << seed;
      continue;
    }
    ++refused;
    std::int32_t longest = 0;
    for (std::int32_t rest = 1; rest < r.rest_days; ++rest) {
      if (Everything(r, must(r), rest).found()) longest = rest;
    }
    ASSERT_EQ(number(error, "longest"), longest) << "seed " << seed << " " << error.code;
  }
  // The sample has all kinds of answers in it.
  EXPECT_GT(tried, 1000);
  EXPECT_GT(planned, 300);
  EXPECT_GT(refused, 300);
  EXPECT_GT(moved, 20);
}

// From a clean skin the longest rest is the spots over the injections a day, rounded down; no
// arrangement of spots could pass the bound, and for adults it is at least four fifths of it.
TEST(PlacesProof, LongestRestFromACleanSkinIsSpotsOverInjectionsADay) {
  for (std::size_t slots = 1; slots <= 12; ++slots) {
    PlaceRequest r = example();
    r.blocked.clear();
    r.used.clear();
    r.slots.clear();
    for (std::size_t i = 0; i < slots; ++i)
      r.slots.push_back({"slot " + std::to_string(i), {}, {}});
    r.days = days_max;
    r.rest_days = 1;
    const auto longest = plan(r)->longest_rest_days;
    EXPECT_EQ(longest, static_cast<std::int32_t>(plan(r)->spots / slots));
    if (longest >= rest_days_max) continue;
    r.rest_days = longest;
    const auto result = plan(r);
    ASSERT_TRUE(result) << slots;
    EXPECT_GE(result->rest_days_bound, longest);
    EXPECT_GE(longest, result->rest_days_bound * 4 / 5);
    r.rest_days = longest + 1;
    if (r.days < r.rest_days) continue;
    EXPECT_FALSE(plan(r)) << slots;
  }
}

// ---- stability

std::vector<Promised> promised(const PlacePlan& plan) {
  std::vector<Promised> all;
  for (const auto& one : plan.plan) all.push_back({one.day, one.slot, one.zone, one.spot});
  return all;
}
const Planned* find(const PlacePlan& plan, LocalDay day, std::size_t slot) {
  for (const auto& one : plan.plan) {
    if (one.day == day && one.slot == slot) return &one;
  }
  return nullptr;
}
/// What was used in the first days of a plan, as it was planned.
std::vector<Used> done(const PlacePlan& plan, LocalDay before) {
  std::vector<Used> used;
  for (const auto& one : plan.plan) {
    if (one.day < before) used.push_back({one.day, one.zone, one.spot});
  }
  return used;
}
/// Days and slots that both plans have and that differ.
std::vector<std::pair<LocalDay, std::size_t>> changes(const PlacePlan& before,
                                                      const PlacePlan& after) {
  std::vector<std::pair<LocalDay, std::size_t>> changed;
  for (const auto& one : after.plan) {
    const auto* was = find(before, one.day, one.slot);
    if (was && (was->zone != one.zone || !(was->spot == one.spot))) {
      changed.emplace_back(one.day, one.slot);
    }
  }
  return changed;
}

struct PlacesStability : testing::Test {
  PlaceRequest r = example();
  PlacePlan first = *plan(r);
  LocalDay later = r.from + days{4};

  PlaceRequest replan() const {
    auto again = r;
    again.from = later;
    const auto used = done(first, later);
    again.used.insert(again.used.end(), used.begin(), used.end());
    again.promised = promised(first);
    return again;
  }
};

TEST_F(PlacesStability, AsPlannedNothingChangesAndTheEndGrows) {
  const auto again = plan(replan());
  ASSERT_TRUE(again);
  EXPECT_TRUE(changes(first, *again).empty());
  EXPECT_EQ(again->promises_broken, 0U);
  EXPECT_EQ(std::ranges::count(again->plan, true, &Planned::kept), 24 * 4);
  EXPECT_EQ(again->plan.size(), 28U * 4);
}

TEST_F(PlacesStability, H17_OneMissedChangesNothingAfterIt) {
  auto request = replan();
  request.used.pop_back();  // last night's
  const auto again = plan(request);
  ASSERT_TRUE(again);
  EXPECT_TRUE(changes(first, *again).empty());
}

TEST_F(PlacesStability, H17_OneDoneElsewhereMovesOnlyWhatItMeets) {
  // Where the plan will be in ten days.
  const auto& met = *find(first, r.from + days{14}, 1);
  auto request = replan();
  request.used.back() = {later - days{1}, met.zone, at(met.spot.x.tenths + 30, met.spot.y.tenths)};
  const auto again = plan(request);
  ASSERT_TRUE(again);
  for (const auto& [day, slot] : changes(first, *again)) {
    const auto* was = find(first, day, slot);
    EXPECT_TRUE(same_plane(was->zone, met.zone) &&
                distance(was->spot, request.used.back().spot).tenths < 100)
        << format_iso(day) << " " << slot;
  }
  EXPECT_FALSE(changes(first, *again).empty());
  EXPECT_EQ(again->promises_broken, changes(first, *again).size());
  EXPECT_EQ(again->cautions.back(), places_cautions::promise_broken);
}

TEST_F(PlacesStability, H17_ANewlyBlockedAreaMovesOnlyWhatLiesInIt) {
  auto request = replan();
  request.blocked.push_back({Zone::abdomen_right_lower, at(-800, -700), {300}});
  const auto again = plan(request);
  ASSERT_TRUE(again);
  std::vector<std::pair<LocalDay, std::size_t>> inside;
  for (const auto& one : first.plan) {
    if (one.day >= later && same_plane(one.zone, Zone::abdomen_left_upper) &&
        distance(one.spot, at(-800, -700)).tenths <= 300) {
      inside.emplace_back(one.day, one.slot);
    }
  }
  EXPECT_FALSE(inside.empty());
  EXPECT_EQ(changes(first, *again), inside);
}

TEST_F(PlacesStability, APartThatIsNoLongerAllowedTakesItsPromisesWithIt) {
  auto request = replan();
  std::erase(request.zones, Zone::thigh_left);
  const auto again = plan(request);
  ASSERT_TRUE(again);
  for (const auto& [day, slot] : changes(first, *again)) {
    EXPECT_EQ(find(first, day, slot)->zone, Zone::thigh_left);
  }
  for (const auto& one : again->plan) EXPECT_NE(one.zone, Zone::thigh_left);
}

// Where every spot is needed, promises that would leave somebody without one give way; the plan
// itself is not refused for them.
TEST(PlacesProof, PromisesNeverMakeAPlanImpossible) {
  int broken = 0;
  for (std::uint64_t seed = 1; seed <= 150; ++seed) {
    Chance chance(seed);
    PlaceRequest r = example();
    r.slots.resize(static_cast<std::size_t>(chance.in(1, 3)));
    r.zones = {Zone::arm_left, Zone::buttock_right};
    r.used.clear();
    r.rest_days = chance.in(10, 60);
    r.days = chance.in(20, 90);
    const auto free = plan(r);
    const auto zones = std::to_array({Zone::arm_left, Zone::buttock_right, Zone::thigh_left});
    for (auto i = chance.in(1, 200); i > 0; --i) {
      const auto zone = zones[static_cast<std::size_t>(chance.in(0, 2))];
      const auto spots = lattice(zone, r.body, r.spacing);
      auto spot = spots[static_cast<std::size_t>(
          chance.in(0, static_cast<std::int32_t>(spots.size()) - 1))];
      if (chance.one_in(4)) spot = at(spot.x.tenths + 40, spot.y.tenths - 30);
      r.promised.push_back(
          {r.from + days{chance.in(-3, r.days + 3)},
           static_cast<std::size_t>(chance.in(0, static_cast<std::int32_t>(r.slots.size()) - 1)),
           zone, spot});
    }
    const auto result = plan(r);
    ASSERT_EQ(result.has_value(), free.has_value()) << "seed " << seed;
    if (!result) continue;
    broken += result->promises_broken > 0 ? 1 : 0;
    EXPECT_GE(result->least_rest_days, r.rest_days) << "seed " << seed;
    EXPECT_GE(result->least_spacing.value_or(r.spacing), r.spacing) << "seed " << seed;
  }
  EXPECT_GT(broken, 30);
}

}  // namespace
}  // namespace penstock::places
