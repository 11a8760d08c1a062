// Who signs: whoever prescribes, transcribes, checks or answers. What stands against their names,
// by one rule for all of them (names::doubt_about).
#pragma once

#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/chart/chart.hpp"
#include "core/journal/journal.hpp"

namespace penstock::signers {

namespace codes {
inline constexpr std::string_view check_own_copy =
    "desk.check_own_copy";  // H40: the copyist cannot be the second check [name]
inline constexpr std::string_view check_nobody =
    "desk.check_nobody";  // H40: no name of somebody else than the person [name]
inline constexpr std::string_view order_nobody = "desk.order_nobody";    // H40: no prescriber [by]
inline constexpr std::string_view copy_nobody = "desk.copy_nobody";      // H40: no transcriber [by]
inline constexpr std::string_view answer_nobody = "desk.answer_nobody";  // H37 [by]
inline constexpr std::string_view ask_check_slip =
    "ask.check_slip";  // H40: nearly the name of whoever copied it [name, copyist]
inline constexpr std::string_view ask_no_prescriber =
    "ask.no_prescriber";  // H37: somebody at home, or the user, as the prescriber [by]
inline constexpr std::string_view ask_answer_own =
    "ask.answer_own";  // H37: answered by whoever records it [by]
inline constexpr std::string_view ask_signer_person =
    "ask.signer_person";  // H40: the person's own name in part or by initials [by, name]
inline constexpr std::string_view ask_full_name =
    "ask.full_name";  // H40, H37: no first and family name [by]
}  // namespace codes

struct Against {
  Error error;
  bool is_question = false;
};
/// Against the names in a fact of this person; a line or a question that is not there is others' to
/// refuse.
std::vector<Against> against_names(const journal::Fact& fact, const chart::Chart& so_far,
                                   const chart::Clinic& clinic);
/// Whether it refuses a name that says nobody. What an older program or another clinic wrote has
/// such names, too, and comes in after a question.
bool is_of_nobody(std::string_view code);

}  // namespace penstock::signers
