// The clinic's own stock by lot, recalls, closed days.
// Part of the room's door; included by facts.hpp. The lists stand in stock.cpp.
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

/// A delivery: so many pieces (cartridges, prefilled pens or needles) of one lot.
struct StockCame {
  static constexpr std::uint16_t type = 80;
  static constexpr std::string_view name = "stock came";
  static const KindInfo kind;
  std::string item;  ///< the shelf's code of a cartridge or a needle
  std::int32_t pieces = 0;
  std::string lot;
  std::optional<LocalDay> expires;
  std::string gtin;  ///< the product's number, where a carton was scanned
  std::string text;
};

struct StockMoved {
  static constexpr std::uint16_t type = 81;
  static constexpr std::string_view name = "stock moved";
  static const KindInfo kind;
  std::string item;
  std::string lot;
  std::int32_t pieces = 0;
  StockWay way = StockWay::handed_out;
  std::optional<Id> person;  ///< to whom, or from whom
  std::optional<Id> fact;    ///< the fact in that person's journal that says the same
  std::string text;
};

/// Somebody counted a lot on the clinic's shelf. Neither it nor the account overwrites the other.
struct StockCounted {
  static constexpr std::uint16_t type = 82;
  static constexpr std::string_view name = "stock counted";
  static const KindInfo kind;
  std::string item;
  std::string lot;
  std::int32_t pieces = 0;
};

/// What a product's number on a carton stands for on this clinic's shelf.
struct ProductLearnt {
  static constexpr std::uint16_t type = 83;
  static constexpr std::string_view name = "product learnt";
  static const KindInfo kind;
  std::string gtin;
  std::string item;
  std::int32_t pieces = 0;  ///< in one carton
};

struct RecallOpened {
  static constexpr std::uint16_t type = 84;
  static constexpr std::string_view name = "recall opened";
  static const KindInfo kind;
  Id recall;
  std::string lot;
  std::string item;  ///< the shelf's code; empty: every item of this lot number
  std::string from_whom;
  std::string text;
};

struct RecallCalled {
  static constexpr std::uint16_t type = 85;
  static constexpr std::string_view name = "recall called";
  static const KindInfo kind;
  Id recall;
  Id person;
  CallOutcome outcome = CallOutcome::not_reached;
  std::string text;
};

/// Days on which neither clinic nor pharmacy hands anything out: said whole each time.
struct ClosedDaysSet {
  static constexpr std::uint16_t type = 86;
  static constexpr std::string_view name = "closed days set";
  static const KindInfo kind;
  std::vector<Weekday> weekdays;
  std::vector<LocalDay> dates;
};

}  // namespace penstock::facts
