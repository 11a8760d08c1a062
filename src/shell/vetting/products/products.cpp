// An entry of the clinic's own holds for everybody, from the next pen and the next cartridge on
// (H01, H12).
#include "shell/vetting/products/products.hpp"

#include <algorithm>
#include <array>
#include <span>

#include "edge/json/json.hpp"
#include "edge/wire/fact_json.hpp"
#include "shell/names/names.hpp"

namespace penstock::products {
namespace {

using namespace journal;

Error asked(std::string_view code, std::vector<Arg> args) {
  return {Kind::refused, std::string(code), std::move(args), ""};
}

template <class Added, class Thing>
json::Value thing_of(const shelf::Entry<Thing>& entry) {
  const auto told = wire::payload_to_json(Added{entry});
  const auto* inside = told.find("entry");
  const auto* thing = inside == nullptr ? nullptr : inside->find("thing");
  return thing == nullptr ? json::object({}) : *thing;
}

std::string as_text(const json::Value* value) {
  if (value == nullptr || value->type == json::Type::null) return "not said";
  if (value->type == json::Type::boolean) return value->flag ? "yes" : "no";
  return value->type == json::Type::string ? value->text : json::to_text(*value);
}

/// One question for each figure that would be another one.
template <class Added, class Thing>
void figures(const shelf::Entry<Thing>& was, const shelf::Entry<Thing>& would,
             std::vector<Error>& out) {
  const auto before = thing_of<Added>(was), after = thing_of<Added>(would);
  const auto ask = [&](const std::string& field) {
    const auto now = as_text(before.find(field)), then = as_text(after.find(field));
    if (now == then) return;
    out.push_back(asked(codes::ask_shelf_figure,
                        {arg_text("name", was.thing.name), arg_text("code", was.code),
                         arg_code("field", field), arg_text("was", now), arg_text("would", then)}));
  };
  for (const auto& member : before.members) ask(member.key);
  for (const auto& member : after.members) {
    if (before.find(member.key) == nullptr) ask(member.key);
  }
}

bool are_one_kind(const shelf::Insulin& a, const shelf::Insulin& b) {
  return a.strength == b.strength;
}
bool are_one_kind(const shelf::Pen&, const shelf::Pen&) { return true; }
bool are_one_kind(const shelf::Needle& a, const shelf::Needle& b) { return a.length == b.length; }
bool are_one_kind(const shelf::Cartridge& a, const shelf::Cartridge& b) {
  return a.insulin == b.insulin && a.content == b.content && a.fits == b.fits;
}

template <class Added, class Thing>
std::vector<Error> about(const shelf::Entry<Thing>& entry,
                         const std::vector<shelf::Entry<Thing>>& there) {
  std::vector<Error> out;
  for (const auto& one : there) {
    if (one.code == entry.code) {
      figures<Added>(one, entry, out);
    } else if (are_one_kind(one.thing, entry.thing) &&
               names::same(one.thing.name, entry.thing.name)) {
      out.push_back(asked(codes::ask_shelf_twin,
                          {arg_text("name", one.thing.name), arg_text("code", one.code)}));
    }
  }
  return out;
}

template <class Added, class Thing>
std::vector<Error> copied(const Thing& copy, const Thing& here, const std::string& name,
                          std::span<const std::string_view> fields) {
  const auto theirs = thing_of<Added>(shelf::Entry<Thing>{"", copy, {}});
  const auto ours = thing_of<Added>(shelf::Entry<Thing>{"", here, {}});
  std::vector<Error> out;
  for (const auto field : fields) {
    const auto said = as_text(theirs.find(field)), shelf = as_text(ours.find(field));
    if (said == shelf) continue;
    out.push_back({Kind::refused,
                   std::string(codes::ask_copy_differs),
                   {arg_text("name", name), arg_code("field", "figure/" + std::string(field)),
                    arg_text("said", said), arg_text("shelf", shelf)},
                   ""});
  }
  return out;
}

// Those with a question of their own apart (H01, H12, H14, H42): days, mixing, the most at once,
// how long the needle stays in, what fits.
std::vector<Error> copy_figures(const shelf::Insulin& copy, const shelf::Insulin& here) {
  static constexpr std::array<std::string_view, 3> fields{"counts_from_fridge", "suspension",
                                                          "least_left_to_mix_units"};
  return copied<ShelfInsulinAdded>(copy, here, copy.name, fields);
}
std::vector<Error> copy_figures(const shelf::Pen& copy, const shelf::Pen& here) {
  static constexpr std::array<std::string_view, 4> fields{"most_units", "hold_seconds", "takes",
                                                          "fits"};
  return copied<ShelfPenAdded>(copy, here, copy.name, fields);
}

// The most that such a container holds, by the shelf: of this insulin and fits code; where it has
// none, of this insulin, or of this strength. Zero: it has none of the strength either (H25).
Units most_held(const CartridgeLoaded& load, const shelf::Shelf& shelf) {
  // As alike as the shelf has it: a code of somebody's own for what fits is in no entry.
  Units fits = Units::zero(), insulin = fits, strength = fits;
  for (const auto& entry : shelf.cartridges) {
    const auto* of = shelf.insulin(entry.thing.insulin);
    if (of == nullptr || of->thing.strength != load.copy.strength) continue;
    strength = larger(strength, entry.thing.content);
    if (of->thing.name != load.copy.name) continue;
    insulin = larger(insulin, entry.thing.content);
    if (entry.thing.fits == load.fits) fits = larger(fits, entry.thing.content);
  }
  return !fits.is_zero() ? fits : !insulin.is_zero() ? insulin : strength;
}

}  // namespace

std::vector<Error> differences(const Payload& payload, const shelf::Shelf& shelf) {
  std::vector<Error> out;
  const auto differs = [&](std::string_view code, std::vector<Arg> args) {
    out.push_back({Kind::refused, std::string(code), std::move(args), ""});
  };
  if (const auto* given = std::get_if<PenGiven>(&payload)) {
    const auto& said = given->copy;
    // By what is read: a blank more, or a letter of another script, is no other pen (H01).
    const auto entry = std::ranges::find_if(
        shelf.pens, [&](const auto& one) { return names::same(one.thing.name, said.name); });
    if (entry == shelf.pens.end()) return out;
    const auto& here = entry->thing;
    const auto window = [](const auto& one) {
      return one ? "window/" + std::string(shelf::names_of(*one)[static_cast<std::size_t>(*one)])
                 : "";
    };
    const auto units = [&](std::string_view code, Units theirs, Units ours) {
      if (theirs != ours)
        differs(code,
                {arg_text("pen", said.name), arg_units("said", theirs), arg_units("shelf", ours)});
    };
    if (said.window && here.window && said.window != here.window)
      differs(codes::ask_window_differs,
              {arg_text("pen", said.name), arg_code("said", window(said.window)),
               arg_code("shelf", window(here.window))});
    units(codes::ask_step_differs, said.step, here.step);
    units(codes::ask_prime_differs, said.prime, here.prime);
    if (said.prime == here.prime)
      units(codes::ask_prime_differs, said.prime_new_cartridge, here.prime_new_cartridge);
    std::ranges::move(copy_figures(said, here), std::back_inserter(out));
  }
  if (const auto* load = std::get_if<CartridgeLoaded>(&payload)) {
    const auto& said = load->copy;
    if (const auto most = most_held(*load, shelf); !most.is_zero() && load->content > most)
      differs(codes::ask_content, {arg_units("content", load->content), arg_units("most", most)});
    const auto* entry = shelf.insulin(said.name, said.strength);
    if (entry == nullptr) return out;
    const auto& here = entry->thing;
    const auto about = [&](Arg theirs, Arg ours) {
      return std::vector<Arg>{arg_text("insulin", said.name),
                              arg_strength("strength", said.strength), std::move(theirs),
                              std::move(ours)};
    };
    if (said.in_use_days != here.in_use_days)
      differs(codes::ask_in_use_differs,
              about(arg_count("said", said.in_use_days), arg_count("shelf", here.in_use_days)));
    if (said.in_use_most != here.in_use_most)
      differs(codes::ask_heat_differs,
              about(arg_celsius("said", said.in_use_most), arg_celsius("shelf", here.in_use_most)));
    std::ranges::move(copy_figures(said, here), std::back_inserter(out));
  }
  return out;
}

std::vector<Error> about_entry(const Payload& payload, const shelf::Shelf& shelf) {
  if (const auto* pen = std::get_if<ShelfPenAdded>(&payload))
    return about<ShelfPenAdded>(pen->entry, shelf.pens);
  if (const auto* insulin = std::get_if<ShelfInsulinAdded>(&payload))
    return about<ShelfInsulinAdded>(insulin->entry, shelf.insulins);
  if (const auto* cartridge = std::get_if<ShelfCartridgeAdded>(&payload)) {
    auto out = about<ShelfCartridgeAdded>(cartridge->entry, shelf.cartridges);
    // H03, H25: what it holds is volume times strength.
    const auto sound = shelf::checked(cartridge->entry.thing, shelf);
    if (!sound && sound.error().code == shelf::codes::content_wrong) {
      auto args = sound.error().args;
      args.push_back(arg_text("name", cartridge->entry.thing.name));
      out.push_back(asked(codes::ask_shelf_content, std::move(args)));
    }
    return out;
  }
  if (const auto* needle = std::get_if<ShelfNeedleAdded>(&payload))
    return about<ShelfNeedleAdded>(needle->entry, shelf.needles);
  return {};
}

std::string items_meant(std::string_view item, const shelf::Shelf& shelf) {
  const auto typed = names::folded(item);
  std::string meant, all;
  const auto add = [&](const std::string& code, std::initializer_list<std::string_view> called) {
    all += (all.empty() ? "" : ", ") + code;
    const bool like = !typed.empty() && std::ranges::any_of(called, [&](std::string_view name) {
      const auto known = names::folded(name);
      return !known.empty() &&
             (known.find(typed) != std::string::npos || typed.find(known) != std::string::npos);
    });
    if (like) meant += (meant.empty() ? "" : ", ") + code;
  };
  for (const auto& entry : shelf.cartridges) {
    const auto* insulin = shelf.insulin(entry.thing.insulin);
    add(entry.code, {entry.code, entry.thing.insulin, entry.thing.name,
                     insulin != nullptr ? std::string_view(insulin->thing.name) : ""});
  }
  for (const auto& entry : shelf.needles) add(entry.code, {entry.code, entry.thing.name});
  return meant.empty() ? all : meant;
}

}  // namespace penstock::products
