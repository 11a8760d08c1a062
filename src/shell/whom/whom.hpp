// H19: whom somebody means who types a name or a number, and how a record is said to be theirs. To
// look, a search that fits one person is enough; to write it is not: it may fit another one.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/chart/chart.hpp"
#include "edge/json/json.hpp"
#include "edge/summary/summary.hpp"
#include "edge/words/words.hpp"

namespace penstock::whom {

namespace codes {
inline constexpr std::string_view person_in_full =
    "desk.person_in_full";  // a search is not enough to write [text, name, born, number]
inline constexpr std::string_view several_people = "desk.several_people";  // [text, people]
inline constexpr std::string_view search_short = "desk.search_short";
}  // namespace codes

/// What somebody is looked for.
enum class Finding : std::uint8_t { to_read, to_write };

/// Whoever has this clinic number, or, to read, alone fits a search. Errors: codes::no_person of
/// the pages, several_people, search_short; to write, whom a search finds is named:
/// codes::person_in_full.
Result<Id> meant(const summary::People& people, std::string_view wanted, Finding finding,
                 const words::Catalogue& words);

/// Name, birth date and number of each; nobody: empty.
std::string told_apart(const std::vector<const summary::Row*>& people,
                       const words::Catalogue& words);

/// {"id", "name", "born_text", "number", "alike"}: what an act says about whose record it wrote
/// into; `alike` is who could be taken for them, as told_apart.
json::Value whose(const chart::Chart& chart, const summary::People& people,
                  const words::Catalogue& words);

}  // namespace penstock::whom
