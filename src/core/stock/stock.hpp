// The clinic's own stock: what came, of which lot, where it went, and what must be on the shelf
// now; what may be handed out first; and whom a recall has reached. A fold of the clinic's journal:
// records never refuse, so it is total; handing out is a plan and refuses.
//
//   const auto stock = stock::fold(history);
//   if (const auto* lot = stock::first_out(stock, "glargine-100-cartridge", today)) ...
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/journal/journal.hpp"
#include "core/shelf/shelf.hpp"
#include "core/units/lot.hpp"
#include "core/units/units.hpp"

namespace penstock::stock {

namespace codes {
// refused: nothing of it goes to anybody
inline constexpr std::string_view lot_expired = "stock.lot_expired";    // H12 [lot, expires]
inline constexpr std::string_view lot_recalled = "stock.lot_recalled";  // [lot]
// Questions: what the label says is to be looked at first
inline constexpr std::string_view ask_expires_soon =
    "stock.ask_expires_soon";                                             // [lot, expires, days]
inline constexpr std::string_view ask_not_first = "stock.ask_not_first";  // [lot, first, expires]
inline constexpr std::string_view ask_more_than_left =
    "stock.ask_more_than_left";  // [lot, pieces, left]
}  // namespace codes

/// Other numbers that may have been meant by one that nobody has: without the word "lot" or the
/// identifier 10 before it. As compared (lot_key).
std::vector<std::string> lots_meant(std::string_view key);

/// Somebody counted the shelf. Neither it nor the account overwrites the other (H41).
struct Count {
  Id fact;
  When when;
  std::int64_t counted = 0;
  std::int64_t account_left = 0;  ///< what the account had at that moment
  std::int64_t came_since = 0;
  std::int64_t went_since = 0;
  bool agrees() const { return counted == account_left; }
  /// What the count says is there now; never below zero.
  std::int64_t left() const;
  friend bool operator==(const Count&, const Count&) = default;
};

/// Pieces (cartridges, prefilled pens or needles) of one lot of one item. Always:
///   came + back + unexplained = handed_out + destroyed + lost + left + held.
/// What came back is held, never handed out again: nobody knows how warm it was.
struct Lot {
  std::string item;                 ///< the shelf's code
  std::string lot;                  ///< as first written
  std::string key;                  ///< as compared; empty: the carton bore none that could be read
  std::optional<LocalDay> expires;  ///< last day; where deliveries differ, the earlier
  bool expiry_differs = false;
  std::string gtin;
  When since;  ///< the first fact about it
  std::int64_t came = 0;
  std::int64_t back = 0;
  std::int64_t unexplained = 0;  ///< went beyond what was there
  std::int64_t handed_out = 0;
  std::int64_t destroyed = 0;
  std::int64_t lost = 0;
  std::int64_t left = 0;
  std::int64_t held = 0;
  std::optional<Count> count;
  bool recalled = false;

  /// Whether the label still lets it serve on that day.
  bool serves(LocalDay on) const { return !expires || on <= *expires; }
  /// What a plan may count on: of account and count the smaller.
  std::int64_t at_least() const;
  friend bool operator==(const Lot&, const Lot&) = default;
};
/// The law of the account, as one lot keeps it.
bool balanced(const Lot& lot);

/// What came or went, for the list of it.
struct Move {
  Id fact;
  When when;
  std::size_t lot = 0;                   ///< in Stock::lots
  std::optional<journal::StockWay> way;  ///< nothing: a delivery
  std::int32_t pieces = 0;
  std::optional<Id> person;
};

struct Product {
  std::string gtin;
  std::string item;
  std::int32_t pieces = 0;  ///< in one carton
  friend bool operator==(const Product&, const Product&) = default;
};

struct Call {
  Id fact;
  When when;
  journal::RecallCalled said;
};
struct Recall {
  Id fact;
  When when;
  journal::RecallOpened said;
  std::string key;
  std::vector<Call> calls;  ///< by time
  /// The last call to somebody; nullptr: none yet.
  const Call* call_to(Id person) const;
};

struct Stock {
  std::vector<Lot> lots;          ///< by item, then expiry (none last), then what came first
  std::vector<Move> moves;        ///< by time
  std::vector<Product> products;  ///< by number, each as last learnt
  std::vector<Recall> recalls;    ///< by time
  /// By item and number, however it was typed; nullptr: never on this shelf.
  const Lot* lot(std::string_view item, std::string_view lot) const;
  const Product* product(std::string_view gtin) const;
  /// The latest recall of that number that names this item or none; `item` empty: of any item.
  const Recall* recall(std::string_view lot, std::string_view item) const;
};

/// H61: whether the clinic recalled this lot, for this insulin or for every item of the number.
bool is_recalled(const Stock& stock, const shelf::Shelf& shelf, std::string_view insulin,
                 Strength strength, std::string_view lot);

/// Folds the clinic's journal; facts of other kinds are passed over.
Stock fold(const journal::History& history);

/// What leaves the shelf next of an item: the first to expire of those that serve on that day, are
/// not recalled and of which something is left; of two that expire together the one that came
/// first. A lot without a day comes last. nullptr: none.
const Lot* first_out(const Stock& stock, std::string_view item, LocalDay on);

/// Pieces of an item that could still be handed out on that day.
std::int64_t on_shelf(const Stock& stock, std::string_view item, LocalDay on);

/// A piece that is started on its last day serves for nobody's whole in-use period: four weeks, as
/// most labels have it (data/reference/in_use.tsv); the number is our choice.
inline constexpr std::int32_t soon_days = 28;

struct Objection {
  Error error;
  bool is_question = false;
};
/// Whether so many pieces of a lot may be handed out on that day, the gravest first; empty: yes.
std::vector<Objection> may_hand_out(const Stock& stock, std::string_view item, std::string_view lot,
                                    std::int64_t pieces, LocalDay on);

}  // namespace penstock::stock
