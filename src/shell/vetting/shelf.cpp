// What is asked before an entry of the clinic's own is laid over the shelf: it holds for everybody,
// from the next pen and the next cartridge on (H01, H12).
#include "shell/vetting/internal/shelf.hpp"

#include <algorithm>
#include <array>
#include <span>

#include "edge/json/json.hpp"
#include "edge/wire/fact_json.hpp"
#include "shell/names/names.hpp"

namespace penstock::vetting::internal {
namespace {

using namespace journal;

Objection question_about(std::string_view code, std::vector<Arg> args) {
  return {{Kind::refused, std::string(code), std::move(args), ""}, true};
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
             std::vector<Objection>& out) {
  const auto before = thing_of<Added>(was), after = thing_of<Added>(would);
  const auto ask = [&](const std::string& field) {
    const auto now = as_text(before.find(field)), then = as_text(after.find(field));
    if (now == then) return;
    out.push_back(
        question_about(codes::ask_shelf_figure,
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
std::vector<Objection> about(const shelf::Entry<Thing>& entry,
                             const std::vector<shelf::Entry<Thing>>& there) {
  std::vector<Objection> out;
  for (const auto& one : there) {
    if (one.code == entry.code) {
      figures<Added>(one, entry, out);
    } else if (are_one_kind(one.thing, entry.thing) &&
               names::same(one.thing.name, entry.thing.name)) {
      out.push_back(question_about(codes::ask_shelf_twin,
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

}  // namespace

std::vector<Error> copy_figures(const shelf::Insulin& copy, const shelf::Insulin& here) {
  static constexpr std::array<std::string_view, 3> fields{"counts_from_fridge", "suspension",
                                                          "least_left_to_mix_units"};
  return copied<ShelfInsulinAdded>(copy, here, copy.name, fields);
}
std::vector<Error> copy_figures(const shelf::Pen& copy, const shelf::Pen& here) {
  static constexpr std::array<std::string_view, 3> fields{"most_units", "hold_seconds", "takes"};
  return copied<ShelfPenAdded>(copy, here, copy.name, fields);
}

std::vector<Objection> about_shelf(const Payload& payload, const shelf::Shelf& shelf) {
  if (const auto* pen = std::get_if<ShelfPenAdded>(&payload))
    return about<ShelfPenAdded>(pen->entry, shelf.pens);
  if (const auto* insulin = std::get_if<ShelfInsulinAdded>(&payload))
    return about<ShelfInsulinAdded>(insulin->entry, shelf.insulins);
  if (const auto* cartridge = std::get_if<ShelfCartridgeAdded>(&payload))
    return about<ShelfCartridgeAdded>(cartridge->entry, shelf.cartridges);
  if (const auto* needle = std::get_if<ShelfNeedleAdded>(&payload))
    return about<ShelfNeedleAdded>(needle->entry, shelf.needles);
  return {};
}

bool is_telephone_number(std::string_view text) {
  // The shortest are those that are dialled in an emergency.
  constexpr std::ptrdiff_t digits_least = 3;
  return std::ranges::count_if(text, [](char c) { return c >= '0' && c <= '9'; }) >= digits_least;
}

}  // namespace penstock::vetting::internal
