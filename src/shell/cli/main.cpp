#include <fcntl.h>
#include <unistd.h>

#include <iostream>

#include "shell/cli/cli.hpp"

namespace {

// A stream that was closed before the start would be the next file that is opened, the clinic's own
// perhaps. What is put in its place fails when it is used.
void occupy_closed_streams() {
  for (const int stream : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) {
    if (::fcntl(stream, F_GETFD) >= 0) continue;
    static_cast<void>(::open("/dev/null", stream == STDIN_FILENO ? O_WRONLY : O_RDONLY));
  }
}

}  // namespace

int main(int count, char** words) {
  occupy_closed_streams();
  penstock::cli::Streams streams{std::cin, std::cout, std::cerr, ::isatty(STDIN_FILENO) != 0,
                                 ::isatty(STDERR_FILENO) != 0};
  const auto status = penstock::cli::run({words + 1, words + count}, streams);
  return static_cast<int>(status);
}
