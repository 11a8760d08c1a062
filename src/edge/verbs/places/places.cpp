#include "edge/verbs/places/places.hpp"

#include <algorithm>
#include <optional>
#include <utility>

#include "core/fields/fields.hpp"
#include "edge/json/lists/lists.hpp"

namespace penstock::verbs {
namespace {

using fields::Field;
using fields::Group;
using json::Reader;
using json::Value;

// ---- the request

Error out_of_range(const Value& value, std::string_view at) {
  return {Kind::invalid_input,
          std::string(units_codes::number_range),
          {arg_text("text", value.text.substr(0, 40))},
          std::string(at)};
}

/// Centimetres with two decimals are whole tenths of a millimetre.
Result<TenthsMm> cm_of(const Value& value, std::string_view at) {
  const auto read = json::fixed_of(value, 2, at);
  if (!read) return read.error();
  constexpr std::int64_t beyond = 1'000'000'000;  // further out than any limit
  if (*read < -beyond || *read > beyond) return out_of_range(value, at);
  return TenthsMm{static_cast<std::int32_t>(*read)};
}

/// A body's length, to the nearest tenth of a centimetre.
Result<TenthsCm> body_of(const Value& value, std::string_view at) {
  const auto read = cm_of(value, at);
  if (!read) return read.error();
  if (read->tenths < 0) return out_of_range(value, at);
  const auto tenths = quotient(read->tenths, 10, Rounding::nearest);
  return TenthsCm{static_cast<std::int32_t>(tenths)};
}
constexpr std::int64_t in_hundredths(TenthsCm length) { return std::int64_t{length.tenths} * 10; }

/// The names that a place may be in: every zone, and the abdomen as a whole.
Result<std::optional<Zone>> place_zone_of(const Value& value, std::string_view at) {
  static const std::vector<std::string_view> names = [] {
    std::vector<std::string_view> all(zone_names.begin(), zone_names.end());
    all.push_back(body_part_names.front());
    return all;
  }();
  const auto place = json::choice_of(value, names, at);
  if (!place) return place.error();
  if (*place == zone_names.size()) return std::optional<Zone>{};
  return std::optional<Zone>{static_cast<Zone>(*place)};
}

/// Every zone that a list of zones and parts of the body names, once.
Result<std::vector<Zone>> zones_of(const Value& value, std::string_view at) {
  static const std::vector<std::string_view> names = [] {
    std::vector<std::string_view> all(body_part_names.begin(), body_part_names.end());
    all.insert(all.end(), zone_names.begin(), zone_names.end());
    return all;
  }();
  if (value.type != json::Type::array) return json::type_error(at, "type.list");
  std::vector<Zone> zones;
  for (std::size_t i = 0; i < value.members.size(); ++i) {
    const auto name = json::choice_of(value.members[i].value, names, json::pointer(at, i));
    if (!name) return name.error();
    for (std::size_t n = 0; n < zone_names.size(); ++n) {
      const auto zone = static_cast<Zone>(n);
      const bool named = *name < body_part_names.size()
                             ? part_of(zone) == static_cast<BodyPart>(*name)
                             : n == *name - body_part_names.size();
      if (named && std::ranges::find(zones, zone) == zones.end()) zones.push_back(zone);
    }
  }
  return zones;
}

Result<std::vector<std::string>> slots_of(const Value& value, std::string_view at) {
  if (value.type != json::Type::array) return json::type_error(at, "type.list");
  std::vector<std::string> names(value.members.size());
  for (std::size_t i = 0; i < names.size(); ++i) {
    const auto read = json::get(value.members[i].value, json::pointer(at, i), names[i]);
    if (!read) return read.error();
  }
  return names;
}

/// An object or a list of slots, which have to be known before it is read.
Result<Value> keep_of(const Value& value, std::string_view /*at*/) { return value; }

template <class Into, auto of>
Result<void> read_as(const Value& value, std::string_view at, void* into) {
  auto read = of(value, at);
  if (!read) return read.error();
  fields::as<Into>(into) = *std::move(read);
  return {};
}
Result<void> read_waist(const Value& value, std::string_view at, void* into) {
  if (value.type == json::Type::null) return {};
  return read_as<std::optional<TenthsCm>, body_of>(value, at, into);
}

Value zone_schema() {
  auto zone = json::choice(zone_names);
  json::add(zone, "description", json::string("the person's own left"));
  return zone;
}
Value place_schema(const Field& /*field*/) {
  return json::any_of(zone_schema(),
                      json::object({{"const", json::string(body_part_names.front())}}));
}
Value zones_schema(const Field& field) {
  auto schema = json::typed("array");
  json::add(schema, "items", json::any_of(json::choice(body_part_names), zone_schema()));
  json::add(schema, "minItems", json::count(field.hard.least));
  return schema;
}
Value slot_schema() {
  auto schema = json::typed("string");
  json::add(schema, "minLength", json::count(1));
  json::add(schema, "maxLength", json::count(places::slot_name_bytes_max));
  return schema;
}
Value slots_schema(const Field& field) {
  auto schema = json::typed("array");
  json::add(schema, "items", slot_schema());
  json::add(schema, "minItems", json::count(field.hard.least));
  json::add(schema, "maxItems", json::count(field.hard.most));
  json::add(schema, "uniqueItems", json::boolean(true));
  return schema;
}
Value keep_schema(const Field& /*field*/) {
  json::Shape pair;
  pair.add("slot", slot_schema(), true);
  pair.add("part", json::choice(body_part_names), true);
  auto list = json::typed("array");
  json::add(list, "items", std::move(pair).finished());
  auto object = json::typed("object");
  json::add(object, "additionalProperties", json::choice(body_part_names));
  return json::any_of(std::move(object), std::move(list));
}
Value waist_schema(const Field& field) {
  return json::any_of(json::own_number(field), json::typed("null"));
}

constexpr fields::Own cm_on_skin{&read_as<TenthsMm, cm_of>, &json::own_number, 2};
constexpr fields::Own cm_of_body{&read_as<TenthsCm, body_of>, &json::own_number, 2};
constexpr fields::Own cm_or_null{&read_waist, &waist_schema, 2};
constexpr fields::Own place_zone{&read_as<std::optional<Zone>, place_zone_of>, &place_schema};
constexpr fields::Own zone_list{&read_as<std::vector<Zone>, zones_of>, &zones_schema};
constexpr fields::Own slot_list{&read_as<std::vector<std::string>, slots_of>, &slots_schema};
constexpr fields::Own slots_kept{&read_as<std::optional<Value>, keep_of>, &keep_schema};

constexpr places::PlaceRequest usual;

/// On the abdomen as a whole the spot says the quarter.
struct Place {
  std::optional<Zone> named;
  TenthsMm x;
  TenthsMm y;

  Spot spot() const { return {x, y}; }
  Zone zone() const { return named.value_or(places::quarter_at(spot())); }
};
constexpr std::string_view on_the_skin =
    "on the skin; x to the person's left, y towards the head, from the navel on the abdomen, from "
    "the zone's middle elsewhere";
constexpr Field place_fields[] = {OWN_FIELD(Place, named, "zone", place_zone),
                                  OWN_FIELD(Place, x, "x_cm", cm_on_skin)
                                      .bound(-places::spot_most.tenths, places::spot_most)
                                      .about(on_the_skin),
                                  OWN_FIELD(Place, y, "y_cm", cm_on_skin)
                                      .bound(-places::spot_most.tenths, places::spot_most)
                                      .about(on_the_skin)};
constexpr Group place_list = fields::request<Place>(place_fields);

struct Circle {
  Place place;
  TenthsMm radius;
};
constexpr Field circle_fields[] = {
    FIELD(Circle, place, "", &place_list).spread(),
    OWN_FIELD(Circle, radius, "radius_cm", cm_on_skin).bound(0, places::radius_most)};
constexpr Group circle_list = fields::request<Circle>(circle_fields);

struct Used {
  LocalDay day{};
  Place place;
};
constexpr Field used_fields[] = {FIELD(Used, day, "date"),
                                 FIELD(Used, place, "", &place_list).spread()};
constexpr Group used_list = fields::request<Used>(used_fields);

struct Promised {
  LocalDay day{};
  std::string slot;
  Place place;
};
constexpr Field promised_fields[] = {
    FIELD(Promised, day, "date"),
    FIELD(Promised, slot, "slot").stated().bound(1, places::slot_name_bytes_max),
    FIELD(Promised, place, "", &place_list).spread()};
constexpr Group promised_list = fields::request<Promised>(promised_fields);

struct Asked {
  LocalDay from{};
  std::int32_t days = usual.days;
  std::vector<std::string> slots;
  std::vector<Zone> zones;
  std::int32_t rest_days = usual.rest_days;
  TenthsMm spacing = usual.spacing;
  TenthsCm height;
  std::optional<TenthsCm> waist;
  TenthsMm navel_clear = usual.body.navel_clear;
  places::Turn turn = usual.turn;
  std::vector<Circle> blocked;
  std::vector<Used> used;
  std::vector<Promised> promised;
  std::optional<Value> keep;
};
constexpr Field asked_fields[] = {
    FIELD(Asked, from, "from"),
    FIELD(Asked, days, "days").bound(1, places::days_max).unless_said(usual.days),
    OWN_FIELD(Asked, slots, "slots", slot_list)
        .bound(1, places::slots_max)
        .about("one injection each, a day, in this order"),
    OWN_FIELD(Asked, zones, "zones", zone_list).bound(1, fields::no_most).about("that are allowed"),
    FIELD(Asked, rest_days, "rest_days")
        .bound(1, places::rest_days_max)
        .unless_said(usual.rest_days)
        .about("a spot is free again when the dates differ by so many"),
    OWN_FIELD(Asked, spacing, "spacing_cm", cm_on_skin)
        .bound(places::spacing_least, places::spacing_most)
        .unless_said(usual.spacing),
    OWN_FIELD(Asked, height, "height_cm", cm_of_body)
        .bound(in_hundredths(places::height_least), in_hundredths(places::height_most)),
    OWN_FIELD(Asked, waist, "waist_cm", cm_or_null)
        .bound(in_hundredths(places::waist_least), in_hundredths(places::waist_most))
        .optional()
        .about("default: by a proportion from the height"),
    OWN_FIELD(Asked, navel_clear, "navel_clear_cm", cm_on_skin)
        .bound(places::navel_least, places::navel_most)
        .unless_said(usual.body.navel_clear),
    FIELD(Asked, turn, "turn").unless_said(usual.turn).about("when the next zone of a part comes"),
    FIELD(Asked, blocked, "blocked", &circle_list).bound(0, places::blocked_max),
    FIELD(Asked, used, "used", &used_list).bound(0, places::used_max),
    FIELD(Asked, promised, "promised", &promised_list)
        .bound(0, places::promised_max)
        .about("an earlier plan: kept wherever it still can be"),
    OWN_FIELD(Asked, keep, "keep", slots_kept)
        .optional()
        .about("slots that must keep to a part: an object from slot to part, or a list")};
constexpr Group asked_list = fields::request<Asked>(asked_fields);

/// The place of a slot's name among the request's.
Result<std::size_t> slot_of(const places::PlaceRequest& request, const Value& value,
                            std::string_view at) {
  std::vector<std::string_view> names;
  for (const auto& slot : request.slots) names.push_back(slot.name);
  return json::choice_of(value, names, at);
}

Result<void> put_promised(const std::vector<Promised>& asked, places::PlaceRequest& into) {
  for (const auto& one : asked) {
    const auto at = json::pointer(json::pointer("/promised", into.promised.size()), "slot");
    const auto slot = slot_of(into, json::string(one.slot), at);
    if (!slot) return slot.error();
    into.promised.push_back({one.day, *slot, one.place.zone(), one.place.spot()});
  }
  return {};
}

Result<void> keep_slot(const Value& slot, std::string_view slot_at, const Value& part,
                       std::string_view part_at, places::PlaceRequest& into) {
  const auto index = slot_of(into, slot, slot_at);
  if (!index) return index.error();
  auto& kept = into.slots[*index].part;
  if (kept) {
    return Error{Kind::invalid_input,
                 std::string(json::codes::duplicate),
                 {arg_text("field", slot.text)},
                 std::string(slot_at)};
  }
  const auto read = json::enum_of<BodyPart>(part, part_at);
  if (!read) return read.error();
  kept = *read;
  return {};
}

Result<void> read_keep(const Value& value, std::string_view at, places::PlaceRequest& into) {
  if (value.type == json::Type::object) {
    for (const auto& member : value.members) {
      const auto where = json::pointer(at, member.key);
      const auto kept = keep_slot(json::string(member.key), where, member.value, where, into);
      if (!kept) return kept.error();
    }
    return {};
  }
  if (value.type != json::Type::array) return json::type_error(at, "type.object");
  for (std::size_t i = 0; i < value.members.size(); ++i) {
    Reader read(value.members[i].value, json::pointer(at, i));
    const auto* slot = read.need_raw("slot");
    const auto* part = read.need_raw("part");
    if (slot != nullptr && part != nullptr) {
      read.keep(keep_slot(*slot, read.at("slot"), *part, read.at("part"), into));
    }
    if (const auto done = read.done(); !done) return done.error();
  }
  return {};
}

// ---- the answer

std::string_view name_of(Zone zone) { return zone_names[static_cast<std::size_t>(zone)]; }
std::string_view name_of(BodyPart part) { return body_part_names[static_cast<std::size_t>(part)]; }
Value cm(TenthsMm length) { return json::fixed(length.tenths, 2); }
Value size(std::size_t count) { return json::count(static_cast<std::int64_t>(count)); }

std::string told(const places::PlaceRequest& request, const places::Planned& one, const Say& say) {
  const auto [key, args] = place_said(one.zone, one.spot, request.body);
  return say(key, args);
}

Value plan_json(const places::PlaceRequest& request, const places::PlacePlan& plan,
                const Say& say) {
  std::vector<Value> items;
  for (const auto& one : plan.plan) {
    auto item = json::object({{"date", json::string(one.day)},
                              {"slot", json::string(request.slots[one.slot].name)},
                              {"zone", json::string(name_of(one.zone))},
                              {"x_cm", cm(one.spot.x)},
                              {"y_cm", cm(one.spot.y)},
                              {"words", json::string(told(request, one, say))}});
    if (!request.promised.empty()) json::add(item, "kept", json::boolean(one.kept));
    items.push_back(std::move(item));
  }
  return json::array(std::move(items));
}

Value zones_json(const places::PlacePlan& plan) {
  std::vector<Value> items;
  for (const auto& zone : plan.zones) {
    items.push_back(json::object({{"zone", json::string(name_of(zone.zone))},
                                  {"spots", size(zone.spots)},
                                  {"open", size(zone.open)},
                                  {"most", size(zone.bound)},
                                  {"planned", size(zone.planned)}}));
  }
  return json::array(std::move(items));
}

Value slot_parts_json(const places::PlaceRequest& request, const places::PlacePlan& plan) {
  std::vector<Value> items;
  for (std::size_t i = 0; i < plan.slot_parts.size(); ++i) {
    const auto& part = plan.slot_parts[i];
    items.push_back(json::object({{"slot", json::string(request.slots[i].name)},
                                  {"part", part ? json::string(name_of(*part)) : json::null()}}));
  }
  return json::array(std::move(items));
}

std::string caution_text(const places::PlaceRequest& request, const places::PlacePlan& plan,
                         std::string_view code, const Say& say) {
  const auto [key, args] = places_caution_said(request, plan, code);
  return say(key, args);
}

Value cautions_json(const places::PlaceRequest& request, const places::PlacePlan& plan,
                    const Say& say) {
  std::vector<Value> items;
  for (const auto code : plan.cautions) {
    items.push_back(json::object({{"code", json::string(code)},
                                  {"text", json::string(caution_text(request, plan, code, say))}}));
  }
  return json::array(std::move(items));
}

constexpr std::string_view defer_code = "places.defer";

Result<Answer> run_places(const Value& value, const Say& say, const Stopped& /*stopped*/) {
  const auto request = parse_places_request(value);
  if (!request) return request.error();
  const auto plan = places::plan(*request);
  if (!plan) return plan.error();
  return Answer{places_answer_json(*request, *plan, say), places_text(*request, *plan, say)};
}

}  // namespace

Result<places::PlaceRequest> parse_places_request(const Value& request) {
  Asked asked;
  if (const auto read = json::ListReader().object(request, "", asked_list, &asked); !read) {
    return read.error();
  }
  places::PlaceRequest out;
  out.from = asked.from;
  out.days = asked.days;
  for (auto& name : asked.slots) out.slots.push_back({std::move(name), {}, {}});
  out.zones = std::move(asked.zones);
  out.rest_days = asked.rest_days;
  out.spacing = asked.spacing;
  out.body.height = asked.height;
  out.body.waist = asked.waist;
  out.body.navel_clear = asked.navel_clear;
  out.turn = asked.turn;
  for (const auto& one : asked.blocked) {
    out.blocked.push_back({one.place.zone(), one.place.spot(), one.radius});
  }
  for (const auto& one : asked.used) {
    out.used.push_back({one.day, one.place.zone(), one.place.spot()});
  }
  if (const auto put = put_promised(asked.promised, out); !put) return put.error();
  if (asked.keep) {
    if (const auto kept = read_keep(*asked.keep, "/keep", out); !kept) return kept.error();
  }
  return out;
}

Result<places::PlaceRequest> parse_places_request(std::string_view text) {
  const auto value = json::parse(text);
  if (!value) return value.error();
  return parse_places_request(*value);
}

std::pair<std::string, std::vector<Arg>> place_said(Zone zone, Spot spot,
                                                    const places::Body& body) {
  const auto found = places::told(zone, spot, body);
  const bool belly = part_of(zone) == BodyPart::abdomen;
  const bool left = name_of(found.zone).find(" left") != std::string_view::npos;
  // On the thigh nobody is sent to its inner side: the zone is its front and its outer side (Z006).
  const auto inwards = part_of(zone) == BodyPart::thigh ? "_front" : "_inner";
  const std::string corner =
      std::string(found.upper ? "upper" : "lower") + (found.outer ? "_outer" : inwards);
  std::vector<Arg> args{arg_code("side", left ? "side/left" : "side/right"),
                        arg_code("part", "part/" + std::string(name_of(part_of(zone)))),
                        arg_code("corner", "corner/" + corner),
                        arg_count("fingers", found.fingers)};
  if (belly) return {"site.told.belly", std::move(args)};
  return {found.fingers == 0 ? "site.told.middle" : "site.told.other", std::move(args)};
}

std::pair<std::string, std::vector<Arg>> places_caution_said(const places::PlaceRequest& request,
                                                             const places::PlacePlan& plan,
                                                             std::string_view code) {
  std::string moving;
  for (std::size_t i = 0; i < plan.slot_parts.size(); ++i) {
    if (plan.slot_parts[i]) continue;
    moving += (moving.empty() ? "" : ", ") + request.slots[i].name;
  }
  return {std::string(code),
          {arg_text("slots", moving),
           arg_count("broken", static_cast<std::int64_t>(plan.promises_broken)),
           arg_count("rest", request.rest_days), arg_count("longest", plan.longest_rest_days)}};
}

json::Value places_answer_json(const places::PlaceRequest& request, const places::PlacePlan& plan,
                               const Say& say) {
  return json::object(
      {{"plan", plan_json(request, plan, say)},
       {"least_spacing_cm", plan.least_spacing ? cm(*plan.least_spacing) : json::null()},
       {"least_rest_days", json::count(plan.least_rest_days)},
       {"spots", size(plan.spots)},
       {"zones", zones_json(plan)},
       {"slot_parts", slot_parts_json(request, plan)},
       {"longest_rest_days", json::count(plan.longest_rest_days)},
       {"rest_days_bound", json::count(plan.rest_days_bound)},
       {"promises_broken", size(plan.promises_broken)},
       {"cautions", cautions_json(request, plan, say)},
       {"defer", json::string(say(defer_code, {}))}});
}

std::string places_text(const places::PlaceRequest& request, const places::PlacePlan& plan,
                        const Say& say) {
  std::string text;
  std::size_t widest = 0;
  for (const auto& slot : request.slots) widest = std::max(widest, slot.name.size());
  const places::Planned* before = nullptr;
  for (const auto& one : plan.plan) {
    if (before == nullptr || before->day != one.day) {
      const std::vector<Arg> day{arg_date("day", one.day)};
      text += (before == nullptr ? "" : "\n") + say("places.text_day", day) + "\n";
    }
    before = &one;
    const auto& name = request.slots[one.slot].name;
    const std::vector<Arg> args{arg_text("x", format_fixed(one.spot.x.tenths, 2)),
                                arg_text("y", format_fixed(one.spot.y.tenths, 2))};
    text += "  " + name + std::string(widest - name.size() + 2, ' ') + told(request, one, say) +
            "  " + say("places.text_cm", args) + "\n";
  }
  const std::vector<Arg> args{
      arg_count("spots", static_cast<std::int64_t>(plan.spots)),
      arg_count("rest", request.rest_days), arg_count("longest", plan.longest_rest_days),
      arg_count("most", plan.rest_days_bound),
      arg_text("spacing", plan.least_spacing ? format_fixed(plan.least_spacing->tenths, 2) : "-")};
  text += "\n" + say("places.text_rest", args) + "\n";
  if (plan.least_spacing) text += say("places.text_spacing", args) + "\n";
  text += "\n";
  for (const auto code : plan.cautions)
    text += "- " + caution_text(request, plan, code, say) + "\n";
  return text + say(defer_code, {}) + "\n";
}

json::Value places_example() {
  return example_of(R"({"from": "2027-03-01", "days": 28,
 "slots": ["breakfast", "lunch", "supper", "bedtime"], "zones": ["abdomen", "thigh"],
 "rest_days": 28, "spacing_cm": 1, "height_cm": 168,
 "blocked": [{"zone": "abdomen left lower", "x_cm": 7, "y_cm": -6, "radius_cm": 2}],
 "used": [{"date": "2027-02-27", "zone": "thigh left", "x_cm": 1, "y_cm": 2}]})");
}

json::Value places_schema() {
  return json::headed("places: where the next injections go",
                      json::ListSchema().object(asked_list));
}

const Verb places_verb{"places",    &places_example, &places_schema,
                       &run_places, TextForm::list,  Work::heavy};

}  // namespace penstock::verbs
