// What speaks against a dose as it is recorded: the order it is recorded under, and the pen it came
// from. It is taken all the same, after a question.
#pragma once

#include <optional>
#include <vector>

#include "core/order/recording.hpp"
#include "shell/vetting/vetting.hpp"

namespace penstock::vetting::internal {

/// Of another insulin than its line's, or another strength; from a cartridge that must not be used,
/// or a needle from which nothing came; while the dose was in question or its copy unchecked (H04,
/// H03, H12, H13, H44, H37, H40).
std::vector<Objection> about_dose(const journal::Fact& fact, const journal::Injected& dose,
                                  const Chart& person);

/// What the dose that it says it completes still lacks (order::rest_named). Nothing: it completes
/// none that is open, and is asked about as any other injection.
std::optional<order::OpenRest> rest_of(const journal::Fact& fact, const journal::Injected& dose,
                                       const Chart& person);

/// More is said to have been meant than the order has then: its rest is worked out from that, so a
/// slip in it is a number to dial (H39, H25). Asked before anything else of the dose.
std::optional<Objection> meant_more(const journal::Fact& fact, const journal::Injected& dose,
                                    const Chart& person);

/// Less was meant than the order has then (H39, H02), or more was given by more than a tenth and
/// inside the order's limits (H25, H07).
std::optional<Objection> unlike_order(const journal::Fact& fact, const journal::Injected& dose,
                                      const Chart& person);

/// A correction that takes away the last line of basal insulin (H38, H57).
std::optional<Objection> takes_basal(const journal::Fact& fact,
                                     const journal::Correction& correction, const Chart& person,
                                     Instant now);

}  // namespace penstock::vetting::internal
