// Supplies: how long they last, day by day; the sharps box; what a pen delivered; three accounts;
// the bags of a trip. What holds for every drawing stands in drawing/kit.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/units/units.hpp"

namespace penstock::drawing {

/// One column of the cover.
struct CoverDay {
  std::string number{};  ///< "16"
  std::string week{};    ///< over it: "Tue 16, today", "Mon 22 March"; empty: nothing
  bool week_begins = false;
  bool closed = false;  ///< shaded: nothing is handed out
};

/// One supply: a cell a day, as high as the day is certain to be covered.
struct CoverRow {
  std::string label{};  ///< "Insulin glargine"
  std::string stock{};  ///< "146 + 2 sealed of 300"
  /// Chance that the day is still covered, in thousandths; one for each day.
  std::vector<int> covered_thousandths{};
  std::optional<int> ask_day{};    ///< flag: the day by which to ask, counted from the first
  std::optional<int> ready_day{};  ///< arrow: when it comes then
  std::string ask_text{};          ///< "ask by Thu 18 March"
  std::string note{};              ///< "short Sun 28 March"
};

struct CoverPicture {
  std::vector<CoverDay> days{};  ///< at least one; the first is today
  std::vector<CoverRow> rows{};
  int width_px = 1286;  ///< from 900 on labels stand left of the cells, below it over them
  std::string alt{};
};
std::string cover(const CoverPicture& picture);

/// A sharps container with its needles, as far as they are counted; its line is at three quarters
/// (H34). 96 by 112.
struct SharpsBox {
  int needles = 0;
  int holds = 1;  ///< above zero
  std::string alt{};
};
std::string sharps(const SharpsBox& box);

/// What a pen delivered at one dose: a dot each, the limits as two lines, mean and tolerance
/// interval as a bracket. To one scale, which is drawn.
struct Deliveries {
  std::vector<Units> delivered{};  ///< in the order in which they came
  Units dose = Units::zero();
  /// Hundredths of a unit; they may lie below zero.
  int limit_low = 0;
  int limit_high = 0;
  int low = 0;  ///< of the tolerance interval
  int high = 0;
  int mean = 0;
  std::string limits_label{};    ///< "limits"
  std::string interval_label{};  ///< "9.6 to 10.2"
  std::string alt{};
};
/// 520 by 104; nothing where there are no deliveries.
std::string tolerance(const Deliveries& test);
/// The same deliveries one after the other, between the same limits. 520 by 96.
std::string drift(const Deliveries& test);

/// One account as a bar: its parts, in units, one after the other.
struct AccountBar {
  std::string label{};
  Units solid = Units::zero();   ///< injected; or all of it
  Units primed = Units::zero();  ///< slant
  Units rest = Units::zero();    ///< ghost: thrown away or assumed
  std::string value{};           ///< "512 units"
};
/// Accounts on one scale, and the bracket between the last two ends. 620 wide.
std::string accounts(const std::vector<AccountBar>& bars, std::string_view difference_label,
                     std::string_view alt);

/// What one bag holds of an insulin: a pen, and its sealed cartridges.
struct BagRow {
  std::string label{};  ///< "Insulin glargine"
  int cartridges = 0;
  std::string count{};  ///< "2 sealed"
};
/// What is carried on a trip, over two bags: each holds enough for all days.
struct Bags {
  struct Bag {
    std::string title{};  ///< "First bag, at hand"
    std::vector<BagRow> rows{};
    std::string needles{};  ///< "56 needles"; empty: none
  };
  Bag first{};
  Bag second{};
  std::string cool{};  ///< "kept cool, never next to ice": both have a pouch; empty: no heat
  std::string alt{};
};
/// 520 wide; as high as the fuller bag. Up to four cartridges are drawn, their count always stands.
std::string bags(const Bags& picture);

// ---- in a sentence, 150 by 26 (class g)

/// Needles in the house and needles needed until the next chance to get some.
std::string needles(int left, int needed, std::string_view alt);
/// One cell a day: solid = covered, broken outline = not. `ask_in_days` puts the flag (0: today).
std::string stock(int covered_days, int needed_days, std::optional<int> ask_in_days,
                  std::string_view alt);

}  // namespace penstock::drawing
