// Skin and places: where injections went, where the next ones go, what is kept off, and how deep
// the needle goes (web/src/model.ts: PlacesPage).
#include "edge/pages/skin/skin.hpp"

#include <algorithm>

#include "core/watch/watch.hpp"
#include "edge/drawing/body/body.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/kit/watches.hpp"
#include "edge/pages/kit/who.hpp"
#include "edge/pages/next/next.hpp"
#include "edge/pages/sites/map.hpp"
#include "edge/pages/sites/reach.hpp"
#include "edge/wire/fact_json.hpp"

namespace penstock::pages {
namespace {

using namespace journal;
using std::chrono::days;

// Of the plan so many injections are shown before it is printed: two days of four a day.
constexpr std::size_t coming_shown = 8;

struct PlacesWriter {
  const Words& words;
  const Chart& person;
  const Clinic& clinic;
  When now;
  Sites sites;
  std::optional<places::Body> body;
  std::vector<Zone> allowed;
  std::vector<Picture> pictures;  ///< those that are here, and those that were erased

  std::string first_name() const {
    const auto& name = person.person.full_name;
    return name.substr(0, name.find(' '));
  }
  std::int32_t rest_days() const {
    return person.skin.rules ? person.skin.rules->rest_days : shown_days;
  }
  TenthsMm spacing() const {
    return person.skin.rules ? person.skin.rules->spacing : TenthsMm{100};
  }
  std::span<const Site> coming() const {
    return std::span(sites.plan).first(std::min(coming_shown, sites.plan.size()));
  }
  /// The part of the body that is shown first: where the next injection goes.
  BodyPart shown_part() const {
    if (!sites.plan.empty()) return part_of(sites.plan.front().zone);
    return allowed.empty() ? BodyPart::abdomen : part_of(allowed.front());
  }
  std::vector<BodyPart> parts() const {
    std::vector<BodyPart> out{shown_part()};
    for (const auto part : {BodyPart::abdomen, BodyPart::thigh, BodyPart::buttock, BodyPart::arm})
      if (part != out.front() && has_part(allowed, part)) out.push_back(part);
    return out;
  }

  places::Rotation rotation() const {
    std::vector<places::Used> used;
    for (const auto& place : person.skin.places)
      if (place.spot) used.push_back({place.on.day(), place.zone, *place.spot});
    const auto spells = skin::blocked_spells(person.skin);
    return places::rotation(used, spells, now.day() - days{shown_days - 1}, now.day(), allowed,
                            rest_days(), spacing());
  }

  /// Of these days, with the area and without the spot.
  std::int64_t zones_only() const {
    return std::ranges::count_if(person.skin.places, [&](const auto& place) {
      return !place.spot && place.on.day() > now.day() - days{shown_days} && place.on.at <= now.at;
    });
  }

  std::size_t injections() const {
    return static_cast<std::size_t>(
        std::ranges::count_if(person.order.given, [&](const order::Given& given) {
          return given.when.day() > now.day() - days{shown_days} && given.when.at <= now.at;
        }));
  }
};

// ---- the section Places

std::string note_of(const PlacesWriter& write) {
  const auto clear = write.body ? write.body->navel_clear : TenthsMm{500};
  return said(write.words, "site.note",
              {arg_count("days", shown_days),
               arg_count("count", static_cast<std::int64_t>(write.injections())),
               arg_text("spacing", cm_text(write.spacing())), arg_text("clear", cm_text(clear))});
}

Rich lead_of(const PlacesWriter& write, const places::Rotation& rotation) {
  if (rotation.injections == 0) {
    const auto in_zones = write.zones_only();
    return in_zones == 0 ? write.words.sentence("site.lead_none")
                         : write.words.sentence("site.lead_zones", {arg_count("count", in_zones)});
  }
  const auto& [zone, count] = rotation.by_zone.front();
  return write.words.sentence(
      "site.lead_places", {arg_text("zone", zone_words(write.words, zone)),
                           arg_count("count", static_cast<std::int64_t>(count)),
                           arg_count("of", static_cast<std::int64_t>(rotation.injections)),
                           arg_count("zones", static_cast<std::int64_t>(rotation.by_zone.size())),
                           arg_count("allowed", static_cast<std::int64_t>(write.allowed.size()))});
}

std::vector<json::Value> rotation_of(const PlacesWriter& write, const places::Rotation& rotation) {
  std::vector<json::Value> out;
  const auto unplaced = write.injections() - std::min(write.injections(), rotation.injections);
  if (unplaced > 0)
    out.push_back(say(write.words, "site.unplaced",
                      {arg_count("count", static_cast<std::int64_t>(unplaced))}));
  if (rotation.injections == 0) return out;
  out.push_back(say(write.words, "site.even",
                    {arg_text("share", format_fixed(rotation.evenness_thousandths, 1))}));
  out.push_back(
      say(write.words, rotation.too_close == 0 ? "site.close_none" : "site.close",
          {arg_count("count", static_cast<std::int64_t>(rotation.too_close)),
           arg_text("spacing", cm_text(write.spacing())), arg_count("days", write.rest_days())}));
  if (rotation.same_spot_most > 1)
    out.push_back(say(write.words, "site.same_spot",
                      {arg_count("count", static_cast<std::int64_t>(rotation.same_spot_most)),
                       arg_text("spacing", cm_text(write.spacing()))}));
  if (rotation.in_blocked > 0)
    out.push_back(say(write.words, "site.in_blocked",
                      {arg_count("count", static_cast<std::int64_t>(rotation.in_blocked))}));
  return out;
}

std::vector<json::Value> notices_of(const PlacesWriter& write) {
  std::vector<json::Value> out;
  if (const auto* question = watch::hardened_question(write.person))
    out.push_back(notice(
        write.words, Level::caution,
        write.words.sentence("site.question_open",
                             {arg_text("day", write.words.day_month(question->opened.day()))})));
  if (const auto note = needle_note(write.words, write.person); !note.empty())
    out.push_back(notice(write.words, Level::caution, note));
  for (const auto& caution : write.sites.cautions)
    out.push_back(notice(write.words, Level::note, caution));
  return out;
}

json::Value refusal_document(const Words& words, const Error& error) {
  const auto told = words.say(error);
  return json::object({{"what", text(told.what)}, {"do_this", text(told.do_this)}});
}

std::vector<json::Value> key_marks(const PlacesWriter& write) {
  using drawing::PlaceKey;
  std::vector<json::Value> out;
  for (const auto& [mark, key] :
       {std::pair{PlaceKey::most, "site.key.most"}, std::pair{PlaceKey::some, "site.key.some"},
        std::pair{PlaceKey::over, "site.key.over"},
        std::pair{PlaceKey::blocked, "site.key.blocked"}})
    out.push_back(json::object(
        {{"picture", svg(drawing::place_key(mark))},
         {"text",
          text(said(write.words, key, {arg_count("half", half_of_rest(write.rest_days()))}))}}));
  return out;
}

// By zone, the most first, as a tally.
std::vector<json::Value> tallies_of(const PlacesWriter& write, const places::Rotation& rotation) {
  std::vector<json::Value> out;
  for (const auto& [zone, count] : rotation.by_zone)
    out.push_back(json::object({{"zone", text(capital(zone_words(write.words, zone)))},
                                {"count", json::count(static_cast<std::int64_t>(count))},
                                {"picture", svg(drawing::tally(count))}}));
  return out;
}

// What is still missing before anything can be planned.
json::Value nothing_yet(const PlacesWriter& write) {
  const auto key = !write.body ? "site.no_height" : "site.no_rules";
  return empty(write.words, std::string(key) + "_title", key,
               {arg_text("name", write.first_name())}, "", std::string(key) + "_act",
               href_of(write.person.journal, write.body ? "/skin/rules" : "/skin/body"));
}

std::string spots_text(const PlacesWriter& write) {
  if (!write.sites.figures) return {};
  const auto& figures = *write.sites.figures;
  constexpr std::int32_t year = 366;
  return said(
      write.words, figures.longest_rest_days < year ? "site.spots" : "site.spots_year",
      {arg_count("spots", static_cast<std::int64_t>(figures.spots)),
       arg_count("days", figures.longest_rest_days), arg_count("bound", figures.rest_days_bound)});
}

// The plan comes first: which number goes where.
json::Value coming_of(const PlacesWriter& write, const drawing::OnSkin& skin) {
  const auto coming = write.coming();
  std::vector<json::Value> pictures, rows;
  for (const auto part : write.parts()) {
    const bool is_used =
        std::ranges::any_of(coming, [&](const Site& site) { return part_of(site.zone) == part; });
    if (!is_used) continue;
    pictures.push_back(json::object(
        {{"title", text(capital(write.words.name("part/" + word_of(part))))},
         {"picture", svg(plan_plate_of(write.words, part, *write.body, skin, coming))}}));
  }
  for (std::size_t i = 0; i < coming.size(); ++i) {
    const auto& site = coming[i];
    rows.push_back(json::object(
        {{"number", json::count(static_cast<std::int64_t>(i) + 1)},
         {"when", text(said(write.words, "site.coming_when",
                            {arg_text("day", write.words.day_short(site.day)),
                             arg_code("slot", "with/" + word_of(site.slot))}))},
         {"place", text(capital(place_words(write.words, site.zone, site.spot, *write.body)))}}));
  }
  return json::object({{"pictures", list(std::move(pictures))}, {"rows", list(std::move(rows))}});
}

json::Value places_of(const PlacesWriter& write) {
  const auto rotation = write.rotation();
  std::vector<json::Value> plates;
  auto coming = json::object({{"pictures", list()}, {"rows", list()}});
  if (write.body) {
    const auto skin = on_skin(write.words, write.person, *write.body, write.now);
    coming = coming_of(write, skin);
    for (const auto part : write.parts()) {
      plates.push_back(json::object(
          {{"part", text(word_of(part))},
           {"title", text(capital(write.words.name("part/" + word_of(part))))},
           {"picture",
            svg(plate_of(write.words, write.person, part, *write.body, skin, write.now))}}));
    }
  }
  auto out = json::object({{"note", text(note_of(write))},
                           {"lead", rich(lead_of(write, rotation))},
                           {"coming", std::move(coming)},
                           {"tallies", list(tallies_of(write, rotation))},
                           {"plates", list(std::move(plates))},
                           {"key", list(key_marks(write))},
                           {"rotation", list(rotation_of(write, rotation))},
                           {"notices", list(notices_of(write))},
                           {"spots_text", text(spots_text(write))}});
  if (write.sites.plan.empty() || !write.body) {
    json::add(out, "told", list());
  } else {
    json::add(out, "told", say(write.words, "site.told", {arg_text("name", write.first_name())}));
  }
  const bool begun = write.body && write.person.skin.rules;
  if (!begun) {
    json::add(out, "empty", nothing_yet(write));
  } else if (write.sites.refusal) {
    json::add(out, "refusal", refusal_document(write.words, *write.sites.refusal));
  } else {
    json::add(out, "plan",
              json::object({{"href", text(href_of(write.person.journal, "/place-plan"))},
                            {"label", text(said(write.words, "site.print"))}}));
  }
  return out;
}

// ---- the section Reach

json::Value reach_of_page(const PlacesWriter& write) {
  const auto on = write.now.day();
  const auto part = write.shown_part();
  const auto shown = reach_of(write.person, part, on);
  if (!shown) {
    return empty_reach(write.words,
                       empty(write.words, "site.no_needle_title", "site.no_needle",
                             {arg_text("name", write.first_name())}, "", "site.no_needle_act",
                             href_of(write.person.journal, "/skin/rules")));
  }
  std::vector<ReachRow> rows;
  for (const auto one : write.parts()) {
    if (const auto found = reach_of(write.person, one, on)) rows.push_back({one, found->found});
  }
  auto out = reach_section(write.words, shown->request, shown->found, rows);
  // H61, H63: what the card and the sheet say, here too.
  const auto way = way_of(&write.person, on);
  for (auto& member : out.members) {
    if (member.key != "notices") continue;
    const auto add = [&](const std::string& key, std::vector<Arg> args = {}) {
      member.value.members.emplace_back(
          "", notice(write.words, Level::note, write.words.sentence(key, args)));
    };
    if (way.rule.longest) {
      add("site.child" + way.key,
          {arg_text("longest", format(*way.rule.longest)), arg_count("angle", way.rule.angle_deg)});
    }
    if (way.rule.safety_only) add("site.safety");
  }
  return out;
}

// ---- areas, examinations, injections

std::string size_words(const Words& words, const skin::Look& look) {
  return said(words, "site.size",
              {arg_text("length", cm_text(look.length)), arg_text("width", cm_text(look.width))});
}

std::string look_words(const Words& words, const skin::Look& look) {
  if (look.drawn) return said(words, "site.look_drawn", {arg_text("by", look.by)});
  const auto how = look.seen ? (look.felt ? "both" : "seen") : (look.felt ? "felt" : "neither");
  return said(words, "site.look." + std::string(how),
              {arg_text("by", look.by), arg_code("verdict", "verdict/" + word_of(look.verdict))});
}

// Looks that measured it; a circle that was only drawn is no measurement.
std::string sizes_of(const Words& words, const skin::Area& area) {
  std::vector<drawing::AreaSize> sizes;
  for (const auto& look : area.looks) {
    if (!look.drawn) sizes.push_back({look.length, look.width, words.day_month(look.on.day())});
  }
  return sizes.size() < 2 ? "" : drawing::area_sizes(sizes, said(words, "site.one_cm"));
}

json::Value area_row(const PlacesWriter& write, const skin::Area& area) {
  static constexpr std::array<std::string_view, 4> trends{"first", "growing", "same", "shrinking"};
  const auto& last = area.last();
  const auto& first = area.looks.front();
  std::vector<json::Value> looks;
  for (const auto& look : area.looks) {
    looks.push_back(json::object({{"when_text", text(write.words.day_year(look.on.day()))},
                                  {"size_text", text(size_words(write.words, look))},
                                  {"text", text(look_words(write.words, look))}}));
  }
  const auto where = write.body ? place_words(write.words, last.zone, last.centre, *write.body)
                                : zone_words(write.words, last.zone);
  const std::vector<Arg> args{
      arg_text("size", size_words(write.words, last)),
      arg_code("trend", "trend/" + std::string(trends[static_cast<std::size_t>(area.trend)])),
      arg_text("since", write.words.day_year(first.on.day())),
      arg_text("last", write.words.day_year(last.on.day()))};
  auto out = json::object(
      {{"id", json::string(area.area)},
       {"title", text(capital(said(write.words, "site.area",
                                   {arg_code("tissue", "tissue/" + word_of(area.tissue)),
                                    arg_text("place", where)})))},
       {"sentence",
        say(write.words, area.kept_off ? "site.area_kept_off" : "site.area_open", args)},
       {"looks", list(std::move(looks))},
       {"picture", svg(sizes_of(write.words, area))},
       {"zone", text(word_of(last.zone))},
       {"x_mm", text(format(last.centre.x))},
       {"y_mm", text(format(last.centre.y))},
       {"length_mm", text(format(last.length))},
       {"width_mm", text(format(last.width))},
       {"tissue", text(word_of(area.tissue))},
       {"kept_off", json::boolean(area.kept_off)}});
  if (area.kept_off)
    add_level(write.words, out, area.tissue == Tissue::hardened ? Level::caution : Level::note);
  return out;
}

std::string zones_words(const Words& words, const std::vector<Zone>& zones) {
  std::string out;
  for (const auto zone : zones) out += (out.empty() ? "" : "; ") + zone_words(words, zone);
  return out;
}

json::Value examination_row(const PlacesWriter& write, const skin::Examination& one) {
  const auto& said_then = one.said;
  const auto picture = std::ranges::find(write.pictures, said_then.photo, &Picture::digest);
  const bool known = picture != write.pictures.end();
  const bool erased = known && picture->erased;
  auto out = json::object(
      {{"id", json::string(one.fact)},
       {"when_text", text(write.words.moment(one.on))},
       {"by_text", text(one.by)},
       {"sentence",
        say(write.words, said_then.findings.empty() ? "site.examined_clear" : "site.examined",
            {arg_code("light", "light/" + word_of(said_then.light)),
             arg_code("posture", "posture/" + word_of(said_then.posture)),
             arg_text("zones", zones_words(write.words, said_then.zones)),
             arg_count("findings", static_cast<std::int64_t>(said_then.findings.size())),
             arg_text("text", said_then.text)})},
       {"photo_text", text(erased ? said(write.words, "site.photo_erased") : "")}});
  if (known && !erased) {
    json::add(
        out, "photo",
        json::object(
            {{"digest", text(said_then.photo)},
             {"href", text("/api" + href_of(write.person.journal, "/photos/" + said_then.photo))},
             {"alt", text(said(write.words, "site.photo_alt",
                               {arg_text("day", write.words.day_year(one.on.day()))}))}}));
  }
  return out;
}

std::vector<json::Value> injection_rows(const PlacesWriter& write) {
  std::vector<json::Value> out;
  const auto& given = write.person.order.given;
  for (auto one = given.rbegin(); one != given.rend(); ++one) {
    if (one->when.at > write.now.at) continue;
    if (one->when.day() <= write.now.day() - days{shown_days}) break;
    const auto& places = write.person.skin.places;
    const auto place = std::ranges::find(places, one->fact, &skin::Place::injection);
    const bool known = place != places.end();
    std::string where = said(write.words, "site.place_unknown");
    if (known)
      where = place->spot && write.body
                  ? place_words(write.words, place->zone, *place->spot, *write.body)
                  : zone_words(write.words, place->zone);
    out.push_back(json::object(
        {{"id", json::string(one->fact)},
         {"when_text",
          text(write.words.day_month(one->when.day()) + ", " + format_iso(one->when.minute()))},
         {"text", say(write.words, "site.injection",
                      {arg_units("dose", one->units), arg_text("insulin", one->insulin)})},
         {"place_text", text(where)},
         {"zone", text(known ? word_of(place->zone) : "")},
         {"x_mm", text(known && place->spot ? format(place->spot->x) : "")},
         {"y_mm", text(known && place->spot ? format(place->spot->y) : "")}}));
  }
  return out;
}

// ---- lows after hardened tissue was left (H36)

// "No lows" ends that day's reminder; a low is a question about the dose that was left as it was.
json::Value lows_of(const PlacesWriter& write) {
  const auto watches = watch::watches(write.person, write.clinic);
  std::vector<watch::Dismissed> dismissed;
  for (const auto& one : write.person.person.dismissals)
    dismissed.emplace_back(one.reminder, one.basis);
  for (const auto* ringing : watch::ringing(watches, dismissed, write.now.at)) {
    if (ringing->what != watch::What::leaving_hardened) continue;
    QuestionOpened question;
    question.reason = QuestionReason::lows;
    for (const auto& asked : write.person.order.questions)
      if (asked.reason == QuestionReason::hardened_tissue) question.line = asked.line;
    const ReminderDismissed none{watch::word_of(ringing->what), ringing->basis,
                                 said(write.words, "site.lows.none_reason")};
    return json::object(
        {{"title", text(said(write.words, "site.lows.title"))},
         {"text",
          rich(sentence_of(write.words, *ringing, write.person.person.full_name, write.now))},
         {"records",
          list({record_action(write.words, "site.lows.none", {wire::payload_to_json(none)}),
                record_action(write.words, "site.lows.some", {wire::payload_to_json(question)},
                              list({fill_field(write.words, "text", "field.lows", "text")}),
                              "site.lows.some_confirm")})}});
  }
  return json::null();
}

// ---- forms

json::Value slot_choices(const PlacesWriter& write) {
  std::vector<json::Value> out;
  std::vector<SlotName> told;
  for (const auto& due :
       order::due_on(write.person.order, write.now.day() + days{1}, write.person.zone)) {
    if (std::ranges::find(told, due.name) != told.end()) continue;
    told.push_back(due.name);
    std::string part;
    if (write.person.skin.rules) {
      for (const auto& one : write.person.skin.rules->parts)
        if (one.slot == due.name) part = word_of(one.part);
    }
    out.push_back(
        json::object({{"value", text(word_of(due.name))},
                      {"label", text(capital(write.words.name("slot/" + word_of(due.name))))},
                      {"part", text(part)}}));
  }
  return list(std::move(out));
}

// Both sides of the abdomen and the thighs: where most people begin. The clinic's rules, or the
// nurse, say otherwise.
PlaceRulesSet usual_rules() {
  PlaceRulesSet rules;
  for (const auto zone :
       {Zone::abdomen_left_upper, Zone::abdomen_left_lower, Zone::abdomen_right_upper,
        Zone::abdomen_right_lower, Zone::thigh_left, Zone::thigh_right})
    rules.zones.push_back(zone);
  return rules;
}

json::Value body_fact(const skin::Skin& skin) {
  if (!skin.measured_on && skin.sex == Sex::unknown && !skin.due) return json::null();
  return wire::payload_to_json(BodyMeasured{skin.sex, skin.height, skin.waist, skin.due});
}

json::Value place_forms(const PlacesWriter& write) {
  return json::object(
      {{"zones", choices_of<Zone>(write.words, "")},
       {"parts", choices_of<BodyPart>(write.words, "part/")},
       {"slots", slot_choices(write)},
       {"tissues", choices_of<Tissue>(write.words, "tissue/")},
       {"verdicts", choices_of<AreaVerdict>(write.words, "verdict/")},
       {"lights", choices_of<Light>(write.words, "light/")},
       {"postures", choices_of<Posture>(write.words, "posture/")},
       {"turns", choices_of<Turn>(write.words, "turn/")},
       {"sexes", choices_of<Sex>(write.words, "sex/")},
       {"yes_no", choices_of<YesNo>(write.words, "yes/")},
       {"people", choices_of<reach::People>(write.words, "people/")},
       {"body", body_fact(write.person.skin)},
       {"rules", wire::payload_to_json(write.person.skin.rules.value_or(usual_rules()))}});
}

}  // namespace

json::Value places_page(const Chart& person, const People& people, const Clinic& clinic,
                        const Caller& caller, const std::vector<Picture>& pictures) {
  const auto now = now_at(person, caller);
  PlacesWriter write{caller.words,
                     person,
                     clinic,
                     now,
                     sites_of(caller.words, person, now),
                     skin::body_of(person.skin),
                     allowed_zones(person),
                     pictures};
  std::vector<json::Value> areas, examinations;
  for (const auto& area : person.skin.areas) areas.push_back(area_row(write, area));
  for (auto one = person.skin.examinations.rbegin(); one != person.skin.examinations.rend(); ++one)
    examinations.push_back(examination_row(write, *one));
  return json::object({{"id", json::string(person.journal)},
                       {"version", json::count(static_cast<std::int64_t>(person.version))},
                       {"who", who_of(caller.words, person, people, clinic, now)},
                       {"places", places_of(write)},
                       {"reach", reach_of_page(write)},
                       {"lows", lows_of(write)},
                       {"areas", list(std::move(areas))},
                       {"areas_empty", text(said(caller.words, "site.areas_none"))},
                       {"examinations", list(std::move(examinations))},
                       {"injections", list(injection_rows(write))},
                       {"forms", place_forms(write)},
                       {"low", low_box(caller.words, &person, now.day(), clinic)}});
}

}  // namespace penstock::pages
