#include "core/places/internal/check.hpp"

#include <algorithm>
#include <string>

namespace penstock::places::internal {
namespace {

using Found = std::optional<Error>;

Error invalid(std::string_view code, std::string_view at, std::vector<Arg> args = {}) {
  return {Kind::invalid_input, std::string(code), std::move(args), std::string(at)};
}
std::string item(std::string_view list, std::size_t index, std::string_view field = "") {
  std::string at = "/" + std::string(list) + "/" + std::to_string(index);
  if (!field.empty()) at += "/" + std::string(field);
  return at;
}
Arg arg_body(std::string_view name, TenthsCm length) { return arg_text(name, format(length)); }

Found wrong_days(const PlaceRequest& r) {
  if (r.days >= 1 && r.days <= days_max) return {};
  return invalid(places_codes::days_limit, "/days",
                 {arg_count("days", r.days), arg_count("most", days_max)});
}

Found wrong_slots(const PlaceRequest& r) {
  const auto& slots = r.slots;
  if (slots.empty()) return invalid(places_codes::no_slot, "/slots");
  if (slots.size() > slots_max) {
    return invalid(places_codes::slots_limit, "/slots",
                   {arg_size("count", slots.size()), arg_size("most", slots_max)});
  }
  for (std::size_t i = 0; i < slots.size(); ++i) {
    if (!slots[i].name.empty() && slots[i].name.size() <= slot_name_bytes_max) continue;
    return invalid(places_codes::slot_name, item("slots", i),
                   {arg_size("most", slot_name_bytes_max)});
  }
  for (std::size_t i = 0; i < slots.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      if (slots[i].name != slots[j].name) continue;
      return invalid(places_codes::slot_twice, item("slots", i), {arg_text("slot", slots[i].name)});
    }
  }
  return {};
}

Found wrong_zones(const PlaceRequest& r) {
  if (!r.zones.empty()) return {};
  return invalid(places_codes::no_zone, "/zones");
}

Found wrong_rest(const PlaceRequest& r) {
  if (r.rest_days < 1 || r.rest_days > rest_days_max) {
    return invalid(places_codes::rest_limit, "/rest_days",
                   {arg_count("days", r.rest_days), arg_count("most", rest_days_max)});
  }
  if (r.spacing < spacing_least || r.spacing > spacing_most) {
    return invalid(places_codes::spacing_limit, "/spacing_cm",
                   {arg_cm("spacing", r.spacing), arg_cm("least", spacing_least),
                    arg_cm("most", spacing_most)});
  }
  return {};
}

Found wrong_body(const PlaceRequest& r) {
  const Body& body = r.body;
  if (body.height < height_least || body.height > height_most) {
    return invalid(places_codes::height_limit, "/height_cm",
                   {arg_body("height", body.height), arg_body("least", height_least),
                    arg_body("most", height_most)});
  }
  if (body.waist && (*body.waist < waist_least || *body.waist > waist_most)) {
    return invalid(places_codes::waist_limit, "/waist_cm",
                   {arg_body("waist", *body.waist), arg_body("least", waist_least),
                    arg_body("most", waist_most)});
  }
  if (body.navel_clear < navel_least || body.navel_clear > navel_most) {
    return invalid(places_codes::navel_limit, "/navel_clear_cm",
                   {arg_cm("clear", body.navel_clear), arg_cm("least", navel_least),
                    arg_cm("most", navel_most)});
  }
  return {};
}

bool far_out(Spot spot) {
  const auto most = spot_most.tenths;
  return spot.x.tenths > most || spot.x.tenths < -most || spot.y.tenths > most ||
         spot.y.tenths < -most;
}

Found wrong_circles(const PlaceRequest& r) {
  for (std::size_t i = 0; i < r.blocked.size(); ++i) {
    const auto radius = r.blocked[i].radius;
    if (radius.tenths >= 0 && radius <= radius_most) continue;
    return invalid(places_codes::circle_limit, item("blocked", i, "radius_cm"),
                   {arg_cm("radius", radius), arg_cm("most", radius_most)});
  }
  const auto many = [](std::string_view field, std::size_t count, std::size_t most) -> Found {
    if (count <= most) return {};
    return invalid(places_codes::too_many, "/" + std::string(field),
                   {arg_text("field", field), arg_size("count", count), arg_size("most", most)});
  };
  if (auto found = many("blocked", r.blocked.size(), blocked_max)) return found;
  if (auto found = many("used", r.used.size(), used_max)) return found;
  return many("promised", r.promised.size(), promised_max);
}

template <class List, class Place>
Found wrong_spots(const List& list, std::string_view name, Place place) {
  for (std::size_t i = 0; i < list.size(); ++i) {
    if (!far_out(place(list[i]))) continue;
    return invalid(places_codes::spot_limit, item(name, i), {arg_cm("most", spot_most)});
  }
  return {};
}

Found wrong_places(const PlaceRequest& r) {
  if (auto found = wrong_spots(r.blocked, "blocked", [](const Circle& c) { return c.centre; })) {
    return found;
  }
  if (auto found = wrong_spots(r.used, "used", [](const Used& u) { return u.spot; })) return found;
  if (auto found = wrong_spots(r.promised, "promised", [](const Promised& p) { return p.spot; })) {
    return found;
  }
  for (std::size_t i = 0; i < r.promised.size(); ++i) {
    if (r.promised[i].slot < r.slots.size()) continue;
    return invalid(places_codes::promised_slot, item("promised", i, "slot"));
  }
  return {};
}

Found wrong_parts(const PlaceRequest& r) {
  for (std::size_t i = 0; i < r.slots.size(); ++i) {
    const auto part = r.slots[i].part;
    if (!part) continue;
    const auto there = [&](Zone zone) { return part_of(zone) == *part; };
    if (std::ranges::any_of(r.zones, there)) continue;
    return Error{
        Kind::refused,
        std::string(places_codes::part_not_allowed),
        {arg_text("slot", r.slots[i].name),
         arg_code("part", "part/" + std::string(body_part_names[static_cast<std::size_t>(*part)]))},
        item("slots", i)};
  }
  return {};
}

}  // namespace

Arg arg_cm(std::string_view name, TenthsMm length) {
  return arg_text(name, format_fixed(length.tenths, 2));
}

std::optional<Error> wrong(const PlaceRequest& request) {
  constexpr Found (*checks[])(const PlaceRequest&) = {wrong_days,   wrong_slots, wrong_zones,
                                                      wrong_rest,   wrong_body,  wrong_circles,
                                                      wrong_places, wrong_parts};
  for (const auto check : checks) {
    if (auto found = check(request)) return found;
  }
  return {};
}

}  // namespace penstock::places::internal
