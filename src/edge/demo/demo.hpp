// The demo clinic: Harbour Street, 24 invented people with about 90 days each. Seeded and pure: the
// same seed and the same moment give the same facts. Every person is here for a reason, named in
// people.cpp; nobody and nothing in it exists.
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "core/journal/journal.hpp"
#include "core/shelf/shelf.hpp"
#include "core/units/units.hpp"

namespace penstock::demo {

struct Journal {
  Id id;
  bool is_clinic = false;
  std::vector<journal::Fact> facts;
};

struct Setting {
  const shelf::Shelf* shelf = nullptr;
  Instant now{};
  std::uint64_t seed = 20270316;
  Id clinic;  ///< the clinic's journal in the store that it goes into
  /// Rules of a zone; the zones asked for exist in every database.
  std::function<ZoneRules(std::string_view)> zone;
};

/// The clinic's own journal first, then the people's.
std::vector<Journal> clinic(const Setting& setting);

/// How many people there are.
inline constexpr std::size_t people_count = 24;

}  // namespace penstock::demo
