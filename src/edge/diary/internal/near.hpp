// Rows that are nearly in the journal already (H56).
#pragma once

#include <vector>

#include "edge/diary/diary.hpp"

namespace penstock::diary::internal {

/// In the order of `fresh`.
std::vector<DiaryNear> near_rows(const std::vector<DiaryLine>& fresh, const DiaryContext& context);

}  // namespace penstock::diary::internal
