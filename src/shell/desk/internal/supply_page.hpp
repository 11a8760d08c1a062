// Cover as the pages show it: worked out once, for the section on the person's page and for the
// page "Supplies".
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/cover/cover.hpp"
#include "edge/json/json.hpp"
#include "shell/desk/internal/folded.hpp"
#include "shell/desk/internal/page.hpp"

namespace penstock::desk {

/// One insulin and what came of it; `error` where cover refused.
struct CoverOf {
  const supply::House* house = nullptr;
  std::optional<cover::Lasts> lasts;
  std::optional<cover::Lasts> after_change;
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
  CoverWork(const Folded& person, const ClinicState& clinic, LocalDay today);
  CoverWork(const CoverWork&) = delete;
  CoverWork& operator=(const CoverWork&) = delete;
  Covered covered;
};

/// A request counts from the last injection on record; boxes are for so many days from today.
void for_days_from(cover::Request& request, LocalDay today, std::int32_t days);

/// The chance of a day that makes it one on which something may be missing: one in a hundred
/// (ours).
inline constexpr double may_be_missing = 0.01;
std::optional<LocalDay> may_be_short_on(const cover::Lasts& lasts);
/// The first day on which it is more likely gone than not.
std::optional<LocalDay> short_on(const cover::Lasts& lasts);

/// The section "Cover" (web/src/model.ts: CoverSection).
json::Value cover_section(const Covered& covered, const Folded& person, const ClinicState& clinic,
                          const When& now, const std::function<Id()>& new_id);

/// "insulin glargine" with its strength where the person has two of one name.
std::string insulin_name(const Covered& covered, const supply::Kind& kind);

}  // namespace penstock::desk
