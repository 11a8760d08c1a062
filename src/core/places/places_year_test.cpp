// A year of plans on a thousand random bodies and blockings (H17), looked at by a checker of its
// own: plain loops over doubles that share nothing with the planner but its answer.
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <random>
#include <string>

#include "core/places/places.hpp"

namespace penstock::places {
namespace {

using std::chrono::days;

class Chance {
 public:
  explicit Chance(std::uint64_t seed) : engine_(seed) {}
  std::int32_t in(std::int32_t least, std::int32_t most) {
    return least +
           static_cast<std::int32_t>(engine_() % static_cast<std::uint64_t>(most - least + 1));
  }
  bool one_in(std::int32_t n) { return in(1, n) == 1; }
  Spot spot() { return {{in(-1500, 1500)}, {in(-1500, 1500)}}; }

 private:
  std::mt19937_64 engine_;
};

// ---- the checker: millimetres as doubles

struct Mark {
  int day = 0;
  int plane = 0;
  double x = 0, y = 0;
};

int plane(Zone zone) {
  const auto name = std::string(zone_names[static_cast<std::size_t>(zone)]);
  if (name.starts_with("abdomen")) return 0;
  return static_cast<int>(zone) + 100;
}
double mm(TenthsMm length) { return length.tenths / 10.0; }
double apart(const Mark& a, const Mark& b) { return std::hypot(a.x - b.x, a.y - b.y); }

/// What is wrong with where this place lies; empty: nothing. The zones' outermost lines by
/// arithmetic of its own.
std::string misplaced(const PlaceRequest& r, Zone zone, double x, double y) {
  if (std::find(r.zones.begin(), r.zones.end(), zone) == r.zones.end()) return "zone not allowed";
  const double height = r.body.height.tenths;  // in millimetres
  const double waist = r.body.waist ? r.body.waist->tenths : 0.476 * height;
  const auto name = std::string(zone_names[static_cast<std::size_t>(zone)]);
  constexpr double slack = 0.2;  // rounding to tenths of a millimetre
  if (part_of(zone) == BodyPart::abdomen) {
    if (std::hypot(x, y) < mm(r.body.navel_clear)) return "too near the navel";
    if ((x > 0) != (name.find("left") != std::string::npos)) return "on the other side";
    if (y != 0 && (y > 0) != (name.find("upper") != std::string::npos)) return "not its quarter";
    if (std::abs(x) > 0.16 * waist + slack) return "beyond the flank";
    if (y > 0.0643 * height - 10 + slack) return "on the ribs";
    if (y < -(0.0929 * height - 10) - slack) return "on the symphysis";
    return "";
  }
  double half_width = 0.0774 * height / 2, half_height = 0.245 * height / 6;
  if (part_of(zone) == BodyPart::buttock) half_width = half_height = 0.191 * 0.3125 * height / 2;
  if (part_of(zone) == BodyPart::arm) {
    half_width = 0.03 * height / 2;
    half_height = 0.186 * height / 6;
  }
  return std::abs(x) > half_width + slack || std::abs(y) > half_height + slack ? "beyond the zone"
                                                                               : "";
}

/// Empty, or the first thing that a plan breaks.
std::string broken(const PlaceRequest& r, const PlacePlan& plan) {
  if (plan.plan.size() != static_cast<std::size_t>(r.days) * r.slots.size())
    return "not every slot";
  std::vector<Mark> marks;
  for (const auto& used : r.used) {
    marks.push_back({static_cast<int>((used.day - r.from).count()), plane(used.zone),
                     mm(used.spot.x), mm(used.spot.y)});
  }
  const auto before = marks.size();
  for (std::size_t i = 0; i < plan.plan.size(); ++i) {
    const auto& one = plan.plan[i];
    const int day = static_cast<int>((one.day - r.from).count());
    if (day != static_cast<int>(i / r.slots.size()) || one.slot != i % r.slots.size())
      return "order";
    const Mark mark{day, plane(one.zone), mm(one.spot.x), mm(one.spot.y)};
    if (auto wrong = misplaced(r, one.zone, mark.x, mark.y); !wrong.empty()) return wrong;
    for (const auto& circle : r.blocked) {
      const Mark centre{0, plane(circle.zone), mm(circle.centre.x), mm(circle.centre.y)};
      if (centre.plane == mark.plane && apart(centre, mark) <= mm(circle.radius)) return "blocked";
    }
    for (auto j = marks.size(); j-- > 0;) {
      const auto between = std::abs(mark.day - marks[j].day);
      if (j >= before && between >= r.rest_days) break;  // planned ones are in order
      if (between >= r.rest_days || marks[j].plane != mark.plane) continue;
      if (apart(mark, marks[j]) < mm(r.spacing) - 1e-9) return "too close within the rest";
    }
    for (std::size_t s = 0; s < r.slots.size(); ++s) {
      const auto& part = plan.slot_parts[s];
      if (s == one.slot && part && *part != part_of(one.zone)) return "left its part";
      if (s == one.slot && r.slots[s].part && part != r.slots[s].part) return "not where it must";
    }
    marks.push_back(mark);
  }
  return "";
}

// ---- random people

PlaceRequest random_request(Chance& chance) {
  PlaceRequest r;
  r.from = LocalDay{days{20'000 + chance.in(0, 2000)}};
  r.body.height = {chance.in(1000, 2000)};
  if (chance.one_in(2)) {
    r.body.waist = TenthsCm{std::min(2000, r.body.height.tenths * chance.in(40, 80) / 100)};
  }
  r.body.navel_clear = {chance.one_in(3) ? chance.in(100, 700) : 500};
  r.rest_days = chance.one_in(3) ? chance.in(1, 90) : 28;
  r.spacing = {chance.one_in(3) ? chance.in(100, 300) : 100};
  r.turn = chance.one_in(2) ? Turn::each_week : Turn::each_injection;
  for (std::size_t i = 0; i < zone_names.size(); ++i) {
    if (chance.one_in(2)) r.zones.push_back(static_cast<Zone>(i));
  }
  if (r.zones.empty()) r.zones = {Zone::thigh_left, Zone::thigh_right};
  constexpr std::array names{"breakfast", "lunch", "supper", "bedtime", "morning", "x"};
  const auto slots = chance.in(1, 6);
  for (std::int32_t i = 0; i < slots; ++i) {
    r.slots.push_back({names[static_cast<std::size_t>(i)], {}, {}});
    if (chance.one_in(8)) {
      const auto zone = chance.in(0, static_cast<std::int32_t>(r.zones.size()) - 1);
      r.slots.back().part = part_of(r.zones[static_cast<std::size_t>(zone)]);
    }
  }
  for (auto i = chance.in(0, 5); i > 0; --i) {
    r.blocked.push_back({static_cast<Zone>(chance.in(0, 9)), chance.spot(), {chance.in(0, 500)}});
  }
  for (auto i = chance.in(0, 60); i > 0; --i) {
    r.used.push_back(
        {r.from - days{chance.in(1, 60)}, static_cast<Zone>(chance.in(0, 9)), chance.spot()});
  }
  return r;
}

std::int32_t longest(const Error& error) {
  for (const auto& arg : error.args) {
    if (arg.name == "longest") return static_cast<std::int32_t>(arg.number);
  }
  return -1;
}

/// Refused: the rest that is named must do, and one day more must not.
void check_refusal(PlaceRequest r, const Error& error, std::uint64_t seed) {
  if (error.code == places_codes::no_spot) {
    for (const auto zone : r.zones) {
      for (const auto spot : lattice(zone, r.body, r.spacing)) {
        bool off = false;
        for (const auto& circle : r.blocked) {
          off = off || (plane(circle.zone) == plane(zone) &&
                        distance(circle.centre, spot) <= circle.radius);
        }
        ASSERT_TRUE(off) << "seed " << seed;
      }
    }
    return;
  }
  const auto rest = longest(error);
  ASSERT_GE(rest, 0) << error.code << " seed " << seed;
  ASSERT_LT(rest, r.rest_days) << "seed " << seed;
  if (rest > 0) {
    r.rest_days = rest;
    const auto result = plan(r);
    ASSERT_TRUE(result) << "seed " << seed << " rest " << rest;
    ASSERT_EQ(broken(r, *result), "") << "seed " << seed;
  }
  r.rest_days = rest + 1;
  ASSERT_FALSE(plan(r)) << "seed " << seed << " rest " << rest + 1;
}

/// A year in one plan.
void whole_year(PlaceRequest r, std::uint64_t seed, int& planned) {
  r.days = 365;
  const auto result = plan(r);
  if (!result) return check_refusal(r, result.error(), seed);
  ++planned;
  ASSERT_EQ(broken(r, *result), "") << "seed " << seed;
}

/// A year in thirteen plans: each is fed with what really happened, which is not always what was
/// planned: missed, done elsewhere, and areas that are blocked and open again.
void plan_by_plan(PlaceRequest r, std::uint64_t seed, Chance& chance, int& planned) {
  r.days = 28;
  for (int month = 0; month < 13; ++month) {
    const auto result = plan(r);
    if (!result) return check_refusal(r, result.error(), seed);
    ++planned;
    ASSERT_EQ(broken(r, *result), "") << "seed " << seed << " month " << month;
    // The next plan is made some days before this one ends, and knows what was promised.
    const auto replanned = r.from + days{chance.in(7, 28)};
    r.promised.clear();
    for (const auto& one : result->plan) {
      if (one.day >= replanned) {
        r.promised.push_back({one.day, one.slot, one.zone, one.spot});
      } else if (!chance.one_in(12)) {
        const bool elsewhere = chance.one_in(15);
        r.used.push_back({one.day, one.zone, elsewhere ? chance.spot() : one.spot});
      }
    }
    if (chance.one_in(4)) {
      r.blocked.push_back({r.zones.front(), chance.spot(), {chance.in(50, 300)}});
    }
    if (chance.one_in(4) && !r.blocked.empty()) r.blocked.pop_back();
    r.from = replanned;
  }
}

class H17_AYearOfPlans : public testing::TestWithParam<int> {};

TEST_P(H17_AYearOfPlans, OnRandomBodiesAndBlockingsNoSpotIsMetBeforeItsRestNorAnyBlockedArea) {
  int planned = 0;
  constexpr std::uint64_t people = 125;
  const auto first = static_cast<std::uint64_t>(GetParam()) * people;
  for (auto seed = first; seed < first + people; ++seed) {
    Chance chance(seed);
    const auto request = random_request(chance);
    if (seed % 2 == 0) {
      whole_year(request, seed, planned);
    } else {
      plan_by_plan(request, seed, chance, planned);
    }
    if (HasFatalFailure()) return;
  }
  EXPECT_GT(planned, 300);  // the rest were refused, and the refusals checked
}

INSTANTIATE_TEST_SUITE_P(Places, H17_AYearOfPlans, testing::Range(0, 8));

// The issue's own: 28 days, four a day, abdomen and thighs, 28 days' rest, 1 cm.
TEST(PlacesYear, H17_TheContractsExampleIsPlannedAsItSays) {
  const auto r = example();
  const auto result = plan(r);
  ASSERT_TRUE(result);
  EXPECT_EQ(broken(r, *result), "");
  EXPECT_GE(result->least_spacing->tenths, 100);
  EXPECT_GE(result->least_rest_days, 28);
}

// A checker that finds nothing proves nothing: it must see each kind of fault.
TEST(PlacesYear, TheCheckerSeesFaults) {
  const auto r = example();
  const auto good = *plan(r);
  const auto with = [&](auto change) {
    auto bad = good;
    change(bad.plan);
    return broken(r, bad);
  };
  EXPECT_EQ(with([](auto& p) { p.pop_back(); }), "not every slot");
  EXPECT_EQ(with([](auto& p) { std::swap(p[0], p[1]); }), "order");
  EXPECT_EQ(with([](auto& p) { p[4].spot = p[0].spot, p[4].zone = p[0].zone; }),
            "too close within the rest");
  EXPECT_EQ(with([](auto& p) { p[3].zone = Zone::thigh_left, p[3].spot = {{100}, {110}}; }),
            "too close within the rest");
  EXPECT_EQ(
      with([](auto& p) { p[0].zone = Zone::abdomen_left_lower, p[0].spot = {{700}, {-600}}; }),
      "blocked");
  EXPECT_EQ(with([](auto& p) { p[0].zone = Zone::abdomen_left_upper, p[0].spot = {{400}, {10}}; }),
            "too near the navel");
  EXPECT_EQ(with([](auto& p) { p[0].zone = Zone::arm_left; }), "zone not allowed");
  EXPECT_EQ(with([](auto& p) { p[3].zone = Zone::abdomen_left_upper, p[3].spot = {{900}, {700}}; }),
            "left its part");
}

}  // namespace
}  // namespace penstock::places
