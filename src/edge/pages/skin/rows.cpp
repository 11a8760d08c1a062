#include "edge/pages/pages.hpp"
#include "edge/pages/skin/skin.hpp"

namespace penstock::pages {
namespace {

Result<json::Value> places_document(const Asked& asked) {
  return places_page(*asked.person, asked.people, asked.clinic, asked.caller, asked.pictures);
}

}  // namespace

std::vector<Row> skin_rows() {
  return {{.method = "GET",
           .pattern = "/api/people/{id}/places",
           .summary =
               "Skin and places: where injections went and go, what is kept off, how deep the "
               "needle goes.",
           .parameters = {person_parameter},
           .gives = "PlacesPage.",
           .codes = {codes::no_person},
           .example = "/api/people/000000000000000000000000000000a1/places",
           .needs = Needs::person | Needs::everybody | Needs::pictures,
           .document = places_document}};
}

}  // namespace penstock::pages
