// What a scenario tells of the body, the skin and the places.
#include "spec/story.hpp"

namespace penstock::spec {

void Story::measure(Words& words) {
  journal::BodyMeasured p;
  const auto centimetre = [&](std::string_view what) {
    return TenthsCm{static_cast<std::int32_t>(words.value(parse_fixed(words.next(what), 1), what))};
  };
  if (words.take("height")) p.height = centimetre("the height");
  if (words.take("waist")) p.waist = centimetre("the waist");
  record(p, words);
}

void Story::set_rules(Words& words) {
  journal::PlaceRulesSet p;
  p.zones.push_back(zone(words));
  while (!words.empty()) {
    if (words.take("rest")) {
      p.rest_days = static_cast<std::int32_t>(words.number("days"));
    } else if (words.take("spacing")) {
      p.spacing = centimetres(words, "the spacing");
    } else {
      p.zones.push_back(zone(words));
    }
  }
  record(std::move(p), words);
}

void Story::examine(Words& words) {
  journal::SkinExamined p;
  p.zones.push_back(zone(words));
  while (words.take("found")) {
    journal::SkinFinding found;
    found.area = id_of(words.next("the area's name"));
    found.tissue = one_of<journal::Tissue>(words, "tissue");
    found.zone = p.zones.front();
    words.must("at");
    found.centre = spot(words);
    words.must("size");
    found.length = centimetres(words, "the length");
    found.width = centimetres(words, "the width");
    found.felt = true;
    if (words.take("may-be-used")) {
      found.verdict = journal::AreaVerdict::may_be_used;
    } else {
      words.must("keep-off");
    }
    p.findings.push_back(found);
  }
  record(std::move(p), words);
}

void Story::block(Words& words) {
  journal::AreaBlocked p;
  p.area = id_of(words.next("the area's name"));
  p.tissue = one_of<journal::Tissue>(words, "tissue");
  p.zone = zone(words);
  words.must("at");
  p.centre = spot(words);
  words.must("across");
  p.radius = {centimetres(words, "how far across").tenths / 2};
  record(std::move(p), words);
}

void Story::note_place(Words& words) {
  journal::PlaceNoted p;
  p.injection = named(words).id;
  p.zone = zone(words);
  if (words.take("at")) p.spot = spot(words);
  record(p, words);
}

}  // namespace penstock::spec
