// The one translation unit that knows Boost.Beast and Asio.
#include <arpa/inet.h>
#include <malloc.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <boost/asio.hpp>
#include <boost/asio/awaitable.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/thread_pool.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/beast.hpp>
#include <boost/beast/http.hpp>
#include <list>
#include <mutex>
#include <thread>

#include "shell/web/internal/peer.hpp"
#include "shell/web/internal/site.hpp"
#include "shell/web/internal/target.hpp"
#include "shell/web/web.hpp"

namespace penstock::web {
namespace {

namespace beast = boost::beast;
namespace http = beast::http;
namespace net = boost::asio;
using tcp = net::ip::tcp;
using Parser = http::request_parser<http::string_body>;

// What the slow lane's threads give way by, so that a page never waits for a processor that works
// on somebody's month.
constexpr int slow_nice = 10;
// After an early refusal the rest of what the client is still sending is read and dropped, up to
// these: closed at once, the network would take the answer away from under it.
constexpr std::chrono::seconds linger_time{2};
constexpr std::size_t linger_bytes = 268'435'456;

constexpr std::string_view start_word = "start";  // /?start=TOKEN
constexpr std::string_view open_path = "/api/health";

std::string_view view(beast::string_view text) { return {text.data(), text.size()}; }

Response plain_refusal(int status, std::string_view code) {
  auto answer = refusal({Kind::invalid_input, std::string(code), {}, ""}, words::english());
  answer.status = status;
  return answer;
}

// Of two values nobody can say which was meant.
Response said_twice(std::string_view field) {
  auto answer = refusal(
      {Kind::invalid_input, std::string(codes::query_twice), {arg_text("field", field)}, ""},
      words::english());
  answer.status = 400;
  return answer;
}

std::optional<Response> unwelcome(const Parser& parser, std::uint16_t port) {
  const auto& head = parser.get();
  if (head.count(http::field::host) != 1 || !is_our_host(view(head[http::field::host]), port)) {
    return plain_refusal(421, codes::foreign_host);
  }
  if (head.count(http::field::origin) > 0 &&
      (head.count(http::field::origin) > 1 ||
       !is_our_origin(view(head[http::field::origin]), port))) {
    return plain_refusal(403, codes::foreign_origin);
  }
  // L1: a page from elsewhere, also from another port of this machine, may follow a link to us, and
  // no more: it cannot read what it asks for, but can make us work.
  const bool only_reads = head.method() == http::verb::get || head.method() == http::verb::head;
  const auto from = view(head["Sec-Fetch-Site"]);
  const bool foreign = from == "cross-site" || from == "same-site";
  if (foreign && (!only_reads || view(head.target()).starts_with("/api"))) {
    return plain_refusal(403, codes::foreign_origin);
  }
  // L2: a coding that we do not know would leave the body to be read as the next request.
  const auto codings = head.count(http::field::transfer_encoding);
  if (codings > 1 ||
      (codings == 1 && !beast::iequals(head[http::field::transfer_encoding], "chunked"))) {
    return plain_refusal(400, codes::bad_request);
  }
  return std::nullopt;
}

// As long for a wrong token as for the right one.
bool same_token(std::string_view a, std::string_view b) {
  unsigned differs = a.size() == b.size() ? 0 : 1;
  for (std::size_t i = 0; i < std::min(a.size(), b.size()); ++i)
    differs |= static_cast<unsigned char>(a[i] ^ b[i]);
  return differs == 0;
}

// A browser keeps one jar for all ports of a host.
std::string cookie_name(std::uint16_t port) { return "penstock-" + std::to_string(port); }

bool has_cookie(std::string_view jar, std::string_view name, std::string_view token) {
  while (!jar.empty()) {
    const auto end = std::min(jar.find(';'), jar.size());
    auto one = jar.substr(0, end);
    jar.remove_prefix(std::min(end + 1, jar.size()));
    one.remove_prefix(std::min(one.find_first_not_of(' '), one.size()));
    const auto equals = one.find('=');
    if (equals != std::string_view::npos && one.substr(0, equals) == name &&
        same_token(one.substr(equals + 1), token)) {
      return true;
    }
  }
  return false;
}

// S6. Nothing: whoever asks has shown the token.
std::optional<Response> unknown(const Parser& parser, const Target& target,
                                const ServeOptions& options, std::uint16_t port) {
  if (options.token.empty() || target.path == open_path) return std::nullopt;
  const auto shown = target.query.find(start_word);
  const auto& head = parser.get();
  if (shown != target.query.end() && head.method() == http::verb::get &&
      same_token(shown->second, options.token)) {
    Response answer{303, "text/plain; charset=utf-8", "", {}, {}};
    answer.headers = {{"Location", as_written(target.path)},
                      {"Set-Cookie", cookie_name(port) + "=" + options.token +
                                         "; Path=/; HttpOnly; SameSite=Strict"}};
    return answer;
  }
  if (head.count(http::field::cookie) == 1 &&
      has_cookie(view(head[http::field::cookie]), cookie_name(port), options.token)) {
    return std::nullopt;
  }
  return closed_door(target.path.starts_with("/api"));
}

// S6: the file is its owner's; so is what is served from it.
bool is_this_user(const tcp::socket& socket) {
  beast::error_code failed;
  const auto theirs = socket.remote_endpoint(failed);
  const auto ours = socket.local_endpoint(failed);
  if (failed || !theirs.address().is_v4() || !ours.address().is_v4()) return false;
  const auto end = [](const tcp::endpoint& at) {
    return End{htonl(at.address().to_v4().to_uint()), at.port()};
  };
  return user_of(end(theirs), end(ours)) == ::geteuid();
}

template <class Fields>
void set_headers(Fields& reply, const Response& answer) {
  reply.set(http::field::content_type, answer.content_type);
  // One place for what every answer carries: nothing from elsewhere, not framed, not sniffed, not
  // kept.
  reply.set("Content-Security-Policy",
            "default-src 'self'; img-src 'self' data:; object-src 'none'; base-uri 'none'; "
            "form-action 'self'; frame-ancestors 'none'");
  reply.set("X-Content-Type-Options", "nosniff");
  reply.set("Referrer-Policy", "no-referrer");
  reply.set("Cross-Origin-Resource-Policy", "same-origin");
  reply.set("Cross-Origin-Opener-Policy", "same-origin");
  reply.set(http::field::cache_control, "no-store");
  for (const auto& [name, value] : answer.headers) reply.set(name, value);
}

// Counts up for as long as it lives.
class Counted {
 public:
  explicit Counted(std::atomic<int>& counter) : counter_(counter) { ++counter_; }
  ~Counted() { --counter_; }
  Counted(const Counted&) = delete;
  Counted& operator=(const Counted&) = delete;

 private:
  std::atomic<int>& counter_;
};

enum class Method { other, head };
enum class Then { keep, close };

// Linux counts niceness by thread.
void give_way() {
  thread_local const bool given = [] {
    const auto thread = static_cast<id_t>(::syscall(SYS_gettid));
    return ::setpriority(PRIO_PROCESS, thread, slow_nice) == 0;
  }();
  static_cast<void>(given);  // where the system refuses, the lane is as quick as the others
}

// A connection between two requests.
struct Resting {
  net::any_io_executor strand;
  beast::tcp_stream* stream = nullptr;  // on its strand alone; none: it has something to do again
  bool is_asked = false;                // to make room
};

// Those that rest, in the order in which they began.
class Rest {
 public:
  using Place = std::list<std::shared_ptr<Resting>>::iterator;

  Place begin(beast::tcp_stream& stream) {
    auto one = std::make_shared<Resting>(stream.get_executor(), &stream);
    const std::lock_guard lock(mutex_);
    return all_.insert(all_.end(), std::move(one));
  }
  void end(Place place) {
    const std::lock_guard lock(mutex_);
    if (over_) return;
    (*place)->stream = nullptr;
    all_.erase(place);
  }
  /// For as long as it lives, a connection has nothing to do, or has shown no whole request yet:
  /// whoever sends half of one holds no place against another (S6).
  class Here {
   public:
    Here(Rest& rest, beast::tcp_stream& stream) : rest_(rest), place_(rest.begin(stream)) {}
    ~Here() { rest_.end(place_); }
    Here(const Here&) = delete;
    Here& operator=(const Here&) = delete;

   private:
    Rest& rest_;
    Place place_;
  };
  // Once no connection goes on: those that rested still do, and their strands are the context's,
  // which ends before this.
  void forget() {
    const std::lock_guard lock(mutex_);
    all_.clear();
    over_ = true;
  }
  // Asks the one that has rested longest to go. False: nobody rests.
  bool make_room() {
    const std::lock_guard lock(mutex_);
    const auto longest = std::ranges::find(all_, false, &Resting::is_asked);
    if (longest == all_.end()) return false;
    (*longest)->is_asked = true;
    net::post((*longest)->strand, [one = *longest] {
      if (one->stream != nullptr) one->stream->close();
    });
    return true;
  }

 private:
  std::mutex mutex_;
  std::list<std::shared_ptr<Resting>> all_;
  bool over_ = false;
};

// A request that is being answered, as its watchers know it. Changed on its connection's strand.
struct Task {
  std::stop_source stop;
  bool done = false;
};

// A request that is being read, with what its answer needs to know.
struct Exchange {
  beast::tcp_stream& stream;
  unsigned version = 11;
  Method method = Method::other;
};

}  // namespace

struct Server::Inside {
  ServeOptions options;
  Handler handler;
  // Before the context: connections that it still holds at its end count themselves down.
  std::atomic<int> open{0};
  std::atomic<int> busy{0};
  std::atomic<int> uploads{0};
  std::atomic<int> slow{0};
  std::atomic<bool> ending{false};
  std::stop_source end;  // whatever is still being answered is to stop
  Rest rest;
  net::io_context io;
  // A use case blocks on the disk: never on the threads that read the network.
  net::thread_pool workers;
  net::thread_pool slow_workers;
  tcp::acceptor acceptor{io};
  net::signal_set signals{io};
  std::vector<std::thread> threads;
  std::uint16_t port = 0;

  Inside(const ServeOptions& asked, Handler handle)
      : options(asked),
        handler(std::move(handle)),
        workers(static_cast<std::size_t>(asked.record_threads)),
        slow_workers(static_cast<std::size_t>(asked.slow_threads)) {}

  Response handle(const Request& request) noexcept {
    try {
      return handler(request);
    } catch (...) {
      // The desk names its incidents; what gets here is a fault of the web's own.
      return plain_refusal(500, codes::fault);
    }
  }

  bool slow_is_full() const {
    const auto most = static_cast<std::size_t>(options.slow_threads) + options.limits.slow_waiting;
    return static_cast<std::size_t>(slow) > most;
  }

  // Until the task is done, a client that goes away stops it.
  static void watch(tcp::socket& socket, const std::shared_ptr<Task>& task) {
    socket.async_wait(tcp::socket::wait_read, [task, &socket](const beast::error_code& error) {
      if (error || task->done) return;
      // Bytes would be its next request, which waits; from then on nobody looks.
      char byte = 0;
      const auto got = ::recv(socket.native_handle(), &byte, 1, MSG_PEEK | MSG_DONTWAIT);
      if (got == 0) task->stop.request_stop();
    });
  }

  net::awaitable<Response> answer(Exchange& with, Request& request) {
    const auto lane = options.lane(request);
    if (lane == Lane::at_once) co_return handle(request);
    std::optional<Counted> in_slow;
    if (lane == Lane::slow) in_slow.emplace(slow);
    if (lane == Lane::slow && slow_is_full()) co_return plain_refusal(503, codes::busy);
    const auto task = std::make_shared<Task>();
    request.stop = task->stop.get_token();
    const std::stop_callback at_the_end(end.get_token(), [task] { task->stop.request_stop(); });
    net::steady_timer time(co_await net::this_coro::executor);
    if (lane == Lane::slow) {
      time.expires_after(options.limits.slow_time);
      time.async_wait([task](const beast::error_code& error) {
        if (!error) task->stop.request_stop();
      });
    }
    auto& socket = with.stream.socket();
    watch(socket, task);
    auto run = [this, &request, lane]() -> net::awaitable<Response> {
      if (lane == Lane::slow) give_way();
      // Whoever went while it waited for its turn needs no work.
      if (request.stop.stop_requested()) co_return plain_refusal(503, codes::busy);
      co_return handle(request);
    };
    auto& pool = lane == Lane::slow ? slow_workers : workers;
    Response response = co_await net::co_spawn(pool, std::move(run), net::use_awaitable);
    task->done = true;
    beast::error_code ignored;
    socket.cancel(ignored);  // the watch
    co_return response;
  }

  template <class Message>
  net::awaitable<bool> write(Exchange& with, Message& reply, const Response& answer, Then then) {
    beast::error_code error;
    auto done = net::redirect_error(net::use_awaitable, error);
    set_headers(reply, answer);
    reply.keep_alive(then == Then::keep);
    with.stream.expires_after(options.limits.body_time);
    co_await http::async_write(with.stream, reply, done);
    co_return !error;
  }

  // True: the connection goes on.
  net::awaitable<bool> send(Exchange& with, Response answer, Then then) {
    const auto status = static_cast<http::status>(answer.status);
    const auto size = answer.fixed.empty() ? answer.body.size() : answer.fixed.size();
    bool sent = false;
    if (with.method == Method::head || answer.status == 304) {
      http::response<http::empty_body> reply{status, with.version};
      if (answer.status != 304) reply.content_length(size);
      sent = co_await write(with, reply, answer, then);
    } else if (!answer.fixed.empty()) {
      http::response<http::span_body<const char>> reply{status, with.version};
      reply.body() = beast::span<const char>(answer.fixed.data(), size);
      reply.content_length(size);
      sent = co_await write(with, reply, answer, then);
    } else {
      http::response<http::string_body> reply{status, with.version};
      reply.body() = std::move(answer.body);
      reply.content_length(size);
      sent = co_await write(with, reply, answer, then);
    }
    co_return sent&& then == Then::keep;
  }

  // An answer before the request was read to its end.
  net::awaitable<bool> cut_short(Exchange& with, Response answer) {
    co_await send(with, std::move(answer), Then::close);
    beast::error_code error;
    auto done = net::redirect_error(net::use_awaitable, error);
    with.stream.socket().shutdown(tcp::socket::shutdown_send, error);
    with.stream.expires_after(linger_time);
    std::array<char, 16'384> dropped;
    const Rest::Here answered(rest, with.stream);
    for (std::size_t seen = 0; seen < linger_bytes && !error;) {
      seen += co_await with.stream.async_read_some(net::buffer(dropped), done);
    }
    co_return false;
  }

  // Between requests a connection may rest. False: it ended.
  net::awaitable<bool> wait_for_first_byte(beast::tcp_stream& stream, beast::flat_buffer& buffer) {
    if (buffer.size() > 0) co_return true;  // a second request came with the first
    beast::error_code error;
    auto done = net::redirect_error(net::use_awaitable, error);
    const bool crowded = static_cast<std::size_t>(open) > options.limits.connections / 2;
    stream.expires_after(crowded ? options.limits.idle_time_crowded : options.limits.idle_time);
    auto room = buffer.prepare(4096);
    const Rest::Here resting(rest, stream);
    const std::size_t got = co_await stream.async_read_some(room, done);
    buffer.commit(got);
    co_return !error;
  }

  // Reads one request and answers it. False: the connection ends.
  net::awaitable<bool> one(beast::tcp_stream& stream, beast::flat_buffer& buffer) {
    const bool begun = co_await wait_for_first_byte(stream, buffer);
    if (!begun) co_return false;
    const Counted working(busy);
    Parser parser;
    parser.header_limit(static_cast<std::uint32_t>(options.limits.header_bytes));
    // Until the path is known, the largest of the limits; the parser's own would be a megabyte.
    parser.body_limit(options.limits.upload_bytes);
    beast::error_code error;
    auto done = net::redirect_error(net::use_awaitable, error);
    // Once the first byte is there, the whole header has its time: a drip does not renew it.
    stream.expires_after(options.limits.header_time);
    {
      const Rest::Here unread(rest, stream);
      co_await http::async_read_header(stream, buffer, parser, done);
    }
    Exchange with{stream};
    if (error == http::error::header_limit) {
      co_return co_await cut_short(with, plain_refusal(431, codes::header_large));
    }
    if (error == beast::error::timeout || error == http::error::end_of_stream) co_return false;
    if (error == http::error::body_limit) {  // the length in the header is beyond any limit
      co_return co_await cut_short(with, plain_refusal(413, codes::body_large));
    }
    if (error) co_return co_await cut_short(with, plain_refusal(400, codes::bad_request));
    with.version = parser.get().version();
    if (parser.get().method() == http::verb::head) with.method = Method::head;
    if (auto refused = unwelcome(parser, port)) {
      co_return co_await cut_short(with, *std::move(refused));
    }
    co_return co_await read_body(with, buffer, parser);
  }

  net::awaitable<bool> read_body(Exchange& with, beast::flat_buffer& buffer, Parser& parser) {
    const auto& head = parser.get();
    auto target = read_target(view(head.target()));
    if (!target) co_return co_await cut_short(with, plain_refusal(400, codes::bad_request));
    if (auto closed = unknown(parser, *target, options, port)) {
      co_return co_await cut_short(with, *std::move(closed));
    }
    if (!target->twice.empty()) co_return co_await cut_short(with, said_twice(target->twice));
    const bool upload = options.is_upload(target->path);
    std::optional<Counted> uploading;
    if (upload) uploading.emplace(uploads);
    if (upload && uploads > options.limits.uploads_at_once) {
      co_return co_await cut_short(with, plain_refusal(503, codes::busy));
    }
    const auto most = upload
                          ? std::min(options.limits.upload_bytes, options.upload_most(target->path))
                          : options.limits.body_bytes;
    const auto length = parser.content_length();
    if (length && *length > most) {
      co_return co_await cut_short(with, plain_refusal(413, codes::body_large));
    }
    parser.body_limit(most);  // a chunked body says no length: counted while it comes
    beast::error_code error;
    auto done = net::redirect_error(net::use_awaitable, error);
    with.stream.expires_after(options.limits.body_time);
    if (beast::iequals(head[http::field::expect], "100-continue")) {
      constexpr std::string_view go_on = "HTTP/1.1 100 Continue\r\n\r\n";
      co_await net::async_write(with.stream, net::buffer(go_on), done);
    }
    if (!error && !parser.is_done()) co_await http::async_read(with.stream, buffer, parser, done);
    if (error == http::error::body_limit) {
      co_return co_await cut_short(with, plain_refusal(413, codes::body_large));
    }
    if (error == beast::error::timeout) co_return false;
    if (error) co_return co_await cut_short(with, plain_refusal(400, codes::bad_request));

    const bool is_head = with.method == Method::head;
    Request request{is_head ? "GET" : std::string(view(head.method_string())),
                    std::move(target->path),
                    std::move(target->query),
                    std::string(view(head[http::field::content_type])),
                    std::string(view(head[http::field::if_none_match])),
                    std::string(view(head[http::field::accept_encoding])),
                    {}};
    const bool keep = head.keep_alive();
    request.body = std::move(parser.get().body());
    with.stream.expires_never();
    Response response = co_await answer(with, request);
    if (upload) {  // L10: what a large file took goes back to the system
      request.body = {};
      ::malloc_trim(0);
    }
    co_return co_await send(with, std::move(response), keep && !ending ? Then::keep : Then::close);
  }

  net::awaitable<void> session(tcp::socket socket) {
    const Counted connected(open);
    beast::tcp_stream stream(std::move(socket));
    beast::flat_buffer buffer;
    beast::error_code error;
    stream.socket().set_option(tcp::no_delay(true), error);
    try {
      bool more = true;
      while (more) more = co_await one(stream, buffer);
    } catch (const std::exception&) {
      // A connection that broke, or no memory for it: there is nobody left to tell.
    }
    stream.socket().shutdown(tcp::socket::shutdown_send, error);
  }

  net::awaitable<void> listen() {
    for (;;) {
      beast::error_code error;
      auto done = net::redirect_error(net::use_awaitable, error);
      tcp::socket socket = co_await acceptor.async_accept(net::make_strand(io), done);
      if (ending || error == net::error::operation_aborted) co_return;
      if (error) {
        // No descriptors left, say: the connection waits, and so do we instead of spinning.
        net::steady_timer pause(io, std::chrono::milliseconds(50));
        co_await pause.async_wait(done);
        continue;
      }
      // One too many takes the place of the one that has rested longest. Where nobody rests it is
      // closed at once: the socket goes out of scope.
      if (!is_this_user(socket)) continue;
      const bool full = static_cast<std::size_t>(open) >= options.limits.connections;
      if (full && !rest.make_room()) continue;
      auto where = socket.get_executor();
      net::co_spawn(where, session(std::move(socket)), net::detached);
    }
  }

  bool bind(std::uint16_t wanted) {
    beast::error_code error;
    const tcp::endpoint here{net::ip::address_v4::loopback(), wanted};
    acceptor.open(here.protocol(), error);
    if (!error) acceptor.set_option(net::socket_base::reuse_address(true), error);
    if (!error) acceptor.bind(here, error);
    if (!error) acceptor.listen(net::socket_base::max_listen_connections, error);
    if (error) {
      beast::error_code ignored;
      acceptor.close(ignored);
      return false;
    }
    port = acceptor.local_endpoint().port();
    return true;
  }
};

Server::Server(std::unique_ptr<Inside> inside) : in_(std::move(inside)) {}

Result<std::unique_ptr<Server>> Server::start(const ServeOptions& options, Handler handler) {
  auto inside = std::make_unique<Inside>(options, std::move(handler));
  bool bound = inside->bind(options.port);
  for (int next = 1; !bound && options.next_free_port && next <= 20; ++next) {
    bound = inside->bind(static_cast<std::uint16_t>(options.port + next));
  }
  if (!bound) {
    return Error{Kind::unavailable,
                 std::string(codes::port_taken),
                 {arg_text("port", std::to_string(options.port))},
                 ""};
  }
  net::co_spawn(inside->io, inside->listen(), net::detached);
  for (int i = 0; i < options.threads; ++i) {
    inside->threads.emplace_back([raw = inside.get()] { raw->io.run(); });
  }
  return std::unique_ptr<Server>(new Server(std::move(inside)));
}

Server::~Server() {
  in_->ending = true;
  net::post(in_->io, [raw = in_.get()] {
    beast::error_code ignored;
    raw->acceptor.close(ignored);
  });
  const auto wait = [this](std::chrono::steady_clock::duration most) {
    const auto latest = std::chrono::steady_clock::now() + most;
    while (in_->busy > 0 && std::chrono::steady_clock::now() < latest) {
      std::this_thread::sleep_for(std::chrono::milliseconds(5));
    }
  };
  wait(in_->options.limits.last_time);
  in_->end.request_stop();
  wait(std::chrono::seconds(1));  // what was stopped has an answer, too
  in_->io.stop();
  for (auto& thread : in_->threads) thread.join();
  in_->workers.join();
  in_->slow_workers.join();
  in_->rest.forget();
}

std::uint16_t Server::port() const { return in_->port; }

void Server::wait_for_signal() {
  std::atomic<bool> ended{false};
  beast::error_code ignored;
  in_->signals.add(SIGINT, ignored);
  in_->signals.add(SIGTERM, ignored);
  in_->signals.async_wait([&ended](const beast::error_code&, int) {
    ended = true;
    ended.notify_all();
  });
  ended.wait(false);
}

}  // namespace penstock::web
