// The shelf that the program brings: all tables of data/shelf, read as one.
#include <string>

#include "core/shelf/shelf.hpp"
#include "embedded/program_shelf.hpp"

namespace penstock::shelf {

const Shelf& of_the_program() {
  static const Shelf shelf = [] {
    std::string all;
    for (const auto& file : embedded::program_shelf()) {
      all += file.data;
      all += '\n';
    }
    auto read = parse_shelf(all);
    INVARIANT(read.has_value());
    return *std::move(read);
  }();
  return shelf;
}

}  // namespace penstock::shelf
