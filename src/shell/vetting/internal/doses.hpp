// What speaks against a dose as it is recorded: the order it is recorded under, and the pen it came
// from. It is taken all the same, after a question.
#pragma once

#include <vector>

#include "shell/vetting/vetting.hpp"

namespace penstock::vetting::internal {

/// Of another insulin than its line's, or another strength; from a cartridge that must not be used,
/// or a needle from which nothing came; while the dose was in question or its copy unchecked (H04,
/// H03, H12, H13, H44, H37, H40).
std::vector<Objection> about_dose(const journal::Fact& fact, const journal::Injected& dose,
                                  const Chart& person);

}  // namespace penstock::vetting::internal
