#include "edge/pages/visit/visit.hpp"

#include <algorithm>
#include <variant>

#include "core/visit/visit.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/journal/journal.hpp"
#include "edge/pages/kit/who.hpp"

namespace penstock::pages {
namespace {

using namespace journal;
using std::chrono::days;
using visit::Visit;

// The days to choose the next contact from; farther off it is typed.
constexpr int days_offered = 14;

// Of one topic, and of areas felt again: a visit writes a dozen down, a file or a program
// thousands, and the page would be too large to show. Ours.
constexpr std::ptrdiff_t listed_most = 40;

// At the start of a sentence: "Left belly, lower".
Arg place_arg(const Words& words, Zone zone) {
  return arg_text("place", capital(words.name(zone_names[static_cast<std::size_t>(zone)])));
}

std::vector<Arg> args_of(std::string_view name, const visit::Count& count) {
  return {arg_count(name, count.since), arg_count(std::string(name) + "_before", count.before)};
}

// ---- since the last visit

struct SinceWriter {
  const Words& words;
  const visit::Since& since;
  std::vector<json::Value> rows{};

  void row(std::string_view word, std::string_view key, std::vector<Arg> args = {}) {
    args.push_back(arg_count("days", since.days));
    rows.push_back(json::object({{"word", text(said(words, "visit." + std::string(word)))},
                                 {"text", say(words, "visit.since_" + std::string(key), args)}}));
  }
  static std::string_view fewer_is_better(const visit::Count& count) {
    return count.since > count.before ? "worse" : count.since < count.before ? "better" : "same";
  }

  void lows() {
    if (since.lows.since + since.lows.before == 0) return;
    auto args = args_of("lows", since.lows);
    if (since.lowest) args.push_back(arg_glucose("lowest", *since.lowest));
    row(fewer_is_better(since.lows),
        since.meter_showed_lo ? "lows_meter"
        : since.lowest        ? "lows_lowest"
                              : "lows",
        std::move(args));
  }
  void doses() {
    if (since.injections.since + since.injections.before == 0) return;
    auto args = args_of("injections", since.injections);
    std::ranges::move(args_of("part", since.not_whole), std::back_inserter(args));
    std::ranges::move(args_of("missed", since.not_taken), std::back_inserter(args));
    const visit::Count failed{since.not_whole.before + since.not_taken.before,
                              since.not_whole.since + since.not_taken.since};
    row(fewer_is_better(failed), failed.since + failed.before == 0 ? "doses" : "doses_failed",
        std::move(args));
  }
  void drops() {
    if (since.seen_drops.since + since.seen_drops.before == 0) return;
    auto args = args_of("drops", since.seen_drops);
    std::ranges::move(args_of("injections", since.injections), std::back_inserter(args));
    const auto now = std::int64_t{since.seen_drops.since} * since.injections.before;
    const auto then = std::int64_t{since.seen_drops.before} * since.injections.since;
    row(now > then ? "better" : now < then ? "worse" : "same", "drops", std::move(args));
  }
  void sites() {
    if (since.into_kept_off.since + since.into_kept_off.before > 0) {
      auto args = args_of("there", since.into_kept_off);
      std::ranges::move(args_of("placed", since.placed), std::back_inserter(args));
      row(fewer_is_better(since.into_kept_off), "kept_off", std::move(args));
    }
    auto felt = since.felt_again;
    std::ranges::stable_sort(felt, std::greater{},
                             [](const skin::Area* area) { return area->last().on.at; });
    const auto more = std::max(std::ssize(felt) - listed_most, std::ptrdiff_t{0});
    felt.resize(felt.size() - static_cast<std::size_t>(more));
    for (const auto* area : felt) {
      const auto& last = area->last();
      const auto& before = area->looks[area->looks.size() - 2];
      row(area->trend == skin::Trend::growing     ? "worse"
          : area->trend == skin::Trend::shrinking ? "better"
                                                  : "same",
          "area",
          {place_arg(words, last.zone), arg_code("tissue", "tissue/" + word_of(area->tissue)),
           arg_text("length", cm_text(last.length)), arg_text("width", cm_text(last.width)),
           arg_text("length_before", cm_text(before.length)),
           arg_text("width_before", cm_text(before.width)),
           arg_text("day", words.day_month(before.on.day()))});
    }
    if (more > 0) row("same", "area_more", {arg_count("more", more)});
  }
  void order() {
    if (!since.version_now) return row("same", "no_order");
    const bool is_new = since.version_then != since.version_now;
    row(is_new ? "new" : "same",
        !is_new              ? "order"
        : since.version_then ? "order_new"
                             : "order_first",
        {arg_count("version", *since.version_now),
         arg_count("version_before", since.version_then.value_or(0))});
  }
  void supplies() {
    if (since.cartridges + since.needles == 0) return;
    row("new",
        since.needles == 0      ? "cartridges"
        : since.cartridges == 0 ? "needles"
                                : "supplies",
        {arg_count("cartridges", since.cartridges), arg_count("needles", since.needles)});
  }
};

std::vector<json::Value> since_rows(const Words& words, const visit::Since& since) {
  SinceWriter write{words, since};
  write.lows();
  write.sites();
  write.doses();
  write.drops();
  write.order();
  write.supplies();
  return std::move(write.rows);
}

// ---- what to feel, to watch, to ask

json::Value chosen(const Words& words, Id person, std::string_view key,
                   const std::vector<Arg>& args, std::string_view to) {
  return json::object({{"text", say(words, key, args)}, {"href", text(href_of(person, to))}});
}

std::vector<json::Value> feels(const Words& words, const Chart& person, const Visit& of) {
  std::vector<json::Value> out;
  for (const auto& one : of.feel) {
    const auto place = place_arg(words, one.zone);
    if (one.area == nullptr) {
      out.push_back(chosen(words, person.journal, "visit.feel_zone",
                           {place, arg_count("there", one.there), arg_count("of", one.of)},
                           "/skin/examine"));
      continue;
    }
    const auto& last = one.area->last();
    out.push_back(
        chosen(words, person.journal, "visit.feel_area",
               {place, arg_code("tissue", "tissue/" + word_of(one.area->tissue)),
                arg_text("length", cm_text(last.length)), arg_text("width", cm_text(last.width)),
                arg_text("day", words.day_month(last.on.day()))},
               "/skin/examine?area=" + to_text(one.area->area)));
  }
  if (out.empty())
    out.push_back(chosen(words, person.journal, "visit.feel_first", {}, "/skin/examine"));
  return out;
}

std::vector<json::Value> watches(const Words& words, const Chart& person, const Visit& of) {
  std::vector<json::Value> out;
  for (const auto& one : of.watch) {
    out.push_back(
        chosen(words, person.journal, "visit.watch_" + word_of(one.why),
               {arg_code("step", "hand-step/" + word_of(one.step)),
                arg_text("day", one.when ? words.day_month(one.when->day()) : std::string())},
               "/watch"));
  }
  return out;
}

std::vector<json::Value> asks(const Words& words, const Chart& person, const Visit& of,
                              Instant now) {
  const auto background = background_rows(words, person, now);
  std::vector<json::Value> out;
  for (const auto& one : of.ask) {
    std::string_view to = "/record/note";
    std::vector<Arg> args{arg_text("day", one.day ? words.day_month(*one.day) : std::string())};
    if (one.why == visit::WhyAsk::unknown) {
      const auto unknown = std::ranges::find_if(background.members, [](const json::Member& row) {
        return !row.value.find("known")->flag;
      });
      if (unknown == background.members.end()) continue;
      args.push_back(arg_text("what", unknown->value.find("label")->text));
      to = "/background";
    }
    out.push_back(chosen(words, person.journal, "visit.ask_" + word_of(one.why), args, to));
  }
  return out;
}

// ---- the note

// What was watched stands in one line: by how it was done.
json::Value steps_line(const Words& words, const std::vector<const Effective*>& entries) {
  Rich out;
  for (const auto how : {Judged::alone, Judged::after_a_hint, Judged::not_done}) {
    std::string steps;
    for (const auto* entry : entries) {
      const auto* step = std::get_if<StepJudged>(entry->payload);
      if (step == nullptr || step->how != how) continue;
      steps += (steps.empty() ? "" : ", ") + step->step;
    }
    if (steps.empty()) continue;
    auto said = words.sentence(
        "visit.note_steps", {arg_code("how", "judged/" + word_of(how)), arg_text("steps", steps)});
    out.insert(out.end(), said.begin(), said.end());
  }
  return rich(out);
}

json::Value note_row(const Words& words, visit::Topic topic, json::Value what,
                     const Effective& entry) {
  const auto& by = entry.fact->told_by;
  const auto time = format_iso(entry.happened.minute());
  return json::object(
      {{"label", text(said(words, "visit.topic_" + word_of(topic)))},
       {"text", std::move(what)},
       {"source", text(by.empty() ? time
                                  : said(words, "visit.told_by",
                                         {arg_text("by", by), arg_text("time", time)}))}});
}

std::vector<json::Value> note_rows(const Words& words, const Chart& person, const Clinic& clinic,
                                   const Visit& of) {
  std::vector<json::Value> out;
  for (const auto& line : of.note) {
    const auto is_step = [](const Effective* entry) {
      return std::holds_alternative<StepJudged>(*entry->payload);
    };
    const auto more = std::max(std::ssize(line.entries) - listed_most, std::ptrdiff_t{0});
    const std::vector<const Effective*> newest(line.entries.begin() + more, line.entries.end());
    if (more > 0)
      out.push_back(note_row(words, line.topic,
                             say(words, "visit.note_more", {arg_count("more", more)}),
                             *line.entries.front()));
    const auto step = std::ranges::find_if(newest, is_step);
    if (step != newest.end())
      out.push_back(note_row(words, line.topic, steps_line(words, newest), **step));
    for (const auto* entry : newest) {
      if (is_step(entry)) continue;
      out.push_back(note_row(words, line.topic,
                             rich(sentence_of(words, person, clinic.shelf, *entry->payload)),
                             *entry));
    }
  }
  return out;
}

// ---- closing

// The visit itself, and what was agreed for it took place.
std::vector<json::Value> closing(const Chart& person, const Visit& of, const When& now) {
  auto came = fact(ContactMade::name);
  json::add(came, "meeting", text(word_of(Meeting::visit)));
  json::add(came, "outcome", text(word_of(ContactOutcome::came)));
  for (const auto* agreed : person.contacts.waiting()) {
    if (agreed->said.meeting != Meeting::visit || agreed->said.at.day() != now.day()) continue;
    json::add(came, "appointment", json::string(agreed->fact));
    break;
  }
  auto closed = fact(VisitClosed::name);
  json::add(closed, "began", json::string(of.began));
  return {std::move(closed), std::move(came)};
}

std::vector<json::Value> days_of(const Words& words, const Chart& person, const Clinic& clinic,
                                 LocalDay today) {
  std::vector<json::Value> out;
  for (int ahead = 1; ahead <= days_offered; ++ahead) {
    const auto day = today + days{ahead};
    std::string agreed;
    for (const auto* one : person.contacts.waiting()) {
      if (one->said.at.day() != day) continue;
      agreed += (agreed.empty() ? "" : ", ") + words.name("meeting/" + word_of(one->said.meeting)) +
                " " + format_iso(one->said.at.minute());
    }
    out.push_back(json::object({{"value", text(format_iso(day))},
                                {"label", text(words.day_short(day))},
                                {"closed", json::boolean(clinic.closed.is_closed(day))},
                                {"agreed", text(agreed)}}));
  }
  return out;
}

// As an appointment says it.
MeetingWhy meeting_why(visit::WhyNext why) {
  switch (why) {
    case visit::WhyNext::step:
      return MeetingWhy::teaching;
    case visit::WhyNext::start:
      return MeetingWhy::first_week;
    case visit::WhyNext::order:
      return MeetingWhy::dose_changed;
    case visit::WhyNext::tissue:
      return MeetingWhy::hardened_tissue_left;
    case visit::WhyNext::routine:
      break;
  }
  return MeetingWhy::review;
}

json::Value next_of(const Words& words, const Chart& person, const Clinic& clinic, const Visit& of,
                    LocalDay today) {
  const auto next = visit::next_contact(of, person, clinic.closed, today);
  return json::object({{"day", text(format_iso(next.day))},
                       {"meeting", text(word_of(next.meeting))},
                       {"why", text(word_of(meeting_why(next.why)))},
                       {"why_text", text(said(words, "visit.next_" + word_of(next.why)))},
                       {"meetings", choices_of<Meeting>(words, "meeting/")},
                       {"days", list(days_of(words, person, clinic, today))}});
}

std::string last_text(const Words& words, const Visit& of) {
  if (!of.last) return said(words, "visit.no_last");
  return said(words, "visit.last",
              {arg_text("when", words.moment(of.last->when)), arg_text("by", of.last->by)});
}

}  // namespace

json::Value visit_page(const Chart& person, const Clinic& clinic, const Caller& caller) {
  const auto& words = caller.words;
  const auto now = now_at(person, caller);
  const auto of = visit::of(person, now);
  const auto todo = [&](std::string_view key, std::vector<json::Value> choices) {
    return json::object({{"label", text(said(words, "visit." + std::string(key)))},
                         {"rule", text(said(words, "visit.rule_" + std::string(key)))},
                         {"choices", list(std::move(choices))}});
  };
  return json::object(
      {{"version", json::count(static_cast<std::int64_t>(person.version))},
       {"since_title", text(of.since.of_visit ? said(words, "visit.since")
                                              : said(words, "visit.since_days",
                                                     {arg_count("days", of.since.days)}))},
       {"last_text", text(last_text(words, of))},
       {"has_sheet", json::boolean(visit::last_met(person, now).has_value())},
       {"since", list(since_rows(words, of.since))},
       {"began_text",
        text(of.note.empty()
                 ? said(words, "visit.not_begun")
                 : said(words, "visit.began", {arg_text("time", format_iso(of.began.minute()))}))},
       {"todo",
        list({todo("feel", feels(words, person, of)), todo("watch", watches(words, person, of)),
              todo("ask", asks(words, person, of, now.at))})},
       {"note_text", text(said(words, "visit.note_of",
                               {arg_text("day", words.day_long(now.day())),
                                arg_text("from", format_iso(of.began.minute())),
                                arg_text("to", format_iso(now.minute())),
                                arg_text("clinic", clinic.names.clinic)}))},
       {"note", list(note_rows(words, person, clinic, of))},
       {"next", next_of(words, person, clinic, of, now.day())},
       {"close", list(closing(person, of, now))}});
}

}  // namespace penstock::pages
