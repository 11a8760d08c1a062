#include "shell/web/internal/peer.hpp"

#include <arpa/inet.h>
#include <linux/inet_diag.h>
#include <linux/netlink.h>
#include <linux/sock_diag.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <unistd.h>

#include <array>
#include <cstdio>
#include <cstring>
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

/// One question to the kernel's table of sockets (sock_diag(7)).
struct Question {
  nlmsghdr head{};
  inet_diag_req_v2 about{};
};
static_assert(sizeof(Question) == NLMSG_LENGTH(sizeof(inet_diag_req_v2)));

class Kernel {
 public:
  Kernel() : socket_(::socket(AF_NETLINK, SOCK_RAW | SOCK_CLOEXEC, NETLINK_SOCK_DIAG)) {
    // It answers while it is asked; whoever else might answer is not waited for.
    const timeval soon{0, 100'000};
    ::setsockopt(socket_, SOL_SOCKET, SO_RCVTIMEO, &soon, sizeof soon);
  }
  ~Kernel() {
    if (socket_ >= 0) ::close(socket_);
  }
  Kernel(const Kernel&) = delete;
  Kernel& operator=(const Kernel&) = delete;

  /// The socket's own description. Nothing: an error, or none such.
  std::optional<inet_diag_msg> ask(const Question& question) const {
    sockaddr_nl kernel{};
    kernel.nl_family = AF_NETLINK;
    const auto sent = ::sendto(socket_, &question, sizeof question, 0,
                               reinterpret_cast<const sockaddr*>(&kernel), sizeof kernel);
    if (sent != static_cast<ssize_t>(sizeof question)) return std::nullopt;
    std::array<char, 8192> answer{};
    sockaddr_nl from{};
    socklen_t from_size = sizeof from;
    const auto size = ::recvfrom(socket_, answer.data(), answer.size(), 0,
                                 reinterpret_cast<sockaddr*>(&from), &from_size);
    nlmsghdr head{};
    inet_diag_msg told{};
    if (size < static_cast<ssize_t>(NLMSG_LENGTH(sizeof told)) || from.nl_pid != 0)
      return std::nullopt;
    std::memcpy(&head, answer.data(), sizeof head);
    if (head.nlmsg_type != SOCK_DIAG_BY_FAMILY) return std::nullopt;
    std::memcpy(&told, answer.data() + NLMSG_HDRLEN, sizeof told);
    return told;
  }

 private:
  int socket_;
};

}  // namespace

std::optional<std::uint32_t> user_told(End their_end, End our_end) {
  Question question;
  question.head.nlmsg_len = sizeof question;
  question.head.nlmsg_type = SOCK_DIAG_BY_FAMILY;
  question.head.nlmsg_flags = NLM_F_REQUEST;
  auto& about = question.about;
  about.sdiag_family = AF_INET;
  about.sdiag_protocol = IPPROTO_TCP;
  about.idiag_states = ~0U;
  about.id.idiag_sport = htons(their_end.port);
  about.id.idiag_dport = htons(our_end.port);
  about.id.idiag_src[0] = their_end.address;
  about.id.idiag_dst[0] = our_end.address;
  about.id.idiag_cookie[0] = about.id.idiag_cookie[1] = INET_DIAG_NOCOOKIE;
  const auto told = Kernel().ask(question);
  if (!told) return std::nullopt;
  // Where there is no such connection the kernel names who listens there instead. Over IPv6 the
  // last word is the mapped address.
  const auto word = told->idiag_family == AF_INET6 ? 3 : 0;
  const auto& id = told->id;
  const bool is_it =
      id.idiag_sport == about.id.idiag_sport && id.idiag_dport == about.id.idiag_dport &&
      id.idiag_src[word] == their_end.address && id.idiag_dst[word] == our_end.address;
  return is_it ? std::optional(told->idiag_uid) : std::nullopt;
}

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
  if (const auto user = user_told(their_end, our_end)) return user;
  bool has_table = false;
  for (const auto* name : {"/proc/net/tcp", "/proc/net/tcp6"}) {
    std::ifstream table(name);
    has_table = has_table || table.is_open();
    if (const auto user = user_in(table, their_end, our_end)) return user;
  }
  return has_table ? std::nullopt : std::optional<std::uint32_t>(::geteuid());
}

}  // namespace penstock::web
