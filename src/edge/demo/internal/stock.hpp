// The clinic's own stock behind what the demo's people were given: the same lots, so that a recall
// finds them.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "edge/demo/demo.hpp"

namespace penstock::demo {

/// The clinic opened so many days ago: before anybody was given anything.
int days_before_today(const Setting& setting);

/// The lot that the clinic hands out of an item in that time. The 24 get a new one every six weeks;
/// a crowd is served from a delivery a week, and a large one from several, so that no lot is all
/// that was handed out.
struct StockLot {
  std::string lot;
  LocalDay came{};
  LocalDay expires{};
};
StockLot stock_lot(const Setting& setting, std::string_view cartridge, LocalDay day,
                   std::size_t person);

/// Sees what each person was given, and writes the deliveries, movements, a count, a lot that
/// expired and one that was called back.
class StockWriter {
 public:
  explicit StockWriter(const Setting& setting);
  /// In the order of the people.
  void see(const Journal& person);
  std::vector<journal::Fact> finish();

 private:
  struct Delivery {
    std::string item;
    StockLot lot;
    std::int32_t out = 0;
    std::vector<Id> people;  ///< whom it reached
  };

  void tell(Instant at, journal::Payload payload);
  void hand_out(const journal::Fact& fact, const journal::SuppliesGiven& given);
  void come(const Delivery& delivery);
  void old_lot();
  void recall();

  const Setting& setting_;
  LocalDay first_;
  ZoneRules zone_;
  std::size_t seen_ = 0;
  std::uint64_t next_ = 0;
  std::map<std::string, Delivery> deliveries_;
  std::vector<journal::Fact> facts_;
};

}  // namespace penstock::demo
