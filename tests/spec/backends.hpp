// Where a scenario's facts lie between being told and being read: each scenario runs on each, none
// leaves one out.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "core/journal/journal.hpp"

namespace penstock::spec {

struct Backend {
  std::string name;
  /// Takes the facts in, and gives back what a later reader finds.
  std::function<std::vector<journal::Fact>(const std::vector<journal::Fact>&)> keep;
};

std::vector<Backend> backends();

}  // namespace penstock::spec
