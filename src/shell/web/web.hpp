// The way in by browser: HTTP on loopback, a small router, the front end out of the binary.
//
// server.cpp is the only place that knows Boost; it turns bytes into Request and Response. routes.cpp holds the table of calls: each
// says what it takes, what it answers, which refusals it knows, and one example that the tests replay.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "shell/desk/desk.hpp"

namespace penstock::web {

struct Request {
  std::string method;  ///< "GET", "POST"
  std::string path;    ///< decoded, without the query
  std::map<std::string, std::string, std::less<>> query;  ///< decoded; the last of equal names
  std::string content_type;
  std::string if_none_match;
  std::string body;
};

struct Response {
  int status = 200;
  std::string content_type = "application/json; charset=utf-8";
  std::string body;
  std::vector<std::pair<std::string, std::string>> headers;
  /// Instead of `body`: bytes that live as long as the program (files of the front end).
  std::string_view fixed;
};

using Handler = std::function<Response(const Request&)>;

/// What a client may do to us. Loopback only: the records are people's.
struct Limits {
  std::size_t header_bytes = 16'384;
  std::size_t body_bytes = 1'048'576;         ///< a request is some kilobytes
  std::size_t upload_bytes = 134'217'728;     ///< a diary or a journal file, as the edge limits them
  std::chrono::seconds header_time{10};       ///< for the whole header: one byte a second does not hold a place
  std::chrono::seconds body_time{60};
  std::chrono::seconds idle_time{75};
  std::size_t connections = 512;
};

struct ServeOptions {
  std::uint16_t port = 4650;      ///< 0: any free one
  bool next_free_port = true;     ///< when the port is taken, the next free one of the following twenty
  int threads = 2;
  Limits limits;
  /// Which paths take an upload instead of a request.
  std::function<bool(std::string_view path)> is_upload = [](std::string_view) { return false; };
};

/// Listens on 127.0.0.1 from construction until destruction. Refuses foreign hosts (a name that was bent to this address), foreign
/// origins, over-long bodies and slow requests.
class Server {
 public:
  static Result<std::unique_ptr<Server>> start(const ServeOptions& options, Handler handler);
  ~Server();
  Server(const Server&) = delete;
  Server& operator=(const Server&) = delete;
  std::uint16_t port() const;
  /// Blocks until a signal to end arrives (SIGINT, SIGTERM).
  void wait_for_signal();

 private:
  struct Inside;
  explicit Server(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> in_;
};

/// One call of the API.
struct Route {
  std::string_view method;
  std::string_view pattern;  ///< "/api/people/{id}/facts"; one {name} matches one segment
  std::string_view summary;
  std::string_view takes;    ///< what the query or the body is, with units
  std::string_view answers;  ///< which document of web/src/model.ts
  std::vector<std::string_view> codes;  ///< refusals of its own, beside those of reading a request
  std::string_view example;  ///< a path or a body that works in the demo clinic
  std::function<Response(desk::Desk&, const Request&, const std::map<std::string, std::string, std::less<>>& in_path)> run;
};
const std::vector<Route>& routes();

/// The whole site: API, front end, and what is neither.
Handler site(desk::Desk& desk);
/// Whether a path takes an upload.
bool takes_upload(std::string_view path);

Response refusal(const Error& error);
/// One table from kind to status.
int status_of(Kind kind);

}  // namespace penstock::web
