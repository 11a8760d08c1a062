#include <unistd.h>

#include <iostream>

#include "shell/cli/cli.hpp"

int main(int count, char** words) {
  penstock::cli::Streams streams{std::cin, std::cout, std::cerr, ::isatty(STDIN_FILENO) != 0,
                                 ::isatty(STDERR_FILENO) != 0};
  const auto status = penstock::cli::run({words + 1, words + count}, streams);
  std::cout.flush();
  return static_cast<int>(status);
}
