// The clinic's own stock: what of each lot stands on the shelf, what expires, what was called back,
// and where it went (web/src/model.ts: StockPage).
#pragma once

#include <vector>

#include "edge/pages/kit/kit.hpp"
#include "edge/pages/pages.hpp"

namespace penstock::pages {

json::Value stock_page(const People& people, const Clinic& clinic, const Caller& caller);

std::vector<Row> stock_rows();

}  // namespace penstock::pages
