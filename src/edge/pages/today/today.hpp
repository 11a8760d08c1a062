// The pages that show many people: the clinic's own line, Today, People (web/src/model.ts: Clinic,
// TodayPage, PeoplePage).
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "edge/pages/kit/kit.hpp"
#include "edge/pages/pages.hpp"
#include "edge/pages/stock/recall.hpp"

namespace penstock::pages {

/// `zone_names`: what the form offers. `program`: its name and version.
json::Value clinic_page(const Clinic& clinic, const Caller& caller,
                        std::span<const std::string> zone_names, std::string_view program);

/// What of Today is asked for.
struct TodayAsked {
  /// One of those under which a crowd's things are counted, and only these, all of them; anything
  /// else: Today.
  std::string_view reason{};
  /// "me": what is the caller's to follow up, and whatever cannot wait for its owner (H32, H38).
  std::string_view whose{};
  int page = 1;
  /// Somebody's record could not be worked out or is missing: that nobody needs anything is not
  /// said.
  bool incomplete = false;
};
/// Pages are counted from 1: what holds up a dose is never left out (H32), so in a large clinic it
/// goes on for pages.
json::Value today_page(const People& people, std::span<const OpenRecall> recalls,
                       const TodayAsked& asked, const Clinic& clinic, const Caller& caller);

/// `page` from 1.
json::Value people_page(const People& people, std::string_view query, int page,
                        const Clinic& clinic, const Caller& caller, FoldFunction folded);

/// The places of all who have every word of the query in name, number or date of birth, or whose
/// birth date is the one in it, written in any way in which forms take dates.
std::vector<std::size_t> matching(const Words& words, const People& people, std::string_view query,
                                  FoldFunction folded);

std::vector<Row> today_rows();

}  // namespace penstock::pages
