// What is said against a carton before it is handed out: expired, recalled, not on the order. Pure:
// the code's bytes were read before, by edge/gs1.
#pragma once

#include <array>
#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/stock/stock.hpp"
#include "core/units/units.hpp"

namespace penstock::carton {

/// Another way to read a code that a scanner typed without separators: an element of open length
/// may have swallowed the next one.
struct Reading {
  std::string lot;
  std::string serial;
  std::optional<LocalDay> expires;
  /// What would be the next element is one that cartons bear (product, lot, day, serial number),
  /// and nothing else in the code is it. Otherwise only a lot that is known makes it worth asking
  /// about.
  bool likely = false;
  friend bool operator==(const Reading&, const Reading&) = default;
};

/// What a carton says of itself.
struct Carton {
  std::string gtin;  ///< 14 digits, shorter numbers with zeros before them; empty: none read
  std::string lot;
  std::optional<LocalDay> expires;  ///< last day on which it serves
  std::optional<LocalDay> made;
  std::string serial;
  std::optional<std::int32_t> count;
  std::vector<Reading> may_be = {};  ///< empty: the code can be read in one way only
  friend bool operator==(const Carton&, const Carton&) = default;
};

/// What can be said against a carton; the gravest first, and in this order.
enum class Remark : std::uint8_t {
  expired,           ///< stop (H12)
  recalled,          ///< stop
  lot_unclear,       ///< ask: the lot may be two elements of the code
  other_insulin,     ///< ask: the order does not name it (H04)
  other_strength,    ///< ask: the order names another (H03)
  product_unknown,   ///< ask: nobody has said what this number stands for
  no_product,        ///< ask: the code bears no product number
  expiry_differs,    ///< ask: the record has another day for this lot
  made_after,        ///< ask: made after its expiry
  made_ahead,        ///< ask: made in the future
  expiry_far,        ///< ask: further ahead than anything on a shelf
  no_lot,            ///< ask: to be typed from the carton
  no_expiry,         ///< ask: the same
  expires_soon,      ///< ask
  another_is_first,  ///< note: another lot expires earlier
};
inline constexpr std::array<std::string_view, 15> remark_names{"expired",
                                                               "recalled",
                                                               "lot unclear",
                                                               "other insulin",
                                                               "other strength",
                                                               "product unknown",
                                                               "product number missing",
                                                               "expiry differs",
                                                               "made after expiry",
                                                               "made in the future",
                                                               "expiry far ahead",
                                                               "lot missing",
                                                               "expiry missing",
                                                               "expires soon",
                                                               "another is first"};

/// Insulin is sold with two to three years to go, needles with five; further ahead a digit is wrong
/// (common practice, no source).
inline constexpr std::chrono::years expiry_years_most{6};

enum class Weight : std::uint8_t { note, ask, stop };
inline constexpr std::array<std::string_view, 3> weight_names{"note", "ask", "stop"};

/// A remark with what its sentences name: the lot, the days, the insulin.
struct Finding {
  Remark remark = Remark::expired;
  Weight weight = Weight::note;
  std::vector<Arg> args;
};

/// An insulin of one strength, as an order or a shelf names it.
struct Insulin {
  std::string name;  ///< generic; empty: needles
  Strength strength;
};

struct Question {
  Carton carton;
  LocalDay today{};
  /// What the product's number stands for; nothing: not learnt yet.
  std::optional<Insulin> product;
  std::string item;  ///< in `stock`; empty: not known
  /// What the person's order names; nothing: it is for nobody in particular.
  std::optional<std::vector<Insulin>> order;
};

/// Everything that is said against it, in the order of the remarks; the verdict is the heaviest.
std::vector<Finding> judge(const Question& asked, const stock::Stock& stock);
/// What the lot may be instead of what was read, what the shelf knows first.
std::vector<std::string> lots_it_may_be(const Question& asked, const stock::Stock& stock);
/// The heaviest of them; nothing found: note, which is "may be handed out".
Weight weight_of(const std::vector<Finding>& findings);

}  // namespace penstock::carton
