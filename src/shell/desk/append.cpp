// Facts into a person's journal: vetted, appended, and their row written.
//
// Vetting reads the journal, and a long one takes long: it is done on a consistent view before the
// writer's lock is taken, so that nobody else's record waits for it (S15). Under the lock only what
// changed meanwhile is vetted anew.
#include <algorithm>

#include "core/order/asked/asked.hpp"
#include "edge/json/json.hpp"
#include "shell/claims/claims.hpp"
#include "shell/desk/internal/inside.hpp"

namespace penstock::desk {
namespace {

using namespace journal;

struct Asked {
  Id journal;
  std::vector<Fact>& facts;
  const Caller& caller;
  bool confirmed = false;
};

struct Vetted {
  ChartPtr before;
  std::vector<const Fact*> fresh;  // those that the journal does not hold already
  std::vector<Fact> opened;        // H36: questions that come with them
  std::vector<Fact> there;         // H13: in the journals of whose pen was used here
  summary::Row row;                // of the journal with all of them; its version is the append's
  std::vector<Error> questions;    // want a yes first
  std::optional<Error> differs;    // H60: a reading that is recorded, and checks nothing
};

Result<Vetted> vet(const Ports& ports, charts::Charts& charts, store::ReadTx& tx,
                   const Asked& asked, const Clinic& clinic) {
  const auto before = chart_before(ports.zone, charts, tx, asked.journal);
  if (!before) return before.error();
  Vetted out;
  out.before = *before;
  put_behind(asked.facts, (*before)->facts);
  const auto& zone = (*before)->version > 0 ? (*before)->zone : clinic.zone;
  auto behind = clock_set_back(tx, (*before)->facts, zone, asked.caller.now);
  if (!behind) return behind.error();
  if (*behind && !asked.confirmed) out.questions.push_back(**std::move(behind));
  SoFar so_far(ports.zone, *before);
  for (const auto& fact : asked.facts) {
    const auto known = is_known(tx, fact);
    if (!known) return known.error();
    if (const auto* check = std::get_if<OrderLineChecked>(&fact.payload)) {
      if (const auto read = so_far.chart(); !read) return read.error();
      out.differs = order::reads_otherwise(so_far.known().order, *check);
      if (out.differs && asked.facts.size() > 1) return *out.differs;
    }
    if (*known) continue;
    if (auto gone = vetting::zone_gone(ports.zone, asked.facts, fact)) return *std::move(gone);
    // What came in with a file is said by the file's own way in: taking it back takes all of it.
    if (std::holds_alternative<DiaryImported>(vetting::said_by(fact)))
      return Error{Kind::refused, std::string(vetting::codes::imported_by_file), {}, ""};
    if (const auto may = claims::may_lay(tx, as_recorded(fact)); !may) return may.error();
    if (const auto free = claims::serial_is_free(tx, as_recorded(fact)); !free) return free.error();
    if (looks_at_journal(fact.payload)) {
      if (const auto read = so_far.chart(); !read) return read.error();
    }
    for (auto& objection : object_to(fact, so_far.known(), clinic, asked.caller.now)) {
      if (!objection.is_question) return objection.error;
      if (!asked.confirmed) out.questions.push_back(std::move(objection.error));
    }
    so_far.take(fact);
    out.fresh.push_back(&fact);
  }
  const auto corrects = [](const Fact* fact) {
    return std::holds_alternative<Correction>(fact->payload);
  };
  if (!asked.confirmed && std::ranges::any_of(out.fresh, corrects)) {
    const auto after = so_far.chart();
    if (!after) return after.error();
    auto back = vetting::gives_back(**before, **after, clinic, asked.caller.now);
    if (back) out.questions.push_back(*std::move(back));
  }
  auto others =
      vetting::of_another(ports.zone, tx, **before, out.fresh, ports.new_id, asked.caller);
  if (!others) return others.error();
  if (!asked.confirmed) std::ranges::move(others->questions, std::back_inserter(out.questions));
  if (!out.questions.empty()) return out;
  // H36, H13: what was seen on the skin, and a pen that was shared, opens its question with it, so
  // that neither is there without the other.
  if (std::ranges::any_of(asked.facts, watch::may_open_question)) {
    const auto after = so_far.chart();
    if (!after) return after.error();
    out.opened =
        questions_opened_by(**before, **after, asked.facts.back(), ports.new_id, asked.caller);
  }
  std::ranges::move(others->opened, std::back_inserter(out.opened));
  for (const auto& fact : out.opened) so_far.take(fact);
  out.there = std::move(others->there);
  const auto after = so_far.chart();
  if (!after) return after.error();
  out.row = rows::row_of(**after, clinic);
  return out;
}

Result<bool> is_still(store::ReadTx& tx, const Chart& before) {
  const auto info = tx.journal(before.journal);
  if (!info) return info.error();
  return info->has_value() ? (*info)->version == before.version && (*info)->head == before.head
                           : before.version == 0;
}

}  // namespace

Result<json::Value> Desk::Inside::append(Id journal, std::vector<Fact> facts,
                                         std::optional<std::uint64_t> seen, bool confirmed,
                                         bool creates, const Caller& caller) {
  const auto clinic_now = clinic();
  const Asked asked{journal, facts, caller, confirmed};
  Vetted vetted;
  const auto vet_in = [&](store::ReadTx& tx) -> Result<void> {
    auto done = vet(ports, cache, tx, asked, *clinic_now);
    if (!done) return done.error();
    vetted = *std::move(done);
    if (!vetted.questions.empty())
      return vetted.questions.front();  // nothing enters before the yes
    return {};
  };
  const auto ask_or = [&](const Error& error) -> Result<json::Value> {
    if (!vetted.questions.empty()) return ask_document(caller.words, vetted.questions);
    return error;
  };
  // Only rows of this making are found by their number, or by the serial number of a pen.
  const auto gives_pen = [](const Fact& fact) {
    return std::holds_alternative<PenGiven>(as_recorded(fact).payload);
  };
  if (std::ranges::any_of(facts, gives_pen)) {
    if (const auto up = everybody({}); !up) return up.error();
  }
  if (const auto looked = ports.store->read(vet_in); !looked) return ask_or(looked.error());
  if (vetted.row.number != vetted.before->person.number) {
    if (const auto up = everybody({}); !up) return up.error();
  }
  json::Value answer;
  const auto written = ports.store->write([&](store::WriteTx& tx) -> Result<void> {
    if (creates) {
      const auto created = tx.create_journal(journal, store::Subject::person);
      if (!created) return created.error();
    }
    const auto still = is_still(tx, *vetted.before);
    if (!still) return still.error();
    if (!*still) {
      if (const auto anew = vet_in(tx); !anew) return anew;
    }
    std::vector<store::NewFact> packed_facts;
    for (const auto* all : {&facts, &vetted.opened}) {
      for (const auto& fact : *all) packed_facts.push_back(packed(fact));
    }
    for (const auto* fact : vetted.fresh) {
      if (const auto claimed = claims::lay(tx, as_recorded(*fact)); !claimed) return claimed;
      if (const auto told = claims::lay_all(tx, journal, {fact, 1}); !told) return told;
    }
    for (const auto& fact : vetted.there) {
      const auto arrived = about(fact.journal, [&] {
        return arrive(ports.zone, tx, fact, *clinic_now, ports.new_id, caller);
      });
      if (!arrived) return arrived.error();
    }
    if (vetted.row.number != vetted.before->person.number) {
      const auto free = rows::number_is_free(tx, vetted.row.number_key, journal);
      if (!free) return located(free.error(), creates ? "/facts/0/number" : "");
    }
    const auto appended = tx.append(journal, packed_facts, seen);
    if (!appended) return appended.error();
    answer = recorded_document(*appended, vetted.opened);
    if (appended->version == vetted.before->version) return {};  // all of it was there already
    if (const auto right = clock_said_right(tx, confirmed, caller.now); !right) return right;
    auto row = vetted.row;
    row.version = appended->version;
    return rows::put(tx, row, *clinic_now);
  });
  if (!written) return ask_or(written.error());
  if (vetted.differs) return *vetted.differs;
  return answer;
}

}  // namespace penstock::desk
