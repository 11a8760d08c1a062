// What is said against a carton before it is handed out: expired, recalled, not on the order. Pure:
// the code's bytes were read before, by edge/gs1.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/stock/stock.hpp"
#include "core/units/units.hpp"

namespace penstock::carton {

/// What a carton says of itself.
struct Carton {
  std::string gtin;  ///< 14 digits, shorter numbers with zeros before them; empty: none read
  std::string lot;
  std::optional<LocalDay> expires;  ///< last day on which it serves
  std::optional<LocalDay> made;
  std::string serial;
  std::optional<std::int32_t> count;
  friend bool operator==(const Carton&, const Carton&) = default;
};

/// What can be said against a carton; the gravest first, and in this order.
enum class Remark : std::uint8_t {
  expired,           ///< stop (H12)
  recalled,          ///< stop
  other_insulin,     ///< ask: the order does not name it (H04)
  other_strength,    ///< ask: the order names another (H03)
  product_unknown,   ///< ask: nobody has said what this number stands for
  expiry_differs,    ///< ask: the record has another day for this lot
  no_lot,            ///< ask: to be typed from the carton
  no_expiry,         ///< ask: the same
  expires_soon,      ///< ask
  another_is_first,  ///< note: another lot expires earlier
};
inline constexpr std::array<std::string_view, 10> remark_names{
    "expired",        "recalled",    "other insulin",  "other strength", "product unknown",
    "expiry differs", "lot missing", "expiry missing", "expires soon",   "another is first"};

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
/// The heaviest of them; nothing found: note, which is "may be handed out".
Weight weight_of(const std::vector<Finding>& findings);

}  // namespace penstock::carton
