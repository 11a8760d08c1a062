// The clinic's own stock: what of each lot stands on the shelf, what expires, what was called back,
// and where it went (web/src/model.ts: StockPage).
#pragma once

#include "edge/pages/kit/kit.hpp"

namespace penstock::pages {

json::Value stock_page(const People& people, const Clinic& clinic, const Caller& caller);

}  // namespace penstock::pages
