// What a scenario expects of the skin: areas, places, and what a plan makes of them.
#include <algorithm>

#include "spec/expectations.hpp"

namespace penstock::spec {
namespace {

std::string in_centimetres(TenthsMm length) { return format_fixed(length.tenths, 2); }

const skin::Area& area(Words& words, const skin::Skin& skin) {
  const auto name = words.next("the area's name");
  const auto* found = skin.area(Story::id_of(name));
  if (found == nullptr) words.fail("no fact names the area " + name);
  return *found;
}

void expect_area(Words& words, const skin::Skin& skin) {
  static constexpr std::string_view trends[] = {"first", "growing", "same", "shrinking"};
  const auto& found = area(words, skin);
  same(words, "area", words.next("kept-off or open"), found.kept_off ? "kept-off" : "open");
  while (!words.empty()) {
    const auto what = words.next("what is expected");
    const auto wanted = words.next("how it should be");
    if (what == "looks") {
      same(words, what, wanted, std::to_string(found.looks.size()));
    } else if (what == "trend") {
      same(words, what, wanted, std::string(trends[static_cast<std::size_t>(found.trend)]));
    } else if (what == "across") {
      same(words, what, wanted, in_centimetres({found.circle().radius.tenths * 2}));
    } else {
      words.fail(what + " is nothing that an area has");
    }
  }
}

void expect_place(Words& words, const skin::Skin& skin, const Story& story) {
  const auto injection = Story::id_of(words.next("the injection's name"));
  if (std::ranges::find(story.facts(), injection, &journal::Fact::id) == story.facts().end()) {
    words.fail("no fact has that name");
  }
  const auto found = std::ranges::find(skin.places, injection, &skin::Place::injection);
  if (words.take("gone") || words.take("nobody-knows")) {
    if (found != skin.places.end()) words.fail("its place is known");
    return;
  }
  if (found == skin.places.end()) words.fail("its place is not known");
  const auto wanted = zone(words);
  same(words, "zone", std::string(zone_names[static_cast<std::size_t>(wanted)]),
       std::string(zone_names[static_cast<std::size_t>(found->zone)]));
  const auto text = [](std::optional<Spot> spot) {
    return spot ? in_centimetres(spot->x) + " " + in_centimetres(spot->y) : "not known";
  };
  same(words, "spot", text(words.take("at") ? std::optional(spot(words)) : std::nullopt),
       text(found->spot));
}

void expect_plan(Words& words, const skin::Skin& skin, const Story& story) {
  const auto days = static_cast<std::int32_t>(words.number("how many days"));
  words.must("days");
  const bool goes_into = words.take("goes-into");
  if (!goes_into) words.must("keeps-off");
  const auto circle = area(words, skin).circle();
  const auto last =
      std::ranges::max(story.facts(), {}, [](const auto& f) { return f.happened.at; });
  const auto tomorrow = last.happened.day() + std::chrono::days{1};
  const auto request = skin::place_request(skin, {{journal::SlotName::bedtime}}, tomorrow, days);
  if (!request) words.fail("no plan can be asked for: " + request.error().code);
  const auto plan = places::plan(*request);
  if (!plan) words.fail("there is no plan: " + plan.error().code);
  const auto inside = [&](const places::Planned& one) {
    return places::same_plane(one.zone, circle.zone) &&
           places::distance(one.spot, circle.centre) < circle.radius;
  };
  const auto count = std::ranges::count_if(plan->plan, inside);
  if ((count > 0) == goes_into) return;
  words.fail(std::to_string(count) + " places of the plan lie in that area");
}

}  // namespace

bool expect_skin(Words& words, const std::string& what, const skin::Skin& skin,
                 const Story& story) {
  if (what == "area") {
    expect_area(words, skin);
  } else if (what == "place") {
    expect_place(words, skin, story);
  } else if (what == "plan") {
    expect_plan(words, skin, story);
  } else {
    return false;
  }
  return true;
}

}  // namespace penstock::spec
