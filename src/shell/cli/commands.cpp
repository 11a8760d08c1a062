#include "shell/cli/internal/commands.hpp"

#include <CLI/CLI.hpp>

#include "edge/demo/demo.hpp"
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
void person_word(CLI::App& app, Options& options) {
  app.add_option("PERSON", options.first, "Identity, clinic number, or part of a name")->required();
}
void page_option(CLI::App& app, Options& options) {
  app.add_option("--page", options.page, "Which page of the list, from 1")
      ->check(CLI::Range(1, 1'000'000));
}
void act_options(CLI::App& app, Options& options) {
  app.add_flag("--yes", options.yes, "Yes to what was asked");
  app.add_option("--seen", options.seen, "The version that you looked at")->type_name("VERSION");
}

std::vector<Command> desk_commands() {
  return {
      {"today", "Who needs something, and why", data_and_json, run_today},
      {"people", "People, by name, birth date or number",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         page_option(app, options);
         app.add_option("QUERY", options.first, "Parts of a name, birth date or number");
       },
       run_people},
      {"show", "A person: next injection, order, pens",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         person_word(app, options);
         app.add_flag("--journal", options.journal, "What was recorded, newest first");
         app.add_flag("--steps", options.steps, "The sheet for the next injection");
         app.add_flag("--supplies", options.supplies, "How long supplies last, when to ask");
         page_option(app, options);
       },
       run_show},
      {"month", "Who needs which supplies, and what they add up to",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         app.add_option("--days", options.days, "How far ahead")->check(CLI::Range(1, 120));
       },
       run_month},
      {"stock", "The clinic's own stock by lot, and what is to be said about it", data_and_json,
       run_stock},
      {"recall", "Whom a lot reached, and what to say to them",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         app.add_option("LOT", options.first, "The lot, as the carton bears it")->required();
       },
       run_recall},
      {"phone", "This much is left and the dose is that: what to do",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         app.add_option("REQUEST.json", options.first, "The request; - reads standard input")
             ->required();
       },
       run_phone},
      {"clinic", "Who works here; names the clinic at first",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         app.add_option("FACTS.json", options.first, "Facts of the clinic, entries of its shelf");
         act_options(app, options);
         auto* name = app.add_option("--name", options.name, "The clinic's name");
         auto* user = app.add_option("--user", options.user, "Who works here");
         auto* zone = app.add_option("--zone", options.zone, "Time zone")->type_name("AREA/CITY");
         app.add_option("--phone", options.phone, "The clinic's telephone");
         app.add_option("--emergency", options.emergency, "The emergency number");
         name->needs(user)->needs(zone);
       },
       run_clinic},
      {"shelf", "What there is: insulins, cartridges, pens, needles", data_and_json, run_shelf},
  };
}

std::vector<Command> record_commands() {
  return {
      {"register", "Registers a person",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         act_options(app, options);
         auto* file = app.add_option("REQUEST.json", options.first, "The facts; or the options:");
         auto* name = app.add_option("--name", options.name, "Full name");
         auto* born = app.add_option("--born", options.born, "Birth date")->type_name("YYYY-MM-DD");
         auto* number = app.add_option("--number", options.number, "The clinic's number");
         auto* zone = app.add_option("--zone", options.zone, "Time zone")->type_name("AREA/CITY");
         app.add_option("--phone", options.phone, "Telephone");
         name->needs(born)->needs(number)->needs(zone)->excludes(file);
       },
       run_register},
      {"record", "Records facts of a person",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         act_options(app, options);
         person_word(app, options);
         app.add_option("REQUEST.json", options.second, "The facts; - reads standard input")
             ->required();
       },
       run_record},
      {"hand-out", "Out of the clinic's stock into somebody's hands",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         act_options(app, options);
         person_word(app, options);
         app.add_option("REQUEST.json", options.second, "The movement; - reads standard input")
             ->required();
       },
       run_hand_out},
      {"facts", "What can be recorded",
       [](CLI::App& app, Options& options) {
         json_option(app, options);
         app.add_option("KIND", options.first, "A kind of fact, \"pen given\"");
         app.add_flag("--example", options.example, "A request that works (so also without)");
         app.add_flag("--schema", options.schema, "Its JSON Schema");
       },
       run_facts},
      {"import", "A diary that came home: a preview, then it enters",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         person_word(app, options);
         app.add_option("FILE.csv", options.second, "time,what,units,cartridge,zone,spot,note")
             ->required();
         app.add_flag("--accept", options.accept, "Let it enter without asking");
       },
       run_import},
      {"import-journal", "Takes in a journal that was exported",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         app.add_option("FILE.json", options.first, "The file; - reads standard input")->required();
       },
       run_import_journal},
      {"export", "A person's whole journal as a file",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         person_word(app, options);
         app.add_flag("--diary", options.diary, "The injections as a diary instead");
         app.add_option("-o,--output", options.output, "A new file, else standard output")
             ->type_name("FILE");
       },
       run_export},
  };
}

std::vector<Command> keeping_commands() {
  return {
      {"serve", "The pages, on this machine only",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         app.add_option("--port", options.port, "Where; the next free one if it is taken")
             ->check(CLI::Range(0, 65'535));
         app.add_flag("--open", options.open, "Open the pages in the browser");
       },
       run_serve},
      {"demo", "Fills a new file with an invented clinic to try",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         app.add_option("--people", options.people,
                        "How many; from the 10001st on with short records")
             ->type_name("N")
             ->check(CLI::Range(static_cast<int>(demo::people_count),
                                static_cast<int>(demo::people_max)));
       },
       run_demo},
      {"backup", "Copies the clinic's file, also one in use, and verifies the copy",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         app.add_option("FILE", options.first, "The copy; must not be there yet")->required();
       },
       run_backup},
      {"restore", "Puts a backup in the place of the clinic's file",
       [](CLI::App& app, Options& options) {
         data_and_json(app, options);
         app.add_option("FILE", options.first, "The backup")->required();
         app.add_flag("--replace", options.replace, "Also over a file that holds journals");
       },
       run_restore},
      {"verify", "Walks every chain and reads every fact", data_and_json, run_verify},
      {"rebuild", "Makes the lists' summaries anew from the journals", data_and_json, run_rebuild},
  };
}

Command verb_command(const verbs::Verb& verb) {
  const std::string name(verb.name);
  return {name, words::english().text("cli.verb." + name),
          [](CLI::App& app, Options& options) {
            json_option(app, options);
            auto* file = app.add_option("REQUEST.json", options.first,
                                        "The request; - reads standard input");
            auto* example =
                app.add_flag("--example", options.example, "Print a request that works");
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
    auto list = desk_commands();
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
         ": the bench of those who teach injecting insulin by pen\n"
         "penstock COMMAND [...]      penstock help COMMAND says what one takes\n"
         "\n"
         "At the desk\n"
         "  today, month              who needs something; who needs which supplies\n"
         "  people [QUERY]            people, by name, birth date or number\n"
         "  show PERSON               next injection; --journal, --steps, --supplies\n"
         "  stock, recall LOT         the clinic's own lots; whom one of them reached\n"
         "  phone REQUEST.json        this much is left and the dose is that\n"
         "  register, record, hand-out  a person; facts of one; out of the stock\n"
         "  facts, clinic, shelf      what can be recorded; who works here; what there is\n"
         "Calculating, from REQUEST.json; --example, --schema\n"
         "  dial, reach, places       the next injection; the tip; the next spots\n"
         "  cover, reconcile, scan    how long it lasts; its accounts; a carton's code\n"
         "  accuracy, warmth, travel  what a pen gives; heat; what to carry\n"
         "Files\n"
         "  import PERSON FILE.csv    a diary: a preview, then it enters\n"
         "  export PERSON             a whole journal; import-journal takes it in\n"
         "Keeping\n"
         "  serve, demo, completion   the pages, on this machine; to try; for the shell\n"
         "  backup, restore FILE      a copy, verified; back in its place\n"
         "  verify, rebuild           every chain; the lists' summaries\n"
         "--data FILE is the clinic's file (else $PENSTOCK_FILE); --json is for programs.\n"
         "Ends with 0 an answer, 1 a fault of ours, 2 a wrong line or file, 3 refused.\n";
}

}  // namespace penstock::cli
