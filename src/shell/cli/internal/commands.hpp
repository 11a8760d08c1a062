// The list of commands, each with its words and options; help and shell completion are made from
// it.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "shell/cli/internal/bench.hpp"

namespace CLI {
class App;
}

namespace penstock::cli {

struct Command {
  std::string name;
  std::string summary;
  /// Adds the command's words and options, bound to these.
  std::function<void(CLI::App&, Options&)> setup;
  std::function<Exit(Bench&)> run;
};

/// All commands that do something, in the order of the help; those of the contract's verbs too.
const std::vector<Command>& commands();

/// The page that `penstock` and `penstock help` print: 24 lines of 80 at most.
std::string help_page();

struct CompletionEntry {
  std::string name;
  std::string summary;
  std::vector<std::string> options;  ///< "--data"
};
/// A script for bash, zsh or fish; empty for another shell.
std::string completion_script(std::string_view shell, const std::vector<CompletionEntry>& entries);

}  // namespace penstock::cli
