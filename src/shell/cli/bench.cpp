#include "shell/cli/internal/bench.hpp"

#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <istream>
#include <ostream>

#include "edge/json/json.hpp"
#include "edge/pages/all/all.hpp"
#include "edge/verbs/verbs.hpp"
#include "shell/cli/internal/shown.hpp"
#include "shell/disk/disk.hpp"

namespace penstock::cli {
namespace {

bool is_about_a_file(const Error& error) {
  // A store that cannot be opened is a file that cannot be read; the rest of its codes are answers.
  for (const auto code :
       {store::codes::no_file, store::codes::cannot_open, store::codes::not_ours,
        store::codes::newer_program, store::codes::older_schema, store::codes::migration_changed,
        store::codes::schema_changed, store::codes::file_damaged}) {
    if (error.code == code) return true;
  }
  return error.code.starts_with("file.");
}

Exit exit_of(const Error& error) {
  if (error.code == desk::codes::incident) return Exit::fault;
  return is_about_a_file(error) ? Exit::command_line : Exit::refused;
}

std::string environment(const char* name) {
  const auto* value = std::getenv(name);
  return value == nullptr ? std::string() : std::string(value);
}

}  // namespace

std::string program_name() { return "Penstock " PENSTOCK_VERSION; }

std::string said(std::string_view key, const std::vector<Arg>& args) {
  return words::english().text(key, args);
}

const pages::Row& clinic_row() {
  const auto* row = pages::find("GET", "/api/clinic");
  INVARIANT(row != nullptr);
  return *row;
}

std::vector<const pages::Row*> rows_of(std::string_view command) {
  std::vector<const pages::Row*> out;
  for (const auto& row : pages::all()) {
    if (row.command && row.command->name == command) out.push_back(&row);
  }
  return out;
}

std::string whose_line(const json::Value& whose) {
  return wrapped(said("cli.whose", {arg_text("name", text_at(whose, "name")),
                                    arg_text("born", text_at(whose, "born_text")),
                                    arg_text("number", text_at(whose, "number"))}),
                 "", "");
}

std::string data_file(const Options& options) {
  if (!options.data.empty()) return options.data;
  if (auto file = environment("PENSTOCK_FILE"); !file.empty()) return file;
  auto folder = environment("XDG_DATA_HOME");
  if (folder.empty()) folder = environment("HOME") + "/.local/share";
  return folder + "/penstock/clinic.penstock";
}

Result<desk::Desk*> Bench::open(Missing missing) {
  if (full_) return *full_;
  if (desk_) return desk_.get();
  const auto path = data_file(options);
  std::error_code ignored;
  // A file that was cut to nothing is no new clinic for whoever looks for theirs (H21).
  const auto size = std::filesystem::file_size(path, ignored);
  if (missing == Missing::refuse && (ignored || size == 0)) {
    return Error{Kind::not_found, "file.no_clinic", {arg_text("file", path)}, ""};
  }
  if (!ignored && size == 0)
    return Error{Kind::refused, "file.empty_clinic", {arg_text("file", path)}, ""};
  make_private(path);
  auto opened = store::open_sqlite({.path = path});
  if (!opened) return opened.error();
  store_ = *std::move(opened);
  return open_desk();
}

Result<ToWrite> Bench::open_to_write() {
  const auto desk = open();
  if (!desk) return desk.error();
  const auto person =
      (*desk)->find_person(options.first, (*desk)->caller(), whom::Finding::to_write);
  if (!person) return person.error();
  auto whose = (*desk)->whose(*person, (*desk)->caller());
  if (!whose) return whose.error();
  return ToWrite{*desk, *person, *std::move(whose)};
}

Result<Id> Bench::person_to_read(desk::Desk& desk, std::string_view word) {
  const auto person = desk.find_person(word, desk.caller());
  if (!person) return person;
  const auto whose = desk.whose(*person, desk.caller());
  if (!whose) return whose.error();
  const auto alike = text_at(*whose, "alike");
  if (alike.empty()) return person;
  streams.error << whose_line(*whose)
                << wrapped(said("cli.alike", {arg_text("people", alike)}), "", "");
  return person;
}

Result<desk::Desk*> Bench::open_to_read() {
  if (full_ && desk_) return desk_.get();
  auto opened = open();
  if (opened || opened.error().code != store::codes::disk_full) return opened;
  const auto path = data_file(options);
  store_.reset();
  auto looked = store::open_to_look({.path = path});
  if (!looked) return opened;  // no room for a copy either: the sentence about the disk
  store_ = *std::move(looked);
  auto desk = open_desk();
  if (!desk) return desk;
  full_ = opened.error();
  streams.error << wrapped(said("cli.disk_full_reading", {arg_text("file", path)}), "", "");
  return desk;
}

// L6: a file that others may read or write is made its owner's alone, before a log with the same
// rights stands beside it, and that is said.
void Bench::make_private(const std::filesystem::path& path) {
  const auto done = store::make_private(path);
  if (done == store::Privacy::as_it_was) return;
  const auto* key =
      done == store::Privacy::made_private ? "cli.file_made_private" : "cli.file_open_to_others";
  streams.error << wrapped(said(key, {arg_text("file", path.string())}), "", "");
}

Result<desk::Desk*> Bench::open_to_verify() {
  const std::filesystem::path path = data_file(options);
  std::error_code ignored;
  if (std::filesystem::file_size(path, ignored) == 0 || ignored) return open();
  const bool at_work = store::keeps_a_log(path) && ::access(path.c_str(), W_OK) == 0;
  auto opened = at_work ? store::open_sqlite({.path = path}) : store::open_to_look({.path = path});
  if (!opened) return opened.error();
  store_ = *std::move(opened);
  return open_desk();
}

void Bench::close() {
  desk_.reset();
  store_.reset();
}

Result<desk::Desk*> Bench::open_copy(const std::string& file) {
  close();
  auto opened = store::open_to_look({.path = file});
  if (!opened) return opened.error();
  store_ = *std::move(opened);
  return open_desk();
}

Result<desk::Desk*> Bench::open_desk() {
  desk::Ports ports;
  ports.store = store_.get();
  ports.now = shell::now;
  ports.zone = shell::zone;
  ports.zone_names = shell::zone_names;
  ports.new_id = shell::new_id;
  ports.program = program_name();
  auto desk = desk::Desk::open(std::move(ports));
  if (!desk) return desk.error();
  desk_ = *std::move(desk);
  return desk_.get();
}

Result<json::Value> Bench::page(const pages::Row& row, const pages::Texts& texts,
                                std::string_view body) {
  const auto desk = open_to_read();
  if (!desk) return desk.error();
  const auto given = pages::read(row, texts, body);
  if (!given) return given.error();
  auto document = (*desk)->page(row, *given, (*desk)->caller(),
                                {.progress = [this](std::uint64_t done, std::uint64_t total) {
                                  progress("cli.progress_month", done, total);
                                }});
  progress_done();
  return document;
}

Exit Bench::show(const pages::Row& row, const pages::Texts& texts, std::string_view body) {
  const auto document = page(row, texts, body);
  if (!document) return refuse(document.error());
  const auto* left_out = document->find("left_out");
  const auto missing = left_out == nullptr ? std::string() : "\n" + wrapped(left_out->text, "", "");
  return answer(*document, row.text(*document, words::english()) + missing);
}

Exit Bench::answer(const json::Value& document, const std::string& text) {
  if (options.json) {
    streams.out << json::to_text(document, json::Layout::indented);
  } else {
    streams.out << text;
  }
  return Exit::answer;
}

Exit Bench::text(const std::string& text) {
  streams.out << text;
  return Exit::answer;
}

Exit Bench::refuse(const Error& error) { return refuse(error, json::object()); }

Exit Bench::refuse(const Error& error, json::Value more) {
  progress_done();
  const auto words = words::english().say(error);
  if (options.json) {
    auto document = verbs::refusal(error, words.what, words.do_this);
    for (auto& member : more.members) {
      json::add(document, member.key, std::move(member.value));
    }
    streams.out << json::to_text(document, json::Layout::indented);
  }
  streams.error << wrapped(words.what, "", "") << wrapped(words.do_this, "", "");
  if (!error.at.empty()) streams.error << "(" << error.at << ")\n";
  return exit_of(error);
}

Exit Bench::ask(const json::Value& document) {
  if (options.json) streams.out << json::to_text(document, json::Layout::indented);
  const auto* asked = document.find("ask");
  streams.error << wrapped(text_at(*asked, "what"), "", "")
                << wrapped(text_at(*asked, "do_this"), "", "") << said("cli.ask_again") << "\n";
  return Exit::refused;
}

void Bench::to_terminal(std::string_view ours) {
  if (auto* shown = dynamic_cast<ShownStream*>(&streams.error)) shown->raw(ours);
  streams.error << std::flush;
}

void Bench::as_it_is(std::string_view bytes) {
  auto* shown = dynamic_cast<ShownStream*>(&streams.out);
  if (shown == nullptr) {
    streams.out << bytes;
  } else {
    shown->raw(bytes);
  }
}

void Bench::progress(std::string_view key, std::uint64_t done, std::uint64_t total) {
  if (!streams.person_watches || total == 0) return;
  const auto percent = static_cast<int>(done * 100 / total);
  if (percent == shown_percent_) return;
  shown_percent_ = percent;
  to_terminal("\r" + said(key) + " " + std::to_string(percent) + " % ");
}

void Bench::progress_done() {
  if (shown_percent_ >= 0) to_terminal("\r\x1b[K");
  shown_percent_ = -1;
}

store::OnProgress Bench::store_progress() {
  return [this](const store::Progress& at) {
    const bool copies = at.stage == store::Progress::Stage::copying;
    progress(copies ? "cli.progress_copy" : "cli.progress_verify", at.done, at.total);
  };
}

}  // namespace penstock::cli
