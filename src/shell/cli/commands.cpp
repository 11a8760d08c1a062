#include "shell/cli/internal/commands.hpp"

#include <CLI/CLI.hpp>
#include <set>

#include "edge/demo/demo.hpp"
#include "edge/pages/all/all.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/pages.hpp"
#include "edge/verbs/all/all.hpp"
#include "edge/verbs/verbs.hpp"

namespace penstock::cli {
namespace {

void data_option(CLI::App& app, Options& options) {
  app.add_option("--data", options.data, "The clinic's file")->type_name("FILE");
}
void json_option(CLI::App& app, Options& options) {
  app.add_flag("--json", options.json, "One JSON document instead of text");
}
void data_and_json(CLI::App& app, Options& options) {
  data_option(app, options);
  json_option(app, options);
}
constexpr std::string_view person_says = "ID, clinic number, or part of a name";
// H19: to write, part of a name is not enough.
constexpr std::string_view person_in_full_says = "ID or full clinic number";
void person_word(CLI::App& app, Options& options, std::string_view says) {
  app.add_option("PERSON", options.first, std::string(says))->required();
}
CLI::Option* request_word(CLI::App& app, std::string& into) {
  return app.add_option("REQUEST.json", into, "The request; - reads standard input");
}
void act_options(CLI::App& app, Options& options) {
  app.add_flag("--yes", options.yes, "Answer yes to the confirmation");
  app.add_option("--seen", options.seen, "The version that you looked at")->type_name("VERSION");
}

// The words and options of the pages that a command shows; a flag chooses among them.
void page_words(CLI::App& app, Options& options, std::string_view command) {
  data_and_json(app, options);
  const auto rows = rows_of(command);
  std::set<std::string_view> seen;
  const auto add = [&](const pages::Row& row, const pages::Parameter& parameter) {
    if (parameter.word.empty() || !seen.insert(parameter.name).second) return;
    const auto says = parameter.form == pages::Form::person ? std::string(person_says)
                                                            : pages::capital(parameter.says);
    auto* option = app.add_option(std::string(parameter.word),
                                  options.texts[std::string(parameter.name)], says);
    if (pages::is_in_path(row, parameter)) option->required();
    if (parameter.form == pages::Form::count) {
      option->type_name("INT")->check(CLI::Range(parameter.least, parameter.most));
    }
  };
  const auto add_those = [&](std::string_view begin) {
    for (const auto* row : rows) {
      for (const auto& parameter : row->parameters) {
        if (parameter.word.starts_with("-") == begin.starts_with("-")) add(*row, parameter);
      }
    }
  };
  add_those("");
  if (rows.front()->body == pages::Body::json) request_word(app, options.first)->required();
  for (const auto* row : rows) {
    const std::string flag(row->command->flag);
    if (flag.empty()) continue;
    app.add_flag("--" + flag, options.chosen[flag], std::string(row->command->says));
  }
  add_those("-");
}

std::vector<Command> page_commands() {
  std::vector<Command> out;
  for (const auto& row : pages::all()) {
    if (!row.command || !row.command->flag.empty()) continue;
    const std::string name(row.command->name);
    out.push_back({name, std::string(row.command->says),
                   [name](CLI::App& app, Options& options) { page_words(app, options, name); },
                   [name](Bench& bench) { return run_page(bench, name); }});
  }
  return out;
}

Command clinic_command() {
  return {
      "clinic", "Shows or changes clinic details; the first time it sets up the clinic",
      [](CLI::App& app, Options& options) {
        data_and_json(app, options);
        app.add_option("FACTS.json", options.first, "Entries of the clinic and of its products");
        act_options(app, options);
        auto* name = app.add_option("--name", options.name, "The clinic's name");
        auto* user = app.add_option("--user", options.user, "Name of the person who works here");
        auto* zone = app.add_option("--zone", options.zone, "Time zone")->type_name("AREA/CITY");
        app.add_option("--phone", options.phone, "The clinic's telephone");
        app.add_option("--emergency", options.emergency, "The emergency number");
        name->needs(user)->needs(zone);
      },
      run_clinic};
}

void import_options(CLI::App& app, Options& options) {
  data_and_json(app, options);
  person_word(app, options, person_in_full_says);
  app.add_option("FILE.csv", options.second, "time,what,units,cartridge,zone,spot,note")
      ->required();
  app.add_flag("--accept", options.accept, "Import without asking");
  const CLI::IsMember words({"leave out", "bring in"});
  app.add_option("--near", options.near, "Rows that are nearly the same as another")->check(words);
  app.add_option("--odd", options.odd, "Unusual rows")->check(words);
}

std::vector<Command> record_commands() {
  return {
      {"register", "Registers a person",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         act_options(app, options);
         auto* file =
             app.add_option("REQUEST.json", options.first, "The entries; or use the options:");
         auto* name = app.add_option("--name", options.name, "Full name");
         auto* born = app.add_option("--born", options.born, "Birth date")->type_name("YYYY-MM-DD");
         auto* number = app.add_option("--number", options.number, "The clinic's number");
         auto* zone = app.add_option("--zone", options.zone, "Time zone")->type_name("AREA/CITY");
         app.add_option("--phone", options.phone, "Telephone");
         name->needs(born)->needs(number)->needs(zone)->excludes(file);
       },
       run_register},
      {"record", "Adds entries to a person's record",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         act_options(app, options);
         person_word(app, options, person_in_full_says);
         app.add_option("REQUEST.json", options.second, "The entries; - reads standard input")
             ->required();
       },
       run_record},
      {"hand-out", "Issues items from the clinic's stock to a person",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         act_options(app, options);
         person_word(app, options, person_in_full_says);
         app.add_option("REQUEST.json", options.second, "The movement; - reads standard input")
             ->required();
       },
       run_hand_out},
      {"facts", "Lists the entry types that can be recorded",
       [](CLI::App& app, Options& options) {
         json_option(app, options);
         app.add_option("KIND", options.first, "An entry type, for example \"pen given\"");
         app.add_flag("--example", options.example, "Print a working example (the default)");
         app.add_flag("--schema", options.schema, "Print its JSON Schema");
       },
       run_facts},
      {"import", "Previews a person's diary, then imports it", import_options, run_import},
      {"import-journal", "Previews an exported record, then imports it",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         app.add_option("FILE.json", options.first, "The file; - reads standard input")->required();
         app.add_flag("--accept,--yes", options.accept, "Import without asking");
       },
       run_import_journal},
      {"export", "Writes a person's whole record to a file",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         person_word(app, options, person_says);
         app.add_flag("--diary", options.diary, "Write the injections as a diary instead");
         app.add_option("-o,--output", options.output, "A new file; standard output if left out")
             ->type_name("FILE");
       },
       run_export},
  };
}

std::vector<Command> keeping_commands() {
  return {
      {"serve", "Starts the web pages, on this machine only",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         app.add_option("--port", options.port, "Port; the next free one if it is taken")
             ->check(CLI::Range(0, 65'535));
         app.add_flag("--open", options.open, "Open the pages in the browser");
       },
       run_serve},
      {"demo", "Fills a new file with an invented clinic to try",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         app.add_option("--people", options.people, "People; from the 10001st on short records")
             ->type_name("N")
             ->check(CLI::Range(static_cast<int>(demo::people_count),
                                static_cast<int>(demo::people_max)));
       },
       run_demo},
      {"backup", "Copies the clinic's file, even in use, and verifies the copy",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         app.add_option("FILE", options.first, "Where to write the copy (must not exist)")
             ->required();
       },
       run_backup},
      {"restore", "Restores a backup over the clinic's file",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         app.add_option("FILE", options.first, "The backup")->required();
         app.add_flag("--replace", options.replace, "Overwrite a file that already holds records");
       },
       run_restore},
      {"verify", "Checks every chain and every entry, and compares the lists with them",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         app.add_option("--seal", options.seal, "Also compare it with a printed seal")
             ->type_name("TEXT")
             ->check([](const std::string& seal) {
               return seal.empty() ? said("cli.seal_empty") : std::string();
             });
         app.add_option("--against", options.against, "Also compare it with a copy")
             ->type_name("FILE");
       },
       run_verify},
      {"rebuild", "Rebuilds the list summaries from the records", data_and_json, run_rebuild},
  };
}

Command verb_command(const verbs::Verb& verb) {
  const std::string name(verb.name);
  return {name, words::english().text("cli.verb." + name),
          [](CLI::App& app, Options& options) {
            json_option(app, options);
            auto* file = request_word(app, options.first);
            auto* example = app.add_flag("--example", options.example, "Print a working example");
            auto* schema = app.add_flag("--schema", options.schema, "Print its JSON Schema");
            example->excludes(file)->excludes(schema);
            schema->excludes(file);
            app.callback([file, example, schema] {
              if (file->count() + example->count() + schema->count() == 0) {
                throw CLI::RequiredError("REQUEST.json");
              }
            });
          },
          [name](Bench& bench) { return run_verb(bench, name); }};
}

}  // namespace

const std::vector<Command>& commands() {
  static const std::vector<Command> all = [] {
    auto list = page_commands();
    list.push_back(clinic_command());
    for (const auto& verb : verbs::all()) list.push_back(verb_command(verb));
    for (const auto& more : {record_commands(), keeping_commands()}) {
      list.insert(list.end(), more.begin(), more.end());
    }
    return list;
  }();
  return all;
}

std::string help_page() {
  return program_name() +
         ": a work desk for people who teach insulin-pen injection\n"
         "penstock COMMAND [...]      penstock help COMMAND shows its options\n"
         "\n"
         "At the desk\n"
         "  today, month              who needs attention; who needs which supplies\n"
         "  people [QUERY]            find people by name, birth date or number\n"
         "  show PERSON               next injection; --journal, --steps, --supplies\n"
         "  stock, recall LOT         the clinic's lots; who received a recalled one\n"
         "  phone REQUEST.json        answer a caller: this much is left, this is the dose\n"
         "  register, record, hand-out  add a person; add entries; issue from stock\n"
         "  facts, clinic, shelf      entry types; clinic details; products\n"
         "Calculating, from REQUEST.json; --example, --schema\n"
         "  dial, reach, places       next injection; needle depth; site rotation\n"
         "  cover, reconcile, scan    how long supplies last; compare counts; carton codes\n"
         "  accuracy, warmth, travel  pen dose accuracy; heat; packing for a trip\n"
         "Files\n"
         "  import PERSON FILE.csv    preview a diary, then import it\n"
         "  export PERSON             write a whole record; import-journal reads it\n"
         "Keeping\n"
         "  serve, demo, completion   start the web pages; try the demo; shell completion\n"
         "  backup, restore FILE      make a verified copy; put one back\n"
         "  verify, rebuild           check all records; rebuild the lists\n"
         "--data FILE is the clinic's file (else $PENSTOCK_FILE); --json is for programs.\n"
         "Exit status: 0 answered, 1 internal error, 2 bad command or file, 3 refused.\n";
}

}  // namespace penstock::cli
