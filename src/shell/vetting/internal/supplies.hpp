// What speaks against supplies and cartridges as they are recorded: the order, recalls, the day
// printed on them, what such a container holds (H61, H12, H25).
#pragma once

#include <optional>

#include "shell/vetting/vetting.hpp"

namespace penstock::vetting::internal {

std::optional<Objection> about_given(const journal::SuppliesGiven& given, const Chart& person,
                                     const Clinic& clinic, LocalDay on);
std::optional<Objection> about_given(const journal::NeedlesGiven& given, const Clinic& clinic,
                                     LocalDay on);
std::optional<Objection> about_loaded(const journal::CartridgeLoaded& load, const Chart& person,
                                      const Clinic& clinic, LocalDay on);
std::optional<Objection> about_scale(const journal::ScaleCounted& read, const Chart& person);

}  // namespace penstock::vetting::internal
