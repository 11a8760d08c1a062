#include "edge/demo/internal/stock.hpp"

#include <algorithm>

#include "edge/demo/internal/crowd.hpp"
#include "edge/demo/internal/people.hpp"

namespace penstock::demo {
namespace {

using namespace journal;
using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;

constexpr int serves_days = 430;
constexpr std::string_view recalled_item = "glargine-100-cartridge";
// A product number of the range that no maker is given, for use inside one house.
constexpr std::string_view recalled_gtin = "02012345678903";

constexpr int days_of_a_lot = 42;
constexpr int days_of_a_crowds_lot = 7;
constexpr std::size_t people_of_a_lot = 2'500;  // whom one delivery a week and item is for

std::string digits(std::size_t n, int places) {
  std::string text;
  for (; places > 0; --places, n /= 10) text.insert(text.begin(), static_cast<char>('0' + n % 10));
  return text;
}

LocalDay first_day(const Setting& setting) {
  return setting.zone("Europe/Berlin").when(setting.now).day() - days{days_before_today(setting)};
}

Instant morning(LocalDay day) { return Instant{day.time_since_epoch()} + hours{7}; }

}  // namespace

int days_before_today(const Setting& setting) {
  return history_days + 1 + (setting.people > people_count ? days_between_visits : 0);
}

StockLot stock_lot(const Setting& setting, std::string_view cartridge, LocalDay day,
                   std::size_t person) {
  const auto& cartridges = setting.shelf->cartridges;
  const auto entry =
      std::ranges::find(cartridges, cartridge, &shelf::Entry<shelf::Cartridge>::code);
  const auto item = static_cast<std::size_t>(entry - cartridges.begin());
  const bool crowd = person >= people_count;
  const auto first = setting.zone("Europe/Berlin").when(setting.now).day() -
                     days{crowd ? days_before_today(setting) : history_days + 1};
  const int lasts = crowd ? days_of_a_crowds_lot : days_of_a_lot;
  const auto turn = std::max(0, static_cast<int>((day - first).count()) / lasts);
  const auto came = first + days{turn * lasts};
  const auto code = digits(item, 2) + digits(static_cast<std::size_t>(turn), 2);
  if (!crowd) return {"H" + code, came, came + days{serves_days}};
  return {"K" + code + "-" + digits(person / people_of_a_lot, 2), came, came + days{serves_days}};
}

StockWriter::StockWriter(const Setting& setting)
    : setting_(setting), first_(first_day(setting)), zone_(setting.zone("Europe/Berlin")) {}

void StockWriter::see(const Journal& person) {
  for (const auto& fact : person.facts) {
    if (const auto* given = std::get_if<SuppliesGiven>(&fact.payload)) hand_out(fact, *given);
  }
  ++seen_;
}

std::vector<Fact> StockWriter::finish() {
  for (const auto& [lot, delivery] : deliveries_) come(delivery);
  tell(morning(first_), ProductLearnt{std::string(recalled_gtin), std::string(recalled_item), 5});
  old_lot();
  recall();
  return std::move(facts_);
}

void StockWriter::tell(Instant at, Payload payload) {
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

// What went home without being one of the clinic's lots came from elsewhere.
void StockWriter::hand_out(const Fact& fact, const SuppliesGiven& given) {
  for (const auto& cartridge : setting_.shelf->cartridges) {
    const auto lot = stock_lot(setting_, cartridge.code, fact.happened.day(), seen_);
    if (given.cartridges == 0 || given.lot != lot.lot) continue;
    auto& delivery = deliveries_[lot.lot];
    delivery.item = cartridge.code;
    delivery.lot = lot;
    delivery.out += given.cartridges;
    if (delivery.people.empty() || delivery.people.back() != fact.journal)
      delivery.people.push_back(fact.journal);
    tell(fact.happened.at, StockMoved{cartridge.code, lot.lot, given.cartridges,
                                      StockWay::handed_out, fact.journal, fact.id, ""});
    return;
  }
}

// In whole cartons of five, and two cartons more than went out.
void StockWriter::come(const Delivery& delivery) {
  const bool recalled = delivery.item == recalled_item;
  tell(morning(delivery.lot.came),
       StockCame{delivery.item, (delivery.out + 4) / 5 * 5 + 10, delivery.lot.lot,
                 delivery.lot.expires, std::string(recalled ? recalled_gtin : ""), ""});
}

// Put aside too late: one that expired, a count that differs, and two that came back. And needles.
void StockWriter::old_lot() {
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
void StockWriter::recall() {
  const Delivery* most = nullptr;
  for (const auto& [lot, delivery] : deliveries_) {
    if (delivery.item != recalled_item) continue;
    if (most == nullptr || delivery.people.size() > most->people.size()) most = &delivery;
  }
  if (most == nullptr) return;
  const Id recall{0x57'0C'00'00'00'00'00'02, setting_.seed};
  const auto opened = setting_.now - hours{3};
  tell(opened, RecallOpened{recall, most->lot.lot, std::string(recalled_item),
                            "the wholesaler’s letter", "Particles seen in some cartridges."});
  const auto& called = most->people;
  if (called.size() > 1) {
    tell(opened + minutes{40},
         RecallCalled{recall, called[0], CallOutcome::replaced, "Fetched five of another lot."});
    tell(opened + minutes{55}, RecallCalled{recall, called[1], CallOutcome::not_reached, ""});
  }
}

}  // namespace penstock::demo
