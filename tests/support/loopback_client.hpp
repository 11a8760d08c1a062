// A client for tests that sends exactly the bytes it is told: a well-behaved library would mend
// what these tests want to be wrong.
#pragma once

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <charconv>
#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

namespace penstock::tests {

struct Answer {
  int status = 0;  ///< 0: the connection ended without an answer
  std::string head;
  std::string body;

  std::string header(std::string_view name) const {
    const auto at = head.find("\r\n" + std::string(name) + ": ");
    if (at == std::string::npos) return {};
    const auto begin = at + name.size() + 4;
    return head.substr(begin, head.find("\r\n", begin) - begin);
  }
};

class Client {
 public:
  explicit Client(std::uint16_t port) : port_(port), socket_(::socket(AF_INET, SOCK_STREAM, 0)) {
    sockaddr_in where{};
    where.sin_family = AF_INET;
    where.sin_port = htons(port);
    where.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    connected_ = ::connect(socket_, reinterpret_cast<const sockaddr*>(&where), sizeof where) == 0;
  }
  ~Client() {
    if (socket_ >= 0) ::close(socket_);
  }
  Client(const Client&) = delete;
  Client& operator=(const Client&) = delete;
  Client(Client&& other) noexcept
      : port_(other.port_),
        socket_(std::exchange(other.socket_, -1)),
        connected_(other.connected_),
        buffer_(std::move(other.buffer_)) {}

  bool connected() const { return connected_; }

  /// False: the other side has closed.
  bool send(std::string_view bytes) {
    while (!bytes.empty()) {
      const auto sent = ::send(socket_, bytes.data(), bytes.size(), MSG_NOSIGNAL);
      if (sent <= 0) return false;
      bytes.remove_prefix(static_cast<std::size_t>(sent));
    }
    return true;
  }

  std::string host() const { return "127.0.0.1:" + std::to_string(port_); }

  Answer get(std::string_view path, std::string_view more = "") {
    send("GET " + std::string(path) + " HTTP/1.1\r\nHost: " + host() + "\r\n" + std::string(more) +
         "\r\n");
    return receive();
  }
  Answer post(std::string_view path, std::string_view body,
              std::string_view type = "application/json", std::string_view more = "") {
    send("POST " + std::string(path) + " HTTP/1.1\r\nHost: " + host() + "\r\nContent-Type: " +
         std::string(type) + "\r\nContent-Length: " + std::to_string(body.size()) + "\r\n" +
         std::string(more) + "\r\n" + std::string(body));
    return receive();
  }

  Answer remove(std::string_view path, std::string_view more = "") {
    send("DELETE " + std::string(path) + " HTTP/1.1\r\nHost: " + host() + "\r\n" +
         std::string(more) + "\r\n");
    return receive();
  }

  enum class Body { expected, none };
  /// The next answer; status 0 when the connection ends or nothing comes in time.
  Answer receive(Body body = Body::expected,
                 std::chrono::milliseconds patience = std::chrono::seconds(10)) {
    Answer answer;
    while (buffer_.find("\r\n\r\n") == std::string::npos) {
      if (!more(patience)) return answer;
    }
    const auto end = buffer_.find("\r\n\r\n");
    answer.head = buffer_.substr(0, end + 2);
    buffer_.erase(0, end + 4);
    std::from_chars(answer.head.data() + 9, answer.head.data() + 12, answer.status);
    std::size_t length = 0;
    const auto text = answer.header("Content-Length");
    std::from_chars(text.data(), text.data() + text.size(), length);
    if (body == Body::none) return answer;
    while (buffer_.size() < length) {
      if (!more(patience)) return answer;
    }
    answer.body = buffer_.substr(0, length);
    buffer_.erase(0, length);
    return answer;
  }

  /// Nothing more will be sent; answers are still read.
  void end_of_sending() { ::shutdown(socket_, SHUT_WR); }
  /// Everything until the other side ends the connection. Nothing: it did not within this time.
  std::optional<std::string> receive_all(
      std::chrono::milliseconds patience = std::chrono::seconds(10)) {
    while (more(patience)) {
    }
    return ended_ ? std::optional(std::exchange(buffer_, {})) : std::nullopt;
  }

  /// Whether the other side ends the connection within this time.
  bool ends_within(std::chrono::milliseconds patience) {
    const auto latest = std::chrono::steady_clock::now() + patience;
    while (std::chrono::steady_clock::now() < latest) {
      const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(
          latest - std::chrono::steady_clock::now());
      if (!more(left)) return ended_;
    }
    return false;
  }

 private:
  bool more(std::chrono::milliseconds patience) {
    pollfd waiting{socket_, POLLIN, 0};
    if (::poll(&waiting, 1, static_cast<int>(patience.count())) <= 0) return false;
    char block[65'536];
    const auto got = ::recv(socket_, block, sizeof block, 0);
    if (got <= 0) {
      ended_ = true;
      return false;
    }
    buffer_.append(block, static_cast<std::size_t>(got));
    return true;
  }

  std::uint16_t port_;
  int socket_;
  bool connected_ = false;
  bool ended_ = false;
  std::string buffer_;
};

}  // namespace penstock::tests
