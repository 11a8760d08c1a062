// Drawings of supplies: how long they last, day by day. Part of the room's door; included by
// drawing.hpp.
#pragma once

#include <optional>
#include <string>
#include <vector>

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

}  // namespace penstock::drawing
