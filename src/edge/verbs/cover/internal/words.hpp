// The sentences of a cover: one line a supply, the cautions, what is left alone.
#pragma once

#include <string>
#include <vector>

#include "edge/verbs/cover/cover.hpp"

namespace penstock::verbs {

/// "99", "99.5": a share in percent with as many decimals as it needs, at most four.
std::string percent_text(double share);

/// One text a supply: when it is short, by when to ask, how many boxes; the first to ask for leads.
std::vector<std::string> cover_supplies_said(const CoverRequest& asked, const cover::Answer& answer,
                                             const Say& say);

struct CoverCaution {
  std::string code;
  std::string text;
};
std::vector<CoverCaution> cover_cautions_said(const CoverRequest& asked,
                                              const cover::Answer& answer, const Say& say);

/// What no plan touches (H51); empty where nothing was asked.
std::string cover_spare_said(const CoverRequest& asked, const Say& say);

}  // namespace penstock::verbs
