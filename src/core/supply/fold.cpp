#include <algorithm>
#include <array>
#include <iterator>
#include <unordered_map>

#include "core/supply/supply.hpp"

namespace penstock::supply {
namespace {

using journal::Effective;

class Fold {
 public:
  explicit Fold(Supply& supply) : out_(supply) {}

  void read(const Effective& fact) {
    effective_ = &fact;
    std::visit(*this, *fact.payload);
  }

  void operator()(const journal::SupplyRulesSet& rules) {
    out_.rules = rules;
    out_.rules_set = effective_->happened;
  }
  void operator()(const journal::SuppliesAsked& asked) {
    out_.asked.push_back({id(), effective_->happened, asked});
  }
  void operator()(const journal::SuppliesGiven& given) {
    const Kind kind{given.insulin, given.strength};
    if (given.cartridges > 0) {
      out_.dispensed.push_back({id(), effective_->happened, kind, given.cartridges, given.each});
    }
    for (auto& asked : out_.asked) {
      if (given.cartridges > 0 && kind == Kind{asked.said.insulin, asked.said.strength})
        asked.came = true;
      if (given.needles > 0) asked.needles_came = true;
    }
  }
  void operator()(const journal::NeedlesGiven&) {
    for (auto& asked : out_.asked) asked.needles_came = true;
  }
  void operator()(const journal::TripPlanned& trip) {
    out_.trips.push_back({id(), effective_->happened, effective_->fact->recorded, trip});
  }
  void operator()(const journal::PenTested& test) {
    out_.tests.push_back({id(), effective_->happened, test});
  }
  void operator()(const journal::DifferenceTalked& talk) {
    out_.talks.push_back({id(), effective_->happened, talk});
  }

  // ---- the sharps box: where a needle went that is off
  void operator()(const journal::SharpsBoxGiven& given) {
    const auto known = std::ranges::find(out_.boxes, given.box, &Box::box);
    if (known != out_.boxes.end()) return;  // a box is given once
    out_.boxes.push_back({given.box, effective_->happened, given.holds_needles, 0, std::nullopt});
  }
  void operator()(const journal::SharpsBoxClosed& closed) {
    const auto found = std::ranges::find(out_.boxes, closed.box, &Box::box);
    if (found != out_.boxes.end() && !found->closed) found->closed = effective_->happened;
  }
  void operator()(const journal::CartridgeLoaded& loaded) { pens_[loaded.cartridge] = loaded.pen; }
  void operator()(const journal::NeedleOn& on) {
    // One that was on and that nobody took off by the record is off now.
    if (std::exchange(on_[on.pen], true)) into_box();
  }
  void operator()(const journal::NeedleOff& off) {
    on_[off.pen] = false;
    if (off.disposal != journal::Disposal::elsewhere) into_box();
  }
  void operator()(const journal::Injected& injected) {
    const auto pen = pens_.find(injected.cartridge);
    if (pen == pens_.end() || !on_[pen->second]) into_box();  // nobody recorded its needle
  }
  template <class Other>
  void operator()(const Other&) {}

 private:
  Id id() const { return effective_->fact->id; }
  void into_box() {
    for (auto& box : out_.boxes) {
      if (box.closed) continue;
      ++box.needles;
      return;
    }
  }

  Supply& out_;
  const Effective* effective_ = nullptr;
  std::unordered_map<Id, Id, IdHash> pens_;  // of each cartridge
  std::unordered_map<Id, bool, IdHash> on_;  // a needle, by pen
};

}  // namespace

const Box* Supply::box() const {
  const auto found = std::ranges::find_if(boxes, [](const Box& box) { return !box.closed; });
  return found == boxes.end() ? nullptr : &*found;
}

Supply fold(const journal::History& history) {
  Supply supply;
  Fold fold(supply);
  for (const auto& fact : history.facts) fold.read(fact);
  std::ranges::stable_sort(supply.trips, {}, [](const Trip& trip) { return trip.said.leaves; });
  return supply;
}

LocalDay last_expected(const Asked& asked, const journal::SupplyRulesSet& rules) {
  if (asked.said.expected) return *asked.said.expected;
  // Open days: a week has five of them, so many days more are allowed for.
  const auto days = std::max(rules.lead_days, rules.late_days);
  return asked.when.day() + std::chrono::days{days + 2 * (days / 5 + 1)};
}

const Asked* awaited(const Supply& supply, const Kind& kind, LocalDay on) {
  const Asked* found = nullptr;
  for (const auto& asked : supply.asked) {
    const bool about =
        asked.said.boxes > 0 && Kind{asked.said.insulin, asked.said.strength} == kind;
    if (about && !asked.came && last_expected(asked, supply.rules) >= on) found = &asked;
  }
  return found;
}

const Asked* needles_awaited(const Supply& supply, LocalDay on) {
  const Asked* found = nullptr;
  for (const auto& asked : supply.asked) {
    if (asked.said.needle_boxes > 0 && !asked.needles_came &&
        last_expected(asked, supply.rules) >= on)
      found = &asked;
  }
  return found;
}

// ---- closed days

journal::Weekday weekday_of(LocalDay day) {
  return static_cast<journal::Weekday>(std::chrono::weekday{day}.iso_encoding() - 1);
}

bool ClosedDays::is_closed(LocalDay day) const {
  return std::ranges::find(weekdays, weekday_of(day)) != weekdays.end() ||
         std::ranges::find(dates, day) != dates.end();
}

std::vector<LocalDay> ClosedDays::from(LocalDay first, std::int32_t days) const {
  constexpr std::size_t week = 7;
  std::array<bool, week> closed{};
  for (const auto weekday : weekdays) closed[static_cast<std::size_t>(weekday)] = true;
  const auto begins = static_cast<std::size_t>(weekday_of(first));
  const auto after = first + std::chrono::days{days};
  std::vector<LocalDay> out;
  if (weekdays.empty() && dates.empty()) return out;
  out.reserve(static_cast<std::size_t>(std::max(days, 0)) * weekdays.size() / week + week);
  for (std::int32_t i = 0; i < days; ++i) {
    if (closed[(begins + static_cast<std::size_t>(i)) % week])
      out.push_back(first + std::chrono::days{i});
  }
  if (dates.empty()) return out;
  std::ranges::copy_if(dates, std::back_inserter(out),
                       [&](LocalDay day) { return first <= day && day < after; });
  std::ranges::sort(out);
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

}  // namespace penstock::supply
