// What every command stands on: its options, its streams, the open store with its desk, and the one
// way to answer or to refuse.
#pragma once

#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "edge/json/json.hpp"
#include "edge/pages/kit/lines.hpp"
#include "edge/pages/pages.hpp"
#include "edge/words/words.hpp"
#include "shell/cli/cli.hpp"
#include "shell/desk/desk.hpp"
#include "shell/disk/disk.hpp"
#include "shell/store/store.hpp"
#include "shell/system/system.hpp"

namespace penstock::cli {

using pages::lines::text_at;
using pages::lines::wrapped;

/// All options of all commands; a command sets up those that it has.
struct Options {
  std::string data;
  bool json = false;
  bool example = false;
  bool schema = false;
  bool yes = false;
  bool accept = false;
  std::string near;
  std::string odd;
  bool replace = false;
  bool diary = false;
  int people = 24;
  bool open = false;
  std::optional<std::int64_t> seen;
  int port = 4650;
  std::string output;
  pages::Texts texts;                               ///< a page's parameters, by their names
  std::map<std::string, bool, std::less<>> chosen;  ///< a page's flags
  std::string first;                                ///< PERSON, FILE, SHELL, KIND
  std::string seal, against;                        ///< what verify holds the file against
  std::string second;                               ///< REQUEST.json, FILE.csv
  std::string name, user, zone, phone, emergency, born, number;
};

/// "Penstock 0.1.0"
std::string program_name();

/// The data file: as asked, else $PENSTOCK_FILE, else clinic.penstock in the user's data folder.
std::string data_file(const Options& options);

/// H19: whose record a command writes into, as its answer says it.
struct ToWrite {
  desk::Desk* desk;
  Id person;
  json::Value whose;
};
/// The same as a line: name, birth date, number.
std::string whose_line(const json::Value& whose);

class Bench {
 public:
  Bench(Options given, Streams& where) : options(std::move(given)), streams(where) {}

  Options options;
  Streams& streams;

  enum class Missing { refuse, create };
  /// Opens the store and the desk over it. A store that is not there is only created where that is
  /// what the command is for.
  Result<desk::Desk*> open(Missing missing = Missing::refuse);
  /// The same, and the person whom the first word names in full.
  Result<ToWrite> open_to_write();
  /// Whom a word names to whoever reads. Where somebody could be taken for them, that is said.
  Result<Id> person_to_read(desk::Desk& desk, std::string_view word);
  /// As open(), for what only reads: on a full disk, what is looked at is a copy that goes away
  /// with the command, and that is said (H21, H38). Nothing is recorded into it: open() refuses
  /// then.
  Result<desk::Desk*> open_to_read();
  /// The same to look at a file alone (L7): what is no clinic at work is not changed. Where the
  /// store opens and the desk does not, `store()` is there all the same.
  Result<desk::Desk*> open_to_verify();
  /// What is open is open no more.
  void close();
  /// Opens a copy to look at instead of what was open before.
  Result<desk::Desk*> open_copy(const std::string& file);
  store::Store& store() { return *store_; }
  bool has_store() const { return store_ != nullptr; }

  /// A page's document, with the parameters as they were typed.
  Result<json::Value> page(const pages::Row& row, const pages::Texts& texts = {},
                           std::string_view body = {});
  /// The same, answered with the row's text.
  Exit show(const pages::Row& row, const pages::Texts& texts = {}, std::string_view body = {});
  /// The document as JSON, or the text made from it.
  Exit answer(const json::Value& document, const std::string& text);
  Exit text(const std::string& text);
  Exit refuse(const Error& error);
  /// The same with more in the document than the refusal.
  Exit refuse(const Error& error, json::Value more);
  /// Something odd that wants a yes first.
  Exit ask(const json::Value& document);

  /// A line on standard error while something takes long, where somebody watches.
  void progress(std::string_view key, std::uint64_t done, std::uint64_t total);
  void progress_done();
  store::OnProgress store_progress();
  /// A file's bytes to standard output, as they are.
  void as_it_is(std::string_view bytes);

 private:
  Result<desk::Desk*> open_desk();
  void make_private(const std::filesystem::path& path);
  void to_terminal(std::string_view ours);

  std::unique_ptr<store::Store> store_;
  std::unique_ptr<desk::Desk> desk_;
  std::optional<Error> full_;  ///< why `desk_` is one over a copy
  int shown_percent_ = -1;
};

/// The clinic's own line.
const pages::Row& clinic_row();
/// The rows that a command shows; the first is the one without a flag.
std::vector<const pages::Row*> rows_of(std::string_view command);

std::string said(std::string_view key, const std::vector<Arg>& args = {});

// ---- the commands, by file
Exit run_serve(Bench& bench);
Exit run_demo(Bench& bench);
Exit run_hand_out(Bench& bench);
/// The page of this command that its flags choose.
Exit run_page(Bench& bench, std::string_view command);
Exit run_register(Bench& bench);
Exit run_record(Bench& bench);
Exit run_facts(Bench& bench);
Exit run_clinic(Bench& bench);
Exit run_import(Bench& bench);
Exit run_import_journal(Bench& bench);
Exit run_export(Bench& bench);
Exit run_verify(Bench& bench);
Exit run_backup(Bench& bench);
Exit run_restore(Bench& bench);
Exit run_rebuild(Bench& bench);
Exit run_verb(Bench& bench, std::string_view name);

}  // namespace penstock::cli
