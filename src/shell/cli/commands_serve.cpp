// The pages, and the clinic to try them on.
#include <fcntl.h>
#include <spawn.h>
#include <unistd.h>

#include <filesystem>
#include <ostream>

#include "edge/demo/demo.hpp"
#include "edge/json/json.hpp"
#include "shell/cli/internal/bench.hpp"
#include "shell/cli/internal/render.hpp"
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

std::string serving_text(desk::Desk& desk, const std::string& address) {
  const auto clinic = desk.clinic();
  const auto name = clinic ? text_at(*clinic, "clinic") : std::string();
  const std::vector<Arg> args{arg_text("clinic", name), arg_text("address", address)};
  return said(name.empty() ? "cli.serving_unnamed" : "cli.serving", args) + "\n";
}

void make_folder_of(const std::string& file) {
  const auto folder = std::filesystem::path(file).parent_path();
  std::error_code ignored;  // opening the file says what is wrong
  if (!folder.empty()) std::filesystem::create_directories(folder, ignored);
}

}  // namespace

Exit run_serve(Bench& bench) {
  make_folder_of(data_file(bench.options));
  const auto desk = bench.open(Bench::Missing::create);
  if (!desk) return bench.refuse(desk.error());
  web::ServeOptions options;
  options.port = static_cast<std::uint16_t>(bench.options.port);
  options.is_upload = web::takes_upload;
  auto server = web::Server::start(options, web::site(**desk));
  if (!server) return bench.refuse(server.error());
  const auto address = "http://127.0.0.1:" + std::to_string((*server)->port()) + "/";
  bench.streams.out << serving_text(**desk, address) << said("cli.stop") << "\n" << std::flush;
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
  const auto clinic = (*desk)->clinic();
  if (!clinic) return bench.refuse(clinic.error());
  if (const auto* named = clinic->find("named"); named == nullptr || named->flag) {
    return bench.refuse({Kind::refused, "cli.demo_not_empty", {arg_text("file", file)}, ""});
  }
  const auto shelf = (*desk)->shelf_entries();
  const demo::Setting setting{.shelf = &shelf,
                              .now = shell::now(),
                              .clinic = (*desk)->clinic_journal(),
                              .zone = [](std::string_view name) {
                                const auto rules = shell::zone(name);
                                INVARIANT(rules.has_value());
                                return *rules;
                              }};
  const auto journals = demo::clinic(setting);
  std::uint64_t done = 0;
  std::int64_t facts = 0;
  std::int64_t people = 0;
  for (const auto& journal : journals) {
    bench.progress("cli.progress_fill", done++, journals.size());
    const auto subject = journal.is_clinic ? store::Subject::clinic : store::Subject::person;
    const auto entered = (*desk)->append_all(journal.id, subject, journal.facts);
    if (!entered) return bench.refuse(entered.error());
    facts += static_cast<std::int64_t>(journal.facts.size());
    if (!journal.is_clinic) ++people;
  }
  bench.progress_done();
  return bench.answer(
      json::object({{"people", json::count(people)}, {"facts", json::count(facts)}}),
      said("cli.demo_done",
           {arg_text("file", file), arg_count("people", people), arg_count("facts", facts)}) +
          "\n");
}

}  // namespace penstock::cli
