#include "shell/names/whose.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <span>
#include <string>
#include <vector>

#include "core/units/utf8.hpp"
#include "shell/names/internal/words.hpp"
#include "shell/names/names.hpp"

namespace penstock::names {
namespace {

// Beside others they say nothing of who it is; alone they may be somebody's name.
constexpr auto small_words = std::to_array<std::string_view>(
    {"a",  "an", "the", "my", "his", "her", "their", "our", "your", "on", "at",
     "of", "in", "for", "as", "no",  "not", "see",   "and", "to",   "s",  "it"});

// What people type where a name belongs: each says of no one who it was.
constexpr auto nobodies = std::to_array<std::string_view>(
    {"self",       "myself",    "me",         "same",       "ditto",      "above",     "nobody",
     "none",       "nil",       "one",        "anybody",    "anyone",     "somebody",  "someone",
     "other",      "another",   "else",       "second",     "third",      "person",    "people",
     "check",      "checked",   "checker",    "checking",   "yes",        "ok",        "okay",
     "done",       "fine",      "good",       "correct",    "signed",     "seen",      "read",
     "witness",    "witnessed", "unknown",    "known",      "test",       "anon",      "anonymous",
     "tbd",        "tba",       "tbc",        "xx",         "xxx",        "name",      "initials",
     "signature",  "illegible", "paper",      "chart",      "notes",      "order",     "system",
     "computer",   "program",   "penstock",   "admin",      "staff",      "team",      "ward",
     "clinic",     "hospital",  "practice",   "surgery",    "pharmacy",   "office",    "desk",
     "reception",  "nurse",     "nurses",     "sister",     "matron",     "charge",    "colleague",
     "colleagues", "doctor",    "doctors",    "dr",         "prof",       "professor", "physician",
     "gp",         "registrar", "consultant", "prescriber", "pharmacist", "dietitian", "educator",
     "therapist",  "student",   "trainee",    "manager",    "secretary",  "locum",     "agency",
     "duty",       "call",      "patient",    "patients",   "resident",   "client",    "user",
     "mr",         "mrs",       "ms",         "miss",       "mx",         "telephone", "phone"});

// Of these, families are called so: with a title before it, it is a name ("Dr Ward").
constexpr auto also_families = std::to_array<std::string_view>(
    {"self", "second", "person", "fine", "good", "read", "seen", "paper", "ward", "nurse", "sister",
     "charge", "call", "order", "chart", "prof", "client", "done"});
constexpr auto short_titles =
    std::to_array<std::string_view>({"mr", "mrs", "ms", "miss", "mx", "dr", "prof", "professor"});
constexpr auto degrees =
    std::to_array<std::string_view>({"rn", "rgn", "rmn", "en", "np", "md", "phd", "bsc", "msc"});

constexpr auto doctors = std::to_array<std::string_view>({"dr", "doctor", "prof", "professor"});
constexpr auto at_home = std::to_array<std::string_view>(
    {"husband",   "wife",   "partner",  "spouse",   "daughter", "son",     "mother",  "mum",
     "father",    "dad",    "parent",   "parents",  "brother",  "grandma", "aunt",    "uncle",
     "nephew",    "niece",  "cousin",   "family",   "friend",   "carer",   "man",     "woman",
     "neighbour", "caller", "relative", "guardian", "patient",  "himself", "herself", "internet"});

using WordSpan = std::span<const std::string>;

bool is_among(std::span<const std::string_view> all, std::string_view word) {
  return std::ranges::find(all, word) != all.end();
}

// Also in letters that only look so.
bool is_for_anybody(const std::string& word) {
  static const auto looks = [] {
    std::vector<std::string> out;
    for (const auto one : nobodies) out.push_back(look(one));
    return out;
  }();
  return is_among(nobodies, word) || std::ranges::find(looks, look(word)) != looks.end();
}

bool names_nobody(std::string_view name, WordSpan words, std::string_view clinic) {
  const auto letters = letters_of(name);
  if (letters.find_first_not_of("0123456789") == std::string::npos || letters.size() == 1 ||
      same(name, "na"))
    return true;
  if (words.size() == 2 && is_among(short_titles, words[0]) && is_among(also_families, words[1]))
    return false;
  const auto of_clinic = words_in(clinic);
  bool says = false;
  const bool all_are = std::ranges::all_of(words, [&](const std::string& word) {
    const bool is_nobodys =
        is_for_anybody(word) || std::ranges::find(of_clinic, word) != of_clinic.end();
    says = says || is_nobodys;
    return is_nobodys || is_among(small_words, word);
  });
  return all_are && says;
}

// "his wife", "mother", "the neighbour's son"; a family may be called Friend.
bool is_said_of_home(WordSpan words) {
  const auto is_of_home = [](const std::string& word) { return is_among(at_home, word); };
  const bool all_are = std::ranges::all_of(words, [&](const std::string& word) {
    return is_of_home(word) || is_among(small_words, word);
  });
  const bool are_theirs = std::ranges::any_of(words, [](const std::string& word) {
    return is_among(std::array<std::string_view, 6>{"my", "his", "her", "their", "the", "a"}, word);
  });
  return (all_are || are_theirs) && std::ranges::any_of(words, is_of_home);
}

bool may_be_at_home(WordSpan words, std::string_view person) {
  if (!words.empty() && is_among(doctors, words.front())) return false;
  const auto of_person = words_in(person);
  return std::ranges::any_of(without_titles(words), [&](const std::string& word) {
    return is_among(at_home, word) || std::ranges::find(of_person, word) != of_person.end();
  });
}

// Hyphens and apostrophes part no names: "Anne-Marie" and "O'Brien" are one.
std::vector<std::string> names_in(std::string_view name) {
  std::vector<std::string> out(1);
  for (const char c : names::folded(name)) {
    const auto byte = static_cast<unsigned char>(c);
    const bool parts = byte < 0x80 && std::isalnum(byte) == 0 && c != '-' && c != '\'';
    if (!parts) out.back() += c;
    if (parts && !out.back().empty()) out.emplace_back();
  }
  std::erase_if(out, [](const std::string& word) {
    return letters_of(word).find_first_not_of("0123456789") == std::string::npos;
  });
  return out;
}

bool is_whole(std::string_view name, Signs as) {
  const auto all = names_in(name);
  auto names = without_titles(all);
  const bool has_title = names.size() < all.size();
  while (names.size() > 1 && is_among(degrees, names.back())) names = names.first(names.size() - 1);
  if (!has_a_name(names)) return false;
  const bool is_in_one = names.size() == 1 && is_written_in_one(names.front()) &&
                         names.front().size() > utf8_length(names.front(), 0);
  return names.size() > 1 || is_in_one || (as == Signs::prescriber && has_title);
}

}  // namespace

Doubt doubt_about(std::string_view name, Signs as, const Beside& beside) {
  const auto words = words_in(name);
  if (names_nobody(name, words, beside.clinic) || same_words(name, beside.person))
    return Doubt::nobody;
  if (as == Signs::prescriber && may_be_at_home(words, beside.person)) return Doubt::at_home;
  if (as == Signs::staff && is_said_of_home(words)) return Doubt::nobody;
  const bool is_of_person = has_a_name(words) && words.size() <= words_in(beside.person).size() &&
                            may_be_one(name, beside.person);
  if (as == Signs::staff && is_of_person) return Doubt::themself;
  return is_whole(name, as) ? Doubt::none : Doubt::one_word;
}

}  // namespace penstock::names
