// What comes in and goes out as files, and upkeep.
#include <algorithm>
#include <filesystem>
#include <istream>
#include <iterator>
#include <ostream>

#include "edge/csv/csv.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/lines.hpp"
#include "edge/wire/journal_file.hpp"
#include "shell/cli/internal/bench.hpp"
#include "shell/disk/disk.hpp"

namespace penstock::cli {
namespace {

namespace lines = pages::lines;

std::string render_diary(const json::Value& preview) {
  auto out =
      whose_line(lines::at(preview, "whose")) + lines::line(lines::rich_at(preview, "summary"), "");
  for (const auto& bad : lines::at(preview, "bad").members) {
    out += wrapped(text_at(bad.value, "what") + " " + text_at(bad.value, "do_this"),
                   text_at(bad.value, "line") + ": ", "      ");
  }
  out += lines::line(text_at(preview, "more_bad"), "");
  const auto row_of = [](const json::Value& row) {
    return lines::joined(
        {text_at(row, "line") + ":", text_at(row, "when_text"), text_at(row, "what")});
  };
  for (const auto& row : lines::at(preview, "sample").members)
    out += lines::line(row_of(row.value));
  out += lines::notices(lines::at(preview, "notices"));
  // What is asked stands last, where it is answered, each row with its neighbour or its reason.
  out += lines::line(text_at(preview, "odd_text"), "");
  for (const auto& row : lines::at(preview, "odd").members)
    out += wrapped(row_of(row.value) + ". " + text_at(row.value, "why"), "  ", "      ");
  out += lines::line(text_at(preview, "near_text"), "");
  for (const auto& row : lines::at(preview, "near").members) {
    out += wrapped(said("cli.near_row", {arg_text("row", row_of(row.value)),
                                         arg_text("held", text_at(row.value, "held_text"))}),
                   "  ", "      ");
  }
  return out;
}

// "yes" and nothing shorter: a whole file enters with it.
bool says_yes(Bench& bench) {
  bench.streams.error << said("cli.accept") << std::flush;
  std::string line;
  std::getline(bench.streams.in, line);
  return line == "yes";
}

Exit refuse_bad_lines(Bench& bench, const json::Value& preview, const Error& first) {
  if (!bench.options.json) bench.streams.error << render_diary(preview);
  return bench.refuse(first, json::object({{"preview", preview}}));
}

// The file's bytes go to standard output, or into a new file.
Exit write_out(Bench& bench, const std::string& bytes) {
  const auto& output = bench.options.output;
  if (output.empty() || output == "-") {
    bench.as_it_is(bytes);
    return Exit::answer;
  }
  const auto written = shell::write_new_file(output, bytes);
  if (!written) return bench.refuse(written.error());
  bench.streams.error << said("cli.written", {arg_text("file", output)}) << "\n";
  return Exit::answer;
}

json::Value heads_of(const store::VerifyReport& report) {
  auto heads = json::array();
  for (const auto& info : report.journals) {
    json::add(heads,
              json::object({{"journal", json::string(info.journal)},
                            {"version", json::count(static_cast<std::int64_t>(info.version))},
                            {"head", json::string(to_text(info.head))},
                            {"read_only_because", json::string(info.read_only_because)}}));
  }
  return heads;
}

json::Value report_document(const store::VerifyReport& report) {
  auto faults = json::array();
  for (const auto& fault : report.faults) {
    json::add(faults,
              json::object({{"journal", json::string(to_text(fault.journal))},
                            {"position", json::count(static_cast<std::int64_t>(fault.position))},
                            {"code", json::string(fault.code)},
                            {"detail", json::string(fault.detail)}}));
  }
  return json::object({{"entries", json::count(static_cast<std::int64_t>(report.entries))},
                       {"erased", json::count(static_cast<std::int64_t>(report.erased))},
                       {"heads", heads_of(report)},
                       {"faults", std::move(faults)}});
}

std::string heads_text(const store::VerifyReport& report) {
  auto out = said("cli.heads") + "\n";
  for (const auto& info : report.journals) {
    out += "  " + to_text(info.journal) + "  " + std::to_string(info.version) + "  " +
           to_text(info.head) + "\n";
  }
  return out;
}

json::Value pictures_document(const desk::VerifyAnswer& verified) {
  const auto count = [](std::uint64_t n) { return json::count(static_cast<std::int64_t>(n)); };
  return json::object({{"kept", count(verified.report.blobs)},
                       {"erased", count(verified.report.blobs_erased)},
                       {"missing", count(verified.photos_missing)},
                       {"damaged", count(verified.report.blobs_damaged)}});
}

std::string pictures_text(std::string_view key, const desk::VerifyAnswer& verified) {
  const auto count = [](std::string_view name, std::uint64_t n) {
    return arg_count(name, static_cast<std::int64_t>(n));
  };
  return wrapped(said(key, {count("kept", verified.report.blobs),
                            count("erased", verified.report.blobs_erased),
                            count("missing", verified.photos_missing),
                            count("damaged", verified.report.blobs_damaged)}),
                 "", "");
}

}  // namespace

Exit run_import(Bench& bench) {
  const auto& options = bench.options;
  const auto bytes = shell::read_file(options.second, csv::csv_bytes_max);
  if (!bytes) return bench.refuse(bytes.error());
  const auto to = bench.open_to_write();
  if (!to) return bench.refuse(to.error());
  const auto name = std::filesystem::path(options.second).filename().string();
  const auto look = [&](const std::string& accept, const diary::DiaryAnswers& answers) {
    auto seen = to->desk->diary(to->person, name, *bytes, accept, to->desk->caller(), answers);
    if (seen) json::add(*seen, "whose", to->whose);
    return seen;
  };
  const auto preview = look("", {});
  if (!preview) return bench.refuse(preview.error());
  const auto enter = [&] {
    return look(text_at(*preview, "digest"),
                {diary::asked_rows(options.near), diary::asked_rows(options.odd)});
  };
  if (const auto* bad = preview->find("bad"); bad != nullptr && !bad->members.empty()) {
    const auto refused = enter();  // H22: a file with a bad line is refused whole, with the reason
    INVARIANT(!refused.has_value());
    return refuse_bad_lines(bench, *preview, refused.error());
  }
  const auto* can = preview->find("can_accept");
  if (can == nullptr || !can->flag) return bench.answer(*preview, render_diary(*preview));
  if (!options.accept) {
    const bool may_ask = bench.streams.person_answers && options.second != "-" && !options.json;
    if (!may_ask) {
      return bench.answer(*preview, render_diary(*preview) + said("cli.accept_command") + "\n");
    }
    bench.streams.out << render_diary(*preview) << std::flush;
    if (!says_yes(bench)) return bench.text(said("cli.not_entered") + "\n");
  }
  const auto entered = enter();
  if (!entered) return bench.refuse(entered.error());
  return bench.answer(*entered, render_diary(*entered));
}

namespace {

std::string person_line(std::string_view key, const json::Value& person) {
  return lines::line(said(key, {arg_text("name", text_at(person, "name")),
                                arg_text("born", text_at(person, "born_text")),
                                arg_text("number", text_at(person, "number"))}),
                     "");
}

std::string render_journal(const json::Value& preview) {
  auto out = lines::line(lines::rich_at(preview, "summary"), "");
  out += person_line("cli.import_theirs", lines::at(preview, "theirs"));
  const auto& here = lines::at(preview, "here");
  out += here.type == json::Type::object ? person_line("cli.import_here", here)
                                         : lines::line(said("cli.import_nobody_here"), "");
  for (const auto& bad : lines::at(preview, "bad").members)
    out += wrapped(text_at(bad.value, "what") + " " + text_at(bad.value, "do_this"), "- ", "  ");
  out += lines::notices(lines::at(preview, "notices"));
  const auto each = [&](std::string_view all, std::string_view key, std::string_view one,
                        std::string_view other) {
    out += lines::line(text_at(preview, std::string(all) + "_text"), "");
    for (const auto& row : lines::at(preview, all).members) {
      out += wrapped(said(key, {arg_text(one, text_at(row.value, one)),
                                arg_text(other, text_at(row.value, other))}),
                     "- ", "  ");
    }
  };
  each("changes", "cli.import_change", "before", "after");
  each("asked", "cli.import_asked", "entry", "why");
  return out;
}

}  // namespace

Exit run_import_journal(Bench& bench) {
  const auto& options = bench.options;
  const auto bytes = shell::read_file(options.first, wire::journal_file_limits.bytes_max);
  if (!bytes) return bench.refuse(bytes.error());
  const auto desk = bench.open();
  if (!desk) return bench.refuse(desk.error());
  const auto name = std::filesystem::path(options.first).filename().string();
  const auto look = [&](const std::string& accept) {
    return (*desk)->import_journal(*bytes, name, accept, (*desk)->caller());
  };
  const auto preview = look("");
  if (!preview) return bench.refuse(preview.error());
  const auto* can = preview->find("can_accept");
  if (can == nullptr || !can->flag) {
    if (lines::at(*preview, "bad").members.empty())
      return bench.answer(*preview, render_journal(*preview));
    const auto refused = look(text_at(*preview, "digest"));
    if (refused) return bench.answer(*preview, render_journal(*preview));
    if (!options.json) bench.streams.error << render_journal(*preview);
    return bench.refuse(refused.error(), json::object({{"preview", *preview}}));
  }
  if (!options.accept) {
    const bool may_ask = bench.streams.person_answers && options.first != "-" && !options.json;
    if (!may_ask) {
      return bench.answer(*preview, render_journal(*preview) + said("cli.accept_command") + "\n");
    }
    bench.streams.out << render_journal(*preview) << std::flush;
    if (!says_yes(bench)) return bench.text(said("cli.not_entered") + "\n");
  }
  const auto entered = look(text_at(*preview, "digest"));
  if (!entered) return bench.refuse(entered.error());
  return bench.answer(*entered, render_journal(*entered));
}

Exit run_export(Bench& bench) {
  const auto desk = bench.open();
  if (!desk) return bench.refuse(desk.error());
  const auto person = bench.person_to_read(**desk, bench.options.first);
  if (!person) return bench.refuse(person.error());
  const auto bytes =
      bench.options.diary ? (*desk)->export_diary(*person) : (*desk)->export_journal(*person);
  if (!bytes) return bench.refuse(bytes.error());
  return write_out(bench, *bytes);
}

namespace {

using Found = std::vector<std::pair<Id, Error>>;

// What a seal or a copy says to it, as findings like those of verify itself.
Result<Found> held_against(Bench& bench, desk::Desk& desk) {
  Found found;
  if (!bench.options.seal.empty()) {
    const auto sealed = desk.check_seal(bench.options.seal);
    if (!sealed) return sealed.error();
    if (*sealed != desk::SealAnswer::holds) {
      const auto code = *sealed == desk::SealAnswer::broken ? desk::codes::seal_broken
                                                            : desk::codes::seal_unknown;
      found.emplace_back(Id{}, Error{Kind::refused, std::string(code), {}, ""});
    }
  }
  if (bench.options.against.empty()) return found;
  if (!std::filesystem::exists(bench.options.against)) {
    return Error{Kind::not_found,
                 std::string(store::codes::no_file),
                 {arg_text("file", bench.options.against)},
                 ""};
  }
  std::error_code unknown;
  if (std::filesystem::equivalent(bench.options.against, data_file(bench.options), unknown))
    return Error{
        Kind::refused, "cli.against_itself", {arg_text("file", bench.options.against)}, ""};
  const auto copy = store::open_to_look({.path = bench.options.against});
  if (!copy) return copy.error();
  auto differs = desk.check_against(**copy);
  if (!differs) return differs.error();
  std::ranges::move(*differs, std::back_inserter(found));
  return found;
}

// One line of what was found: where, and which.
std::string fault_line(const std::string& place, std::string_view code, const std::string& detail) {
  const auto name = words::english().name(code);
  return wrapped(said("cli.fault_line", {arg_text("place", place), arg_text("code", code),
                                         arg_text("detail", name == code ? detail : name)}),
                 "", "  ");
}

std::string place_of(const Id& journal) {
  return journal.is_nil() ? said("cli.whole_file") : to_text(journal);
}

// Whom a copy says a record is about: here it may be missing.
std::string whose_of(const Error& error) {
  const auto name = std::ranges::find(error.args, "name", &Arg::name);
  const auto number = std::ranges::find(error.args, "number", &Arg::name);
  if (name == error.args.end() || number == error.args.end() || number->text.empty()) return "";
  return " " + name->text + ", " + number->text;
}

std::string faults_text(const desk::VerifyAnswer& verified, const Found& found) {
  std::string faults;
  for (const auto& fault : verified.report.faults) {
    faults += fault_line(place_of(fault.journal) + " " + std::to_string(fault.position), fault.code,
                         fault.detail);
  }
  for (const auto* list : {&verified.unreadable, &verified.differs, &found}) {
    for (const auto& [journal, error] : *list)
      faults += fault_line(place_of(journal) + whose_of(error), error.code, error.at);
  }
  if (verified.report.blobs_damaged > 0) faults += pictures_text("cli.pictures_damaged", verified);
  return faults;
}

json::Value differs_document(const desk::VerifyAnswer& verified, const Found& found) {
  auto out = json::array();
  for (const auto* list : {&verified.unreadable, &verified.differs, &found}) {
    for (const auto& [journal, error] : *list) {
      json::add(out, json::object({{"journal", json::string(to_text(journal))},
                                   {"code", json::string(error.code)}}));
    }
  }
  return out;
}

std::int64_t faults_in(const desk::VerifyAnswer& verified, const Found& found) {
  return static_cast<std::int64_t>(verified.report.faults.size() + verified.unreadable.size() +
                                   verified.differs.size() + found.size() +
                                   (verified.report.blobs_damaged > 0 ? 1 : 0));
}

std::string verified_text(Bench& bench, const desk::VerifyAnswer& verified) {
  const auto& report = verified.report;
  auto text =
      wrapped(said("cli.verified",
                   {arg_count("entries", static_cast<std::int64_t>(report.entries)),
                    arg_count("journals", static_cast<std::int64_t>(report.journals.size())),
                    arg_count("facts", static_cast<std::int64_t>(verified.facts_read))}),
              "", "");
  if (report.erased > 0) {
    text += wrapped(
        said("cli.erased", {arg_count("entries", static_cast<std::int64_t>(report.erased))}), "",
        "");
  }
  if (!bench.options.seal.empty()) text += wrapped(said("cli.seal_holds"), "", "");
  if (!bench.options.against.empty()) {
    text += wrapped(said("cli.against_holds", {arg_text("file", bench.options.against)}), "", "");
  }
  if (report.blobs + report.blobs_erased + verified.photos_missing > 0)
    text += pictures_text("cli.pictures", verified);
  return text + heads_text(report);
}

// The clinic's own record is what a desk stands on: where it cannot be opened, the chains are
// walked all the same.
Exit verify_without_desk(Bench& bench, const Error& error) {
  if (!bench.has_store()) return bench.refuse(error);
  const auto report = bench.store().verify(store::Marks::set, bench.store_progress());
  bench.progress_done();
  if (!report) return bench.refuse(report.error());
  desk::VerifyAnswer verified;
  verified.report = *report;
  bench.streams.error << faults_text(verified, {});
  return bench.refuse(error, report_document(*report));
}

}  // namespace

Exit run_verify(Bench& bench) {
  const auto desk = bench.open_to_verify();
  if (!desk) return verify_without_desk(bench, desk.error());
  const auto verified = (*desk)->verify(bench.store_progress());
  bench.progress_done();
  if (!verified) return bench.refuse(verified.error());
  const auto found = held_against(bench, **desk);
  if (!found) return bench.refuse(found.error());
  auto document = report_document(verified->report);
  json::add(document, "facts_read", json::count(static_cast<std::int64_t>(verified->facts_read)));
  json::add(document, "pictures", pictures_document(*verified));
  json::add(document, "differs", differs_document(*verified, *found));
  if (verified->clean() && found->empty())
    return bench.answer(document, verified_text(bench, *verified));
  bench.streams.error << faults_text(*verified, *found);
  return bench.refuse(
      {Kind::refused, "cli.not_clean", {arg_count("faults", faults_in(*verified, *found))}, ""},
      std::move(document));
}

namespace {

// H21: a copy is called verified where `penstock verify` would say so of it, not where its bytes
// alone are those of a file that may be broken itself.
Result<std::pair<desk::VerifyAnswer, Found>> look_again(Bench& bench, const std::string& file) {
  std::pair<desk::VerifyAnswer, Found> out;
  const auto desk = bench.open_copy(file);
  if (!desk) {
    if (!bench.has_store()) return desk.error();
    const auto report = bench.store().verify(store::Marks::leave, bench.store_progress());
    if (!report) return report.error();
    out.first.report = *report;
    out.second.emplace_back(Id{}, desk.error());
    return out;
  }
  auto verified = (*desk)->verify(bench.store_progress());
  if (!verified) return verified.error();
  out.first = *std::move(verified);
  return out;
}

Exit copied(Bench& bench, const Result<store::CopyReport>& report, std::string_view key,
            const std::string& file, const std::string& seal = "") {
  bench.progress_done();
  if (!report) return bench.refuse(report.error());
  const auto& verified = report->verified;
  auto document = report_document(verified);
  json::add(document, "file", json::string(file));
  json::add(document, "bytes", json::count(static_cast<std::int64_t>(report->bytes)));
  const auto text =
      said(key, {arg_text("file", file),
                 arg_count("entries", static_cast<std::int64_t>(verified.entries)),
                 arg_count("journals", static_cast<std::int64_t>(verified.journals.size()))});
  auto end = heads_text(verified);
  if (!report->kept.empty()) {
    json::add(document, "kept", json::string(report->kept.string()));
    const std::vector<Arg> args{
        arg_text("file", report->kept.string()),
        arg_count("entries", static_cast<std::int64_t>(report->entries_gone.value_or(0)))};
    if (report->entries_gone)
      json::add(document, "entries_gone",
                json::count(static_cast<std::int64_t>(*report->entries_gone)));
    const auto* key_of_kept = !report->entries_gone       ? "cli.restore_kept_unread"
                              : *report->entries_gone > 0 ? "cli.restore_kept_newer"
                                                          : "cli.restore_kept";
    end = wrapped(said(key_of_kept, args), "", "") + end;
  }
  if (!seal.empty()) {
    json::add(document, "seal", json::string(seal));
    end += wrapped(said("cli.sealed", {arg_text("seal", seal)}), "", "");
  }
  const auto looked = look_again(bench, file);
  bench.progress_done();
  if (!looked) return bench.refuse(looked.error(), std::move(document));
  const auto& [answer, found] = *looked;
  json::add(document, "differs", differs_document(answer, found));
  if (answer.clean() && found.empty()) return bench.answer(document, wrapped(text, "", "") + end);
  bench.streams.error << faults_text(answer, found) << end;
  return bench.refuse({Kind::refused,
                       "cli.copy_not_clean",
                       {arg_text("file", file), arg_count("faults", faults_in(answer, found))},
                       ""},
                      std::move(document));
}

}  // namespace

Exit run_backup(Bench& bench) {
  const auto& options = bench.options;
  // Elsewhere "-" is what is piped; a copy is verified where it lies, so it needs a name.
  if (options.first == "-")
    return bench.refuse({Kind::invalid_input, "cli.copy_needs_name", {}, ""});
  // The heads are sealed before they are copied, so that the copy carries its own seal. A store
  // that takes no more writing, or whose clinic cannot be read, is copied all the same: that is
  // when a copy is needed most.
  const auto desk = bench.open();
  if (!desk && !bench.has_store()) return bench.refuse(desk.error());
  const auto seal =
      desk ? (*desk)->seal_heads((*desk)->caller()) : Result<std::string>(desk.error());
  const auto report =
      store::backup_sqlite({.path = data_file(options)}, options.first, bench.store_progress());
  return copied(bench, report, "cli.backup_done", options.first, seal.value_or(""));
}

Exit run_restore(Bench& bench) {
  const auto& options = bench.options;
  const auto data = data_file(options);
  // A file that does not verify never takes the place of one that can be read; into an empty place
  // it comes as it is, because it may be the last there is.
  std::string faults;
  const auto may_replace = [&](const std::filesystem::path& copy) -> Result<void> {
    const auto looked = look_again(bench, copy.string());
    bench.close();
    if (!looked) return looked.error();
    const auto& [answer, found] = *looked;
    if (answer.clean() && found.empty()) return {};
    faults = faults_text(answer, found);
    return Error{Kind::refused,
                 "cli.restore_not_clean",
                 {arg_text("file", options.first), arg_count("faults", faults_in(answer, found))},
                 ""};
  };
  const auto report =
      store::restore_sqlite(options.first, {.path = data},
                            options.replace ? store::Overwrite::replace : store::Overwrite::refuse,
                            bench.store_progress(), may_replace);
  bench.streams.error << faults;
  return copied(bench, report, "cli.restore_done", data);
}

Exit run_rebuild(Bench& bench) {
  const auto desk = bench.open();
  if (!desk) return bench.refuse(desk.error());
  const auto rebuilt = (*desk)->rebuild_summaries(
      [&bench](std::uint64_t done, std::uint64_t total) {
        bench.progress("cli.progress_rebuild", done, total);
      },
      (*desk)->caller());
  bench.progress_done();
  if (!rebuilt) return bench.refuse(rebuilt.error());
  const auto people = static_cast<std::int64_t>(rebuilt->people);
  auto document = json::object({{"people", json::count(people)}});
  auto told = said("cli.rebuilt", {arg_count("people", people)}) + "\n";
  if (!rebuilt->left_out.empty()) {
    json::add(document, "left_out", json::string(rebuilt->left_out));
    told += wrapped(rebuilt->left_out, "", "");
  }
  return bench.answer(document, told);
}

}  // namespace penstock::cli
