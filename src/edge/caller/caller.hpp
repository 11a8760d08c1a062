// Who asks, in which language, and when: every page and every act is given it. Nobody else reads
// the clinic's user, a global catalogue or a clock.
#pragma once

#include <cstdint>
#include <string>

#include "core/units/units.hpp"
#include "edge/words/words.hpp"

namespace penstock {

/// What somebody may do. Until there are accounts, everybody at the bench is a nurse.
enum class Role : std::uint8_t { nurse };

struct Caller {
  std::string author;  ///< who records; empty before the clinic was named
  Role role = Role::nurse;
  const words::Catalogue& words;  ///< outlives the call
  Instant now{};
};

}  // namespace penstock
