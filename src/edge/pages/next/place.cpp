// Where the next injection goes, on every card of a person.
#include <algorithm>

#include "edge/pages/kit/kit.hpp"
#include "edge/pages/next/next.hpp"
#include "edge/pages/sites/reach.hpp"

namespace penstock::pages {

void add_place(const Words& words, CardInput& input, const Chart& person, const Sites& sites) {
  if (input.dose->pending != nullptr) return;
  input.site = sites.for_due(input.dose->due);
  const auto body = skin::body_of(person.skin);
  if (input.site == nullptr || !body) return;
  input.place_words = capital(place_words(words, input.site->zone, input.site->spot, *body));
  if (const auto reach = reach_of(person, part_of(input.site->zone), input.dose->due.day))
    input.first_notes.push_back(reach_note(words, *reach));
  input.first_notes.push_back(needle_note(words, person));
  std::erase_if(input.first_notes, [](const Rich& note) { return note.empty(); });
}

}  // namespace penstock::pages
