// The kinds of fact about supplies: what is at home and how much of it is asked for, the sharps
// box, trips, what a pen delivers; and the clinic's own stock, recalls and closed days. Part of the
// journal's door; included by facts.hpp.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

#include "base/base.hpp"
#include "core/journal/choices.hpp"
#include "core/units/units.hpp"

namespace penstock::journal {

template <class S, class T>
concept SupplyLike = std::same_as<std::remove_const_t<S>, T>;

// ---- a person's

/// Somebody counted what is at home. Neither it nor the ledger overwrites the other (H41).
struct SuppliesCounted {
  static constexpr std::uint16_t type = 70, version = 1;
  static constexpr std::string_view name = "supplies counted";
  std::string insulin;  ///< empty: only needles were counted
  Strength strength;
  Units each = Units::zero();
  std::optional<std::int32_t> cartridges;  ///< sealed ones
  std::optional<std::int32_t> needles;
  friend bool operator==(const SuppliesCounted&, const SuppliesCounted&) = default;
};
template <class V, SupplyLike<SuppliesCounted> S>
constexpr void fields(V& visit, S& s) {
  visit("insulin", s.insulin);
  visit("strength_units_per_ml", s.strength);
  visit("each_units", s.each);
  visit("cartridges", s.cartridges);
  visit("needles", s.needles);
}

/// Needles of one type went home; "supplies given" counts needles without their type.
struct NeedlesGiven {
  static constexpr std::uint16_t type = 71, version = 1;
  static constexpr std::string_view name = "needles given";
  std::string needle;  ///< the shelf's code, or the name as told
  TenthsMm length;
  std::int32_t needles = 0;
  std::string lot;
  std::optional<LocalDay> expires;
  friend bool operator==(const NeedlesGiven&, const NeedlesGiven&) = default;
};
template <class V, SupplyLike<NeedlesGiven> S>
constexpr void fields(V& visit, S& s) {
  visit("needle", s.needle);
  visit("length_mm", s.length);
  visit("needles", s.needles);
  visit("lot", s.lot);
  visit("expires", s.expires);
}

/// How supplies are asked for, for this person: said whole each time. A service below 990 in a
/// thousand needs a name and a reason.
struct SupplyRulesSet {
  static constexpr std::uint16_t type = 72, version = 1;
  static constexpr std::string_view name = "supply rules set";
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
  friend bool operator==(const SupplyRulesSet&, const SupplyRulesSet&) = default;
};
template <class V, SupplyLike<SupplyRulesSet> S>
constexpr void fields(V& visit, S& s) {
  visit("lead_days", s.lead_days);
  visit("late_days", s.late_days);
  visit("late_percent", s.late_percent);
  visit("service_per_thousand", s.service_per_thousand);
  visit("service_reason", s.service_reason);
  visit("service_by", s.service_by);
  visit("spare_cartridges", s.spare_cartridges);
  visit("spare_pens", s.spare_pens);
  visit("for_days", s.for_days);
  visit("cartridges_per_box", s.cartridges_per_box);
  visit("needles_per_box", s.needles_per_box);
  visit("failed_needles_percent", s.failed_needles_percent);
  visit("spread", s.spread);
}

/// More was asked for, and has not come yet.
struct SuppliesAsked {
  static constexpr std::uint16_t type = 73, version = 1;
  static constexpr std::string_view name = "supplies asked for";
  std::string insulin;  ///< empty: needles only
  Strength strength;
  std::int32_t boxes = 0;
  std::int32_t needle_boxes = 0;
  std::string of_whom;
  std::optional<LocalDay> expected;
  friend bool operator==(const SuppliesAsked&, const SuppliesAsked&) = default;
};
template <class V, SupplyLike<SuppliesAsked> S>
constexpr void fields(V& visit, S& s) {
  visit("insulin", s.insulin);
  visit("strength_units_per_ml", s.strength);
  visit("boxes", s.boxes);
  visit("needle_boxes", s.needle_boxes);
  visit("of_whom", s.of_whom);
  visit("expected", s.expected);
}

/// A sharps container went home. It is full at three quarters (H34).
struct SharpsBoxGiven {
  static constexpr std::uint16_t type = 74, version = 1;
  static constexpr std::string_view name = "sharps box given";
  Id box;
  std::int32_t holds_needles = 0;  ///< filled to the brim, by its label or the clinic's count
  friend bool operator==(const SharpsBoxGiven&, const SharpsBoxGiven&) = default;
};
template <class V, SupplyLike<SharpsBoxGiven> S>
constexpr void fields(V& visit, S& s) {
  visit("box", s.box);
  visit("holds_needles", s.holds_needles);
}

struct SharpsBoxClosed {
  static constexpr std::uint16_t type = 75, version = 1;
  static constexpr std::string_view name = "sharps box closed";
  Id box;
  std::string brought_to;
  friend bool operator==(const SharpsBoxClosed&, const SharpsBoxClosed&) = default;
};
template <class V, SupplyLike<SharpsBoxClosed> S>
constexpr void fields(V& visit, S& s) {
  visit("box", s.box);
  visit("brought_to", s.brought_to);
}

struct TripPlanned {
  static constexpr std::uint16_t type = 76, version = 1;
  static constexpr std::string_view name = "trip planned";
  LocalDay leaves{};
  LocalDay returns{};
  std::string zone;  ///< where to, by the time zone's database name; empty: the person's own
  std::optional<TenthsCelsius> warmest;
  YesNo pharmacy = YesNo::unknown;  ///< one that has this insulin, where they go
  std::string text;
  friend bool operator==(const TripPlanned&, const TripPlanned&) = default;
};
template <class V, SupplyLike<TripPlanned> S>
constexpr void fields(V& visit, S& s) {
  visit("leaves", s.leaves);
  visit("returns", s.returns);
  visit("zone", s.zone);
  visit("warmest_celsius", s.warmest);
  visit("pharmacy", s.pharmacy);
  visit("text", s.text);
}

/// What a pen delivered when one dose was set again and again: into a vessel on a scale, or
/// counted.
struct PenTested {
  static constexpr std::uint16_t type = 77, version = 1;
  static constexpr std::string_view name = "pen tested";
  Id pen;
  Units dialled = Units::zero();
  Measured by = Measured::weighed;
  std::vector<Units> delivered;
  std::string text;
  friend bool operator==(const PenTested&, const PenTested&) = default;
};
template <class V, SupplyLike<PenTested> S>
constexpr void fields(V& visit, S& s) {
  visit("pen", s.pen);
  visit("dialled_units", s.dialled);
  visit("by", s.by);
  visit("delivered_units", s.delivered);
  visit("text", s.text);
}

/// The accounts did not agree, and it was talked over with the person.
struct DifferenceTalked {
  static constexpr std::uint16_t type = 78, version = 1;
  static constexpr std::string_view name = "difference talked over";
  LocalDay from{};
  LocalDay until{};
  std::string insulin;
  Strength strength;
  Explained because = Explained::not_known;
  std::string text;
  friend bool operator==(const DifferenceTalked&, const DifferenceTalked&) = default;
};
template <class V, SupplyLike<DifferenceTalked> S>
constexpr void fields(V& visit, S& s) {
  visit("from", s.from);
  visit("until", s.until);
  visit("insulin", s.insulin);
  visit("strength_units_per_ml", s.strength);
  visit("because", s.because);
  visit("text", s.text);
}

// ---- the clinic's

/// A delivery: so many pieces (cartridges, prefilled pens or needles) of one lot.
struct StockCame {
  static constexpr std::uint16_t type = 80, version = 1;
  static constexpr std::string_view name = "stock came";
  std::string item;  ///< the shelf's code of a cartridge or a needle
  std::int32_t pieces = 0;
  std::string lot;
  std::optional<LocalDay> expires;
  std::string gtin;  ///< the product's number, where a carton was scanned
  std::string text;
  friend bool operator==(const StockCame&, const StockCame&) = default;
};
template <class V, SupplyLike<StockCame> S>
constexpr void fields(V& visit, S& s) {
  visit("item", s.item);
  visit("pieces", s.pieces);
  visit("lot", s.lot);
  visit("expires", s.expires);
  visit("gtin", s.gtin);
  visit("text", s.text);
}

struct StockMoved {
  static constexpr std::uint16_t type = 81, version = 1;
  static constexpr std::string_view name = "stock moved";
  std::string item;
  std::string lot;
  std::int32_t pieces = 0;
  StockWay way = StockWay::handed_out;
  std::optional<Id> person;  ///< to whom, or from whom
  std::optional<Id> fact;    ///< the fact in that person's journal that says the same
  std::string text;
  friend bool operator==(const StockMoved&, const StockMoved&) = default;
};
template <class V, SupplyLike<StockMoved> S>
constexpr void fields(V& visit, S& s) {
  visit("item", s.item);
  visit("lot", s.lot);
  visit("pieces", s.pieces);
  visit("way", s.way);
  visit("person", s.person);
  visit("fact", s.fact);
  visit("text", s.text);
}

/// Somebody counted a lot on the clinic's shelf. Neither it nor the account overwrites the other.
struct StockCounted {
  static constexpr std::uint16_t type = 82, version = 1;
  static constexpr std::string_view name = "stock counted";
  std::string item;
  std::string lot;
  std::int32_t pieces = 0;
  friend bool operator==(const StockCounted&, const StockCounted&) = default;
};
template <class V, SupplyLike<StockCounted> S>
constexpr void fields(V& visit, S& s) {
  visit("item", s.item);
  visit("lot", s.lot);
  visit("pieces", s.pieces);
}

/// What a product's number on a carton stands for on this clinic's shelf.
struct ProductLearnt {
  static constexpr std::uint16_t type = 83, version = 1;
  static constexpr std::string_view name = "product learnt";
  std::string gtin;
  std::string item;
  std::int32_t pieces = 0;  ///< in one carton
  friend bool operator==(const ProductLearnt&, const ProductLearnt&) = default;
};
template <class V, SupplyLike<ProductLearnt> S>
constexpr void fields(V& visit, S& s) {
  visit("gtin", s.gtin);
  visit("item", s.item);
  visit("pieces", s.pieces);
}

struct RecallOpened {
  static constexpr std::uint16_t type = 84, version = 1;
  static constexpr std::string_view name = "recall opened";
  Id recall;
  std::string lot;
  std::string item;  ///< the shelf's code; empty: every item of this lot number
  std::string from_whom;
  std::string text;
  friend bool operator==(const RecallOpened&, const RecallOpened&) = default;
};
template <class V, SupplyLike<RecallOpened> S>
constexpr void fields(V& visit, S& s) {
  visit("recall", s.recall);
  visit("lot", s.lot);
  visit("item", s.item);
  visit("from_whom", s.from_whom);
  visit("text", s.text);
}

struct RecallCalled {
  static constexpr std::uint16_t type = 85, version = 1;
  static constexpr std::string_view name = "recall called";
  Id recall;
  Id person;
  CallOutcome outcome = CallOutcome::not_reached;
  std::string text;
  friend bool operator==(const RecallCalled&, const RecallCalled&) = default;
};
template <class V, SupplyLike<RecallCalled> S>
constexpr void fields(V& visit, S& s) {
  visit("recall", s.recall);
  visit("person", s.person);
  visit("outcome", s.outcome);
  visit("text", s.text);
}

/// Days on which neither clinic nor pharmacy hands anything out: said whole each time.
struct ClosedDaysSet {
  static constexpr std::uint16_t type = 86, version = 1;
  static constexpr std::string_view name = "closed days set";
  std::vector<Weekday> weekdays;
  std::vector<LocalDay> dates;
  friend bool operator==(const ClosedDaysSet&, const ClosedDaysSet&) = default;
};
template <class V, SupplyLike<ClosedDaysSet> S>
constexpr void fields(V& visit, S& s) {
  visit("weekdays", s.weekdays);
  visit("dates", s.dates);
}

}  // namespace penstock::journal
