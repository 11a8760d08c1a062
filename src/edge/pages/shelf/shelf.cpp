// The shelf: every figure with its source, what fits what, and the forms for the clinic's own
// entries.
#include "edge/pages/shelf/shelf.hpp"

#include <algorithm>

#include "core/fields/fields.hpp"
#include "edge/drawing/pens/pens.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"

namespace penstock::pages {
namespace {

// One value of a thing, as people read it.
std::string shown(const Words& words, const fields::Field& field, const void* value) {
  using fields::as;
  using fields::Type;
  switch (field.type) {
    case Type::text:
      return as<std::string>(value);
    case Type::flag:
      return words.name(as<bool>(value) ? "yes" : "no");
    case Type::count:
      return format_fixed(as<std::int32_t>(value), 0);
    case Type::units:
      return said(words, "dose", {arg_units("dose", as<Units>(value))});
    case Type::strength:
      return said(words, "strength", {arg_strength("strength", as<Strength>(value))});
    case Type::mm:
      return format(as<TenthsMm>(value)) + " mm";
    case Type::celsius:
      return format(as<TenthsCelsius>(value)) + " " + words.name("celsius");
    case Type::choice:
      return words.name(field.words[as<std::uint8_t>(value)]);
    default:
      promise_broken("a thing of the shelf has a figure that no page can show");
  }
}

// Each field of a shelf thing as label and value, by the thing's own list, with the source of the
// figure.
std::vector<json::Value> figures_of(const Words& words, const fields::Group& list,
                                    const void* thing,
                                    const std::vector<shelf::FigureSource>& sources) {
  std::vector<json::Value> figures;
  for (const auto& field : list.fields) {
    const auto* value = field.in(thing);
    const bool unknown = field.holder != nullptr && field.holder->size(value) == 0;
    const auto as_text = unknown ? said(words, "shelf.unknown")
                         : field.holder == nullptr
                             ? shown(words, field, value)
                             : shown(words, field, field.holder->at(value, 0));
    if (field.name == "name" || as_text.empty()) continue;
    const auto source = std::ranges::find(sources, field.name, &shelf::FigureSource::field);
    const bool own = source == sources.end();
    figures.push_back(json::object(
        {{"label", text(words.name("figure/" + std::string(field.name)))},
         {"value", text(as_text)},
         {"source", text(own ? said(words, "shelf.own_source") : source->source)},
         {"known",
          text(words.name(
              own ? names_of(shelf::Known{})[static_cast<std::size_t>(shelf::Known::clinic)]
                  : names_of(source->known)[static_cast<std::size_t>(source->known)]))}}));
  }
  return figures;
}

template <class Thing>
json::Value entry_of(const Words& words, const shelf::Entry<Thing>& entry, std::string_view mark,
                     const Rich& line) {
  return json::object(
      {{"code", text(entry.code)},
       {"name", text(entry.thing.name)},
       {"mark", svg(mark)},
       {"own", json::boolean(entry.sources.empty())},
       {"line", rich(line)},
       {"figures", list(figures_of(words, Thing::list, &entry.thing, entry.sources))}});
}

json::Value group(const Words& words, std::string_view kind, std::vector<json::Value> entries) {
  return json::object({{"kind", text(kind)},
                       {"title", text(said(words, "shelf." + std::string(kind)))},
                       {"entries", list(std::move(entries))}});
}

json::Value groups_of(const Words& words, const shelf::Shelf& shelf) {
  std::vector<json::Value> insulins, cartridges, pens, needles;
  for (const auto& entry : shelf.insulins) {
    insulins.push_back(entry_of(
        words, entry, drawing::insulin_mark(mark_of(entry.thing)),
        words.sentence("shelf.insulin_line", {arg_strength("strength", entry.thing.strength),
                                              arg_count("days", entry.thing.in_use_days)})));
  }
  for (const auto& entry : shelf.cartridges) {
    const auto* insulin = shelf.insulin(entry.thing.insulin);
    cartridges.push_back(entry_of(
        words, entry, insulin == nullptr ? "" : drawing::insulin_mark(mark_of(insulin->thing)),
        words.sentence(
            "shelf.cartridge_line",
            {arg_text("insulin", insulin == nullptr ? entry.thing.insulin : insulin->thing.name),
             arg_units("content", entry.thing.content)})));
  }
  for (const auto& entry : shelf.pens) {
    const auto& pen = entry.thing;
    const auto* key = !pen.window                               ? "shelf.pen_line_unknown"
                      : *pen.window == shelf::Window::counts_on ? "shelf.pen_line_on"
                                                                : "shelf.pen_line_zero";
    pens.push_back(
        entry_of(words, entry, "",
                 words.sentence(key, {arg_units("step", pen.step), arg_units("most", pen.most)})));
  }
  for (const auto& entry : shelf.needles) {
    needles.push_back(
        entry_of(words, entry, "",
                 words.sentence("shelf.needle_line",
                                {arg_text("length", format(entry.thing.length)),
                                 arg_text("gauge", format_fixed(entry.thing.gauge, 0))})));
  }
  return list({group(words, "insulin", std::move(insulins)),
               group(words, "cartridge", std::move(cartridges)),
               group(words, "pen", std::move(pens)), group(words, "needle", std::move(needles))});
}

json::Value fits_of(const Words& words, const shelf::Shelf& shelf) {
  std::vector<json::Value> columns, rows;
  for (const auto& pen : shelf.pens) columns.push_back(text(pen.thing.name));
  for (const auto& cartridge : shelf.cartridges) {
    std::vector<json::Value> cells;
    for (const auto& pen : shelf.pens)
      cells.push_back(json::boolean(shelf::fits(pen.thing, cartridge.thing)));
    const auto* insulin = shelf.insulin(cartridge.thing.insulin);
    rows.push_back(json::object(
        {{"name", text((insulin == nullptr ? "" : capital(insulin->thing.name) + ", ") +
                       cartridge.thing.name)},
         {"cells", list(std::move(cells))}}));
  }
  return json::object({{"title", text(said(words, "shelf.fits"))},
                       {"text", text(said(words, "shelf.fits_text"))},
                       {"columns", list(std::move(columns))},
                       {"rows", list(std::move(rows))}});
}

template <class E>
json::Value words_of() {
  std::vector<json::Value> out;
  for (const auto word : names_of(E{})) out.push_back(text(word));
  return list(std::move(out));
}

template <class Thing>
json::Value choices_of(const std::vector<shelf::Entry<Thing>>& entries,
                       const std::function<std::string(const Thing&)>& label) {
  std::vector<json::Value> out;
  for (const auto& entry : entries)
    out.push_back(json::object({{"code", text(entry.code)}, {"label", text(label(entry.thing))}}));
  return list(std::move(out));
}

std::string insulin_label(const Words& words, const shelf::Insulin& insulin) {
  return said(
      words, "insulin_label",
      {arg_text("insulin", capital(insulin.name)), arg_strength("strength", insulin.strength)});
}

}  // namespace

json::Value shelf_page(const Clinic& clinic, const Caller& caller) {
  const auto& shelf = clinic.shelf;
  return json::object(
      {{"version", json::count(static_cast<std::int64_t>(clinic.version))},
       {"groups", groups_of(caller.words, shelf)},
       {"fits", fits_of(caller.words, shelf)},
       {"forms",
        json::object({{"insulins", choices_of<shelf::Insulin>(shelf.insulins,
                                                              [&](const shelf::Insulin& insulin) {
                                                                return insulin_label(caller.words,
                                                                                     insulin);
                                                              })},
                      {"pens", choices_of<shelf::Pen>(
                                   shelf.pens, [](const shelf::Pen& pen) { return pen.name; })},
                      {"windows", words_of<shelf::Window>()},
                      {"presentations", words_of<shelf::Presentation>()},
                      {"actions", words_of<shelf::Action>()},
                      {"when_short", words_of<shelf::WhenShort>()}})}});
}

}  // namespace penstock::pages
