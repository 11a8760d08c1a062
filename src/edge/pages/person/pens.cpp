#include "edge/pages/person/internal/pens.hpp"

#include <algorithm>

#include "edge/drawing/pens/pens.hpp"
#include "edge/json/json.hpp"

namespace penstock::pages {
namespace {

using namespace journal;
using std::chrono::days;

// Sealed cartridges are drawn up to here; a full cupboard is said, not drawn.
constexpr std::int64_t sealed_drawn_max = 3;

json::Value fact_about(std::string_view kind, std::string_view field, Id thing) {
  return json::object({{"what", text(kind)}, {std::string(field), json::string(thing)}});
}

// Where the stopper will stand after the next dose, if this cartridge gives it.
std::optional<drawing::Notch> notch_of(const Words& words, const ledger::Cartridge& cartridge,
                                       const interlock::Agenda& agenda) {
  const auto* cleared = agenda.next ? interlock::cleared(agenda.next->verdict) : nullptr;
  if (cleared == nullptr) return std::nullopt;
  const auto& planned = **cleared;
  for (std::size_t i = 0; i < planned.sources.size(); ++i) {
    const auto& after = planned.plan.left_after[i];
    if (planned.sources[i].cartridge != cartridge.id || after.thrown_away ||
        after.left == cartridge.left)
      continue;
    const std::vector<Arg> args{arg_text("left", format(after.left)),
                                arg_text("time", format_iso(agenda.next->due.at.minute()))};
    return drawing::Notch{after.left, drawing::Standing::ordered,
                          said(words, "barrel.after", args)};
  }
  return std::nullopt;
}

// Why what is left goes: past its days, or "12 left: not enough for prime and dose" when the plan
// throws it away.
std::string away_label(const Words& words, const ledger::Cartridge& cartridge,
                       const interlock::Agenda& agenda, LocalDay today) {
  if (cartridge.left.is_zero()) return {};
  const std::vector<Arg> args{arg_text("left", format(cartridge.left))};
  if (cartridge.fitness(today) == ledger::Fitness::past_in_use)
    return said(words, "barrel.past", args);
  const auto* cleared = agenda.next ? interlock::cleared(agenda.next->verdict) : nullptr;
  if (cleared == nullptr) return {};
  const auto& planned = **cleared;
  for (std::size_t i = 0; i < planned.sources.size(); ++i) {
    if (planned.sources[i].cartridge == cartridge.id && planned.plan.left_after[i].thrown_away) {
      return said(words, "barrel.away", args);
    }
  }
  return {};
}

std::string barrel_of(const Words& words, const ledger::Cartridge& cartridge,
                      const interlock::Agenda& agenda, LocalDay today) {
  drawing::Barrel drawn;
  drawn.content =
      larger(larger(cartridge.content, cartridge.loaded), Units::from_hundredths(100).value());
  drawn.loaded = cartridge.loaded;
  drawn.unexplained = cartridge.unexplained;
  drawn.left = cartridge.left;
  Units in_uses = Units::zero();
  for (const auto& use : cartridge.uses) {
    drawn.cells.push_back({use.primed, use.dose, Units::zero()});
    in_uses = sum(in_uses, use.primed);
  }
  // Primed after the last injection, and what was thrown away: cells of their own, so that the
  // picture adds up.
  const auto primed_after = difference(cartridge.primed, in_uses);
  if (!primed_after.is_zero()) drawn.cells.push_back({primed_after, Units::zero(), Units::zero()});
  if (!cartridge.thrown_away.is_zero())
    drawn.cells.push_back({Units::zero(), Units::zero(), cartridge.thrown_away});
  drawn.notch = notch_of(words, cartridge, agenda);
  drawn.away_label = away_label(words, cartridge, agenda, today);
  if (!cartridge.unexplained.is_zero())
    drawn.unexplained_label =
        said(words, "barrel.unexplained", {arg_text("amount", format(cartridge.unexplained))});
  if (cartridge.scale && !cartridge.scale->agrees()) {
    drawn.count = drawing::ScaleCount{
        cartridge.scale->counted,
        said(words, "barrel.scale",
             {arg_text("counted", format(cartridge.scale->counted)),
              arg_text("day", words.day_near(cartridge.scale->when.day(), today))})};
  }
  drawn.alt = said(words, "barrel.alt",
                   {arg_text("insulin", cartridge.copy.name), arg_units("left", cartridge.left),
                    arg_units("content", drawn.content)});
  return drawing::barrel(drawn);
}

/// What must not be used has no days left (H12, H61).
json::Value in_use_text(const Words& words, const interlock::House& house,
                        const ledger::Cartridge& cartridge, LocalDay today) {
  const auto fitness = cartridge.fitness(today);
  if (fitness == ledger::Fitness::shared || fitness == ledger::Fitness::frozen ||
      fitness == ledger::Fitness::too_hot)
    return say(words, "pen.unfit", {arg_code("reason", ledger::code_of(fitness))});
  if (fitness == ledger::Fitness::past_expiry)
    return say(words, "pen.expired", {arg_text("last", words.day_year(*cartridge.expires))});
  if (interlock::is_recalled(house, cartridge.copy.name, cartridge.copy.strength, cartridge.lot))
    return say(words, "pen.recalled", {arg_text("lot", cartridge.lot)});
  const auto used = cartridge.days_in_use(today);
  const auto last = cartridge.last_day();
  if (!used || !last)
    return say(words, "pen.not_yet_used", {arg_count("limit", cartridge.copy.in_use_days)});
  const auto left = (*last - today).count() + 1;
  const bool doubtful = cartridge.is_since_unknown() && left > 0;
  const std::vector<Arg> args{arg_count("left", left),
                              arg_count("limit", cartridge.copy.in_use_days),
                              arg_count("days", *used), arg_text("last", words.day_month(*last)),
                              arg_text("past", words.day_month(*last + std::chrono::days{1}))};
  return say(words,
             doubtful   ? "pen.in_use_at_most"
             : left > 0 ? "pen.in_use"
                        : "pen.past_in_use",
             args);
}

json::Value cartridge_of(const Words& words, const interlock::House& house,
                         const ledger::Cartridge& cartridge, const interlock::Agenda& agenda,
                         const When& now) {
  const drawing::Pips pips{
      std::max(1, cartridge.copy.in_use_days),
      std::max(0, cartridge.days_in_use(now.day()).value_or(0)),
      words::plain(words.sentence("pen.pips_alt",
                                  {arg_count("days", cartridge.days_in_use(now.day()).value_or(0)),
                                   arg_count("limit", cartridge.copy.in_use_days)}))};
  const std::vector<Arg> sums{arg_units("primed", cartridge.primed),
                              arg_units("injected", cartridge.injected)};
  auto sums_text = words.sentence("pen.sums", sums);
  if (!cartridge.uncounted.is_zero())
    sums_text = sums_text + Rich{{" ", false}} +
                words.sentence("pen.uncounted", {arg_units("least", cartridge.at_least()),
                                                 arg_count("doses", cartridge.doses_uncounted)});
  if (cartridge.coldest && !cartridge.is_frozen())
    sums_text =
        sums_text + Rich{{" ", false}} +
        words.sentence("pen.near_freezing", {arg_celsius("celsius", cartridge.coldest->celsius)});
  return json::object(
      {{"id", json::string(cartridge.id)},
       {"left_text", text(format(cartridge.left))},
       {"left_unit", text(said(words, "pen.units_left"))},
       {"barrel", svg(barrel_of(words, cartridge, agenda, now.day()))},
       {"pips", svg(drawing::pips(pips))},
       {"in_use", in_use_text(words, house, cartridge, now.day())},
       {"sums", rich(sums_text)},
       {"after", list()},
       {"lot_text",
        text(cartridge.lot.empty() ? ""
                                   : said(words, "pen.lot", {arg_text("lot", cartridge.lot)}))}});
}

json::Value sealed_of(const Words& words, const Chart& person, const Clinic& clinic,
                      const ledger::Pen& pen, LocalDay today) {
  std::int64_t count = 0, spoilt = 0, recalled = 0, expired = 0, no_fit = 0;
  std::vector<json::Value> pictures;
  for (const auto& stock : person.ledger.stock) {
    if (stock.insulin != pen.insulin || stock.strength != pen.strength) continue;
    for (std::int64_t i = 0; i < std::min(stock.left, sealed_drawn_max); ++i) {
      if (static_cast<std::int64_t>(pictures.size()) < sealed_drawn_max)
        pictures.push_back(svg(drawing::sealed_barrel(stock.each, {})));
    }
    count += stock.left + stock.spoilt;
    // H42: the refusal beside it says that nothing in the house was made for the pen.
    const auto* insulin = clinic.shelf.insulin(stock.insulin, stock.strength);
    const bool made_for_it =
        insulin == nullptr ||
        shelf::made_for(clinic.shelf, pen.copy, insulin->code, stock.each) != nullptr;
    if (!made_for_it) no_fit += stock.left;
    spoilt += stock.spoilt;
    const auto lots = supply::sealed_at_home(stock, clinic.shelf, clinic.stock, today);
    for (const auto& lot : lots.recalled) recalled += lot.pieces;
    for (const auto& lot : lots.expired) expired += lot.pieces;
  }
  auto told = count == 0 ? said(words, "pen.sealed_none")
                         : said(words, "pen.sealed", {arg_count("count", count)});
  const auto add = [&](std::string_view key, std::int64_t bad) {
    if (bad > 0) told += "; " + said(words, key, {arg_count("count", bad)});
  };
  add("pen.sealed_recalled", recalled);
  add("pen.sealed_expired", expired);
  add("pen.sealed_spoilt", spoilt);
  add("pen.sealed_no_fit", no_fit);
  for (const auto& one : person.ledger.cartridges) {
    if (one.last_pen != pen.id || !one.is_taken_out() || one.at_least().is_zero() ||
        one.fitness(today) != ledger::Fitness::serves)
      continue;
    const auto last = one.last_day();
    told += "; " + said(words, one.lot.empty() ? "pen.taken_out" : "pen.taken_out_lot",
                        {arg_units("left", one.at_least()), arg_text("lot", one.lot),
                         arg_text("last", last ? words.day_month(*last) : "")});
  }
  return json::object({{"text", text(told)}, {"pictures", list(std::move(pictures))}});
}

std::vector<json::Value> pen_notices(const Words& words, std::span<const ledger::Mark> marks,
                                     const ledger::Pen& pen) {
  std::vector<json::Value> out;
  std::vector<std::string_view> said_already;
  for (auto mark = marks.rbegin(); mark != marks.rend(); ++mark) {
    const bool mine = mark->pen == pen.id || (pen.cartridge && mark->cartridge == *pen.cartridge);
    const auto code = ledger::code_of(mark->kind);
    if (!mine || std::ranges::find(said_already, code) != said_already.end()) continue;
    said_already.push_back(code);  // each kind once, the latest: the journal has them all
    out.push_back(notice(words, Level::note, words.sentence(code, ledger::args_of(*mark))));
  }
  return out;
}

json::Value scale_action(const Words& words, Id cartridge) {
  return record_action(words, "act.count_scale",
                       {fact_about(ScaleCounted::name, "cartridge", cartridge)},
                       list({fill_field(words, "units", "field.scale", "units")}));
}

std::vector<json::Value> pen_actions(const Words& words, const ledger::Pen& pen,
                                     const ledger::Cartridge* cartridge) {
  const bool prefilled = pen.copy.takes == shelf::Presentation::prefilled_pen;
  std::vector<json::Value> out;
  if (cartridge != nullptr) out.push_back(scale_action(words, cartridge->id));
  if (pen.needle.on) {
    auto off = fact_about(NeedleOff::name, "pen", pen.id);
    json::add(off, "disposal", text(word_of(Disposal::sharps_container)));
    out.push_back(record_action(words, "act.needle_off", {std::move(off)}));
  }
  auto test = fact_about(WindowTested::name, "pen", pen.id);
  json::add(test, "dialled_units", json::fixed(ledger::tested_with(pen.copy.step).hundredths(), 2));
  if (cartridge != nullptr) json::add(test, "cartridge", json::string(cartridge->id));
  out.push_back(
      record_action(words, "act.window_test", {std::move(test)},
                    list({fill_field(words, "shown_after_units", "field.window_after", "units")})));
  if (cartridge != nullptr) {
    out.push_back(record_action(
        words, "act.throw_away", {fact_about(ThrownAway::name, "cartridge", cartridge->id)},
        list({fill_choice(words, "reason", "field.throw_reason", names_of(ThrowReason{}))}),
        prefilled ? "act.throw_away_confirm.prefilled" : "act.throw_away_confirm"));
    if (!cartridge->left_fridge)
      out.push_back(record_action(words, "act.left_fridge",
                                  {fact_about(LeftFridge::name, "cartridge", cartridge->id)}));
  }
  auto why = fill_field(words, "why", "field.pen_end", "choice");
  json::add(why, "choices", choices_of<PenEnd>(words, "pen-end/"));
  out.push_back(
      record_action(words, "act.pen_ended", {fact_about(PenEnded::name, "pen", pen.id)},
                    list({std::move(why), fill_field(words, "text", "field.in_words", "text")}),
                    "act.pen_ended_confirm"));
  out.push_back(record_action(words, "act.shared", {fact_about(PenShared::name, "pen", pen.id)},
                              list({fill_field(words, "with", "field.shared_with", "text")}),
                              "act.shared_confirm"));
  return out;
}

std::string window_text(const Words& words, const ledger::Pen& pen, const shelf::Shelf& shelf) {
  const auto window = ledger::known_window(pen, shelf);
  const bool proved = window && pen.window_test != ledger::WindowTest::none;
  return window_words(words, window) + (proved ? said(words, "pen.window_proved") : "");
}

}  // namespace

std::vector<json::Value> pen_cards(const Words& words, const Chart& person, const Clinic& clinic,
                                   const interlock::Agenda& agenda,
                                   std::span<const ledger::Claim> elsewhere, const When& now) {
  auto marks = person.ledger.marks;
  std::ranges::move(ledger::clashes(person.ledger, elsewhere), std::back_inserter(marks));
  std::vector<json::Value> out;
  for (const auto& pen : person.ledger.pens) {
    if (!pen.is_here()) continue;
    const auto* cartridge = pen.cartridge ? person.ledger.cartridge(*pen.cartridge) : nullptr;
    if (cartridge != nullptr && cartridge->thrown) cartridge = nullptr;
    const auto* entry = clinic.shelf.insulin(pen.insulin, pen.strength);
    const auto mark = cartridge != nullptr && cartridge->is_loaded() ? mark_of(cartridge->copy)
                      : entry != nullptr                             ? mark_of(entry->thing)
                                                                     : drawing::Action::long_acting;
    auto card = json::object(
        {{"id", json::string(pen.id)},
         {"mark", svg(drawing::insulin_mark(mark))},
         {"insulin", text(capital(pen.insulin))},
         {"strength_text", text(said(words, "strength", {arg_strength("strength", pen.strength)}))},
         {"pen_name", text(pen.copy.name)},
         {"window_text", text(window_text(words, pen, clinic.shelf))}});
    if (cartridge != nullptr) {
      json::add(card, "cartridge",
                cartridge_of(words, interlock::house_of(clinic), *cartridge, agenda, now));
    } else {
      const bool prefilled = pen.copy.takes == shelf::Presentation::prefilled_pen;
      drawing::EmptyBarrel outline;
      outline.content = Units::from_hundredths(30'000).value();
      outline.label = said(words, "pen.nothing_loaded");
      outline.alt = outline.label;
      json::add(card, "empty",
                empty(words, "pen.empty_title", "pen.empty",
                      {arg_text("insulin", pen.insulin), interlock::arg_pen_kind(pen.copy.takes)},
                      drawing::empty_barrel(outline), prefilled ? "pen.load.prefilled" : "pen.load",
                      href_of(person.journal, "/load?pen=" + to_text(pen.id))));
    }
    json::add(card, "sealed", sealed_of(words, person, clinic, pen, now.day()));
    json::add(card, "notices", list(pen_notices(words, marks, pen)));
    json::add(card, "actions", list(pen_actions(words, pen, cartridge)));
    out.push_back(std::move(card));
  }
  return out;
}

// ---- choices of the forms

namespace {

// What an insulin of this action is usually for; the form offers it, the order decides.
Purpose usual_purpose(shelf::Action action) {
  switch (action) {
    case shelf::Action::long_acting:
    case shelf::Action::intermediate:
      return Purpose::background;
    case shelf::Action::premixed:
      return Purpose::premixed;
    case shelf::Action::rapid:
    case shelf::Action::short_acting:
      return Purpose::mealtime;
  }
  return Purpose::mealtime;
}

json::Value insulins_of(const Words& words, const shelf::Shelf& shelf) {
  std::vector<std::string> names;
  for (const auto& entry : shelf.insulins) {
    if (std::ranges::find(names, entry.thing.name) == names.end())
      names.push_back(entry.thing.name);
  }
  std::vector<json::Value> out;
  for (const auto& name : names) {
    std::vector<json::Value> strengths;
    auto purpose = Purpose::mealtime;
    for (const auto& entry : shelf.insulins) {
      if (entry.thing.name != name) continue;
      purpose = usual_purpose(entry.thing.action);
      strengths.push_back(json::object(
          {{"units_per_ml", json::count(entry.thing.strength.units_per_ml)},
           {"label",
            text(said(words, "strength", {arg_strength("strength", entry.thing.strength)}))}}));
    }
    out.push_back(json::object({{"name", text(name)},
                                {"purpose", text(word_of(purpose))},
                                {"strengths", list(std::move(strengths))}}));
  }
  return list(std::move(out));
}

// The insulins (by code) that a pen can carry: those of the containers that fit it.
json::Value carried_by(const shelf::Shelf& shelf, const shelf::Pen& pen) {
  std::vector<json::Value> out;
  for (const auto& insulin : shelf.insulins) {
    const bool carries = std::ranges::any_of(shelf.cartridges, [&](const auto& entry) {
      return entry.thing.insulin == insulin.code && shelf::fits(pen, entry.thing);
    });
    if (carries)
      out.push_back(
          text(insulin.thing.name + " " + std::to_string(insulin.thing.strength.units_per_ml)));
  }
  return list(std::move(out));
}

json::Value loads_of(const Words& words, const Chart& person, const shelf::Shelf& shelf) {
  std::vector<json::Value> out;
  for (const auto& pen : person.ledger.pens) {
    if (!pen.is_here()) continue;
    std::vector<json::Value> choices;
    const auto* insulin = shelf.insulin(pen.insulin, pen.strength);
    for (const auto& entry : shelf.cartridges) {
      if (insulin == nullptr || entry.thing.insulin != insulin->code ||
          !shelf::fits(pen.copy, entry.thing))
        continue;
      choices.push_back(
          json::object({{"cartridge", text(entry.code)},
                        {"insulin_code", text(insulin->code)},
                        {"fits", text(entry.thing.fits)},
                        {"label", text(said(words, "load.choice",
                                            {arg_text("name", entry.thing.name),
                                             arg_units("content", entry.thing.content)}))},
                        {"content_units", json::number(entry.thing.content)}}));
    }
    out.push_back(json::object(
        {{"pen", json::string(pen.id)},
         {"pen_label", text(said(words, "load.pen",
                                 {arg_text("pen", pen.copy.name), arg_text("insulin", pen.insulin),
                                  arg_strength("strength", pen.strength)}))},
         {"choices", list(std::move(choices))},
         {"none_text", text(said(words, "load.none", {arg_text("insulin", pen.insulin)}))}}));
  }
  return list(std::move(out));
}

}  // namespace

json::Value forms_of(const Words& words, const Chart& person, const shelf::Shelf& shelf) {
  std::vector<json::Value> pens, needles;
  for (const auto& entry : shelf.pens) {
    pens.push_back(json::object({{"code", text(entry.code)},
                                 {"label", text(pen_label(words, entry.thing))},
                                 {"fits", carried_by(shelf, entry.thing)}}));
  }
  for (const auto& entry : shelf.needles)
    needles.push_back(
        json::object({{"code", text(entry.code)}, {"label", text(entry.thing.name)}}));
  std::int32_t version = 0;
  for (const auto& line : person.order.lines) version = std::max(version, line.text.order_version);
  return json::object({{"zone", text(person.person.zone)},
                       {"insulins", insulins_of(words, shelf)},
                       {"pens", list(std::move(pens))},
                       {"loads", loads_of(words, person, shelf)},
                       {"needles", list(std::move(needles))},
                       {"slots", choices_of<SlotName>(words, "slot/")},
                       {"order_version_next", json::count(version + 1)}});
}

}  // namespace penstock::pages
