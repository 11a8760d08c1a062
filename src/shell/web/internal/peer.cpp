#include "shell/web/internal/peer.hpp"

#include <unistd.h>

#include <cstdio>
#include <fstream>
#include <sstream>
#include <string>

namespace penstock::web {
namespace {

// "0100007F:1242"; over IPv6 the last eight digits are those of the mapped address.
bool is_end(const std::string& text, End end) {
  char expected[16];
  std::snprintf(expected, sizeof expected, "%08X:%04X", end.address, end.port);
  return text.ends_with(expected);
}

}  // namespace

std::optional<std::uint32_t> user_in(std::istream& table, End their_end, End our_end) {
  std::string line;
  std::getline(table, line);  // what its columns are called
  while (std::getline(table, line)) {
    std::istringstream fields(line);
    std::string number, local, remote, state, queues, timer, retries;
    std::uint32_t user = 0;
    if (!(fields >> number >> local >> remote >> state >> queues >> timer >> retries >> user))
      continue;
    if (is_end(local, their_end) && is_end(remote, our_end)) return user;
  }
  return std::nullopt;
}

std::optional<std::uint32_t> user_of(End their_end, End our_end) {
  bool has_table = false;
  for (const auto* name : {"/proc/net/tcp", "/proc/net/tcp6"}) {
    std::ifstream table(name);
    has_table = has_table || table.is_open();
    if (const auto user = user_in(table, their_end, our_end)) return user;
  }
  return has_table ? std::nullopt : std::optional<std::uint32_t>(::geteuid());
}

}  // namespace penstock::web
