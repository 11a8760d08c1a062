// Whose a pen or a cartridge is (H13): it belongs to one journal for ever, as a setting for each
// says, written with the fact. What is planned for somebody else is refused. What happened is not:
// it enters after a question, the thing stays whose it was, and both people's pages say so for as
// long as both journals name it.
#pragma once

#include <map>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/journal/journal.hpp"
#include "core/ledger/ledger.hpp"
#include "shell/store/store.hpp"

namespace penstock::claims {

namespace codes {
inline constexpr std::string_view pen_of_another = "desk.pen_of_another";
inline constexpr std::string_view cartridge_of_another = "desk.cartridge_of_another";
inline constexpr std::string_view serial_of_another =
    "desk.serial_of_another";  // [serial, name, number]
inline constexpr std::string_view ask_things_of_another =
    "ask.things_of_another";  // [things, name, number]
}  // namespace codes

/// Whether a fact may give a pen or load a cartridge. Error: codes::pen_of_another,
/// codes::cartridge_of_another.
Result<void> may_lay(store::ReadSettings& settings, const journal::Fact& fact);
/// The same, and it is theirs from now on.
Result<void> lay(store::WriteTx& tx, const journal::Fact& fact);
/// Whether a fact gives a pen whose serial number nobody else's pen bears; numbers are compared as
/// names are. Finds rows of this making alone. Error: codes::serial_of_another.
Result<void> serial_is_free(store::ReadTx& tx, const journal::Fact& fact);

/// A thing of somebody else's that facts name.
struct Foreign {
  Id thing;
  Id owner;
};
/// What the facts that are not there yet name of other people's, each thing once.
Result<std::vector<Foreign>> of_others(store::ReadTx& tx, Id journal,
                                       std::span<const journal::Fact> facts);
/// Name and number of whoever a thing is, as arguments of a sentence.
Result<std::vector<Arg>> args_of_owner(store::ReadTx& tx, Id owner);
/// What is asked before facts that are not refused enter a journal: one question for each person
/// whose pens or cartridges they name. Facts that are there already are not asked about again.
Result<std::vector<Error>> questions(store::ReadTx& tx, Id journal,
                                     std::span<const journal::Fact> facts);
/// Before such facts enter: what is nobody's becomes theirs; of what is somebody else's both
/// journals are told.
Result<void> lay_all(store::WriteTx& tx, Id journal, std::span<const journal::Fact> facts);
/// The same for a fact that moves, already in its new journal's name: its claim goes with it.
Result<void> hand_over(store::WriteTx& tx, Id from, const journal::Fact& there);

/// What other journals say now of pens and cartridges that this one names, too; a fact that was
/// corrected away says nothing any more.
Result<std::vector<ledger::Claim>> elsewhere(store::ReadTx& tx, Id journal);

/// For verify (S8): which journals lay claim to a thing.
using Claimed = std::map<Id, std::set<Id>>;
void gather(Claimed& claimed, Id journal, std::span<const journal::Fact> facts);
/// A journal for each thing that is nobody's, or whose owner does not lay claim to it.
Result<std::vector<Id>> wrong(store::ReadSettings& settings, const Claimed& claimed);

/// H61: the journals that pens or cartridges are on record as and that are not in the list any
/// more.
Result<std::vector<Id>> owners_gone(store::ReadTx& tx);

/// For tests: whose a thing is. Nothing: nobody's.
Result<std::optional<Id>> owner_of(store::ReadSettings& settings, Id thing);

}  // namespace penstock::claims
