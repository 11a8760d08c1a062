// Whose a connection on this machine is: loopback is no border between its users (S6).
#pragma once

#include <cstdint>
#include <istream>
#include <optional>

namespace penstock::web {

/// One end of a connection over IPv4; the address as the system's table writes it, 127.0.0.1 is
/// 0x0100007F.
struct End {
  std::uint32_t address = 0;
  std::uint16_t port = 0;
};

/// The user of the socket that is bound to `their_end` and connected to `our_end`, in a table that
/// has the form of Linux's /proc/net/tcp. Nothing: it is not in there.
std::optional<std::uint32_t> user_in(std::istream& table, End their_end, End our_end);
/// The same from the kernel, which is asked for this one socket alone: the table's lines are as
/// many as the machine has sockets, and each is written out anew for whoever reads it. Nothing: it
/// does not say, or there is no such socket.
std::optional<std::uint32_t> user_told(End their_end, End our_end);
/// The same from the kernel, or else from the system's own tables. Where the system has none it is
/// this program's user: there the token alone tells who may ask.
std::optional<std::uint32_t> user_of(End their_end, End our_end);

}  // namespace penstock::web
