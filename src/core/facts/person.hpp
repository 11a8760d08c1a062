// A person: who they are, and what an educator has to know first.
// Part of the room's door; included by facts.hpp. The lists stand in person.cpp.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/facts/choices.hpp"
#include "core/facts/kind.hpp"
#include "core/units/units.hpp"

namespace penstock::facts {

/// What the educator has to know first.
struct Background {
  static const fields::Group list;
  DiabetesKind diabetes = DiabetesKind::unknown;
  std::optional<TenthsKg> weight;  ///< with its date
  std::optional<LocalDay> weighed_on;
  YesNo pregnant = YesNo::unknown;
  std::string kidneys;
  std::string other_glucose_medicines;
  YesNo severe_lows = YesNo::unknown;
  YesNo feels_lows = YesNo::unknown;
  YesNo lives_alone = YesNo::unknown;
  YesNo drives = YesNo::unknown;
  Injector injector = Injector::unknown;
  Ability sight = Ability::unknown;
  Ability hands = Ability::unknown;
  Ability hearing = Ability::unknown;
  Ability memory = Ability::unknown;
  std::string speaks;
  std::string reads;
  YesNo interpreter = YesNo::unknown;
};

/// A person is known by name, birth date and number together (H19).
struct PersonRegistered {
  static constexpr std::uint16_t type = 1;
  static constexpr std::string_view name = "person registered";
  static const KindInfo kind;
  std::string full_name;
  LocalDay born{};
  std::string number;  ///< the clinic's
  std::string zone;    ///< time zone by its database name: "Europe/Berlin"
  std::string phone;
  Background background;
};

/// The background as it is from now on, whole.
struct BackgroundNoted {
  static constexpr std::uint16_t type = 2;
  static constexpr std::string_view name = "background noted";
  static const KindInfo kind;
  Background background;
};

/// Name, birth date, number, phone and clock as they are from now on, whole: a slip at the desk is
/// put right and nothing that hangs on the person is lost (H54).
struct DetailsChanged {
  static constexpr std::uint16_t type = 3;
  static constexpr std::string_view name = "details changed";
  static const KindInfo kind;
  std::string full_name;
  LocalDay born{};
  std::string number;  ///< the clinic's
  std::string phone;
  std::string zone;  ///< where they live now (H18); empty: as before
};

/// Whole years on a day.
int age_years(LocalDay born, LocalDay on);

}  // namespace penstock::facts
