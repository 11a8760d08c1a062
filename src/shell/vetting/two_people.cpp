// What concerns two people: a pen or a cartridge that is somebody else's and was used here, which
// happened, so it enters after a question, and an injection from it was a shared pen on both
// records (H13); and what may not be moved from one to the other.
#include <algorithm>

#include "core/watch/watch.hpp"
#include "shell/claims/claims.hpp"
#include "shell/rows/rows.hpp"
#include "shell/vetting/so_far.hpp"
#include "shell/vetting/vetting.hpp"

namespace penstock::vetting {
namespace {

using namespace journal;

// Blood may have met it: what was only looked at, primed or counted exposes nobody.
bool exposes(const Fact& fact) {
  const auto& payload = said_by(fact);
  return std::holds_alternative<Injected>(payload) || std::holds_alternative<PenShared>(payload);
}

const ledger::Pen* pen_of(const ledger::Ledger& ledger, const Id& thing) {
  if (const auto* cartridge = ledger.cartridge(thing)) return ledger.pen(cartridge->last_pen);
  return ledger.pen(thing);
}

Fact shared_there(const Chart& owner, const ledger::Pen& pen, const std::string& with,
                  const Fact& cause) {
  Fact fact;
  fact.id = id_from("shared" + to_text(cause.id) + to_text(pen.id), store::sha256);
  fact.journal = owner.journal;
  fact.happened = owner.zone.when(cause.happened.at);
  fact.recorded = cause.recorded;
  fact.author = cause.author;
  fact.told_by = cause.told_by;
  fact.source = cause.source;
  fact.payload = PenShared{pen.id, with, ""};
  return fact;
}

}  // namespace

Result<OfAnother> of_another(const charts::ZoneOf& zone, store::ReadTx& tx, const Chart& person,
                             std::span<const Fact* const> fresh, const NewId& new_id,
                             const Caller& caller) {
  OfAnother out;
  std::vector<Id> asked, shared;
  for (const auto* fact : fresh) {
    const auto things = claims::of_others(tx, person.journal, {fact, 1});
    if (!things) return things.error();
    for (const auto& [thing, whose] : *things) {
      if (std::ranges::find(asked, whose) == asked.end()) {
        asked.push_back(whose);
        auto args = claims::args_of_owner(tx, whose);
        if (!args) return args.error();
        out.questions.push_back(
            {Kind::refused, std::string(codes::ask_used_of_another), *std::move(args), ""});
      }
      if (!exposes(*fact)) continue;
      const auto owner = charts::load(zone, tx, whose);
      if (!owner) return owner.error();
      const auto* pen = pen_of((*owner)->ledger, thing);
      if (pen == nullptr || std::ranges::find(shared, pen->id) != shared.end()) continue;
      shared.push_back(pen->id);
      const auto& with = person.person.full_name;
      if (std::ranges::find(pen->shared, with, &ledger::SharedWith::with) != pen->shared.end())
        continue;
      out.there.push_back(shared_there(**owner, *pen, with, *fact));
      out.opened.push_back(exposure_question(person, **owner, *pen, with, *fact, new_id, caller));
    }
  }
  return out;
}

namespace {

// A line that was checked, asked about, answered or given from would leave that to nobody, and take
// its number to somebody whose paper nobody read (H40, H54).
bool hangs_on(const Chart& person, const Id& line) {
  return std::ranges::any_of(person.history.facts, [&](const Effective& one) {
    return std::visit(
        [&](const auto& said) {
          if constexpr (requires { said.line == line; }) return said.line == line;
          return false;
        },
        *one.payload);
  });
}

}  // namespace

Result<std::optional<Objection>> stays_here(const Fact& voiding, const ChartPtr& person,
                                            const Clinic& clinic, const charts::ZoneOf& zone,
                                            Instant now) {
  using Stays = std::optional<Objection>;
  const auto refused = [](std::string_view code) {
    return Stays(Objection{{Kind::refused, std::string(code), {}, ""}, false});
  };
  const auto& target = std::get<Correction>(voiding.payload).target;
  const auto* stands = journal::find(person->history, target);
  if (stands == nullptr) {
    // Sent again it is the same move; to somebody else it would stand on two records.
    const bool again =
        std::ranges::any_of(person->facts, [&](const Fact& one) { return one.id == voiding.id; });
    return again ? Stays() : refused(codes::correction_target);
  }
  if (std::holds_alternative<OrderLineSigned>(*stands->payload) && hangs_on(*person, target))
    return refused(codes::move_line_stands);
  auto against = object_to(voiding, *person, clinic, now);
  // An order that was copied onto the wrong person goes, though it was their only basal insulin.
  const bool basal_alone = against.size() == 1 && against.front().error.code == codes::ask_no_basal;
  if (!against.empty() && !basal_alone)
    return Stays(Objection{std::move(against.front().error), false});
  SoFar without(zone, person);
  without.take(voiding);
  const auto after = without.chart();
  if (!after) return after.error();
  auto back = gives_back(*person, **after, clinic, now);
  if (back) return Stays(Objection{*std::move(back), true});
  return basal_alone ? Stays(std::move(against.front())) : Stays();
}

Result<store::Appended> append_one(const charts::ZoneOf& zone, store::WriteTx& tx, const Fact& fact,
                                   std::optional<std::uint64_t> seen, const Clinic& clinic) {
  const std::vector<store::NewFact> facts{packed(fact)};
  const auto appended = tx.append(fact.journal, facts, seen);
  if (!appended) return appended.error();
  const auto after = charts::load(zone, tx, fact.journal);
  if (!after) return after.error();
  if (const auto put = rows::put(tx, rows::row_of(**after, clinic), clinic); !put)
    return put.error();
  return *appended;
}

namespace {

// Identities made from the move itself, so that the same move sent twice is one (H07).
Id identity_of(std::string_view what, const Move& move, Id from) {
  const auto text = std::string(what) + to_text(move.fact) + to_text(from) + to_text(move.to);
  return id_from(text, store::sha256);
}

}  // namespace

Result<Moved> moved(const Move& move, const Chart& person, const Caller& caller) {
  const auto from = person.journal;
  const auto* stands = journal::find(person.history, move.fact);
  const auto original = std::ranges::find(person.facts, move.fact, &Fact::id);
  if (original == person.facts.end() || std::holds_alternative<Correction>(original->payload) ||
      std::holds_alternative<PersonRegistered>(original->payload)) {
    return Error{Kind::refused, std::string(codes::correction_target), {}, "/fact"};
  }
  Fact there = *original;
  if (stands != nullptr) {
    there.happened = stands->happened;
    there.payload = *stands->payload;
  }
  // What was agreed with somebody else is nothing of theirs.
  if (auto* made = std::get_if<ContactMade>(&there.payload)) made->appointment.reset();
  there.id = identity_of("move", move, from);
  there.journal = move.to;
  there.recorded = caller.now;
  there.author = caller.author;
  Fact here;
  here.id = identity_of("void", move, from);
  here.journal = from;
  here.happened =
      original->happened;  // not the moment of the move: sent again, it must be the same fact
  here.recorded = there.recorded;
  here.author = there.author;
  here.source = "bench";
  here.payload = Correction{move.fact, move.reason, true, nullptr};
  for (const auto& fact : {here, there}) {
    if (const auto good = journal::checked(fact); !good) return located(good.error(), "/reason");
  }
  return Moved{std::move(here), std::move(there)};
}

Result<Arriving> meets_there(const charts::ZoneOf& zone, store::Store& store, const Fact& there,
                             const Chart& right, const Clinic& clinic, const NewId& new_id,
                             const Caller& caller) {
  Arriving out;
  const auto read = store.read([&](store::ReadTx& tx) -> Result<void> {
    out = {};
    const auto known = is_known(tx, there);
    if (!known) return known.error();
    if (*known) return {};
    out.objections = object_to(there, right, clinic, caller.now);
    // A pen moves with the fact that gives it, a cartridge with its load: they are theirs then.
    if (std::holds_alternative<PenGiven>(there.payload) ||
        std::holds_alternative<CartridgeLoaded>(there.payload))
      return {};
    const auto* one = &there;
    auto shared = of_another(zone, tx, right, {&one, 1}, new_id, caller);
    if (!shared) return shared.error();
    out.shared = *std::move(shared);
    for (const auto& question : out.shared.questions) out.objections.push_back({question, true});
    return {};
  });
  if (!read) return read.error();
  return out;
}

Result<std::vector<Fact>> arrive(const charts::ZoneOf& zone, store::WriteTx& tx, const Fact& there,
                                 const Clinic& clinic, const NewId& new_id, const Caller& caller) {
  const auto before = charts::load(zone, tx, there.journal);
  if (!before) return before.error();
  const auto arrived = append_one(zone, tx, there, std::nullopt, clinic);
  if (!arrived) return arrived.error();
  if (!watch::may_open_question(there)) return std::vector<Fact>{};
  const auto after = charts::load(zone, tx, there.journal);
  if (!after) return after.error();
  auto questions = questions_opened_by(**before, **after, there, new_id, caller);
  for (const auto& question : questions) {
    const auto asked = append_one(zone, tx, question, std::nullopt, clinic);
    if (!asked) return asked.error();
  }
  return questions;
}

}  // namespace penstock::vetting
