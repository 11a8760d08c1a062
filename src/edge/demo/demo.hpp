// The demo clinic: Harbour Street, 24 invented people with about 90 days each. Seeded and pure: the
// same seed and the same moment give the same facts. Every person is here for a reason, named in
// people.cpp; nobody and nothing in it exists. A larger clinic, to see how speed grows with it, has
// the same 24 and a crowd of people like them.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
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

/// How many people there are, unless more are asked for; and how many there may be.
inline constexpr std::size_t people_count = 24;
inline constexpr std::size_t people_max = 100'000;
/// So many have 90 days and more behind them; whoever comes after them was enrolled a week or two
/// ago, so that a clinic of 100'000 fits on a disk.
inline constexpr std::size_t long_journals_max = 10'000;

class Lattices;
std::shared_ptr<Lattices> new_lattices();

struct Setting {
  const shelf::Shelf* shelf = nullptr;
  Instant now{};
  std::uint64_t seed = 20270316;
  std::size_t people = people_count;  ///< at least that, at most people_max
  Id clinic;                          ///< the clinic's journal in the store that it goes into
  /// Rules of a zone; the zones asked for exist in every database.
  std::function<ZoneRules(std::string_view)> zone;
  std::shared_ptr<Lattices> lattices = new_lattices();  ///< what people share, worked out once
};

/// The clinic's own journal first, then the people's.
std::vector<Journal> clinic(const Setting& setting);

/// The same one by one, for a clinic that does not fit into memory.
Journal person(const Setting& setting, std::size_t index);
/// Makes every person once to see what the clinic handed out. `seen` is told of each.
Journal own_journal(const Setting& setting,
                    const std::function<void(std::size_t people)>& seen = {});

}  // namespace penstock::demo
