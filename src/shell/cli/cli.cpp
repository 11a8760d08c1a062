#include "shell/cli/cli.hpp"

#include <CLI/CLI.hpp>
#include <csignal>
#include <ostream>

#include "shell/cli/internal/commands.hpp"
#include "shell/cli/internal/shown.hpp"

namespace penstock::cli {
namespace {

// One parser with all commands bound to one set of options.
struct Parser {
  Options options;
  CLI::App app{"", "penstock"};
  std::vector<std::pair<CLI::App*, const Command*>> all;
  CLI::App* help = nullptr;
  CLI::App* completion = nullptr;

  Parser() {
    app.set_version_flag("--version", program_name(), "The program's version");
    app.get_formatter()->column_width(30);
    app.require_subcommand(1);
    for (const auto& command : commands()) {
      auto* part = app.add_subcommand(command.name, command.summary);
      command.setup(*part, options);
      all.emplace_back(part, &command);
    }
    help = app.add_subcommand("help", "Shows the options of a command");
    help->add_option("COMMAND", options.first, "A command");
    completion =
        app.add_subcommand("completion", "Prints a script that completes commands and file names");
    completion->add_option("SHELL", options.first, "Shell: bash, zsh or fish")
        ->required()
        ->check(CLI::IsMember({"bash", "zsh", "fish"}));
  }

  CLI::App* find(const std::string& name) {
    for (auto* part : app.get_subcommands({})) {
      if (part->get_name() == name) return part;
    }
    return nullptr;
  }
};

Exit wrong_line(Streams& streams, const std::string& text, const std::string& command) {
  streams.error << wrapped(said("cli.wrong_line", {arg_text("text", text)}), "", "")
                << said("cli.help_hint", {arg_text("command", command)}) << "\n";
  return Exit::command_line;
}

std::string help_of(CLI::App& part) { return part.help("", CLI::AppFormatMode::Normal); }

Exit run_help(Parser& parser, Streams& streams) {
  if (parser.options.first.empty()) {
    streams.out << help_page();
    return Exit::answer;
  }
  auto* part = parser.find(parser.options.first);
  if (part == nullptr) {
    return wrong_line(streams, parser.options.first, "COMMAND");
  }
  streams.out << help_of(*part);
  return Exit::answer;
}

Exit run_completion(Parser& parser, Streams& streams) {
  std::vector<CompletionEntry> entries;
  for (auto* part : parser.app.get_subcommands({})) {
    CompletionEntry entry{part->get_name(), part->get_description(), {}};
    for (const auto* option : part->get_options()) {
      for (const auto& name : option->get_lnames()) entry.options.push_back("--" + name);
    }
    entries.push_back(std::move(entry));
  }
  streams.out << completion_script(parser.options.first, entries);
  return Exit::answer;
}

Exit run_chosen(Parser& parser, Streams& streams) {
  if (parser.help->parsed()) return run_help(parser, streams);
  if (parser.completion->parsed()) return run_completion(parser, streams);
  for (const auto& [part, command] : parser.all) {
    if (!part->parsed()) continue;
    Bench bench(parser.options, streams);
    return command->run(bench);
  }
  promise_broken("a command was parsed that is not in the list");
}

Exit parse_and_run(const std::vector<std::string>& words, Streams& streams) {
  Parser parser;
  const auto command = words.empty() ? std::string("COMMAND") : words.front();
  try {
    // This parser takes its words last first.
    parser.app.parse(std::vector<std::string>(words.rbegin(), words.rend()));
  } catch (const CLI::CallForVersion&) {
    streams.out << program_name() << "\n";
    return Exit::answer;
  } catch (const CLI::CallForHelp&) {
    auto* part = parser.find(command);
    streams.out << (part == nullptr ? help_page() : help_of(*part));
    return Exit::answer;
  } catch (const CLI::ParseError& error) {
    if (words.empty()) {
      streams.error << help_page();
      return Exit::command_line;
    }
    return wrong_line(streams, error.what(), parser.find(command) == nullptr ? "COMMAND" : command);
  }
  return run_chosen(parser, streams);
}

}  // namespace

namespace {

// Whoever hands an answer on, or looks at the end code alone, takes 0 for a whole one.
Exit with_output_written(Exit exit, Streams& streams) {
  if (streams.out.flush()) return exit;
  const auto unwritten = words::english().say({Kind::unavailable, "cli.unwritten", {}, ""});
  streams.error << wrapped(unwritten.what, "", "") << wrapped(unwritten.do_this, "", "");
  return Exit::fault;
}

}  // namespace

Exit run(const std::vector<std::string>& words, Streams& given) {
  // Where files may only grow so far, a write that would go beyond it fails like one on a full
  // disk; the signal would end the program instead, before it can say so (H21).
  std::signal(SIGXFSZ, SIG_IGN);
  ShownStream out(given.out);
  ShownStream error(given.error);
  Streams streams{given.in, out, error, given.person_answers, given.person_watches};
  try {
    return with_output_written(parse_and_run(words, streams), streams);
  } catch (const BrokenPromise& broken) {
    streams.error << broken.what << " (" << broken.where << ")\n";
  } catch (const std::exception& broken) {
    streams.error << broken.what() << "\n";
  }
  const auto words_of_fault = words::english().say({Kind::unavailable, "cli.fault", {}, ""});
  streams.error << words_of_fault.what << " " << words_of_fault.do_this << "\n";
  return Exit::fault;
}

}  // namespace penstock::cli
