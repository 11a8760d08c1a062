// Supplies of one person: what went home, what is there, how much of it is asked for, the sharps
// box, trips, and accounts that differ. Part of the room's door; included by facts.hpp. The lists
// stand in supplies.cpp.
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

/// Sealed stock that went home: cartridges or prefilled pens of one insulin, or needles.
struct SuppliesGiven {
  static constexpr std::uint16_t type = 21;
  static constexpr std::string_view name = "supplies given";
  static const KindInfo kind;
  std::string insulin;  ///< empty: no cartridges
  Strength strength;
  Units each = Units::zero();  ///< content of one
  std::int32_t cartridges = 0;
  std::int32_t needles = 0;
  std::string lot;
  std::optional<LocalDay> expires;
};

/// Somebody counted what is at home. Neither it nor the ledger overwrites the other (H41).
struct SuppliesCounted {
  static constexpr std::uint16_t type = 70;
  static constexpr std::string_view name = "supplies counted";
  static const KindInfo kind;
  std::string insulin;  ///< empty: only needles were counted
  Strength strength;
  Units each = Units::zero();
  std::optional<std::int32_t> cartridges;  ///< sealed ones
  std::optional<std::int32_t> needles;
};

/// Needles of one type went home; "supplies given" counts needles without their type.
struct NeedlesGiven {
  static constexpr std::uint16_t type = 71;
  static constexpr std::string_view name = "needles given";
  static const KindInfo kind;
  std::string needle;  ///< the shelf's code, or the name as told
  TenthsMm length;
  std::int32_t needles = 0;
  std::string lot;
  std::optional<LocalDay> expires;
};

/// How supplies are asked for, for this person: said whole each time. A service below 990 in a
/// thousand needs a name and a reason.
struct SupplyRulesSet {
  static constexpr std::uint16_t type = 72;
  static constexpr std::string_view name = "supply rules set";
  static const KindInfo kind;
  std::int32_t lead_days = 7;     ///< open days from asking to having it in the house
  std::int32_t late_days = 0;     ///< how long it takes when it is late; 0: never late
  std::int32_t late_percent = 0;  ///< how often it is
  std::int32_t service_per_thousand = 990;
  std::string service_reason;
  std::string service_by;
  std::int32_t spare_cartridges = 1;  ///< sealed, of each insulin: plans do not touch them (H51)
  std::int32_t spare_pens = 1;        ///< of each insulin
  std::int32_t for_days = 30;         ///< what a dispensing is for
  std::int32_t cartridges_per_box = 5;
  std::int32_t needles_per_box = 100;
  std::int32_t failed_needles_percent = 0;  ///< bent, dropped, dry: used without a dose
  DoseSpread spread = DoseSpread::as_ordered;
};

/// More was asked for, and has not come yet.
struct SuppliesAsked {
  static constexpr std::uint16_t type = 73;
  static constexpr std::string_view name = "supplies asked for";
  static const KindInfo kind;
  std::string insulin;  ///< empty: needles only
  Strength strength;
  std::int32_t boxes = 0;
  std::int32_t needle_boxes = 0;
  std::string of_whom;
  std::optional<LocalDay> expected;
};

/// A sharps container went home. It is full at three quarters (H34).
struct SharpsBoxGiven {
  static constexpr std::uint16_t type = 74;
  static constexpr std::string_view name = "sharps box given";
  static const KindInfo kind;
  Id box;
  std::int32_t holds_needles = 0;  ///< filled to the brim, by its label or the clinic's count
};

struct SharpsBoxClosed {
  static constexpr std::uint16_t type = 75;
  static constexpr std::string_view name = "sharps box closed";
  static const KindInfo kind;
  Id box;
  std::string brought_to;
};

struct TripPlanned {
  static constexpr std::uint16_t type = 76;
  static constexpr std::string_view name = "trip planned";
  static const KindInfo kind;
  LocalDay leaves{};
  LocalDay returns{};
  std::string zone;  ///< where to, by the time zone's database name; empty: the person's own
  std::optional<TenthsCelsius> warmest;
  YesNo pharmacy = YesNo::unknown;  ///< one that has this insulin, where they go
  std::string text;
};

/// The accounts did not agree, and it was talked over with the person.
struct DifferenceTalked {
  static constexpr std::uint16_t type = 78;
  static constexpr std::string_view name = "difference talked over";
  static const KindInfo kind;
  LocalDay from{};
  LocalDay until{};
  std::string insulin;
  Strength strength;
  Explained because = Explained::not_known;
  std::string text;
};

}  // namespace penstock::facts
