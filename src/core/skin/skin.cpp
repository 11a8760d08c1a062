#include "core/skin/skin.hpp"

#include <algorithm>
#include <map>
#include <unordered_map>

#include "core/by_age/by_age.hpp"

namespace penstock::skin {
namespace {

using journal::AreaVerdict;
using journal::Effective;

// What was noted about where injections went; read after all of them are known.
struct Noted {
  Zone zone = Zone::abdomen_left_upper;
  std::optional<Spot> spot;
};

class Fold {
 public:
  explicit Fold(Skin& skin) : skin_(skin) {}

  void read(const Effective& fact) {
    effective_ = &fact;
    std::visit(*this, *fact.payload);
  }

  void operator()(const journal::BodyMeasured& body) {
    skin_.sex = body.sex;
    skin_.height = body.height;
    skin_.waist = body.waist;
    skin_.due = body.due;
    skin_.measured_on.reset();
    if (body.height || body.waist) skin_.measured_on = effective_->happened;
  }
  void operator()(const journal::DepthMeasured& depth) {
    skin_.depths.push_back({id(), effective_->happened, depth.zone, depth.depth, depth.sd});
  }
  void operator()(const journal::SkinExamined& examined) {
    skin_.examinations.push_back({id(), effective_->happened, by(), examined});
    for (const auto& finding : examined.findings) {
      auto look = new_look();
      look.centre = finding.centre;
      look.zone = finding.zone;
      look.length = finding.length;
      look.width = finding.width;
      look.seen = finding.seen;
      look.felt = finding.felt;
      look.verdict = finding.verdict;
      add(finding.area, finding.tissue, std::move(look));
    }
  }
  void operator()(const journal::AreaBlocked& blocked) {
    auto look = new_look();
    look.centre = blocked.centre;
    look.zone = blocked.zone;
    look.length = look.width = {blocked.radius.tenths * 2};
    look.drawn = true;
    add(blocked.area, blocked.tissue, std::move(look));
  }
  void operator()(const journal::Injected& injected) {
    Place place{id(), effective_->happened, {}, {}, injected.slot};
    if (injected.zone) {
      place.zone = *injected.zone;
      place.spot = injected.spot;
    }
    injections_.push_back({place, injected.zone.has_value()});
  }
  void operator()(const journal::NeedleOn& needle) {
    if (needle.length.tenths > 0) skin_.fitted = needle.length;
  }
  void operator()(const journal::PlaceNoted& noted) {
    noted_[noted.injection] = {noted.zone, noted.spot};
  }
  void operator()(const journal::PlaceRulesSet& rules) { skin_.rules = rules; }
  void operator()(const journal::PlacePlanGiven& given) {
    skin_.promise = {id(), effective_->happened, given};
  }
  template <class Other>
  void operator()(const Other&) {}

  void finish() {
    for (auto& [place, known] : injections_) {
      if (const auto noted = noted_.find(place.injection); noted != noted_.end()) {
        place.zone = noted->second.zone;
        place.spot = noted->second.spot;
      } else if (!known) {
        ++skin_.without_place;
        continue;
      }
      skin_.places.push_back(place);
    }
  }

 private:
  struct Injection {
    Place place;
    bool known = false;
  };

  const Id& id() const { return effective_->fact->id; }
  const std::string& by() const { return effective_->fact->author; }
  Look new_look() const {
    Look look;
    look.fact = id();
    look.on = effective_->happened;
    look.by = by();
    return look;
  }
  void add(const Id& id, journal::Tissue tissue, Look look) {
    const auto [place, is_new] = areas_.emplace(id, skin_.areas.size());
    if (is_new) skin_.areas.push_back({id, tissue, {}, Trend::first, true});
    auto& area = skin_.areas[place->second];
    area.tissue = tissue;
    area.kept_off = look.verdict == AreaVerdict::keep_off;
    look.tissue = tissue;
    area.trend = trend(area.looks, look);
    area.looks.push_back(std::move(look));
  }
  static Trend trend(const std::vector<Look>& before, const Look& now) {
    const auto same_kind = [&](const Look& look) { return look.drawn == now.drawn; };
    const auto last = std::find_if(before.rbegin(), before.rend(), same_kind);
    if (last == before.rend()) return Trend::first;
    const auto size = [](const Look& look) {
      return std::int64_t{look.length.tenths} * look.width.tenths;
    };
    // Within a fifth either way.
    if (size(now) * 5 > size(*last) * 6) return Trend::growing;
    if (size(now) * 5 < size(*last) * 4) return Trend::shrinking;
    return Trend::same;
  }

  Skin& skin_;
  const Effective* effective_ = nullptr;
  std::vector<Injection> injections_;
  std::unordered_map<Id, Noted, IdHash> noted_;
  std::map<Id, std::size_t> areas_;
};

places::Circle circle_of(const Look& look) {
  // Half the longest way across, rounded up: rather a little more than too little.
  return {look.zone, look.centre, {(std::max(look.length, look.width).tenths + 1) / 2}};
}

bool same_circle(const places::Circle& a, const places::Circle& b) {
  return a.zone == b.zone && a.centre == b.centre && a.radius == b.radius;
}

// A quarter of the abdomen is what lies beyond two lines through the navel; x to the person's left.
bool reaches_quarter(const places::Circle& circle, Zone quarter) {
  const bool left = quarter == Zone::abdomen_left_upper || quarter == Zone::abdomen_left_lower;
  const bool upper = quarter == Zone::abdomen_left_upper || quarter == Zone::abdomen_right_upper;
  const auto beyond = [](std::int32_t at, bool positive) {
    return std::int64_t{std::max(positive ? -at : at, 0)};
  };
  const auto across = beyond(circle.centre.x.tenths, left);
  const auto along = beyond(circle.centre.y.tenths, upper);
  const auto radius = std::int64_t{circle.radius.tenths};
  return across * across + along * along <= radius * radius;
}

bool reaches(const places::Circle& circle, Zone zone) {
  if (circle.zone == zone) return true;
  return part_of(circle.zone) == BodyPart::abdomen && part_of(zone) == BodyPart::abdomen &&
         reaches_quarter(circle, zone);
}

}  // namespace

const Area* Skin::area(const Id& id) const {
  const auto found = std::ranges::find(areas, id, &Area::area);
  return found == areas.end() ? nullptr : &*found;
}

places::Circle Area::circle() const { return circle_of(last()); }

std::optional<When> Area::left_since() const {
  std::optional<When> since;
  bool before = false;
  for (const auto& look : looks) {
    const bool now =
        look.tissue == journal::Tissue::hardened && look.verdict == AreaVerdict::keep_off;
    if (now && !before) since = look.on;
    before = now;
  }
  return since;
}

Skin fold_skin(const journal::History& history) {
  Skin skin;
  Fold fold(skin);
  for (const auto& fact : history.facts) fold.read(fact);
  fold.finish();
  return skin;
}

const Area* kept_off_at(const Skin& skin, Zone zone, const std::optional<Spot>& spot) {
  const auto found = std::ranges::find_if(skin.areas, [&](const Area& area) {
    const auto circle = area.circle();
    const bool holds = spot ? places::same_plane(zone, circle.zone) &&
                                  places::distance(*spot, circle.centre) <= circle.radius
                            : zone == circle.zone;
    return area.kept_off && holds;
  });
  return found == skin.areas.end() ? nullptr : &*found;
}

std::vector<places::BlockedSpell> blocked_spells(const Skin& skin) {
  std::vector<places::BlockedSpell> out;
  for (const auto& area : skin.areas) {
    std::optional<places::BlockedSpell> open;
    const auto close = [&](LocalDay until) {
      open->until = until;
      if (open->from < until) out.push_back(*open);
      open.reset();
    };
    for (const auto& look : area.looks) {
      const auto circle = circle_of(look);
      const bool closes = look.verdict == AreaVerdict::keep_off;
      if (open && closes && same_circle(open->circle, circle)) continue;
      const auto day = look.on.day();
      // What is drawn anew takes the old one's place on the same day as it begins itself.
      if (open) close(closes ? day + std::chrono::days{1} : day);
      if (closes) open = {circle, day + std::chrono::days{1}, std::nullopt};
    }
    if (open) out.push_back(*open);
  }
  return out;
}

bool where_injected(const Skin& skin, const Area& area, LocalDay on, std::int32_t days) {
  const auto circle = area.circle();
  if (skin.rules) {
    const auto& zones = skin.rules->zones;
    if (std::ranges::any_of(zones, [&](Zone zone) { return reaches(circle, zone); })) return true;
  } else if (skin.places.empty() && skin.without_place > 0) {
    return true;  // somebody injects, and nobody said where
  }
  const auto spacing = skin.rules ? skin.rules->spacing : journal::PlaceRulesSet{}.spacing;
  const TenthsMm near{circle.radius.tenths + spacing.tenths};
  const auto first = on - std::chrono::days{days};
  return std::ranges::any_of(skin.places, [&](const Place& place) {
    const auto day = place.on.day();
    if (day <= first || day > on) return false;
    if (!place.spot) return reaches(circle, place.zone);
    return places::same_plane(place.zone, circle.zone) &&
           places::distance(*place.spot, circle.centre) < near;
  });
}

namespace {

Error refused(std::string_view code, std::vector<Arg> args = {}) {
  return {Kind::refused, std::string(code), std::move(args), ""};
}

std::string_view word(journal::SlotName slot) {
  return names_of(slot)[static_cast<std::size_t>(slot)];
}

std::vector<places::Slot> named(const std::vector<SlotWish>& wishes,
                                const journal::PlaceRulesSet& rules) {
  std::vector<places::Slot> out;
  for (std::size_t i = 0; i < wishes.size(); ++i) {
    const auto slot = wishes[i].slot;
    places::Slot one{std::string(word(slot)), {}, wishes[i].prefers};
    const auto end = wishes.begin() + static_cast<std::ptrdiff_t>(i);
    const auto same = std::count_if(wishes.begin(), end,
                                    [slot](const SlotWish& wish) { return wish.slot == slot; });
    if (same > 0) one.name += " " + std::to_string(same + 1);
    const auto decided = std::ranges::find(rules.parts, slot, &journal::SlotPart::slot);
    if (decided != rules.parts.end()) one.part = decided->part;
    out.push_back(std::move(one));
  }
  return out;
}

std::vector<places::Promised> promised(const journal::PlacePlanGiven& given,
                                       const std::vector<SlotWish>& slots, LocalDay from,
                                       LocalDay until) {
  std::vector<places::Promised> out;
  std::map<std::pair<LocalDay, journal::SlotName>, std::size_t> taken;
  for (const auto& place : given.places) {
    if (place.day < from || place.day >= until) continue;
    auto nth = taken[{place.day, place.slot}]++;
    for (std::size_t slot = 0; slot < slots.size(); ++slot) {
      if (slots[slot].slot != place.slot || nth-- != 0) continue;
      out.push_back({place.day, slot, place.zone, place.spot});
      break;
    }
  }
  return out;
}

}  // namespace

std::optional<places::Body> body_of(const Skin& skin) {
  if (!skin.height) return std::nullopt;
  const auto clear = (skin.rules ? *skin.rules : journal::PlaceRulesSet{}).navel_clear;
  return places::Body{*skin.height, skin.waist, clear};
}

Result<places::PlaceRequest> place_request(const Skin& skin, const std::vector<SlotWish>& slots,
                                           LocalDay from, std::int32_t days) {
  const auto body = body_of(skin);
  if (!body) return refused(skin_codes::no_height);
  if (!skin.rules) return refused(skin_codes::no_rules);
  const auto& rules = *skin.rules;
  places::PlaceRequest out;
  out.from = from;
  out.days = days;
  out.slots = named(slots, rules);
  out.zones = rules.zones;
  out.rest_days = rules.rest_days;
  out.spacing = rules.spacing;
  out.body = *body;
  out.turn = rules.turn == journal::Turn::each_week ? places::Turn::each_week
                                                    : places::Turn::each_injection;
  for (const auto& area : skin.areas) {
    if (area.kept_off) out.blocked.push_back(area.circle());
  }
  const auto until = from + std::chrono::days{days};
  // What rested its full time already says nothing about these days.
  const auto rested = from - std::chrono::days{rules.rest_days};
  for (const auto& place : skin.places) {
    const auto day = place.on.day();
    if (place.spot && day > rested && day < until) {
      out.used.push_back({day, place.zone, *place.spot});
    }
  }
  if (skin.promise) out.promised = promised(skin.promise->said, slots, from, until);
  return out;
}

namespace {

// Whose figures hold: the educator's word, else the child's, else the pregnancy's, else adults'.
Result<reach::People> people_for(const Skin& skin, const reach::ReachRequest& so_far) {
  if (skin.rules && !skin.rules->people.empty()) {
    const auto& names = reach::people_names;
    const auto named = std::ranges::find(names, skin.rules->people);
    if (named != names.end()) return static_cast<reach::People>(named - names.begin());
    std::string allowed;
    for (const auto name : names) allowed += (allowed.empty() ? "" : ", ") + std::string(name);
    return refused(skin_codes::people_unknown,
                   {arg_text("people", skin.rules->people), arg_text("allowed", allowed)});
  }
  constexpr std::int32_t adult_from_years = 18;
  if (so_far.age_years && *so_far.age_years < adult_from_years) return reach::People::children;
  return reach::People::adults;
}

bool can_lift_fold(const journal::PlaceRulesSet& rules, const journal::Person& person,
                   BodyPart part) {
  if (rules.can_fold != journal::YesNo::unknown) return rules.can_fold == journal::YesNo::yes;
  // Nobody lifts a fold at the arm and injects there with the same hand (common practice).
  const auto injector = person.background.injector;
  return part != BodyPart::arm ||
         (injector != journal::Injector::self && injector != journal::Injector::unknown);
}

void add_body(reach::ReachRequest& out, const Skin& skin, const journal::Person& person) {
  const auto& weight = person.background.weight;
  if (skin.sex == journal::Sex::unknown || !weight || !skin.height) return;
  const auto bmi = reach::bmi(*weight, *skin.height);
  if (!bmi) return;
  out.sex = skin.sex == journal::Sex::female ? reach::Sex::female : reach::Sex::male;
  out.bmi = bmi;
}

}  // namespace

Result<reach::ReachRequest> reach_request(const Skin& skin, const journal::Person& person,
                                          BodyPart part, LocalDay on) {
  if (!skin.rules) return refused(skin_codes::no_rules);
  const auto& rules = *skin.rules;
  const auto needle = rules.needle ? rules.needle : skin.fitted;
  if (!needle) return refused(skin_codes::no_needle);
  reach::ReachRequest out;
  out.zone = part;
  out.needle = *needle;
  const auto way = by_age::way_of(&rules, needle, by_age::known_of(person), on);
  out.angle_deg = way.angle_deg;
  out.fold = way.fold;
  out.can_fold = can_lift_fold(rules, person, part);
  if (person.registered) out.age_years = journal::age_years(person.born, on);
  // Handed over whoever's figures are used: reach refuses those that do not hold (H27).
  out.pregnancy_week = pregnancy_week(skin, on);
  auto people = people_for(skin, out);
  if (!people) return people.error();
  const bool expects = out.pregnancy_week.has_value() ||
                       (!skin.due && person.background.pregnant == journal::YesNo::yes);
  if (*people == reach::People::adults && rules.people.empty() && expects &&
      (part == BodyPart::abdomen || !out.pregnancy_week)) {
    people = reach::People::pregnant_women;
  }
  out.people = *people;
  if (out.people == reach::People::adults) add_body(out, skin, person);
  for (const auto& depth : skin.depths) {
    if (part_of(depth.zone) != part || depth.on.day() > on) continue;
    out.measured = depth.depth;
    out.measured_sd = depth.sd;
  }
  return out;
}

std::optional<TenthsMm> another_needle(const Skin& skin) {
  const bool differs =
      skin.fitted && skin.rules && skin.rules->needle && *skin.rules->needle != *skin.fitted;
  return differs ? skin.fitted : std::nullopt;
}

std::optional<std::int32_t> pregnancy_week(const Skin& skin, LocalDay on) {
  if (!skin.due) return std::nullopt;
  constexpr int term_days = 280;
  const auto days = term_days - static_cast<int>((*skin.due - on).count());
  const auto week = days / 7;
  if (days < 0 || week < 1 || week > 42) return std::nullopt;
  return week;
}

}  // namespace penstock::skin
