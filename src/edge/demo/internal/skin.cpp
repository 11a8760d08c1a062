#include "edge/demo/internal/skin.hpp"

#include <algorithm>
#include <array>
#include <numeric>

#include "edge/demo/demo.hpp"

namespace penstock::demo {
namespace {

using journal::Sex;

constexpr auto frames = std::to_array<Frame>({
    {"HS 04172", Sex::female, 1640, 860, Habit::one_favourite},
    {"HS 04712", Sex::female, 1690, 1010},
    {"HS 05120", Sex::female, 1240, 580},
    {"HS 03987", Sex::male, 1780, 1120},
    {"HS 04455", Sex::male, 1830, 1180, Habit::one_favourite},
    {"HS 03310", Sex::male, 1720, 980},
    {"HS 04031", Sex::female, 1610, 1000},
    {"HS 03744", Sex::male, 1740, 950, Habit::zones_only},
    {"HS 04520", Sex::male, 1800, 0},
    {"HS 04102", Sex::female, 1580, 900},
    {"HS 04801", Sex::female, 1660, 730},
    {"HS 04777", Sex::male, 1850, 900},
    {"HS 04388", Sex::female, 1700, 1060},
    {"HS 03890", Sex::male, 1760, 1020},
    {"HS 04260", Sex::male, 1810, 1130},
    {"HS 04866", Sex::female, 1680, 0},
    {"HS 03655", Sex::male, 1710, 1090, Habit::zones_only},
    {"HS 04611", Sex::female, 1630, 800},
    {"HS 04007", Sex::male, 1770, 1040},
    {"HS 02988", Sex::female, 1550, 760},
    {"HS 04912", Sex::female, 1650, 760},
    {"HS 04499", Sex::male, 1750, 1290},
});

}  // namespace

const Frame* frame_of(std::string_view number) {
  const auto found = std::ranges::find(frames, number, &Frame::number);
  return found == frames.end() ? nullptr : &*found;
}

std::shared_ptr<Lattices> new_lattices() { return std::make_shared<Lattices>(); }

const std::vector<Spot>& Lattices::of(Zone zone, const places::Body& body) {
  const Key key{zone, body.height.tenths, body.waist ? body.waist->tenths : 0};
  const auto [found, fresh] = known_.try_emplace(key);
  if (fresh) found->second = places::lattice(zone, body, TenthsMm{100});
  return found->second;
}

std::optional<Spot> Walk::next(Zone zone) {
  auto [found, fresh] = zones_.try_emplace(zone);
  auto& stretch = found->second;
  if (fresh) {
    stretch.spots = lattices_->of(zone, body_);
    // About a third of the zone away each time.
    stretch.step = std::max<std::size_t>(1, stretch.spots.size() * 3 / 8);
    while (std::gcd(stretch.step, stretch.spots.size()) > 1) ++stretch.step;
  }
  if (stretch.spots.empty()) return std::nullopt;
  stretch.at = (stretch.at + stretch.step) % stretch.spots.size();
  return stretch.spots[stretch.at];
}

}  // namespace penstock::demo
