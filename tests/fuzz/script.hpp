// A small history of calls as a text that a person can read and write:
//
//   > POST /api/people/07b1.../facts application/json
//   {"facts": [...]}
//   > GET /api/today
//   @ 3600                 the clock goes on, by seconds
//   ! again                the program starts again on the same store
//
// A body goes on until the next line that begins with one of these marks and a blank.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace penstock::fuzz {

struct Step {
  std::string line;
  std::string body;
};

std::vector<Step> steps_of(std::string_view script);
std::string script_of(const std::vector<Step>& steps);

}  // namespace penstock::fuzz
