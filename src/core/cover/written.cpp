#include "core/cover/internal/written.hpp"

#include <algorithm>

namespace penstock::cover::internal {

Written::Written(const Line& line, const House& house, LocalDay on)
    : line_(line), house_(house), rules_(rules_of(line)), periods_(periods_of(line, on)) {}

std::int32_t Written::next_day() {
  std::int32_t injections = 0;
  const auto& doses = *periods_[period_on(periods_, day_)].doses;
  for (std::size_t i = first_dose(line_, day_); i < doses.size(); ++i) injections += take(doses[i]);
  ++day_;
  return injections;
}

std::int32_t Written::take(Units dose) {
  std::int32_t injections = 0;
  // A fresh cartridge can give every dose (the checks saw to it), so this ends.
  while (true) {
    if (serves_ && day_ <= until_) {
      const Units part = line_.use_the_rest ? smaller(dose, draw::most_from(rules_, now_)) : dose;
      const auto taken = part.is_zero() ? std::nullopt : draw::take(rules_, now_, part);
      if (taken) {
        injections += taken->injections;
        now_.left = taken->left;
        now_.is_new = false;
        dose = difference(dose, part);
      }
      if (dose.is_zero()) return injections;
    } else if (serves_ && until_ >= begun_.back() && draw::take(rules_, now_, dose)) {
      unused_.note(begun_.size() - 1);
    }
    if (serves_) throw_away();
    next_place();
  }
}

void Written::throw_away() {
  thrown_.back() = now_.left;
  serves_ = false;
}

void Written::next_place() {
  const std::size_t index = begun_.size();
  const Place& place = house_.at(index);
  begun_.push_back(day_);
  thrown_.push_back(Units::zero());
  now_ = {.left = place.left, .is_new = place.is_new};
  until_ = house_.serves_until(place, day_);
  serves_ = true;
  if (place.last_day >= day_) return;
  if (place.sealed) expired_.note(index);
}

Units Written::thrown_away(std::size_t places) const {
  Units all = Units::zero();
  for (std::size_t i = 0; i < std::min(places, thrown_.size()); ++i) all = sum(all, thrown_[i]);
  return all;
}

}  // namespace penstock::cover::internal
