// The journal: facts about a person or the clinic, and what they say once corrections are read.
// Everything else is worked out from it.
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/facts/facts.hpp"
#include "core/journal/person.hpp"
#include "core/units/units.hpp"

namespace penstock::journal {

/// What one fact says once corrections are read. Points into the facts that it was made from.
struct Effective {
  When happened;
  std::uint32_t sequence = 0;
  const Fact* fact = nullptr;        ///< the original: its identity is the identity
  const Payload* payload = nullptr;  ///< the original's, or the correction's that replaced it
  const Fact* correction = nullptr;  ///< the correction that holds, if any
};

/// A fact that a correction took away, and by which.
struct Voided {
  const Fact* fact = nullptr;
  const Fact* correction = nullptr;
};

/// The journal as it stands: `facts` in the order of the fold (happened, source, sequence,
/// identity).
struct History {
  std::vector<Effective> facts;
  std::vector<Voided> voided;
  std::vector<Voided> hidden;  ///< voided because they belong to another person, with the rival
                               ///< corrections that repeat them: for the audit, never for view
  std::vector<const Fact*> rivals;   ///< corrections of a fact that another, later recorded
                                     ///< correction also names: shown, without effect
  std::vector<const Fact*> waiting;  ///< corrections whose target has not arrived
  std::vector<std::uint64_t> by_id;  ///< where `find` looks; made by `read` alone
};

/// Reads a set of facts into the order of the fold. The same set in any order, with any
/// repetitions, gives the same history. A correction names an original fact; of several the last by
/// (recorded, happened, sequence, identity) holds. Corrections of corrections are refused by
/// `checked`; where one arrives all the same, it waits for ever and is shown. The facts must
/// outlive the history.
History read(std::span<const Fact> facts);

/// Finds what stands for a fact after corrections; nullptr when it was voided or never arrived.
const Effective* find(const History& history, const Id& fact);

/// What lies less than this apart is one clock.
inline constexpr std::chrono::minutes clock_slack{10};
/// When the last entry of this journal, or of `anybody`, was recorded, where that is later than
/// now: the clock was set back since, and what is due, and whether it was given, hang on it (H18,
/// H52). It ends with the next entry, which is asked about (ask.clock_back): then somebody has said
/// that the clock is right. `anybody`: as the store says; nothing where it does not know.
std::optional<Instant> recorded_later(std::span<const Fact> facts, std::optional<Instant> anybody,
                                      Instant now);

}  // namespace penstock::journal
