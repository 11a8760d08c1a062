#include "edge/pages/supplies/internal/trips.hpp"

namespace penstock::pages {

json::Value trips_of(const Words& words, const Chart& person, const When& now) {
  std::vector<json::Value> out;
  for (const auto& trip : person.supply.trips) {
    // A trip that is over is the journal's.
    if (trip.said.returns < now.day()) continue;
    out.push_back(json::object(
        {{"id", json::string(trip.fact)},
         {"title", text(said(words, "trip.title",
                             {arg_text("leaves", words.day_month(trip.said.leaves)),
                              arg_text("returns", words.day_year(trip.said.returns))}))},
         {"text", rich({{trip.said.text.empty() ? trip.said.zone : trip.said.text, false}})},
         {"href", text(href_of(person.journal, "/trips/" + to_text(trip.fact)))}}));
  }
  return list(std::move(out));
}

}  // namespace penstock::pages
