// What reads bytes from outside, each with the laws that hold whatever the bytes are. A new reader
// gets a row in a table of its file; ./test fuzz and tools/fuzz.sh walk all rows.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/units/units.hpp"

namespace penstock::fuzz {

/// What an input is, so that a change to it is still worth reading.
enum class Shape {
  bytes,
  json,
  script,  ///< requests, as in site_target.cpp
};

struct Target {
  std::string name;  ///< also the folder of its corpus
  Shape shape = Shape::bytes;
  std::size_t executions = 0;  ///< changed inputs that ./test tries: together some seconds
  /// Good inputs, beside those of the corpus.
  std::vector<std::string> (*seeds)(std::string_view name) = nullptr;
  void (*run)(std::string_view name, std::string_view input) = nullptr;
};

/// All of them.
const std::vector<Target>& targets();

/// Something that must hold did not.
struct LawBroken {
  std::string what;
};
void law(bool holds, std::string_view what);

/// H25: a refusal has words, and they are text that any reader takes.
void law_of_refusal(const Error& error);
/// What goes out to programs is JSON.
void law_of_document(std::string_view text);

// The tables, a file each.
std::vector<Target> small_targets();    ///< JSON, facts, CSV, codes, numbers, summary rows, names
std::vector<Target> verb_targets();     ///< requests of the calculations
std::vector<Target> file_targets();     ///< diaries, journal files, stores
std::vector<Target> network_targets();  ///< HTTP
std::vector<Target> site_targets();     ///< all calls on a memory store

/// Central European time around the two nights of 2027 on which the clocks change.
ZoneRules berlin();

}  // namespace penstock::fuzz
