// S6: whose a connection is, by the system's own table.
#include "shell/web/internal/peer.hpp"

#include <arpa/inet.h>
#include <gtest/gtest.h>
#include <sys/socket.h>
#include <unistd.h>

#include <sstream>

namespace penstock::web {
namespace {

constexpr const char* table =
    "  sl  local_address rem_address   st tx_queue rx_queue tr tm->when retrnsmt   uid  timeout\n"
    "   0: 0100007F:122A 00000000:0000 0A 00000000:00000000 00:00000000 00000000  1000        0 1\n"
    "   1: 0100007F:122A 0100007F:9C40 01 00000000:00000000 00:00000000 00000000  1000        0 2\n"
    "   2: 0100007F:9C40 0100007F:122A 01 00000000:00000000 00:00000000 00000000 65534        0 3\n"
    "   3: 0000000000000000FFFF00000100007F:9C41 0000000000000000FFFF00000100007F:122A 01 "
    "00000000:00000000 00:00000000 00000000    33        0 4\n"
    "broken\n";
constexpr std::uint32_t loopback = 0x0100007F;

TEST(Peer, H29_S6_AConnectionIsItsSendersNotOurs) {
  const auto user = [](std::uint16_t theirs) {
    std::istringstream lines(table);
    return user_in(lines, {loopback, theirs}, {loopback, 0x122A});
  };
  EXPECT_EQ(user(0x9C40), 65534U);
  EXPECT_EQ(user(0x9C41), 33U);  // over IPv6, with a mapped address
  EXPECT_EQ(user(0x9C42), std::nullopt);
}

struct Connection {
  int listener = ::socket(AF_INET, SOCK_STREAM, 0);
  int caller;
  int accepted = -1;
  End ours, theirs;

  // Over IPv6 to the mapped address, where that is asked for.
  explicit Connection(int family = AF_INET) : caller(::socket(family, SOCK_STREAM, 0)) {
    sockaddr_in here{};
    here.sin_family = AF_INET;
    here.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    socklen_t size = sizeof here;
    EXPECT_EQ(::bind(listener, reinterpret_cast<sockaddr*>(&here), size), 0);
    EXPECT_EQ(::listen(listener, 1), 0);
    EXPECT_EQ(::getsockname(listener, reinterpret_cast<sockaddr*>(&here), &size), 0);
    ours = {here.sin_addr.s_addr, ntohs(here.sin_port)};
    sockaddr_in6 mapped{};
    mapped.sin6_family = AF_INET6;
    mapped.sin6_port = here.sin_port;
    EXPECT_EQ(::inet_pton(AF_INET6, "::ffff:127.0.0.1", &mapped.sin6_addr), 1);
    EXPECT_EQ(family == AF_INET
                  ? ::connect(caller, reinterpret_cast<sockaddr*>(&here), sizeof here)
                  : ::connect(caller, reinterpret_cast<sockaddr*>(&mapped), sizeof mapped),
              0);
    accepted = ::accept(listener, reinterpret_cast<sockaddr*>(&here), &size);
    EXPECT_GE(accepted, 0);
    theirs = {here.sin_addr.s_addr, ntohs(here.sin_port)};
  }
  ~Connection() {
    for (const int one : {caller, accepted, listener}) ::close(one);
  }
  Connection(const Connection&) = delete;
  Connection& operator=(const Connection&) = delete;
};

TEST(Peer, H29_S6_AConnectionOfThisProgramIsThisUsers) {
  for (const int family : {AF_INET, AF_INET6}) {
    const Connection open(family);
    EXPECT_EQ(user_of(open.theirs, open.ours), ::geteuid()) << family;
  }
}

// Asked for this one socket, however many there are; who listens is nobody's connection.
TEST(Peer, H29_S6_TheKernelIsAskedForTheOneSocket) {
  for (const int family : {AF_INET, AF_INET6}) {
    const Connection open(family);
    EXPECT_EQ(user_told(open.theirs, open.ours), ::geteuid()) << family;
    EXPECT_EQ(user_told({loopback, open.ours.port}, {loopback, 9}), std::nullopt);
    EXPECT_EQ(user_told({loopback, 9}, open.ours), std::nullopt);
  }
}

}  // namespace
}  // namespace penstock::web
