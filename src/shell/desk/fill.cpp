// Whole journals of a generator: many in one transaction, because each is synced to the disk.
#include "shell/claims/claims.hpp"
#include "shell/desk/internal/inside.hpp"

namespace penstock::desk {
namespace {

Result<void> fill_one(const Ports& ports, store::WriteTx& tx, const Filled& journal,
                      const Clinic& clinic) {
  const auto created = tx.create_journal(journal.id, store::Subject::person);
  if (!created) return created.error();
  std::vector<store::NewFact> packed_facts;
  packed_facts.reserve(journal.facts.size());
  for (const auto& fact : journal.facts) {
    const auto good = journal::checked(fact);
    if (!good) return good.error();
    packed_facts.push_back(packed(fact));
  }
  const auto claimed = claims::lay_all(tx, journal.id, journal.facts);
  if (!claimed) return claimed;
  const auto appended = tx.append(journal.id, packed_facts, 0);
  if (!appended) return appended.error();
  const auto folded =
      charts::fold(ports.zone, journal.id, appended->version, {}, {journal.facts, {}});
  if (!folded) return folded.error();
  return rows::put(tx, rows::row_of(**folded, clinic), clinic);
}

}  // namespace

Result<void> Desk::Inside::fill(const std::vector<Filled>& people) {
  const auto clinic = this->clinic();
  return ports.store->write([&](store::WriteTx& tx) -> Result<void> {
    for (const auto& journal : people) {
      if (const auto filled = fill_one(ports, tx, journal, *clinic); !filled) return filled;
    }
    return {};
  });
}

}  // namespace penstock::desk
