#include "edge/pages/sites/map.hpp"

#include <algorithm>

namespace penstock::pages {
namespace {

using std::chrono::days;

std::int32_t days_ago(const skin::Place& place, const When& now) {
  return static_cast<std::int32_t>((now.day() - place.on.day()).count());
}

bool is_shown(const skin::Place& place, const When& now) {
  const auto ago = days_ago(place, now);
  return ago >= 0 && ago < shown_days;
}

drawing::Rest rest_of(std::int32_t ago, std::int32_t rest_days) {
  const auto left = rest_days - ago;
  if (left <= 0) return drawing::Rest::over;
  return left > half_of_rest(rest_days) ? drawing::Rest::most : drawing::Rest::some;
}

std::size_t count_in(const Chart& person, const When& now, auto&& counts) {
  return static_cast<std::size_t>(std::ranges::count_if(
      person.skin.places,
      [&](const skin::Place& place) { return is_shown(place, now) && counts(place.zone); }));
}

std::vector<drawing::PlaceMark> marks_of(const Chart& person, const When& now) {
  std::vector<drawing::PlaceMark> out;
  const auto rest_days = person.skin.rules ? person.skin.rules->rest_days : shown_days;
  for (const auto& place : person.skin.places) {
    if (!place.spot || !is_shown(place, now)) continue;
    out.push_back({place.zone, *place.spot, rest_of(days_ago(place, now), rest_days),
                   to_text(place.injection)});
  }
  return out;
}

}  // namespace

bool has_part(std::span<const Zone> zones, BodyPart part) {
  return std::ranges::any_of(zones, [part](Zone zone) { return part_of(zone) == part; });
}

std::vector<Zone> allowed_zones(const Chart& person) {
  if (person.skin.rules) return person.skin.rules->zones;
  std::vector<Zone> out;
  for (std::size_t i = 0; i < zone_names.size(); ++i) {
    const auto zone = static_cast<Zone>(i);
    if (part_of(zone) != BodyPart::arm) out.push_back(zone);
  }
  return out;
}

std::string side_count(const Words& words, const Chart& person, BodyPart part, bool left,
                       const When& now) {
  const auto count = count_in(
      person, now, [&](Zone zone) { return part_of(zone) == part && is_left(zone) == left; });
  return said(
      words, "site.in_days",
      {arg_count("count", static_cast<std::int64_t>(count)), arg_count("days", shown_days)});
}

drawing::OnSkin on_skin(const Words& words, const Chart& person, const places::Body& body,
                        const When& now) {
  drawing::OnSkin out;
  out.height = body.height;
  out.waist = body.waist;
  const auto spacing = person.skin.rules ? person.skin.rules->spacing : TenthsMm{100};
  for (const auto zone : allowed_zones(person)) {
    drawing::ZoneShape shape;
    shape.zone = zone;
    shape.corners = places::outline(zone, body).corners;
    shape.spots = places::lattice(zone, body, spacing);
    const auto count = count_in(person, now, [&](Zone other) { return other == zone; });
    if (count > 0 && part_of(zone) != BodyPart::abdomen)
      shape.count_label =
          said(words, "site.times", {arg_count("count", static_cast<std::int64_t>(count))});
    out.zones.push_back(std::move(shape));
  }
  out.places = marks_of(person, now);
  for (const auto& area : person.skin.areas) {
    if (!area.kept_off) continue;
    const auto circle = area.circle();
    out.areas.push_back({circle.zone, circle.centre, circle.radius,
                         words.name("mark/" + word_of(area.tissue)), to_text(area.area)});
  }
  return out;
}

namespace {

drawing::Plate bare_plate(const Words& words, BodyPart part, const places::Body& body,
                          const drawing::OnSkin& skin) {
  drawing::Plate plate;
  plate.part = part;
  plate.skin = skin;
  plate.navel_clear = body.navel_clear;
  plate.clear_label = said(words, "site.clear");
  plate.cm_word = words.name("cm");
  const auto side = [&](std::string_view name) {
    return capital(said(words, "site.side",
                        {arg_code("side", "side/" + std::string(name)),
                         arg_code("part", "part/" + word_of(part))}));
  };
  plate.left_label = side("left");
  plate.right_label = side("right");
  plate.from_label = said(words, "site.middle");
  return plate;
}

}  // namespace

std::string plate_of(const Words& words, const Chart& person, BodyPart part,
                     const places::Body& body, const drawing::OnSkin& skin, const When& now) {
  auto plate = bare_plate(words, part, body, skin);
  plate.left_count = side_count(words, person, part, true, now);
  plate.right_count = side_count(words, person, part, false, now);
  plate.alt = said(words, "site.plate_alt",
                   {arg_code("part", "part/" + word_of(part)), arg_text("left", plate.left_count),
                    arg_text("right", plate.right_count)});
  return drawing::plate(plate);
}

std::string plan_plate_of(const Words& words, BodyPart part, const places::Body& body,
                          drawing::OnSkin skin, std::span<const Site> coming) {
  skin.places.clear();
  for (std::size_t i = 0; i < coming.size(); ++i)
    skin.next.push_back({coming[i].zone, coming[i].spot, std::to_string(i + 1), i == 0});
  auto plate = bare_plate(words, part, body, skin);
  plate.alt = said(words, "site.coming_alt", {arg_code("part", "part/" + word_of(part))});
  return drawing::plate(plate);
}

}  // namespace penstock::pages
