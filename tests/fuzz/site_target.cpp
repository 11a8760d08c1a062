// A small history of calls to the whole site on a memory store (script.hpp), and what holds after
// any of them: no call fails by our fault, what was acknowledged is in its journal, the chains
// hold, and a program that starts anew shows the same documents.
#include <algorithm>
#include <map>
#include <memory>
#include <set>

#include "core/facts/list.hpp"
#include "core/journal/journal.hpp"
#include "edge/json/json.hpp"
#include "edge/wire/fact_json.hpp"
#include "fuzz/script.hpp"
#include "fuzz/targets.hpp"
#include "shell/desk/desk.hpp"
#include "shell/store/store.hpp"
#include "shell/web/web.hpp"

namespace penstock::fuzz {
namespace {

using web::Request;
using web::Response;

constexpr std::size_t steps_most = 100;
constexpr std::size_t people_looked_at_most = 3;

class Bench {
 public:
  Bench() : store_(store::make_memory_store()) { start(); }

  void start() {
    site_ = nullptr;
    desk_ = open();
    site_ = web::site(*desk_, web::Blind::taken);
  }
  std::unique_ptr<desk::Desk> open() {
    desk::Ports ports;
    ports.store = store_.get();
    ports.now = [this] { return clock_; };
    ports.zone = [](std::string_view name) -> Result<ZoneRules> {
      if (name == "Europe/Berlin") return berlin();
      if (name == "UTC") return ZoneRules{"UTC", {}};
      return Error{Kind::invalid_input,
                   std::string(desk::codes::zone_unknown),
                   {arg_text("text", name)},
                   ""};
    };
    ports.zone_names = [] { return std::vector<std::string>{"Europe/Berlin", "UTC"}; };
    ports.new_id = [this] { return Id{0xABC, ++ids_}; };
    ports.program = "Penstock 0.1.0";
    auto opened = desk::Desk::open(std::move(ports));
    law(opened.has_value(), "the store cannot be opened");
    return *std::move(opened);
  }

  void go_on(std::int64_t seconds) {
    // Within the years that a record can have: the clock of a machine is not the sender's.
    constexpr std::int64_t most = 400LL * 24 * 3600;
    clock_ += std::chrono::seconds{std::clamp<std::int64_t>(seconds, 0, most)};
    clock_ = std::min(clock_, parse_when("2060-01-01T00:00Z")->at);
  }

  Response call(const Request& request) { return checked(request, site_(request)); }

  void laws_at_the_end() {
    const auto verified = desk_->verify([](const store::Progress&) {});
    law(verified && verified->clean(), "the journals do not verify");
    law_of_acknowledged();
    law_of_a_new_start();
  }

 private:
  Response checked(const Request& request, Response answer) {
    const auto where = request.method + " " + request.path + ": ";
    law(answer.status < 500, where + std::to_string(answer.status) + " " + answer.body);
    if (answer.status == 304) return answer;
    if (answer.content_type.starts_with("application/json")) law_of_document(answer.body);
    if (request.method == "POST" && answer.status == 200) note_acknowledged(answer.body);
    return answer;
  }

  void note_acknowledged(const std::string& body) {
    const auto document = json::parse(body, {1U << 28U, 10'000'000, 64});
    for (const auto* list : {"recorded", "known"}) {
      const auto* ids = document ? document->find(list) : nullptr;
      if (ids == nullptr || ids->type != json::Type::array) continue;
      for (const auto& item : ids->members) {
        if (const auto id = parse_id(item.value.text)) acknowledged_.insert(*id);
      }
    }
  }

  void law_of_acknowledged() {
    const auto read = store_->read([&](store::ReadTx& tx) -> Result<void> {
      for (const auto& id : acknowledged_) {
        const auto place = tx.find(id);
        law(place && place->has_value(), "an acknowledged fact is gone: " + to_text(id));
      }
      return {};
    });
    law(read.has_value(), "the store cannot be read");
  }

  std::vector<Id> people() {
    std::vector<Id> all;
    static_cast<void>(store_->read([&](store::ReadTx& tx) -> Result<void> {
      const auto journals = tx.journals();
      law(journals.has_value(), "the journals cannot be listed");
      for (const auto& journal : *journals) {
        if (journal.subject == store::Subject::person) all.push_back(journal.journal);
      }
      return {};
    }));
    if (all.size() > people_looked_at_most) all.resize(people_looked_at_most);
    return all;
  }

  // What is folded step by step is what is folded from nothing.
  void law_of_a_new_start() {
    const auto fresh = open();
    const auto anew = web::site(*fresh, web::Blind::taken);
    const auto same = [&](std::string path) {
      const Request request{.method = "GET",
                            .path = std::move(path),
                            .query = {},
                            .content_type = {},
                            .if_none_match = {},
                            .accept_encoding = {},
                            .body = {}};
      // Forms bear new identities: let them be the same ones.
      const auto ids = ids_;
      const auto here = call(request);
      ids_ = ids;
      const auto there = anew(request);
      law(here.status == there.status && here.body == there.body,
          request.path + " is another after a new start\n" + here.body + "\n" + there.body);
    };
    const auto everybody = people();
    for (const auto& route : web::routes()) {
      const std::string pattern(route.row.pattern);
      const auto braces = std::ranges::count(pattern, '{');
      if (route.row.method != "GET" || pattern.starts_with("/api/openapi")) continue;
      if (braces == 0 && pattern != "/api") same(pattern);
      const auto id = pattern.find("{id}");
      if (braces != 1 || id == std::string::npos) continue;
      for (const auto& person : everybody) {
        same(std::string(pattern).replace(id, 4, to_text(person)));
      }
    }
  }

  std::unique_ptr<store::Store> store_;
  Instant clock_ = parse_when("2027-03-16T14:10:00+01:00")->at;
  std::uint64_t ids_ = 0;
  std::unique_ptr<desk::Desk> desk_;
  web::Handler site_;
  std::set<Id> acknowledged_;
};

std::string_view word_of(std::string_view& line) {
  const auto end = std::min(line.find(' '), line.size());
  const auto word = line.substr(0, end);
  line.remove_prefix(std::min(end + 1, line.size()));
  return word;
}

std::string bytes_of_hex(std::string_view hex) {
  std::string out;
  for (std::size_t i = 0; i + 1 < hex.size(); i += 2) {
    const auto digit = [](char c) { return c <= '9' ? c - '0' : c - 'a' + 10; };
    out += static_cast<char>(digit(hex[i]) * 16 + digit(hex[i + 1]));
  }
  return out;
}

Request request_of(const Step& step) {
  std::string_view line = std::string_view(step.line).substr(2);
  Request request;
  request.method = word_of(line);
  auto target = word_of(line);
  const auto mark = std::min(target.find('?'), target.size());
  request.path = target.substr(0, mark);
  if (!request.path.starts_with('/')) request.path.insert(0, "/");
  for (target.remove_prefix(std::min(mark + 1, target.size())); !target.empty();) {
    const auto end = std::min(target.find('&'), target.size());
    const auto equals = std::min(target.find('='), end);
    const auto from = std::min(equals + 1, end);
    request.query[std::string(target.substr(0, equals))] = target.substr(from, end - from);
    target.remove_prefix(std::min(end + 1, target.size()));
  }
  request.content_type = word_of(line);
  const bool is_hex = request.content_type.starts_with("image/");
  request.body = is_hex ? bytes_of_hex(step.body) : step.body;
  return request;
}

void run_site(std::string_view, std::string_view input) {
  Bench bench;
  auto steps = steps_of(input);
  if (steps.size() > steps_most) steps.resize(steps_most);
  for (const auto& step : steps) {
    if (step.line[0] == '>') {
      static_cast<void>(bench.call(request_of(step)));
    } else if (step.line[0] == '@') {
      const auto seconds = parse_fixed(std::string_view(step.line).substr(2), 0);
      bench.go_on(seconds ? *seconds : 60);
    } else {
      bench.start();
    }
  }
  bench.laws_at_the_end();
}

Step example_of(const pages::Row& row) {
  std::string line = "> " + std::string(row.method) + " " + std::string(row.example);
  if (row.method != "POST") return {line, ""};
  if (!row.example_hex.empty()) return {line + " image/png", std::string(row.example_hex)};
  const bool is_table = row.body == pages::Body::file && row.example_body.starts_with("time,");
  return {line + (is_table ? " text/csv" : " application/json"), std::string(row.example_body)};
}

// A fact of every kind, into the person's journal or the clinic's.
std::vector<Step> facts_of_all_kinds() {
  std::vector<Step> steps;
  for (std::size_t i = 0; i < facts::kinds.size(); ++i) {
    const auto& kind = facts::kinds[i];
    const std::string whose =
        kind.is_of_clinic ? "clinic" : "people/000000000000000000000000000000a1";
    steps.push_back({"> POST /api/" + whose + "/facts application/json",
                     R"({"confirmed": true, "facts": [)" +
                         json::to_text(*wire::kind_example(kind.name)) + "]}"});
  }
  return steps;
}

// Every call's example, the acts before the pages: one after the other, and each alone on a clinic
// that has its name and one person. Then every kind of fact, in the same two ways.
std::vector<std::string> site_seeds(std::string_view) {
  std::vector<Step> acts;
  std::vector<Step> looks;
  std::vector<std::string> all;
  const auto add = [&](std::string_view pattern) {
    for (const auto& route : web::routes()) {
      if (route.row.method == "POST" && route.row.pattern == pattern) {
        acts.push_back(example_of(route.row));
      }
    }
  };
  add("/api/clinic");
  add("/api/people");
  const auto begun = acts;
  for (const auto& route : web::routes()) {
    if (route.row.example.empty()) continue;
    const auto step = example_of(route.row);
    (route.row.method == "GET" ? looks : acts).push_back(step);
    auto alone = begun;
    alone.push_back(step);
    all.push_back(script_of(alone));
  }
  acts.insert(acts.end(), looks.begin(), looks.end());
  all.push_back(script_of(acts));
  auto everything = begun;
  for (const auto& step : facts_of_all_kinds()) {
    auto alone = begun;
    alone.push_back(step);
    all.push_back(script_of(alone));
    everything.push_back(step);
  }
  all.push_back(script_of(everything));
  return all;
}

}  // namespace

std::vector<Target> site_targets() { return {{"site", Shape::script, 250, site_seeds, run_site}}; }

}  // namespace penstock::fuzz
