#include "fuzz/script.hpp"

#include <algorithm>

namespace penstock::fuzz {
namespace {

bool is_mark(std::string_view line) {
  return line.size() > 1 && std::string_view(">@!").find(line[0]) != std::string_view::npos &&
         line[1] == ' ';
}

}  // namespace

std::vector<Step> steps_of(std::string_view script) {
  std::vector<Step> steps;
  while (!script.empty()) {
    const auto end = std::min(script.find('\n'), script.size());
    const auto line = script.substr(0, end);
    script.remove_prefix(std::min(end + 1, script.size()));
    if (is_mark(line)) {
      steps.push_back({std::string(line), ""});
    } else if (!steps.empty()) {
      auto& body = steps.back().body;
      if (!body.empty()) body += '\n';
      body += line;
    }
  }
  return steps;
}

std::string script_of(const std::vector<Step>& steps) {
  std::string text;
  for (const auto& step : steps) {
    text += step.line + "\n";
    if (!step.body.empty()) text += step.body + "\n";
  }
  return text;
}

}  // namespace penstock::fuzz
