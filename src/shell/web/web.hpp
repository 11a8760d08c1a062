// The way in by browser: HTTP on loopback, a small router, the front end out of the binary.
//
// server.cpp is the only place that knows Boost; it turns bytes into Request and Response.
// routes.cpp holds the table of calls, made of the pages' rows (edge/pages) and the acts
// (acts.cpp); each has an example that the tests replay.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <memory>
#include <span>
#include <stop_token>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/base.hpp"
#include "edge/pages/pages.hpp"
#include "shell/desk/desk.hpp"

namespace penstock::web {

using pages::Texts;

struct Request {
  std::string method;  ///< "GET" (also for HEAD), "POST", "DELETE"
  std::string path;    ///< decoded, without the query
  Texts query;         ///< decoded
  std::string content_type;
  std::string if_none_match;
  std::string accept_encoding;
  std::string body;
  /// Nobody waits for the answer any more, or its time is over. Long loops look at it.
  std::stop_token stop = {};
};

struct Response {
  int status = 200;
  std::string content_type = "application/json; charset=utf-8";
  std::string body;
  std::vector<std::pair<std::string, std::string>> headers;
  /// Instead of `body`: bytes that live as long as the program (files of the front end).
  std::string_view fixed;
  /// Identities that `body` proposes; who reads it again gets others, and still the same document.
  std::vector<Id> proposed = {};
};

using Handler = std::function<Response(const Request&)>;

/// Where a request is answered: what takes long has threads of its own, so that nobody's page waits
/// for another's calculation.
enum class Lane : std::uint8_t {
  at_once,  ///< on the threads that read the network: out of memory, in microseconds
  records,  ///< pages and acts, on the disk
  slow,     ///< calculations, everybody, whole files: a few at a time, and not for ever
};

namespace codes {
inline constexpr std::string_view foreign_host = "web.foreign_host";
inline constexpr std::string_view foreign_origin = "web.foreign_origin";
inline constexpr std::string_view no_token = "web.no_token";  // came without the start token
inline constexpr std::string_view bad_request = "web.bad_request";
inline constexpr std::string_view query_twice = "web.query_twice";  // [field]
inline constexpr std::string_view header_large = "web.header_large";
inline constexpr std::string_view body_large = "web.body_large";
inline constexpr std::string_view busy = "web.busy";
inline constexpr std::string_view no_such_path = "web.no_such_path";  // [path]
inline constexpr std::string_view method = "web.method";              // [method, path, allowed]
inline constexpr std::string_view media_type = "web.media_type";      // [type, expected]
inline constexpr std::string_view fault = "web.fault";
inline constexpr std::string_view port_taken = "web.port_taken";  // [port]
}  // namespace codes

/// What a client may do to us. Loopback only: the records are people's.
struct Limits {
  std::size_t header_bytes = 16'384;
  std::size_t body_bytes = 1'048'576;      ///< a request is some kilobytes
  std::size_t upload_bytes = 134'217'728;  ///< a diary or a journal file, as the edge limits them
  int uploads_at_once = 4;                 ///< each may take upload_bytes of memory
  std::chrono::seconds header_time{10};    ///< whole header: a byte a second does not hold a place
  std::chrono::seconds body_time{60};
  std::chrono::seconds idle_time{75};
  std::chrono::seconds idle_time_crowded{10};  ///< once half of the connections are taken
  /// When they are all taken, the one that has rested longest makes room. There is no limit for a
  /// peer: on loopback all are one.
  std::size_t connections = 512;
  std::size_t slow_waiting = 16;        ///< for the slow lane; one more is told to come again
  std::chrono::seconds slow_time{120};  ///< then the work is told to stop
  std::chrono::seconds last_time{5};    ///< at the end, for what is being answered
};

struct ServeOptions {
  std::uint16_t port = 4650;  ///< 0: any free one
  /// When the port is taken, the next free one of the following twenty.
  bool next_free_port = true;
  int threads = 2;         ///< that read and write the network
  int record_threads = 8;  ///< they wait for the disk more than they work
  int slow_threads = 2;
  Limits limits = {};
  /// S6: who may ask. It is handed over in the first address, /?start=TOKEN, and then a cookie that
  /// no other site's page sends and no script reads. Empty: everybody, for tests of what is below.
  std::string token = {};
  std::function<Lane(const Request&)> lane = [](const Request&) { return Lane::records; };
  /// Which paths take an upload instead of a request.
  std::function<bool(std::string_view path)> is_upload = [](std::string_view) { return false; };
  /// How many bytes such a path takes at most, below Limits::upload_bytes (L11).
  std::function<std::size_t(std::string_view path)> upload_most = [](std::string_view) {
    return SIZE_MAX;
  };
};

/// Listens on 127.0.0.1 from construction until destruction. Refuses foreign hosts (a name that was
/// bent to this address), foreign origins, other users of this machine, over-long bodies and slow
/// requests. Its end lets
/// requests that are being answered finish for a while (Limits::last_time), then asks them to stop.
class Server {
 public:
  /// Error: codes::port_taken.
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

/// One call of the API: a page's row and the desk's page, or an act's row and what is done for it.
struct Call {
  desk::Desk& desk;
  const pages::Row& row;
  const pages::Given& given;
  const Caller& caller;
  const std::stop_token& stop;  ///< nobody waits for the answer any more
};
struct Route {
  pages::Row row;
  Response (*run)(const Call&);
};
/// All of them, by path.
const std::vector<Route>& routes();

/// L3, H20: a record of a person names the version that its writer looked at (`seen_version`). It
/// is only taken without one from a test that sends what nobody looked at.
enum class Blind : std::uint8_t { refused, taken };
/// The whole site: API, front end, and what is neither. `desk` must outlive it.
Handler site(desk::Desk& desk, Blind blind = Blind::refused);
/// Whether a path takes an upload.
bool takes_upload(std::string_view path);
/// How many bytes it takes at most.
std::size_t upload_most(std::string_view path);
/// Which lane a request of the site goes into.
Lane lane_of(const Request& request);

Response refusal(const Error& error, const words::Catalogue& words);
/// One table from kind to status.
int status_of(Kind kind);

}  // namespace penstock::web
