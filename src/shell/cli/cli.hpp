// The way in by command: the same use cases as the pages, as text for people or JSON for programs.
//
// Exit status: 0 an answer; 1 a fault of ours, or an answer that could not be written; 2 the
// command line is wrong or a file cannot be read; 3 refused, with the refusal as JSON when JSON was
// asked for, and as text on standard error.
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

namespace penstock::cli {

enum class Exit : int { answer = 0, fault = 1, command_line = 2, refused = 3 };

/// Where a command reads and writes. Questions are only asked, and progress only shown, where a
/// person sits in front.
struct Streams {
  std::istream& in;
  std::ostream& out;
  std::ostream& error;
  bool person_answers = false;  ///< standard input is a terminal
  bool person_watches = false;  ///< standard error is a terminal
};

/// Runs one command. `words` are those behind the program's name.
Exit run(const std::vector<std::string>& words, Streams& streams);

}  // namespace penstock::cli
