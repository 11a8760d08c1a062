// What a summary row keeps so that the whole clinic's cover is worked out without folding a
// journal: each insulin's house, the needles, the rules. One line of whole numbers and names.
#pragma once

#include <string>
#include <string_view>

#include "shell/desk/internal/folded.hpp"

namespace penstock::desk {

struct CardSupply {
  supply::Needed needed;          ///< without gaps
  journal::SupplyRulesSet rules;  ///< without its texts
};

CardSupply supply_of(const Folded& person, const ClinicState& clinic);
std::string pack_supply(const CardSupply& supply);
/// What pack_supply wrote; anything else: `summary.form`.
Result<CardSupply> unpack_supply(std::string_view text);

namespace codes {
inline constexpr std::string_view summary_form =
    "desk.summary_form";  // a summary row that this program did not write
}  // namespace codes

}  // namespace penstock::desk
