// A trip on paper: what to carry, in two bags, and the question about the dose times, which only
// the prescriber answers (web/src/model.ts: TripSheet).
#include <algorithm>

#include "core/travel/travel.hpp"
#include "edge/drawing/supplies/supplies.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/kit/who.hpp"
#include "edge/pages/next/next.hpp"
#include "edge/pages/sheets/sheets.hpp"
#include "edge/pages/supplies/cover.hpp"
#include "edge/verbs/travel/travel.hpp"
#include "edge/verbs/verbs.hpp"

namespace penstock::pages {
namespace {

using std::chrono::hours;
using verbs::Sentence;

Rich said_of(const Words& words, const Sentence& sentence) {
  return words.sentence(sentence.key, sentence.args);
}

/// What a day of the trip takes at most: the doses of the day of leaving, or of a change on the
/// way.
const std::vector<Units>& doses_of(const supply::House& house, const journal::TripPlanned& trip) {
  const auto units = [](const std::vector<Units>& doses) {
    Units all = Units::zero();
    for (const auto dose : doses) all = sum(all, dose);
    return all;
  };
  const auto* most = &cover::doses_on(house.line, trip.leaves);
  for (const auto& change : house.line.changes) {
    if (change.from <= trip.leaves || change.from > trip.returns) continue;
    if (units(change.doses) > units(*most)) most = &change.doses;
  }
  return *most;
}

travel::Line line_of(const supply::House& house, const std::vector<Units>& doses,
                     const Chart& person, const Clinic& clinic) {
  travel::Line out;
  out.insulin = house.kind.insulin;
  out.purpose = static_cast<travel::Purpose>(house.purpose);
  for (const auto dose : doses) {
    out.a_day = sum(out.a_day, dose);
    out.primes_a_day = sum(out.primes_a_day, house.line.prime);
  }
  out.new_cartridge_prime =
      checked_sub(house.line.new_cartridge_prime, house.line.prime).value_or(Units::zero());
  out.cartridge = house.line.cartridge;
  out.in_use_days = house.line.in_use_days;
  out.doses_a_day = static_cast<std::int32_t>(doses.size());
  out.step = house.line.step;
  if (const auto* entry = clinic.shelf.insulin(house.kind.insulin, house.kind.strength))
    out.limit = entry->thing.in_use_most;
  for (const auto& cartridge : person.ledger.cartridges) {
    if (cartridge.is_loaded() &&
        supply::Kind{cartridge.copy.name, cartridge.copy.strength} == house.kind)
      out.limit = cartridge.copy.in_use_most;
  }
  return out;
}

/// How far the clocks there are ahead, at noon of a day at home (H18: each way has its own).
std::int32_t shift_of(const journal::TripPlanned& trip, LocalDay day, const Chart& person,
                      const ZoneRules& there) {
  if (trip.zone.empty()) return 0;
  const auto noon = person.zone.resolve(LocalTime{day} + hours{12}).at;
  return there.offset_at(noon) - person.zone.offset_at(noon);
}

struct Trip {
  travel::Request request;
  travel::Travel found;
};

Result<Trip> trip_of(const supply::Trip& trip, const Chart& person, const Clinic& clinic,
                     const ZoneRules& there) {
  Trip out;
  out.request.leaves = trip.said.leaves;
  out.request.returns = trip.said.returns;
  out.request.shift_minutes = shift_of(trip.said, trip.said.leaves, person, there);
  out.request.return_shift_minutes = shift_of(trip.said, trip.said.returns, person, there);
  // Worked out of both zones: nobody typed a sign.
  out.request.home_offset_minutes = 0;
  out.request.there_offset_minutes = out.request.shift_minutes;
  out.request.warmest = trip.said.warmest;
  out.request.pharmacy = static_cast<travel::YesNo>(trip.said.pharmacy);
  const auto needed = supply::needed(person.order, person.ledger, person.supply,
                                     person.skin.rules ? person.skin.rules->needle : std::nullopt,
                                     clinic.shelf, clinic.stock, person.zone);
  for (const auto& house : needed.houses) {
    const auto& doses = doses_of(house, trip.said);
    if (doses.empty()) continue;  // ended by then
    out.request.lines.push_back(line_of(house, doses, person, clinic));
    out.request.needles_a_day += out.request.lines.back().doses_a_day;
  }
  auto found = travel::travel(out.request);
  if (!found) return found.error();
  out.found = *std::move(found);
  return out;
}

json::Value carry_rows(const Words& words, const Trip& trip) {
  std::vector<json::Value> out;
  const auto row = [&](std::string_view row_name, std::int64_t all, std::int64_t each,
                       const Rich& why) {
    const auto count = text(said(words, "trip.pieces", {arg_count("count", each)}));
    out.push_back(
        json::object({{"name", text(row_name)},
                      {"all_text", text(said(words, "trip.pieces", {arg_count("count", all)}))},
                      {"bag_texts", list({count, count})},
                      {"text", rich(why)}}));
  };
  for (const auto& carry : trip.found.carry) {
    row(capital(carry.insulin), carry.cartridges, carry.in_each_bag,
        words.sentence("trip.why", {arg_count("needed", carry.cartridges_for_days)}));
    row(said(words, "trip.pens", {arg_text("insulin", carry.insulin)}), carry.pens, 1, {});
  }
  const auto& needles = trip.found.needles;
  if (needles.carried > 0) {
    row(said(words, "cover.needles_name"), needles.carried, needles.in_each_bag,
        words.sentence("trip.needles_why", {arg_count("needed", needles.for_days)}));
  }
  return list(std::move(out));
}

std::string drawing_of(const Words& words, const Trip& trip) {
  drawing::Bags out;
  const auto bag = [&](std::string_view title) {
    drawing::Bags::Bag made;
    made.title = said(words, title);
    for (const auto& carry : trip.found.carry) {
      made.rows.push_back({capital(carry.insulin), carry.in_each_bag,
                           said(words, "trip.sealed", {arg_count("count", carry.in_each_bag)})});
    }
    if (trip.found.needles.in_each_bag > 0) {
      made.needles = said(words, "fact-part.counted_needles",
                          {arg_count("count", trip.found.needles.in_each_bag)});
    }
    return made;
  };
  out.first = bag("trip.head_first");
  out.second = bag("trip.head_second");
  if (trip.found.cooling) out.cool = said(words, "trip.cool");
  return drawing::bags(out);
}

/// The question without any number of units: this goes home, and before the prescriber's answer no
/// dose stands on it (H09, H49). What the published rules come to is `penstock travel`'s, for
/// whoever puts the question.
json::Value question_rows(const Words& words, const Trip& trip) {
  constexpr std::string_view by_verb = "travel.question.", on_paper = "trip.ask.";
  std::vector<json::Value> out;
  for (const auto& question : trip.found.questions) {
    auto said = verbs::travel_question_said(trip.request, question);
    INVARIANT(said.key.starts_with(by_verb));
    said.key.replace(0, by_verb.size(), on_paper);
    std::vector<json::Value> lines;
    for (const auto* key : {"trip.answer_dose", "trip.answer_usual", "trip.answer_who"})
      lines.push_back(say(words, key));
    out.push_back(
        json::object({{"text", rich(said_of(words, said))}, {"answer", list(std::move(lines))}}));
  }
  return list(std::move(out));
}

json::Value cautions_of(const Words& words, const Trip& trip) {
  std::vector<json::Value> out;
  for (const auto& caution : verbs::travel_cautions_said(trip.found)) {
    const bool first = caution.code == travel::travel_cautions::never_left_out;
    out.push_back(
        notice(words, first ? Level::caution : Level::note, said_of(words, caution.sentence)));
  }
  return list(std::move(out));
}

std::string hours_of(std::int32_t minutes) {
  return format_fixed(std::int64_t{minutes} * 100 / 60, 2);
}

/// Notes that it was put to the prescriber. It opens no question: an open one takes the number from
/// every dose, and the trip may be weeks away (H38).
std::optional<json::Value> ask_prescriber(const Words& words, const Trip& trip,
                                          const supply::Trip& planned) {
  if (trip.found.questions.empty()) return std::nullopt;
  auto note = json::object(
      {{"what", text(journal::Note::name)},
       {"text", text(said(words, "trip.question",
                          {arg_text("leaves", words.day_year(planned.said.leaves)),
                           arg_text("returns", words.day_year(planned.said.returns)),
                           arg_text("hours", hours_of(trip.request.shift_minutes)),
                           arg_text("back", hours_of(trip.request.return_shift_minutes.value_or(
                                                trip.request.shift_minutes)))}))}});
  return record_action(words, "act.trip_question", {std::move(note)});
}

}  // namespace

std::string_view trip_zone(const Chart& person, Id fact) {
  const auto& trips = person.supply.trips;
  const auto planned = std::ranges::find(trips, fact, &supply::Trip::fact);
  return planned == trips.end() ? std::string_view{} : planned->said.zone;
}

Result<json::Value> trip_sheet(const Chart& person, const People& people, const Clinic& clinic,
                               const Caller& caller, Id fact, const ZoneRules& there) {
  const auto& trips = person.supply.trips;
  const auto planned = std::ranges::find(trips, fact, &supply::Trip::fact);
  if (planned == trips.end()) return Error{Kind::not_found, std::string(codes::no_trip), {}, ""};
  const auto now = now_at(person, caller);
  const auto trip = trip_of(*planned, person, clinic, there);
  if (!trip) return trip.error();
  const auto* line = interlock::newest_line(person);
  auto out = json::object(
      {{"who", who_of(caller.words, person, people, clinic, now)},
       {"clinic", text(clinic.names.clinic)},
       {"title", text(said(caller.words, "trip.title",
                           {arg_text("leaves", caller.words.day_month(planned->said.leaves)),
                            arg_text("returns", caller.words.day_year(planned->said.returns))}))},
       {"printed_text",
        text(said(caller.words, "trip.printed", {arg_text("when", caller.words.moment(now))}))},
       {"order_text",
        text(line == nullptr ? std::string()
                             : said(caller.words, "order.version_of",
                                    {arg_count("version", line->text.order_version),
                                     arg_text("day", caller.words.day_year(line->text.signed_on)),
                                     arg_text("prescriber", line->text.prescriber)}))},
       {"lead", rich(said_of(caller.words, verbs::travel_lead(trip->request, trip->found)))},
       {"picture", svg(drawing_of(caller.words, *trip))},
       {"carry", carry_rows(caller.words, *trip)},
       {"heads",
        list({text(said(caller.words, "trip.head_what")), text(said(caller.words, "trip.head_all")),
              text(said(caller.words, "trip.head_first")),
              text(said(caller.words, "trip.head_second"))})},
       {"questions", question_rows(caller.words, *trip)},
       {"cautions", cautions_of(caller.words, *trip)},
       {"seen_version", json::count(static_cast<std::int64_t>(person.version))},
       {"last", say(caller.words, "travel.defer")},
       {"low", low_box(caller.words, &person, now.day(), clinic)}});
  if (auto ask = ask_prescriber(caller.words, *trip, *planned))
    json::add(out, "asked", *std::move(ask));
  return out;
}

}  // namespace penstock::pages
