// H19: who could be taken for whoever is being registered, by name or by number.
#include <optional>
#include <string>

#include "shell/names/names.hpp"
#include "shell/rows/rows.hpp"

namespace penstock::rows {
namespace {

bool counts(char c) { return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z'); }

// The letters and digits of ASCII alone, without making a text of them: everybody is looked at.
bool may_be_one(std::string_view a, std::string_view b) {
  for (;;) {
    while (!a.empty() && !counts(a.front())) a.remove_prefix(1);
    while (!b.empty() && !counts(b.front())) b.remove_prefix(1);
    if (a.empty() || b.empty()) return a.empty() && b.empty();
    if (a.front() != b.front()) return false;
    a.remove_prefix(1);
    b.remove_prefix(1);
  }
}

// Whose number it is to be.
struct Whose {
  summary::Key name;
  std::optional<LocalDay> born;
};

bool is_number_alike(const summary::Row& row, std::string_view number, const summary::Key& key,
                     const Whose& whose) {
  if (summary::same_number(row.number_key, key)) return false;  // that is refused
  if (summary::same_digits(row.number_key, key) &&
      (row.born == whose.born || summary::alike(row.name_key, whose.name)))
    return true;
  const bool may =
      may_be_one(row.number_key.folded, key.folded) || may_be_one(row.number_key.look, key.look);
  return may && names::same(row.number, number);
}

}  // namespace

KnownBy known_by(const journal::Payload& payload) {
  if (const auto* changed = std::get_if<journal::DetailsChanged>(&payload))
    return {changed->full_name, changed->number, changed->born};
  if (const auto* registered = std::get_if<journal::PersonRegistered>(&payload))
    return {registered->full_name, registered->number, registered->born};
  return {};
}

KnownBy known_by(const journal::Person& person) {
  return {person.full_name, person.number, person.born};
}

KnownBy brought_by(const journal::Payload& payload, const Chart& person) {
  auto known = known_by(payload);
  const auto& was = person.person;
  if (known.name == was.full_name && known.born.value_or(was.born) == was.born) known.name.clear();
  if (known.number == was.number) known.number.clear();
  return known;
}

std::vector<Error> who_is_alike(const summary::People& people, const KnownBy& known, Id person) {
  std::vector<Error> out;
  const auto& [name, number, its_born] = known;
  const auto* stands = people.find(person);
  const auto born = its_born || stands == nullptr ? its_born : std::optional(stands->born);
  const auto twins =
      name.empty() ? std::vector<const summary::Row*>{} : people.alike(key_of(name), born, person);
  if (!twins.empty()) {
    const auto& row = *twins.front();
    out.push_back({Kind::refused,
                   std::string(codes::ask_alike),
                   {arg_text("name", row.full_name), arg_date("born", row.born),
                    arg_text("number", row.number)},
                   ""});
  }
  if (number.empty()) return out;
  const auto key = key_of(number);
  const Whose whose{name.empty() && stands != nullptr ? stands->name_key : key_of(name), born};
  for (const auto& row : people) {
    if (row.person == person || !is_number_alike(row, number, key, whose)) continue;
    out.push_back({Kind::refused,
                   std::string(codes::ask_number_alike),
                   {arg_text("number", number), arg_text("theirs", row.number),
                    arg_text("name", row.full_name), arg_date("born", row.born)},
                   ""});
    break;
  }
  return out;
}

}  // namespace penstock::rows
