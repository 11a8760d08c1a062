// What comes in and goes out as files, and upkeep: diary, journal, rebuild. What enters was looked
// at first (H22); shell/imports says what there is to see.
#include "edge/diary/diary.hpp"
#include "edge/json/json.hpp"
#include "edge/wire/journal_file.hpp"
#include "shell/claims/claims.hpp"
#include "shell/desk/internal/inside.hpp"
#include "shell/imports/imports.hpp"

namespace penstock::desk {

using namespace journal;

Result<json::Value> Desk::Inside::diary(Id person, std::string_view file_name,
                                        std::string_view bytes, std::string_view accept,
                                        const Caller& caller, const diary::DiaryAnswers& answers) {
  const auto clinic = named_clinic();
  if (!clinic) return clinic.error();
  const auto folded = this->person(person);
  if (!folded) return folded.error();
  auto context = imports::context_of(**folded, caller);
  Result<diary::DiaryPreview> preview = diary::DiaryPreview{};
  const auto read = ports.store->read([&](store::ReadTx& tx) -> Result<void> {
    Result<void> failed;
    context.elsewhere = [&](const Id& id) {
      const auto place = tx.find(id);
      if (!place) failed = place.error();
      return place && place->has_value();
    };
    preview = diary::preview_diary(bytes, context);
    context.elsewhere = nullptr;
    return failed;
  });
  if (!read) return read.error();
  if (!preview) return preview.error();
  const auto lifts = imports::ask_what_lifts(ports.zone, *folded, **clinic, caller.now, *preview);
  if (!lifts) return lifts.error();
  if (accept.empty()) return imports::diary_preview(caller.words, *preview, file_name);
  // H22: what enters is what was looked at.
  if (to_text(preview->digest) != accept)
    return Error{
        Kind::conflict, std::string(codes::preview_other), {arg_text("file", file_name)}, ""};
  const auto facts =
      diary::accept_diary(*preview, context, file_name, (*folded)->zone.when(caller.now), answers);
  if (!facts) return facts.error();
  if (const auto done = append_all(person, store::Subject::person, *facts); !done)
    return done.error();
  return imports::diary_entered(caller.words, *preview, file_name, *facts);
}

Result<json::Value> Desk::Inside::import_journal(std::string_view bytes, std::string_view file_name,
                                                 std::string_view accept, const Caller& caller) {
  const auto named = named_clinic();
  if (!named) return named.error();
  const auto& clinic = **named;
  const auto file = wire::read_journal_file(bytes, store::sha256);
  if (!file) return file.error();
  if (file->subject != wire::JournalSubject::person)
    return Error{Kind::refused, std::string(codes::not_a_person), {arg_code("kind", "clinic")}, ""};
  const auto digest =
      to_text(store::sha256({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()}));
  // Before a number is looked up: only rows of this making are found by it.
  const auto everybody = this->everybody({});
  if (!everybody) return everybody.error();
  imports::Looked looked;
  const auto read = ports.store->read([&](store::ReadTx& tx) -> Result<void> {
    auto done = imports::look(ports.zone, cache, tx, *file, clinic, caller.now);
    if (!done) return done.error();
    looked = *std::move(done);
    return {};
  });
  if (!read) return read.error();
  // What enters is what was looked at, and into what: a dose that was recorded meanwhile, or a pen
  // that was given to somebody else, is looked at again (H07, H13, H22).
  const auto seen = imports::seal_of(looked, digest);
  if (!accept.empty() && !looked.fresh.empty() && accept != seen)
    return Error{
        Kind::conflict, std::string(codes::preview_other), {arg_text("file", file_name)}, ""};
  auto version = looked.before->version;
  const bool enters = !accept.empty() && !looked.fresh.empty();
  if (!accept.empty() && !looked.may_enter()) return looked.refusal();
  if (enters) {
    Fact told;
    told.id = id_from("let in " + digest + to_text(looked.before->head), store::sha256);
    told.journal = file->journal;
    told.recorded = caller.now;
    told.happened = looked.theirs->zone.when(caller.now);
    told.author = caller.author;
    told.source = "bench";
    const auto entries = static_cast<std::int32_t>(looked.fresh.size());
    told.payload = Note{caller.words.text("import.note", {arg_text("file", file_name),
                                                          arg_count("entries", entries),
                                                          arg_text("digest", digest)}),
                        std::string(file_name), entries};
    const auto entered = let_in(looked.before, looked.fresh, std::move(told), caller);
    if (!entered) return entered.error();
    version = *entered;
  }
  const auto alike = looked.is_here()
                         ? std::vector<Error>{}
                         : rows::who_is_alike(*everybody->people,
                                              rows::known_by(looked.theirs->person), file->journal);
  auto document =
      imports::preview_of(caller.words, looked, clinic.shelf, alike, !accept.empty(), caller.now);
  json::add(document, "version", json::count(static_cast<std::int64_t>(version)));
  json::add(document, "digest", text(seen));
  return document;
}

Result<std::uint64_t> Desk::Inside::let_in(const ChartPtr& before, const std::vector<Fact>& fresh,
                                           Fact told, const Caller& caller) {
  const auto journal = told.journal;
  const auto clinic = this->clinic();
  auto all = fresh;
  all.push_back(std::move(told));
  if (const auto asked = vetting::ask_after_lows(ports.zone, before, all, ports.new_id, caller);
      !asked)
    return asked.error();
  if (const auto good = journal::checked(all.back()); !good) return good.error();
  std::uint64_t version = 0;
  const auto written = ports.store->write([&](store::WriteTx& tx) -> Result<void> {
    if (const auto created = tx.create_journal(journal, store::Subject::person); !created)
      return created.error();
    if (const auto claimed = claims::lay_all(tx, journal, all); !claimed) return claimed;
    std::vector<store::NewFact> packed_facts;
    packed_facts.reserve(all.size());
    for (const auto& fact : all) packed_facts.push_back(packed(fact));
    // What was looked at is what it enters: whoever wrote meanwhile wants another look.
    const auto appended = tx.append(journal, packed_facts, before->version);
    if (!appended) return appended.error();
    version = appended->version;
    const auto folded = charts::load(ports.zone, tx, journal);
    if (!folded) return folded.error();
    const auto row = rows::row_of(**folded, *clinic);
    if (const auto free = rows::number_is_free(tx, row.number_key, journal);
        !free && before->version == 0)
      return free.error();
    return rows::put(tx, row, *clinic);
  });
  if (!written) return written.error();
  return version;
}

Result<void> Desk::Inside::append_all(Id journal, store::Subject subject,
                                      const std::vector<Fact>& facts) {
  const auto clinic = this->clinic();
  for (const auto& fact : facts) {
    const auto good = journal::checked(fact);
    if (!good) return good.error();
  }
  const auto written = ports.store->write([&](store::WriteTx& tx) -> Result<void> {
    if (const auto created = tx.create_journal(journal, subject); !created) return created.error();
    if (const auto claimed = claims::lay_all(tx, journal, facts); !claimed) return claimed;
    std::vector<store::NewFact> packed_facts;
    packed_facts.reserve(facts.size());
    for (const auto& fact : facts) packed_facts.push_back(packed(fact));
    const auto appended = tx.append(journal, packed_facts, std::nullopt);
    if (!appended) return appended.error();
    if (subject == store::Subject::clinic) return {};
    const auto folded = charts::load(ports.zone, tx, journal);
    if (!folded) return folded.error();
    return rows::put(tx, rows::row_of(**folded, *clinic), *clinic);
  });
  if (!written || subject == store::Subject::person) return written;
  return ports.store->read([&](store::ReadTx& tx) { return reload_clinic(tx); });
}

// Only unpacked: a record that cannot be worked out can still be taken elsewhere.
Result<std::string> Desk::Inside::export_journal(Id person) {
  wire::JournalFile file;
  const auto read = ports.store->read([&](store::ReadTx& tx) -> Result<void> {
    const auto info = tx.journal(person);
    if (!info) return info.error();
    if (!info->has_value() || (*info)->subject != store::Subject::person || (*info)->version == 0) {
      return Error{
          Kind::not_found, std::string(codes::no_person), {arg_text("text", to_text(person))}, ""};
    }
    const auto stored = tx.load(person);
    if (!stored) return stored.error();
    auto unpacked = charts::unpack(person, stored->all());
    if (!unpacked) return unpacked.error();
    file.journal = person;
    file.facts = std::move(unpacked->facts);
    file.chain_version = (*info)->version;
    file.chain_head = to_text((*info)->head);
    return {};
  });
  if (!read) return read.error();
  return wire::write_journal_file(file, store::sha256);
}

Result<std::string> Desk::Inside::export_diary(Id person) {
  const auto folded = this->person(person);
  if (!folded) return folded.error();
  return diary::write_diary((*folded)->facts,
                            [](const Id& cartridge) { return to_text(cartridge); });
}

Result<Rebuilt> Desk::Inside::rebuild_summaries(const OnPeople& progress, const Caller& caller) {
  if (const auto fresh = refresh_clinic(); !fresh) return fresh.error();
  const auto count = rows.remake_all({progress, {}});
  if (!count) return count.error();
  const auto all = everybody({});
  if (!all) return all.error();
  return Rebuilt{*count,
                 pages::left_out_text(caller.words, *all->people, all->left_out, all->missing)};
}

}  // namespace penstock::desk
