#include "shell/store/backend.hpp"

#include <algorithm>
#include <charconv>
#include <string>
#include <unordered_map>

namespace penstock::store {
namespace {

Error identity_reused(Id fact) {
  return {
      Kind::refused, std::string(codes::identity_reused), {arg_text("fact", to_text(fact))}, {}};
}

Error version_conflict(const JournalInfo& info, std::uint64_t seen) {
  return {Kind::conflict,
          std::string(codes::version_conflict),
          {arg_text("journal", to_text(info.journal)),
           arg_count("seen", static_cast<std::int64_t>(seen)),
           arg_count("now", static_cast<std::int64_t>(info.version))},
          {}};
}

Error fact_too_large(const NewFact& fact) {
  return {Kind::refused,
          std::string(codes::fact_too_large),
          {arg_text("fact", to_text(fact.fact)),
           arg_count("bytes", static_cast<std::int64_t>(fact.bytes.size())),
           arg_count("most", static_cast<std::int64_t>(fact_bytes_max))},
          {}};
}

// Seconds since 1970.
constexpr std::string_view last_recorded_name = "entries/last";

}  // namespace

Result<std::optional<Instant>> last_recorded(ReadSettings& settings) {
  const auto kept = settings.setting(last_recorded_name);
  if (!kept) return kept.error();
  if (!*kept) return std::optional<Instant>{};
  const auto& text = **kept;
  std::int64_t seconds = 0;
  const auto* end = text.data() + text.size();
  const auto read = std::from_chars(text.data(), end, seconds);
  // What is no number is not ours: nothing is known until the next entry.
  if (read.ec != std::errc() || read.ptr != end) return std::optional<Instant>{};
  return std::optional(Instant{std::chrono::seconds{seconds}});
}

Result<void> clock_is_right(WriteSettings& settings, Instant recorded) {
  return settings.put_setting(last_recorded_name,
                              std::to_string(recorded.time_since_epoch().count()));
}

Result<std::vector<std::string>> checked_tags(std::span<const std::string> tags) {
  std::vector<std::string> out(tags.begin(), tags.end());
  for (const auto& tag : out) {
    if (tag.empty() || tag.size() > tag_bytes_max) {
      return Error{Kind::refused,
                   std::string(codes::tag_form),
                   {arg_text("text", tag.substr(0, tag_bytes_max)),
                    arg_count("most", static_cast<std::int64_t>(tag_bytes_max))},
                   {}};
    }
  }
  std::ranges::sort(out);
  const auto twice = std::ranges::unique(out);
  out.erase(twice.begin(), twice.end());
  return out;
}

Error no_journal(Id journal) {
  return {
      Kind::not_found, std::string(codes::no_journal), {arg_text("journal", to_text(journal))}, {}};
}

Error no_fact(Id fact) {
  return {Kind::not_found, std::string(codes::no_fact), {arg_text("fact", to_text(fact))}, {}};
}

Error no_blob(const Digest& digest) {
  return {Kind::not_found, std::string(codes::no_blob), {arg_text("blob", to_text(digest))}, {}};
}

Error blob_damaged(const Digest& digest) {
  return {
      Kind::unavailable, std::string(codes::blob_damaged), {arg_text("blob", to_text(digest))}, {}};
}

Error block_damaged(LocalDay day) {
  return {Kind::unavailable, std::string(codes::block_damaged), {arg_date("day", day)}, {}};
}

Error journal_read_only(const JournalInfo& info) {
  return {Kind::refused,
          std::string(codes::journal_read_only),
          {arg_text("journal", to_text(info.journal)), arg_code("because", info.read_only_because)},
          {}};
}

Error journal_damaged(const VerifyReport::Fault& fault) {
  return {Kind::unavailable,
          std::string(codes::journal_damaged),
          {arg_text("journal", to_text(fault.journal)),
           arg_count("position", static_cast<std::int64_t>(fault.position)),
           arg_code("because", fault.code)},
          {}};
}

// ---- the end that is kept

namespace {

// Whoever changes it by hand has its check to work out, too.
std::string with_check(Id journal, const std::string& end) {
  const auto text = to_text(journal) + ' ' + end;
  return end + ' ' +
         to_text(sha256({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()}));
}

// Nothing: none is kept, or what stands there is not what this program writes.
std::optional<KeptEnd> end_of(const JournalInfo& info) {
  if (!info.kept_end) return std::nullopt;
  const auto& text = *info.kept_end;
  const auto blank = text.find(' ');
  const auto second = text.rfind(' ');
  if (blank == second || with_check(info.journal, text.substr(0, second)) != text)
    return std::nullopt;
  KeptEnd end;
  const auto read = std::from_chars(text.data(), text.data() + blank, end.version);
  if (read.ec != std::errc()) return std::nullopt;
  end.head = text.substr(blank + 1, second - blank - 1);
  return end;
}

// By the journal's own version and head alone.
bool is_end_gone(const JournalInfo& info, const std::optional<KeptEnd>& end) {
  if (!info.kept_end) return false;
  return !end || end->version > info.version ||
         (end->version == info.version && end->head != to_text(info.head));
}

}  // namespace

std::string end_to_keep(Id journal, std::uint64_t version, const Digest& head) {
  return with_check(journal, std::to_string(version) + ' ' + to_text(head));
}

// ---- walking

ChainWalker::ChainWalker(const JournalInfo& expected, std::uint64_t position, const Digest& hash)
    : expected_(expected), end_(end_of(expected)), position_(position), hash_(hash) {}

void ChainWalker::fault(std::uint64_t position, std::string_view code) {
  if (!fault_) {
    fault_ = VerifyReport::Fault{expected_.journal, position, std::string(code), {}};
  }
}

void ChainWalker::see(Entry entry, std::optional<std::span<const std::uint8_t>> bytes) {
  ++position_;
  if (entry.position != position_) {
    fault(position_, codes::position_hole);
    position_ = entry.position;
  }
  entry.previous = hash_;
  if (chain_hash(entry) != entry.hash) fault(entry.position, codes::hash_wrong);
  hash_ = entry.hash;
  if (end_ && end_->version == position_ && end_->head != to_text(hash_))
    fault(0, codes::head_wrong);
  if (!bytes) {
    ++erased_;
    return;
  }
  bytes_hashed_ += bytes->size();
  if (sha256(*bytes) != entry.fact_digest) fault(entry.position, codes::digest_wrong);
}

void ChainWalker::unreadable() { fault(position_ + 1, codes::file_damaged); }

std::optional<VerifyReport::Fault> ChainWalker::finish() {
  if (position_ != expected_.version || hash_ != expected_.head || is_end_gone(expected_, end_))
    fault(0, codes::head_wrong);
  return fault_;
}

std::optional<VerifyReport::Fault> check_head(const JournalInfo& info, std::uint64_t last_position,
                                              const std::optional<LastEntry>& last) {
  const auto fault = [&](std::uint64_t position, std::string_view code) {
    return VerifyReport::Fault{info.journal, position, std::string(code), {}};
  };
  if (last_position != info.version || is_end_gone(info, end_of(info)))
    return fault(0, codes::head_wrong);
  if (!last) {
    if (info.version == 0 && info.head == Digest{}) return std::nullopt;
    return fault(0, codes::head_wrong);
  }
  const auto& entry = last->entry;
  if (entry.hash != info.head) return fault(0, codes::head_wrong);
  if (chain_hash(entry) != entry.hash) return fault(entry.position, codes::hash_wrong);
  if (last->bytes && sha256(*last->bytes) != entry.fact_digest) {
    return fault(entry.position, codes::digest_wrong);
  }
  return std::nullopt;
}

void see_blob(VerifyReport& report, const Digest& digest,
              std::optional<std::span<const std::uint8_t>> bytes) {
  if (!bytes) {
    ++report.blobs_erased;
    return;
  }
  ++report.blobs;
  report.bytes_hashed += bytes->size();
  if (sha256(*bytes) != digest) ++report.blobs_damaged;
}

void see_block(VerifyReport& report, const Digest& digest, std::span<const std::uint8_t> bytes) {
  ++report.blocks;
  report.bytes_hashed += bytes.size();
  if (sha256(bytes) != digest) ++report.blocks_damaged;
}

Result<void> apply_marks(Store& store, const VerifyReport& report, Marks marks) {
  if (marks == Marks::leave) return {};
  const bool file_holds = std::none_of(report.faults.begin(), report.faults.end(),
                                       [](const auto& f) { return f.journal.is_nil(); });
  const auto fault_of = [&](Id journal) {
    return std::find_if(report.faults.begin(), report.faults.end(),
                        [&](const auto& f) { return f.journal == journal; });
  };
  std::vector<std::pair<Id, std::string>> set;
  std::vector<Id> lift;
  for (const auto& info : report.journals) {
    const auto fault = fault_of(info.journal);
    const bool marked = !info.read_only_because.empty();
    if (fault != report.faults.end() && !marked) set.emplace_back(info.journal, fault->code);
    // A file that is damaged as a whole proves no journal sound.
    if (fault == report.faults.end() && marked && file_holds) lift.push_back(info.journal);
  }
  if (marks == Marks::set) lift.clear();
  if (set.empty() && lift.empty()) return {};
  return store.write([&](WriteTx& tx) -> Result<void> {
    for (const auto& [journal, because] : set) {
      if (auto done = tx.make_read_only(journal, because); !done) return done;
    }
    for (const auto& journal : lift) {
      if (auto done = tx.make_writable(journal); !done) return done;
    }
    return {};
  });
}

// ---- append

Result<std::vector<AppendingTx::Planned>> AppendingTx::sort_out(Id journal,
                                                                std::span<const NewFact> facts) {
  for (const auto& fact : facts) {
    INVARIANT(!fact.fact.is_nil());
    if (fact.bytes.size() > fact_bytes_max) return fact_too_large(fact);
  }
  std::vector<Planned> plan;
  plan.reserve(facts.size());
  std::unordered_map<Id, std::size_t, IdHash> first_of_call;
  for (std::size_t i = 0; i < facts.size(); ++i) {
    const auto& fact = facts[i];
    Planned planned{.digest = sha256(fact.bytes), .known_position = {}, .same_as = {}};
    const auto [first, is_first] = first_of_call.try_emplace(fact.fact, i);
    if (!is_first) {
      const auto& twin = facts[first->second];
      if (plan[first->second].digest != planned.digest || twin.type != fact.type ||
          twin.type_version != fact.type_version) {
        return identity_reused(fact.fact);
      }
      planned.same_as = first->second;
    } else {
      auto there = known(fact.fact);
      if (!there) return there.error();
      if (*there) {
        const auto& [place, type, type_version] = **there;
        if (place.journal != journal || place.digest != planned.digest || type != fact.type ||
            type_version != fact.type_version) {
          return identity_reused(fact.fact);
        }
        planned.known_position = place.position;
      }
    }
    plan.push_back(planned);
  }
  return plan;
}

Result<Digest> AppendingTx::put_blob(Id journal_id, std::string_view media,
                                     std::span<const std::uint8_t> bytes) {
  INVARIANT(!media.empty());
  const auto found = journal(journal_id);
  if (!found) return found.error();
  if (!*found) return no_journal(journal_id);
  if (bytes.empty() || bytes.size() > blob_bytes_max) {
    return Error{Kind::refused,
                 std::string(codes::blob_too_large),
                 {arg_count("bytes", static_cast<std::int64_t>(bytes.size())),
                  arg_count("most", static_cast<std::int64_t>(blob_bytes_max))},
                 {}};
  }
  if (!(*found)->read_only_because.empty()) return journal_read_only(**found);
  const auto digest = sha256(bytes);
  const auto there = blob(journal_id, digest);
  const bool damaged = !there && there.error().code == codes::blob_damaged;
  if (!there && !damaged) return there.error();
  // The bytes at hand are the right ones: they also mend what the disk has spoilt.
  if (!damaged && *there && !(*there)->info.erased) return digest;
  const BlobInfo info{digest, std::string(media), bytes.size(), false};
  if (auto done = insert_blob(journal_id, info, bytes); !done) return done.error();
  return digest;
}

Result<std::uint64_t> AppendingTx::put_block(Id journal_id, BlockKey key,
                                             std::span<const std::uint8_t> bytes,
                                             std::optional<std::uint64_t> seen_version) {
  const auto found = journal(journal_id);
  if (!found) return found.error();
  if (!*found) return no_journal(journal_id);
  if (bytes.empty() || bytes.size() > block_bytes_max) {
    return Error{Kind::refused,
                 std::string(codes::block_too_large),
                 {arg_count("bytes", static_cast<std::int64_t>(bytes.size())),
                  arg_count("most", static_cast<std::int64_t>(block_bytes_max))},
                 {}};
  }
  if (!(*found)->read_only_because.empty()) return journal_read_only(**found);
  const auto there = block_at(journal_id, key);
  if (!there) return there.error();
  const auto now = there->has_value() ? (*there)->first : 0;
  if (seen_version && *seen_version != now) {
    return Error{
        Kind::conflict,
        std::string(codes::block_conflict),
        {arg_date("day", key.day), arg_count("seen", static_cast<std::int64_t>(*seen_version)),
         arg_count("now", static_cast<std::int64_t>(now))},
        {}};
  }
  Block block{key, now + 1, sha256(bytes), {bytes.begin(), bytes.end()}};
  // The same again: written nevertheless where the disk has spoilt what was there.
  if (there->has_value() && (*there)->second == block.digest) {
    const auto whole = this->block(journal_id, key);
    if (whole) return now;
    if (whole.error().code != codes::block_damaged) return whole.error();
    block.version = now;
  }
  if (const auto done = insert_block(journal_id, block); !done) return done.error();
  return block.version;
}

Result<Appended> AppendingTx::append(Id journal_id, std::span<const NewFact> facts,
                                     std::optional<std::uint64_t> seen_version) {
  auto found = journal(journal_id);
  if (!found) return found.error();
  if (!*found) return no_journal(journal_id);
  const JournalInfo& info = **found;

  auto plan = sort_out(journal_id, facts);
  if (!plan) return plan.error();
  const bool adds =
      std::any_of(plan->begin(), plan->end(), [](const auto& p) { return p.is_new(); });
  if (adds && !info.read_only_because.empty()) return journal_read_only(info);
  if (adds && is_end_gone(info, end_of(info)))
    return journal_damaged({journal_id, 0, std::string(codes::head_wrong), {}});
  if (adds && seen_version && *seen_version != info.version) {
    return version_conflict(info, *seen_version);
  }

  Appended out{.version = info.version, .receipts = {}};
  out.receipts.reserve(facts.size());
  Digest head = info.head;
  for (std::size_t i = 0; i < facts.size(); ++i) {
    const auto& planned = (*plan)[i];
    const auto& fact = facts[i];
    if (!planned.is_new()) {
      const auto position = planned.known_position ? *planned.known_position
                                                   : out.receipts[*planned.same_as].position;
      out.receipts.push_back({fact.fact, position, true});
      continue;
    }
    Entry entry{journal_id,     ++out.version, fact.fact,
                planned.digest, fact.type,     fact.type_version,
                fact.recorded,  head,          {}};
    entry.hash = chain_hash(entry);
    if (auto done = insert(entry, fact.bytes); !done) return done.error();
    head = entry.hash;
    out.receipts.push_back({fact.fact, entry.position, false});
  }
  if (adds) {
    if (auto done = set_head(journal_id, out.version, head); !done) return done.error();
    const auto before = last_recorded(*this);
    if (!before) return before.error();
    auto last = *before;
    for (std::size_t i = 0; i < facts.size(); ++i)
      if ((*plan)[i].is_new()) last = std::max(last, std::optional(facts[i].recorded));
    if (last != *before) {
      if (auto done = clock_is_right(*this, *last); !done) return done.error();
    }
  }
  return out;
}

}  // namespace penstock::store
