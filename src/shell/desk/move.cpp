// A fact in the wrong person's journal: voided there and recorded in the right one, in one
// transaction. It is hidden from view where it was, and kept in the audit (H19).
#include <algorithm>

#include "core/watch/watch.hpp"
#include "edge/json/json.hpp"
#include "shell/claims/claims.hpp"
#include "shell/desk/internal/inside.hpp"

namespace penstock::desk {
namespace {

using namespace journal;

struct Move {
  Id fact;
  std::string wanted;
  Id to;
  std::string reason;
  std::optional<std::uint64_t> seen;
  bool confirmed = false;
};

Result<Move> read_move(const json::Value& request) {
  Move move;
  std::optional<std::int64_t> seen;
  json::Reader reader(request);
  reader.need("fact", move.fact);
  reader.need("to", move.wanted);
  reader.need("reason", move.reason);
  reader.may("seen_version", seen);
  reader.may("confirmed", move.confirmed);
  if (const auto done = reader.done(); !done) return done.error();
  if (seen) move.seen = static_cast<std::uint64_t>(std::max<std::int64_t>(0, *seen));
  return move;
}

// Identities made from the move itself, so that the same move sent twice is one (H07).
Id identity_of(std::string_view what, const Move& move, Id from) {
  const auto text = std::string(what) + to_text(move.fact) + to_text(from) + to_text(move.to);
  return id_from(text, store::sha256);
}

}  // namespace

Result<json::Value> Desk::Inside::move_fact(Id from, const json::Value& request,
                                            const Caller& caller) {
  const auto clinic = named_clinic();
  if (!clinic) return clinic.error();
  auto move = read_move(request);
  if (!move) return move.error();
  const auto right = find_person(move->wanted, caller);
  if (!right) return located(right.error(), "/to");
  move->to = *right;
  if (move->to == from) return Error{Kind::refused, std::string(codes::move_to_self), {}, "/to"};
  const auto person = this->person(from);
  if (!person) return person.error();
  const auto* stands = journal::find((*person)->history, move->fact);
  const auto voiding = identity_of("void", *move, from);
  const auto original = std::ranges::find((*person)->facts, move->fact, &Fact::id);
  if (original == (*person)->facts.end() || std::holds_alternative<Correction>(original->payload) ||
      std::holds_alternative<PersonRegistered>(original->payload)) {
    return Error{Kind::refused, std::string(codes::correction_target), {}, "/fact"};
  }
  Fact there = *original;
  if (stands != nullptr) {
    there.happened = stands->happened;
    there.payload = *stands->payload;
  }
  there.id = identity_of("move", *move, from);
  there.journal = move->to;
  there.recorded = caller.now;
  there.author = caller.author;
  Fact here;
  here.id = voiding;
  here.journal = from;
  here.happened =
      original->happened;  // not the moment of the move: sent again, it must be the same fact
  here.recorded = there.recorded;
  here.author = there.author;
  here.source = "bench";
  here.payload = Correction{move->fact, move->reason, true, nullptr};
  for (const auto& fact : {here, there}) {
    if (const auto good = journal::checked(fact); !good) return located(good.error(), "/reason");
  }
  const auto stays = vetting::stays_here(here, *person, **clinic, ports.zone, caller.now);
  if (!stays) return stays.error();
  if (*stays && !(*stays)->is_question) return located((*stays)->error, "/fact");
  if (*stays && !move->confirmed) return ask_document(caller.words, {(*stays)->error});
  store::Appended left;
  const auto written = ports.store->write([&](store::WriteTx& tx) -> Result<void> {
    const auto voided = append_one(ports.zone, tx, here, move->seen, **clinic);
    if (!voided) return voided.error();
    left = *voided;
    if (const auto claimed = claims::hand_over(tx, from, there); !claimed) return claimed;
    return about(move->to,
                 [&] { return arrive(ports.zone, tx, there, **clinic, ports.new_id, caller); });
  });
  if (!written) return written.error();
  return json::object({{"recorded", list({json::string(here.id)})},
                       {"known", list()},
                       {"version", json::count(static_cast<std::int64_t>(left.version))},
                       {"moved", json::string(there.id)},
                       {"to", json::string(move->to)},
                       {"questions", list()}});
}

}  // namespace penstock::desk
