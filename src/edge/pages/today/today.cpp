// The pages that show many people: the clinic's own line, Today, People.
#include "edge/pages/today/today.hpp"

#include <algorithm>
#include <array>
#include <chrono>
#include <map>
#include <utility>

#include "core/contacts/contacts.hpp"
#include "core/interlock/interlock.hpp"
#include "edge/drawing/kit/kit.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/kit/watches.hpp"
#include "edge/pages/today/internal/needs.hpp"

namespace penstock::pages {
namespace {

using std::chrono::days;

// Today's length is fixed; what holds up a dose is shown however many there are (H32). From a crowd
// on it has other columns, fewer rows, and below them all that is open, by reason.
constexpr std::size_t crowd_from = 200;
constexpr std::size_t needs_shown_max = 24;
constexpr int crowd_rows = 14;

json::Value dismissal_of(const summary::Row& listed, const watch::Watch& watch) {
  return json::object({{"journal", json::string(listed.person)},
                       {"seen_version", json::count(static_cast<std::int64_t>(listed.version))},
                       {"reminder", text(word_of(watch.what))},
                       {"basis", text(watch.basis)}});
}

json::Value action_value(const WatchAction& action, bool first) {
  return json::object({{"label", text(action.label)},
                       {"href", text(action.href)},
                       {"first", json::boolean(first)}});
}

// Somebody's other things, in short, each with its level and its way there.
json::Value also_of(const Words& words, const Need& need, const When& now) {
  std::vector<json::Value> out;
  for (std::size_t i = 1; i < need.things.size(); ++i) {
    const auto& thing = need.things[i];
    auto one = json::object();
    add_level(words, one, thing.how.level);
    json::add(one, "text", rich(short_of(words, *thing.watch, now)));
    const auto action = action_of(words, *thing.watch, need.listed->person, need.listed->full_name);
    json::add(one, "href", text(action.href));
    if (watch::can_be_dismissed(*thing.watch, now.at))
      json::add(one, "dismiss", dismissal_of(*need.listed, *thing.watch));
    out.push_back(std::move(one));
  }
  return list(std::move(out));
}

json::Value last_contact(const Words& words, const summary::Reached& reached, const Clinic& clinic,
                         const When& now) {
  if (!reached.last) return say(words, "today.not_called");
  const auto when = clinic.zone.when(reached.last->when.at);
  const auto on =
      when.day() == now.day() ? format_iso(when.minute()) : words.day_near(when.day(), now.day());
  return say(words, "today.last_contact",
             {arg_text("when", on),
              arg_code("outcome", "outcome-of-contact/" + word_of(reached.last->outcome))});
}

// After several calls that nobody answered: whom to phone instead, with the number.
json::Value instead_of(const Words& words, const summary::Reached& reached) {
  if (reached.unanswered < contacts::tries_before_others) return list();
  if (reached.instead.empty()) return say(words, "today.instead_none");
  return say(
      words, "today.instead",
      {arg_text("who", reached.instead), arg_code("role", "contact/" + word_of(reached.role)),
       arg_text("phone", reached.instead_phone)});
}

// Beside the button one more way: to record a call, or, where the button does that, the glucose
// that was asked for in it.
json::Value beside_of(const Words& words, const WatchAction& action, Id person) {
  return action.calls
             ? json::object({{"label", text(said(words, "today.glucose"))},
                             {"href", text(href_of(person, "/record/glucose"))}})
             : json::object({{"label", text(said(words, "today.call"))},
                             {"href", text(href_of(person, "/record/call?meeting=call"))}});
}

/// Who asks, and whether for their own alone.
struct Asking {
  std::string_view who;
  bool for_own = false;
  bool is_own(const Need& need) const { return need.listed->reached.whose == who; }
};

// Nobody's yet: one press makes it the caller's.
json::Value take_of(const summary::Row& listed, std::string_view who) {
  auto taken = fact(journal::FollowUpTaken::name);
  json::add(taken, "with", text(who));
  return json::object({{"journal", json::string(listed.person)},
                       {"seen_version", json::count(static_cast<std::int64_t>(listed.version))},
                       {"fact", std::move(taken)}});
}

json::Value need_of(const Clinic& clinic, const Words& words, const Need& need, const When& now,
                    const Asking& asking, bool first) {
  const auto& listed = *need.listed;
  const auto& watch = *need.first().watch;
  const auto action = action_of(words, watch, listed.person, listed.full_name);
  auto out = json::object();
  add_level(words, out, need.first().how.level);
  json::add(out, "name", text(listed.full_name));
  json::add(out, "by", text(by_text(words, need.first(), now)));
  json::add(out, "sentence", rich(sentence_of(words, watch, listed.full_name, now)));
  json::add(out, "also", also_of(words, need, now));
  json::add(out, "picture", svg(picture_of(watch, now)));
  json::add(
      out, "phone",
      listed.phone.empty() ? rich({{phone_text(words, {}), true}}) : rich({{listed.phone, false}}));
  json::add(out, "last", last_contact(words, listed.reached, clinic, now));
  json::add(
      out, "whose",
      text(listed.reached.whose.empty() ? said(words, "today.nobody") : listed.reached.whose));
  json::add(out, "others",
            text(asking.for_own && !asking.is_own(need) ? said(words, "today.others") : ""));
  if (listed.reached.whose.empty() && !asking.who.empty())
    json::add(out, "take", take_of(listed, asking.who));
  json::add(out, "instead", instead_of(words, listed.reached));
  json::add(out, "action", action_value(action, first));
  json::add(out, "beside", beside_of(words, action, listed.person));
  if (watch::can_be_dismissed(watch, now.at))
    json::add(out, "dismiss", dismissal_of(listed, watch));
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
    json::add(need, "name", text(""));
    json::add(need, "by", text(said(words, "today.this_day")));
    json::add(need, "sentence",
              say(words, "today.recall",
                  {arg_text("lot", recall.lot), arg_count("people", recall.waiting)}));
    json::add(need, "also", list());
    json::add(need, "picture", svg(""));
    for (const auto* about_one : {"phone", "last", "instead"}) json::add(need, about_one, list());
    for (const auto* none : {"whose", "others"}) json::add(need, none, text(""));
    json::add(
        need, "action",
        action_value({said(words, "today.recall_action"), "/recall/" + recall.key}, out.empty()));
    out.push_back(std::move(need));
  }
  return out;
}

// What Today shows, in its order: what must not be hidden is never left out, of the rest as much as
// fits.
std::vector<const Need*> shown_of(const std::vector<Need>& needs, std::size_t recalls,
                                  std::size_t most) {
  std::vector<const Need*> shown;
  for (const auto& need : needs) {
    if (need.must_show() || recalls + shown.size() < most) shown.push_back(&need);
  }
  return shown;
}

// The rows of one page in their groups, recalls before all others.
json::Value groups_of(const Clinic& clinic, const Words& words, std::span<const Need* const> shown,
                      std::vector<json::Value> recalls, const PageCut& here, const When& now,
                      const Asking& asking) {
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
    if (group && *group != need.first().group) close(title_of(*group));
    group = need.first().group;
    rows.push_back(need_of(clinic, words, need, now, asking, at == here.from));
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

// All that is open for one reason: how many, of which the day has passed, since when, and whose.
struct Open {
  std::int64_t things = 0;
  std::int64_t passed = 0;
  LocalDay oldest = LocalDay::max();
  std::map<std::string, std::int64_t> whose;  // "": nobody's
};

std::string whose_text(const Words& words, const std::map<std::string, std::int64_t>& whose) {
  std::string out;
  const auto add = [&](const std::string& who, std::int64_t things) {
    out += (out.empty() ? "" : ", ") +
           said(words, "today.whose_count", {arg_text("who", who), arg_count("things", things)});
  };
  for (const auto& [who, things] : whose) {
    if (!who.empty()) add(who, things);
  }
  if (const auto nobody = whose.find(""); nobody != whose.end())
    add(said(words, "today.nobody"), nobody->second);
  return out;
}

json::Value open_of(const Words& words, const std::vector<Need>& needs, const When& now) {
  std::array<Open, reason_names.size()> open;
  for (const auto& need : needs) {
    for (const auto& thing : need.things) {
      auto& one = open[static_cast<std::size_t>(reason_of(thing.watch->what))];
      ++one.things;
      one.passed += has_passed(thing, now) ? 1 : 0;
      one.oldest = std::min(one.oldest, thing.day);
      ++one.whose[need.listed->reached.whose];
    }
  }
  std::vector<json::Value> out;
  for (std::size_t i = 0; i < open.size(); ++i) {
    const auto& one = open[i];
    if (one.things == 0) continue;
    const auto reason = std::string(reason_names[i]);
    out.push_back(json::object(
        {{"reason", text(words.name("open-reason/" + reason))},
         {"href", text("/?reason=" + reason)},
         {"things", text(std::to_string(one.things))},
         {"passed", text(one.passed == 0 ? "" : std::to_string(one.passed))},
         {"oldest", text(one.oldest == now.day() ? said(words, "today.this_day")
                                                 : words.day_near(one.oldest, now.day()))},
         {"whose", text(whose_text(words, one.whose))}}));
  }
  return list(std::move(out));
}

std::int64_t things_in(const std::vector<Need>& needs) {
  std::size_t things = 0;
  for (const auto& need : needs) things += need.things.size();
  return static_cast<std::int64_t>(things);
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

// One reason alone, whole, a page at a time: each row is why it was asked for.
json::Value reason_page(const People& people, Reason of, int page, const Clinic& clinic,
                        const Caller& caller, const When& now) {
  const auto& words = caller.words;
  const auto needs = needs_of(people, clinic, now, of);
  const auto shown = shown_of(needs, 0, needs.size());
  const auto here = cut(shown.size(), page);
  const auto reason = std::string(names_of(of)[static_cast<std::size_t>(of)]);
  return json::object({{"headline", say(words, "today.reason_headline",
                                        {arg_code("reason", "open-reason/" + reason),
                                         arg_count("people", std::ssize(needs))})},
                       {"sub", list()},
                       {"crowd", json::boolean(people.size() >= crowd_from)},
                       {"reason", text(reason)},
                       {"groups", groups_of(clinic, words, shown, {}, here, now, {caller.author})},
                       {"whose", list()},
                       {"open_title", list()},
                       {"open", list()},
                       {"key", level_key(words)},
                       {"rule", text(said(words, "today.rule"))},
                       {"more", text(more_text(words, here, 0))},
                       {"page", json::count(here.page)},
                       {"pages", json::count(here.pages)}});
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

namespace {

// The caller's own, and whatever cannot wait for its owner.
std::vector<Need> own_of(const std::vector<Need>& all, const Asking& asking) {
  std::vector<Need> own;
  std::ranges::copy_if(all, std::back_inserter(own), [&](const Need& need) {
    return asking.is_own(need) || need.is_everybodys();
  });
  return own;
}

// Mine or everybody's, with how many people each is.
json::Value whose_of(const Words& words, const std::vector<Need>& all, const Asking& asking) {
  if (asking.who.empty()) return list();
  const auto mine =
      std::ranges::count_if(all, [&](const Need& need) { return asking.is_own(need); });
  const auto choice = [&](const char* label, const char* href, std::int64_t people, bool chosen) {
    return json::object({{"label", text(said(words, label, {arg_count("people", people)}))},
                         {"href", text(href)},
                         {"chosen", json::boolean(chosen)}});
  };
  return list({choice("today.mine", "/?whose=me", mine, asking.for_own),
               choice("today.everybody", "/", std::ssize(all), !asking.for_own)});
}

// Who needs what now, or that this machine's clock cannot tell: behind the last entry nothing is
// due, nobody has been reached, and the list is short for no reason of theirs (H18, H61).
Rich headline_of(const Words& words, const People& people, std::int64_t needs, std::int64_t lots,
                 bool incomplete, const Clinic& clinic, const When& now) {
  auto last = clinic.last_recorded;
  if (!last) {
    for (const auto& row : people) last = std::max(last, std::optional(row.recorded));
  }
  if (const auto later = journal::recorded_later({}, last, now.at))
    return words.sentence("today.clock_back",
                          {arg_text("last", words.moment(clinic.zone.when(*later))),
                           arg_text("now", words.moment(now))});
  return words.sentence(needs > 0    ? "today.headline"
                        : lots > 0   ? "today.headline_recalled"
                        : incomplete ? "today.headline_incomplete"
                                     : "today.headline_none",
                        {arg_count("people", needs), arg_count("lots", lots)});
}

}  // namespace

json::Value today_page(const People& people, std::span<const OpenRecall> recalls,
                       const TodayAsked& asked, const Clinic& clinic, const Caller& caller) {
  const auto& words = caller.words;
  const auto now = now_at(clinic, caller);
  if (const auto of = std::ranges::find(reason_names, asked.reason); of != reason_names.end())
    return reason_page(people, static_cast<Reason>(of - reason_names.begin()), asked.page, clinic,
                       caller, now);
  const bool crowd = people.size() >= crowd_from;
  const Asking asking{caller.author, !caller.author.empty() && asked.whose == "me"};
  const auto all = needs_of(people, clinic, now, std::nullopt);
  const auto needs = asking.for_own ? own_of(all, asking) : all;
  const auto count = std::ssize(all);
  const auto before = std::ranges::count_if(
      all, [](const Need& need) { return need.first().group == Group::before_next; });
  const auto shown = shown_of(needs, recalls.size(), crowd ? crowd_rows : needs_shown_max);
  const auto here =
      cut(recalls.size() + shown.size(), asked.page, crowd ? crowd_rows : rows_per_page);
  auto groups = groups_of(clinic, words, shown, recalls_open(words, recalls), here, now, asking);
  auto out = json::object(
      {{"headline", rich(headline_of(words, people, count, std::ssize(recalls), asked.incomplete,
                                     clinic, now))},
       {"sub", before == 0 ? list() : say(words, "today.sub", {arg_count("people", before)})},
       {"crowd", json::boolean(crowd)},
       {"reason", text("")},
       {"whose", all.empty() ? list() : whose_of(words, all, asking)},
       {"groups", std::move(groups)},
       {"open_title", crowd && count > 0
                          ? say(words, "today.open",
                                {arg_count("things", things_in(all)), arg_count("people", count),
                                 arg_count("all", static_cast<std::int64_t>(people.size()))})
                          : list()},
       {"open", crowd ? open_of(words, all, now) : list()},
       {"key", level_key(words)},
       {"rule", text(said(words, "today.rule"))},
       {"more", text(more_text(words, here, needs.size() - shown.size()))},
       {"page", json::count(here.page)},
       {"pages", json::count(here.pages)}});
  if (people.empty()) {
    json::add(out, "empty",
              empty(words, "people.empty_title", "people.empty", {}, "", "people.register",
                    "/people/new"));
  } else if (all.empty() && recalls.empty() && !asked.incomplete) {
    json::add(out, "empty", empty(words, "today.empty_title", "today.empty", {}, ""));
  } else if (needs.empty()) {
    json::add(out, "empty", empty(words, "today.mine_empty_title", "today.mine_empty", {}, ""));
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
