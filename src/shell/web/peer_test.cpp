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

TEST(Peer, H29_S6_AConnectionOfThisProgramIsThisUsers) {
  const int listener = ::socket(AF_INET, SOCK_STREAM, 0);
  sockaddr_in here{};
  here.sin_family = AF_INET;
  here.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  socklen_t size = sizeof here;
  ASSERT_EQ(::bind(listener, reinterpret_cast<sockaddr*>(&here), size), 0);
  ASSERT_EQ(::listen(listener, 1), 0);
  ASSERT_EQ(::getsockname(listener, reinterpret_cast<sockaddr*>(&here), &size), 0);
  const int caller = ::socket(AF_INET, SOCK_STREAM, 0);
  ASSERT_EQ(::connect(caller, reinterpret_cast<sockaddr*>(&here), size), 0);
  sockaddr_in theirs{};
  ASSERT_EQ(::getsockname(caller, reinterpret_cast<sockaddr*>(&theirs), &size), 0);
  EXPECT_EQ(user_of({theirs.sin_addr.s_addr, ntohs(theirs.sin_port)},
                    {here.sin_addr.s_addr, ntohs(here.sin_port)}),
            ::geteuid());
  ::close(caller);
  ::close(listener);
}

}  // namespace
}  // namespace penstock::web
