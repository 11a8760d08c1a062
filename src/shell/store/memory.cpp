// Everything in memory: for tests, and the plainest reading of what the port promises.
#include <sodium.h>

#include <algorithm>
#include <deque>
#include <map>
#include <mutex>
#include <shared_mutex>
#include <unordered_map>

#include "shell/store/backend.hpp"

namespace penstock::store {
namespace {

struct Row {
  Entry entry;
  std::optional<std::vector<std::uint8_t>> bytes;
};
struct MemoryJournal {
  JournalInfo info;
  std::vector<Row> rows;
  std::optional<Summary> summary;
  std::vector<std::string> tags;
  std::map<Digest, Blob> blobs;
  std::uint64_t summary_number = 0;  // the stamp's, when the summary was put
  std::map<BlockKey, Block> blocks;
};

std::uint64_t new_origin() {
  std::uint64_t origin = 0;
  while (origin == 0) randombytes_buf(&origin, sizeof origin);
  return origin;
}

struct State {
  std::deque<MemoryJournal> journals;  // in the order in which they were created
  std::unordered_map<Id, std::size_t, IdHash> journal_at;
  std::unordered_map<Id, std::pair<std::size_t, std::size_t>, IdHash> fact_at;
  std::map<std::string, std::string, std::less<>> settings;
  Stamp stamp{new_origin(), 0};

  MemoryJournal* find(Id journal) {
    const auto at = journal_at.find(journal);
    return at == journal_at.end() ? nullptr : &journals[at->second];
  }
};

bool wanted(const MemoryJournal& journal, const SummaryQuery& query) {
  if (!journal.summary) return false;
  const auto& summary = *journal.summary;
  if (query.subject && *query.subject != journal.info.subject) return false;
  if (query.changes_not_after &&
      (!summary.next_change || *summary.next_change > *query.changes_not_after)) {
    return false;
  }
  return std::all_of(query.contains.begin(), query.contains.end(), [&](const std::string& part) {
    return summary.search_key.find(part) != std::string::npos;
  });
}

bool before(const Summary& a, const Summary& b, SummaryOrder order) {
  if (order == SummaryOrder::by_change && a.next_change != b.next_change) {
    if (!a.next_change || !b.next_change) return a.next_change.has_value();
    return *a.next_change < *b.next_change;
  }
  if (a.search_key != b.search_key) return a.search_key < b.search_key;
  return a.journal < b.journal;
}

Summary summary_of(const MemoryJournal& journal) {
  auto out = *journal.summary;
  out.read_only_because = journal.info.read_only_because;
  return out;
}

template <class Base>
class MemoryReads : public Base {
 public:
  explicit MemoryReads(State& state) : state_(state) {}

  Result<std::optional<JournalInfo>> journal(Id journal) override {
    const auto* found = state_.find(journal);
    if (!found) return std::optional<JournalInfo>{};
    return std::optional(found->info);
  }
  Result<std::vector<JournalInfo>> journals() override {
    std::vector<JournalInfo> out;
    for (const auto& journal : state_.journals) out.push_back(journal.info);
    return out;
  }
  Result<Facts> load(Id journal, std::uint64_t from_position) override {
    const auto* found = state_.find(journal);
    if (!found) return no_journal(journal);
    Facts facts;
    for (const auto& [entry, bytes] : found->rows) {
      if (entry.position < from_position) continue;
      facts.add({.fact = entry.fact,
                 .position = entry.position,
                 .type = entry.type,
                 .type_version = entry.type_version,
                 .recorded = entry.recorded,
                 .digest = entry.fact_digest,
                 .erased = !bytes,
                 .bytes = {}},
                bytes ? std::span<const std::uint8_t>(*bytes) : std::span<const std::uint8_t>{});
    }
    facts.seal();
    return facts;
  }
  Result<std::vector<Entry>> entries(Id journal, std::uint64_t from_position) override {
    const auto* found = state_.find(journal);
    if (!found) return no_journal(journal);
    std::vector<Entry> out;
    for (const auto& row : found->rows) {
      if (row.entry.position >= from_position) out.push_back(row.entry);
    }
    return out;
  }
  Result<std::optional<FactPlace>> find(Id fact) override {
    const auto at = state_.fact_at.find(fact);
    if (at == state_.fact_at.end()) return std::optional<FactPlace>{};
    const auto& row = state_.journals[at->second.first].rows[at->second.second];
    return std::optional(
        FactPlace{row.entry.journal, row.entry.position, row.entry.fact_digest, !row.bytes});
  }
  Result<std::optional<Summary>> summary(Id journal) override {
    const auto* found = state_.find(journal);
    return found && found->summary ? std::optional(summary_of(*found)) : std::optional<Summary>{};
  }
  Result<std::vector<Summary>> summaries(const SummaryQuery& query) override {
    std::vector<Summary> out;
    for (const auto& journal : state_.journals) {
      if (wanted(journal, query)) out.push_back(summary_of(journal));
    }
    std::sort(out.begin(), out.end(),
              [&](const auto& a, const auto& b) { return before(a, b, query.order); });
    if (out.size() > query.most) out.resize(query.most);
    return out;
  }
  Result<SummaryChanges> changed_since(const Stamp& seen) override {
    const bool other = seen.origin != state_.stamp.origin || seen.number > state_.stamp.number;
    SummaryChanges out{state_.stamp, other, {}};
    const auto from = out.whole ? 0 : seen.number;
    std::vector<const MemoryJournal*> changed;
    for (const auto& journal : state_.journals) {
      if (journal.summary && journal.summary_number > from) changed.push_back(&journal);
    }
    std::ranges::sort(changed, {}, &MemoryJournal::summary_number);
    for (const auto* journal : changed) out.rows.push_back(summary_of(*journal));
    return out;
  }
  Result<std::vector<std::string>> tags(Id journal) override {
    const auto* found = state_.find(journal);
    return found ? found->tags : std::vector<std::string>{};
  }
  Result<std::vector<Id>> tagged(std::string_view tag) override {
    std::vector<Id> out;
    for (const auto& journal : state_.journals) {
      if (std::ranges::binary_search(journal.tags, tag)) out.push_back(journal.info.journal);
    }
    std::ranges::sort(out);
    return out;
  }
  Result<std::vector<std::string>> settings(std::string_view beginning) override {
    std::vector<std::string> out;
    for (auto at = state_.settings.lower_bound(beginning);
         at != state_.settings.end() && at->first.starts_with(beginning); ++at)
      out.push_back(at->second);
    return out;
  }
  Result<std::optional<std::string>> setting(std::string_view name) override {
    const auto found = state_.settings.find(name);
    if (found == state_.settings.end()) return std::optional<std::string>{};
    return std::optional(found->second);
  }
  Result<std::optional<Blob>> blob(Id journal, const Digest& digest) override {
    const auto* found = state_.find(journal);
    if (!found) return std::optional<Blob>{};
    const auto blob = found->blobs.find(digest);
    if (blob == found->blobs.end()) return std::optional<Blob>{};
    if (!blob->second.info.erased && sha256(blob->second.bytes) != digest) {
      return blob_damaged(digest);
    }
    return std::optional(blob->second);
  }
  Result<std::vector<BlobInfo>> blobs(Id journal) override {
    std::vector<BlobInfo> out;
    const auto* found = state_.find(journal);
    if (!found) return out;
    for (const auto& [digest, blob] : found->blobs) out.push_back(blob.info);
    return out;
  }
  Result<std::optional<Block>> block(Id journal, BlockKey key) override {
    const auto* found = state_.find(journal);
    if (!found) return std::optional<Block>{};
    const auto block = found->blocks.find(key);
    if (block == found->blocks.end()) return std::optional<Block>{};
    if (sha256(block->second.bytes) != block->second.digest) return block_damaged(key.day);
    return std::optional(block->second);
  }
  Result<std::vector<Block>> blocks(Id journal, std::uint16_t kind, LocalDay from,
                                    LocalDay to) override {
    std::vector<Block> out;
    const auto* found = state_.find(journal);
    if (!found) return out;
    for (auto it = found->blocks.lower_bound({kind, from});
         it != found->blocks.end() && it->first <= BlockKey{kind, to}; ++it) {
      if (sha256(it->second.bytes) != it->second.digest) return block_damaged(it->first.day);
      out.push_back(it->second);
    }
    return out;
  }

 protected:
  State& state_;
};

using MemoryReadTx = MemoryReads<ReadTx>;

/// Changes the state where it stands and remembers how to take each change back.
class MemoryWriteTx : public MemoryReads<AppendingTx> {
 public:
  using MemoryReads::MemoryReads;
  ~MemoryWriteTx() override {
    for (; !undo_.empty(); undo_.pop_back()) undo_.back()();
  }
  void commit() { undo_.clear(); }

  Result<void> create_journal(Id journal, Subject subject) override {
    INVARIANT(!journal.is_nil());
    if (const auto* there = state_.find(journal)) {
      if (there->info.subject == subject) return {};
      return Error{Kind::refused,
                   std::string(codes::journal_other_subject),
                   {arg_text("journal", to_text(journal))},
                   {}};
    }
    state_.journal_at.emplace(journal, state_.journals.size());
    state_.journals.emplace_back().info = {journal, subject, 0, {}, {}};
    undo_.push_back([this, journal] {
      state_.journals.pop_back();
      state_.journal_at.erase(journal);
    });
    return {};
  }
  Result<void> erase_payload(Id fact) override {
    const auto at = state_.fact_at.find(fact);
    if (at == state_.fact_at.end()) return no_fact(fact);
    const auto [journal, index] = at->second;
    auto& bytes = state_.journals[journal].rows[index].bytes;
    // By place, not by address: rows move when more are appended.
    undo_.push_back([this, journal = journal, index = index, old = bytes] {
      state_.journals[journal].rows[index].bytes = old;
    });
    bytes.reset();
    return {};
  }
  Result<void> erase_blob(Id journal, const Digest& digest) override {
    auto* there = state_.find(journal);
    if (there == nullptr || !there->blobs.contains(digest)) return no_blob(digest);
    remember_blob(*there, digest);
    auto& blob = there->blobs.at(digest);
    blob.info.erased = true;
    blob.bytes.clear();
    return {};
  }
  Result<void> put_summary(const Summary& summary) override {
    auto* there = state_.find(summary.journal);
    if (!there) return no_journal(summary.journal);
    stamp(*there);
    set_summary(*there, summary);
    return {};
  }
  Result<void> put_tags(Id journal, std::span<const std::string> tags) override {
    auto wanted = checked_tags(tags);
    if (!wanted) return wanted.error();
    auto* there = state_.find(journal);
    if (!there) return no_journal(journal);
    set_tags(*there, *std::move(wanted));
    return {};
  }
  Result<void> drop_summaries() override {
    for (auto& journal : state_.journals) {
      set_summary(journal, std::nullopt);
      set_tags(journal, {});
    }
    undo_.push_back([this, old = state_.stamp] { state_.stamp = old; });
    state_.stamp = {new_origin(), 0};
    return {};
  }
  Result<void> erase_block(Id journal, BlockKey key) override {
    auto* there = state_.find(journal);
    if (there == nullptr || !there->blocks.contains(key)) return {};
    remember_block(*there, key);
    there->blocks.erase(key);
    return {};
  }
  Result<void> put_setting(std::string_view name, std::string_view value) override {
    remember_setting(name);
    state_.settings.insert_or_assign(std::string(name), std::string(value));
    return {};
  }
  Result<void> drop_setting(std::string_view name) override {
    remember_setting(name);
    state_.settings.erase(std::string(name));
    return {};
  }
  Result<void> make_read_only(Id journal, std::string_view because) override {
    return mark(journal, because, true);
  }
  Result<void> make_writable(Id journal) override { return mark(journal, "", false); }

 protected:
  Result<std::optional<KnownFact>> known(Id fact) override {
    const auto at = state_.fact_at.find(fact);
    if (at == state_.fact_at.end()) return std::optional<KnownFact>{};
    const auto& row = state_.journals[at->second.first].rows[at->second.second];
    const auto& entry = row.entry;
    return std::optional(KnownFact{{entry.journal, entry.position, entry.fact_digest, !row.bytes},
                                   entry.type,
                                   entry.type_version});
  }
  Result<void> insert(const Entry& entry, std::span<const std::uint8_t> bytes) override {
    const auto at = state_.journal_at.at(entry.journal);
    auto& journal = state_.journals[at];
    state_.fact_at.emplace(entry.fact, std::pair(at, journal.rows.size()));
    journal.rows.push_back({entry, std::vector<std::uint8_t>(bytes.begin(), bytes.end())});
    undo_.push_back([this, &journal, fact = entry.fact] {
      journal.rows.pop_back();
      state_.fact_at.erase(fact);
    });
    return {};
  }
  Result<void> set_head(Id journal, std::uint64_t version, const Digest& head) override {
    auto& info = state_.find(journal)->info;
    undo_.push_back([&info, old = info] { info = old; });
    info.version = version;
    info.head = head;
    return {};
  }
  Result<void> insert_blob(Id journal, const BlobInfo& info,
                           std::span<const std::uint8_t> bytes) override {
    auto& there = *state_.find(journal);
    remember_blob(there, info.digest);
    there.blobs.insert_or_assign(info.digest, Blob{info, {bytes.begin(), bytes.end()}});
    return {};
  }
  Result<std::optional<std::pair<std::uint64_t, Digest>>> block_at(Id journal,
                                                                   BlockKey key) override {
    const auto& blocks = state_.find(journal)->blocks;
    const auto there = blocks.find(key);
    if (there == blocks.end()) return std::optional<std::pair<std::uint64_t, Digest>>{};
    return std::optional(std::pair(there->second.version, there->second.digest));
  }
  Result<void> insert_block(Id journal, const Block& block) override {
    auto& there = *state_.find(journal);
    remember_block(there, block.key);
    there.blocks.insert_or_assign(block.key, block);
    return {};
  }

 private:
  // A deque's elements stay where they are, so a journal may be remembered by its address.
  void remember_blob(MemoryJournal& journal, const Digest& digest) {
    const auto there = journal.blobs.find(digest);
    if (there == journal.blobs.end()) {
      undo_.push_back([&journal, digest] { journal.blobs.erase(digest); });
    } else {
      undo_.push_back(
          [&journal, old = *there] { journal.blobs.insert_or_assign(old.first, old.second); });
    }
  }
  void remember_block(MemoryJournal& journal, BlockKey key) {
    const auto there = journal.blocks.find(key);
    if (there == journal.blocks.end()) {
      undo_.push_back([&journal, key] { journal.blocks.erase(key); });
    } else {
      undo_.push_back(
          [&journal, old = *there] { journal.blocks.insert_or_assign(old.first, old.second); });
    }
  }
  void stamp(MemoryJournal& journal) {
    undo_.push_back([this, &journal, old = journal.summary_number] {
      --state_.stamp.number;
      journal.summary_number = old;
    });
    journal.summary_number = ++state_.stamp.number;
  }
  void set_summary(MemoryJournal& journal, std::optional<Summary> summary) {
    undo_.push_back([&journal, old = journal.summary] { journal.summary = old; });
    journal.summary = std::move(summary);
  }
  void set_tags(MemoryJournal& journal, std::vector<std::string> tags) {
    undo_.push_back([&journal, old = journal.tags] { journal.tags = old; });
    journal.tags = std::move(tags);
  }
  void remember_setting(std::string_view name) {
    const auto there = state_.settings.find(name);
    if (there == state_.settings.end()) {
      undo_.push_back([this, key = std::string(name)] { state_.settings.erase(key); });
    } else {
      undo_.push_back(
          [this, old = *there] { state_.settings.insert_or_assign(old.first, old.second); });
    }
  }
  Result<void> mark(Id journal, std::string_view because, bool first_stays) {
    INVARIANT(!(first_stays && because.empty()));
    auto* there = state_.find(journal);
    if (!there) return no_journal(journal);
    auto& info = there->info;
    if (first_stays && !info.read_only_because.empty()) return {};
    undo_.push_back([&info, old = info] { info = old; });
    info.read_only_because = std::string(because);
    stamp(*there);
    return {};
  }

  std::vector<std::function<void()>> undo_;
};

class MemoryStore : public Store {
 public:
  Result<void> read(const std::function<Result<void>(ReadTx&)>& body) override {
    const std::shared_lock lock(mutex_);
    MemoryReadTx tx(state_);
    return body(tx);
  }
  Result<void> write(const std::function<Result<void>(WriteTx&)>& body) override {
    const std::unique_lock lock(mutex_);
    for (int attempt = 0; attempt < write_attempts_max; ++attempt) {
      MemoryWriteTx tx(state_);
      auto outcome = body(tx);
      if (outcome) tx.commit();
      if (outcome || outcome.error().kind != Kind::retry_whole) return outcome;
    }
    return Error{Kind::unavailable, std::string(codes::locked), {}, {}};
  }
  Result<VerifyReport> verify(Marks marks, const OnProgress& progress) override {
    VerifyReport report;
    {
      const std::shared_lock lock(mutex_);
      std::uint64_t total = 0;
      for (const auto& journal : state_.journals) total += journal.info.version;
      for (const auto& journal : state_.journals) {
        ChainWalker walker(journal.info);
        for (const auto& row : journal.rows) {
          walker.see(row.entry, row.bytes ? std::optional(std::span<const std::uint8_t>(*row.bytes))
                                          : std::nullopt);
        }
        report.entries += journal.rows.size();
        report.bytes_hashed += walker.bytes_hashed();
        report.erased += walker.erased();
        report.journals.push_back(journal.info);
        if (auto fault = walker.finish()) report.faults.push_back(*fault);
        for (const auto& [digest, blob] : journal.blobs) {
          see_blob(report, digest,
                   blob.info.erased ? std::nullopt
                                    : std::optional(std::span<const std::uint8_t>(blob.bytes)));
        }
        for (const auto& [key, block] : journal.blocks) {
          see_block(report, block.digest, block.bytes);
        }
        if (progress) progress({Progress::Stage::verifying, report.entries, total});
      }
    }
    if (auto marked = apply_marks(*this, report, marks); !marked) return marked.error();
    return report;
  }
  Result<VerifyReport> check_heads(Marks marks) override {
    VerifyReport report;
    {
      const std::shared_lock lock(mutex_);
      for (const auto& journal : state_.journals) {
        report.journals.push_back(journal.info);
        std::optional<LastEntry> last;
        std::uint64_t position = 0;
        if (!journal.rows.empty()) {
          last = LastEntry{journal.rows.back().entry, journal.rows.back().bytes};
          position = last->entry.position;
          ++report.entries;
        }
        if (auto fault = check_head(journal.info, position, last)) report.faults.push_back(*fault);
      }
    }
    if (auto marked = apply_marks(*this, report, marks); !marked) return marked.error();
    return report;
  }

 private:
  std::shared_mutex mutex_;
  State state_;
};

}  // namespace

std::unique_ptr<Store> make_memory_store() { return std::make_unique<MemoryStore>(); }

}  // namespace penstock::store
