// What a summary row keeps so that the whole clinic's cover, and whom a recall reaches, are worked
// out without folding a journal: each insulin's house, the needles, the rules, the lots. One line
// of whole numbers and names.
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

/// The same for what somebody has of each lot.
std::string pack_lots(const std::vector<supply::LotAtHome>& lots);
Result<std::vector<supply::LotAtHome>> unpack_lots(std::string_view text);

/// By what a recall finds somebody: every lot that ever reached them, and every insulin of which
/// they have some that nobody wrote the lot of.
std::vector<std::string> tags_of(const std::vector<supply::LotAtHome>& lots);
std::string tag_of_lot(std::string_view key);
std::string tag_of_unknown_lot(const supply::Kind& kind);

namespace codes {
inline constexpr std::string_view summary_form =
    "desk.summary_form";  // a summary row that this program did not write
}  // namespace codes

}  // namespace penstock::desk
