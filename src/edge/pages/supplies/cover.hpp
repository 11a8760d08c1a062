// Cover as the pages show it: worked out once, for the section on the person's page and for the
// page "Supplies".
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/cover/cover.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"

namespace penstock::pages {

/// One insulin and what came of it; `error` where cover refused.
struct CoverOf {
  const supply::House* house = nullptr;
  std::optional<cover::Lasts> lasts;
  /// The first day on which it may be missing with the spare left alone, where all that is sealed
  /// is the spare.
  std::optional<LocalDay> without_spare;
  std::optional<Error> error;
};

struct Covered {
  supply::Needed needed;
  std::vector<CoverOf> insulins;  ///< one for each house
  std::optional<cover::Lasts> needles;
  std::optional<cover::Lasts> sharps;
};

/// Everything that runs out. Pure; `needed` is moved in once and pointed into.
struct CoverWork {
  CoverWork(const Chart& person, const Clinic& clinic, LocalDay today);
  CoverWork(const CoverWork&) = delete;
  CoverWork& operator=(const CoverWork&) = delete;
  Covered covered;
};

/// The section "Cover" (web/src/model.ts: CoverSection).
json::Value cover_section(const Words& words, const Covered& covered, const Chart& person,
                          const Clinic& clinic, const When& now, const NewId& new_id);

/// "insulin glargine" with its strength where the person has two of one name.
std::string insulin_name(const Words& words, const Covered& covered, const supply::Kind& kind);

}  // namespace penstock::pages
