// Which single change brings the tip back into fat.
//
// The fault is the chance of muscle; it is the chance of skin where that one is above `chance_most`
// and not below the chance of muscle (a short needle held flat).
//   fault muscle: a shorter needle, a lifted fold where somebody can, 45 degrees, another zone
//   fault skin:   straight in (or 45 degrees), a longer needle, another zone; a fold does not
//                 thicken skin
// A change counts when
//   - it lowers the fault by `chance_least` or more: less cannot be told apart;
//   - it does not bring the other chance above `chance_most`, nor above what it is now if that is
//     more already;
//   - it lowers both together by `chance_least` or more: what puts as many tips into skin as it
//     takes out of muscle is no gain.
// The largest fall is best. Falls within `chance_least` of it are ties, and the change that asks
// least of a person goes first: in the order above; for the same kind what leaves least in muscle
// and skin together, and where that is a tie, too, the shorter needle. Of the longer needles only
// the best is offered.
// A zone is offered where these people were measured, with the fold as it is; never the arm with a
// fold, which a person hardly lifts there alone (Z008), and none beside an own measurement, which
// says nothing about other zones.
#include <algorithm>
#include <cmath>

#include "core/reach/internal/model.hpp"

namespace penstock::reach {
namespace {

enum class Fault : std::uint8_t { muscle, skin };

/// Where the change stands among ties.
int place_of(Change change, Fault fault) {
  if (fault == Fault::skin && change == Change::angle) return -1;
  return static_cast<int>(change);
}

class Finder {
 public:
  Finder(const ReachRequest& request, const Tissue& tissue, double muscle, double skin)
      : request_(request), tissue_(tissue), muscle_(muscle), skin_(skin) {
    if (skin > chance_most && skin >= muscle) fault_ = Fault::skin;
  }

  std::vector<Better> found() && {
    found_.reserve(needle_lengths.size() + 4);
    needles();
    if (fault_ == Fault::muscle && !request_.fold && request_.can_fold) {
      auto change = now(Change::fold);
      change.fold = true;
      consider(change, tissue_);
    }
    angles();
    if (!request_.measured) zones();
    sort();
    if (fault_ == Fault::skin) keep_one_needle();
    return std::move(found_);
  }

 private:
  Better now(Change change) const {
    return {change, request_.zone, request_.needle, request_.angle_deg, request_.fold, 0, 0};
  }
  void needles() {
    for (const auto length : needle_lengths) {
      const bool wanted =
          fault_ == Fault::muscle ? length < request_.needle : length > request_.needle;
      if (!wanted) continue;
      auto change = now(Change::needle);
      change.needle = length;
      consider(change, tissue_);
    }
  }
  /// The two angles that are taught: flatter against muscle, steeper against skin.
  void angles() {
    for (const std::int32_t wanted : {45, 90}) {
      if (fault_ == Fault::muscle ? wanted >= request_.angle_deg : wanted <= request_.angle_deg) {
        continue;
      }
      auto change = now(Change::angle);
      change.angle_deg = wanted;
      consider(change, tissue_);
    }
  }
  void zones() {
    for (const auto zone : zones_of(request_.people)) {
      if (zone == request_.zone || (zone == BodyPart::arm && request_.fold)) continue;
      const auto there = tissue_of(request_, zone);
      INVARIANT(there.has_value());
      auto change = now(Change::zone);
      change.zone = zone;
      consider(change, *there);
    }
  }

  static double together(const Better& b) { return b.muscle_chance + b.skin_chance; }
  double fault(const Better& b) const {
    return fault_ == Fault::muscle ? b.muscle_chance : b.skin_chance;
  }
  void consider(Better change, const Tissue& tissue) {
    const auto technique =
        technique_of(change.needle, change.angle_deg, change.fold, request_.pressed_percent);
    const bool of_muscle = fault_ == Fault::muscle;
    const double fault_now = of_muscle ? muscle_ : skin_, other_now = of_muscle ? skin_ : muscle_;
    double& fault = of_muscle ? change.muscle_chance : change.skin_chance;
    double& other = of_muscle ? change.skin_chance : change.muscle_chance;
    fault = of_muscle ? muscle_chance(tissue, technique) : skin_chance(tissue, technique);
    if (fault_now - fault < chance_least) return;
    other = of_muscle ? skin_chance(tissue, technique) : muscle_chance(tissue, technique);
    if (other > std::max(chance_most, other_now)) return;
    if (muscle_ + skin_ - together(change) < chance_least) return;
    found_.push_back(change);
  }

  /// Best first, one after the other: "within chance_least of the best" is no order of pairs.
  void sort() {
    const auto fault_of = [this](const Better& b) { return fault(b); };
    for (auto from = found_.begin(); from != found_.end(); ++from) {
      const double least =
          fault_of(*std::min_element(from, found_.end(), [&](const Better& a, const Better& b) {
            return fault_of(a) < fault_of(b);
          }));
      auto best = found_.end();
      for (auto one = from; one != found_.end(); ++one) {
        if (fault_of(*one) >= least + chance_least) continue;
        if (best == found_.end() || goes_before(*one, *best)) best = one;
      }
      std::rotate(from, best, best + 1);
    }
  }
  void keep_one_needle() {
    const auto is_needle = [](const Better& b) { return b.change == Change::needle; };
    const auto first = std::ranges::find_if(found_, is_needle);
    if (first == found_.end()) return;
    found_.erase(std::remove_if(first + 1, found_.end(), is_needle), found_.end());
  }
  bool goes_before(const Better& a, const Better& b) const {
    const int place_a = place_of(a.change, fault_), place_b = place_of(b.change, fault_);
    if (place_a != place_b) return place_a < place_b;
    const double apart = together(a) - together(b);
    if (std::abs(apart) < chance_least && a.needle != b.needle) return a.needle < b.needle;
    return apart < 0;
  }

  const ReachRequest& request_;
  const Tissue& tissue_;
  double muscle_;
  double skin_;
  Fault fault_ = Fault::muscle;
  std::vector<Better> found_;
};

}  // namespace

std::vector<Better> changes_of(const ReachRequest& request, const Tissue& tissue, double muscle,
                               double skin) {
  return Finder(request, tissue, muscle, skin).found();
}

}  // namespace penstock::reach
