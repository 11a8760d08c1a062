// The registry of verbs: who takes a new one in adds a line to all.cpp, and the server, the command
// line and their help have it.
#pragma once

#include <span>

#include "edge/verbs/verbs.hpp"

namespace penstock::verbs {

/// In the order of the help; each with an example and a schema.
std::span<const Verb> all();

}  // namespace penstock::verbs
