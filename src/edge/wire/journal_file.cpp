#include "edge/wire/journal_file.hpp"

#include <algorithm>
#include <unordered_set>
#include <utility>

#include "core/units/utf8.hpp"
#include "edge/wire/fact_codec.hpp"
#include "edge/wire/fact_json.hpp"

namespace penstock::wire {
namespace {

using journal::Fact;

Error refused(std::string_view code, std::vector<Arg> args, std::string_view at) {
  return {Kind::refused, std::string(code), std::move(args), std::string(at)};
}

// Over the facts' packed bytes in the file's order, each with its length and when it was recorded
// before it: a fact that was cut, moved, changed or given another time shows.
Digest digest_of_all(std::span<const Fact> facts, DigestFunction digest) {
  std::vector<std::uint8_t> all;
  std::vector<std::uint8_t> bytes;
  const auto number = [&all](std::uint64_t value) {
    for (unsigned shift = 64; shift > 0; shift -= 8) {
      all.push_back(static_cast<std::uint8_t>(value >> (shift - 8)));
    }
  };
  for (const auto& fact : facts) {
    encode(fact, bytes);
    number(bytes.size());
    number(static_cast<std::uint64_t>(fact.recorded.time_since_epoch().count()));
    all.insert(all.end(), bytes.begin(), bytes.end());
  }
  return digest(all);
}

// Each fact in its shape, within the limits, of this journal, and once.
Result<std::vector<Fact>> read_facts(const json::Value& list, const Id& journal) {
  std::vector<Fact> facts;
  facts.reserve(list.members.size());
  std::unordered_set<Id, IdHash> seen;
  for (std::size_t i = 0; i < list.members.size(); ++i) {
    const auto at = json::pointer("/facts", i);
    auto fact = fact_from_json(list.members[i].value, at);
    if (!fact) return fact.error();
    auto good = journal::checked(*std::move(fact));
    if (!good) return located(good.error(), at + good.error().at);
    if (good->journal != journal) {
      return refused(codes::file_other_journal, {arg_text("id", to_text(good->journal))},
                     at + "/journal");
    }
    if (!seen.insert(good->id).second) {
      return refused(codes::file_identity, {arg_text("id", to_text(good->id))}, at + "/id");
    }
    facts.push_back(*std::move(good));
  }
  return facts;
}

}  // namespace

std::string write_journal_file(const JournalFile& file, DigestFunction digest) {
  auto facts = json::array();
  facts.members.reserve(file.facts.size());
  for (const auto& fact : file.facts) json::add(facts, to_json(fact));
  const auto count = static_cast<std::int64_t>(file.facts.size());
  auto document = json::object(
      {{"format", json::string(journal_format)},
       {"version", json::count(journal_format_version)},
       {"journal", json::string(file.journal)},
       {"subject", json::string(names_of(file.subject)[static_cast<std::size_t>(file.subject)])},
       {"chain",
        json::object({{"version", json::count(static_cast<std::int64_t>(file.chain_version))},
                      {"head", json::string(file.chain_head)}})},
       {"count", json::count(count)},
       {"digest", json::string(to_text(digest_of_all(file.facts, digest)))},
       {"facts", std::move(facts)}});
  return json::to_text(document, json::Layout::indented);
}

Result<JournalFile> read_journal_file(std::string_view bytes, DigestFunction digest) {
  const auto document = json::parse(bytes, journal_file_limits);
  if (!document) return document.error();
  JournalFile file;
  std::string format, stated_digest;
  std::int64_t version = 0, count = 0;
  json::Reader reader(*document);
  reader.need("format", format);
  if (!reader.failed() && format != journal_format) {
    return refused(codes::file_format,
                   {arg_text("text", shortened(format)), arg_text("expected", journal_format)},
                   "/format");
  }
  reader.need("version", version);
  if (!reader.failed() && version != journal_format_version) {
    return refused(codes::file_version,
                   {arg_count("version", version), arg_count("newest", journal_format_version)},
                   "/version");
  }
  reader.need("journal", file.journal);
  reader.need("subject", file.subject);
  if (const auto* chain = reader.need_raw("chain")) {
    json::Reader inner(*chain, "/chain");
    std::int64_t last = 0;
    inner.need("version", last);
    inner.need("head", file.chain_head);
    reader.keep(inner.done());
    file.chain_version = static_cast<std::uint64_t>(std::max<std::int64_t>(last, 0));
  }
  reader.need("count", count);
  reader.need("digest", stated_digest);
  const auto* list = reader.need_raw("facts");
  if (auto done = reader.done(); !done) return done.error();
  if (list->type != json::Type::array) return json::type_error("/facts", "type.list");
  const auto found = std::ssize(list->members);
  if (found != count) {
    return refused(codes::file_count, {arg_count("stated", count), arg_count("found", found)},
                   "/count");
  }
  auto facts = read_facts(*list, file.journal);
  if (!facts) return facts.error();
  if (to_text(digest_of_all(*facts, digest)) != stated_digest) {
    return refused(codes::file_digest, {}, "/digest");
  }
  file.facts = *std::move(facts);
  return file;
}

}  // namespace penstock::wire
