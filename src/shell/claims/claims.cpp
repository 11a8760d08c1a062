#include "shell/claims/claims.hpp"

#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <type_traits>
#include <utility>
#include <variant>

#include "edge/summary/summary.hpp"
#include "shell/charts/charts.hpp"
#include "shell/names/names.hpp"

namespace penstock::claims {
namespace {

using namespace journal;

constexpr std::size_t id_size = 32;

constexpr std::string_view claim_names = "thing/";
std::string name_of_claim(Id thing) { return std::string(claim_names) + to_text(thing); }
// Who else may name a journal's things: looked at when its page is read, so that a correction in
// either of them counts at once.
std::string name_of_clashes(Id journal) { return "clashes/" + to_text(journal); }

struct Clash {
  Id journal;  // the other one
  Id thing;
};

std::string line_of(const Clash& clash) {
  return to_text(clash.journal) + " " + to_text(clash.thing) + "\n";
}

Result<std::vector<Clash>> clashes_of(store::ReadSettings& settings, Id journal) {
  const auto kept = settings.setting(name_of_clashes(journal));
  if (!kept) return kept.error();
  std::vector<Clash> out;
  const auto all = kept->value_or("");
  constexpr auto line_size = 2 * id_size + 2;
  for (std::size_t at = 0; at + line_size <= all.size(); at += line_size) {
    const auto line = std::string_view(all).substr(at, line_size);
    const auto other = parse_id(line.substr(0, id_size));
    const auto thing = parse_id(line.substr(id_size + 1, id_size));
    if (other && thing) out.push_back({*other, *thing});
  }
  return out;
}

Result<void> add_clash(store::WriteTx& tx, Id journal, const Clash& clash) {
  const auto others = clashes_of(tx, journal);
  if (!others) return others.error();
  std::string all;
  for (const auto& one : *others) {
    if (one.journal == clash.journal && one.thing == clash.thing) return {};
    all += line_of(one);
  }
  return tx.put_setting(name_of_clashes(journal), all + line_of(clash));
}

Result<void> tell_both(store::WriteTx& tx, Id one, Id other, Id thing) {
  if (const auto told = add_clash(tx, one, {other, thing}); !told) return told;
  return add_clash(tx, other, {one, thing});
}

// What a fact lays claim to.
std::optional<Id> claimed(const Payload& payload) {
  if (const auto* pen = std::get_if<PenGiven>(&payload)) return pen->pen;
  if (const auto* load = std::get_if<CartridgeLoaded>(&payload)) return load->cartridge;
  return std::nullopt;
}

// The pens and cartridges that a fact names, whatever it says of them.
std::vector<Id> named(const Payload& payload) {
  std::vector<Id> out;
  const auto add = [&out](const auto& member) {
    using Member = std::remove_cvref_t<decltype(member)>;
    if constexpr (std::is_same_v<Member, Id>) out.push_back(member);
    if constexpr (std::is_same_v<Member, std::optional<Id>>) {
      if (member) out.push_back(*member);
    }
  };
  std::visit(
      [&add](const auto& said) {
        if constexpr (requires { said.pen; }) add(said.pen);
        if constexpr (requires { said.cartridge; }) add(said.cartridge);
      },
      payload);
  if (const auto* correction = std::get_if<Correction>(&payload)) {
    if (correction->replacement) out = named(correction->replacement->payload);
  }
  return out;
}

// Whether a pen of this serial number was given in a journal, as it stands now.
Result<bool> bears(store::ReadTx& tx, Id journal, std::string_view serial) {
  const auto stored = tx.load(journal);
  if (!stored) return stored.error();
  const auto read = charts::unpack(journal, stored->all());
  if (!read) return read.error();
  const auto history = journal::read(read->facts);
  return std::ranges::any_of(history.facts, [&](const Effective& fact) {
    const auto* given = std::get_if<PenGiven>(fact.payload);
    return given != nullptr && names::same(given->serial, serial);
  });
}

}  // namespace

Result<std::vector<Foreign>> of_others(store::ReadTx& tx, Id journal, std::span<const Fact> facts) {
  std::vector<Foreign> out;
  std::set<Id> seen;
  for (const auto& fact : facts) {
    for (const auto& thing : named(fact.payload)) {
      if (seen.contains(thing)) continue;
      const auto owner = owner_of(tx, thing);
      if (!owner) return owner.error();
      const bool is_foreign = *owner && **owner != journal;
      if (is_foreign) {
        const auto known = tx.find(fact.id);
        if (!known) return known.error();
        if (known->has_value()) continue;
        out.push_back({thing, **owner});
      }
      seen.insert(thing);
    }
  }
  return out;
}

Result<std::vector<Arg>> args_of_owner(store::ReadTx& tx, Id owner) {
  const auto stored = tx.summary(owner);
  if (!stored) return stored.error();
  const auto row = stored->has_value()
                       ? summary::unpack(owner, (*stored)->journal_version, (*stored)->bytes)
                       : summary::Row{};
  const bool is_named = row && !row->full_name.empty();
  return std::vector<Arg>{arg_text("name", is_named ? row->full_name : to_text(owner)),
                          arg_text("number", is_named ? row->number : "")};
}

Result<void> serial_is_free(store::ReadTx& tx, const Fact& fact) {
  const auto* given = std::get_if<PenGiven>(&fact.payload);
  if (given == nullptr) return {};
  const auto key = summary::key_of(given->serial, {names::folded, names::look});
  for (const auto& tag : summary::tags_of_serial(key)) {
    const auto others = tx.tagged(tag);
    if (!others) return others.error();
    for (const auto& other : *others) {
      if (other == fact.journal) continue;
      const auto theirs = bears(tx, other, given->serial);
      if (!theirs) return theirs.error();
      if (!*theirs) continue;
      auto args = args_of_owner(tx, other);
      if (!args) return args.error();
      args->push_back(arg_text("serial", given->serial));
      return Error{Kind::refused, std::string(codes::serial_of_another), *std::move(args), ""};
    }
  }
  return {};
}

Result<std::optional<Id>> owner_of(store::ReadSettings& settings, Id thing) {
  const auto owner = settings.setting(name_of_claim(thing));
  if (!owner) return owner.error();
  return owner->has_value() ? parse_id(**owner) : std::optional<Id>{};
}

Result<void> may_lay(store::ReadSettings& settings, const Fact& fact) {
  const auto thing = claimed(fact.payload);
  if (!thing) return {};
  const auto owner = owner_of(settings, *thing);
  if (!owner) return owner.error();
  if (!*owner || **owner == fact.journal) return {};
  const bool pen = std::holds_alternative<PenGiven>(fact.payload);
  return Error{Kind::refused,
               std::string(pen ? codes::pen_of_another : codes::cartridge_of_another),
               {},
               ""};
}

Result<void> lay(store::WriteTx& tx, const Fact& fact) {
  if (const auto may = may_lay(tx, fact); !may) return may;
  if (const auto free = serial_is_free(tx, fact); !free) return free;
  const auto thing = claimed(fact.payload);
  return thing ? tx.put_setting(name_of_claim(*thing), to_text(fact.journal)) : Result<void>{};
}

Result<std::vector<Error>> questions(store::ReadTx& tx, Id journal, std::span<const Fact> facts) {
  const auto foreign = of_others(tx, journal, facts);
  if (!foreign) return foreign.error();
  std::map<Id, std::int64_t> things;
  for (const auto& one : *foreign) ++things[one.owner];
  std::vector<Error> out;
  for (const auto& [owner, count] : things) {
    auto whose = args_of_owner(tx, owner);
    if (!whose) return whose.error();
    whose->insert(whose->begin(), arg_count("things", count));
    out.push_back(
        {Kind::refused, std::string(codes::ask_things_of_another), *std::move(whose), ""});
  }
  return out;
}

Result<void> lay_all(store::WriteTx& tx, Id journal, std::span<const Fact> facts) {
  const auto foreign = of_others(tx, journal, facts);
  if (!foreign) return foreign.error();
  for (const auto& one : *foreign) {
    if (const auto told = tell_both(tx, journal, one.owner, one.thing); !told) return told;
  }
  for (const auto& fact : facts) {
    const auto thing = claimed(fact.payload);
    if (!thing) continue;
    const auto owner = owner_of(tx, *thing);
    if (!owner) return owner.error();
    if (*owner) continue;
    const auto kept = tx.put_setting(name_of_claim(*thing), to_text(journal));
    if (!kept) return kept;
  }
  return {};
}

Result<void> hand_over(store::WriteTx& tx, Id from, const Fact& there) {
  for (const auto& thing : named(there.payload)) {
    const auto owner = owner_of(tx, thing);
    if (!owner) return owner.error();
    // Whoever had it may still name it in other facts.
    if (*owner && **owner != there.journal) {
      if (const auto told = tell_both(tx, there.journal, **owner, thing); !told) return told;
    }
    const bool is_theirs = *owner && **owner != from;
    if (claimed(there.payload) != thing || is_theirs) continue;
    const auto kept = tx.put_setting(name_of_claim(thing), to_text(there.journal));
    if (!kept) return kept;
  }
  return {};
}

void gather(Claimed& all, Id journal, std::span<const Fact> facts) {
  for (const auto& fact : facts) {
    if (const auto thing = claimed(fact.payload)) all[*thing].insert(journal);
  }
}

Result<std::vector<Id>> wrong(store::ReadSettings& settings, const Claimed& all) {
  std::vector<Id> out;
  for (const auto& [thing, journals] : all) {
    const auto owner = owner_of(settings, thing);
    if (!owner) return owner.error();
    if (!*owner || !journals.contains(**owner)) out.push_back(*journals.begin());
  }
  return out;
}

Result<std::vector<Id>> owners_gone(store::ReadTx& tx) {
  const auto owners = tx.settings(claim_names);
  if (!owners) return owners.error();
  const auto journals = tx.journals();
  if (!journals) return journals.error();
  std::set<Id> gone;
  for (const auto& owner : *owners) {
    if (const auto id = parse_id(owner)) gone.insert(*id);
  }
  for (const auto& info : *journals) gone.erase(info.journal);
  return std::vector<Id>(gone.begin(), gone.end());
}

Result<std::vector<ledger::Claim>> elsewhere(store::ReadTx& tx, Id journal) {
  const auto clashes = clashes_of(tx, journal);
  if (!clashes) return clashes.error();
  std::vector<ledger::Claim> out;
  std::map<Id, std::vector<Id>> things;
  for (const auto& clash : *clashes) things[clash.journal].push_back(clash.thing);
  for (const auto& [other, of_other] : things) {
    const auto stored = tx.load(other);
    if (!stored) return stored.error();
    const auto read = charts::unpack(other, stored->all());
    if (!read) return read.error();
    const auto history = journal::read(read->facts);
    std::set<Id> still(of_other.begin(), of_other.end());
    for (const auto& fact : history.facts) {
      for (const auto& thing : named(*fact.payload)) {
        if (still.erase(thing) > 0) out.push_back({other, thing, fact.fact->id, fact.happened});
      }
    }
  }
  return out;
}

}  // namespace penstock::claims
