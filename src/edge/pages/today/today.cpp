// The pages that show many people: the clinic's own line, Today, People.
#include "edge/pages/today/today.hpp"

#include <algorithm>
#include <bitset>
#include <chrono>
#include <tuple>
#include <unordered_set>
#include <utility>

#include "edge/drawing/kit/kit.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/kit/watches.hpp"

namespace penstock::pages {
namespace {

using std::chrono::days;

// Today's length is fixed; what holds up a dose is shown however many there are (H32).
constexpr std::size_t needs_shown_max = 24;

enum class Group : std::uint8_t { before_next, today, this_week };

struct Need {
  const summary::Row* listed = nullptr;
  const watch::Watch* watch = nullptr;
  watch::Alarm how;
  Group group = Group::this_week;
};

Group group_of(const watch::Watch& watch, const watch::Alarm& how, const When& now) {
  if (how.before_next) return Group::before_next;
  return watch.due.day() <= now.day() ? Group::today : Group::this_week;
}

// A dose in question first; then what must stop; then by time.
bool comes_before(const Need& a, const Need& b) {
  if (a.group != b.group) return a.group < b.group;
  const auto rank = [](const Need& need) {
    const bool question = need.watch->what == watch::What::question_open;
    return question ? 0 : need.how.level == Level::stop ? 1 : 2;
  };
  if (rank(a) != rank(b)) return rank(a) < rank(b);
  return std::tie(a.watch->due.at, a.listed->full_name) <
         std::tie(b.watch->due.at, b.listed->full_name);
}

std::vector<Need> needs_of(const People& people, const When& now) {
  std::vector<Need> needs;
  for (std::size_t i = 0; i < people.size(); ++i) {
    if (now.at < people.rings_from(i)) continue;  // by far the most: not even looked at
    const auto& listed = people[i];
    for (const auto* watch : summary::ringing(listed, now.at)) {
      const auto how = *watch::alarm(*watch, now.at);
      needs.push_back({&listed, watch, how, group_of(*watch, how, now)});
    }
  }
  std::ranges::stable_sort(needs, comes_before);
  return needs;
}

std::string by_text(const Words& words, const Need& need, const When& now) {
  const auto& due = need.watch->due;
  if (due.at < now.at) {
    if (need.group == Group::before_next || due.day() == now.day()) return said(words, "today.now");
    return said(words, "today.since", {arg_text("day", words.day_near(due.day(), now.day()))});
  }
  if (due.day() == now.day())
    return said(words, "today.by", {arg_text("time", format_iso(due.minute()))});
  return words.day_near(due.day(), now.day());
}

// Who is to be rung: under which number.
json::Value also_of(const Words& words, const Need& need) {
  const bool is_contact = std::holds_alternative<watch::Contacting>(need.watch->figures);
  return is_contact ? rich({{phone_text(words, need.listed->phone), false}}) : list();
}

json::Value need_of(const Words& words, const Need& need, const When& now, bool first) {
  auto out = json::object();
  add_level(words, out, need.how.level);
  json::add(out, "by", text(by_text(words, need, now)));
  json::add(out, "sentence", rich(sentence_of(words, *need.watch, need.listed->full_name, now)));
  json::add(out, "also", also_of(words, need));
  json::add(out, "picture", svg(picture_of(*need.watch, now)));
  const auto action = action_of(words, *need.watch, need.listed->person, need.listed->full_name);
  json::add(out, "action",
            json::object({{"label", text(action.label)},
                          {"href", text(action.href)},
                          {"first", json::boolean(first)}}));
  if (watch::can_be_dismissed(*need.watch, now.at)) {
    json::add(out, "dismiss",
              json::object(
                  {{"journal", json::string(need.listed->person)},
                   {"seen_version", json::count(static_cast<std::int64_t>(need.listed->version))},
                   {"reminder", text(word_of(need.watch->what))},
                   {"basis", text(need.watch->basis)}}));
  }
  return out;
}

std::string_view title_of(Group group) {
  return group == Group::before_next ? "today.before_next"
         : group == Group::today     ? "today.today"
                                     : "today.this_week";
}

// Lots that were called back and that somebody still has.
std::vector<json::Value> recalls_open(const Words& words, std::span<const OpenRecall> recalls) {
  std::vector<json::Value> out;
  for (const auto& recall : recalls) {
    auto need = json::object();
    add_level(words, need, Level::stop);
    json::add(need, "by", text(""));
    json::add(need, "sentence",
              say(words, "today.recall",
                  {arg_text("lot", recall.lot), arg_count("people", recall.waiting)}));
    json::add(need, "also", list());
    json::add(need, "picture", svg(""));
    json::add(need, "action",
              json::object({{"label", text(said(words, "today.recall_action"))},
                            {"href", text("/recall/" + recall.key)},
                            {"first", json::boolean(out.empty())}}));
    out.push_back(std::move(need));
  }
  return out;
}

// What Today shows, in its order: what must not be hidden is never left out, of the rest as much as
// fits.
std::vector<const Need*> shown_of(const std::vector<Need>& needs, std::size_t recalls) {
  std::vector<const Need*> shown;
  for (const auto& need : needs) {
    const bool must = need.group == Group::before_next || need.how.level == Level::stop;
    if (must || recalls + shown.size() < needs_shown_max) shown.push_back(&need);
  }
  return shown;
}

// The rows of one page in their groups, recalls before all others.
json::Value groups_of(const Words& words, std::span<const Need* const> shown,
                      std::vector<json::Value> recalls, const PageCut& here, const When& now) {
  std::vector<json::Value> groups, rows;
  const auto close = [&](std::string_view title) {
    if (rows.empty()) return;
    groups.push_back(json::object(
        {{"title", text(said(words, title))}, {"needs", list(std::exchange(rows, {}))}}));
  };
  auto at = here.from;
  for (; at < std::min(here.to, recalls.size()); ++at) rows.push_back(std::move(recalls[at]));
  close("today.recalls");
  std::optional<Group> group;
  for (; at < here.to; ++at) {
    const auto& need = *shown[at - recalls.size()];
    if (group && *group != need.group) close(title_of(*group));
    group = need.group;
    rows.push_back(need_of(words, need, now, at == here.from));
  }
  if (group) close(title_of(*group));
  return list(std::move(groups));
}

// What of Today does not stand on this page of it, empty if nothing.
std::string more_text(const Words& words, const PageCut& here, std::size_t left_out) {
  std::string more;
  if (here.pages > 1)
    more = said(words, "today.page_of",
                {arg_count("page", here.page), arg_count("pages", here.pages)});
  if (here.page == here.pages && left_out > 0) {
    more += more.empty() ? "" : " ";
    more += said(words, "today.more", {arg_count("rows", static_cast<std::int64_t>(left_out))});
  }
  return more;
}

std::size_t people_in(const std::vector<Need>& needs, std::optional<Group> group) {
  std::unordered_set<Id, IdHash> seen;
  for (const auto& need : needs) {
    if (!group || need.group == *group) seen.insert(need.listed->person);
  }
  return seen.size();
}

json::Value level_key(const Words& words) {
  std::vector<json::Value> key;
  for (const auto level : {Level::note, Level::caution, Level::stop}) {
    key.push_back(
        json::object({{"level", text(code_of(level))},
                      {"word", text(words.name("level-key/" + std::string(code_of(level))))}}));
  }
  return list(std::move(key));
}

json::Value alike_of(const Words& words, const People& people, const summary::Row& listed) {
  std::vector<json::Value> out;
  for (const auto* other : people.alike(listed.person)) {
    out.push_back(json::object({{"id", json::string(other->person)},
                                {"name", text(other->full_name)},
                                {"born_text", text(words.day_year(other->born))},
                                {"number", text(other->number)}}));
  }
  return list(std::move(out));
}

std::string insulins_line(const summary::Row& listed) {
  std::string out;
  for (const auto& insulin : listed.insulins) out += (out.empty() ? "" : ", ") + insulin;
  return out;
}

json::Value row_of(const Words& words, const People& people, const summary::Row& listed,
                   const When& now) {
  auto row = json::object(
      {{"id", json::string(listed.person)},
       {"name", text(listed.full_name)},
       {"born_text", text(words.day_year(listed.born))},
       {"age_text", text(said(words, "who.age",
                              {arg_count("years", journal::age_years(listed.born, now.day()))}))},
       {"number", text(listed.number)}});
  const auto loud = summary::ringing(listed, now.at);
  if (!listed.left_out.empty()) {
    json::add(row, "state", say(words, "people.left_out", {arg_code("because", listed.left_out)}));
  } else if (loud.empty()) {
    json::add(row, "state",
              listed.insulins.empty() ? say(words, "people.no_order")
                                      : rich({{capital(insulins_line(listed)), false}}));
  } else {
    json::add(row, "state", rich(sentence_of(words, *loud.front(), listed.full_name, now)));
    add_level(words, row, watch::alarm(*loud.front(), now.at)->level);
  }
  auto twins = alike_of(words, people, listed);
  json::add(
      row, "alike_text",
      text(twins.members.empty()
               ? ""
               : said(words, "who.alike",
                      {arg_count("others", static_cast<std::int64_t>(twins.members.size()))})));
  json::add(row, "alike", std::move(twins));
  return row;
}

bool contains(std::string_view text, std::string_view part) {
  return text.find(part) != std::string_view::npos;
}

// A birth date can also be looked for as it is written in words, and to write everybody's takes
// long. What stands in digits there stands in the search key, too; and a part without a digit says
// nothing of the year, so that one year's days tell of all.
class BirthDays {
 public:
  BirthDays(const Words& words, FoldFunction folded, std::string_view part)
      : words_(words), folded_(folded), part_(part) {
    const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
    if (std::ranges::all_of(part, is_digit)) return;
    if (std::ranges::any_of(part, is_digit)) {
      how_ = How::each;
      return;
    }
    constexpr std::chrono::year leap{2000};
    for (auto day = LocalDay{std::chrono::local_days{leap / 1 / 1}};
         std::chrono::year_month_day{day}.year() == leap; day += days{1}) {
      if (!is_in(day)) continue;
      how_ = How::by_day;
      of_year_.set(place(day));
    }
  }
  bool has(LocalDay born) const {
    return how_ == How::by_day ? of_year_.test(place(born)) : how_ == How::each && is_in(born);
  }

 private:
  enum class How : std::uint8_t { none, by_day, each };
  static std::size_t place(LocalDay day) {
    const std::chrono::year_month_day date{day};
    return unsigned{date.month()} * 32 + unsigned{date.day()};
  }
  bool is_in(LocalDay day) const { return contains(folded_(words_.day_year(day)), part_); }

  const Words& words_;
  FoldFunction folded_;
  std::string part_;
  How how_ = How::none;
  std::bitset<std::size_t{13} * 32> of_year_;
};

std::vector<std::string> parts_of(std::string_view folded) {
  std::vector<std::string> parts;
  std::string word;
  for (const char c : std::string(folded) + " ") {
    if (c != ' ') {
      word += c;
    } else if (!word.empty()) {
      parts.push_back(std::move(word));
      word.clear();
    }
  }
  return parts;
}

// By name, then by birth date; only what stands on this page of the list.
void put_in_order(std::vector<std::size_t>& found, const People& people, const PageCut& here) {
  const auto comes_first = [&people](std::size_t a, std::size_t b) {
    const auto by_name = people.folded_name(a) <=> people.folded_name(b);
    if (by_name != 0) return by_name < 0;
    return std::pair{people.born(a), a} < std::pair{people.born(b), b};
  };
  const auto at = [&found](std::size_t i) {
    return found.begin() + static_cast<std::ptrdiff_t>(i);
  };
  if (here.from > 0) std::ranges::nth_element(found, at(here.from), comes_first);
  std::partial_sort(at(here.from), at(here.to), found.end(), comes_first);
}

}  // namespace

std::vector<std::size_t> matching(const Words& words, const People& people, std::string_view query,
                                  FoldFunction folded) {
  struct Part {
    std::string text;
    BirthDays days;
  };
  std::vector<Part> parts;
  for (auto& part : parts_of(folded(query))) {
    BirthDays days(words, folded, part);
    parts.push_back({std::move(part), std::move(days)});
  }
  std::vector<std::size_t> found;
  for (std::size_t i = 0; i < people.size(); ++i) {
    const auto key = people.search_key(i);
    const auto is_in = [&](const Part& part) {
      return contains(key, part.text) || part.days.has(people.born(i));
    };
    if (std::ranges::all_of(parts, is_in)) found.push_back(i);
  }
  return found;
}

json::Value clinic_page(const Clinic& clinic, const Caller& caller,
                        std::span<const std::string> zone_names, std::string_view program) {
  const auto now = now_at(clinic, caller);
  std::vector<json::Value> zones;
  for (const auto& zone : zone_names) zones.push_back(text(zone));
  return json::object({{"named", json::boolean(clinic.named)},
                       {"clinic", text(clinic.names.clinic)},
                       {"user", text(clinic.names.user)},
                       {"zone", text(clinic.names.zone)},
                       {"phone", text(clinic.names.phone)},
                       {"emergency", text(clinic.names.emergency)},
                       {"now", json::string(now)},
                       {"now_text", text(caller.words.moment(now))},
                       {"version", json::count(static_cast<std::int64_t>(clinic.version))},
                       {"zones", list(std::move(zones))},
                       {"defer", text(said(caller.words, "defer"))},
                       {"program", text(program)},
                       {"patterns", svg(drawing::patterns())},
                       {"emblem", svg(drawing::emblem())}});
}

json::Value today_page(const People& people, std::span<const OpenRecall> recalls, int page,
                       const Clinic& clinic, const Caller& caller) {
  const auto now = now_at(clinic, caller);
  const auto needs = needs_of(people, now);
  const auto count = static_cast<std::int64_t>(people_in(needs, std::nullopt));
  const auto before = static_cast<std::int64_t>(people_in(needs, Group::before_next));
  const bool quiet = needs.empty() && recalls.empty();
  const auto shown = shown_of(needs, recalls.size());
  const auto here = cut(recalls.size() + shown.size(), page);
  auto groups = groups_of(caller.words, shown, recalls_open(caller.words, recalls), here, now);
  auto out = json::object(
      {{"headline", say(caller.words,
                        count > 0         ? "today.headline"
                        : recalls.empty() ? "today.headline_none"
                                          : "today.headline_recalled",
                        {arg_count("people", count), arg_count("lots", std::ssize(recalls))})},
       {"sub",
        before == 0 ? list() : say(caller.words, "today.sub", {arg_count("people", before)})},
       {"groups", std::move(groups)},
       {"key", level_key(caller.words)},
       {"rule", text(said(caller.words, "today.rule"))},
       {"more", text(more_text(caller.words, here, needs.size() - shown.size()))},
       {"page", json::count(here.page)},
       {"pages", json::count(here.pages)}});
  if (people.empty()) {
    json::add(out, "empty",
              empty(caller.words, "people.empty_title", "people.empty", {}, "", "people.register",
                    "/people/new"));
  } else if (quiet) {
    json::add(out, "empty", empty(caller.words, "today.empty_title", "today.empty", {}, ""));
  }
  return out;
}

json::Value people_page(const People& people, std::string_view query, int page,
                        const Clinic& clinic, const Caller& caller, FoldFunction folded) {
  const auto now = now_at(clinic, caller);
  auto found = matching(caller.words, people, query, folded);
  const auto here = cut(found.size(), page);
  put_in_order(found, people, here);
  std::vector<json::Value> rows;
  for (auto i = here.from; i < here.to; ++i)
    rows.push_back(row_of(caller.words, people, people[found[i]], now));
  auto out = json::object(
      {{"query", text(query)},
       {"count_text", text(said(caller.words, "people.count",
                                {arg_count("people", static_cast<std::int64_t>(found.size()))}))},
       {"page", json::count(here.page)},
       {"pages", json::count(here.pages)},
       {"people", list(std::move(rows))}});
  if (people.empty()) {
    json::add(out, "empty",
              empty(caller.words, "people.empty_title", "people.empty", {}, "", "people.register",
                    "/people/new"));
  } else if (found.empty()) {
    json::add(out, "empty",
              empty(caller.words, "people.none_title", "people.none", {arg_text("query", query)},
                    "", "people.register", "/people/new"));
  }
  return out;
}

}  // namespace penstock::pages
