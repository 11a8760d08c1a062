#include "sim/plain_account.hpp"

#include <algorithm>
#include <string>
#include <tuple>

namespace penstock::plain {
namespace {

using journal::Correction;
using journal::Fact;
using journal::Payload;

using Said = std::tuple<Instant, std::string, std::uint32_t, Id, const Payload*>;

/// What the facts say once corrections are read, in the order in which it happened.
std::vector<Said> what_happened(const std::vector<Fact>& facts) {
  std::map<Id, const Fact*> known;
  for (const Fact& fact : facts) known[fact.id] = &fact;

  std::map<Id, const Fact*> correction_of;
  for (const auto& [id, fact] : known) {
    const auto* correction = std::get_if<Correction>(&fact->payload);
    if (!correction) continue;
    const Fact*& best = correction_of[correction->target];
    if (!best || std::pair(best->recorded, best->id) < std::pair(fact->recorded, id)) best = fact;
  }

  std::vector<Said> said;
  for (const auto& [id, fact] : known) {
    if (std::holds_alternative<Correction>(fact->payload)) continue;
    const auto corrected = correction_of.find(id);
    if (corrected == correction_of.end()) {
      said.emplace_back(fact->happened.at, fact->source, fact->sequence, id, &fact->payload);
      continue;
    }
    const auto& correction = std::get<Correction>(corrected->second->payload);
    if (correction.wrong_person || !correction.replacement) continue;
    const auto& instead = *correction.replacement;
    said.emplace_back(instead.happened.at, fact->source, instead.sequence, id, &instead.payload);
  }
  std::sort(said.begin(), said.end());
  return said;
}

void take(Row& row, std::int64_t units) {
  const auto covered = std::min(units, row.left);
  row.left -= covered;
  row.unexplained += units - covered;
}

}  // namespace

std::map<Id, Row> account(const std::vector<Fact>& facts) {
  std::map<Id, Row> rows;
  for (const auto& [at, source, sequence, id, payload] : what_happened(facts)) {
    if (const auto* p = std::get_if<journal::CartridgeLoaded>(payload)) {
      Row& row = rows[p->cartridge];
      if (row.was_loaded) continue;
      row.was_loaded = true;
      row.loaded = p->units.hundredths();
      (row.was_thrown ? row.thrown : row.left) = row.loaded;
    } else if (const auto* q = std::get_if<journal::Primed>(payload)) {
      Row& row = rows[q->cartridge];
      take(row, q->units.hundredths());
      row.primed += q->units.hundredths();
    } else if (const auto* w = std::get_if<journal::WindowTested>(payload)) {
      if (!w->cartridge) continue;
      Row& row = rows[*w->cartridge];
      take(row, w->dialled.hundredths());
      row.primed += w->dialled.hundredths();
    } else if (const auto* i = std::get_if<journal::Injected>(payload)) {
      Row& row = rows[i->cartridge];
      take(row, i->units.hundredths());
      row.injected += i->units.hundredths();
      ++row.uses;
    } else if (const auto* t = std::get_if<journal::ThrownAway>(payload)) {
      Row& row = rows[t->cartridge];
      if (row.was_thrown) continue;
      row.was_thrown = true;
      row.thrown = row.left;
      row.left = 0;
    }
  }
  return rows;
}

}  // namespace penstock::plain
