// Supplies: how long what is in the house lasts, when to ask, what is at home by account and by
// count, the sharps box (web/src/model.ts: SuppliesPage).
#include "edge/pages/supplies/supplies.hpp"

#include <algorithm>

#include "edge/drawing/supplies/supplies.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/items.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/kit/who.hpp"
#include "edge/pages/next/next.hpp"
#include "edge/pages/supplies/cover.hpp"
#include "edge/pages/supplies/internal/accounts.hpp"
#include "edge/pages/supplies/internal/trips.hpp"
#include "edge/pages/supplies/pen_tests.hpp"
#include "edge/wire/fact_json.hpp"

namespace penstock::pages {
namespace {

using namespace journal;
using std::chrono::days;

// How far back the dispensing history is looked at: half a year, as the published ratios often do.
constexpr days history_days{180};

struct SuppliesWriter {
  const Words& words;
  const Covered& covered;
  const Chart& person;
  const Clinic& clinic;
  const When& now;
  const NewId& new_id;

  std::string name(const supply::Kind& kind) const { return insulin_name(words, covered, kind); }
};

json::Value kv(std::string_view row_name, const Rich& row_text) {
  return json::object({{"name", text(row_name)}, {"text", rich(row_text)}});
}

// ---- what is at home

Rich count_text(const Words& words, const ledger::StockCount& count) {
  return words.sentence(
      count.agrees() ? "supply.count_agrees" : "supply.count_differs",
      {arg_count("counted", count.counted), arg_count("account", count.account_left),
       arg_text("day", words.day_month(count.when.day()))});
}

// Of what is sealed, by lots: what must not be used is named as that (H12, H61).
Rich sealed_lots(const SuppliesWriter& write, const ledger::Stock& stock) {
  const auto lots =
      supply::sealed_at_home(stock, write.clinic.shelf, write.clinic.stock, write.now.day());
  Rich out;
  const auto add = [&](const std::vector<supply::SealedLot>& of, std::string_view key) {
    for (const auto& lot : of) {
      if (key.empty() && lot.lot.empty() && !lot.expires) continue;
      const auto which = !key.empty() ? key : lot.expires ? "supply.lot" : "supply.lot_only";
      out =
          out + Rich{{" ", false}} +
          write.words.sentence(
              which, {arg_text("lot", capital(lot_name(write.words, lot.lot))),
                      arg_count("left", lot.pieces),
                      arg_text("expires", lot.expires ? write.words.day_year(*lot.expires) : "")});
    }
  };
  add(lots.good, "");
  add(lots.recalled, "supply.lot_recalled");
  add(lots.expired, "supply.lot_expired");
  if (stock.spoilt > 0)
    out = out + Rich{{" ", false}} +
          write.words.sentence("supply.spoilt", {arg_count("count", stock.spoilt)});
  return out;
}

json::Value at_home(const SuppliesWriter& write) {
  std::vector<json::Value> rows;
  for (const auto& stock : write.person.ledger.stock) {
    Rich line = write.words.sentence(
        "supply.sealed", {arg_count("left", stock.left), arg_units("each", stock.each),
                          arg_count("given", stock.given), arg_count("loaded", stock.loaded_new)});
    if (stock.unexplained > 0)
      line = line + Rich{{" ", false}} +
             write.words.sentence("supply.unexplained", {arg_count("count", stock.unexplained)});
    if (stock.count) line = line + Rich{{" ", false}} + count_text(write.words, *stock.count);
    line = line + sealed_lots(write, stock);
    rows.push_back(kv(capital(write.name({stock.insulin, stock.strength})), line));
  }
  const auto& needles = write.person.ledger.needles;
  for (const auto& kind : needles.kinds) {
    if (kind.given == 0) continue;
    const bool known = kind.length != TenthsMm{};
    rows.push_back(kv(said(write.words, known ? "supply.needles_length" : "supply.needles_unknown",
                           {arg_text("length", format(kind.length))}),
                      write.words.sentence("supply.needles", {arg_count("left", kind.left),
                                                              arg_count("given", kind.given)})));
  }
  if (needles.count)
    rows.push_back(
        kv(said(write.words, "cover.needles_name"), count_text(write.words, *needles.count)));
  if (needles.not_recorded > 0 && needles.given > 0) {
    rows.push_back(kv(said(write.words, "supply.needles_not_recorded_name"),
                      write.words.sentence("supply.needles_not_recorded",
                                           {arg_count("count", needles.not_recorded)})));
  }
  return list(std::move(rows));
}

// ---- boxes for a month, two, three

json::Value boxes(const SuppliesWriter& write) {
  constexpr std::array<std::int32_t, 3> spans{30, 60, 90};
  std::vector<json::Value> heads{text(said(write.words, "supply.boxes_of"))}, rows;
  for (const auto span : spans)
    heads.push_back(text(said(write.words, "supply.for_days", {arg_count("days", span)})));
  const auto row = [&](std::string_view row_name, cover::Request request, bool needles) {
    std::vector<json::Value> cells;
    for (const auto span : spans) {
      supply::for_days_from(request, write.now.day(), span);
      const auto answer = cover::cover(request);
      const auto* lasts = !answer           ? nullptr
                          : !needles        ? &answer->lines.front()
                          : answer->needles ? &*answer->needles
                                            : nullptr;
      cells.push_back(text(lasts == nullptr ? said(write.words, "supply.unknown")
                                            : format_fixed(lasts->boxes, 0)));
    }
    rows.push_back(json::object({{"name", text(row_name)}, {"cells", list(std::move(cells))}}));
  };
  for (const auto& house : write.covered.needed.houses) {
    row(capital(write.name(house.kind)),
        supply::request_of(house, write.person.supply, write.clinic.closed), false);
  }
  if (write.covered.needles) {
    const auto& length = write.covered.needed.needles->length;
    row(length ? said(write.words, "supply.needles_length", {arg_text("length", format(*length))})
               : said(write.words, "cover.needles_name"),
        *supply::request_of(write.covered.needed, write.person.supply, write.clinic.closed), true);
  }
  const auto& rules = write.person.supply.rules;
  return json::object(
      {{"note", text(said(write.words, "supply.boxes_note",
                          {arg_count("cartridges", rules.cartridges_per_box),
                           arg_count("needles", rules.needles_per_box),
                           arg_text("percent", format_fixed(rules.service_per_thousand, 1)),
                           arg_count("spare", rules.spare_cartridges)}))},
       {"heads", list(std::move(heads))},
       {"rows", list(std::move(rows))}});
}

// ---- the dispensing history

json::Value history(const SuppliesWriter& write) {
  std::vector<json::Value> out;
  for (const auto& house : write.covered.needed.houses) {
    const auto dispensed = supply::history_of(write.person.supply, house);
    std::optional<LocalDay> first;
    for (const auto& one : dispensed) {
      if (one.on > write.now.day() - history_days) first = std::min(first.value_or(one.on), one.on);
    }
    const std::vector<Arg> who{arg_text("insulin", capital(write.name(house.kind)))};
    if (!first || *first >= write.now.day()) {
      out.push_back(say(write.words, first ? "supply.history_today" : "supply.history_none", who));
      continue;
    }
    const auto found = cover::possession(dispensed, *first, write.now.day());
    auto args = who;
    args.push_back(arg_count("days", found.days));
    args.push_back(arg_count("supplied", found.supplied));
    args.push_back(arg_count("covered", found.covered));
    args.push_back(
        arg_text("mpr", format_fixed(static_cast<std::int64_t>(found.mpr() * 100.0 + 0.5), 2, 2)));
    args.push_back(
        arg_text("pdc", format_fixed(static_cast<std::int64_t>(found.pdc() * 100.0 + 0.5), 2, 2)));
    out.push_back(say(write.words, "supply.history", args));
  }
  return list(std::move(out));
}

json::Value asked(const SuppliesWriter& write) {
  std::vector<json::Value> out;
  const auto& all = write.person.supply.asked;
  constexpr std::ptrdiff_t shown_max = 8;
  for (auto one = all.rbegin(); one != all.rend() && one - all.rbegin() < shown_max; ++one) {
    std::string what;
    if (one->said.boxes > 0)
      what = said(write.words, "fact-part.asked_boxes",
                  {arg_count("count", one->said.boxes), arg_text("insulin", one->said.insulin)});
    if (one->said.needle_boxes > 0)
      what += (what.empty() ? "" : ", ") + said(write.words, "fact-part.asked_needles",
                                                {arg_count("count", one->said.needle_boxes)});
    const bool came =
        (one->said.boxes == 0 || one->came) && (one->said.needle_boxes == 0 || one->needles_came);
    const bool over = supply::last_expected(*one, write.person.supply.rules) < write.now.day();
    out.push_back(
        json::object({{"when_text", text(write.words.day_year(one->when.day()))},
                      {"text", rich({{what, true}})},
                      {"state_text", text(said(write.words, came   ? "supply.came"
                                                            : over ? "supply.not_come"
                                                                   : "supply.awaited"))}}));
  }
  return list(std::move(out));
}

// ---- the sharps box

json::Value sharps(const SuppliesWriter& write) {
  const auto* box = write.person.supply.box();
  auto out = json::object();
  std::vector<json::Value> actions;
  if (box == nullptr) {
    json::add(out, "picture", svg(""));
    json::add(out, "text", say(write.words, "supply.box_none"));
    actions.push_back(record_action(
        write.words, "act.box_given",
        {json::object(
            {{"what", text(SharpsBoxGiven::name)}, {"box", json::string(write.new_id())}})},
        list({fill_field(write.words, "holds_needles", "field.holds_needles", "units")})));
  } else {
    json::add(out, "picture",
              svg(drawing::sharps({static_cast<int>(box->needles), box->holds, {}})));
    const bool full = box->room() == 0;
    json::add(out, "text",
              say(write.words, full ? "supply.box_full" : "supply.box",
                  {arg_count("needles", box->needles), arg_count("line", box->line()),
                   arg_count("holds", box->holds)}));
    if (full) add_level(write.words, out, Level::caution);
    actions.push_back(record_action(
        write.words, "act.box_closed",
        {json::object({{"what", text(SharpsBoxClosed::name)}, {"box", json::string(box->box)}})},
        list({fill_field(write.words, "brought_to", "field.brought_to", "text")})));
  }
  json::add(out, "actions", list(std::move(actions)));
  return out;
}

// ---- forms

/// Of the clinic's stock only what is ordered for them, and what is no insulin; while nothing is
/// ordered, everything.
bool is_for(const SuppliesWriter& write, std::string_view item) {
  const auto kind = kind_of_item(write.clinic.shelf, item);
  if (!kind) return true;
  bool ordered = false;
  for (const auto& line : write.person.order.lines) {
    const auto state = write.person.order.state(line, write.now.day());
    if (state == order::State::replaced || state == order::State::ended) continue;
    if (line.text.insulin == kind->insulin && line.text.strength == kind->strength) return true;
    ordered = true;
  }
  return !ordered;
}

/// Products of the shelf that are one piece of this.
json::Value items_of(const shelf::Shelf& shelf, const supply::Kind& kind, Units each) {
  std::vector<json::Value> items;
  for (const auto& entry : shelf.cartridges) {
    if (entry.thing.content == each && kind_of_item(shelf, entry.code) == kind)
      items.push_back(text(entry.code));
  }
  return list(std::move(items));
}

/// What may be handed out of the clinic's own stock.
json::Value stock_of(const SuppliesWriter& write) {
  std::vector<json::Value> stock;
  for (const auto& lot : write.clinic.stock.lots) {
    const auto today = write.now.day();
    if (lot.left == 0 || lot.recalled || !lot.serves(today) || !is_for(write, lot.item)) continue;
    const auto* first = stock::first_out(write.clinic.stock, lot.item, today);
    const auto name = capital(item_name(write.words, write.clinic.shelf, lot.item));
    stock.push_back(json::object(
        {{"item", text(lot.item)},
         {"lot", text(lot.lot)},
         {"label",
          text(said(
              write.words, lot.expires ? "stock.stock_label" : "stock.stock_label_no_day",
              {arg_text("name", name), arg_text("lot", capital(lot_name(write.words, lot.lot))),
               arg_text("day", lot.expires ? write.words.day_year(*lot.expires) : ""),
               arg_count("left", lot.left)}))},
         {"first", json::boolean(first == &lot)}}));
  }
  return list(std::move(stock));
}

json::Value forms(const SuppliesWriter& write) {
  std::vector<json::Value> insulins, pens, needles;
  const auto add_insulin = [&](const supply::Kind& kind, Units each) {
    insulins.push_back(json::object(
        {{"insulin", text(kind.insulin)},
         {"strength_units_per_ml", json::count(kind.strength.units_per_ml)},
         {"each_units", json::number(each)},
         {"items", items_of(write.clinic.shelf, kind, each)},
         {"label",
          text(said(write.words, "supply.insulin_label",
                    {arg_text("insulin", kind.insulin), arg_strength("strength", kind.strength),
                     arg_units("each", each)}))}}));
  };
  for (const auto& house : write.covered.needed.houses)
    add_insulin(house.kind, house.line.cartridge);
  for (const auto& pen : write.person.ledger.pens) {
    if (!pen.is_here()) continue;
    auto one = choice(to_text(pen.id), pen.copy.name + ", " + pen.insulin);
    json::add(one, "strength_units_per_ml", json::count(pen.strength.units_per_ml));
    pens.push_back(std::move(one));
  }
  const auto way = way_of(&write.person, write.now.day());
  for (const auto& needle : write.clinic.shelf.needles) {
    if (way.rule.longest && needle.thing.length > *way.rule.longest) continue;
    needles.push_back(json::object({{"code", text(needle.code)},
                                    {"label", text(needle.thing.name)},
                                    {"length_mm", json::number(needle.thing.length)}}));
  }
  auto rules = wire::payload_to_json(write.person.supply.rules);
  std::erase_if(rules.members, [](const json::Member& member) { return member.key == "what"; });
  return json::object({{"insulins", list(std::move(insulins))},
                       {"pens", list(std::move(pens))},
                       {"needles", list(std::move(needles))},
                       {"spreads", choices_of<DoseSpread>(write.words, "spread/")},
                       {"measured", choices_of<Measured>(write.words, "measured/")},
                       {"explained", choices_of<Explained>(write.words, "explained/")},
                       {"yes_no", choices_of<YesNo>(write.words, "")},
                       {"rules", std::move(rules)},
                       {"stock", stock_of(write)}});
}

}  // namespace

json::Value supplies_page(const Chart& person, const People& people, const Clinic& clinic,
                          const Caller& caller, const NewId& new_id) {
  const auto now = now_at(person, caller);
  const CoverWork work(person, clinic, now.day());
  const SuppliesWriter write{caller.words, work.covered, person, clinic, now, new_id};
  return json::object(
      {{"id", json::string(person.journal)},
       {"version", json::count(static_cast<std::int64_t>(person.version))},
       {"who", who_of(caller.words, person, people, clinic, now)},
       {"cover", cover_section(caller.words, work.covered, person, clinic, now, new_id)},
       {"at_home", at_home(write)},
       {"boxes", boxes(write)},
       {"history", history(write)},
       {"asked", asked(write)},
       {"sharps", sharps(write)},
       {"tests", tests_of(caller.words, person)},
       {"trips", trips_of(caller.words, person, now)},
       {"accounts", accounts_of(caller.words, work.covered, person, clinic, now)},
       {"forms", forms(write)},
       {"low", low_box(caller.words, &person, now.day(), clinic)}});
}

}  // namespace penstock::pages
