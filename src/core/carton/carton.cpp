#include "core/carton/carton.hpp"

#include <algorithm>
#include <utility>

namespace penstock::carton {
namespace {

class Judge {
 public:
  Judge(const Question& asked, const stock::Stock& stock) : asked_(asked), stock_(stock) {
    // Cartons without a lot are not one lot: nothing on record is theirs.
    if (!lot_key(asked.carton.lot).empty()) on_record_ = stock.lot(asked.item, asked.carton.lot);
    last_day_ = asked.carton.expires;
    if (on_record_ != nullptr && on_record_->expires)
      last_day_ = std::min(*on_record_->expires, last_day_.value_or(LocalDay::max()));
  }

  std::vector<Finding> judge() {
    days();
    unclear();
    order();
    record();
    return std::move(out_);
  }

 private:
  void find(Remark remark, Weight weight, std::vector<Arg> args = {}) {
    out_.push_back({remark, weight, std::move(args)});
  }
  std::vector<Arg> lot_and_day(LocalDay day) const {
    return {arg_text("lot", asked_.carton.lot), arg_date("expires", day)};
  }

  void days() {
    if (last_day_ && *last_day_ < asked_.today)
      find(Remark::expired, Weight::stop, lot_and_day(*last_day_));
    if (stock_.recall(asked_.carton.lot, asked_.item) != nullptr) {
      find(Remark::recalled, Weight::stop, {arg_text("lot", asked_.carton.lot)});
      return;
    }
    for (const auto& lot : lots_it_may_be(asked_, stock_)) {
      if (stock_.recall(lot, asked_.item) == nullptr) continue;
      find(Remark::recalled, Weight::stop, {arg_text("lot", lot)});
      return;
    }
  }

  void unclear() {
    const auto may_be = lots_it_may_be(asked_, stock_);
    if (may_be.empty()) return;
    const auto& carton = asked_.carton;
    find(Remark::lot_unclear, Weight::ask,
         {arg_text("read", carton.lot.empty() ? carton.serial : carton.lot),
          arg_text("lot", may_be.front())});
  }

  void order() {
    if (!asked_.product) {
      find(Remark::product_unknown, Weight::ask, {arg_text("gtin", asked_.carton.gtin)});
      return;
    }
    match();
    // What it is was said, and the carton does not say the same: somebody has to look.
    if (asked_.carton.gtin.empty()) find(Remark::no_product, Weight::ask);
  }
  void match() {
    if (!asked_.order || asked_.product->name.empty()) return;
    bool named = false;
    for (const auto& ordered : *asked_.order) {
      if (ordered.name != asked_.product->name) continue;
      if (ordered.strength == asked_.product->strength) return;
      named = true;
    }
    const std::vector<Arg> args{arg_text("insulin", asked_.product->name),
                                arg_strength("strength", asked_.product->strength)};
    if (named) {
      find(Remark::other_strength, Weight::ask, args);
    } else {
      find(Remark::other_insulin, Weight::ask, args);
    }
  }

  void record() {
    const auto& carton = asked_.carton;
    const auto* lot = on_record_;
    if (lot != nullptr && lot->expires && carton.expires && *lot->expires != *carton.expires)
      find(Remark::expiry_differs, Weight::ask,
           {arg_text("lot", carton.lot), arg_date("expires", *carton.expires),
            arg_date("recorded", *lot->expires)});
    made(carton);
    if (carton.lot.empty()) find(Remark::no_lot, Weight::ask);
    if (!carton.expires) find(Remark::no_expiry, Weight::ask);
    if (last_day_ && *last_day_ >= asked_.today) {
      const auto left = static_cast<std::int64_t>((*last_day_ - asked_.today).count());
      if (left < stock::soon_days) {
        find(Remark::expires_soon, Weight::ask,
             {arg_date("expires", *last_day_), arg_count("days", left)});
      }
    }
    const auto* first = stock::first_out(stock_, asked_.item, asked_.today);
    if (first != nullptr && first->key != lot_key(carton.lot) && first->expires &&
        (!last_day_ || *first->expires < *last_day_))
      find(Remark::another_is_first, Weight::note,
           {arg_text("first", first->lot), arg_date("expires", *first->expires)});
  }

  void made(const Carton& carton) {
    if (carton.made && carton.expires && *carton.made > *carton.expires) {
      find(Remark::made_after, Weight::ask,
           {arg_date("made", *carton.made), arg_date("expires", *carton.expires)});
    }
    if (carton.made && *carton.made > asked_.today)
      find(Remark::made_ahead, Weight::ask, {arg_date("made", *carton.made)});
    const std::chrono::year_month_day today{asked_.today};
    const auto far = (today + expiry_years_most).year() / today.month() / std::chrono::last;
    if (carton.expires && *carton.expires > LocalDay{std::chrono::local_days{far}})
      find(Remark::expiry_far, Weight::ask, {arg_date("expires", *carton.expires)});
  }

  const Question& asked_;
  const stock::Stock& stock_;
  const stock::Lot* on_record_ = nullptr;
  std::optional<LocalDay> last_day_;  ///< of the code's and the record's day the earlier
  std::vector<Finding> out_;
};

}  // namespace

std::vector<std::string> lots_it_may_be(const Question& asked, const stock::Stock& stock) {
  const auto known = [&](const std::string& lot) {
    if (lot_key(lot).empty()) return false;
    return stock.lot(asked.item, lot) != nullptr || stock.recall(lot, asked.item) != nullptr;
  };
  // The whole of it is a lot that stands on this shelf: it was read rightly.
  if (known(asked.carton.lot)) return {};
  std::vector<std::string> out, others;
  for (const auto& reading : asked.carton.may_be) {
    if (reading.lot.empty() || reading.lot == asked.carton.lot) continue;
    if (known(reading.lot)) {
      out.push_back(reading.lot);
    } else if (reading.likely) {
      others.push_back(reading.lot);
    }
  }
  out.insert(out.end(), others.begin(), others.end());
  return out;
}

std::vector<Finding> judge(const Question& asked, const stock::Stock& stock) {
  return Judge(asked, stock).judge();
}

Weight weight_of(const std::vector<Finding>& findings) {
  Weight heaviest = Weight::note;
  for (const auto& one : findings) heaviest = std::max(heaviest, one.weight);
  return heaviest;
}

}  // namespace penstock::carton
