// What is asked before supplies and cartridges are recorded: against the order, the recalls and the
// day printed on them, and against what such a container holds. Records are taken after a yes.
#include "shell/vetting/internal/supplies.hpp"

#include <algorithm>

#include "core/stock/stock.hpp"
#include "core/supply/supply.hpp"
#include "core/units/lot.hpp"

namespace penstock::vetting {
namespace {

using namespace journal;

Objection question(std::string_view code, std::vector<Arg> args) {
  return {{Kind::refused, std::string(code), std::move(args), ""}, true};
}

/// H61: of this person's own lots of that insulin one that was recalled; nullptr: none.
std::string recalled_at_home(const supply::Kind& kind, const Chart& person, const Clinic& clinic) {
  if (clinic.stock.recalls.empty()) return {};
  for (const auto& lot : supply::lots_of(person.history, person.ledger)) {
    if (lot.kind == kind &&
        stock::is_recalled(clinic.stock, clinic.shelf, kind.insulin, kind.strength, lot.lot))
      return lot.lot;
  }
  return {};
}

}  // namespace

std::optional<Objection> against_order(const Payload& given, const Chart& person) {
  const auto name = arg_text("name", person.person.full_name);
  if (const auto* needles = std::get_if<NeedlesGiven>(&given)) {
    const auto chosen = person.skin.rules ? person.skin.rules->needle : std::nullopt;
    if (!chosen || *chosen == needles->length) return std::nullopt;
    return question(codes::ask_other_needle, {arg_text("length", format(needles->length)),
                                              arg_text("chosen", format(*chosen)), name});
  }
  const auto* pen = std::get_if<PenGiven>(&given);
  const auto* supplies = std::get_if<SuppliesGiven>(&given);
  INVARIANT(pen != nullptr || supplies != nullptr);
  const auto& of = pen != nullptr ? pen->insulin : supplies->insulin;
  const auto strength = pen != nullptr ? pen->strength : supplies->strength;
  bool other_strength = false;
  for (const auto& line : person.order.lines) {
    if (line.replaced_by || line.ended || line.text.insulin != of) continue;
    if (line.text.strength == strength) return std::nullopt;
    other_strength = true;
  }
  if (other_strength) {
    return question(codes::ask_strength_not_ordered,
                    {arg_text("insulin", of), arg_strength("strength", strength), name});
  }
  return question(codes::ask_not_ordered, {arg_text("insulin", of), name});
}

namespace internal {

std::optional<Objection> about_given(const SuppliesGiven& given, const Chart& person,
                                     const Clinic& clinic, LocalDay on) {
  if (given.cartridges == 0) return std::nullopt;
  if (stock::is_recalled(clinic.stock, clinic.shelf, given.insulin, given.strength, given.lot))
    return question(codes::ask_given_recalled, {arg_text("lot", given.lot)});
  if (given.expires && *given.expires < on)
    return question(codes::ask_given_expired, {arg_date("last", *given.expires)});
  // What somebody brings along before there is an order is no slip.
  return person.order.lines.empty() ? std::nullopt : against_order(given, person);
}

std::optional<Objection> about_given(const NeedlesGiven& given, const Clinic& clinic, LocalDay on) {
  if (clinic.stock.recall(given.lot, given.needle) != nullptr)
    return question(codes::ask_given_recalled, {arg_text("lot", given.lot)});
  if (given.expires && *given.expires < on)
    return question(codes::ask_given_expired, {arg_date("last", *given.expires)});
  return std::nullopt;
}

std::optional<Objection> about_loaded(const CartridgeLoaded& load, const Chart& person,
                                      const Clinic& clinic, LocalDay on) {
  if (clinic.stock.recall(load.lot, "") != nullptr)
    return question(codes::ask_load_recalled, {arg_text("lot", load.lot)});
  if (load.expires && *load.expires < on)
    return question(codes::ask_load_expired, {arg_date("last", *load.expires)});
  if (lot_key(load.lot).empty()) {
    const supply::Kind kind{load.copy.name, load.copy.strength};
    if (auto lot = recalled_at_home(kind, person, clinic); !lot.empty())
      return question(codes::ask_load_no_lot,
                      {arg_text("lot", lot), arg_text("insulin", load.copy.name)});
  }
  return std::nullopt;
}

std::optional<Objection> about_scale(const ScaleCounted& read, const Chart& person) {
  const auto* cartridge = person.ledger.cartridge(read.cartridge);
  if (cartridge == nullptr || !cartridge->is_loaded() || read.units <= cartridge->content)
    return std::nullopt;
  return question(codes::ask_scale_more,
                  {arg_units("counted", read.units), arg_units("content", cartridge->content)});
}

}  // namespace internal
}  // namespace penstock::vetting
