#include "shell/charts/incidents.hpp"

#include <algorithm>
#include <exception>

#include "edge/summary/summary.hpp"

namespace penstock::charts {
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

// By what a journal is called where nothing can be folded: its row in the lists, which says whose
// it is, or what was registered in it.
std::string called(store::ReadTx& tx, Id journal, const Clinic* clinic) {
  if (clinic != nullptr && clinic->journal == journal && clinic->named) return clinic->names.clinic;
  if (const auto stored = tx.summary(journal); stored && stored->has_value()) {
    const auto row = summary::unpack(journal, (*stored)->journal_version, (*stored)->bytes);
    if (row && !row->full_name.empty()) return row->full_name + ", " + row->number;
  }
  const auto said = registered_in(tx, journal);
  return said ? said->full_name + ", " + said->number : to_text(journal);
}

// The number under which the same has closed the journal already; empty: none.
Result<std::string> known(store::ReadTx& tx, Id journal, const BrokenPromise& broken) {
  const auto info = tx.journal(journal);
  if (!info) return info.error();
  if (!info->has_value() || (*info)->read_only_because != codes::incident) return std::string();
  const auto last = tx.setting(last_incident_name(journal));
  if (!last) return last.error();
  if (!last->has_value()) return std::string();
  const auto what = tx.setting(incident_name(**last));
  if (!what) return what.error();
  return what->has_value() && **what == told(broken) ? **last : std::string();
}

}  // namespace

Error Incidents::caught(Id journal, const Clinic* clinic) {
  try {
    throw;
  } catch (const BrokenJournal& broken) {
    return told_of(broken.journal, broken.promise, clinic);
  } catch (const BrokenPromise& broken) {
    return told_of(journal, broken, clinic);
  } catch (const std::exception& broken) {
    return told_of({}, {broken.what(), "a library"}, clinic);  // no memory, say: nobody's fault
  } catch (...) {
    return told_of({}, {"something that is no exception", "a library"}, clinic);
  }
}

Error Incidents::told_of(Id journal, const BrokenPromise& broken, const Clinic* clinic) {
  const auto number = keep(journal, broken);
  if (journal.is_nil()) {
    return {Kind::unavailable,
            std::string(codes::incident_of_nobody),
            {arg_text("number", number)},
            ""};
  }
  auto name = to_text(journal);
  static_cast<void>(works([&] {
    return store_.read([&](store::ReadTx& tx) -> Result<void> {
      name = called(tx, journal, clinic);
      return {};
    });
  }));
  return {Kind::unavailable,
          std::string(codes::incident),
          {arg_text("number", number), arg_text("name", name)},
          ""};
}

Error Incidents::closed(const Error& damaged, const Clinic* clinic) {
  const auto text = std::ranges::find(damaged.args, "journal", &Arg::name);
  const auto journal = text == damaged.args.end() ? std::nullopt : parse_id(text->text);
  if (!journal) return damaged;
  const auto because = reason_of(damaged);
  charts_.forget(*journal);
  Error told = damaged;
  bool is_marked = false;
  const auto look = [&](store::ReadTx& tx) -> Result<void> {
    const auto info = tx.journal(*journal);
    if (!info) return info.error();
    is_marked = info->has_value() && !(*info)->read_only_because.empty();
    told = closed(tx, *journal, because, clinic);
    return {};
  };
  const bool looked = works([&] { return store_.read(look); });
  // Where it cannot be marked, each look says it anew.
  if (looked && !is_marked) {
    static_cast<void>(works([&] {
      return store_.write([&](store::WriteTx& tx) { return tx.make_read_only(*journal, because); });
    }));
  }
  return located(told, damaged.at);
}

Error Incidents::closed(store::ReadTx& tx, Id journal, std::string_view because,
                        const Clinic* clinic) {
  return {Kind::unavailable,
          std::string(codes::record_closed),
          {arg_text("name", called(tx, journal, clinic)), arg_code("because", because)},
          ""};
}

std::string Incidents::keep(Id journal, const BrokenPromise& broken) {
  charts_.forget(journal);
  std::string number;
  const auto look = [&](store::ReadTx& tx) -> Result<void> {
    auto same = known(tx, journal, broken);
    if (!same) return same.error();
    number = *std::move(same);
    return {};
  };
  if (works([&] { return store_.read(look); }) && !number.empty()) return number;
  const auto keep_it = [&](store::WriteTx& tx) -> Result<void> {
    auto kept = write(tx, journal, broken);
    if (!kept) return kept.error();
    number = *std::move(kept);
    return {};
  };
  // Whether it could be kept or not: whoever asked is told that nothing was changed.
  if (!works([&] { return store_.write(keep_it); })) number = new_number();
  return number;
}

Result<std::string> Incidents::write(store::WriteTx& tx, Id journal, const BrokenPromise& broken) {
  auto same = known(tx, journal, broken);
  if (!same || !same->empty()) return same;
  auto number = new_number();
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

std::string Incidents::new_number() const { return to_text(new_id_()).substr(0, 8); }

}  // namespace penstock::charts
