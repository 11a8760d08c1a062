#include "edge/verbs/places/places.hpp"

#include <algorithm>
#include <limits>

namespace penstock::verbs {
namespace {

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

template <class Into, class Read>
void put(Reader& read, std::string_view key, const Value* value, Into& into, Read one) {
  if (value == nullptr) return;
  const auto result = one(*value, read.at(key));
  if (!result) return read.fail(result.error());
  into = *result;
}
void need_cm(Reader& read, std::string_view key, TenthsMm& into) {
  put(read, key, read.need_raw(key), into, cm_of);
}

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

/// The zone and the spot of one place; on the abdomen as a whole the spot says the quarter.
void read_place(Reader& read, Zone& zone, Spot& spot) {
  std::optional<Zone> named;
  if (const auto* raw = read.need_raw("zone")) {
    put(read, "zone", raw, named, place_zone_of);
  }
  need_cm(read, "x_cm", spot.x);
  need_cm(read, "y_cm", spot.y);
  zone = named.value_or(places::quarter_at(spot));
}

Result<void> read_circle(const Value& value, std::string_view at, places::Circle& into) {
  Reader read(value, at);
  read_place(read, into.zone, into.centre);
  need_cm(read, "radius_cm", into.radius);
  return read.done();
}

Result<void> read_used(const Value& value, std::string_view at, places::Used& into) {
  Reader read(value, at);
  read.need("date", into.day);
  read_place(read, into.zone, into.spot);
  return read.done();
}

/// The place of a slot's name among the request's.
Result<std::size_t> slot_of(const places::PlaceRequest& request, const Value& value,
                            std::string_view at) {
  std::vector<std::string_view> names;
  for (const auto& slot : request.slots) names.push_back(slot.name);
  return json::choice_of(value, names, at);
}

Result<void> read_promised(const places::PlaceRequest& request, const Value& value,
                           std::string_view at, places::Promised& into) {
  Reader read(value, at);
  read.need("date", into.day);
  if (const auto* slot = read.need_raw("slot")) {
    put(read, "slot", slot, into.slot,
        [&](const Value& name, std::string_view where) { return slot_of(request, name, where); });
  }
  read_place(read, into.zone, into.spot);
  return read.done();
}

template <class One, class ReadOne>
Result<void> read_list(const Value& value, std::string_view at, std::vector<One>& into,
                       ReadOne read_one) {
  if (value.type != json::Type::array) return json::type_error(at, "type.array");
  for (std::size_t i = 0; i < value.members.size(); ++i) {
    One one;
    const auto read = read_one(value.members[i].value, json::pointer(at, i), one);
    if (!read) return read.error();
    into.push_back(std::move(one));
  }
  return {};
}

Result<void> read_slots(const Value& value, std::string_view at, places::PlaceRequest& into) {
  return read_list(value, at, into.slots,
                   [](const Value& item, std::string_view where, places::Slot& slot) {
                     return json::get(item, where, slot.name);
                   });
}

Result<void> read_zones(const Value& value, std::string_view at, places::PlaceRequest& into) {
  static const std::vector<std::string_view> names = [] {
    std::vector<std::string_view> all(body_part_names.begin(), body_part_names.end());
    all.insert(all.end(), zone_names.begin(), zone_names.end());
    return all;
  }();
  if (value.type != json::Type::array) return json::type_error(at, "type.array");
  for (std::size_t i = 0; i < value.members.size(); ++i) {
    const auto name = json::choice_of(value.members[i].value, names, json::pointer(at, i));
    if (!name) return name.error();
    for (std::size_t n = 0; n < zone_names.size(); ++n) {
      const auto zone = static_cast<Zone>(n);
      const bool named = *name < body_part_names.size()
                             ? part_of(zone) == static_cast<BodyPart>(*name)
                             : n == *name - body_part_names.size();
      const bool there = std::ranges::find(into.zones, zone) != into.zones.end();
      if (named && !there) into.zones.push_back(zone);
    }
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

void read_body(Reader& read, places::Body& body) {
  put(read, "height_cm", read.need_raw("height_cm"), body.height, body_of);
  if (const auto* waist = read.may_raw("waist_cm"); waist && waist->type != json::Type::null) {
    put(read, "waist_cm", waist, body.waist, body_of);
  }
  put(read, "navel_clear_cm", read.may_raw("navel_clear_cm"), body.navel_clear, cm_of);
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

// Limits as in core/places; a test compares them.
constexpr std::string_view schema_text = R"({
  "$schema": "https://json-schema.org/draft/2020-12/schema",
  "title": "places: where the next injections go",
  "type": "object",
  "additionalProperties": false,
  "required": ["from", "slots", "zones", "height_cm"],
  "$defs": {
    "date": {"type": "string", "format": "date"},
    "cm": {"type": "number", "minimum": -50, "maximum": 50, "multipleOf": 0.01, "description": "on the skin; x to the person's left, y towards the head, from the navel on the abdomen, from the zone's middle elsewhere"},
    "part": {"enum": ["abdomen", "thigh", "buttock", "arm"]},
    "zone": {"enum": ["abdomen left upper", "abdomen left lower", "abdomen right upper", "abdomen right lower", "thigh left", "thigh right", "buttock left", "buttock right", "arm left", "arm right"], "description": "the person's own left"},
    "place": {"anyOf": [{"$ref": "#/$defs/zone"}, {"const": "abdomen"}]},
    "slot": {"type": "string", "minLength": 1, "maxLength": 64}
  },
  "properties": {
    "from": {"$ref": "#/$defs/date"},
    "days": {"type": "integer", "minimum": 1, "maximum": 366, "default": 28},
    "slots": {"type": "array", "minItems": 1, "maxItems": 12, "uniqueItems": true, "items": {"$ref": "#/$defs/slot"}, "description": "one injection each, a day, in this order"},
    "zones": {"type": "array", "minItems": 1, "items": {"anyOf": [{"$ref": "#/$defs/part"}, {"$ref": "#/$defs/zone"}]}, "description": "that are allowed"},
    "rest_days": {"type": "integer", "minimum": 1, "maximum": 366, "default": 28, "description": "a spot is free again when the dates differ by so many"},
    "spacing_cm": {"type": "number", "minimum": 1, "maximum": 10, "multipleOf": 0.01, "default": 1},
    "height_cm": {"type": "number", "minimum": 40, "maximum": 250},
    "waist_cm": {"type": ["number", "null"], "minimum": 25, "maximum": 250, "description": "default: by a proportion from the height"},
    "navel_clear_cm": {"type": "number", "minimum": 1, "maximum": 10, "multipleOf": 0.01, "default": 5},
    "turn": {"enum": ["each injection", "each week"], "default": "each injection", "description": "when the next zone of a part comes"},
    "keep": {
      "description": "slots that must keep to a part: an object from slot to part, or a list",
      "anyOf": [
        {"type": "object", "additionalProperties": {"$ref": "#/$defs/part"}},
        {"type": "array", "items": {"type": "object", "additionalProperties": false, "required": ["slot", "part"],
          "properties": {"slot": {"$ref": "#/$defs/slot"}, "part": {"$ref": "#/$defs/part"}}}}
      ]
    },
    "blocked": {
      "type": "array",
      "maxItems": 200,
      "items": {
        "type": "object",
        "additionalProperties": false,
        "required": ["zone", "x_cm", "y_cm", "radius_cm"],
        "properties": {
          "zone": {"$ref": "#/$defs/place"},
          "x_cm": {"$ref": "#/$defs/cm"},
          "y_cm": {"$ref": "#/$defs/cm"},
          "radius_cm": {"type": "number", "minimum": 0, "maximum": 30, "multipleOf": 0.01}
        }
      }
    },
    "used": {
      "type": "array",
      "maxItems": 20000,
      "items": {
        "type": "object",
        "additionalProperties": false,
        "required": ["date", "zone", "x_cm", "y_cm"],
        "properties": {
          "date": {"$ref": "#/$defs/date"},
          "zone": {"$ref": "#/$defs/place"},
          "x_cm": {"$ref": "#/$defs/cm"},
          "y_cm": {"$ref": "#/$defs/cm"}
        }
      }
    },
    "promised": {
      "description": "an earlier plan: kept wherever it still can be",
      "type": "array",
      "maxItems": 5000,
      "items": {
        "type": "object",
        "additionalProperties": false,
        "required": ["date", "slot", "zone", "x_cm", "y_cm"],
        "properties": {
          "date": {"$ref": "#/$defs/date"},
          "slot": {"$ref": "#/$defs/slot"},
          "zone": {"$ref": "#/$defs/place"},
          "x_cm": {"$ref": "#/$defs/cm"},
          "y_cm": {"$ref": "#/$defs/cm"}
        }
      }
    }
  }
})";

Value parsed(std::string_view text) {
  auto value = json::parse(text);
  INVARIANT(value.has_value());
  return *std::move(value);
}

/// What the slots need is known only when they were read.
void read_lists(Reader& read, places::PlaceRequest& out) {
  if (const auto* blocked = read.may_raw("blocked")) {
    read.keep(read_list(*blocked, read.at("blocked"), out.blocked, read_circle));
  }
  if (const auto* used = read.may_raw("used")) {
    read.keep(read_list(*used, read.at("used"), out.used, read_used));
  }
  if (const auto* promised = read.may_raw("promised")) {
    const auto one = [&out](const Value& value, std::string_view at, places::Promised& into) {
      return read_promised(out, value, at, into);
    };
    read.keep(read_list(*promised, read.at("promised"), out.promised, one));
  }
}

}  // namespace

Result<places::PlaceRequest> parse_places_request(const Value& request) {
  places::PlaceRequest out;
  Reader read(request);
  read.need("from", out.from);
  read.may("days", out.days);
  if (const auto* slots = read.need_raw("slots")) {
    read.keep(read_slots(*slots, read.at("slots"), out));
  }
  if (const auto* zones = read.need_raw("zones")) {
    read.keep(read_zones(*zones, read.at("zones"), out));
  }
  read.may("rest_days", out.rest_days);
  put(read, "spacing_cm", read.may_raw("spacing_cm"), out.spacing, cm_of);
  read_body(read, out.body);
  read.may("turn", out.turn);
  read_lists(read, out);
  if (const auto* keep = read.may_raw("keep")) {
    read.keep(read_keep(*keep, read.at("keep"), out));
  }
  if (const auto done = read.done(); !done) return done.error();
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
  const std::string corner =
      std::string(found.upper ? "upper" : "lower") + (found.outer ? "_outer" : "_inner");
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
  return parsed(R"({"from": "2027-03-01", "days": 28,
 "slots": ["breakfast", "lunch", "supper", "bedtime"], "zones": ["abdomen", "thigh"],
 "rest_days": 28, "spacing_cm": 1, "height_cm": 168,
 "blocked": [{"zone": "abdomen left lower", "x_cm": 7, "y_cm": -6, "radius_cm": 2}],
 "used": [{"date": "2027-02-27", "zone": "thigh left", "x_cm": 1, "y_cm": 2}]})");
}

json::Value places_schema() { return parsed(schema_text); }

const Verb places_verb{"places",    &places_example, &places_schema,
                       &run_places, TextForm::list,  Work::heavy};

}  // namespace penstock::verbs
