// Bytes on a connection: whatever comes, the server answers or closes, and never by its own fault.
#include <algorithm>
#include <memory>

#include "fuzz/targets.hpp"
#include "shell/web/web.hpp"
#include "support/loopback_client.hpp"

namespace penstock::fuzz {
namespace {

// Answers with what it understood, so that an answer shows what was read.
web::Response understood(const web::Request& request) {
  const bool is_path =
      request.path.starts_with('/') && request.path.find('\0') == std::string::npos;
  if (!is_path) return {500, "text/plain", "no path", {}, {}};
  return {200, "text/plain", request.method + " " + std::to_string(request.body.size()), {}, {}};
}

class Listening {
 public:
  Listening() {
    web::ServeOptions options;
    options.port = 0;
    options.threads = 1;
    options.record_threads = 1;
    options.slow_threads = 1;
    options.is_upload = [](std::string_view path) { return path == "/upload"; };
    options.lane = [](const web::Request& request) {
      return request.path == "/records" ? web::Lane::records : web::Lane::at_once;
    };
    auto started = web::Server::start(options, understood);
    law(started.has_value(), "the server does not start");
    server_ = *std::move(started);
  }
  std::uint16_t port() const { return server_->port(); }

 private:
  std::unique_ptr<web::Server> server_;
};

// Where an input says @PORT@ stands the port that the server has got.
std::string with_port(std::string_view input, std::uint16_t port) {
  constexpr std::string_view mark = "@PORT@";
  std::string text(input);
  for (auto at = text.find(mark); at != std::string::npos; at = text.find(mark, at)) {
    text.replace(at, mark.size(), std::to_string(port));
  }
  return text;
}

void run_http(std::string_view, std::string_view input) {
  static const Listening listening;
  tests::Client client(listening.port());
  law(client.connected(), "the server takes no connection");
  client.send(with_port(input, listening.port()));
  client.end_of_sending();
  const auto answers = client.receive_all();
  law(answers.has_value(), "a connection that was given up does not end");
  law(answers->empty() || answers->starts_with("HTTP/1."), "an answer that is none");
  for (const std::string_view fault : {"HTTP/1.1 500", "HTTP/1.0 500"}) {
    law(answers->find(fault) == std::string::npos, "a fault: " + *answers);
  }
}

std::vector<std::string> http_seeds(std::string_view) {
  const std::string host = "Host: 127.0.0.1:@PORT@\r\n";
  return {
      "GET /people?q=Le%C3%B3n&page=2 HTTP/1.1\r\n" + host + "\r\n",
      "HEAD / HTTP/1.0\r\nHost: localhost:@PORT@\r\nConnection: close\r\n\r\n",
      "POST /records HTTP/1.1\r\n" + host +
          "Origin: http://127.0.0.1:@PORT@\r\nContent-Type: application/json\r\n"
          "Content-Length: 2\r\n\r\n{}GET / HTTP/1.1\r\n" +
          host + "\r\n",
      "POST /upload HTTP/1.1\r\n" + host +
          "Transfer-Encoding: chunked\r\nExpect: 100-continue\r\n\r\n4\r\nabcd\r\n0\r\n\r\n",
      "DELETE /x?reason=a%20b HTTP/1.1\r\n" + host +
          "Sec-Fetch-Site: cross-site\r\nAccept-Encoding: gzip, br\r\nIf-None-Match: \"a\"\r\n\r\n",
  };
}

}  // namespace

std::vector<Target> network_targets() {
  return {{"http", Shape::bytes, 2'000, http_seeds, run_http}};
}

}  // namespace penstock::fuzz
