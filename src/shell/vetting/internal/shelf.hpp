// What speaks against an entry of the clinic's own on the shelf, and against its telephone numbers.
#pragma once

#include <string_view>
#include <vector>

#include "shell/vetting/vetting.hpp"

namespace penstock::vetting::internal {

/// Figures that would take the place of what stands, each with what it is and would be, and another
/// entry that is called alike (H01, H12).
std::vector<Objection> about_shelf(const journal::Payload& payload, const shelf::Shelf& shelf);

/// Figures of a copy, beside those with a question of their own, that are other than the shelf's
/// (H01, H12, H14): days, mixing, the most at once, how long the needle stays in.
std::vector<Error> copy_figures(const shelf::Insulin& copy, const shelf::Insulin& here);
std::vector<Error> copy_figures(const shelf::Pen& copy, const shelf::Pen& here);

/// H38: a number that stands on every refusal can be dialled.
bool is_telephone_number(std::string_view text);

}  // namespace penstock::vetting::internal
