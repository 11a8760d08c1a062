// Everybody beyond the 24 whom people.cpp knows by name: invented from a seed, each like one of
// them.
#pragma once

#include <cstdint>
#include <string>

#include "edge/demo/internal/chance.hpp"
#include "edge/demo/internal/people.hpp"

namespace penstock::demo {

/// For how long somebody has been coming; those beyond long_journals_max a week or two.
inline constexpr int history_days = 90;
inline constexpr int short_history_days = 7;
/// Visits come every four weeks, and not to everybody on the same day.
inline constexpr int days_between_visits = 28;

/// One of the crowd. The persona's texts live in this struct: it is not copied.
struct Somebody {
  std::string name, born, number;
  Persona persona;
  int days = history_days;  ///< since they were enrolled
  int visit = 14;           ///< days ago, of the last visit

  Somebody() = default;
  Somebody(const Somebody&) = delete;
  Somebody& operator=(const Somebody&) = delete;
};

/// Person `index`, from people_count on: name and number are nobody else's. About one in ten is
/// like somebody whom Today is about.
void invent(Somebody& somebody, std::size_t index, std::uint64_t seed);

}  // namespace penstock::demo
