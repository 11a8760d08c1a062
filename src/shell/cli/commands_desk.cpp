// What is looked at and what is recorded.
#include <istream>
#include <ostream>
#include <ranges>
#include <sstream>

#include "core/journal/journal.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/pages.hpp"
#include "edge/verbs/all/all.hpp"
#include "edge/verbs/verbs.hpp"
#include "edge/wire/fact_json.hpp"
#include "shell/cli/internal/bench.hpp"

namespace penstock::cli {
namespace {

constexpr std::size_t request_bytes_most = json::Limits{}.bytes_max;

Result<json::Value> read_request(const std::string& file) {
  const auto bytes = shell::read_file(file, request_bytes_most);
  if (!bytes) return bytes.error();
  return json::parse(*bytes);
}

// A single fact may be sent as it is: it is the list of one.
json::Value as_request(json::Value given) {
  if (given.find("what") == nullptr || given.find("facts") != nullptr) return given;
  return json::object({{"facts", json::array({std::move(given)})}});
}

void set_member(json::Value& object, std::string_view key, json::Value value) {
  for (auto& member : object.members) {
    if (member.key == key) {
      member.value = std::move(value);
      return;
    }
  }
  json::add(object, key, std::move(value));
}

json::Value with_options(json::Value request, const Options& options) {
  if (request.type != json::Type::object) return request;
  if (options.yes) set_member(request, "confirmed", json::boolean(true));
  if (options.seen) set_member(request, "seen_version", json::count(*options.seen));
  return request;
}

std::int64_t count_at(const json::Value& document, std::string_view key) {
  const auto* list = document.find(key);
  return list == nullptr ? 0 : static_cast<std::int64_t>(list->members.size());
}

std::string recorded_text(const json::Value& recorded) {
  std::string out;
  if (const auto count = count_at(recorded, "recorded"); count > 0) {
    out += said("cli.recorded", {arg_count("facts", count)}) + "\n";
  }
  if (const auto count = count_at(recorded, "known"); count > 0) {
    out += said("cli.known", {arg_count("facts", count)}) + "\n";
  }
  return out + said("cli.of_version", {arg_text("version", text_at(recorded, "version"))}) + "\n";
}

// Recorded, asked back, or refused.
Exit recorded(Bench& bench, const Result<json::Value>& result, const std::string& before = "") {
  if (!result) return bench.refuse(result.error());
  if (result->find("ask") != nullptr) return bench.ask(*result);
  return bench.answer(*result, before + recorded_text(*result));
}

// The same for a person's record: whose it is stands first, also before what is asked (H19).
Exit recorded_for(Bench& bench, const ToWrite& to, Result<json::Value> result) {
  if (!result) return bench.refuse(result.error());
  json::add(*result, "whose", to.whose);
  if (result->find("ask") != nullptr) {
    bench.streams.error << whose_line(to.whose);
    return bench.ask(*result);
  }
  return bench.answer(*result, whose_line(to.whose) + recorded_text(*result));
}

json::Value registration(const Options& options) {
  auto fact = json::object({{"what", json::string("person registered")},
                            {"full_name", json::string(options.name)},
                            {"born", json::string(options.born)},
                            {"number", json::string(options.number)},
                            {"zone", json::string(options.zone)}});
  if (!options.phone.empty()) json::add(fact, "phone", json::string(options.phone));
  return fact;
}

}  // namespace

Exit run_page(Bench& bench, std::string_view command) {
  const auto& options = bench.options;
  const auto rows = rows_of(command);
  const auto* row = rows.front();
  for (const auto* each : rows | std::views::reverse) {
    const auto chosen = options.chosen.find(each->command->flag);
    if (chosen != options.chosen.end() && chosen->second) row = each;
  }
  std::string body;
  if (row->body == pages::Body::json) {
    const auto request = read_request(options.first);
    if (!request) return bench.refuse(request.error());
    body = json::to_text(*request);
  }
  auto texts = options.texts;
  for (const auto& parameter : row->parameters) {
    if (parameter.form != pages::Form::person) continue;
    const auto desk = bench.open_to_read();
    if (!desk) return bench.refuse(desk.error());
    auto& wanted = texts[std::string(parameter.name)];
    const auto person = bench.person_to_read(**desk, wanted);
    if (!person) return bench.refuse(person.error());
    wanted = to_text(*person);
  }
  return bench.show(*row, texts, body);
}

Exit run_register(Bench& bench) {
  json::Value given = registration(bench.options);
  if (!bench.options.first.empty()) {
    const auto request = read_request(bench.options.first);
    if (!request) return bench.refuse(request.error());
    given = *request;
  }
  const auto desk = bench.open();
  if (!desk) return bench.refuse(desk.error());
  auto answer = (*desk)->register_person(with_options(as_request(std::move(given)), bench.options),
                                         (*desk)->caller());
  std::string identity;
  if (answer && answer->find("id") != nullptr) {
    const auto id = parse_id(text_at(*answer, "id"));
    INVARIANT(id.has_value());
    const auto whose = (*desk)->whose(*id, (*desk)->caller());
    if (!whose) return bench.refuse(whose.error());
    json::add(*answer, "whose", *whose);
    identity = said("cli.registered", {arg_text("id", to_text(*id))}) + "\n" + whose_line(*whose);
  }
  return recorded(bench, answer, identity);
}

namespace {

Exit write_with(Bench& bench,
                Result<json::Value> (desk::Desk::*act)(Id, const json::Value&, const Caller&)) {
  const auto request = read_request(bench.options.second);
  if (!request) return bench.refuse(request.error());
  const auto to = bench.open_to_write();
  if (!to) return bench.refuse(to.error());
  return recorded_for(
      bench, *to,
      (to->desk->*act)(to->person, with_options(as_request(*request), bench.options),
                       to->desk->caller()));
}

}  // namespace

Exit run_record(Bench& bench) { return write_with(bench, &desk::Desk::record); }
Exit run_hand_out(Bench& bench) { return write_with(bench, &desk::Desk::hand_out); }

Exit run_clinic(Bench& bench) {
  const auto& options = bench.options;
  const bool names = !options.name.empty();
  const auto desk = bench.open(names ? Bench::Missing::create : Bench::Missing::refuse);
  if (!desk) return bench.refuse(desk.error());
  if (!options.first.empty()) {
    const auto request = read_request(options.first);
    if (!request) return bench.refuse(request.error());
    return recorded(bench, (*desk)->record_clinic(with_options(as_request(*request), options),
                                                  (*desk)->caller()));
  }
  if (names) {
    const auto answer =
        (*desk)->name_clinic(json::object({{"clinic", json::string(options.name)},
                                           {"user", json::string(options.user)},
                                           {"zone", json::string(options.zone)},
                                           {"phone", json::string(options.phone)},
                                           {"emergency", json::string(options.emergency)}}),
                             (*desk)->caller());
    return recorded(
        bench, answer,
        said("cli.named", {arg_text("clinic", options.name), arg_text("user", options.user)}) +
            "\n");
  }
  return bench.show(clinic_row());
}

Exit run_facts(Bench& bench) {
  const auto& options = bench.options;
  if (options.first.empty()) {
    auto names = json::array();
    std::string list;
    for (const auto& kind : journal::kinds) {
      json::add(names, json::string(kind.name));
      list += std::string(kind.name) + "\n";
    }
    return bench.answer(json::object({{"facts", std::move(names)}}), list);
  }
  const auto schema = wire::kind_schema(options.first);
  const auto example = wire::kind_example(options.first);
  if (!schema || !example) {
    std::string allowed;
    for (const auto& kind : journal::kinds) {
      allowed += (allowed.empty() ? "" : ", ") + std::string(kind.name);
    }
    return bench.refuse({Kind::not_found,
                         std::string(wire::codes::kind_unknown),
                         {arg_text("text", options.first), arg_text("allowed", allowed)},
                         ""});
  }
  return bench.text(json::to_text(options.schema ? *schema : *example, json::Layout::indented));
}

namespace {

std::string say(std::string_view code, std::span<const Arg> args) {
  return words::english().text(code, {args.begin(), args.end()});
}

/// Long sentences, broken into lines that a terminal shows.
std::string in_lines(const std::string& text) {
  std::string out;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    const bool inner = line.starts_with("  ");
    out += wrapped(inner ? line.substr(2) : line, inner ? "  " : "", inner ? "    " : "  ");
  }
  return out;
}

}  // namespace

Exit run_verb(Bench& bench, std::string_view name) {
  const auto* verb = verbs::find_verb(verbs::all(), name);
  INVARIANT(verb != nullptr);
  const auto& options = bench.options;
  if (options.example || options.schema) {
    const auto document = options.example ? verb->example() : verb->schema();
    return bench.text(json::to_text(document, json::Layout::indented));
  }
  const auto request = read_request(options.first);
  if (!request) return bench.refuse(request.error());
  const auto result = verb->run(*request, say, {});
  if (!result) return bench.refuse(result.error());
  if (options.json) return bench.answer(result->document, "");
  return bench.text(verb->text_form == verbs::TextForm::prose ? in_lines(result->text)
                                                              : result->text);
}

}  // namespace penstock::cli
