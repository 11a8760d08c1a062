#include "edge/pages/sites/sites.hpp"

#include <algorithm>

#include "edge/verbs/places/places.hpp"

namespace penstock::pages {
namespace {

using namespace journal;
using std::chrono::days;

// Mealtime insulin where it is absorbed fastest, background insulin where it is not in the way:
// abdomen before arm before thigh (Koivisto 1980), and the consensus's order of zones (from
// memory).
std::vector<BodyPart> preferred_for(Purpose purpose) {
  if (purpose == Purpose::background)
    return {BodyPart::thigh, BodyPart::buttock, BodyPart::abdomen, BodyPart::arm};
  return {BodyPart::abdomen, BodyPart::arm, BodyPart::thigh, BodyPart::buttock};
}

struct Column {
  Id line;
  skin::SlotWish wish;
};

std::vector<Column> columns_of(const Chart& person, const std::vector<order::Due>& dues) {
  std::vector<Column> out;
  for (const auto& due : dues) {
    const auto* line = person.order.line(due.line);
    if (line != nullptr) out.push_back({due.line, {due.name, preferred_for(line->text.purpose)}});
  }
  return out;
}

std::vector<Rich> cautions_of(const Words& words, const places::PlaceRequest& request,
                              const places::PlacePlan& plan) {
  std::vector<Rich> out;
  for (const auto code : plan.cautions) {
    const auto [key, args] = verbs::places_caution_said(request, plan, code);
    out.push_back(words.sentence(key, args));
  }
  return out;
}

struct Planner {
  const Words& words;
  const Chart& person;
  Sites& out;
  std::optional<LocalDay> weeks_from;
  std::vector<places::Used> planned_today{};

  // One stretch of days; false when the body refuses.
  bool stretch(const std::vector<Column>& columns, LocalDay from, std::int32_t count) {
    std::vector<skin::SlotWish> wishes;
    for (const auto& column : columns) wishes.push_back(column.wish);
    auto request = skin::place_request(person.skin, wishes, from, count);
    if (!request) {
      out.refusal = request.error();
      return false;
    }
    request->weeks_from = weeks_from;
    request->used.insert(request->used.end(), planned_today.begin(), planned_today.end());
    auto plan = places::plan(*request);
    if (!plan) {
      out.refusal = plan.error();
      return false;
    }
    for (const auto& one : plan->plan) {
      const auto& column = columns[one.slot];
      out.plan.push_back({one.day, column.wish.slot, column.line, one.zone, one.spot, one.kept});
    }
    out.cautions = cautions_of(words, *request, *plan);
    out.figures = *std::move(plan);
    return true;
  }
};

}  // namespace

const Site* Sites::for_due(const order::Due& due) const {
  for (const auto& site : plan) {
    if (site.day == due.day && site.slot == due.name && site.line == due.line) return &site;
  }
  return nullptr;
}

Sites sites_of(const Words& words, const Chart& person, const When& now, std::int32_t count,
               std::optional<LocalDay> weeks_from) {
  Sites out;
  const auto today = now.day();
  auto dues = order::due_on(person.order, today + days{1}, person.zone);
  auto open_today = order::due_on(person.order, today, person.zone);
  if (dues.empty()) dues = open_today;
  std::erase_if(open_today, [&](const order::Due& due) {
    return due.to.at < now.at || !order::given_for(person.order, due).empty();
  });
  const auto columns = columns_of(person, dues);
  for (const auto& column : columns) out.slots.push_back(column.wish.slot);
  const auto& promise = person.skin.promise;
  if (!weeks_from && promise && !promise->said.places.empty())
    weeks_from = promise->said.places.front().day;
  Planner planner{words, person, out, weeks_from};
  if (!open_today.empty()) {
    if (!planner.stretch(columns_of(person, open_today), today, 1)) return out;
    for (const auto& site : out.plan)
      planner.planned_today.push_back({site.day, site.zone, site.spot});
  }
  if (count > 0) planner.stretch(columns, today + days{1}, count);
  return out;
}

std::string zone_words(const Words& words, Zone zone) { return words.name(word_of(zone)); }

std::string place_words(const Words& words, Zone zone, Spot spot, const places::Body& body) {
  const auto [key, args] = verbs::place_said(zone, spot, body);
  return said(words, key, args);
}

Result<PersonReach> reach_of(const Chart& person, BodyPart part, LocalDay on) {
  const auto request = skin::reach_request(person.skin, person.person, part, on);
  if (!request) return request.error();
  PersonReach out{*request, reach::reach(*request)};
  if (!out.found) return out;
  const auto& allowed = person.skin.rules->zones;  // there are rules, or there were no needle
  std::erase_if(out.found->changes, [&](const reach::Better& change) {
    return change.change == reach::Change::zone &&
           std::ranges::none_of(allowed, [&](Zone zone) { return part_of(zone) == change.zone; });
  });
  out.found->better.reset();
  if (!out.found->changes.empty()) out.found->better = out.found->changes.front();
  return out;
}

}  // namespace penstock::pages
