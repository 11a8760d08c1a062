#include "edge/demo/internal/crowd.hpp"

#include <algorithm>
#include <array>
#include <numeric>
#include <vector>

#include "edge/demo/demo.hpp"

namespace penstock::demo {
namespace {

// Common first names; the family names are put together, so that nobody is called like that.
constexpr auto first_names = std::to_array<std::string_view>(
    {"Adaeze",  "Aino",     "Alban",  "Alma",    "Anselm",  "Anwen",   "Arash",   "Astrid",
     "Aurelio", "Ayla",     "Bahar",  "Bartosz", "Benedek", "Birgit",  "Blanca",  "Bogdan",
     "Branwen", "Brigid",   "Cahir",  "Camilo",  "Carys",   "Cecylia", "Chiara",  "Cosmin",
     "Daria",   "Davor",    "Desta",  "Dilek",   "Dorota",  "Edda",    "Eilidh",  "Elif",
     "Emlyn",   "Enrico",   "Esther", "Fadi",    "Farida",  "Fergus",  "Fleur",   "Gareth",
     "Gisela",  "Goran",    "Greta",  "Gwen",    "Hakan",   "Halima",  "Hedda",   "Henrik",
     "Idris",   "Ilse",     "Imre",   "Ines",    "Isolde",  "Ivo",     "Jadwiga", "Jarek",
     "Jelena",  "Joaquim",  "Jorunn", "Kaisa",   "Kamal",   "Katya",   "Kenji",   "Kirsten",
     "Laszlo",  "Leila",    "Liv",    "Ludmila", "Maeve",   "Malik",   "Marek",   "Matilde",
     "Mihai",   "Mina",     "Nadir",  "Nerys",   "Niamh",   "Nikolai", "Oda",     "Olek",
     "Oriol",   "Oskar",    "Paloma", "Pavel",   "Petra",   "Quentin", "Rania",   "Renske",
     "Rhys",    "Rosalind", "Ruta",   "Samir",   "Selma",   "Sigrid",  "Stellan", "Tarek",
     "Thandi",  "Ulla",     "Viktor", "Wanda"});
constexpr auto beginnings = std::to_array<std::string_view>(
    {"Abber", "Alder",  "Ambro", "Arken",  "Bal",    "Bracken", "Brand", "Cal",    "Carra",
     "Corve", "Dal",    "Dorne", "Drava",  "Elder",  "Esker",   "Fal",   "Fenne",  "Gall",
     "Garro", "Hale",   "Harro", "Hollin", "Ister",  "Jarro",   "Kal",   "Kessel", "Korve",
     "Lam",   "Larch",  "Lodde", "Mal",    "Marren", "Merro",   "Nar",   "Nether", "Oster",
     "Pell",  "Quarre", "Rav",   "Rosse",  "Sander", "Selk",    "Stave", "Tam",    "Tarn",
     "Ullen", "Val",    "Verro", "Wick",   "Zander"});
constexpr auto endings = std::to_array<std::string_view>(
    {"berg",  "bourne", "by",    "cote", "dahl",  "dottir", "esku", "etti",   "feld", "ford",
     "gaard", "ham",    "hurst", "icz",  "inen",  "ington", "ko",   "kvist",  "land", "ley",
     "lund",  "mann",   "mark",  "moor", "nagel", "nen",    "oglu", "ola",    "ovic", "quist",
     "rud",   "sen",    "shaw",  "stad", "stein", "strand", "thal", "thorpe", "ton",  "well"});

constexpr std::size_t names = first_names.size() * beginnings.size() * endings.size();
static_assert(names >= people_max);

// Each name comes once before any comes again, and neighbours have nothing in common.
constexpr std::size_t name_step = 76'543;
static_assert(std::gcd(names, name_step) == 1);

constexpr int noisy_one_in = 10;

std::string name_of(std::size_t index) {
  auto at = index * name_step % names;
  const auto first = first_names[at % first_names.size()];
  at /= first_names.size();
  return std::string(first) + " " + std::string(beginnings[at % beginnings.size()]) +
         std::string(endings[at / beginnings.size()]);
}

std::string born_about(LocalDay like, Chance& chance) {
  return format_iso(like + std::chrono::days{chance.below(3'000) - 1'500});
}

// As the pen counts; a pen of half units steps in halves.
void vary_doses(Persona& persona, Chance& chance) {
  for (auto& line : persona.lines) {
    const bool whole = line.pen.starts_with("reusable-whole");
    for (auto& dose : line.doses) {
      if (whole && dose.hundredths > 500) dose.hundredths += 100 * (chance.below(5) - 2);
    }
  }
}

// Whom Today would be silent about.
bool is_quiet(const Persona& persona) { return persona.story == Story::plain; }

// What these stories need has happened within a week.
bool fits_short(const Persona& persona) {
  constexpr std::array possible{Story::plain,      Story::pen_in_the_sun, Story::corrected_entry,
                                Story::part_dose,  Story::second_check,   Story::scale_disagrees,
                                Story::order_ends, Story::signature_owed};
  const bool one_a_day = persona.lines.size() == 1 && persona.lines.front().doses.size() == 1;
  return one_a_day && std::ranges::find(possible, persona.story) != possible.end();
}

const Persona& somebody_like(Chance& chance, bool is_short) {
  std::vector<const Persona*> quiet, noisy;
  for (const auto& persona : people()) {
    if (persona.lines.empty() || (is_short && !fits_short(persona))) continue;
    (is_quiet(persona) ? quiet : noisy).push_back(&persona);
  }
  const auto& from = chance.one_in(noisy_one_in) ? noisy : quiet;
  return *from[static_cast<std::size_t>(chance.below(static_cast<int>(from.size())))];
}

}  // namespace

void invent(Somebody& somebody, std::size_t index, std::uint64_t seed) {
  INVARIANT(index >= people_count && index < people_max);
  Chance chance(seed);
  const bool is_short = index >= long_journals_max;
  somebody.persona = somebody_like(chance, is_short);
  auto& persona = somebody.persona;
  somebody.name = name_of(index);
  somebody.number = "HS " + std::to_string(100'000 + index);
  somebody.born = born_about(parse_day(persona.born).value(), chance);
  persona.like = persona.number;
  persona.name = somebody.name;
  persona.born = somebody.born;
  persona.number = somebody.number;
  vary_doses(persona, chance);
  // Not everybody came on the same day.
  const int turn = is_short ? short_history_days : days_between_visits;
  somebody.days = (is_short ? short_history_days : history_days) + chance.below(turn);
  somebody.visit = 1 + chance.below(days_between_visits - 1);
}

}  // namespace penstock::demo
