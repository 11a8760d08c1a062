// What speaks against an entry of the clinic's own on the shelf, and against its telephone numbers.
#pragma once

#include <string_view>
#include <vector>

#include "shell/vetting/vetting.hpp"

namespace penstock::vetting::internal {

/// Figures that would take the place of what stands, each with what it is and would be, and another
/// entry that is called alike (H01, H12).
std::vector<Objection> about_shelf(const journal::Payload& payload, const shelf::Shelf& shelf);

/// H38: a number that stands on every refusal can be dialled.
bool is_telephone_number(std::string_view text);

}  // namespace penstock::vetting::internal
