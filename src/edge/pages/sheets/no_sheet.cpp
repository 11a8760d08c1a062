#include "edge/pages/sheets/internal/no_sheet.hpp"

#include <algorithm>

#include "core/interlock/interlock.hpp"
#include "edge/pages/sheets/sheets.hpp"

namespace penstock::pages::internal {
namespace {

bool names_english(std::string_view languages) {
  constexpr auto small = [](char c) {
    return static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
  };
  return !std::ranges::search(languages, std::string_view("english"), {}, small).empty();
}

std::optional<Error> unreadable(const journal::Person& person) {
  const auto& [background, name] = std::pair{person.background, person.full_name};
  if (background.sight == journal::Ability::none)
    return Error{Kind::refused, std::string(codes::sheet_unseen), {arg_text("name", name)}, ""};
  if (!background.reads.empty() && !names_english(background.reads)) {
    return Error{Kind::refused,
                 std::string(codes::sheet_language),
                 {arg_text("name", name), arg_text("language", background.reads)},
                 ""};
  }
  return std::nullopt;
}

}  // namespace

std::optional<Error> clock_set_back(const Chart& person, const Clinic& clinic, const When& now) {
  const auto last = journal::recorded_later(person.facts, clinic.last_recorded, now.at);
  if (!last) return std::nullopt;
  return Error{Kind::refused,
               std::string(codes::sheet_clock),
               {arg_instant("last", person.zone.when(*last)), arg_instant("now", now)},
               ""};
}

std::optional<Error> no_sheet(const Chart& person, const Clinic& clinic, const When& now) {
  if (auto wrong = clock_set_back(person, clinic, now)) return wrong;
  return unreadable(person.person);
}

}  // namespace penstock::pages::internal
