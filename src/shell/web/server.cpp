// The one translation unit that knows Boost.Beast and Asio.
#include <boost/asio.hpp>
#include <boost/asio/awaitable.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/thread_pool.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/beast.hpp>
#include <boost/beast/http.hpp>

#include <atomic>
#include <thread>

#include "shell/web/web.hpp"

namespace penstock::web {
namespace {

namespace beast = boost::beast;
namespace http = beast::http;
namespace net = boost::asio;
using tcp = net::ip::tcp;
using Parser = http::request_parser<http::string_body>;
using Reply = http::response<http::string_body>;
using FixedReply = http::response<http::span_body<const char>>;

std::string_view view(beast::string_view text) { return {text.data(), text.size()}; }

// %41 -> A. Nothing when an escape is broken: such a request is refused, never guessed at.
std::optional<std::string> decoded(std::string_view text, bool plus_is_space) {
  const auto hex = [](char c) {
    return c >= '0' && c <= '9' ? c - '0' : c >= 'a' && c <= 'f' ? c - 'a' + 10 : c >= 'A' && c <= 'F' ? c - 'A' + 10 : -1;
  };
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '%') {
      if (i + 2 >= text.size() || hex(text[i + 1]) < 0 || hex(text[i + 2]) < 0) return std::nullopt;
      out += static_cast<char>(hex(text[i + 1]) * 16 + hex(text[i + 2]));
      i += 2;
    } else {
      out += text[i] == '+' && plus_is_space ? ' ' : text[i];
    }
  }
  return out;
}

bool read_target(std::string_view target, Request& request) {
  const auto mark = target.find('?');
  const auto path = decoded(target.substr(0, mark), false);
  if (!path || path->empty() || path->front() != '/' || path->find('\0') != std::string::npos) return false;
  request.path = *path;
  auto rest = mark == std::string_view::npos ? std::string_view{} : target.substr(mark + 1);
  while (!rest.empty()) {
    const auto pair = rest.substr(0, rest.find('&'));
    rest = pair.size() < rest.size() ? rest.substr(pair.size() + 1) : std::string_view{};
    const auto equals = pair.find('=');
    const auto name = decoded(pair.substr(0, equals), true);
    const auto value = equals == std::string_view::npos ? std::optional<std::string>("") : decoded(pair.substr(equals + 1), true);
    if (!name || !value) return false;
    request.query[*name] = *value;
  }
  return true;
}

// The host that a browser was told, or the origin of a page that asks, must be ours: a foreign name bent to 127.0.0.1 is not.
bool is_our_host(std::string_view host, std::uint16_t port) {
  const auto suffix = ":" + std::to_string(port);
  if (!host.ends_with(suffix)) return false;
  host.remove_suffix(suffix.size());
  return host == "127.0.0.1" || host == "localhost";
}

Response plain_refusal(int status, std::string_view code) {
  auto answer = refusal({Kind::invalid_input, std::string(code), {}, ""});
  answer.status = status;
  return answer;
}

std::optional<Response> unwelcome(const Parser& parser, std::uint16_t port) {
  const auto& head = parser.get();
  if (head.count(http::field::host) != 1 || !is_our_host(view(head[http::field::host]), port)) {
    return plain_refusal(421, "web.foreign_host");
  }
  if (const auto origin = view(head[http::field::origin]); !origin.empty()) {
    if (!origin.starts_with("http://") || !is_our_host(origin.substr(7), port)) {
      return plain_refusal(403, "web.foreign_origin");
    }
  }
  if (const auto site = view(head["Sec-Fetch-Site"]);
      head.method() != http::verb::get && site == "cross-site") {
    return plain_refusal(403, "web.foreign_origin");
  }
  return std::nullopt;
}

template <class Body>
void set_headers(http::response<Body>& reply, const Response& answer, bool keep_alive) {
  reply.set(http::field::content_type, answer.content_type);
  // One place for what every answer carries: nothing from elsewhere, not framed, not sniffed, not kept.
  reply.set(http::field::content_security_policy,
            "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; "
            "object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'");
  reply.set(http::field::x_content_type_options, "nosniff");
  reply.set(http::field::referrer_policy, "no-referrer");
  reply.set("Cross-Origin-Resource-Policy", "same-origin");
  reply.set("Cross-Origin-Opener-Policy", "same-origin");
  bool cached = false;
  for (const auto& [name, value] : answer.headers) {
    reply.set(name, value);
    cached = cached || name == "Cache-Control";
  }
  if (!cached) reply.set(http::field::cache_control, "no-store");
  reply.keep_alive(keep_alive);
  reply.prepare_payload();
}

}  // namespace

struct Server::Inside {
  ServeOptions options;
  Handler handler;
  net::io_context io;
  net::thread_pool workers;  // a use case blocks on the disk: never on the threads that read the network
  tcp::acceptor acceptor{io};
  net::signal_set signals{io};
  std::vector<std::thread> threads;
  std::atomic<std::size_t> open{0};
  std::uint16_t port = 0;

  explicit Inside(const ServeOptions& asked, Handler handle)
      : options(asked), handler(std::move(handle)), workers(static_cast<std::size_t>(asked.threads)) {}

  Response handle(const Request& request) noexcept {
    try {
      return handler(request);
    } catch (...) {
      // The desk names its incidents; what gets here is a fault of the web's own.
      return plain_refusal(500, "web.fault");
    }
  }

  net::awaitable<Response> answer(const Request& request) {
    auto run = [this, &request]() -> net::awaitable<Response> { co_return handle(request); };
    Response response = co_await net::co_spawn(workers, std::move(run), net::use_awaitable);
    co_return response;
  }

  net::awaitable<bool> send(beast::tcp_stream& stream, const Response& answer, unsigned version, bool keep_alive, bool head_only) {
    beast::error_code error;
    auto done = net::redirect_error(net::use_awaitable, error);
    stream.expires_after(options.limits.body_time);
    if (!answer.fixed.empty() && !head_only) {
      FixedReply reply{static_cast<http::status>(answer.status), version};
      reply.body() = beast::span<const char>(answer.fixed.data(), answer.fixed.size());
      set_headers(reply, answer, keep_alive);
      co_await http::async_write(stream, reply, done);
    } else {
      Reply reply{static_cast<http::status>(answer.status), version};
      if (!head_only) reply.body() = answer.body;
      set_headers(reply, answer, keep_alive);
      co_await http::async_write(stream, reply, done);
    }
    co_return !error && keep_alive;
  }

  // Reads one request and answers it. False: the connection ends.
  net::awaitable<bool> one(beast::tcp_stream& stream, beast::flat_buffer& buffer) {
    Parser parser;
    parser.header_limit(static_cast<std::uint32_t>(options.limits.header_bytes));
    parser.body_limit(options.limits.upload_bytes);
    beast::error_code error;
    auto done = net::redirect_error(net::use_awaitable, error);
    if (buffer.size() == 0) {
      // Between requests a connection may rest; once the first byte is there, the whole header has its time.
      stream.expires_after(options.limits.idle_time);
      auto room = buffer.prepare(4096);
      const std::size_t got = co_await stream.async_read_some(room, done);
      if (error) co_return false;
      buffer.commit(got);
    }
    stream.expires_after(options.limits.header_time);
    co_await http::async_read_header(stream, buffer, parser, done);
    if (error == http::error::header_limit) {
      co_return co_await send(stream, plain_refusal(431, "web.header_large"), 11, false, false);
    }
    if (error == beast::error::timeout) co_return false;
    if (error) co_return co_await send(stream, plain_refusal(400, "web.bad_request"), 11, false, false);

    const auto version = parser.get().version();
    const bool head_only = parser.get().method() == http::verb::head;
    if (auto refused = unwelcome(parser, port)) co_return co_await send(stream, *refused, version, false, head_only);
    Request request;
    request.method = head_only ? "GET" : std::string(view(parser.get().method_string()));
    if (!read_target(view(parser.get().target()), request)) {
      co_return co_await send(stream, plain_refusal(400, "web.bad_request"), version, false, head_only);
    }
    request.content_type = std::string(view(parser.get()[http::field::content_type]));
    request.if_none_match = std::string(view(parser.get()[http::field::if_none_match]));

    const auto most = options.is_upload(request.path) ? options.limits.upload_bytes : options.limits.body_bytes;
    const auto length = parser.content_length();
    if (length && *length > most) co_return co_await send(stream, plain_refusal(413, "web.body_large"), version, false, head_only);
    parser.body_limit(most);  // a chunked body says no length: counted while it comes
    stream.expires_after(options.limits.body_time);
    if (!parser.is_done()) co_await http::async_read(stream, buffer, parser, done);
    if (error == http::error::body_limit) {
      co_return co_await send(stream, plain_refusal(413, "web.body_large"), version, false, head_only);
    }
    if (error) co_return false;
    const bool keep_alive = parser.get().keep_alive();
    request.body = std::move(parser.get().body());
    stream.expires_never();
    const Response response = co_await answer(request);
    co_return co_await send(stream, response, version, keep_alive, head_only);
  }

  net::awaitable<void> session(tcp::socket socket) {
    beast::tcp_stream stream(std::move(socket));
    beast::flat_buffer buffer;
    beast::error_code error;
    stream.socket().set_option(tcp::no_delay(true), error);
    try {
      bool more = true;
      while (more) more = co_await one(stream, buffer);
    } catch (const boost::system::system_error&) {
      // A connection that broke: there is nobody left to tell.
    }
    stream.socket().shutdown(tcp::socket::shutdown_send, error);
    --open;
  }

  net::awaitable<void> listen() {
    for (;;) {
      beast::error_code error;
      auto done = net::redirect_error(net::use_awaitable, error);
      tcp::socket socket = co_await acceptor.async_accept(net::make_strand(io), done);
      if (error == net::error::operation_aborted) co_return;
      if (error) continue;
      if (open >= options.limits.connections) continue;  // closed at once: the socket goes out of scope
      ++open;
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
    return Error{Kind::unavailable, "web.port_taken", {arg_text("port", std::to_string(options.port))}, ""};
  }
  net::co_spawn(inside->io, inside->listen(), net::detached);
  inside->signals.add(SIGINT);
  inside->signals.add(SIGTERM);
  for (int i = 0; i < options.threads; ++i) {
    inside->threads.emplace_back([raw = inside.get()] { raw->io.run(); });
  }
  return std::unique_ptr<Server>(new Server(std::move(inside)));
}

Server::~Server() {
  in_->io.stop();
  for (auto& thread : in_->threads) thread.join();
  in_->workers.join();
}

std::uint16_t Server::port() const { return in_->port; }

void Server::wait_for_signal() {
  std::atomic<bool> ended{false};
  in_->signals.async_wait([&ended](const beast::error_code&, int) {
    ended = true;
    ended.notify_all();
  });
  ended.wait(false);
}

}  // namespace penstock::web
