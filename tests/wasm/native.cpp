// The native side: questions on standard input, answers on standard output, line by line.
#include <iostream>
#include <string>

#include "answers.hpp"

int main() {
  for (std::string line; std::getline(std::cin, line);) {
    std::cout << penstock::wasm::answer(line) << '\n';
  }
}
