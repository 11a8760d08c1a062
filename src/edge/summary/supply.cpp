#include <algorithm>
#include <charconv>
#include <concepts>

#include "core/cover/cover.hpp"
#include "edge/summary/summary.hpp"

namespace penstock::summary {
namespace {

using std::chrono::days;

// Writes and reads the same list of fields, so that the two cannot drift apart.
class Out {
 public:
  std::string text;

  template <std::integral T>
  void operator()(T& value) {
    text += std::to_string(static_cast<std::int64_t>(value)) + ' ';
  }
  template <class E>
    requires std::is_enum_v<E>
  void operator()(E& value) {
    auto number = static_cast<std::int64_t>(value);
    (*this)(number);
  }
  void operator()(Units& value) {
    auto number = value.hundredths();
    (*this)(number);
  }
  void operator()(LocalDay& value) {
    auto number = value.time_since_epoch().count();
    (*this)(number);
  }
  void operator()(TenthsMm& value) { (*this)(value.tenths); }
  void operator()(std::string& value) {
    auto size = value.size();
    (*this)(size);
    text += value + ' ';
  }
  template <class T>
  void operator()(std::optional<T>& value) {
    bool there = value.has_value();
    (*this)(there);
    if (there) (*this)(*value);
  }
  template <class T>
  void operator()(std::vector<T>& values, const T& /*blank*/) {
    auto size = values.size();
    (*this)(size);
    for (auto& value : values) (*this)(value);
  }
  template <class T>
    requires requires(Out& out, T& value) { list(out, value); }
  void operator()(T& value) {
    list(*this, value);
  }
};

class In {
 public:
  explicit In(std::string_view text) : rest_(text) {}
  bool good() const { return good_ && rest_.empty(); }

  template <std::integral T>
  void operator()(T& value) {
    value = static_cast<T>(number());
  }
  template <class E>
    requires std::is_enum_v<E>
  void operator()(E& value) {
    value = static_cast<E>(number());
  }
  void operator()(Units& value) {
    value = Units::from_hundredths(number()).value_or(Units::zero());
  }
  void operator()(LocalDay& value) { value = LocalDay{days{static_cast<int>(number())}}; }
  void operator()(TenthsMm& value) { (*this)(value.tenths); }
  void operator()(std::string& value) {
    const auto size = static_cast<std::size_t>(number());
    if (!good_ || size >= rest_.size()) return fail();
    value.assign(rest_.substr(0, size));
    rest_.remove_prefix(size + 1);
  }
  template <class T>
  void operator()(std::optional<T>& value) {
    bool there = false;
    (*this)(there);
    if (!there) return;
    if constexpr (std::same_as<T, Units>) {
      (*this)(value.emplace(Units::zero()));
    } else {
      (*this)(value.emplace());
    }
  }
  template <class T>
  void operator()(std::vector<T>& values, const T& blank) {
    const auto size = number();
    // Every element takes two bytes or more.
    if (!good_ || size < 0 || static_cast<std::size_t>(size) > rest_.size()) return fail();
    values.assign(static_cast<std::size_t>(size), blank);
    for (auto& value : values) (*this)(value);
  }
  template <class T>
    requires requires(In& in, T& value) { list(in, value); }
  void operator()(T& value) {
    list(*this, value);
  }

 private:
  void fail() { good_ = false; }
  std::int64_t number() {
    std::int64_t value = 0;
    const auto [end, error] = std::from_chars(rest_.data(), rest_.data() + rest_.size(), value);
    const auto used = static_cast<std::size_t>(end - rest_.data());
    if (error != std::errc{} || used >= rest_.size() || *end != ' ') {
      fail();
      return 0;
    }
    rest_.remove_prefix(used + 1);
    return value;
  }
  std::string_view rest_;
  bool good_ = true;
};

template <class V>
void list(V& visit, cover::Open& open) {
  visit(open.left);
  visit(open.days_in_use);
  visit(open.is_new);
  visit(open.expires);
}
template <class V>
void list(V& visit, cover::Sealed& sealed) {
  visit(sealed.cartridges);
  visit(sealed.expires);
}
template <class V>
void list(V& visit, cover::Change& change) {
  visit(change.from);
  visit(change.doses, Units::zero());
}
template <class V>
void list(V& visit, cover::Line& line) {
  visit(line.doses, Units::zero());
  visit(line.changes, cover::Change{});
  visit(line.given_on_first_day);
  visit(line.dose_sd);
  visit(line.step);
  visit(line.most);
  visit(line.window);
  visit(line.prime);
  visit(line.new_cartridge_prime);
  visit(line.cartridge);
  visit(line.in_use_days);
  visit(line.suspension);
  visit(line.least_left_to_mix);
  visit(line.use_the_rest);
  visit(line.open, cover::Open{});
  visit(line.sealed, cover::Sealed{});
}
template <class V>
void list(V& visit, supply::House& house) {
  visit(house.kind.insulin);
  visit(house.kind.strength.units_per_ml);
  visit(house.purpose);
  visit(house.counted_from);
  visit(house.last_day);
  list(visit, house.line);
  visit(house.rests, Units::zero());
  visit(house.sealed);
  visit(house.pens);
  visit(house.prefilled);
}
template <class V>
void list(V& visit, supply::Needles& needles) {
  visit(needles.on);
  visit(needles.others);
  visit(needles.counted);
  visit(needles.left);
  visit(needles.length);
  visit(needles.sharps_room);
}
template <class V>
void list(V& visit, journal::SupplyRulesSet& rules) {
  visit(rules.lead_days);
  visit(rules.late_days);
  visit(rules.late_percent);
  visit(rules.service_per_thousand);
  visit(rules.spare_cartridges);
  visit(rules.spare_pens);
  visit(rules.for_days);
  visit(rules.cartridges_per_box);
  visit(rules.needles_per_box);
  visit(rules.failed_needles_percent);
  visit(rules.spread);
}
template <class V>
void list(V& visit, Supply& supply) {
  visit(supply.needed.houses, supply::House{});
  visit(supply.needed.needles);
  list(visit, supply.rules);
}

template <class V>
void list(V& visit, supply::LotAtHome& lot) {
  visit(lot.lot);
  visit(lot.key);
  visit(lot.kind.insulin);
  visit(lot.kind.strength.units_per_ml);
  visit(lot.needle);
  visit(lot.given);
  visit(lot.sealed);
  visit(lot.sealed_at_most);
  visit(lot.open);
  visit(lot.left_in_open);
  visit(lot.used);
  visit(lot.injected);
  visit(lot.first_injected);
  visit(lot.last_injected);
}

constexpr std::string_view tag_lot = "lot/";
constexpr std::string_view tag_unknown = "lot unknown/";
// A tag is short; whoever writes a longer number is found with all that begin alike.
constexpr std::size_t tag_lot_max = 120;

}  // namespace

std::string pack_lots(const std::vector<supply::LotAtHome>& lots) {
  Out out;
  auto copy = lots;
  out(copy, supply::LotAtHome{});
  return out.text;
}

Result<std::vector<supply::LotAtHome>> unpack_lots(std::string_view text) {
  std::vector<supply::LotAtHome> lots;
  In in(text);
  in(lots, supply::LotAtHome{});
  if (!in.good()) return Error{Kind::unavailable, std::string(codes::form), {}, ""};
  return lots;
}

std::string tag_of_lot(std::string_view key) {
  return std::string(tag_lot) + std::string(key.substr(0, tag_lot_max));
}

std::string tag_of_unknown_lot(const supply::Kind& kind) {
  return std::string(tag_unknown) + kind.insulin + "/" + std::to_string(kind.strength.units_per_ml);
}

std::vector<std::string> tags_of(const std::vector<supply::LotAtHome>& lots) {
  std::vector<std::string> tags;
  for (const auto& lot : lots) {
    if (!lot.key.empty()) {
      for (const auto& reading : lot_readings(lot.lot)) tags.push_back(tag_of_lot(reading));
    } else if (lot.is_at_hand()) {
      tags.push_back(tag_of_unknown_lot(lot.kind));
    }
  }
  std::ranges::sort(tags);
  const auto same = std::ranges::unique(tags);
  tags.erase(same.begin(), same.end());
  return tags;
}

Supply supply_of(const chart::Chart& person, const chart::Clinic& clinic) {
  Supply out;
  out.needed = supply::needed(person.order, person.ledger, person.supply,
                              person.skin.rules ? person.skin.rules->needle : std::nullopt,
                              clinic.shelf, clinic.stock, person.zone);
  out.rules = person.supply.rules;
  return out;
}

std::string pack_supply(const Supply& supply) {
  Out out;
  auto copy = supply;
  list(out, copy);
  return out.text;
}

Result<Supply> unpack_supply(std::string_view text) {
  Supply supply;
  In in(text);
  list(in, supply);
  if (!in.good()) return Error{Kind::unavailable, std::string(codes::form), {}, ""};
  for (auto& house : supply.needed.houses) house.line.insulin = house.kind.insulin;
  return supply;
}

}  // namespace penstock::summary
