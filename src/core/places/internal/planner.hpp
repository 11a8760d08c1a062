// One pass over the days: which spot comes when. What exists was settled by counting before.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/places/internal/field.hpp"

namespace penstock::places::internal {

/// A promise that may still be kept, by day and slot.
struct Held {
  std::int32_t day = 0;
  std::size_t slot = 0;
  Zone zone = Zone::abdomen_left_upper;
  Spot spot{};
  bool on_lattice = false;
  bool moving = false;  ///< its slot keeps to no part
};

/// The promises for these days that are still allowed: zone, body, blocked areas, part, what was
/// used, and each other.
std::vector<Held> held_promises(const PlaceRequest& request, const Field& field,
                                const Assignment& assignment);

class Planner {
 public:
  Planner(const PlaceRequest& request, const Field& field, const Assignment& assignment,
          std::vector<Held> held);
  /// Nothing where promises stand in the way that no giving way of single ones removes.
  std::optional<std::vector<Planned>> run();

 private:
  void add_history();
  void hold(std::size_t promise);
  void give_way(std::size_t promise);
  bool plan_slot(std::int32_t day, std::size_t slot);
  bool keep(std::int32_t day, std::size_t slot);
  bool choose(std::int32_t day, std::size_t slot, BodyPart part);
  std::optional<std::size_t> farthest(const ZoneSpots& zone, std::int32_t day);
  bool take_held(std::int32_t day, std::size_t slot, BodyPart part);
  bool can_spare(BodyPart part, std::int32_t day, std::size_t slot) const;
  std::vector<std::size_t> turns(BodyPart part, std::int32_t day) const;
  bool available(std::size_t spot, std::int32_t day) const;
  std::optional<std::int32_t> next_hold(std::size_t spot, std::int32_t day) const;
  void use(Zone zone, Spot spot, std::int32_t day);
  void note(Zone zone, Spot spot, std::int32_t day);
  void record(std::int32_t day, std::size_t slot, std::size_t zone, Spot spot, bool kept);
  template <class Each>
  void near(Zone zone, Spot spot, Each each) const;

  const PlaceRequest& r_;
  const Field& field_;
  const Assignment& assignment_;
  std::vector<Held> held_;
  std::vector<char> broken_;                         // promises that gave way
  std::vector<std::optional<std::size_t>> promise_;  // by day and slot
  std::vector<std::int32_t> free_from_;              // by spot: not before that day
  std::vector<std::vector<std::size_t>> holds_;      // by spot: promises within the spacing
  std::vector<std::int64_t> used_in_;                // by zone: in the rest before and the plan
  std::int32_t back_ = 0;                            // how many days before the first are noted
  std::vector<std::vector<std::int32_t>> nearest_;   // by day, then spot: square to that day's uses
  std::vector<std::int64_t> recent_;                 // work space of `farthest`
  std::vector<Planned> plan_;
};

}  // namespace penstock::places::internal
