// A diary before it enters, and after: what its rows are of, and what is said of them.
#include <algorithm>
#include <memory>
#include <set>
#include <span>
#include <unordered_map>
#include <unordered_set>

#include "shell/imports/imports.hpp"
#include "shell/names/names.hpp"
#include "shell/vetting/so_far.hpp"
#include "shell/vetting/vetting.hpp"

namespace penstock::imports {
namespace {

using namespace journal;
using pages::list;
using pages::text;
using watch::Level;

// H13: by the insulin alone a row says nothing of which of two pens it was; recalls, heat and what
// is left hang on that.
std::optional<Error> which_pen(const Chart& person, const ledger::Cartridge& taken,
                               const When& when) {
  const auto in_use = [&](const ledger::Pen& pen) {
    return std::ranges::any_of(person.ledger.cartridges, [&](const ledger::Cartridge& one) {
      return one.is_loaded() && one.last_pen == pen.id && one.copy.name == taken.copy.name &&
             one.loaded_when.at <= when.at && (!one.thrown || one.thrown->when.at > when.at);
    });
  };
  if (std::ranges::count_if(person.ledger.pens, in_use) < 2) return std::nullopt;
  const bool lot = !taken.lot.empty();
  return Error{
      Kind::refused,
      std::string(lot ? diary::codes::diary_which_pen : diary::codes::diary_which_pen_no_lot),
      {arg_text("insulin", taken.copy.name), arg_text("lot", taken.lot)},
      "/cartridge"};
}

// Typed, it is asked about too: the units would leave a cartridge that was gone, and not the one
// that was in the pen (H02). What lies before the first cartridge on record is a diary's usual row.
std::optional<Error> thrown_before(const ledger::Cartridge& cartridge, const When& when) {
  if (!cartridge.thrown || cartridge.thrown->when.at > when.at) return std::nullopt;
  return Error{Kind::refused,
               std::string(vetting::codes::ask_cartridge_ended),
               {arg_instant("when", cartridge.thrown->when)},
               "/cartridge"};
}

// A cartridge as a diary names it: its identity, its place among the person's ("1" is the first),
// or its lot.
std::optional<diary::DiaryCartridge> cartridge_named(const Chart& person, std::string_view name,
                                                     const When& when) {
  const auto found = [&](const ledger::Cartridge& cartridge) -> diary::DiaryCartridge {
    return {cartridge.id, cartridge.in_pen.value_or(cartridge.last_pen),
            thrown_before(cartridge, when)};
  };
  const auto id = parse_id(name);
  const auto ordinal = parse_fixed(name, 0);
  std::int64_t place = 0;
  for (const auto& cartridge : person.ledger.cartridges) {
    ++place;
    if (id && cartridge.id == *id) return found(cartridge);
    if (ordinal && *ordinal == place) return found(cartridge);
  }
  // By name of the insulin: the one that was in a pen then.
  const ledger::Cartridge* at_that_time = nullptr;
  for (const auto& cartridge : person.ledger.cartridges) {
    if (cartridge.lot == name && !cartridge.lot.empty()) return found(cartridge);
    const bool loaded = cartridge.is_loaded() && cartridge.loaded_when.at <= when.at;
    if (loaded && names::folded(cartridge.copy.name) == names::folded(name))
      at_that_time = &cartridge;
  }
  if (at_that_time != nullptr) {
    auto out = found(*at_that_time);
    if (!out.asked) out.asked = which_pen(person, *at_that_time, when);
    return out;
  }
  return std::nullopt;
}

// As far apart as the next injection takes two for perhaps one (H52, H56).
std::chrono::minutes perhaps_same(const Chart& person, const Id& cartridge) {
  const auto* held = person.ledger.cartridge(cartridge);
  const auto is_background = [&](const order::Line& line) {
    return line.text.purpose == Purpose::background && line.text.insulin == held->copy.name;
  };
  if (held != nullptr && std::ranges::any_of(person.order.lines, is_background))
    return std::chrono::hours{order::background_hours};
  return std::chrono::minutes{order::near_minutes};
}

// The same with another amount: of basal insulin whatever a typed dose would be asked about; of
// others a correction may stand a little beside the meal's. A quarter of an hour: common practice,
// no source.
std::chrono::minutes perhaps_same_dose(const Chart& person, const Id& cartridge) {
  constexpr std::chrono::minutes near{15};
  const auto reach = perhaps_same(person, cartridge);
  return reach == std::chrono::hours{order::background_hours} ? reach : near;
}

// The dose that was due then, of this insulin.
std::optional<order::Due> due_of(const Chart& person, const ledger::Cartridge& from,
                                 const When& when) {
  std::optional<order::Due> nearest;
  const auto apart = [&](const order::Due& due) { return abs(due.at.at - when.at); };
  for (const int days : {-1, 0, 1}) {
    for (const auto& due :
         order::due_on(person.order, when.day() + std::chrono::days{days}, person.zone)) {
      const auto& line = person.order.line(due.line)->text;
      if (line.insulin != from.copy.name || line.strength != from.copy.strength) continue;
      if (!nearest || apart(due) < apart(*nearest)) nearest = due;
    }
  }
  const auto reach = perhaps_same(person, from.id);
  return nearest && apart(*nearest) <= reach ? nearest : std::nullopt;
}

// What would be asked if the row were typed beside its order (H25, H04, H57).
std::optional<Error> unlike_what_was_due(const Fact& fact, const Chart& person) {
  const auto* dose = std::get_if<Injected>(&fact.payload);
  const auto* from = dose != nullptr ? person.ledger.cartridge(dose->cartridge) : nullptr;
  if (from == nullptr || dose->outcome == Outcome::unknown) return std::nullopt;
  const auto due = due_of(person, *from, fact.happened);
  if (!due) return std::nullopt;
  const auto* said = order::said_of(person.order, *due);
  if (said != nullptr && said->was == DoseWas::not_taken)
    return Error{
        Kind::refused, std::string(codes::ask_said_not_taken), {arg_instant("due", due->at)}, ""};
  const bool basal = person.order.line(due->line)->text.purpose == Purpose::background;
  const bool is_less = dose->units < due->units;
  const bool unlike = dose->units > due->units ||
                      (is_less && (basal || dose->outcome == Outcome::part));  // the rest (H39)
  if (due->units.is_zero() || !unlike) return std::nullopt;
  return Error{Kind::refused,
               std::string(codes::ask_unlike_order),
               {arg_units("given", dose->units), arg_units("ordered", due->units)},
               ""};
}

// A diary may begin some months before the first visit; what is older may be of another year (H22).
// Half a year: common practice, no source.
std::optional<Error> before_therapy(const Fact& fact, const Chart& person) {
  constexpr std::chrono::days usual{182};
  std::optional<LocalDay> first;
  const auto note = [&](LocalDay day) { first = std::min(first.value_or(day), day); };
  for (const auto& line : person.order.lines) note(std::min(line.text.from, line.text.signed_on));
  for (const auto& pen : person.ledger.pens) {
    if (pen.is_given()) note(pen.given_when.day());
  }
  for (const auto& cartridge : person.ledger.cartridges) {
    if (cartridge.is_loaded()) note(cartridge.loaded_when.day());
  }
  const auto day = fact.happened.day();
  if (!first || day >= *first - usual) return std::nullopt;
  return Error{Kind::refused,
               std::string(codes::ask_before_therapy),
               {arg_date("day", day), arg_date("first", *first)},
               ""};
}

json::Value bad_line(const Words& words, const diary::DiaryBadLine& bad) {
  const auto told = words.say(bad.error);
  return json::object({{"line", json::count(bad.line)},
                       {"what", text(told.what)},
                       {"do_this", text(told.do_this)}});
}

// What the row would add, with its units where it has some.
json::Value sample_line(const Words& words, const diary::DiaryLine& line) {
  const auto& payload = line.fact.payload;
  auto what = words.name("fact/" + std::string(name_of(payload)));
  const auto* dose = std::get_if<Injected>(&payload);
  const auto* prime = std::get_if<Primed>(&payload);
  const auto* scale = std::get_if<ScaleCounted>(&payload);
  if (dose != nullptr || prime != nullptr || scale != nullptr) {
    const auto units = dose != nullptr    ? dose->units
                       : prime != nullptr ? prime->units
                                          : scale->units;
    what += ", " + words.text("dose", {arg_units("dose", units)});
  }
  auto when = words.moment(line.fact.happened);
  constexpr std::size_t offset_size = 6;  // "+02:00"
  const auto written = format_iso(line.fact.happened);
  if (line.hour_came_twice)
    when = words.text(
        "diary.with_offset",
        {arg_text("when", when), arg_text("offset", written.substr(written.size() - offset_size))});
  return json::object(
      {{"line", json::count(line.line)}, {"when_text", text(when)}, {"what", text(what)}});
}

json::Value near_line(const Words& words, const diary::DiaryPreview& preview,
                      const diary::DiaryNear& near) {
  auto out = sample_line(words, preview.fresh[near.fresh]);
  const auto held = arg_instant("when", near.held);
  if (near.units) {
    json::add(out, "held_text",
              text(words.text("diary.near_amount", {arg_units("units", *near.units),
                                                    arg_text("when", words.moment(near.held))})));
    return out;
  }
  json::add(out, "held_text",
            text(near.line == 0
                     ? words.moment(near.held)
                     : words.text("diary.near_in_file", {held, arg_count("line", near.line)})));
  return out;
}

json::Value odd_line(const Words& words, const diary::DiaryPreview& preview,
                     const diary::DiaryBadLine& odd) {
  const auto line = std::ranges::find(preview.fresh, odd.line, &diary::DiaryLine::line);
  auto out = sample_line(words, *line);
  json::add(out, "why", text(words.say(odd.error).what));
  return out;
}

// What is asked before the file enters, with what to look at.
void add_asked(json::Value& document, const Words& words, const diary::DiaryPreview& preview) {
  const auto asked = [&](std::string_view key, const auto& all, auto line) {
    std::vector<json::Value> rows;
    for (const auto& one : all) rows.push_back(line(words, preview, one));
    const auto count = arg_count("rows", static_cast<std::int64_t>(rows.size()));
    json::add(document, std::string(key) + "_text",
              text(rows.empty() ? "" : words.text("diary." + std::string(key) + "_rows", {count})));
    json::add(document, std::string(key), list(std::move(rows)));
  };
  asked("near", preview.near, near_line);
  asked("odd", preview.odd, odd_line);
}

// "3, 9 and 12 more": which rows were there twice.
std::string lines_text(const Words& words, const std::vector<std::int64_t>& lines) {
  constexpr std::size_t named_max = 8;
  std::string out;
  for (const auto line : std::span(lines).first(std::min(named_max, lines.size())))
    out += (out.empty() ? "" : ", ") + std::to_string(line);
  if (lines.size() <= named_max) return out;
  return out + " " +
         words.text("diary.and_more",
                    {arg_count("lines", static_cast<std::int64_t>(lines.size() - named_max))});
}

std::int64_t lines_in(const std::vector<diary::DiaryLine>& fresh) {
  std::set<std::int64_t> lines;  // a row with a note brings two facts
  for (const auto& line : fresh) lines.insert(line.line);
  return std::ssize(lines);
}

// The preview of what was said to be let in, without what was said to be left out.
diary::DiaryPreview entered_of(diary::DiaryPreview preview, const std::vector<Fact>& entered) {
  std::unordered_set<Id, IdHash> ids;
  for (const auto& fact : entered) ids.insert(fact.id);
  std::erase_if(preview.fresh, [&](const auto& line) { return !ids.contains(line.fact.id); });
  return preview;
}

// `left_out`: the file has entered, but for so many lines.
json::Value preview_document(const Words& words, const diary::DiaryPreview& preview,
                             std::string_view file, std::optional<std::int64_t> left_out) {
  const bool accepted = left_out.has_value();
  constexpr std::size_t sample_max = 8;
  std::vector<json::Value> bad, sample;
  for (const auto& line : preview.bad) bad.push_back(bad_line(words, line));
  for (std::size_t i = 0; i < std::min(sample_max, preview.fresh.size()); ++i)
    sample.push_back(sample_line(words, preview.fresh[i]));
  const auto hidden = preview.bad_count - static_cast<std::int64_t>(preview.bad.size());
  const auto fresh = lines_in(preview.fresh);
  const std::vector<Arg> args{arg_count("rows", preview.rows), arg_count("fresh", fresh),
                              arg_count("known", preview.known),
                              arg_count("bad", preview.bad_count)};
  const auto* key = accepted                ? "diary.accepted"
                    : preview.bad_count > 0 ? "diary.has_bad"
                    : fresh == 0            ? "diary.nothing_new"
                                            : "diary.would_enter";
  std::vector<json::Value> notices;
  if (accepted && *left_out > 0) {
    notices.push_back(pages::notice(
        words, Level::note, words.sentence("diary.left_out", {arg_count("rows", *left_out)})));
  }
  if (!preview.differs.empty()) {
    notices.push_back(pages::notice(
        words, Level::note,
        words.sentence("diary.differs",
                       {arg_count("lines", static_cast<std::int64_t>(preview.differs.size()))})));
  }
  if (!preview.struck.empty()) {
    notices.push_back(pages::notice(
        words, Level::caution,
        words.sentence("diary.struck", {arg_count("rows", std::ssize(preview.struck)),
                                        arg_text("lines", lines_text(words, preview.struck))})));
  }
  if (!preview.late.empty() && !accepted) {
    notices.push_back(
        pages::notice(words, Level::caution,
                      words.sentence("diary.late", {arg_count("rows", std::ssize(preview.late))})));
  }
  if (!preview.twice.empty() && !accepted) {
    notices.push_back(pages::notice(
        words, Level::caution,
        words.sentence("diary.twice", {arg_count("rows", std::ssize(preview.twice)),
                                       arg_text("lines", lines_text(words, preview.twice))})));
  }
  if (!preview.repeated.empty()) {
    notices.push_back(pages::notice(
        words, Level::caution,
        words.sentence("diary.repeated",
                       {arg_count("rows", static_cast<std::int64_t>(preview.repeated.size())),
                        arg_text("lines", lines_text(words, preview.repeated))})));
  }
  auto document = json::object(
      {{"file", text(file)},
       {"digest", text(to_text(preview.digest))},
       {"accepted", json::boolean(accepted)},
       {"rows", json::count(preview.rows)},
       {"fresh", json::count(fresh)},
       {"known", json::count(preview.known)},
       {"summary", pages::say(words, key, args)},
       {"bad", list(std::move(bad))},
       {"more_bad",
        text(hidden > 0 ? words.text("diary.more_bad", {arg_count("lines", hidden)}) : "")},
       {"sample", list(std::move(sample))},
       {"notices", list(std::move(notices))},
       {"can_accept", json::boolean(preview.acceptable() && fresh > 0 && !accepted)}});
  add_asked(document, words, accepted ? diary::DiaryPreview{} : preview);
  return document;
}

}  // namespace

diary::DiaryContext context_of(const Chart& person, const Caller& caller) {
  diary::DiaryContext context;
  context.journal = person.journal;
  context.full_name = person.person.full_name;
  context.number = person.person.number;
  if (person.person.registered) context.born = person.person.born;
  context.zone = person.zone;
  context.told = [&person](const When& sent) { return person.clock.told(sent); };
  context.now = caller.now;
  context.author = caller.author;
  context.cartridge = [&person](std::string_view name, const When& when) {
    return cartridge_named(person, name, when);
  };
  auto by_id = std::make_shared<std::unordered_map<Id, const Fact*, IdHash>>();
  for (const auto& fact : person.facts) by_id->emplace(fact.id, &fact);
  context.known = [by_id](const Id& id) -> const Fact* {
    const auto found = by_id->find(id);
    return found == by_id->end() ? nullptr : found->second;
  };
  auto struck = std::make_shared<std::unordered_set<Id, IdHash>>();
  for (const auto& one : person.history.voided) struck->insert(one.fact->id);
  context.struck_out = [struck](const Id& id) { return struck->contains(id); };
  context.odd = [&person](const Fact& fact) {
    if (auto odd = vetting::odd_of(fact, person)) return odd;
    if (auto unlike = unlike_what_was_due(fact, person)) return unlike;
    return before_therapy(fact, person);
  };
  context.digest = store::sha256;
  context.so_far = person.history.facts;
  context.same_insulin = [&person](const Id& one, const Id& other) {
    const auto* a = person.ledger.cartridge(one);
    const auto* b = person.ledger.cartridge(other);
    return a != nullptr && b != nullptr && a->copy.name == b->copy.name;
  };
  context.perhaps_same = [&person](const Id& cartridge) { return perhaps_same(person, cartridge); };
  context.perhaps_same_dose = [&person](const Id& cartridge) {
    return perhaps_same_dose(person, cartridge);
  };
  return context;
}

namespace {

// A diary that goes back for years has no slip in each of its rows: the one before a gap is asked
// about (H22, H32). Ours.
void ask_before_gaps_alone(diary::DiaryPreview& preview) {
  constexpr std::chrono::days gap{28};
  std::vector<Instant> times;
  for (const auto& row : preview.fresh) times.push_back(row.fact.happened.at);
  std::ranges::sort(times);
  std::erase_if(preview.odd, [&](const diary::DiaryBadLine& odd) {
    if (odd.error.code != codes::ask_before_therapy) return false;
    const auto row = std::ranges::lower_bound(preview.fresh, odd.line, {}, &diary::DiaryLine::line);
    const auto at = row->fact.happened.at;
    const auto next = std::ranges::upper_bound(times, at);
    return next != times.end() && *next - at <= gap;
  });
}

}  // namespace

Result<void> ask_what_lifts(const charts::ZoneOf& zone, const ChartPtr& person,
                            const Clinic& clinic, Instant now, diary::DiaryPreview& preview) {
  ask_before_gaps_alone(preview);
  // Each that is asked about is left out of the next look, so that without all of them none comes.
  constexpr int asked_max = 8;
  vetting::SoFar given(zone, person);
  std::vector<Fact> others;
  std::vector<std::int64_t> lines;
  for (const auto& row : preview.fresh) {
    const auto& payload = row.fact.payload;
    if (std::holds_alternative<Injected>(payload) || std::holds_alternative<Note>(payload)) {
      given.take(row.fact);
      continue;
    }
    others.push_back(row.fact);
    lines.push_back(row.line);
  }
  if (others.empty()) return {};
  const auto base = given.chart();
  if (!base) return base.error();
  if (vetting::shows_number(**base, clinic, now)) return {};
  for (int i = 0; i < asked_max && !others.empty(); ++i) {
    vetting::SoFar all(zone, *base);
    for (const auto& fact : others) all.take(fact);
    const auto after = all.chart();
    if (!after) return after.error();
    auto back = vetting::gives_back(**base, **after, clinic, now);
    if (!back) break;
    const auto lifts = lifting(zone, *base, others, clinic, now);
    if (!lifts) return lifts.error();
    const auto at = static_cast<std::ptrdiff_t>(*lifts);
    back->code = codes::ask_brings_number;
    preview.odd.push_back({lines[*lifts], *std::move(back)});
    others.erase(others.begin() + at);
    lines.erase(lines.begin() + at);
  }
  std::ranges::stable_sort(preview.odd, {}, &diary::DiaryBadLine::line);
  return {};
}

json::Value diary_preview(const Words& words, const diary::DiaryPreview& preview,
                          std::string_view file) {
  return preview_document(words, preview, file, std::nullopt);
}

json::Value diary_entered(const Words& words, const diary::DiaryPreview& preview,
                          std::string_view file, const std::vector<Fact>& facts) {
  const auto entered = entered_of(preview, facts);
  return preview_document(words, entered, file, lines_in(preview.fresh) - lines_in(entered.fresh));
}

}  // namespace penstock::imports
