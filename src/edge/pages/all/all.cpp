#include "edge/pages/all/all.hpp"

#include <algorithm>

#include "edge/pages/facts/facts.hpp"
#include "edge/pages/journal/journal.hpp"
#include "edge/pages/person/person.hpp"
#include "edge/pages/phone/phone.hpp"
#include "edge/pages/sheets/sheets.hpp"
#include "edge/pages/shelf/shelf.hpp"
#include "edge/pages/skin/skin.hpp"
#include "edge/pages/stock/stock.hpp"
#include "edge/pages/supplies/supplies.hpp"
#include "edge/pages/today/today.hpp"
#include "edge/pages/verbs/verbs.hpp"
#include "edge/pages/visit/visit.hpp"

namespace penstock::pages {

std::span<const Row> all() {
  static const std::vector<Row> rows = [] {
    std::vector<Row> out;
    for (auto* area : {today_rows, person_rows, visit_rows, journal_rows, sheet_rows, supplies_rows,
                       skin_rows, stock_rows, phone_rows, shelf_rows, fact_rows, verb_rows}) {
      std::ranges::move(area(), std::back_inserter(out));
    }
    return out;
  }();
  return rows;
}

const Row* find(std::string_view method, std::string_view pattern) {
  const auto found = std::ranges::find_if(
      all(), [&](const Row& row) { return row.method == method && row.pattern == pattern; });
  return found == all().end() ? nullptr : &*found;
}

}  // namespace penstock::pages
