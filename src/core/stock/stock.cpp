#include "core/stock/stock.hpp"

#include <algorithm>
#include <map>
#include <numeric>
#include <utility>

namespace penstock::stock {
namespace {

using journal::Effective;
using journal::StockWay;

/// Takes up to `pieces` from a pile; what it could not give is the answer.
std::int64_t take(std::int64_t& pile, std::int64_t pieces) {
  const auto taken = std::clamp<std::int64_t>(pile, 0, pieces);
  pile -= taken;
  return pieces - taken;
}

class Fold {
 public:
  explicit Fold(Stock& stock) : out_(stock) {}

  void read(const Effective& fact) {
    effective_ = &fact;
    std::visit(*this, *fact.payload);
  }

  void operator()(const journal::StockCame& came) {
    auto& lot = lot_of(came.item, came.lot);
    note(lot, std::nullopt, came.pieces, std::nullopt);
    lot.came += came.pieces;
    lot.left += came.pieces;
    if (lot.count) lot.count->came_since += came.pieces;
    if (!came.gtin.empty()) lot.gtin = came.gtin;
    if (came.expires && lot.expires && came.expires != lot.expires) lot.expiry_differs = true;
    if (came.expires) lot.expires = std::min(*came.expires, lot.expires.value_or(*came.expires));
  }

  void operator()(const journal::StockMoved& moved) {
    auto& lot = lot_of(moved.item, moved.lot);
    const std::int64_t pieces = moved.pieces;
    const auto before = lot.left;
    switch (moved.way) {
      case StockWay::came_back:
        lot.back += pieces;
        lot.held += pieces;
        break;
      case StockWay::handed_out:
        lot.handed_out += pieces;
        lot.unexplained += take(lot.left, pieces);
        break;
      case StockWay::destroyed:  // what came back goes first: it is what waits for it
        lot.destroyed += pieces;
        lot.unexplained += take(lot.left, take(lot.held, pieces));
        break;
      case StockWay::lost:
        lot.lost += pieces;
        lot.unexplained += take(lot.held, take(lot.left, pieces));
        break;
    }
    // What was handed out lay there, whatever the account had.
    const bool out = moved.way == StockWay::handed_out;
    if (lot.count) lot.count->went_since += out ? pieces : before - lot.left;
    note(lot, moved.way, moved.pieces, moved.person);
  }

  void operator()(const journal::StockCounted& counted) {
    auto& lot = lot_of(counted.item, counted.lot);
    lot.count = Count{id(), effective_->happened, counted.pieces, lot.left, 0, 0};
  }

  void operator()(const journal::ProductLearnt& learnt) {
    products_[learnt.gtin] = {learnt.gtin, learnt.item, learnt.pieces};
  }
  void operator()(const journal::RecallOpened& opened) {
    out_.recalls.push_back({id(), effective_->happened, opened, lot_key(opened.lot), {}});
  }
  void operator()(const journal::RecallCalled& called) {
    calls_.push_back({id(), effective_->happened, called});
  }
  template <class Other>
  void operator()(const Other&) {}

  void finish() {
    for (auto& [gtin, product] : products_) out_.products.push_back(std::move(product));
    // A call may be told earlier than the recall that it is about: clocks differ.
    for (auto& call : calls_) {
      const auto of = std::ranges::find(out_.recalls, call.said.recall,
                                        [](const Recall& recall) { return recall.said.recall; });
      if (of != out_.recalls.end()) of->calls.push_back(std::move(call));
    }
    for (auto& lot : out_.lots) {
      lot.recalled = out_.recall(lot.lot, lot.item) != nullptr;
      INVARIANT(balanced(lot));
    }
    sort();
  }

 private:
  Id id() const { return effective_->fact->id; }
  void note(const Lot& lot, std::optional<StockWay> way, std::int32_t pieces,
            std::optional<Id> person) {
    out_.moves.push_back(
        {id(), effective_->happened, index_.at({lot.item, lot.key}), way, pieces, person});
  }

  Lot& lot_of(const std::string& item, const std::string& lot) {
    const auto [at, is_new] = index_.try_emplace({item, lot_key(lot)}, out_.lots.size());
    if (is_new) {
      out_.lots.emplace_back();
      out_.lots.back().item = item;
      out_.lots.back().lot = lot;
      out_.lots.back().key = at->first.second;
      out_.lots.back().since = effective_->happened;
    }
    return out_.lots[at->second];
  }

  void sort() {
    std::vector<std::size_t> order(out_.lots.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto place = [&](std::size_t at) {
      const auto& lot = out_.lots[at];
      return std::tuple{std::string_view{lot.item}, lot.expires.value_or(LocalDay::max()), at};
    };
    std::ranges::sort(order, {}, place);
    std::vector<Lot> sorted;
    std::vector<std::size_t> moved_to(order.size());
    for (const auto from : order) {
      moved_to[from] = sorted.size();
      sorted.push_back(std::move(out_.lots[from]));
    }
    out_.lots = std::move(sorted);
    for (auto& move : out_.moves) move.lot = moved_to[move.lot];
  }

  Stock& out_;
  const Effective* effective_ = nullptr;
  std::map<std::pair<std::string, std::string>, std::size_t> index_;
  std::map<std::string, Product> products_;
  std::vector<Call> calls_;
};

Error error(std::string_view code, std::vector<Arg> args) {
  return {Kind::refused, std::string(code), std::move(args), ""};
}

}  // namespace

std::vector<std::string> lots_meant(std::string_view key) {
  std::vector<std::string> out;
  for (const auto* word : {"LOT NUMBER", "LOT NO", "LOT", "BATCH", "10"}) {
    const auto before = lot_key(word);
    if (!key.starts_with(before)) continue;
    auto meant = std::string(key.substr(before.size()));
    if (!meant.empty() && std::ranges::find(out, meant) == out.end())
      out.push_back(std::move(meant));
  }
  return out;
}

std::int64_t Count::left() const {
  return std::max<std::int64_t>(0, counted + came_since - went_since);
}

std::int64_t Lot::at_least() const { return count ? std::min(left, count->left()) : left; }

bool balanced(const Lot& lot) {
  return lot.came + lot.back + lot.unexplained ==
             lot.handed_out + lot.destroyed + lot.lost + lot.left + lot.held &&
         lot.left >= 0 && lot.held >= 0 && lot.unexplained >= 0;
}

const Call* Recall::call_to(Id person) const {
  const auto last = std::ranges::find(calls.rbegin(), calls.rend(), person,
                                      [](const Call& call) { return call.said.person; });
  return last == calls.rend() ? nullptr : &*last;
}

const Lot* Stock::lot(std::string_view item, std::string_view lot) const {
  const auto key = lot_key(lot);
  const auto found = std::ranges::find_if(
      lots, [&](const Lot& one) { return one.item == item && one.key == key; });
  return found == lots.end() ? nullptr : &*found;
}

const Product* Stock::product(std::string_view gtin) const {
  const auto found = std::ranges::find(products, gtin, &Product::gtin);
  return found == products.end() ? nullptr : &*found;
}

const Recall* Stock::recall(std::string_view lot, std::string_view item) const {
  const auto found = std::ranges::find_if(recalls.rbegin(), recalls.rend(), [&](const Recall& one) {
    return lot_may_be(lot, one.key) &&
           (item.empty() || one.said.item.empty() || one.said.item == item);
  });
  return found == recalls.rend() ? nullptr : &*found;
}

bool is_recalled(const Stock& stock, const shelf::Shelf& shelf, std::string_view insulin,
                 Strength strength, std::string_view lot) {
  return std::ranges::any_of(stock.recalls, [&](const Recall& recall) {
    if (!lot_may_be(lot, recall.key)) return false;
    const auto* item = shelf.cartridge(recall.said.item);
    if (item == nullptr) return recall.said.item.empty();
    const auto* of = shelf.insulin(item->thing.insulin);
    return of != nullptr && of->thing.name == insulin && of->thing.strength == strength;
  });
}

Stock fold(const journal::History& history) {
  Stock out;
  Fold folding(out);
  for (const auto& fact : history.facts) folding.read(fact);
  folding.finish();
  return out;
}

const Lot* first_out(const Stock& stock, std::string_view item, LocalDay on) {
  // The lots of an item stand in the order in which they expire.
  const auto first = std::ranges::find_if(stock.lots, [&](const Lot& lot) {
    return lot.item == item && lot.serves(on) && !lot.recalled && lot.at_least() > 0;
  });
  return first == stock.lots.end() ? nullptr : &*first;
}

std::int64_t on_shelf(const Stock& stock, std::string_view item, LocalDay on) {
  std::int64_t sum = 0;
  for (const auto& lot : stock.lots) {
    if (lot.item == item && lot.serves(on) && !lot.recalled) sum += lot.at_least();
  }
  return sum;
}

std::vector<Objection> may_hand_out(const Stock& stock, std::string_view item, std::string_view lot,
                                    std::int64_t pieces, LocalDay on) {
  std::vector<Objection> out;
  const auto* found = stock.lot(item, lot);
  const auto name = arg_text("lot", found != nullptr ? found->lot : std::string(lot));
  // Also a lot that never stood on this shelf may be called back.
  if (stock.recall(lot, item) != nullptr)
    out.push_back({error(codes::lot_recalled, {name}), false});
  const auto left = found != nullptr ? found->at_least() : 0;
  if (found != nullptr && found->expires) {
    const auto days = static_cast<std::int64_t>((*found->expires - on).count());
    if (days < 0) {
      out.push_back(
          {error(codes::lot_expired, {name, arg_date("expires", *found->expires)}), false});
    } else if (days < soon_days) {
      out.push_back({error(codes::ask_expires_soon,
                           {name, arg_date("expires", *found->expires), arg_count("days", days)}),
                     true});
    }
  }
  const auto* first = first_out(stock, item, on);
  if (first != nullptr && first != found && first->expires &&
      (found == nullptr || !found->expires || *first->expires < *found->expires)) {
    out.push_back({error(codes::ask_not_first, {name, arg_text("first", first->lot),
                                                arg_date("expires", *first->expires)}),
                   true});
  }
  if (pieces > left) {
    out.push_back({error(codes::ask_more_than_left,
                         {name, arg_count("pieces", pieces), arg_count("left", left)}),
                   true});
  }
  return out;
}

}  // namespace penstock::stock
