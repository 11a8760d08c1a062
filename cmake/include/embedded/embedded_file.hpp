// A file inside the binary; see cmake/embed.cmake.
#pragma once

#include <string_view>

namespace penstock {

struct EmbeddedFile {
  std::string_view path;    ///< below the base folder, forward slashes: "0001_journal.sql"
  std::string_view data;    ///< the file's bytes; a zero byte follows them
  std::string_view sha256;  ///< 64 hexadecimal digits, lower case
};

}  // namespace penstock
