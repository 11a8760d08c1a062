#include "shell/charts/charts.hpp"

#include <algorithm>

#include "edge/summary/summary.hpp"
#include "edge/wire/fact_codec.hpp"

namespace penstock::charts {
namespace {

Error damaged(Id journal, std::uint64_t position, std::string_view because) {
  return {
      Kind::unavailable,
      std::string(store::codes::journal_damaged),
      {arg_text("journal", to_text(journal)),
       arg_count("position", static_cast<std::int64_t>(position)), arg_code("because", because)},
      ""};
}

bool is_told(const std::vector<journal::Fact>& facts, Id erased) {
  return std::ranges::any_of(facts, [&](const journal::Fact& fact) {
    const auto* said = std::get_if<journal::PayloadErased>(&fact.payload);
    return said != nullptr && said->fact == erased;
  });
}

}  // namespace

Result<Unpacked> unpack(Id journal, std::span<const store::StoredFact> stored) {
  Unpacked out;
  out.facts.reserve(stored.size());
  for (const auto& one : stored) {
    if (one.erased) {
      out.erased.push_back(one.position);
      continue;
    }
    auto fact = wire::decode(one.bytes, one.recorded);
    if (!fact) return damaged(journal, one.position, store::codes::payload_unreadable);
    out.facts.push_back(*std::move(fact));
  }
  for (const auto& one : stored) {
    if (one.erased && !is_told(out.facts, one.fact))
      return damaged(journal, one.position, store::codes::payload_gone);
  }
  return out;
}

std::string reason_of(const Error& error) {
  const auto because = std::ranges::find(error.args, "because", &Arg::name);
  const bool is_damaged = error.code == store::codes::journal_damaged;
  return is_damaged && because != error.args.end() ? because->text : error.code;
}

Result<ChartPtr> fold(const ZoneOf& zone, Id journal, std::uint64_t version, const Digest& head,
                      Unpacked read) {
  return about(journal, [&]() -> Result<ChartPtr> {
    auto begun =
        chart::begin(journal, version, head, std::move(read.facts), std::move(read.erased));
    std::vector<ZoneRules> zones;
    for (const auto& name : begun.zone_names()) {
      if (auto rules = zone(name)) zones.push_back(*std::move(rules));
    }
    if (begun.zone_name().empty()) return chart::finish(std::move(begun), {}, std::move(zones));
    auto rules = zone(begun.zone_name());
    if (!rules) return rules.error();
    return chart::finish(std::move(begun), *std::move(rules), std::move(zones));
  });
}

std::uint64_t version_of(const store::JournalInfo& info, const std::optional<store::Summary>& row) {
  if (!row) return 0;
  const auto made = summary::made_of(row->bytes);
  if (!made) return row->journal_version;  // of an older program
  return made->person == info.journal ? made->version : 0;
}

std::optional<journal::PersonRegistered> registered_in(store::ReadTx& tx, Id journal) {
  const auto stored = tx.load(journal);
  if (!stored) return std::nullopt;
  // One by one: what is not read in one of them takes nothing from the others.
  for (const auto& one : *stored) {
    const auto read = unpack(journal, {&one, 1});
    if (!read || read->facts.empty()) continue;
    const auto* said = std::get_if<journal::PersonRegistered>(&read->facts.front().payload);
    if (said != nullptr) return *said;
  }
  return std::nullopt;
}

namespace {

/// A journal's entries, held against its chain and its row.
Result<store::Facts> sound(store::ReadTx& tx, const store::JournalInfo& info) {
  const auto row = tx.summary(info.journal);
  if (!row) return row.error();
  if (version_of(info, *row) > info.version)
    return damaged(info.journal, 0, store::codes::head_wrong);
  return tx.load(info.journal);
}

}  // namespace

Result<ChartPtr> load(const ZoneOf& zone, store::ReadTx& tx, Id journal) {
  const auto info = tx.journal(journal);
  if (!info) return info.error();
  if (!info->has_value()) {
    return Error{
        Kind::not_found, std::string(codes::no_person), {arg_text("text", to_text(journal))}, ""};
  }
  const auto stored = sound(tx, **info);
  if (!stored) return stored.error();
  auto read = unpack(journal, stored->all());
  if (!read) return read.error();
  return fold(zone, journal, (*info)->version, (*info)->head, *std::move(read));
}

Result<ChartPtr> Charts::get(const ZoneOf& zone, store::ReadTx& tx, Id journal) {
  const auto info = tx.journal(journal);
  if (!info) return info.error();
  const auto others = tx.changed_by_others();
  ChartPtr known;
  if (info->has_value()) {
    const std::lock_guard lock(mutex_);
    const auto found = kept_.find(journal);
    // The head, not only the version: after a restore the same version may be another history.
    if (found != kept_.end() && found->second.chart->version == (*info)->version &&
        found->second.chart->head == (*info)->head) {
      recent_.splice(recent_.begin(), recent_, found->second.recent);
      known = found->second.chart;
      if (found->second.changed_by_others == others) return known;
    }
  }
  if (known) {
    // The chain ends as it did: if it holds, so does what was read from it.
    if (const auto held = sound(tx, **info); !held) return held.error();
  } else {
    auto chart = load(zone, tx, journal);
    if (!chart) return chart.error();
    known = *std::move(chart);
  }
  keep(known, others);
  return known;
}

void Charts::keep(const ChartPtr& chart, std::uint64_t changed_by_others) {
  const std::lock_guard lock(mutex_);
  if (const auto old = kept_.find(chart->journal); old != kept_.end()) {
    recent_.erase(old->second.recent);
    kept_.erase(old);
  }
  recent_.push_front(chart->journal);
  kept_.emplace(chart->journal, Kept{chart, recent_.begin(), changed_by_others});
  if (kept_.size() > kept_max) {
    kept_.erase(recent_.back());
    recent_.pop_back();
  }
}

void Charts::forget(Id journal) {
  const std::lock_guard lock(mutex_);
  const auto found = kept_.find(journal);
  if (found == kept_.end()) return;
  recent_.erase(found->second.recent);
  kept_.erase(found);
}

}  // namespace penstock::charts
