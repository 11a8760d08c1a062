// Out of the clinic's stock into somebody's hands: one movement in the clinic's journal and what
// went home in the person's, in one transaction. Handing out is a plan: what has expired or was
// called back is refused, and what the order does not name is asked about (H03, H04).
#include <algorithm>

#include "edge/json/json.hpp"
#include "shell/desk/internal/inside.hpp"
#include "shell/vetting/products/products.hpp"

namespace penstock::desk {
namespace {

using namespace journal;

// What is written at home has its identity from the clinic's fact, so that a retry is one (H07).
Id written_with(std::string_view what, Id fact) {
  return id_from(std::string(what) + to_text(fact), store::sha256);
}

/// What the movement is for the person: cartridges of an insulin, or needles of a length.
Result<Payload> given_payload(const StockMoved& moved, const Clinic& clinic) {
  const auto* lot = clinic.stock.lot(moved.item, moved.lot);
  const auto expires = lot != nullptr ? lot->expires : std::nullopt;
  if (const auto* needle = clinic.shelf.needle(moved.item)) {
    return NeedlesGiven{needle->code, needle->thing.length, moved.pieces, moved.lot, expires};
  }
  const auto* cartridge = clinic.shelf.cartridge(moved.item);
  const auto* insulin =
      cartridge != nullptr ? clinic.shelf.insulin(cartridge->thing.insulin) : nullptr;
  if (insulin == nullptr) {
    return Error{Kind::refused,
                 std::string(codes::item_unknown),
                 {arg_text("text", moved.item),
                  arg_text("codes", products::items_meant(moved.item, clinic.shelf))},
                 "/item"};
  }
  return SuppliesGiven{insulin->thing.name,
                       insulin->thing.strength,
                       cartridge->thing.content,
                       moved.pieces,
                       0,
                       moved.lot,
                       expires};
}

struct HandOut {
  Fact moved;
  Fact given;
};

Result<HandOut> hand_out_of(Fact moved, Id person, const Clinic& clinic) {
  auto* movement = std::get_if<StockMoved>(&moved.payload);
  if (movement == nullptr || movement->way != StockWay::handed_out) {
    return Error{Kind::invalid_input,
                 std::string(codes::hand_out_form),
                 {arg_code("kind", name_of(moved.payload))},
                 ""};
  }
  HandOut out{std::move(moved), {}};
  movement = std::get_if<StockMoved>(&out.moved.payload);
  movement->person = person;
  movement->fact = written_with("given", out.moved.id);
  auto payload = given_payload(*movement, clinic);
  if (!payload) return payload.error();
  out.given = out.moved;
  out.given.id = *movement->fact;
  out.given.journal = person;
  out.given.payload = *std::move(payload);
  auto checked = journal::checked(out.given);
  if (!checked) return checked.error();
  return out;
}

/// Everything that speaks against it; the refusals first.
std::vector<Objection> objections(const HandOut& one, const Chart& person, const Clinic& clinic,
                                  Instant now) {
  std::vector<Objection> out;
  const auto& moved = std::get<StockMoved>(one.moved.payload);
  for (auto& found : stock::may_hand_out(clinic.stock, moved.item, moved.lot, moved.pieces,
                                         one.moved.happened.day()))
    out.push_back({std::move(found.error), found.is_question});
  if (auto found = against_order(one.given.payload, person)) out.push_back(*std::move(found));
  for (auto& found : object_to(one.given, person, clinic, now)) {
    const auto same = [&](const Objection& other) { return other.error == found.error; };
    if (std::ranges::none_of(out, same)) out.push_back(std::move(found));
  }
  std::ranges::stable_sort(out, {}, &Objection::is_question);
  return out;
}

}  // namespace

Result<void> take_back_at_home(const Ports& ports, store::WriteTx& tx, const Fact& fact,
                               const std::vector<Fact>& of_clinic, const Clinic& clinic) {
  const auto* correction = std::get_if<Correction>(&fact.payload);
  if (correction == nullptr || correction->replacement != nullptr) return {};
  const auto target = std::ranges::find(of_clinic, correction->target, &Fact::id);
  const auto* moved =
      target == of_clinic.end() ? nullptr : std::get_if<StockMoved>(&target->payload);
  if (moved == nullptr || !moved->person || !moved->fact) return {};
  Fact at_home = fact;
  at_home.id = written_with("taken back", fact.id);
  at_home.journal = *moved->person;
  at_home.payload = Correction{*moved->fact, correction->reason, false, nullptr};
  const auto voided = append_one(ports.zone, tx, at_home, std::nullopt, clinic);
  if (!voided) return voided.error();
  return {};
}

Result<json::Value> Desk::Inside::hand_out(Id person, const json::Value& request,
                                           const Caller& caller) {
  const auto named = named_clinic();
  if (!named) return named.error();
  const auto folded = this->person(person);
  if (!folded) return folded.error();
  auto incoming = read_for_clinic(request, **named, (*folded)->zone, caller);
  if (!incoming) return incoming.error();
  if (incoming->facts.size() != 1) {
    return Error{Kind::invalid_input,
                 std::string(codes::hand_outs_many),
                 {arg_count("facts", std::ssize(incoming->facts))},
                 "/facts"};
  }
  json::Value answer;
  const auto written = ports.store->write([&](store::WriteTx& tx) -> Result<void> {
    answer = json::null();
    // As it stands in this transaction: somebody else may have taken the last one.
    if (const auto fresh = refresh_clinic(tx); !fresh) return fresh.error();
    const auto clinic = this->clinic();
    const auto one = hand_out_of(incoming->facts.front(), person, *clinic);
    if (!one) return one.error();
    const auto known = is_known(tx, one->moved);
    const auto so_far = charts::load(ports.zone, tx, person);
    if (!known || !so_far) return known ? so_far.error() : known.error();
    std::vector<Error> questions;
    if (!*known) {
      for (auto& found : objections(*one, **so_far, *clinic, caller.now)) {
        if (!found.is_question) return found.error;
        questions.push_back(std::move(found.error));
      }
    }
    if (!questions.empty() && !incoming->confirmed) {
      answer = ask_document(caller.words, questions);
      return questions.front();  // rolls back: nothing enters before the yes
    }
    const std::vector moved{packed(one->moved)};
    const auto out = tx.append(clinic->journal, moved, std::nullopt);
    if (!out) return out.error();
    const auto home = append_one(ports.zone, tx, one->given, incoming->seen, *clinic);
    if (!home) return home.error();
    answer = recorded_document(*home, {});
    return {};
  });
  const bool asks = answer.type == json::Type::object && answer.find("ask") != nullptr;
  if (!written && !asks) return written.error();
  if (const auto fresh = refresh_clinic(); !fresh) return fresh.error();
  return answer;
}

}  // namespace penstock::desk
