// Incidents: what only a bug of ours brings about. Each has a number, what broke is kept under it,
// and the journal that it came up over can only be read until `penstock verify` has passed.
#include <exception>

#include "shell/desk/internal/inside.hpp"

namespace penstock::desk {
namespace {

std::string told(const BrokenPromise& broken) { return broken.what + " at " + broken.where; }
std::string incident_name(std::string_view number) { return "incident/" + std::string(number); }
std::string last_incident_name(Id journal) { return "incident/of/" + to_text(journal); }

// The store may be what broke: whoever asked gets a number all the same.
template <class Work>
bool works(Work&& work) {
  try {
    return work().has_value();
  } catch (...) {
    return false;
  }
}

// By what a journal is called where nothing can be folded: the row that lists read.
std::string called(store::ReadTx& tx, Id journal, const Clinic* clinic) {
  if (clinic != nullptr && clinic->journal == journal && clinic->named) return clinic->names.clinic;
  const auto stored = tx.summary(journal);
  if (!stored || !stored->has_value()) return to_text(journal);
  const auto row = summary::unpack(journal, (*stored)->journal_version, (*stored)->bytes);
  return row && !row->full_name.empty() ? row->full_name + ", " + row->number : to_text(journal);
}

}  // namespace

Error Desk::Inside::incident(Id journal) {
  try {
    throw;
  } catch (const BrokenJournal& broken) {
    return incident_of(broken.journal, broken.promise);
  } catch (const BrokenPromise& broken) {
    return incident_of(journal, broken);
  } catch (const std::exception& broken) {
    return incident_of({}, {broken.what(), "a library"});  // no memory, say: no journal is to blame
  } catch (...) {
    return incident_of({}, {"something that is no exception", "a library"});
  }
}

Error Desk::Inside::incident_of(Id journal, const BrokenPromise& broken) {
  const auto number = keep_incident(journal, broken);
  if (journal.is_nil()) {
    return {Kind::unavailable,
            std::string(codes::incident_of_nobody),
            {arg_text("number", number)},
            ""};
  }
  auto name = to_text(journal);
  static_cast<void>(works([&] {
    return ports.store->read([&](store::ReadTx& tx) -> Result<void> {
      name = called(tx, journal, clinic().get());
      return {};
    });
  }));
  return {Kind::unavailable,
          std::string(codes::incident),
          {arg_text("number", number), arg_text("name", name)},
          ""};
}

std::string Desk::Inside::keep_incident(Id journal, const BrokenPromise& broken) {
  cache.forget(journal);
  std::string number;
  const auto look = [&](store::ReadTx& tx) -> Result<void> {
    number.clear();
    const auto info = tx.journal(journal);
    if (!info || !info->has_value() || (*info)->read_only_because != codes::incident) return {};
    const auto last = tx.setting(last_incident_name(journal));
    if (!last || !last->has_value()) return {};
    const auto what = tx.setting(incident_name(**last));
    if (what && what->has_value() && **what == told(broken)) number = **last;
    return {};
  };
  if (works([&] { return ports.store->read(look); }) && !number.empty()) return number;
  const auto keep = [&](store::WriteTx& tx) -> Result<void> {
    auto kept = write_incident(tx, journal, broken);
    if (!kept) return kept.error();
    number = *std::move(kept);
    return {};
  };
  // Whether it could be kept or not: whoever asked is told that nothing was changed.
  if (!works([&] { return ports.store->write(keep); }))
    number = to_text(ports.new_id()).substr(0, 8);
  return number;
}

Result<std::string> Desk::Inside::write_incident(store::WriteTx& tx, Id journal,
                                                 const BrokenPromise& broken) {
  auto number = to_text(ports.new_id()).substr(0, 8);
  if (const auto kept = tx.put_setting(incident_name(number), told(broken)); !kept)
    return kept.error();
  const auto info = tx.journal(journal);
  if (!info) return info.error();
  if (!info->has_value()) return number;
  if (const auto kept = tx.put_setting(last_incident_name(journal), number); !kept)
    return kept.error();
  if (const auto closed = tx.make_read_only(journal, codes::incident); !closed)
    return closed.error();
  return number;
}

}  // namespace penstock::desk
