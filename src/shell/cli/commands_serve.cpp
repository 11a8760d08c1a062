// The pages, and the clinic to try them on.
#include <fcntl.h>
#include <spawn.h>
#include <unistd.h>

#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <ostream>

#include "edge/demo/demo.hpp"
#include "edge/json/json.hpp"
#include "shell/cli/internal/bench.hpp"
#include "shell/web/web.hpp"

namespace penstock::cli {
namespace {

// Shows the address in the desktop's browser. Whether that works is not ours to know: the address
// is printed anyway.
void open_browser(std::string address) {
  std::string name = "xdg-open";
  char* const words[] = {name.data(), address.data(), nullptr};
  posix_spawn_file_actions_t silent;
  if (::posix_spawn_file_actions_init(&silent) != 0) return;
  // What the desktop has to say stays out of this terminal.
  ::posix_spawn_file_actions_addopen(&silent, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
  ::posix_spawn_file_actions_addopen(&silent, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
  pid_t child = 0;
  ::posix_spawnp(&child, words[0], &silent, nullptr, words, environ);
  ::posix_spawn_file_actions_destroy(&silent);
}

std::string serving_text(Bench& bench, const std::string& address) {
  const auto clinic = bench.page(clinic_row());
  const auto name = clinic ? text_at(*clinic, "clinic") : std::string();
  const std::vector<Arg> args{arg_text("clinic", name), arg_text("address", address)};
  return said(name.empty() ? "cli.serving_unnamed" : "cli.serving", args) + "\n";
}

void make_folder_of(const std::string& file) {
  const auto folder = std::filesystem::path(file).parent_path();
  std::error_code ignored;  // opening the file says what is wrong
  if (!folder.empty()) std::filesystem::create_directories(folder, ignored);
}

// A zone's rules are asked for several times a person.
std::function<ZoneRules(std::string_view)> zones_once() {
  auto known = std::make_shared<std::map<std::string, ZoneRules, std::less<>>>();
  return [known](std::string_view name) {
    auto found = known->find(name);
    if (found == known->end()) {
      auto rules = shell::zone(name);
      INVARIANT(rules.has_value());
      found = known->emplace(name, *std::move(rules)).first;
    }
    return found->second;
  };
}

/// Written in one transaction, which is synced once: some 35'000 facts in memory.
constexpr std::size_t people_together = 48;

/// How many facts there are in it.
Result<std::int64_t> fill_demo(Bench& bench, desk::Desk& desk, const demo::Setting& setting) {
  const auto own = demo::own_journal(setting, [&](std::size_t person) {
    bench.progress("cli.progress_invent", person, setting.people);
  });
  bench.progress_done();
  const auto named = desk.append_all(own.id, store::Subject::clinic, own.facts);
  if (!named) return named.error();
  auto facts = static_cast<std::int64_t>(own.facts.size());
  std::vector<desk::Filled> together;
  for (std::size_t i = 0; i < setting.people; ++i) {
    bench.progress("cli.progress_fill", i, setting.people);
    auto person = demo::person(setting, i);
    facts += static_cast<std::int64_t>(person.facts.size());
    together.push_back({person.id, std::move(person.facts)});
    if (together.size() < people_together && i + 1 < setting.people) continue;
    if (const auto entered = desk.fill(together); !entered) return entered.error();
    together.clear();
  }
  return facts;
}

}  // namespace

Exit run_serve(Bench& bench) {
  make_folder_of(data_file(bench.options));
  const auto desk = bench.open(Bench::Missing::create);
  if (!desk) return bench.refuse(desk.error());
  web::ServeOptions options;
  options.port = static_cast<std::uint16_t>(bench.options.port);
  options.is_upload = web::takes_upload;
  options.upload_most = web::upload_most;
  options.lane = web::lane_of;
  options.token = to_text(shell::new_id());
  auto server = web::Server::start(options, web::site(**desk));
  if (!server) return bench.refuse(server.error());
  const auto port = (*server)->port();
  const auto address = "http://127.0.0.1:" + std::to_string(port) + "/?start=" + options.token;
  if (options.port != 0 && port != options.port) {
    bench.streams.error << wrapped(said("cli.port_taken",
                                        {arg_text("wanted", std::to_string(options.port)),
                                         arg_text("port", std::to_string(port))}),
                                   "", "")
                        << std::flush;
  }
  bench.streams.out << serving_text(bench, address) << said("cli.stop") << "\n" << std::flush;
  if (bench.options.open) open_browser(address);
  (*server)->wait_for_signal();
  server->reset();
  bench.streams.out << "\n" << said("cli.stopped") << "\n";
  return Exit::answer;
}

Exit run_demo(Bench& bench) {
  const auto file = data_file(bench.options);
  make_folder_of(file);
  const auto desk = bench.open(Bench::Missing::create);
  if (!desk) return bench.refuse(desk.error());
  const auto clinic = bench.page(clinic_row());
  if (!clinic) return bench.refuse(clinic.error());
  if (const auto* named = clinic->find("named"); named == nullptr || named->flag) {
    return bench.refuse({Kind::refused, "cli.demo_not_empty", {arg_text("file", file)}, ""});
  }
  const auto shelf = (*desk)->shelf_entries();
  const auto people = static_cast<std::size_t>(bench.options.people);
  const demo::Setting setting{.shelf = &shelf,
                              .now = shell::now(),
                              .people = people,
                              .clinic = (*desk)->clinic_journal(),
                              .zone = zones_once()};
  const auto facts = fill_demo(bench, **desk, setting);
  bench.progress_done();
  if (!facts) return bench.refuse(facts.error());
  const auto count = static_cast<std::int64_t>(people);
  return bench.answer(
      json::object({{"people", json::count(count)}, {"facts", json::count(*facts)}}),
      said("cli.demo_done",
           {arg_text("file", file), arg_count("people", count), arg_count("facts", *facts)}) +
          "\n");
}

}  // namespace penstock::cli
