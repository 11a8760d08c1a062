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

struct Move : vetting::Move {
  std::string wanted;
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

}  // namespace

Result<json::Value> Desk::Inside::move_fact(Id from, const json::Value& request,
                                            const Caller& caller) {
  const auto clinic = named_clinic();
  if (!clinic) return clinic.error();
  auto move = read_move(request);
  if (!move) return move.error();
  const auto right = find_person(move->wanted, caller, whom::Finding::to_write);
  if (!right) return located(right.error(), "/to");
  move->to = *right;
  if (move->to == from) return Error{Kind::refused, std::string(codes::move_to_self), {}, "/to"};
  const auto person = this->person(from);
  if (!person) return person.error();
  const auto made = vetting::moved(*move, **person, caller);
  if (!made) return made.error();
  const auto& here = made->here;
  const auto& there = made->there;
  const auto stays = vetting::stays_here(here, *person, **clinic, ports.zone, caller.now);
  if (!stays) return stays.error();
  if (*stays && !(*stays)->is_question) return located((*stays)->error, "/fact");
  std::vector<Error> questions;
  if (*stays) questions.push_back((*stays)->error);
  const auto other = this->person(move->to);
  if (!other) return other.error();
  const auto theirs = whose(move->to, caller);
  if (!theirs) return theirs.error();
  const auto arriving = vetting::meets_there(ports.zone, *ports.store, there, **other, **clinic,
                                             ports.new_id, caller);
  if (!arriving) return arriving.error();
  for (const auto& objection : arriving->objections) {
    if (!objection.is_question) return located(objection.error, "/fact");
    questions.push_back(objection.error);
  }
  if (!questions.empty() && !move->confirmed) return ask_document(caller.words, questions);
  std::uint64_t version = 0;
  std::vector<Fact> opened;
  const auto written = ports.store->write([&](store::WriteTx& tx) -> Result<void> {
    opened.clear();
    const auto voided = append_one(ports.zone, tx, here, move->seen, **clinic);
    if (!voided) return voided.error();
    if (const auto claimed = claims::hand_over(tx, from, there); !claimed) return claimed;
    auto facts = arriving->shared.there;  // H13: in the journals of whose pen was used
    facts.insert(facts.begin(), there);
    for (const auto& fact : facts) {
      const auto arrived = about(fact.journal, [&] {
        return arrive(ports.zone, tx, fact, **clinic, ports.new_id, caller);
      });
      if (!arrived) return arrived.error();
      if (fact.journal == move->to) std::ranges::copy(*arrived, std::back_inserter(opened));
    }
    for (const auto& question : arriving->shared.opened) {
      const auto asked = append_one(ports.zone, tx, question, std::nullopt, **clinic);
      if (!asked) return asked.error();
    }
    std::ranges::copy(arriving->shared.opened, std::back_inserter(opened));
    const auto left = tx.journal(from);
    if (!left) return left.error();
    version = (*left)->version;
    return {};
  });
  if (!written) return written.error();
  return json::object({{"recorded", list({json::string(here.id)})},
                       {"known", list()},
                       {"version", json::count(static_cast<std::int64_t>(version))},
                       {"moved", json::string(there.id)},
                       {"to", json::string(move->to)},
                       {"whose", *theirs},
                       {"questions", questions_of(opened)}});
}

}  // namespace penstock::desk
