// The power goes in the middle of a dose.
#include <sys/resource.h>

#include <thread>

#include "cli/clinic.hpp"
#include "edge/json/json.hpp"
#include "support/loopback_client.hpp"

namespace penstock::tests {
namespace {

struct CliKill : testing::Test, Clinic {
  std::string cookie;  // what the start token of the address becomes (S6)

  // Starts the pages and waits for their address.
  std::uint16_t serve(pid_t& child) {
    child = start({"serve", "--data", data, "--port", "0"});
    for (int i = 0; i < 500; ++i) {
      const auto out = read_text(file("out"));
      const auto found = out.find("127.0.0.1:");
      const auto token = out.find("/?start=");
      if (token != std::string::npos && out.find('\n', token) != std::string::npos) {
        const auto port = std::stoi(out.substr(found + 10));
        cookie =
            "Cookie: penstock-" + std::to_string(port) + "=" + out.substr(token + 8, 32) + "\r\n";
        return static_cast<std::uint16_t>(port);
      }
      std::this_thread::sleep_for(std::chrono::milliseconds(20));
    }
    ADD_FAILURE() << "the pages did not start: " << read_text(file("error"));
    return 0;
  }
};

// 10 of 22 recorded over HTTP, the server killed at once, reopened: 12, never 22.
TEST_F(CliKill, H39_H21_TenOfTwentyTwoThenKilledThenTwelveIsShownNeverTwentyTwo) {
  ready();
  pid_t child = -1;
  const auto port = serve(child);
  ASSERT_NE(port, 0);
  {
    Client client(port);
    const auto part = client.post(
        "/api/people/" + person + "/facts",
        R"({"seen_version":)" + at(show(), "/version").text +
            R"(,"facts":[{"id":"00000000000000000000000000000e01","what":"injected","happened":")" +
            ago(0) + R"(","cartridge":")" + first +
            R"(","units":10,"meant_units":22,"outcome":"part","line":")" + line + R"(","slot":")" +
            slot() + R"(","given_by":"self"}]})",
        "application/json", cookie);
    EXPECT_EQ(part.status, 200) << part.body;
    ::kill(child, SIGKILL);
  }
  EXPECT_EQ(finish(child).status, 128 + SIGKILL);

  const auto page = show();
  EXPECT_EQ(at(page, "/next/part_text").text, "12, not 22");
  EXPECT_EQ(at(page, "/next/dose_text").text, "12 units");
  EXPECT_EQ(at(page, "/pens/0/cartridge/left_text").text, "140");
  const auto text = call({"show", person});
  EXPECT_NE(text.out.find("12, not 22"), std::string::npos) << text.out;
  EXPECT_EQ(call({"verify"}).status, 0);

  // The pages say the same after their own restart, and end cleanly when asked to.
  const auto again = serve(child);
  ASSERT_NE(again, 0);
  {
    Client client(again);
    const auto shown = client.get("/api/people/" + person, cookie);
    EXPECT_EQ(shown.status, 200);
    EXPECT_NE(shown.body.find("12, not 22"), std::string::npos);
  }
  ::kill(child, SIGTERM);
  EXPECT_EQ(finish(child).status, 0);
}

// A limit on the size of files ended the pages by a signal. It is a full disk: nothing is
// acknowledged, and what comes after it goes on.
TEST_F(CliKill, H21_WhereTheFileMayNotGrowTheWriteFailsAndThePagesGoOn) {
  ready();
  pid_t child = -1;
  const auto port = serve(child);
  ASSERT_NE(port, 0);
  const auto version = at(show(), "/version").text;
  rlimit before{};
  ASSERT_EQ(::prlimit(child, RLIMIT_FSIZE, nullptr, &before), 0);
  const auto limit = [&](rlim_t bytes) {
    const rlimit to{bytes, before.rlim_max};
    EXPECT_EQ(::prlimit(child, RLIMIT_FSIZE, &to, nullptr), 0);
  };
  const auto note = [&] {
    return Client(port).post("/api/people/" + person + "/facts",
                             R"({"seen_version":)" + version +
                                 R"(,"facts":[{"id":"00000000000000000000000000000e02",)"
                                 R"("what":"note","text":"Is there room?"}]})",
                             "application/json", cookie);
  };
  limit(4096);
  const auto failed = note();
  EXPECT_EQ(failed.status, 503) << failed.body;
  limit(before.rlim_cur);
  EXPECT_EQ(call({"show", person, "--journal"}).out.find("Is there room?"), std::string::npos);
  EXPECT_EQ(note().status, 200);
  ::kill(child, SIGTERM);
  EXPECT_EQ(finish(child).status, 0);
  EXPECT_EQ(call({"verify"}).status, 0);
}

// A picture that was acknowledged is there after a kill; verify counts it, and counts it as gone
// once it was erased, without calling either a fault.
TEST_F(CliKill, H21_APictureThatWasAcknowledgedIsThereAndVerifyCountsIt) {
  ready();
  const auto picture =
      std::string("\xFF\xD8\xFF\xDA\0\2", 6) + std::string(100'000, 'p') + "\xFF\xD9";
  const auto path = "/api/people/" + person + "/photos";
  pid_t child = -1;
  auto port = serve(child);
  ASSERT_NE(port, 0);
  const auto kept = Client(port).post(path + "?consent=yes", picture, "image/jpeg", cookie);
  EXPECT_EQ(kept.status, 200) << kept.body;
  ::kill(child, SIGKILL);
  EXPECT_EQ(finish(child).status, 128 + SIGKILL);
  const auto pictures = [&](std::string_view which) {
    const auto ended = call({"verify", "--json"});
    EXPECT_EQ(ended.status, 0);
    return at(ended.document(), "/pictures/" + std::string(which)).text;
  };
  EXPECT_EQ(pictures("kept"), "1");
  EXPECT_EQ(pictures("erased"), "0");

  port = serve(child);
  ASSERT_NE(port, 0);
  const auto one = path + "/" + at(*json::parse(kept.body), "/photo").text;
  EXPECT_EQ(Client(port).get(one, cookie).body, picture);
  EXPECT_EQ(Client(port).remove(one + "?reason=withdrawn", cookie).status, 200);
  ::kill(child, SIGKILL);
  EXPECT_EQ(finish(child).status, 128 + SIGKILL);
  EXPECT_EQ(pictures("kept"), "0");
  EXPECT_EQ(pictures("erased"), "1");
  EXPECT_NE(call({"verify"}).out.find("1 erased"), std::string::npos);
}

// Facts sent one after the other; the process dies in the middle. What was acknowledged is there.
TEST_F(CliKill, H21_WhatWasAcknowledgedIsThereAfterAKill) {
  ready();
  pid_t child = -1;
  const auto port = serve(child);
  ASSERT_NE(port, 0);
  const auto path = "/api/people/" + person + "/facts";
  const auto version = std::stoi(at(show(), "/version").text);
  int acknowledged = 0;
  std::thread killer([&] {
    std::this_thread::sleep_for(std::chrono::milliseconds(400));
    ::kill(child, SIGKILL);
  });
  {
    Client client(port);
    for (int i = 0; i < 10'000; ++i) {
      const auto answer = client.post(path,
                                      R"({"seen_version":)" + std::to_string(version + i) +
                                          R"(,"facts":[{"what":"note","text":"note number )" +
                                          std::to_string(i) + "\"}]}",
                                      "application/json", cookie);
      if (answer.status != 200) break;
      ++acknowledged;
    }
  }
  killer.join();
  finish(child);
  EXPECT_GT(acknowledged, 0);
  EXPECT_EQ(call({"verify"}).status, 0);
  const auto journal = call({"export", person}).out;
  for (int i = 0; i < acknowledged; ++i) {
    EXPECT_NE(journal.find("\"note number " + std::to_string(i) + "\""), std::string::npos) << i;
  }
}

}  // namespace
}  // namespace penstock::tests
