// The pages that show many people: the clinic's own line, Today, People.
#include <algorithm>

#include "edge/json/json.hpp"
#include "shell/desk/internal/inside.hpp"

namespace penstock::desk {
namespace {

using std::chrono::days;

// Today's length is fixed; what holds up a dose is shown however many there are (H32).
constexpr std::size_t needs_shown_max = 24;

enum class Group : std::uint8_t { before_next, today, this_week };

struct Need {
  const Card* card = nullptr;
  const Watch* watch = nullptr;
  Ring how;
  Group group = Group::this_week;
};

Group group_of(const Watch& watch, const Ring& how, const When& now) {
  if (how.before_next) return Group::before_next;
  return watch.due.day() <= now.day() ? Group::today : Group::this_week;
}

// A dose in question first; then what must stop; then by time.
bool comes_before(const Need& a, const Need& b) {
  if (a.group != b.group) return a.group < b.group;
  const auto rank = [](const Need& need) {
    const bool question = need.watch->kind == WatchKind::question_open;
    return std::tuple{question                        ? 0
                      : need.how.level == Level::stop ? 1
                                                      : 2,
                      need.watch->due.at, need.card->full_name};
  };
  return rank(a) < rank(b);
}

std::vector<Need> needs_of(const std::vector<Card>& cards, const When& now) {
  std::vector<Need> needs;
  for (const auto& card : cards) {
    for (const auto* watch : ringing(card, now.at)) {
      const auto how = *ring(*watch, now.at);
      needs.push_back({&card, watch, how, group_of(*watch, how, now)});
    }
  }
  std::ranges::stable_sort(needs, comes_before);
  return needs;
}

std::string by_text(const Need& need, const When& now) {
  const auto& due = need.watch->due;
  if (due.at < now.at) {
    if (need.group == Group::before_next || due.day() == now.day()) return said("today.now");
    return said("today.since", {arg_text("day", english().day_short(due.day()))});
  }
  if (due.day() == now.day()) return said("today.by", {arg_text("time", format_iso(due.minute()))});
  return english().day_short(due.day());
}

json::Value need_of(const Need& need, const When& now, bool first) {
  auto out = json::object();
  add_level(out, need.how.level);
  json::add(out, "by", text(by_text(need, now)));
  json::add(out, "sentence", rich(sentence_of(*need.watch, need.card->full_name, now)));
  json::add(out, "also", list());
  json::add(out, "picture", svg(picture_of(*need.watch, now)));
  const auto action = action_of(*need.watch, need.card->person, need.card->full_name);
  json::add(out, "action",
            json::object({{"label", text(action.label)},
                          {"href", text(action.href)},
                          {"first", json::boolean(first)}}));
  if (need.how.level != Level::stop) {
    json::add(
        out, "dismiss",
        json::object({{"journal", json::string(need.card->person)},
                      {"seen_version", json::count(static_cast<std::int64_t>(need.card->version))},
                      {"reminder", text(watch_codes[static_cast<std::size_t>(need.watch->kind)])},
                      {"basis", text(need.watch->basis)}}));
  }
  return out;
}

std::string_view title_of(Group group) {
  return group == Group::before_next ? "today.before_next"
         : group == Group::today     ? "today.today"
                                     : "today.this_week";
}

// Rows that fit, in groups; what must not be hidden is never cut.
json::Value groups_of(const std::vector<Need>& needs, std::vector<json::Value> recalls,
                      const When& now, std::size_t& hidden) {
  std::vector<json::Value> groups;
  std::size_t shown = recalls.size();
  if (!recalls.empty()) {
    groups.push_back(json::object(
        {{"title", text(said("today.recalls"))}, {"needs", list(std::move(recalls))}}));
  }
  hidden = 0;
  for (const auto group : {Group::before_next, Group::today, Group::this_week}) {
    std::vector<json::Value> rows;
    for (const auto& need : needs) {
      if (need.group != group) continue;
      const bool must = need.group == Group::before_next || need.how.level == Level::stop;
      if (!must && shown >= needs_shown_max) {
        ++hidden;
        continue;
      }
      rows.push_back(need_of(need, now, shown == 0));
      ++shown;
    }
    if (!rows.empty())
      groups.push_back(
          json::object({{"title", text(said(title_of(group)))}, {"needs", list(std::move(rows))}}));
  }
  return list(std::move(groups));
}

std::size_t people_in(const std::vector<Need>& needs, std::optional<Group> group) {
  std::vector<Id> seen;
  for (const auto& need : needs) {
    if (group && need.group != *group) continue;
    if (std::ranges::find(seen, need.card->person) == seen.end()) seen.push_back(need.card->person);
  }
  return seen.size();
}

json::Value level_key() {
  std::vector<json::Value> key;
  for (const auto level : {Level::note, Level::caution, Level::stop}) {
    key.push_back(
        json::object({{"level", text(code_of(level))},
                      {"word", text(english().name("level-key/" + std::string(code_of(level))))}}));
  }
  return list(std::move(key));
}

json::Value alike_of(const std::vector<Card>& cards, const Card& card) {
  std::vector<json::Value> out;
  for (const auto& other : cards) {
    if (other.person == card.person || !alike_folded(other.folded_name, card.folded_name)) continue;
    out.push_back(json::object({{"id", json::string(other.person)},
                                {"name", text(other.full_name)},
                                {"born_text", text(english().day_year(other.born))},
                                {"number", text(other.number)}}));
  }
  return list(std::move(out));
}

std::string insulins_line(const Card& card) {
  std::string out;
  for (const auto& insulin : card.insulins) out += (out.empty() ? "" : ", ") + insulin;
  return out;
}

json::Value row_of(const std::vector<Card>& cards, const Card& card, const When& now) {
  auto row = json::object(
      {{"id", json::string(card.person)},
       {"name", text(card.full_name)},
       {"born_text", text(english().day_year(card.born))},
       {"age_text",
        text(said("who.age", {arg_count("years", journal::age_years(card.born, now.day()))}))},
       {"number", text(card.number)}});
  const auto loud = ringing(card, now.at);
  if (loud.empty()) {
    json::add(row, "state",
              card.insulins.empty() ? say("people.no_order")
                                    : rich({{capital(insulins_line(card)), false}}));
  } else {
    json::add(row, "state", rich(sentence_of(*loud.front(), card.full_name, now)));
    add_level(row, ring(*loud.front(), now.at)->level);
  }
  auto twins = alike_of(cards, card);
  json::add(
      row, "alike_text",
      text(twins.members.empty()
               ? ""
               : said("who.alike",
                      {arg_count("others", static_cast<std::int64_t>(twins.members.size()))})));
  json::add(row, "alike", std::move(twins));
  return row;
}

bool contains_all(const std::string& key, const std::vector<std::string>& words) {
  return std::ranges::all_of(
      words, [&](const std::string& word) { return key.find(word) != std::string::npos; });
}

std::vector<std::string> words_of(std::string_view query) {
  std::vector<std::string> words;
  std::string word;
  for (const char c : folded_for_search(query) + " ") {
    if (c != ' ') {
      word += c;
    } else if (!word.empty()) {
      words.push_back(std::move(word));
      word.clear();
    }
  }
  return words;
}

std::string key_of(const Card& card) {
  return card.folded_name + " " + folded_for_search(card.number) + " " + format_iso(card.born) +
         " " + folded_for_search(english().day_year(card.born));
}

}  // namespace

Result<json::Value> Desk::clinic() {
  if (const auto fresh = in_->refresh_clinic(); !fresh) return fresh.error();
  const auto state = in_->clinic();
  const auto now = in_->now_here();
  std::vector<json::Value> zones;
  for (const auto& zone : in_->ports.zone_names()) zones.push_back(text(zone));
  return json::object({{"named", json::boolean(state->named)},
                       {"clinic", text(state->names.clinic)},
                       {"user", text(state->names.user)},
                       {"zone", text(state->names.zone)},
                       {"phone", text(state->names.phone)},
                       {"emergency", text(state->names.emergency)},
                       {"now", json::string(now)},
                       {"now_text", text(english().moment(now))},
                       {"version", json::count(static_cast<std::int64_t>(state->version))},
                       {"zones", list(std::move(zones))},
                       {"defer", text(said("defer"))},
                       {"program", text(in_->ports.program)},
                       {"patterns", svg(drawing::patterns())},
                       {"emblem", svg(drawing::emblem())}});
}

Result<json::Value> Desk::today() {
  const auto cards = in_->cards();
  if (!cards) return cards.error();
  const auto now = in_->now_here();
  const auto needs = needs_of(**cards, now);
  const auto people = static_cast<std::int64_t>(people_in(needs, std::nullopt));
  const auto before = static_cast<std::int64_t>(people_in(needs, Group::before_next));
  auto recalls = in_->recalls_open();
  if (!recalls) return recalls.error();
  const bool quiet = needs.empty() && recalls->empty();
  std::size_t hidden = 0;
  auto groups = groups_of(needs, *std::move(recalls), now, hidden);
  auto out = json::object(
      {{"headline",
        say(people == 0 ? "today.headline_none" : "today.headline", {arg_count("people", people)})},
       {"sub", before == 0 ? list() : say("today.sub", {arg_count("people", before)})},
       {"groups", std::move(groups)},
       {"key", level_key()},
       {"rule", text(said("today.rule"))},
       {"more", text(hidden == 0 ? ""
                                 : said("today.more",
                                        {arg_count("rows", static_cast<std::int64_t>(hidden))}))},
       {"visits", json::object({{"title", text(said("today.visits"))},
                                {"empty", text(said("today.visits_empty"))}})}});
  if ((*cards)->empty()) {
    json::add(
        out, "empty",
        empty("people.empty_title", "people.empty", {}, "", "people.register", "/people/new"));
  } else if (quiet) {
    json::add(out, "empty", empty("today.empty_title", "today.empty", {}, ""));
  }
  return out;
}

Result<json::Value> Desk::people(std::string_view query, int page) {
  const auto everybody = in_->cards();
  if (!everybody) return everybody.error();
  const auto& cards = **everybody;
  const auto now = in_->now_here();
  const auto words = words_of(query);
  std::vector<const Card*> found;
  for (const auto& card : cards) {
    if (contains_all(key_of(card), words)) found.push_back(&card);
  }
  std::ranges::sort(found, {},
                    [](const Card* card) { return std::pair{card->folded_name, card->born}; });
  const auto here = cut(found.size(), page);
  std::vector<json::Value> rows;
  for (auto i = here.from; i < here.to; ++i) rows.push_back(row_of(cards, *found[i], now));
  auto out = json::object(
      {{"query", text(query)},
       {"count_text",
        text(said("people.count", {arg_count("people", static_cast<std::int64_t>(found.size()))}))},
       {"page", json::count(here.page)},
       {"pages", json::count(here.pages)},
       {"people", list(std::move(rows))}});
  if (cards.empty()) {
    json::add(
        out, "empty",
        empty("people.empty_title", "people.empty", {}, "", "people.register", "/people/new"));
  } else if (found.empty()) {
    json::add(out, "empty",
              empty("people.none_title", "people.none", {arg_text("query", query)}, "",
                    "people.register", "/people/new"));
  }
  return out;
}

Result<Id> Desk::find_person(std::string_view wanted) {
  if (const auto id = parse_id(wanted)) {
    const auto folded = in_->person(*id);
    if (!folded) return folded.error();
    return *id;
  }
  const auto cards = in_->cards();
  if (!cards) return cards.error();
  const auto words = words_of(wanted);
  if (words.empty()) return Error{Kind::invalid_input, std::string(codes::search_short), {}, ""};
  std::vector<const Card*> found;
  for (const auto& card : **cards) {
    if (folded_for_search(card.number) == folded_for_search(wanted)) return card.person;
    if (contains_all(key_of(card), words)) found.push_back(&card);
  }
  if (found.empty())
    return Error{Kind::not_found, std::string(codes::no_person), {arg_text("text", wanted)}, ""};
  if (found.size() == 1) return found.front()->person;
  std::string all;
  for (const auto* card : found) {
    all += (all.empty() ? "" : "; ") + card->full_name + ", " + english().day_year(card->born) +
           ", " + card->number;
  }
  return Error{Kind::refused,
               std::string(codes::several_people),
               {arg_text("text", wanted), arg_text("people", all)},
               ""};
}

}  // namespace penstock::desk
