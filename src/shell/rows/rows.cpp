#include "shell/rows/rows.hpp"

#include <algorithm>
#include <string>
#include <utility>

#include "core/journal/journal.hpp"
#include "edge/pages/stock/month.hpp"
#include "shell/claims/claims.hpp"
#include "shell/names/names.hpp"

namespace penstock::rows {
namespace {

constexpr summary::Keys compared{names::folded, names::look};

// Worked out on a reading view and written at once: whoever records meanwhile waits for a few rows.
constexpr std::size_t rows_together = 16;
// A row that changes while it is made is made again. More often than this, two programs with other
// rows are at work on the store, and their rows have to do.
constexpr int rounds_max = 4;
// As far as Month looks where nothing else is asked for.
constexpr std::int32_t month_looked_at = 30;

/// Whether a recall is about a lot that this row knows.
bool is_reached(const summary::Row& row, const stock::Recall& recall) {
  // Few rows have it: the packed text is only taken apart where the number stands in it.
  if (row.lots.find(recall.key) == std::string::npos) return false;
  const auto lots = summary::unpack_lots(row.lots);
  return !lots || std::ranges::any_of(
                      *lots, [&](const auto& lot) { return lot_may_be(lot.lot, recall.key); });
}

// What every row is made with: the program's kind of row, the days on which nothing is handed out,
// because by which day to ask depends on them, and which container fits which pen, because no other
// is counted on (H42).
std::string made_for_all(const Clinic& clinic) {
  auto made_with = std::to_string(summary::row_version);
  for (const auto day : clinic.closed.weekdays) made_with += " " + pages::word_of(day);
  for (const auto& date : clinic.closed.dates) made_with += " " + format_iso(date);
  for (const auto& entry : clinic.shelf.cartridges) {
    const auto& thing = entry.thing;
    made_with += '\n' + thing.insulin + " " + std::to_string(thing.content.hundredths()) + " " +
                 pages::word_of(thing.presentation) + " " + thing.fits;
  }
  return made_with;
}
// And this one: what was recalled is not counted on (H61). Without a row: all recalls.
std::string made_of_recalls(const Clinic& clinic, const summary::Row* row) {
  std::string made_with;
  for (const auto& recall : clinic.stock.recalls) {
    if (row == nullptr || is_reached(*row, recall))
      made_with += " " + recall.key + " " + recall.said.item;
  }
  return made_with;
}
// The number that a row bears: what it was made with, and all that it and its tags say. What
// somebody changed beside the journals is so made anew before it is read (S8).
std::uint32_t number_of(const store::Summary& row, std::span<const std::string> tags,
                        const std::string& made_with) {
  auto all =
      made_with + '\n' + to_text(row.journal) + ' ' + std::to_string(row.journal_version) + ' ' +
      (row.next_change ? std::to_string(row.next_change->time_since_epoch().count()) : "never") +
      '\n' + row.search_key;
  for (const auto& tag : tags) all += '\n' + tag;
  all += '\n';
  all.append(row.bytes.begin(), row.bytes.end());
  const auto digest =
      store::sha256({reinterpret_cast<const std::uint8_t*>(all.data()), all.size()});
  std::uint32_t number = 0;
  for (std::size_t i = 0; i < 4; ++i) number = (number << 8) | digest[i];
  return number;
}

Result<summary::Row> unpacked(const store::Summary& stored) {
  return summary::unpack(stored.journal, stored.journal_version, stored.bytes);
}

summary::Row keyed_left_out(Id journal, std::uint64_t version, const summary::Row& known,
                            std::string_view because) {
  auto row = summary::row_left_out(journal, version, known, because);
  summary::put_keys(row, compared);
  return row;
}

// H21: of a record that is closed, a list says whose it is and why, and nothing else.
summary::Row closed(const store::Summary& stored, const summary::Row& known) {
  return keyed_left_out(stored.journal, stored.journal_version, known, stored.read_only_because);
}

// Whom a journal is about, by the row that stands, or else by the facts that can be read.
summary::Row known_of(store::ReadTx& tx, Id journal) {
  if (const auto stored = tx.summary(journal); stored && stored->has_value()) {
    auto row = unpacked(**stored);
    if (row) return *std::move(row);
  }
  summary::Row known;
  const auto registered = charts::registered_in(tx, journal);
  if (!registered) return known;
  known.full_name = registered->full_name;
  known.born = registered->born;
  known.number = registered->number;
  known.zone.name = registered->zone;
  return known;
}

}  // namespace

summary::Key key_of(std::string_view text) { return summary::key_of(text, compared); }

summary::Row row_of(const Chart& person, const Clinic& clinic) {
  return charts::about(person.journal, [&] {
    auto row = summary::row_of(person, clinic);
    summary::put_keys(row, compared);
    return row;
  });
}

namespace {

// As a store gives them back.
std::vector<std::string> tags_of(const summary::Row& row) {
  auto tags = row.tags;
  std::ranges::sort(tags);
  const auto twice = std::ranges::unique(tags);
  tags.erase(twice.begin(), twice.end());
  return tags;
}

store::Summary stored_of(const summary::Row& row, const Clinic& clinic) {
  auto packed = summary::pack(row);
  store::Summary stored;
  stored.journal = row.person;
  stored.journal_version = row.version;
  stored.search_key = std::move(packed.search_key);
  stored.next_change = packed.next_change;
  stored.bytes = std::move(packed.bytes);
  stored.fold_version =
      number_of(stored, tags_of(row), made_for_all(clinic) + made_of_recalls(clinic, &row));
  return stored;
}

}  // namespace

Result<void> put(store::WriteTx& tx, const summary::Row& row, const Clinic& clinic) {
  if (const auto put = tx.put_summary(stored_of(row, clinic)); !put) return put.error();
  return tx.put_tags(row.person, row.tags);
}

Result<void> number_is_free(store::ReadTx& tx, const summary::Key& number, Id person) {
  for (const auto& tag : summary::tags_of_number(number)) {
    const auto others = tx.tagged(tag);
    if (!others) return others.error();
    for (const auto& other : *others) {
      if (other == person) continue;
      const auto stored = tx.summary(other);
      if (!stored) return stored.error();
      if (!stored->has_value()) continue;
      const auto row = unpacked(**stored);
      if (!row) return row.error();
      if (!summary::same_number(row->number_key, number)) continue;
      return Error{Kind::refused,
                   std::string(codes::number_taken),
                   {arg_text("number", row->number), arg_text("name", row->full_name)},
                   ""};
    }
  }
  return {};
}

// ---- reading

Result<Everybody> Rows::all(const Waiting& waiting) {
  auto seen = read();
  if (!seen) return seen.error();
  if (seen->unmade.empty()) return std::move(seen->everybody);
  const std::lock_guard lock(remake_mutex_);
  for (int round = 0;; ++round) {
    seen = read();  // whoever waited for the lock may find all of it done
    if (!seen) return seen.error();
    if (seen->unmade.empty() || round == rounds_max) return std::move(seen->everybody);
    if (const auto made = remake_in_steps(seen->unmade, waiting); !made) return made.error();
  }
}

Result<Rows::Seen> Rows::read() {
  Seen seen;
  const auto done = store_.read([&](store::ReadTx& tx) -> Result<void> {
    // Locked before the first look, so that whoever comes later sees no older state.
    const std::lock_guard lock(rows_mutex_);
    if (const auto fresh = read(tx); !fresh) return fresh;
    seen = {{people_, {left_out_.begin(), left_out_.end()}, missing_},
            {unmade_.begin(), unmade_.end()}};
    return {};
  });
  if (!done) return done.error();
  return seen;
}

Result<void> Rows::read(store::ReadTx& tx) {
  const auto clinic = clinic_();
  const auto for_all = made_for_all(*clinic);
  auto made_with = for_all + made_of_recalls(*clinic, nullptr);
  const auto changes = tx.changed_since(made_with == made_with_ ? seen_ : store::Stamp{});
  if (!changes) return changes.error();
  // Nobody of ours takes a journal out: it is looked for at a start, and after others were here.
  auto missing = missing_;
  const auto others = tx.changed_by_others();
  if (changes->whole || others != changed_by_others_) {
    const auto counted = tx.journals_missing();
    if (!counted) return counted.error();
    missing = {*counted, {}};
    if (missing.records > 0) {
      auto known = claims::owners_gone(tx);
      if (!known) return known.error();
      missing.known = *std::move(known);
    }
  }
  auto unmade = changes->whole ? Ids{} : unmade_;
  auto left_out = changes->whole ? Ids{} : left_out_;
  if (changes->whole) {
    const auto journals = tx.journals();
    if (!journals) return journals.error();
    for (const auto& info : *journals)
      if (info.subject == store::Subject::person && info.version > 0) unmade.insert(info.journal);
  }
  const auto mark = [](Ids& ids, Id id, bool is_in) {
    if (is_in) {
      ids.insert(id);
    } else {
      ids.erase(id);
    }
  };
  std::vector<summary::Row> changed;
  changed.reserve(changes->rows.size());
  for (const auto& stored : changes->rows) {
    auto row = unpacked(stored);
    const auto tags = tx.tags(stored.journal);
    if (!tags) return tags.error();
    // Of a closed record the row stays as it is found: verify says what is wrong with it.
    const bool of_another_making =
        !row || (stored.read_only_because.empty() &&
                 stored.fold_version !=
                     number_of(stored, *tags, for_all + made_of_recalls(*clinic, &*row)));
    if (row && row->left_out.empty() && !stored.read_only_because.empty())
      row = closed(stored, *row);
    mark(unmade, stored.journal, of_another_making);
    mark(left_out, stored.journal, row && !row->left_out.empty());
    if (row) changed.push_back(*std::move(row));
  }
  if (changes->whole || !people_) {
    people_ = std::make_shared<const summary::People>(std::move(changed));
  } else if (!changed.empty()) {
    people_ = std::make_shared<const summary::People>(people_->with(std::move(changed)));
  }
  unmade_ = std::move(unmade);
  left_out_ = std::move(left_out);
  missing_ = std::move(missing);
  changed_by_others_ = others;
  seen_ = changes->now;
  made_with_ = std::move(made_with);
  return {};
}

// ---- making anew

Result<void> Rows::remake(std::span<const Id> people, const Waiting& waiting) {
  const std::lock_guard lock(remake_mutex_);
  return remake_in_steps(people, waiting);
}

Result<std::uint64_t> Rows::remake_all(const Waiting& waiting) {
  std::vector<Id> all;
  const auto read = store_.read([&](store::ReadTx& tx) -> Result<void> {
    all.clear();
    const auto journals = tx.journals();
    if (!journals) return journals.error();
    for (const auto& info : *journals)
      if (info.subject == store::Subject::person) all.push_back(info.journal);
    return {};
  });
  if (!read) return read.error();
  if (const auto made = remake(all, waiting); !made) return made.error();
  return all.size();
}

Result<void> Rows::remake_in_steps(std::span<const Id> people, const Waiting& waiting) {
  for (std::size_t from = 0; from < people.size(); from += rows_together) {
    if (waiting.progress) waiting.progress(from, people.size());
    if (waiting.stop.stop_requested())
      return Error{Kind::unavailable, std::string(codes::stopped), {}, ""};
    const auto some = people.subspan(from, std::min(rows_together, people.size() - from));
    if (const auto made = remake_some(some); !made) return made;
  }
  return {};
}

Result<void> Rows::remake_some(std::span<const Id> people) {
  const auto clinic = clinic_();
  std::vector<Remade> made;
  const auto read = store_.read([&](store::ReadTx& tx) -> Result<void> {
    made.clear();
    for (const auto& person : people) {
      const auto info = tx.journal(person);
      if (!info) return info.error();
      if (!info->has_value()) continue;
      auto one = remade(tx, **info, *clinic);
      if (!one) return one.error();
      made.push_back(*std::move(one));
    }
    return {};
  });
  if (!read) return read.error();
  return store_.write([&](store::WriteTx& tx) -> Result<void> {
    for (auto& one : made) {
      const auto info = tx.journal(one.row.person);
      if (!info) return info.error();
      // Whoever wrote meanwhile has put the newer row.
      if (!info->has_value() || (*info)->version != one.of_version) continue;
      if (one.broken) {
        auto number = incidents_.write(tx, one.row.person, *one.broken);
        if (!number) return number.error();
        one.row.left_out = *std::move(number);
      }
      if (!one.damaged.empty()) {
        if (const auto closed = tx.make_read_only(one.row.person, one.damaged); !closed)
          return closed;
      }
      if (const auto done = put(tx, one.row, *clinic); !done) return done;
    }
    return {};
  });
}

Result<Rows::Remade> Rows::remade(store::ReadTx& tx, const store::JournalInfo& info,
                                  const Clinic& clinic) {
  try {
    const auto stands = tx.summary(info.journal);
    if (!stands) return stands.error();
    const auto person = charts::load(zone_, tx, info.journal);
    if (person) {
      auto row = row_of(**person, clinic);
      // Whoever was left out may have broken a cover: that is looked at again before they come
      // back.
      const auto before = stands->has_value() ? unpacked(**stands) : summary::Row{};
      if (before && !before->left_out.empty()) try_cover(row, clinic);
      return Remade{std::move(row), info.version, {}, {}};
    }
    const auto& error = person.error();
    const bool is_damaged = error.code == store::codes::journal_damaged;
    // The store's own trouble is not the journal's.
    if (!is_damaged && (error.kind == Kind::unavailable || error.kind == Kind::retry_whole))
      return error;
    const auto because = charts::reason_of(error);
    // H29: what the row says of entries that are gone stays as long as they are.
    const auto version = std::max(info.version, charts::version_of(info, *stands));
    return Remade{keyed_left_out(info.journal, version, known_of(tx, info.journal), because),
                  info.version,
                  {},
                  is_damaged ? because : std::string()};
  } catch (const charts::BrokenJournal& broken) {
    return Remade{keyed_left_out(info.journal, info.version, known_of(tx, info.journal),
                                 charts::codes::incident),
                  info.version,
                  broken.promise,
                  {}};
  }
}

void Rows::try_cover(const summary::Row& row, const Clinic& clinic) {
  charts::about(row.person, [&] {
    const auto today = clinic.zone.when(now_()).day();
    static_cast<void>(pages::wants_of(row, clinic.closed, today, month_looked_at));
    return 0;
  });
}

Result<Rows::Tried> Rows::try_out(store::ReadTx& tx, const Chart& person) {
  const auto clinic = clinic_();
  const auto row = row_of(person, *clinic);
  try_cover(row, *clinic);
  const auto stands = tx.summary(person.journal);
  if (!stands) return stands.error();
  if (!stands->has_value()) return Tried{false, std::string(codes::row_wrong)};
  const auto there = unpacked(**stands);
  if (there && !there->left_out.empty()) return Tried{true, {}};
  const auto due = stored_of(row, *clinic);
  // A row of another making is made anew before a list is read.
  if ((*stands)->fold_version != due.fold_version) return Tried{!there, {}};
  const auto& is = **stands;
  const bool same = is.journal_version == due.journal_version && is.search_key == due.search_key &&
                    is.next_change == due.next_change && is.bytes == due.bytes;
  if (!same) return Tried{false, std::string(codes::row_wrong)};
  const auto tags = tx.tags(person.journal);
  if (!tags) return tags.error();
  return Tried{false, *tags == tags_of(row) ? std::string() : std::string(codes::tags_wrong)};
}

std::optional<summary::Row> Rows::leave_out(const summary::People& among, Id person,
                                            const BrokenPromise& broken) {
  const auto* listed = among.find(person);
  if (listed == nullptr || !listed->left_out.empty()) return std::nullopt;
  const auto number = incidents_.keep(person, broken);
  auto row = keyed_left_out(person, listed->version, *listed, number);
  // Where it cannot be kept, this answer leaves them out all the same, and the next one tries anew.
  static_cast<void>(store_.write([&](store::WriteTx& tx) -> Result<void> {
    const auto now = tx.journal(person);
    if (!now) return now.error();
    const bool is_newer = now->has_value() && (*now)->version != row.version;
    return is_newer ? Result<void>{} : put(tx, row, *clinic_());
  }));
  return row;
}

}  // namespace penstock::rows
