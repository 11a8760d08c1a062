// A real server on a free port of the loopback, and clients that misbehave.
#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>
#include <condition_variable>
#include <mutex>
#include <thread>
#include <vector>

#include "shell/web/internal/target.hpp"
#include "shell/web/web.hpp"
#include "support/loopback_client.hpp"

namespace penstock::web {
namespace {

using namespace std::chrono_literals;
using tests::Answer;
using tests::Client;

constexpr std::string_view fixed_text = "a file of the front end";

// Counts those who have come, and holds them until it lets go.
class Gate {
 public:
  void come(bool stays) {
    std::unique_lock lock(mutex_);
    ++here_;
    changed_.notify_all();
    if (stays) changed_.wait(lock, [this] { return open_; });
  }
  // No test hangs for ever: what has not come by then is missed.
  void wait_until(int here) {
    std::unique_lock lock(mutex_);
    EXPECT_TRUE(changed_.wait_for(lock, 20s, [&] { return here_ >= here; })) << here_;
  }
  int count() {
    const std::lock_guard lock(mutex_);
    return here_;
  }
  void let_go() {
    const std::lock_guard lock(mutex_);
    open_ = true;
    changed_.notify_all();
  }

 private:
  std::mutex mutex_;
  std::condition_variable changed_;
  int here_ = 0;
  bool open_ = false;
};

// Answers with what it understood of the request.
Response echo(const Request& request) {
  if (request.path == "/throws") throw std::runtime_error("a fault");
  if (request.path == "/fixed") {
    return {200, "text/plain", "", {{"Cache-Control", "no-cache"}}, fixed_text};
  }
  if (request.path == "/slow") std::this_thread::sleep_for(300ms);
  std::string query;
  for (const auto& [name, value] : request.query) query += name + "=" + value + ";";
  return {200,
          "text/plain",
          request.method + " " + request.path + " " + query + " " + request.content_type + " " +
              std::to_string(request.body.size()),
          {},
          {}};
}

struct ServerTest : testing::Test {
  ServeOptions options;
  Gate held_here, stopped;
  std::unique_ptr<Server> server;

  void SetUp() override {
    options.lane = [](const Request& request) {
      if (request.path == "/at-once") return Lane::at_once;
      const bool slow = request.path == "/held-slow" || request.path == "/works-until-stopped";
      return slow ? Lane::slow : Lane::records;
    };
    options.port = 0;
    options.limits.body_bytes = 100'000;
    options.limits.upload_bytes = 3'000'000;
    options.limits.header_time = std::chrono::seconds(1);
    options.limits.body_time = std::chrono::seconds(1);
    options.limits.idle_time = std::chrono::seconds(3);
    options.is_upload = [](std::string_view path) { return path == "/upload"; };
    start();
  }
  void start() {
    server.reset();
    auto started =
        Server::start(options, [this](const Request& request) { return answer(request); });
    ASSERT_TRUE(started.has_value());
    server = *std::move(started);
  }
  void TearDown() override {
    held_here.let_go();
    server.reset();
  }
  Response answer(const Request& request) {
    if (request.path == "/held" || request.path == "/held-slow") held_here.come(true);
    if (request.path != "/works-until-stopped") return echo(request);
    held_here.come(false);
    while (!request.stop.stop_requested()) std::this_thread::sleep_for(1ms);
    stopped.come(false);
    return {200, "text/plain", "stopped", {}, {}};
  }
  Client client() const { return Client(server->port()); }
  // One request with this host line, or whatever is put in its place.
  Answer with_head(std::string_view lines) {
    auto caller = client();
    caller.send("GET /x HTTP/1.1\r\n" + std::string(lines) + "\r\n");
    return caller.receive();
  }
  std::string port() const { return std::to_string(server->port()); }
};

TEST_F(ServerTest, AnswersAndKeepsTheConnection) {
  auto caller = client();
  for (int i = 0; i < 3; ++i) {
    const auto answer = caller.get("/a%20b?q=Le%C3%B3n+M&q2=");
    EXPECT_EQ(answer.status, 200);
    EXPECT_EQ(answer.body, "GET /a b q=León M;q2=;  0");
    EXPECT_EQ(answer.header("Cache-Control"), "no-store");
    EXPECT_EQ(answer.header("X-Content-Type-Options"), "nosniff");
    EXPECT_NE(answer.header("Content-Security-Policy").find("default-src 'self'"),
              std::string::npos);
  }
  EXPECT_EQ(caller.post("/p", "{}").body, "POST /p  application/json 2");
}

TEST_F(ServerTest, AnswersThreeRequestsThatCameInOnePiece) {
  auto caller = client();
  const auto one = "GET /1 HTTP/1.1\r\nHost: " + caller.host() + "\r\n\r\n";
  caller.send(one + one + one);
  for (int i = 0; i < 3; ++i) EXPECT_EQ(caller.receive().body, "GET /1   0");
}

TEST_F(ServerTest, HeadSaysTheLengthAndSendsNoBody) {
  auto caller = client();
  for (const auto* path : {"/fixed", "/other"}) {
    caller.send("HEAD " + std::string(path) + " HTTP/1.1\r\nHost: " + caller.host() + "\r\n\r\n");
    const auto head = caller.receive(Client::Body::none);
    EXPECT_EQ(head.status, 200);
    const auto whole = caller.get(path);  // a body after HEAD would be taken for this answer
    EXPECT_EQ(whole.status, 200);
    EXPECT_EQ(head.header("Content-Length"), std::to_string(whole.body.size()));
  }
}

TEST_F(ServerTest, FixedBytesAreSentAsTheyAre) {
  const auto answer = client().get("/fixed");
  EXPECT_EQ(answer.body, fixed_text);
  EXPECT_EQ(answer.header("Cache-Control"), "no-cache");
}

TEST_F(ServerTest, CloseIsClosed) {
  auto caller = client();
  EXPECT_EQ(caller.get("/x", "Connection: close\r\n").status, 200);
  EXPECT_TRUE(caller.ends_within(2s));
}

TEST_F(ServerTest, OldProtocolNeedsItsHostToo) {
  auto caller = client();
  caller.send("GET /x HTTP/1.0\r\n\r\n");
  EXPECT_EQ(caller.receive().status, 421);
}

TEST_F(ServerTest, ForeignHostsAreRefused) {
  EXPECT_EQ(with_head("Host: 127.0.0.1:" + port() + "\r\n").status, 200);
  EXPECT_EQ(with_head("Host: localhost:" + port() + "\r\n").status, 200);
  const std::string foreign[] = {
      "Host: evil.example\r\n",
      "Host: evil.example:" + port() + "\r\n",
      "Host: 127.0.0.1\r\n",
      "Host: 127.0.0.1:1\r\n",
      "Host: 127.0.0.1:" + port() + ".evil.example\r\n",
      "Host: evil.example#127.0.0.1:" + port() + "\r\n",
      "Host: x@127.0.0.1:" + port() + "\r\n",
      "Host: localhost.:" + port() + "\r\n",
      "Host: 127.0.0.1:" + port() + "\r\nHost: evil.example\r\n",
      "Host:\r\n",
      "",
  };
  for (const auto& lines : foreign) {
    const auto answer = with_head(lines);
    EXPECT_EQ(answer.status, 421) << lines;
    EXPECT_NE(answer.body.find(codes::foreign_host), std::string::npos) << lines;
  }
}

TEST_F(ServerTest, ForeignOriginsAreRefused) {
  const auto host = "Host: 127.0.0.1:" + port() + "\r\n";
  EXPECT_EQ(with_head(host + "Origin: http://127.0.0.1:" + port() + "\r\n").status, 200);
  EXPECT_EQ(with_head(host + "Origin: http://localhost:" + port() + "\r\n").status, 200);
  for (const auto& origin :
       {std::string("null"), std::string("http://evil.example"), "https://127.0.0.1:" + port(),
        "http://127.0.0.1:" + port() + ".evil.example", std::string("http://127.0.0.1:1"),
        std::string("")}) {
    EXPECT_EQ(with_head(host + "Origin: " + origin + "\r\n").status, 403) << origin;
  }
  EXPECT_EQ(client().post("/p", "{}", "application/json", "Sec-Fetch-Site: cross-site\r\n").status,
            403);
  EXPECT_EQ(client().get("/p", "Sec-Fetch-Site: cross-site\r\n").status, 200);
}

TEST_F(ServerTest, BadRequestsAreNamed) {
  const auto host = "Host: 127.0.0.1:" + port() + "\r\n";
  const std::string bad[] = {
      "GET /%zz HTTP/1.1\r\n" + host + "\r\n",
      "GET /%00 HTTP/1.1\r\n" + host + "\r\n",
      "GET /%4 HTTP/1.1\r\n" + host + "\r\n",
      "GET /x?a=%g0 HTTP/1.1\r\n" + host + "\r\n",
      "GET http://evil.example/ HTTP/1.1\r\n" + host + "\r\n",
      "GET * HTTP/1.1\r\n" + host + "\r\n",
      "GET /x HTTP/9.9\r\n" + host + "\r\n",
      "nonsense\r\n\r\n",
      "GET /x HTTP/1.1\r\nbroken header\r\n" + host + "\r\n",
      "POST /x HTTP/1.1\r\n" + host + "Content-Length: 4\r\nContent-Length: 5\r\n\r\nabcd",
      "POST /x HTTP/1.1\r\n" + host + "Content-Length: -1\r\n\r\n",
      "POST /x HTTP/1.1\r\n" + host +
          "Content-Length: 4\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n",
  };
  for (const auto& bytes : bad) {
    auto caller = client();
    caller.send(bytes);
    const auto answer = caller.receive();
    EXPECT_EQ(answer.status, 400) << bytes;
    EXPECT_NE(answer.body.find("\"refused\""), std::string::npos) << bytes;
  }
}

TEST_F(ServerTest, H19_OfTwoValuesInTheAddressNoneIsTaken) {
  const auto answer = client().get("/people?q=noor&q=bram");
  EXPECT_EQ(answer.status, 400);
  EXPECT_NE(answer.body.find("web.query_twice"), std::string::npos) << answer.body;
  EXPECT_EQ(client().get("/people?q=noor&page=2").status, 200);
}

TEST_F(ServerTest, LongHeadersAreRefused) {
  auto caller = client();
  const auto answer = caller.get("/x", "X-Long: " + std::string(20'000, 'a') + "\r\n");
  EXPECT_EQ(answer.status, 431);
  EXPECT_EQ(client().get("/x", "X-Long: " + std::string(8'000, 'a') + "\r\n").status, 200);
  EXPECT_EQ(client().get("/" + std::string(20'000, 'a')).status, 431);
}

TEST_F(ServerTest, LongBodiesAreRefused) {
  EXPECT_EQ(client().post("/x", std::string(100'000, 'a')).status, 200);
  EXPECT_EQ(client().post("/x", std::string(100'001, 'a')).status, 413);
  EXPECT_EQ(client().post("/upload", std::string(3'000'000, 'a')).status, 200);
  EXPECT_EQ(client().post("/upload", std::string(3'000'001, 'a')).status, 413);
  // Only said, never sent: refused before a byte of it was read.
  auto caller = client();
  caller.send("POST /x HTTP/1.1\r\nHost: " + caller.host() +
              "\r\nContent-Length: 99999999999\r\n\r\n");
  EXPECT_EQ(caller.receive().status, 413);
}

TEST_F(ServerTest, ChunkedBodiesAreCountedWhileTheyCome) {
  const auto chunked = [&](int chunks) {
    auto caller = client();
    caller.send("POST /x HTTP/1.1\r\nHost: " + caller.host() +
                "\r\nTransfer-Encoding: chunked\r\n\r\n");
    const auto chunk = "2710\r\n" + std::string(10'000, 'b') + "\r\n";
    for (int i = 0; i < chunks; ++i) {
      if (!caller.send(chunk)) break;
    }
    caller.send("0\r\n\r\n");
    return caller.receive();
  };
  EXPECT_EQ(chunked(10).status, 200);
  EXPECT_EQ(chunked(11).status, 413);
  EXPECT_EQ(chunked(500).status, 413);
}

TEST_F(ServerTest, ABodyThatWaitsForAWordGetsIt) {
  auto caller = client();
  caller.send("POST /x HTTP/1.1\r\nHost: " + caller.host() +
              "\r\nContent-Length: 3\r\nExpect: 100-continue\r\n\r\n");
  EXPECT_EQ(caller.receive(Client::Body::none).status, 100);
  caller.send("abc");
  EXPECT_EQ(caller.receive().body, "POST /x   3");
}

TEST_F(ServerTest, ADrippedHeaderIsCut) {
  auto caller = client();
  const auto begun = std::chrono::steady_clock::now();
  caller.send("GET /x HTTP/1.1\r\nX: ");
  bool ended = false;
  for (int i = 0; i < 50 && !ended; ++i) {
    ended = !caller.send("a") || caller.ends_within(100ms);
  }
  EXPECT_TRUE(ended);
  EXPECT_LT(std::chrono::steady_clock::now() - begun, 3s);
}

TEST_F(ServerTest, ADrippedBodyIsCut) {
  auto caller = client();
  caller.send("POST /x HTTP/1.1\r\nHost: " + caller.host() + "\r\nContent-Length: 1000\r\n\r\n");
  bool ended = false;
  for (int i = 0; i < 40 && !ended; ++i) {
    ended = !caller.send("a") || caller.ends_within(100ms);
  }
  EXPECT_TRUE(ended);
}

TEST_F(ServerTest, AnIdleConnectionIsClosedInTheEnd) {
  auto caller = client();
  EXPECT_EQ(caller.get("/x").status, 200);
  EXPECT_FALSE(caller.ends_within(1s));
  EXPECT_TRUE(caller.ends_within(4s));
}

TEST_F(ServerTest, TwoHundredIdleConnectionsDoNotStarveOthers) {
  std::vector<Client> idle;
  for (int i = 0; i < 200; ++i) idle.push_back(client());
  std::vector<Client> half;
  for (int i = 0; i < 50; ++i) {
    half.push_back(client());
    half.back().send("GET /x HT");
  }
  for (int i = 0; i < 100; ++i) EXPECT_EQ(client().get("/x").status, 200);
}

TEST_F(ServerTest, ConnectionsBeyondTheMostAreClosedAndLaterOnesServed) {
  options.limits.connections = 5;
  start();
  {
    // Five that are being answered: none of them makes room.
    std::vector<Client> held;
    for (int i = 0; i < 5; ++i) {
      held.push_back(client());
      held.back().send("GET /held HTTP/1.1\r\nHost: " + held.back().host() + "\r\n\r\n");
    }
    held_here.wait_until(5);
    EXPECT_EQ(client().get("/x").status, 0);
    held_here.let_go();
    for (auto& one : held) EXPECT_EQ(one.receive().status, 200);
  }
  for (int i = 0; i < 100 && client().get("/x").status != 200; ++i) {
    std::this_thread::sleep_for(10ms);
  }
  EXPECT_EQ(client().get("/x").status, 200);
}

TEST_F(ServerTest, S14_WhoRestsLongestMakesRoomWhenAllConnectionsAreTaken) {
  options.limits.connections = 5;
  start();
  std::vector<Client> resting;
  for (int i = 0; i < 5; ++i) {
    resting.push_back(client());
    EXPECT_EQ(resting.back().get("/x").status, 200);
  }
  EXPECT_EQ(resting[0].get("/x").status, 200);  // now the second has rested longest
  auto fresh = client();
  EXPECT_EQ(fresh.get("/x").status, 200);
  EXPECT_TRUE(resting[1].ends_within(2s));
  for (const std::size_t i : {0U, 2U, 3U, 4U}) EXPECT_EQ(resting[i].get("/x").status, 200) << i;
  EXPECT_EQ(fresh.get("/x").status, 200);
}

TEST_F(ServerTest, S14_ConnectionsThatNeverSayAnythingLockNobodyOut) {
  options.limits.connections = 20;
  start();
  std::vector<Client> silent;
  for (int i = 0; i < 60; ++i) silent.push_back(client());
  for (int i = 0; i < 50; ++i) EXPECT_EQ(client().get("/x").status, 200) << i;
}

TEST_F(ServerTest, S14_RestIsShorterOnceHalfOfTheConnectionsAreTaken) {
  options.limits.connections = 10;
  options.limits.idle_time = std::chrono::seconds(60);
  options.limits.idle_time_crowded = std::chrono::seconds(1);
  start();
  std::vector<Client> some;
  for (int i = 0; i < 7; ++i) {
    some.push_back(client());
    EXPECT_EQ(some.back().get("/x").status, 200);
  }
  EXPECT_TRUE(some.back().ends_within(5s));
  EXPECT_FALSE(some.front().ends_within(100ms));
}

TEST_F(ServerTest, S4_CalculationsHoldUpNeitherRecordsNorHealth) {
  std::vector<Client> slow;
  for (int i = 0; i < 6; ++i) {
    slow.push_back(client());
    slow.back().send("GET /held-slow HTTP/1.1\r\nHost: " + slow.back().host() + "\r\n\r\n");
  }
  held_here.wait_until(2);  // as many as the lane has threads; the others wait for their turn
  for (int i = 0; i < 20; ++i) EXPECT_EQ(client().get("/x").status, 200);
  // Also when every thread for records is taken, what is answered out of memory goes on.
  std::vector<Client> records;
  for (int i = 0; i < 8; ++i) {
    records.push_back(client());
    records.back().send("GET /held HTTP/1.1\r\nHost: " + records.back().host() + "\r\n\r\n");
  }
  held_here.wait_until(10);
  for (int i = 0; i < 20; ++i) EXPECT_EQ(client().get("/at-once").status, 200);
  held_here.let_go();
  for (auto& one : slow) EXPECT_EQ(one.receive().status, 200);
  for (auto& one : records) EXPECT_EQ(one.receive().status, 200);
}

TEST_F(ServerTest, S4_TheSlowLaneTellsTheLastToComeAgain) {
  options.slow_threads = 1;
  options.limits.slow_waiting = 2;
  start();
  std::vector<Client> slow;
  for (int i = 0; i < 6; ++i) {
    slow.push_back(client());
    slow.back().send("GET /held-slow HTTP/1.1\r\nHost: " + slow.back().host() + "\r\n\r\n");
  }
  // One is worked on, two wait, whichever of them came first.
  std::vector<int> status(slow.size());
  const auto ask = [&](std::chrono::milliseconds patience) {
    for (std::size_t i = 0; i < slow.size(); ++i) {
      if (status[i] == 0) status[i] = slow[i].receive(Client::Body::expected, patience).status;
    }
  };
  for (int i = 0; i < 100 && std::ranges::count(status, 503) < 3; ++i) ask(20ms);
  EXPECT_EQ(std::ranges::count(status, 503), 3);
  EXPECT_EQ(std::ranges::count(status, 0), 3);
  EXPECT_EQ(client().get("/x").status, 200);
  held_here.let_go();
  ask(10s);
  EXPECT_EQ(std::ranges::count(status, 200), 3);
}

TEST_F(ServerTest, S4_WorkStopsWhenItsClientGoes) {
  {
    auto caller = client();
    caller.send("GET /works-until-stopped HTTP/1.1\r\nHost: " + caller.host() + "\r\n\r\n");
    held_here.wait_until(1);
  }
  stopped.wait_until(1);
  EXPECT_EQ(client().get("/x").status, 200);
}

TEST_F(ServerTest, S4_WorkStopsWhenItsTimeIsOver) {
  options.limits.slow_time = std::chrono::seconds(1);
  start();
  auto caller = client();
  const auto answer = caller.get("/works-until-stopped");
  EXPECT_EQ(answer.status, 200);
  EXPECT_EQ(answer.body, "stopped");
  // It goes on: the watch over the client ended with the task.
  EXPECT_EQ(caller.get("/x").status, 200);
}

TEST_F(ServerTest, S4_TheEndStopsWhatIsStillBeingWorkedOut) {
  options.limits.last_time = std::chrono::seconds(0);
  start();
  auto caller = client();
  caller.send("GET /works-until-stopped HTTP/1.1\r\nHost: " + caller.host() + "\r\n\r\n");
  held_here.wait_until(1);
  server.reset();  // does not return before the work has
  EXPECT_EQ(stopped.count(), 1);
}

TEST_F(ServerTest, ASecondRequestThatComesEarlyWaitsForTheFirst) {
  auto caller = client();
  const auto one = "GET /slow HTTP/1.1\r\nHost: " + caller.host() + "\r\n\r\n";
  caller.send(one);
  std::this_thread::sleep_for(50ms);
  caller.send(one);
  EXPECT_EQ(caller.receive().status, 200);
  EXPECT_EQ(caller.receive().status, 200);
}

TEST_F(ServerTest, OnlySoManyUploadsAtOnce) {
  options.limits.uploads_at_once = 2;
  start();
  std::vector<Client> slow;
  for (int i = 0; i < 2; ++i) {
    slow.push_back(client());
    slow.back().send("POST /upload HTTP/1.1\r\nHost: " + slow.back().host() +
                     "\r\nContent-Length: 10\r\n\r\nabc");
  }
  std::this_thread::sleep_for(100ms);  // or one of the next takes a slow one's room
  int status = 200;
  for (int i = 0; i < 50 && status == 200; ++i) {
    status = client().post("/upload", "x").status;
  }
  EXPECT_EQ(status, 503);
  EXPECT_EQ(client().post("/x", "x").status, 200);
  EXPECT_TRUE(slow.front().send("defghij"));
  EXPECT_EQ(slow.front().receive().status, 200);
}

TEST_F(ServerTest, AFaultIsAnAnswer) {
  auto caller = client();
  const auto answer = caller.get("/throws");
  EXPECT_EQ(answer.status, 500);
  EXPECT_NE(answer.body.find(codes::fault), std::string::npos);
  EXPECT_EQ(caller.get("/x").status, 200);
}

TEST_F(ServerTest, ItsEndLetsARunningRequestFinish) {
  auto caller = client();
  auto resting = client();
  EXPECT_EQ(resting.get("/x").status, 200);
  caller.send("GET /slow HTTP/1.1\r\nHost: " + caller.host() + "\r\n\r\n");
  std::this_thread::sleep_for(100ms);
  const auto begun = std::chrono::steady_clock::now();
  server.reset();
  EXPECT_LT(std::chrono::steady_clock::now() - begun, 2s);
  EXPECT_EQ(caller.receive().status, 200);
  EXPECT_TRUE(caller.ends_within(1s));
  EXPECT_TRUE(resting.ends_within(1s));
}

TEST_F(ServerTest, ATakenPortIsNamedOrTheNextOneUsed) {
  ServeOptions same = options;
  same.port = server->port();
  same.next_free_port = false;
  const auto refused = Server::start(same, echo);
  ASSERT_FALSE(refused.has_value());
  EXPECT_EQ(refused.error().code, codes::port_taken);
  same.next_free_port = true;
  const auto beside = Server::start(same, echo);
  ASSERT_TRUE(beside.has_value());
  EXPECT_NE((*beside)->port(), server->port());
  EXPECT_EQ(Client((*beside)->port()).get("/x").status, 200);
}

// Many clients at once, each with its own conversation: no answer goes astray.
TEST_F(ServerTest, ConversationsStayApart) {
  std::atomic<int> wrong{0};
  std::vector<std::thread> threads;
  for (int t = 0; t < 8; ++t) {
    threads.emplace_back([&, t] {
      auto caller = client();
      for (int i = 0; i < 200; ++i) {
        const auto path = "/" + std::to_string(t) + "/" + std::to_string(i);
        if (caller.get(path).body != "GET " + path + "   0") ++wrong;
      }
    });
  }
  for (auto& thread : threads) thread.join();
  EXPECT_EQ(wrong, 0);
}

TEST(Target, IsReadWithoutGuessing) {
  const auto read = read_target("/api/people?q=a%26b&page=2&&empty");
  ASSERT_TRUE(read.has_value());
  EXPECT_EQ(read->path, "/api/people");
  EXPECT_EQ(read->query.at("q"), "a&b");
  EXPECT_EQ(read->twice, "");
  EXPECT_EQ(read_target("/api/people?q=noor&%71=bram")->twice, "q");
  EXPECT_EQ(read->query.at("page"), "2");
  EXPECT_EQ(read->query.at("empty"), "");
  EXPECT_EQ(read_target("/a+b")->path, "/a+b");
  EXPECT_FALSE(read_target("").has_value());
  EXPECT_FALSE(read_target("a").has_value());
  EXPECT_FALSE(read_target("?a=b").has_value());
}

// S6: as `penstock serve` starts it.
struct ClosedServer : ServerTest {
  const std::string token = "0123456789abcdef0123456789abcdef";
  void SetUp() override {
    ServerTest::SetUp();
    options.token = token;
    start();
  }
  std::string cookie(const std::string& value) const {
    return "Cookie: other=1; penstock-" + port() + "=" + value + "\r\n";
  }
};

TEST_F(ClosedServer, H29_S6_WithoutTheTokenNothingIsAnswered) {
  for (const auto* path :
       {"/", "/people", "/api/people", "/assets/x.js", "/?start=", "/?start=0"}) {
    EXPECT_EQ(client().get(path).status, 403) << path;
    EXPECT_EQ(client().get(path, cookie("0123456789abcdef0123456789abcdee")).status, 403) << path;
    EXPECT_EQ(client().post(path, "{}").status, 403) << path;
  }
  EXPECT_EQ(client().post("/api/x?start=" + token, "{}").status, 403);
  EXPECT_EQ(client().get("/api/health").status, 200);
}

TEST_F(ClosedServer, H29_S6_TheTokenBecomesACookieThatNoOtherSiteSends) {
  const auto answer = client().get("/people?start=" + token);
  EXPECT_EQ(answer.status, 303);
  EXPECT_EQ(answer.header("Location"), "/people");
  EXPECT_EQ(answer.header("Set-Cookie"),
            "penstock-" + port() + "=" + token + "; Path=/; HttpOnly; SameSite=Strict");
  EXPECT_EQ(client().get("/x", cookie(token)).status, 200);
  EXPECT_EQ(client().post("/x", "{}", "application/json", cookie(token)).status, 200);
}

// The address that the token is taken out of is no way to another host, nor into the header.
TEST_F(ClosedServer, H29_TheAddressAfterTheTokenIsOneOfOurs) {
  const auto led = [&](const std::string& path) {
    return client().get(path + "?start=" + token).header("Location");
  };
  EXPECT_EQ(led("//evil.example/"), "/evil.example/");
  EXPECT_EQ(led("/%2F/evil.example/"), "/evil.example/");
  EXPECT_EQ(led("/\\evil.example/"), "/%5Cevil.example/");
  EXPECT_EQ(led("/a%20b"), "/a%20b");
  const auto split = client().get("/%0d%0aX:y?start=" + token);
  EXPECT_EQ(split.status, 400);
  EXPECT_EQ(split.header("X"), "");
}

TEST_F(ClosedServer, H29_H21_WhoHasNoTokenHoldsNoPlaceAgainstWhoHas) {
  options.limits.connections = 8;
  start();
  std::vector<Client> unfinished;
  for (int i = 0; i < 40; ++i) {
    unfinished.push_back(client());
    auto& one = unfinished.back();
    const bool half = i % 2 == 0;  // half of a header, or a header and one byte of its body
    one.send("POST /x HTTP/1.1\r\nHost: " + one.host() + "\r\nContent-Length: 100\r\n" +
             (half ? "" : "\r\na"));
  }
  for (int i = 0; i < 20; ++i) EXPECT_EQ(client().get("/x", cookie(token)).status, 200) << i;
}

TEST_F(ServerTest, L1_APageFromElsewhereMakesNoCallWork) {
  for (const auto* from : {"cross-site", "same-site"}) {
    const auto line = "Sec-Fetch-Site: " + std::string(from) + "\r\n";
    EXPECT_EQ(client().get("/api/people", line).status, 403) << from;
    EXPECT_EQ(client().post("/x", "{}", "application/json", line).status, 403) << from;
    EXPECT_EQ(client().get("/people", line).status, 200) << "a link may be followed";
  }
  for (const auto* from : {"same-origin", "none"})
    EXPECT_EQ(client().get("/api/people", "Sec-Fetch-Site: " + std::string(from) + "\r\n").status,
              200);
}

TEST_F(ServerTest, L2_ACodingThatIsNotKnownIsNoBodyOfTheNextRequest) {
  for (const auto* coding : {"xchunked", "gzip", "gzip, chunked", "identity"}) {
    auto caller = client();
    caller.send("POST /x HTTP/1.1\r\nHost: " + caller.host() + "\r\nTransfer-Encoding: " + coding +
                "\r\n\r\nGET /smuggled HTTP/1.1\r\nHost: " + caller.host() + "\r\n\r\n");
    EXPECT_EQ(caller.receive().status, 400) << coding;
    EXPECT_EQ(caller.receive(Client::Body::expected, 300ms).status, 0) << coding;
  }
}

// What does not fit into the sockets' buffers is read away: unread, it would end in a reset that
// takes the answer with it.
TEST_F(ServerTest, L10_ABodyFarBeyondTheLimitGetsItsAnswerNotAReset) {
  const std::string body(40'000'000, 'a');
  for (const auto* path : {"/upload", "/x"}) {
    auto caller = client();
    EXPECT_TRUE(caller.send("POST " + std::string(path) + " HTTP/1.1\r\nHost: " + caller.host() +
                            "\r\nContent-Length: " + std::to_string(body.size()) + "\r\n\r\n"));
    EXPECT_TRUE(caller.send(body)) << path;
    EXPECT_EQ(caller.receive().status, 413) << path;
    EXPECT_TRUE(caller.ends_within(5s)) << path;
  }
}

TEST_F(ServerTest, L11_APictureIsNotReadAsIfItWereAJournal) {
  options.upload_most = [](std::string_view) -> std::size_t { return 1'000; };
  start();
  EXPECT_EQ(client().post("/upload", std::string(1'000, 'a')).status, 200);
  EXPECT_EQ(client().post("/upload", std::string(1'001, 'a')).status, 413);
}

TEST_F(ServerTest, L13_ATargetThatIsNoUtf8IsRefused) {
  EXPECT_EQ(client().get("/a%FFb").status, 400);
  EXPECT_EQ(client().get("/x?q=%C3%28").status, 400);
}

}  // namespace
}  // namespace penstock::web
