// A trip on paper: what to carry, in two bags, and the question about the dose times, which only
// the prescriber answers (web/src/model.ts: TripSheet).
#include <algorithm>

#include "core/travel/travel.hpp"
#include "edge/json/json.hpp"
#include "edge/verbs/travel/travel.hpp"
#include "edge/verbs/verbs.hpp"
#include "shell/desk/internal/inside.hpp"
#include "shell/desk/internal/next.hpp"
#include "shell/desk/internal/supply_page.hpp"
#include "shell/desk/internal/trips.hpp"
#include "shell/desk/internal/who.hpp"

namespace penstock::desk {
namespace {

using std::chrono::hours;
using verbs::Sentence;

Rich said_of(const Sentence& sentence) { return english().sentence(sentence.key, sentence.args); }

travel::Line line_of(const supply::House& house, const Folded& person, const ClinicState& clinic) {
  travel::Line out;
  out.insulin = house.kind.insulin;
  out.purpose = static_cast<travel::Purpose>(house.purpose);
  for (const auto dose : house.line.doses) {
    out.a_day = sum(out.a_day, dose);
    out.primes_a_day = sum(out.primes_a_day, house.line.prime);
  }
  out.new_cartridge_prime =
      checked_sub(house.line.new_cartridge_prime, house.line.prime).value_or(Units::zero());
  out.cartridge = house.line.cartridge;
  out.in_use_days = house.line.in_use_days;
  out.doses_a_day = static_cast<std::int32_t>(house.line.doses.size());
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

/// How far the clocks there are ahead, at noon of the day of leaving.
Result<std::int32_t> shift_of(const journal::TripPlanned& trip, const Folded& person,
                              const Ports& ports) {
  if (trip.zone.empty()) return 0;
  const auto there = ports.zone(trip.zone);
  if (!there) return there.error();
  const auto noon = person.zone.resolve(LocalTime{trip.leaves} + hours{12}).at;
  return there->offset_at(noon) - person.zone.offset_at(noon);
}

struct Trip {
  travel::Request request;
  travel::Travel found;
};

Result<Trip> trip_of(const supply::Trip& trip, const Folded& person, const ClinicState& clinic,
                     const Ports& ports) {
  const auto shift = shift_of(trip.said, person, ports);
  if (!shift) return shift.error();
  Trip out;
  out.request.leaves = trip.said.leaves;
  out.request.returns = trip.said.returns;
  out.request.shift_minutes = *shift;
  out.request.warmest = trip.said.warmest;
  out.request.pharmacy = static_cast<travel::YesNo>(trip.said.pharmacy);
  const auto needed = supply::needed(person.order, person.ledger, person.supply,
                                     person.skin.rules ? person.skin.rules->needle : std::nullopt,
                                     clinic.shelf, person.zone);
  for (const auto& house : needed.houses) {
    out.request.lines.push_back(line_of(house, person, clinic));
    out.request.needles_a_day += out.request.lines.back().doses_a_day;
  }
  auto found = travel::travel(out.request);
  if (!found) return found.error();
  out.found = *std::move(found);
  return out;
}

json::Value carry_rows(const Trip& trip) {
  std::vector<json::Value> out;
  const auto row = [&](std::string_view row_name, std::int64_t all, std::int64_t each,
                       const Rich& why) {
    const auto count = text(said("trip.pieces", {arg_count("count", each)}));
    out.push_back(json::object({{"name", text(row_name)},
                                {"all_text", text(said("trip.pieces", {arg_count("count", all)}))},
                                {"bag_texts", list({count, count})},
                                {"text", rich(why)}}));
  };
  for (const auto& carry : trip.found.carry) {
    row(capital(carry.insulin), carry.cartridges, carry.in_each_bag,
        english().sentence("trip.why", {arg_units("units", carry.for_days),
                                        arg_count("needed", carry.cartridges_for_days)}));
    row(said("trip.pens", {arg_text("insulin", carry.insulin)}), carry.pens, 1, {});
  }
  const auto& needles = trip.found.needles;
  if (needles.carried > 0) {
    row(said("cover.needles_name"), needles.carried, needles.in_each_bag,
        english().sentence("trip.needles_why", {arg_count("needed", needles.for_days)}));
  }
  return list(std::move(out));
}

std::string drawing_of(const Trip& trip) {
  drawing::Bags out;
  const auto bag = [&](std::string_view title) {
    drawing::Bags::Bag made;
    made.title = said(title);
    for (const auto& carry : trip.found.carry) {
      made.rows.push_back({capital(carry.insulin), carry.in_each_bag,
                           said("trip.sealed", {arg_count("count", carry.in_each_bag)})});
    }
    if (trip.found.needles.in_each_bag > 0) {
      made.needles =
          said("fact-part.counted_needles", {arg_count("count", trip.found.needles.in_each_bag)});
    }
    return made;
  };
  out.first = bag("trip.head_first");
  out.second = bag("trip.head_second");
  if (trip.found.cooling) out.cool = said("trip.cool");
  return drawing::bags(out);
}

json::Value question_rows(const Trip& trip) {
  std::vector<json::Value> out;
  for (const auto& question : trip.found.questions) {
    std::vector<json::Value> options;
    for (const auto& option : question.options)
      options.push_back(rich(said_of(verbs::travel_option_said(option))));
    out.push_back(
        json::object({{"text", rich(said_of(verbs::travel_question_said(trip.request, question)))},
                      {"options", list(std::move(options))},
                      {"source", text(verbs::travel_source())}}));
  }
  return list(std::move(out));
}

json::Value cautions_of(const Trip& trip) {
  std::vector<json::Value> out;
  for (const auto& caution : verbs::travel_cautions_said(trip.found)) {
    const bool first = caution.code == travel::travel_cautions::never_left_out;
    out.push_back(notice(first ? Level::caution : Level::note, said_of(caution.sentence)));
  }
  return list(std::move(out));
}

/// Notes that it was put to the prescriber. It opens no question: an open one takes the number from
/// every dose, and the trip may be weeks away (H38).
std::optional<json::Value> ask_prescriber(const Trip& trip, const supply::Trip& planned) {
  if (trip.found.questions.empty()) return std::nullopt;
  auto note = json::object(
      {{"what", text(journal::Note::name)},
       {"text", text(said("trip.question",
                          {arg_text("leaves", english().day_year(planned.said.leaves)),
                           arg_text("returns", english().day_year(planned.said.returns)),
                           arg_text("hours", format_fixed(std::int64_t{trip.request.shift_minutes} *
                                                              100 / 60,
                                                          2))}))}});
  return record_action("act.trip_question", {std::move(note)});
}

}  // namespace

json::Value trips_of(const Folded& person, const When& now) {
  std::vector<json::Value> out;
  for (const auto& trip : person.supply.trips) {
    // A trip that is over is the journal's.
    if (trip.said.returns < now.day()) continue;
    out.push_back(json::object(
        {{"id", json::string(trip.fact)},
         {"title",
          text(said("trip.title", {arg_text("leaves", english().day_month(trip.said.leaves)),
                                   arg_text("returns", english().day_year(trip.said.returns))}))},
         {"text", rich({{trip.said.text.empty() ? trip.said.zone : trip.said.text, false}})},
         {"href", text(href_of(person.journal, "/trips/" + to_text(trip.fact)))}}));
  }
  return list(std::move(out));
}

Result<json::Value> Desk::trip(Id id, Id fact) {
  return in_->guarded(id, [&]() -> Result<json::Value> {
    const auto folded = in_->person(id);
    if (!folded) return folded.error();
    const auto& person = **folded;
    const auto& trips = person.supply.trips;
    const auto planned = std::ranges::find(trips, fact, &supply::Trip::fact);
    if (planned == trips.end()) return Error{Kind::not_found, std::string(codes::no_trip), {}, ""};
    const auto cards = in_->cards();
    if (!cards) return cards.error();
    const auto clinic = in_->clinic();
    const auto now = person.zone.when(in_->ports.now());
    const auto trip = trip_of(*planned, person, *clinic, in_->ports);
    if (!trip) return trip.error();
    const auto* line = newest_line(person);
    auto out = json::object(
        {{"who", who_of(person, **cards, now)},
         {"clinic", text(clinic->names.clinic)},
         {"title", text(said("trip.title",
                             {arg_text("leaves", english().day_month(planned->said.leaves)),
                              arg_text("returns", english().day_year(planned->said.returns))}))},
         {"printed_text", text(said("trip.printed", {arg_text("when", english().moment(now))}))},
         {"order_text",
          text(line == nullptr ? std::string()
                               : said("order.version_of",
                                      {arg_count("version", line->text.order_version),
                                       arg_text("day", english().day_year(line->text.signed_on)),
                                       arg_text("prescriber", line->text.prescriber)}))},
         {"lead", rich(said_of(verbs::travel_lead(trip->request, trip->found)))},
         {"picture", svg(drawing_of(*trip))},
         {"carry", carry_rows(*trip)},
         {"heads", list({text(said("trip.head_what")), text(said("trip.head_all")),
                         text(said("trip.head_first")), text(said("trip.head_second"))})},
         {"questions", question_rows(*trip)},
         {"cautions", cautions_of(*trip)},
         {"seen_version", json::count(static_cast<std::int64_t>(person.version))},
         {"last", say("travel.defer")},
         {"low", low_box(line, *clinic)}});
    if (auto ask = ask_prescriber(*trip, *planned)) json::add(out, "asked", *std::move(ask));
    return out;
  });
}

}  // namespace penstock::desk
