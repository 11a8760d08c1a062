#include "shell/charts/charts.hpp"

#include <algorithm>

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
    if (begun.zone_name().empty()) return chart::finish(std::move(begun), {});
    auto rules = zone(begun.zone_name());
    if (!rules) return rules.error();
    return chart::finish(std::move(begun), *std::move(rules));
  });
}

Result<ChartPtr> load(const ZoneOf& zone, store::ReadTx& tx, Id journal) {
  const auto info = tx.journal(journal);
  if (!info) return info.error();
  if (!info->has_value()) {
    return Error{
        Kind::not_found, std::string(codes::no_person), {arg_text("text", to_text(journal))}, ""};
  }
  const auto stored = tx.load(journal);
  if (!stored) return stored.error();
  auto read = unpack(journal, stored->all());
  if (!read) return read.error();
  return fold(zone, journal, (*info)->version, (*info)->head, *std::move(read));
}

Result<ChartPtr> Charts::get(const ZoneOf& zone, store::ReadTx& tx, Id journal) {
  const auto info = tx.journal(journal);
  if (!info) return info.error();
  if (info->has_value()) {
    const std::lock_guard lock(mutex_);
    const auto found = kept_.find(journal);
    // The head, not only the version: after a restore the same version may be another history.
    if (found != kept_.end() && found->second.first->version == (*info)->version &&
        found->second.first->head == (*info)->head) {
      recent_.splice(recent_.begin(), recent_, found->second.second);
      return found->second.first;
    }
  }
  auto chart = load(zone, tx, journal);
  if (!chart) return chart.error();
  const std::lock_guard lock(mutex_);
  if (const auto old = kept_.find(journal); old != kept_.end()) {
    recent_.erase(old->second.second);
    kept_.erase(old);
  }
  recent_.push_front(journal);
  kept_.emplace(journal, std::pair{*chart, recent_.begin()});
  if (kept_.size() > kept_max) {
    kept_.erase(recent_.back());
    recent_.pop_back();
  }
  return *chart;
}

void Charts::forget(Id journal) {
  const std::lock_guard lock(mutex_);
  const auto found = kept_.find(journal);
  if (found == kept_.end()) return;
  recent_.erase(found->second.second);
  kept_.erase(found);
}

}  // namespace penstock::charts
