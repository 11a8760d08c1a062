// Four weeks of places on paper (web/src/model.ts: PlacePlanSheet). While the question about
// hardened tissue is open it says first to phone (H36).
#include <algorithm>
#include <cstdlib>

#include "core/watch/watch.hpp"
#include "edge/drawing/body/body.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/kit/who.hpp"
#include "edge/pages/next/next.hpp"
#include "edge/pages/sheets/internal/no_sheet.hpp"
#include "edge/pages/sheets/sheets.hpp"
#include "edge/pages/sites/map.hpp"
#include "edge/pages/sites/reach.hpp"

namespace penstock::pages {
namespace {

using namespace journal;
using std::chrono::days;

constexpr std::int32_t days_in_week = 7;

struct PlanWriter {
  const Words& words;
  const Chart& person;
  const places::Body& body;
  const drawing::OnSkin& skin;
  std::vector<SlotName> slots;
  std::vector<Site> sites;  // by day, then slot
};

std::string finger_words(const Words& words, const Site& site, const places::Body& body) {
  const auto told = places::told(site.zone, site.spot, body);
  const auto out = told.fingers_out;
  const auto up = told.fingers_up;
  // Nobody is sent to the inner side of a thigh.
  const auto in = part_of(site.zone) == BodyPart::thigh ? "way/front" : "way/in";
  return said(
      words, "site.fingers",
      {arg_code("sideways", out < 0 ? in : "way/out"), arg_count("out", out < 0 ? -out : out),
       arg_code("upwards", up < 0 ? "way/down" : "way/up"), arg_count("up", up < 0 ? -up : up)});
}

// Fingers are wider than places lie apart: two of them may be told in the same words before the
// first has rested. Then it is said how far, and which way, the later one lies from it (H17).
std::string beside_words(const PlanWriter& write, const Site& site) {
  const auto rest = write.person.skin.rules->rest_days;
  const auto same_words = [&](const Site& other) {
    const auto one = places::told(site.zone, site.spot, write.body);
    const auto two = places::told(other.zone, other.spot, write.body);
    return one.fingers_out == two.fingers_out && one.fingers_up == two.fingers_up;
  };
  for (auto other = write.sites.rbegin(); other != write.sites.rend(); ++other) {
    const bool before = other->day < site.day || (other->day == site.day && &*other < &site);
    const bool apart = other->zone != site.zone || other->spot == site.spot;
    if (!before || apart || site.day - other->day >= days{rest} || !same_words(*other)) continue;
    // To the person's left is out on the left side of the body, in on the right.
    const auto left = site.spot.x.tenths - other->spot.x.tenths;
    const auto out = is_left(site.zone) ? left : -left;
    const auto up = site.spot.y.tenths - other->spot.y.tenths;
    const bool sideways = std::abs(out) > std::abs(up);
    const auto in = part_of(site.zone) == BodyPart::thigh ? "way/front" : "way/in";
    const auto way = sideways ? (out < 0 ? in : "way/out") : (up < 0 ? "way/down" : "way/up");
    constexpr std::int32_t half_cm_tenths_mm = 50;
    const auto halves = (std::abs(sideways ? out : up) + half_cm_tenths_mm / 2) / half_cm_tenths_mm;
    return said(write.words, "site.beside",
                {arg_text("cm", format_fixed(halves * 5, 1)), arg_code("way", way),
                 arg_text("day", write.words.day_short(other->day))});
  }
  return {};
}

// The zone of a slot's whole week; nothing where it changes within it.
std::optional<Zone> zone_of_slot(std::span<const Site> sites, std::size_t slot, std::size_t slots) {
  std::optional<Zone> zone;
  for (std::size_t i = slot; i < sites.size(); i += slots) {
    if (zone && *zone != sites[i].zone) return std::nullopt;
    zone = sites[i].zone;
  }
  return zone;
}

std::string short_zone(const Words& words, Zone zone) {
  return words.name("short/" + word_of(zone));
}

json::Value cell_of(const PlanWriter& write, const Site& site, const std::string& number,
                    bool with_zone) {
  const auto fingers = finger_words(write.words, site, write.body) + beside_words(write, site);
  return json::object(
      {{"number", text(number)},
       {"text", text(!with_zone ? fingers
                                : said(write.words, "site.cell",
                                       {arg_text("zone", short_zone(write.words, site.zone)),
                                        arg_text("fingers", fingers)}))}});
}

drawing::WeekPlate plate_for(const PlanWriter& write, BodyPart part) {
  drawing::WeekPlate plate;
  plate.part = part;
  plate.skin = write.skin;
  plate.navel_clear = write.body.navel_clear;
  plate.left_label = write.words.name("side/left");
  plate.right_label = write.words.name("side/right");
  plate.alt = said(write.words, "site.week_alt", {arg_code("part", "part/" + word_of(part))});
  return plate;
}

// One drawing a part of the body, with that week's numbers on it.
std::vector<json::Value> pictures_of(const PlanWriter& write, std::span<const Site> sites) {
  std::vector<drawing::WeekPlate> plates;
  for (std::size_t i = 0; i < sites.size(); ++i) {
    auto found = std::ranges::find(plates, part_of(sites[i].zone), &drawing::WeekPlate::part);
    if (found == plates.end()) {
      plates.push_back(plate_for(write, part_of(sites[i].zone)));
      found = std::prev(plates.end());
    }
    found->numbered.push_back({sites[i].zone, sites[i].spot, std::to_string(i + 1)});
  }
  std::vector<json::Value> out;
  for (const auto& plate : plates) {
    out.push_back(
        json::object({{"title", text(capital(write.words.name("part/" + word_of(plate.part))))},
                      {"picture", svg(drawing::week_plate(plate))}}));
  }
  return out;
}

// A week's places are numbered through, in the order in which they come. A column whose zone stays
// the same all week says it once, at its head.
json::Value week_of(const PlanWriter& write, std::size_t number, std::span<const Site> sites) {
  const auto columns = write.slots.size();
  std::vector<json::Value> heads{text(said(write.words, "site.day"))}, rows, cells;
  std::vector<std::optional<Zone>> zones;
  for (std::size_t i = 0; i < columns; ++i) {
    zones.push_back(zone_of_slot(sites, i, columns));
    const auto slot = capital(write.words.name("slot/" + word_of(sites[i].slot)));
    heads.push_back(text(!zones[i] ? slot
                                   : said(write.words, "site.head",
                                          {arg_text("slot", slot),
                                           arg_text("zone", short_zone(write.words, *zones[i]))})));
  }
  for (std::size_t i = 0; i < sites.size(); ++i) {
    cells.push_back(
        cell_of(write, sites[i], std::to_string(i + 1), !zones[i % columns].has_value()));
    if (i % columns + 1 < columns) continue;
    rows.push_back(json::object(
        {{"day", text(write.words.day_short(sites[i].day))}, {"cells", list(std::move(cells))}}));
    cells.clear();
  }
  return json::object(
      {{"title", text(said(write.words, "site.week",
                           {arg_count("number", static_cast<std::int64_t>(number)),
                            arg_text("day", write.words.day_month(sites.front().day))}))},
       {"pictures", list(pictures_of(write, sites))},
       {"heads", list(std::move(heads))},
       {"rows", list(std::move(rows))}});
}

// Seven days a table, from the plan's first day on, as its zones take their turns.
std::vector<json::Value> weeks_of(const PlanWriter& write, LocalDay from) {
  std::vector<json::Value> out;
  const std::span all(write.sites);
  const auto week = [&](const Site& site) { return (site.day - from).count() / days_in_week; };
  std::size_t begin = 0;
  for (std::size_t i = 1; i <= all.size(); ++i) {
    if (i < all.size() && week(all[i]) == week(all[begin])) continue;
    out.push_back(week_of(write, out.size() + 1, all.subspan(begin, i - begin)));
    begin = i;
  }
  return out;
}

// Feel first, how the needle goes in, what to do when a place is not there; and what reach says
// against a part of the body that this plan uses (H16).
std::vector<json::Value> rules_of(const PlanWriter& write, LocalDay from) {
  std::vector<json::Value> out{say(write.words, "site.rule_feel"),
                               say(write.words, "site.rule_measure")};
  const auto& rules = *write.person.skin.rules;
  if (rules.needle) {
    // H16, H63: as the card has it.
    auto way = way_of(&write.person, from);
    way.args.push_back(arg_text("needle", format(*rules.needle)));
    out.push_back(say(write.words, "site.rule_needle" + way.key, way.args));
  }
  for (const auto part : {BodyPart::abdomen, BodyPart::thigh, BodyPart::buttock, BodyPart::arm}) {
    const bool used = std::ranges::any_of(
        write.sites, [part](const Site& site) { return part_of(site.zone) == part; });
    if (!used) continue;
    const auto reach = reach_of(write.person, part, from);
    if (!reach) continue;
    if (const auto note = reach_note(write.words, *reach); !note.empty()) out.push_back(rich(note));
  }
  out.push_back(say(write.words, "site.rule_elsewhere"));
  out.push_back(say(write.words, "site.rule_new_lump"));
  return out;
}

json::Value give_of(const PlanWriter& write, std::int64_t order_version) {
  std::vector<json::Value> places;
  for (const auto& site : write.sites) {
    places.push_back(json::object({{"day", json::string(format_iso(site.day))},
                                   {"slot", text(word_of(site.slot))},
                                   {"zone", text(word_of(site.zone))},
                                   {"spot", json::object({{"x_mm", json::number(site.spot.x)},
                                                          {"y_mm", json::number(site.spot.y)}})}}));
  }
  auto fact = json::object({{"what", text(PlacePlanGiven::name)},
                            {"order_version", json::count(order_version)},
                            {"places", list(std::move(places))}});
  return record_action(write.words, "site.give", {std::move(fact)});
}

Result<LocalDay> first_day(std::optional<LocalDay> asked, LocalDay today) {
  const auto least = today + days{1}, most = today + days{plan_days};
  const auto from = asked.value_or(least);
  if (from >= least && from <= most) return from;
  return Error{Kind::refused,
               std::string(codes::plan_from),
               {arg_date("from", from), arg_date("least", least), arg_date("most", most)},
               "?from"};
}

// H36: sound tissue takes up more. The plan keeps off the lump; the dose is asked about before the
// first injection away from it. Null where no such question is open.
json::Value before_first(const Words& words, const Chart& person, const Clinic& clinic) {
  if (watch::hardened_question(person) == nullptr) return json::null();
  return say(words, "site.plan_before_first",
             {arg_text("clinic", clinic.names.clinic), arg_text("phone", clinic.names.phone)});
}

}  // namespace

Result<json::Value> place_plan_sheet(const Chart& person, const Clinic& clinic,
                                     const Caller& caller, std::optional<LocalDay> asked) {
  const auto now = now_at(person, caller);
  if (auto wrong = internal::clock_set_back(person, clinic, now)) return *std::move(wrong);
  const auto from = first_day(asked, now.day());
  if (!from) return from.error();
  const auto ahead = static_cast<std::int32_t>((*from - now.day()).count()) - 1;
  auto sites = sites_of(caller.words, person, now, ahead + plan_days, *from);
  if (sites.refusal) return *sites.refusal;
  std::erase_if(sites.plan, [&](const Site& site) { return site.day < *from; });
  const auto body = skin::body_of(person.skin);
  INVARIANT(body.has_value());  // or the plan were refused
  auto skin = on_skin(caller.words, person, *body, now);
  skin.places.clear();
  const PlanWriter write{caller.words, person, *body, skin, sites.slots, std::move(sites.plan)};
  const auto* line = interlock::newest_line(person);
  const std::int64_t version = line == nullptr ? 0 : line->text.order_version;
  drawing::BodyMap map;
  map.skin = skin;
  map.front_label = said(caller.words, "site.front");
  map.back_label = said(caller.words, "site.back");
  map.alt = said(caller.words, "site.plan_map_alt");
  return json::object(
      {{"who", who_of(caller.words, person, {}, clinic, now)},
       {"clinic", text(clinic.names.clinic)},
       {"title", text(said(caller.words, "site.plan_title",
                           {arg_text("from", caller.words.day_long(*from)),
                            arg_text("to", caller.words.day_long(*from + days{plan_days - 1}))}))},
       {"order_text",
        text(line == nullptr ? ""
                             : said(caller.words, "order.version_of",
                                    {arg_count("version", version),
                                     arg_text("day", caller.words.day_year(line->text.signed_on)),
                                     arg_text("prescriber", line->text.prescriber)}))},
       {"printed_text",
        text(said(caller.words, "sheet.printed", {arg_text("moment", caller.words.moment(now))}))},
       {"lead", say(caller.words, "site.plan_lead")},
       {"before", before_first(caller.words, person, clinic)},
       {"map", svg(drawing::body_map(map))},
       {"weeks", list(weeks_of(write, *from))},
       {"rules", list(rules_of(write, *from))},
       {"last",
        say(caller.words, "site.plan_last",
            {arg_text("clinic", clinic.names.clinic), arg_text("phone", clinic.names.phone)})},
       {"low", low_box(caller.words, &person, now.day(), clinic)},
       {"give", give_of(write, version)},
       {"seen_version", json::count(static_cast<std::int64_t>(person.version))}});
}

}  // namespace penstock::pages
