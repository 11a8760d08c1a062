// Where a scenario's facts lie between being told and being read: each scenario runs on each.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <vector>

#include "core/journal/journal.hpp"

namespace penstock::spec {

struct Backend {
  std::string name;
  /// Takes the facts in, and gives back what a later reader finds.
  std::function<std::vector<journal::Fact>(const std::vector<journal::Fact>&)> keep;
  /// Scenarios that it leaves out, each with the reason; they count as disabled, never as passed.
  std::map<std::string, std::string> skips = {};
};

std::vector<Backend> backends();

}  // namespace penstock::spec
