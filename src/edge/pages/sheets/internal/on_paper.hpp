// What the papers that follow the order share: its lines, until when they hold, whom to phone.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "edge/pages/kit/kit.hpp"

namespace penstock::pages::internal {

/// Neither ended nor replaced on that day, by their first hour: what a paper is about.
std::vector<const order::Line*> lines_of(const Chart& person, LocalDay today);
/// The day on which something of the order ends or begins, or the last before a trip to another
/// clock (H18, H28), or half a year.
LocalDay last_day(const Chart& person, std::span<const order::Line* const> lines, LocalDay today);
/// "Order version 4, 16 March 2027, Dr Adeyemi." of the newest line that holds today; of the newest
/// where none does yet (H08); and whose second check of that version left out its days, for the
/// paper says until when it holds (H60). `lines`: at least one.
std::string order_text(const Words& words, std::span<const order::Line* const> lines,
                       LocalDay today);
std::string printed_text(const Words& words, const When& now);
/// Whom to phone: the clinic first, then who is on record, then the emergency number.
std::vector<json::Value> phones_of(const Words& words, const Chart& person, const Clinic& clinic);

}  // namespace penstock::pages::internal
