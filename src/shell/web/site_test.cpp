// The calls and the pages against a real server, a store in memory, and the clock of a test.
#include "shell/web/internal/site.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <regex>
#include <set>
#include <thread>

#include "core/units/units.hpp"
#include "edge/json/json.hpp"
#include "edge/verbs/all/all.hpp"
#include "edge/words/words.hpp"
#include "shell/store/store.hpp"
#include "shell/system/system.hpp"
#include "shell/web/web.hpp"
#include "support/loopback_client.hpp"

namespace penstock::web {
namespace {
using tests::Answer;
using tests::Client;

constexpr std::string_view noor = "000000000000000000000000000000a1";

struct SiteTest : testing::Test {
  std::unique_ptr<store::Store> store = store::make_memory_store();
  std::unique_ptr<desk::Desk> desk;
  std::unique_ptr<Server> server;
  Instant clock = parse_when("2027-03-16T14:10:00+01:00").value().at;

  void SetUp() override {
    desk::Ports ports;
    ports.store = store.get();
    ports.now = [this] { return clock; };
    ports.zone = shell::zone;
    ports.zone_names = shell::zone_names;
    ports.new_id = shell::new_id;
    ports.program = "Penstock test";
    auto opened = desk::Desk::open(std::move(ports));
    ASSERT_TRUE(opened.has_value());
    desk = *std::move(opened);
    ServeOptions options;
    options.port = 0;
    options.is_upload = takes_upload;
    auto started = Server::start(options, site(*desk));
    ASSERT_TRUE(started.has_value());
    server = *std::move(started);
  }
  void TearDown() override { server.reset(); }

  Client client() const { return Client(server->port()); }
  Answer get(std::string_view path, std::string_view more = "") const {
    return client().get(path, more);
  }
  Answer post(std::string_view path, std::string_view body,
              std::string_view type = "application/json") const {
    return client().post(path, body, type);
  }
  static json::Value document(const Answer& answer) {
    auto read = json::parse(answer.body, {134'217'728, 6'000'000, 64});
    EXPECT_TRUE(read.has_value()) << answer.body;
    return read ? *std::move(read) : json::null();
  }
  static std::string code(const Answer& answer) {
    const auto read = document(answer);
    for (const auto* kind : {"refused", "ask"}) {
      if (const auto* inner = read.find(kind)) return inner->find("code")->text;
    }
    return {};
  }
  static std::string version(const Answer& answer) {
    const auto read = document(answer);
    const auto* found = read.find("version");
    return found == nullptr ? std::string() : found->text;
  }
  const pages::Row& route(std::string_view method, std::string_view pattern) const {
    const auto found = std::ranges::find_if(routes(), [&](const Route& r) {
      return r.row.method == method && r.row.pattern == pattern;
    });
    EXPECT_NE(found, routes().end()) << method << pattern;
    return found->row;
  }
  static std::string bytes_of(std::string_view hex) {
    std::string out;
    for (std::size_t i = 0; i + 1 < hex.size(); i += 2) {
      out += static_cast<char>(std::stoi(std::string(hex.substr(i, 2)), nullptr, 16));
    }
    return out;
  }
  Answer sent(const pages::Row& example) {
    if (example.method == "GET") return get(example.example);
    if (example.method == "DELETE") return client().remove(example.example);
    if (!example.example_hex.empty()) {
      return post(example.example, bytes_of(example.example_hex), "image/png");
    }
    const bool csv = example.body == pages::Body::file;
    return post(example.example, example.example_body, csv ? "text/csv" : "application/json");
  }
  void replay(const pages::Row& example) {
    const auto answer = sent(example);
    EXPECT_EQ(answer.status, 200) << example.method << " " << example.pattern << answer.body;
  }
  void clinic_and_noor() {
    replay(route("POST", "/api/clinic"));
    replay(route("POST", "/api/people"));
  }
  // To whom a fact can be moved.
  void somebody_else() {
    const auto answer = post("/api/people", R"({"facts": [{"what": "person registered",
      "full_name": "Piet Osei", "born": "1961-02-17", "number": "1043", "zone": "Europe/Berlin"}]})");
    EXPECT_EQ(answer.status, 200);
  }
  static std::string facts_path(std::string_view person = noor) {
    return "/api/people/" + std::string(person) + "/facts";
  }
  std::string noors_version() { return version(get("/api/people/" + std::string(noor))); }
  Answer note(std::string_view id, std::string_view text, int seen) const {
    return post(facts_path(), R"({"seen_version": )" + std::to_string(seen) +
                                  R"(, "facts": [{"id": ")" + std::string(id) +
                                  R"(", "what": "note", "text": ")" + std::string(text) + "\"}]}");
  }
  // An order due soon, a pen and a cartridge, so that there is a sheet.
  void ready_to_inject() {
    const auto answer =
        post(facts_path(), R"({"seen_version": )" + noors_version() + R"(, "facts": [
      {"id": "0000000000000000000000000000a1b1", "what": "order line signed",
       "happened": "2027-03-02T09:00:00+01:00", "order_version": 1, "insulin": "insulin glargine",
       "strength_units_per_ml": 100, "purpose": "background",
       "slots": [{"slot": "bedtime", "at": "22:00", "minutes_before": 60, "minutes_after": 120,
                  "units": 22}],
       "least_units": 10, "most_units": 30, "from": "2027-03-02", "prescriber": "Dr A. Adeyemi",
       "signed_on": "2027-03-02", "copied_from": "paper", "copied_by": "Maren Holt",
       "read_back": true},
      {"what": "order line checked", "happened": "2027-03-02T09:05:00+01:00",
       "line": "0000000000000000000000000000a1b1", "checked_by": "Jonas Abara",
       "reading": {"insulin": "insulin glargine", "strength_units_per_ml": 100,
                   "slots": [{"slot": "bedtime", "at": "22:00", "units": 22}]}},
      {"what": "pen given", "happened": "2027-03-02T09:10:00+01:00",
       "pen": "0000000000000000000000000000a1c1", "copy": "reusable-whole-60",
       "insulin": "insulin glargine", "strength_units_per_ml": 100},
      {"what": "cartridge loaded", "happened": "2027-03-10T08:00:00+01:00",
       "cartridge": "0000000000000000000000000000a1d1", "pen": "0000000000000000000000000000a1c1",
       "copy": "glargine-100", "units": 300, "content_units": 300, "fits": "fit A",
       "new_cartridge": true},
      {"what": "body measured", "happened": "2027-03-10T08:05:00+01:00", "height_cm": 168},
      {"what": "place rules set", "happened": "2027-03-10T08:06:00+01:00",
       "zones": ["thigh left", "thigh right"], "rest_days": 28, "spacing_mm": 10,
       "navel_clear_mm": 50, "turn": "each week", "needle_mm": 4, "angle_deg": 90}]})");
    ASSERT_EQ(answer.status, 200) << answer.body;
  }
  // What the sheets about supplies are printed from.
  void trip_and_pen_test() {
    const auto answer =
        post(facts_path(), R"({"seen_version": )" + noors_version() + R"(, "facts": [
      {"id": "0000000000000000000000000000a1e1", "what": "trip planned",
       "happened": "2027-03-11T09:00:00+01:00", "leaves": "2027-04-02", "returns": "2027-04-16"},
      {"id": "0000000000000000000000000000a1e2", "what": "pen tested",
       "happened": "2027-03-11T09:10:00+01:00", "pen": "0000000000000000000000000000a1c1",
       "dialled_units": 10, "by": "weighed", "delivered_units": [9.9, 10, 10.1]}]})");
    ASSERT_EQ(answer.status, 200) << answer.body;
  }
};

// Each call's own example: what is recorded makes one small history, then the pages are read, and
// at last what erases.
TEST_F(SiteTest, EveryExampleIsAnswered) {
  std::size_t replayed = 0;
  for (const std::string_view method : {"POST", "GET", "DELETE"}) {
    for (const auto& [each, run] : routes()) {
      if (each.method != method) continue;
      ++replayed;
      if (each.pattern == "/api/import") continue;  // takes in what was exported: below
      if (each.pattern == "/api/people/{id}/move") somebody_else();
      replay(each);
    }
    if (method == "POST") {
      ready_to_inject();
      trip_and_pen_test();
    }
  }
  EXPECT_EQ(replayed, routes().size());
  const auto exported = get(route("GET", "/api/people/{id}/export").example).body;
  EXPECT_EQ(post("/api/import?file=own.json", exported).status, 200);
}

TEST_F(SiteTest, TheTableIsWhole) {
  std::set<std::string> seen;
  for (const auto& [each, run] : routes()) {
    EXPECT_TRUE(seen.insert(std::string(each.method) + std::string(each.pattern)).second);
    EXPECT_FALSE(each.summary.empty()) << each.pattern;
    EXPECT_FALSE(pages::takes_text(each).empty()) << each.pattern;
    EXPECT_FALSE(each.gives.empty()) << each.pattern;
    const auto path = each.example.substr(0, each.example.find('?'));
    std::string decoded;
    for (std::size_t i = 0; i < path.size(); ++i) {
      const bool space = path.substr(i, 3) == "%20";
      decoded += space ? ' ' : path[i];
      if (space) i += 2;
    }
    EXPECT_TRUE(pages::match(each.pattern, decoded).has_value()) << each.pattern;
    // Every refusal that a call names has its sentences.
    for (const auto code : each.codes) {
      EXPECT_TRUE(words::english().has_error(code)) << each.pattern << " " << code;
    }
  }
}

TEST_F(SiteTest, EveryCodeOfTheWebHasItsSentences) {
  for (const auto code : {codes::foreign_host, codes::foreign_origin, codes::bad_request,
                          codes::header_large, codes::body_large, codes::busy, codes::no_such_path,
                          codes::method, codes::media_type, codes::fault, codes::port_taken}) {
    EXPECT_TRUE(words::english().has_error(code)) << code;
  }
}

TEST_F(SiteTest, TheDescriptionNamesEveryCall) {
  const auto page = get("/api.html");
  EXPECT_EQ(page.status, 200);
  EXPECT_EQ(page.header("Content-Type"), "text/html; charset=utf-8");
  const auto listed = document(get("/api"));
  EXPECT_EQ(listed.find("calls")->members.size(), routes().size());
  for (const auto& [each, run] : routes()) {
    EXPECT_NE(page.body.find(std::string(each.method) + " " + std::string(each.pattern)),
              std::string::npos)
        << each.pattern;
  }
  EXPECT_EQ(page.body.find("\"facts\": ["), std::string::npos) << "quotes are not escaped";
}

// Every reference of a document, and of the schemas that have a name of their own, begins
// somewhere.
void expect_references(const json::Value& value, const json::Value& root, std::string_view where) {
  const auto& base = value.find("$id") == nullptr ? root : value;
  for (const auto& member : value.members) {
    if (member.key == "$ref") {
      const auto* at = &base;
      std::string_view rest(member.value.text);
      ASSERT_TRUE(rest.starts_with("#/")) << where << " " << rest;
      rest.remove_prefix(2);
      while (at != nullptr && !rest.empty()) {
        const auto end = std::min(rest.find('/'), rest.size());
        at = at->find(rest.substr(0, end));
        rest.remove_prefix(std::min(end + 1, rest.size()));
      }
      EXPECT_NE(at, nullptr) << where << " " << member.value.text;
    }
    expect_references(member.value, base, member.key.empty() ? where : member.key);
  }
}

TEST_F(SiteTest, TheOpenApiDocumentHasEveryCallWithItsParameters) {
  const auto whole = document(get("/api/openapi.json"));
  EXPECT_EQ(whole.find("openapi")->text, "3.1.0");
  const auto& paths = *whole.find("paths");
  for (const auto& [each, run] : routes()) {
    const auto* path = paths.find(each.pattern);
    ASSERT_NE(path, nullptr) << each.pattern;
    std::string method(each.method);
    for (auto& c : method) c = static_cast<char>(c - 'A' + 'a');
    const auto* call = path->find(method);
    ASSERT_NE(call, nullptr) << method << " " << each.pattern;
    EXPECT_EQ(call->find("parameters")->members.size(), each.parameters.size()) << each.pattern;
    EXPECT_EQ(call->find("requestBody") != nullptr, each.body != pages::Body::none) << each.pattern;
    EXPECT_NE(call->find("responses")->find("200"), nullptr) << each.pattern;
    // Every segment in braces is a parameter that is needed.
    const auto braces = std::ranges::count(each.pattern, '{');
    EXPECT_EQ(std::ranges::count_if(each.parameters,
                                    [&](const auto& one) { return pages::is_in_path(each, one); }),
              braces)
        << each.pattern;
  }
  for (const auto& verb : verbs::all())
    EXPECT_NE(paths.find("/api/" + std::string(verb.name)), nullptr) << verb.name;
  expect_references(whole, whole, "");
}

TEST_F(SiteTest, H29_APictureGoesInWithConsentAndOutUncached) {
  clinic_and_noor();
  const auto& example = route("POST", "/api/people/{id}/photos");
  const auto picture = bytes_of(example.example_hex);
  const std::string path = "/api/people/" + std::string(noor) + "/photos";
  const auto refused = post(path, picture, "image/png");
  EXPECT_EQ(refused.status, 422);
  EXPECT_EQ(code(refused), desk::codes::photo_consent);
  EXPECT_EQ(post(path + "?consent=no", picture, "image/png").status, 422);
  const auto kept = post(path + "?consent=yes", picture, "image/png");
  EXPECT_EQ(kept.status, 200);
  const auto at = path + "/" + document(kept).find("photo")->text;
  const auto seen = get(at);
  EXPECT_EQ(seen.status, 200);
  EXPECT_EQ(seen.body, picture);
  EXPECT_EQ(seen.header("Content-Type"), "image/png");
  EXPECT_EQ(seen.header("Cache-Control"), "private, no-store");
  EXPECT_EQ(seen.header("X-Content-Type-Options"), "nosniff");
  // What it is decides, not what it is called.
  EXPECT_EQ(code(post(path + "?consent=yes", "<script>", "image/png")), desk::codes::photo_form);
  EXPECT_EQ(post(path + "?consent=yes", picture).status, 415);
  EXPECT_EQ(post(path + "?consent=yes", picture, "text/csv").status, 415);
  EXPECT_EQ(
      code(post(path + "?consent=yes", "\xFF\xD8\xFF" + std::string(3'000'000, 'x'), "image/jpeg")),
      store::codes::blob_too_large);
}

TEST_F(SiteTest, H29_ErasingAPictureNeedsAReasonAndOurOwnPage) {
  clinic_and_noor();
  replay(route("POST", "/api/people/{id}/photos"));
  const auto& example = route("DELETE", "/api/people/{id}/photos/{photo}");
  const std::string path(example.example.substr(0, example.example.find('?')));
  EXPECT_EQ(code(client().remove(path)), desk::codes::reason_missing);
  EXPECT_EQ(client().remove(example.example, "Origin: http://elsewhere.example\r\n").status, 403);
  EXPECT_EQ(client().remove(example.example, "Sec-Fetch-Site: cross-site\r\n").status, 403);
  EXPECT_EQ(get(path).status, 200);
  EXPECT_EQ(client().remove(example.example).status, 200);
  const auto gone = get(path);
  EXPECT_EQ(gone.status, 404);
  EXPECT_EQ(code(gone), desk::codes::photo_erased);
  const auto journal = get("/api/people/" + std::string(noor) + "/journal").body;
  EXPECT_NE(journal.find("consent withdrawn"), std::string::npos);
  // Only what the table says may be deleted.
  EXPECT_EQ(client().remove("/api/people/" + std::string(noor)).status, 405);
}

TEST_F(SiteTest, StatusesFollowTheKind) {
  EXPECT_EQ(post("/api/people", "{}").status, 422);
  EXPECT_EQ(code(post("/api/people", "{}")), desk::codes::clinic_unnamed);
  clinic_and_noor();
  EXPECT_EQ(get("/api/today").status, 200);
  EXPECT_EQ(get("/api/people/000000000000000000000000000000ff").status, 404);
  EXPECT_EQ(code(get("/api/people/nonsense")), "field.id");
  EXPECT_EQ(get("/api/people/nonsense").status, 400);
  EXPECT_EQ(get("/api/people?page=0").status, 400);
  EXPECT_EQ(get("/api/people?page=x").status, 400);
  EXPECT_EQ(post(facts_path(), "{").status, 400);
  EXPECT_EQ(post(facts_path(), R"({"facts": [], "facts": []})").status, 400);
  EXPECT_EQ(post(facts_path(), R"({"facts": [{"what": "nonsense"}]})").status, 400);
  EXPECT_EQ(get("/api/nonsense").status, 404);
  EXPECT_EQ(get("/api/nonsense/more").status, 404);
  EXPECT_EQ(get("/api/facts/nonsense").status, 404);
  EXPECT_EQ(post("/api/dial", "{}").status, 400);
  const auto wrong = client().post("/api/today", "{}");
  EXPECT_EQ(wrong.status, 405);
  EXPECT_EQ(wrong.header("Allow"), "GET, HEAD");
  EXPECT_EQ(code(wrong), codes::method);
}

// The same call as the command's: every verb answers its own example, and describes itself.
TEST_F(SiteTest, EveryVerbAnswersItsExampleOverHttp) {
  EXPECT_GE(verbs::all().size(), 3U);
  for (const auto& verb : verbs::all()) {
    const auto path = "/api/" + std::string(verb.name);
    EXPECT_EQ(get(path).status, 200) << path;
    const auto answer = post(path, json::to_text(verb.example()));
    EXPECT_EQ(answer.status, 200) << path << answer.body;
    const auto say = [](std::string_view code, std::span<const Arg> args) {
      return words::english().text(code, {args.begin(), args.end()});
    };
    const auto own = verb.run(verb.example(), say, {});
    ASSERT_TRUE(own) << path;
    EXPECT_EQ(answer.body, json::to_text(own->document)) << path;
  }
}

TEST_F(SiteTest, SomethingOddIsAskedWith422AndTakenAfterAYes) {
  clinic_and_noor();
  const auto alike = [&](std::string_view confirmed) {
    return post("/api/people", R"({"id": "000000000000000000000000000000a2", )" +
                                   std::string(confirmed) +
                                   R"("facts": [{"what": "person registered", "full_name":
                                   "Noor Hadad", "born": "1985-01-30", "number": "2077", "zone":
                                   "Europe/Berlin"}]})");
  };
  const auto asked = alike("");
  EXPECT_EQ(asked.status, 422);
  EXPECT_NE(document(asked).find("ask"), nullptr);
  EXPECT_EQ(code(asked), desk::codes::ask_alike);
  EXPECT_EQ(get("/api/people/000000000000000000000000000000a2").status, 404);
  EXPECT_EQ(alike(R"("confirmed": true, )").status, 200);
}

TEST_F(SiteTest, OnlyJsonAndFilesArePosted) {
  clinic_and_noor();
  for (const auto* type :
       {"text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "",
        "text/csv", "application/jsonx"}) {
    const auto answer = post(facts_path(), "{}", type);
    EXPECT_EQ(answer.status, 415) << type;
    EXPECT_EQ(code(answer), codes::media_type) << type;
  }
  EXPECT_NE(post(facts_path(), "{}", "application/json; charset=utf-8").status, 415);
  EXPECT_NE(post(facts_path(), "{}", "Application/JSON").status, 415);
  EXPECT_NE(post("/api/people/" + std::string(noor) + "/diary", "", "text/csv").status, 415);
}

TEST_F(SiteTest, H07_TheSameFactSentTwiceIsOneFact) {
  clinic_and_noor();
  const auto first = note("0000000000000000000000000000c001", "once", 1);
  EXPECT_EQ(first.status, 200) << first.body;
  // The retry still names the version that it saw: it is recorded already, and no conflict.
  const auto again = note("0000000000000000000000000000c001", "once", 1);
  EXPECT_EQ(again.status, 200) << again.body;
  EXPECT_EQ(version(again), version(first));
  EXPECT_EQ(document(again).find("known")->members.size(), 1U);
  const auto other = note("0000000000000000000000000000c001", "another text", 2);
  EXPECT_EQ(other.status, 422);
  EXPECT_EQ(code(other), store::codes::identity_reused);
}

TEST_F(SiteTest, H07_ADoubleClickFromManyConnectionsIsOneFact) {
  clinic_and_noor();
  std::vector<std::thread> threads;
  std::atomic<int> recorded{0};
  for (int t = 0; t < 8; ++t) {
    threads.emplace_back([&] {
      const auto answer = note("0000000000000000000000000000c002", "twice", 1);
      if (answer.status == 200 && !document(answer).find("recorded")->members.empty()) ++recorded;
      EXPECT_EQ(answer.status, 200) << answer.body;
    });
  }
  for (auto& thread : threads) thread.join();
  EXPECT_EQ(recorded, 1);
}

TEST_F(SiteTest, H20_OfTwoWritersOneGetsAConflictWithBothSides) {
  clinic_and_noor();
  EXPECT_EQ(note("0000000000000000000000000000d001", "from one desk", 1).status, 200);
  const auto late = note("0000000000000000000000000000d002", "from another desk", 1);
  EXPECT_EQ(late.status, 409);
  EXPECT_EQ(code(late), store::codes::version_conflict);
  const auto refused = document(late);
  const auto* changed = refused.find("changed");
  ASSERT_NE(changed, nullptr) << late.body;
  ASSERT_EQ(changed->members.size(), 1U);
  EXPECT_NE(json::to_text(*changed).find("from one desk"), std::string::npos);
  EXPECT_EQ(note("0000000000000000000000000000d002", "from another desk", 2).status, 200);
}

// S16: another program on the same store named another user while the server ran.
TEST_F(SiteTest, H29_S16_ARecordIsSignedByWhomAnotherProgramHasNamed) {
  clinic_and_noor();
  desk::Ports ports;
  ports.store = store.get();
  ports.now = [this] { return clock; };
  ports.zone = shell::zone;
  ports.new_id = shell::new_id;
  const auto other = desk::Desk::open(std::move(ports)).value();
  ASSERT_TRUE(other->name_clinic(
      json::parse(R"({"clinic":"H","user":"Ada Brandt","zone":"Europe/Berlin"})").value(),
      other->caller()));
  const auto path = "/api/people/" + std::string(noor);
  EXPECT_EQ(
      post(path + "/facts", R"({"seen_version":1,"facts":[{"what":"note","text":"x"}]})").status,
      200);
  EXPECT_NE(get(path + "/journal").body.find("Ada Brandt"), std::string::npos);
}

TEST_F(SiteTest, H20_L3_WhoWritesNamesTheVersionThatTheySaw) {
  clinic_and_noor();
  for (const auto* below : {"/facts", "/move", "/hand-outs"}) {
    const auto answer = post("/api/people/" + std::string(noor) + below,
                             R"({"facts": [{"what": "note", "text": "blind"}]})");
    EXPECT_EQ(answer.status, 400) << below;
    EXPECT_EQ(code(answer), json::codes::field_missing) << below;
    const auto nothing =
        post("/api/people/" + std::string(noor) + below,
             R"({"seen_version": null, "facts": [{"what": "note", "text": "x"}]})");
    EXPECT_EQ(code(nothing), json::codes::field_missing) << below << ": null is no version";
  }
  EXPECT_EQ(noors_version(), "1");
}

TEST_F(SiteTest, H20_WritersAtOnceLoseNothing) {
  clinic_and_noor();
  std::vector<std::thread> threads;
  std::atomic<int> taken{0};
  std::atomic<int> conflicts{0};
  for (int t = 0; t < 4; ++t) {
    threads.emplace_back([&, t] {
      for (int i = 0; i < 10; ++i) {
        const auto id = to_text(Id{0xD0, static_cast<std::uint64_t>(t * 100 + i + 1)});
        const auto now = version(get("/api/people/" + std::string(noor)));
        const auto answer = note(id, "note", std::stoi(now));
        if (answer.status == 200) ++taken;
        if (answer.status == 409) ++conflicts;
      }
    });
  }
  for (auto& thread : threads) thread.join();
  EXPECT_EQ(taken + conflicts, 40);
  EXPECT_EQ(version(get("/api/people/" + std::string(noor))), std::to_string(1 + taken));
}

TEST_F(SiteTest, NamesWithMarkupStayJson) {
  replay(route("POST", "/api/clinic"));
  const std::string_view evil = R"(<script>alert(1)</script><img src=x onerror=y> & ]]>)";
  const auto answer = post("/api/people", R"({"id": "000000000000000000000000000000e1",
    "facts": [{"what": "person registered", "full_name": ")" +
                                              std::string(evil) +
                                              R"(", "born": "1958-06-04", "number": "66",
    "zone": "Europe/Berlin"}]})");
  ASSERT_EQ(answer.status, 200) << answer.body;
  const std::string paths[] = {"/api/people", "/api/people/000000000000000000000000000000e1",
                               "/api/people/000000000000000000000000000000e1/journal"};
  for (const auto& path : paths) {
    const auto page = get(path);
    EXPECT_EQ(page.status, 200) << path;
    EXPECT_EQ(page.header("Content-Type"), "application/json; charset=utf-8") << path;
    EXPECT_EQ(page.header("X-Content-Type-Options"), "nosniff") << path;
    EXPECT_NE(page.body.find("<script>alert(1)"), std::string::npos) << path;
  }
  // A path or a name in a refusal, too.
  const auto missing = get("/api/%3Cscript%3E");
  EXPECT_EQ(missing.status, 404);
  EXPECT_EQ(missing.header("Content-Type"), "application/json; charset=utf-8");
  EXPECT_EQ(get("/%3Cscript%3E").body.find("<script>"), std::string::npos);
}

TEST_F(SiteTest, NoPathLeadsOutOfTheBinary) {
  for (const auto* path :
       {"/../etc/passwd", "/%2e%2e/etc/passwd", "/..%2f..%2fetc/passwd", "/assets/../../etc/passwd",
        "//etc/passwd", "/etc/passwd", "/assets/%2e%2e%2f%2e%2e%2fetc%2fpasswd", "/.git/config",
        "/index.html/..", "/missing.html"}) {
    const auto answer = get(path);
    EXPECT_EQ(answer.status, 404) << path;
    EXPECT_EQ(answer.body.find("root:"), std::string::npos) << path;
  }
}

TEST_F(SiteTest, PagesOfTheFrontEndAreItsIndexAndTheRestIsMissing) {
  const auto index = get("/");
  EXPECT_EQ(index.status, 200);
  EXPECT_EQ(index.header("Content-Type"), "text/html; charset=utf-8");
  for (const auto* path : {"/people", "/people/", "/people/new", "/month", "/shelf", "/phone",
                           "/start", "/people/000000000000000000000000000000a1/journal"}) {
    EXPECT_EQ(get(path).body, index.body) << path;
  }
  for (const auto* path : {"/nonsense", "/peoples", "/shelf/x", "/favicon.nothing"}) {
    EXPECT_EQ(get(path).status, 404) << path;
    EXPECT_EQ(get(path).header("Content-Type"), "text/html; charset=utf-8") << path;
  }
  EXPECT_EQ(post("/", "{}").status, 405);
}

TEST_F(SiteTest, FilesHaveATagThatSavesSendingThemTwice) {
  const auto first = get("/");
  const auto tag = first.header("ETag");
  ASSERT_FALSE(tag.empty());
  EXPECT_EQ(first.header("Cache-Control"), "no-cache");
  const auto again = get("/", "If-None-Match: " + tag + "\r\n");
  EXPECT_EQ(again.status, 304);
  EXPECT_EQ(again.body, "");
  EXPECT_EQ(get("/", "If-None-Match: \"other\"\r\n").status, 200);
  EXPECT_EQ(get("/api/clinic").header("Cache-Control"), "no-store");
}

TEST_F(SiteTest, FilesAreSentSmallToWhoCanUnpackThem) {
  const auto plain = get("/");
  const auto small = get("/", "Accept-Encoding: br;q=1, gzip, deflate\r\n");
  EXPECT_EQ(plain.header("Content-Encoding"), "");
  EXPECT_EQ(small.status, 200);
  // The page that stands in for a front end that was not built has no copy to send.
  if (plain.header("Vary").empty()) {
    EXPECT_EQ(small.body, plain.body);
  } else {
    EXPECT_EQ(small.header("Content-Encoding"), "gzip");
    EXPECT_EQ(small.header("Content-Type"), plain.header("Content-Type"));
    EXPECT_TRUE(small.body.starts_with("\x1F\x8B"));
    EXPECT_NE(small.header("ETag"), plain.header("ETag"));
    const auto again =
        get("/", "Accept-Encoding: gzip\r\nIf-None-Match: " + small.header("ETag") + "\r\n");
    EXPECT_EQ(again.status, 304);
  }
  EXPECT_EQ(get("/", "Accept-Encoding: gzip;q=0\r\n").body, plain.body);
  EXPECT_EQ(get("/", "Accept-Encoding: notgzip\r\n").body, plain.body);
  EXPECT_EQ(get("/index.html.gz").status, 404);
}

// Whether two documents are the same but for identities that each of them alone proposes.
bool same_but_proposed(const std::string& a, const std::string& b) {
  static const std::regex identity("[0-9a-f]{32}");
  const auto rest = [](const std::string& text) { return std::regex_replace(text, identity, "#"); };
  if (rest(a) != rest(b)) return false;
  const std::sregex_iterator end;
  for (std::sregex_iterator left(a.begin(), a.end(), identity), right(b.begin(), b.end(), identity);
       left != end && right != end; ++left, ++right) {
    if (left->str() == right->str()) continue;
    if (b.find(left->str()) != std::string::npos || a.find(right->str()) != std::string::npos)
      return false;
  }
  return true;
}

// Whatever happens between two looks, "not modified" is only said of the same document.
TEST_F(SiteTest, ADocumentThatChangedIsNeverCalledUnmodified) {
  clinic_and_noor();
  ready_to_inject();
  const std::string person = "/api/people/" + std::string(noor);
  const std::vector<std::string> paths{"/api/clinic",        "/api/today", "/api/people",
                                       "/api/people?q=noor", person,       "/api/month",
                                       person + "/journal",  "/api/stock", person + "/supplies",
                                       person + "/places",   "/api/shelf", "/api/dial"};
  std::map<std::string, Answer> held;
  int saved = 0, changed = 0;
  const auto look = [&] {
    for (const auto& path : paths) {
      const auto whole = get(path);
      ASSERT_EQ(whole.status, 200) << path;
      ASSERT_TRUE(whole.header("ETag").starts_with("W/\"")) << path;
      EXPECT_EQ(whole.header("Cache-Control"), "no-store") << path;
      if (held.contains(path)) {
        const auto& before = held.at(path);
        const auto asked = get(path, "If-None-Match: " + before.header("ETag") + "\r\n");
        if (asked.status == 304) {
          EXPECT_TRUE(same_but_proposed(whole.body, before.body)) << path << whole.body;
          EXPECT_EQ(asked.body, "") << path;
          ++saved;
        } else {
          EXPECT_EQ(asked.status, 200) << path;
          EXPECT_NE(asked.body, before.body) << path;
          ++changed;
        }
      }
      held[path] = whole;
    }
  };
  look();
  look();
  EXPECT_EQ(
      note("0000000000000000000000000000b001", "for the tags", std::stoi(version(get(person))))
          .status,
      200);
  look();
  clock += std::chrono::seconds(1);
  look();
  clock += std::chrono::hours(9);  // the dose is due, and late
  look();
  clock += std::chrono::days(40);
  look();
  somebody_else();
  look();
  EXPECT_GE(saved, 10);
  EXPECT_GE(changed, 5);
}

// A page that offers to load a cartridge or to give a sharps box names what will be there; that
// name is another one on every reading, and the document is still the same until somebody writes.
TEST_F(SiteTest, WhatADocumentProposesMakesItNoOtherDocument) {
  clinic_and_noor();
  ready_to_inject();
  const std::string supplies = "/api/people/" + std::string(noor) + "/supplies";
  const auto proposed = [](const Answer& answer) {
    static const std::regex box("\"box\":\\s*\"([0-9a-f]{32})\"");
    std::smatch found;
    return std::regex_search(answer.body, found, box) ? found[1].str() : std::string();
  };
  const auto first = get(supplies), second = get(supplies);
  ASSERT_NE(proposed(first), "") << first.body;
  EXPECT_NE(proposed(first), proposed(second));
  EXPECT_EQ(first.header("ETag"), second.header("ETag"));
  EXPECT_EQ(get(supplies, "If-None-Match: " + first.header("ETag") + "\r\n").status, 304);
  EXPECT_EQ(
      note("0000000000000000000000000000b002", "in between", std::stoi(version(get(supplies))))
          .status,
      200);
  EXPECT_NE(get(supplies).header("ETag"), first.header("ETag"));
}

TEST_F(SiteTest, S4_WhatTakesLongHasALaneOfItsOwn) {
  const auto lane = [](std::string path) {
    Request request;
    request.method = "GET";
    request.path = std::move(path);
    return lane_of(request);
  };
  for (const auto* path : {"/", "/people", "/assets/x.js", "/api.html", "/api/health"}) {
    EXPECT_EQ(lane(path), Lane::at_once) << path;
  }
  const std::string person = "/api/people/" + std::string(noor);
  for (const auto& path : {std::string("/api/today"), person, person + "/facts",
                           std::string("/api/dial"), std::string("/api/phone")}) {
    EXPECT_EQ(lane(path), Lane::records) << path;
  }
  for (const auto& path :
       {std::string("/api/month"), std::string("/api/cover"), std::string("/api/reconcile"),
        std::string("/api/places"), std::string("/api/reach"), std::string("/api/import"),
        person + "/diary"}) {
    EXPECT_EQ(lane(path), Lane::slow) << path;
  }
}

TEST_F(SiteTest, H22_ADiaryIsLookedAtBeforeItEnters) {
  clinic_and_noor();
  const auto path = "/api/people/" + std::string(noor) + "/diary?file=march.csv";
  const auto& example = route("POST", "/api/people/{id}/diary");
  const auto preview = document(post(path, example.example_body, "text/csv"));
  EXPECT_FALSE(preview.find("accepted")->flag);
  const auto digest = preview.find("digest")->text;
  EXPECT_EQ(post(path + "&accept=" + std::string(64, '0'), example.example_body, "text/csv").status,
            409);
  const auto entered = post(path + "&accept=" + digest, example.example_body, "text/csv");
  EXPECT_EQ(entered.status, 200) << entered.body;
  EXPECT_TRUE(document(entered).find("accepted")->flag);
  const auto file = get("/api/people/" + std::string(noor) + "/diary.csv");
  EXPECT_EQ(file.header("Content-Type"), "text/csv; charset=utf-8");
  EXPECT_NE(file.header("Content-Disposition").find("attachment"), std::string::npos);
}

}  // namespace
}  // namespace penstock::web
