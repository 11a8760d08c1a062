#include "edge/demo/internal/stock.hpp"

#include <algorithm>
#include <map>

#include "edge/demo/internal/people.hpp"

namespace penstock::demo {
namespace {

using namespace journal;
using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;

constexpr int days_of_a_lot = 42;
constexpr int serves_days = 430;
constexpr std::string_view recalled_item = "glargine-100-cartridge";
// A product number of the range that no maker is given, for use inside one house.
constexpr std::string_view recalled_gtin = "02012345678903";

std::string two_digits(std::size_t n) {
  return std::string(1, static_cast<char>('0' + n / 10 % 10)) + static_cast<char>('0' + n % 10);
}

class StockWriter {
 public:
  StockWriter(const Setting& setting, LocalDay first)
      : setting_(setting), first_(first), zone_(setting.zone("Europe/Berlin")) {}

  std::vector<Fact> write(std::span<const Journal> people) {
    for (const auto& journal : people) {
      for (const auto& fact : journal.facts) {
        if (const auto* given = std::get_if<SuppliesGiven>(&fact.payload)) hand_out(fact, *given);
      }
    }
    for (const auto& [lot, delivery] : deliveries_) come(delivery);
    learn();
    old_lot();
    recall(people);
    return std::move(facts_);
  }

 private:
  struct Delivery {
    std::string item;
    StockLot lot;
    std::int32_t out = 0;
  };

  void tell(Instant at, Payload payload) {
    Fact fact;
    fact.id = {0x57'0C'00'00'00'00'00'01 + setting_.seed, ++next_};
    fact.journal = setting_.clinic;
    fact.happened = zone_.when(std::min(at, setting_.now));
    fact.sequence = static_cast<std::uint32_t>(100 + next_);
    fact.recorded = fact.happened.at;
    fact.author = nurse;
    fact.source = "bench";
    fact.payload = std::move(payload);
    facts_.push_back(std::move(fact));
  }
  Instant morning(LocalDay day) const { return Instant{day.time_since_epoch()} + hours{7}; }

  // What went home without being one of the clinic's lots came from elsewhere.
  void hand_out(const Fact& fact, const SuppliesGiven& given) {
    for (const auto& cartridge : setting_.shelf->cartridges) {
      const auto lot = stock_lot(*setting_.shelf, cartridge.code, first_, fact.happened.day());
      if (given.cartridges == 0 || given.lot != lot.lot) continue;
      auto& delivery = deliveries_[lot.lot];
      delivery.item = cartridge.code;
      delivery.lot = lot;
      delivery.out += given.cartridges;
      tell(fact.happened.at, StockMoved{cartridge.code, lot.lot, given.cartridges,
                                        StockWay::handed_out, fact.journal, fact.id, ""});
      return;
    }
  }

  // In whole cartons of five, and two cartons more than went out.
  void come(const Delivery& delivery) {
    const bool recalled = delivery.item == recalled_item;
    tell(morning(delivery.lot.came),
         StockCame{delivery.item, (delivery.out + 4) / 5 * 5 + 10, delivery.lot.lot,
                   delivery.lot.expires, std::string(recalled ? recalled_gtin : ""), ""});
  }
  void learn() {
    tell(morning(first_), ProductLearnt{std::string(recalled_gtin), std::string(recalled_item), 5});
  }

  // Put aside too late: one that expired, a count that differs, and two that came back. And
  // needles.
  void old_lot() {
    const auto today = zone_.when(setting_.now).day();
    tell(morning(first_), StockCame{"aspart-100-cartridge", 10, "H9007", today - days{3}, "", ""});
    tell(morning(today - days{2}), StockCounted{"aspart-100-cartridge", "H9007", 9});
    tell(morning(first_), StockCame{"4-mm-32g", 1'000, "N2207", today + days{500}, "", ""});
    if (deliveries_.empty()) return;
    const auto& some = deliveries_.begin()->second;
    tell(morning(today - days{5}),
         StockMoved{some.item, some.lot.lot, 2, StockWay::came_back, std::nullopt, std::nullopt,
                    "Order changed; brought back unopened."});
  }

  // The lot of one insulin that reached most people.
  void recall(std::span<const Journal> people) {
    std::map<std::string, std::vector<Id>> reached;
    for (const auto& journal : people) {
      for (const auto& fact : journal.facts) {
        const auto* given = std::get_if<SuppliesGiven>(&fact.payload);
        const auto delivery = given == nullptr ? deliveries_.end() : deliveries_.find(given->lot);
        if (delivery == deliveries_.end() || delivery->second.item != recalled_item) continue;
        auto& people_of = reached[given->lot];
        if (std::ranges::find(people_of, journal.id) == people_of.end())
          people_of.push_back(journal.id);
      }
    }
    if (reached.empty()) return;
    const auto most =
        std::ranges::max_element(reached, {}, [](const auto& one) { return one.second.size(); });
    const Id recall{0x57'0C'00'00'00'00'00'02, setting_.seed};
    const auto opened = setting_.now - hours{3};
    tell(opened, RecallOpened{recall, most->first, std::string(recalled_item),
                              "the wholesaler’s letter", "Particles seen in some cartridges."});
    const auto& called = most->second;
    if (called.size() > 1) {
      tell(opened + minutes{40},
           RecallCalled{recall, called[0], CallOutcome::replaced, "Fetched five of another lot."});
      tell(opened + minutes{55}, RecallCalled{recall, called[1], CallOutcome::not_reached, ""});
    }
  }

  const Setting& setting_;
  LocalDay first_;
  ZoneRules zone_;
  std::uint64_t next_ = 0;
  std::map<std::string, Delivery> deliveries_;
  std::vector<Fact> facts_;
};

}  // namespace

StockLot stock_lot(const shelf::Shelf& shelf, std::string_view cartridge, LocalDay first,
                   LocalDay day) {
  const auto entry =
      std::ranges::find(shelf.cartridges, cartridge, &shelf::Entry<shelf::Cartridge>::code);
  const auto item = static_cast<std::size_t>(entry - shelf.cartridges.begin());
  const auto turn = std::max(0, static_cast<int>((day - first).count()) / days_of_a_lot);
  const auto came = first + days{turn * days_of_a_lot};
  return {"H" + two_digits(item) + two_digits(static_cast<std::size_t>(turn)), came,
          came + days{serves_days}};
}

std::vector<Fact> stock_facts(const Setting& setting, LocalDay first,
                              std::span<const Journal> people) {
  return StockWriter(setting, first).write(people);
}

}  // namespace penstock::demo
