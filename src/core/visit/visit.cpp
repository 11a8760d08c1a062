#include "core/visit/visit.hpp"

#include <algorithm>
#include <variant>

#include "core/low/low.hpp"

namespace penstock::visit {
namespace {

using journal::Effective;
using journal::HandStep;
using journal::Judged;
using std::chrono::days;

// Steps that are watched, those first on which the dose hangs.
constexpr auto steps_to_watch =
    std::to_array<HandStep>({HandStep::prime, HandStep::dial, HandStep::hold, HandStep::inject,
                             HandStep::needle, HandStep::look, HandStep::off, HandStep::taken});

struct TopicOf {
  template <class... Kinds>
  struct OneOf {
    template <class Kind>
    static constexpr bool has = (std::is_same_v<Kind, Kinds> || ...);
  };
  using Told = OneOf<journal::DoseAnswered, journal::GlucoseNoted, journal::AllergyNoted,
                     journal::RescueNoted, journal::BackgroundNoted, journal::TemperatureSpell,
                     journal::PenShared, journal::Needlestick, journal::DifferenceTalked,
                     journal::TripPlanned>;
  using Felt = OneOf<journal::SkinExamined, journal::AreaBlocked, journal::BodyMeasured,
                     journal::DepthMeasured>;
  using Watched = OneOf<journal::StepJudged, journal::TechniqueWatched, journal::TaughtBack>;
  using Read = OneOf<journal::ScaleCounted, journal::SuppliesCounted, journal::WindowTested,
                     journal::PenTested>;
  using Given = OneOf<journal::Injected, journal::Primed, journal::NeedleOn, journal::NeedleOff,
                      journal::PlaceNoted>;
  using Changed =
      OneOf<journal::OrderLineSigned, journal::OrderLineChecked, journal::OrderSignatureSeen,
            journal::OrderLineEnded, journal::CartridgeLoaded, journal::ThrownAway,
            journal::LeftFridge, journal::PlaceRulesSet, journal::SupplyRulesSet,
            journal::PersonRegistered, journal::DetailsChanged, journal::SharpsBoxClosed,
            journal::Correction, journal::ContactNoted>;
  using HandedOut = OneOf<journal::PenGiven, journal::SuppliesGiven, journal::NeedlesGiven,
                          journal::SharpsBoxGiven, journal::PlacePlanGiven>;
  using PutTo = OneOf<journal::QuestionOpened, journal::QuestionAnswered, journal::SuppliesAsked>;
  using Agreed = OneOf<journal::AppointmentMade, journal::ContactMade, journal::FollowUpTaken,
                       journal::PhoneAdvice>;

  template <class Kind>
  Topic operator()(const Kind&) const {
    if constexpr (Told::has<Kind>) return Topic::told;
    if constexpr (Felt::has<Kind>) return Topic::felt;
    if constexpr (Watched::has<Kind>) return Topic::watched;
    if constexpr (Read::has<Kind>) return Topic::read;
    if constexpr (Given::has<Kind>) return Topic::given;
    if constexpr (Changed::has<Kind>) return Topic::changed;
    if constexpr (HandedOut::has<Kind>) return Topic::handed_out;
    if constexpr (PutTo::has<Kind>) return Topic::put_to;
    if constexpr (Agreed::has<Kind>) return Topic::agreed;
    return Topic::noted;
  }
};

// Typed at a desk, not brought in by a file: what came in whole is no part of a conversation.
bool is_typed(const journal::Fact& fact) { return fact.source != "diary"; }

Instant written_at(const Effective& entry) {
  return entry.correction != nullptr ? entry.correction->recorded : entry.fact->recorded;
}

std::optional<Last> last_of(const chart::Chart& person) {
  std::optional<Last> last;
  for (const auto& closed : person.contacts.visits) {
    const auto* entry = journal::find(person.history, closed.fact);
    last = Last{closed.said.began, closed.when, entry != nullptr ? entry->fact->author : ""};
  }
  for (const auto& made : person.contacts.made) {
    const bool came = made.said.meeting == journal::Meeting::visit && made.got_through();
    if (!came || (last && made.when.at <= last->ended.at)) continue;
    const auto* entry = journal::find(person.history, made.fact);
    last = Last{made.when, made.when, entry != nullptr ? entry->fact->author : ""};
  }
  return last;
}

// Closing writes its own entries down a moment after it: they are of the visit that they close.
constexpr std::chrono::minutes written_within{1};

std::vector<const Effective*> entries_between(const chart::Chart& person, Instant from,
                                              Instant to) {
  std::vector<const Effective*> out;
  for (const auto& entry : person.history.facts) {
    const auto at = written_at(entry);
    if (is_typed(*entry.fact) && at >= from && at <= to + written_within) out.push_back(&entry);
  }
  return out;
}

// The entries of now: back from the newest, as long as no pause and no closed visit lies between.
std::vector<const Effective*> entries_of_now(const chart::Chart& person, const When& now,
                                             std::optional<Instant> closed) {
  std::vector<const Effective*> typed;
  for (const auto& entry : person.history.facts) {
    const bool after = !closed || written_at(entry) > *closed;
    if (after && is_typed(*entry.fact) && written_at(entry) <= now.at) typed.push_back(&entry);
  }
  std::ranges::stable_sort(typed, {}, [](const Effective* one) { return written_at(*one); });
  auto begun = typed.end();
  for (auto later = now.at; begun != typed.begin(); later = written_at(**begun)) {
    if (later - written_at(**(begun - 1)) > pause_most) break;
    --begun;
  }
  typed.erase(typed.begin(), begun);
  return typed;
}

std::vector<NoteLine> note_of(const std::vector<const Effective*>& entries) {
  std::vector<NoteLine> lines;
  for (std::size_t at = 0; at < topic_names.size(); ++at) {
    NoteLine line{static_cast<Topic>(at), {}};
    for (const auto* entry : entries) {
      if (topic_of(*entry->payload) == line.topic) line.entries.push_back(entry);
    }
    if (!line.entries.empty()) lines.push_back(std::move(line));
  }
  return lines;
}

struct Counting {
  const chart::Chart& person;
  LocalDay today;
  Since& out;

  // In which of the two times a day lies; nullptr: in neither.
  std::int32_t* in(Count& count, LocalDay day) const {
    if (day > today || day < out.from - days{out.days}) return nullptr;
    return day < out.from ? &count.before : &count.since;
  }
  void add(Count& count, LocalDay day) const {
    if (auto* number = in(count, day)) ++*number;
  }

  void doses() const {
    for (const auto& given : person.order.given) {
      add(out.injections, given.when.day());
      if (given.outcome != journal::Outcome::whole) add(out.not_whole, given.when.day());
    }
    for (const auto& said : person.order.said) {
      if (said.was == journal::DoseWas::not_taken) add(out.not_taken, said.day);
    }
  }
  void lows() const {
    for (const auto& value : person.contacts.glucose) {
      if (!low::is_low(person, value)) continue;
      add(out.lows, value.when.day());
      if (value.when.day() < out.from) continue;
      if (value.said.meter == journal::MeterWord::lo) out.meter_showed_lo = true;
      if (!value.said.value) continue;
      if (!out.lowest || low::is_below(*value.said.value, *out.lowest))
        out.lowest = value.said.value;
    }
    if (out.meter_showed_lo) out.lowest.reset();
  }
  void sites() const {
    for (const auto& place : person.skin.places) {
      add(out.placed, place.on.day());
      if (skin::kept_off_at(person.skin, place.zone, place.spot) != nullptr)
        add(out.into_kept_off, place.on.day());
    }
    for (const auto& area : person.skin.areas) {
      if (area.looks.size() > 1 && area.last().on.day() >= out.from)
        out.felt_again.push_back(&area);
    }
  }
  void technique_and_supplies() const {
    for (const auto& entry : person.history.facts) {
      const auto day = entry.happened.day();
      const auto* primed = std::get_if<journal::Primed>(entry.payload);
      if (primed != nullptr && primed->flow == journal::Flow::seen) add(out.seen_drops, day);
      if (day < out.from || day > today) continue;
      if (const auto* given = std::get_if<journal::SuppliesGiven>(entry.payload)) {
        out.cartridges += given->cartridges;
        out.needles += given->needles;
      }
      if (const auto* given = std::get_if<journal::NeedlesGiven>(entry.payload))
        out.needles += given->needles;
    }
  }
  void order() const {
    for (const auto& line : person.order.lines) {
      const auto raise = [&](std::optional<std::int32_t>& version) {
        version = std::max(version.value_or(0), line.text.order_version);
      };
      if (!line.checked) continue;
      raise(out.version_now);
      if (line.checked->when.day() < out.from) raise(out.version_then);
    }
  }
};

Since since_of(const chart::Chart& person, const std::optional<Last>& last, LocalDay today) {
  Since out;
  out.of_visit = last.has_value();
  const auto passed = last ? (today - last->when.day()).count() : days_without_visit;
  out.days = static_cast<std::int32_t>(std::clamp<std::int64_t>(passed, 1, days_most));
  out.from = today - days{out.days};
  const Counting counting{person, today, out};
  counting.doses();
  counting.lows();
  counting.sites();
  counting.technique_and_supplies();
  counting.order();
  return out;
}

std::vector<ToFeel> feel_of(const chart::Chart& person, LocalDay today) {
  std::vector<ToFeel> out;
  for (const auto& area : person.skin.areas) {
    if (area.kept_off) out.push_back({&area, area.last().zone, 0, 0});
  }
  std::ranges::stable_sort(out, {}, [](const ToFeel& one) { return one.area->last().on.at; });
  std::vector<ToFeel> zones;
  std::int32_t all = 0;
  for (const auto& place : person.skin.places) {
    if (place.on.day() <= today - days{days_without_visit} || place.on.day() > today) continue;
    ++all;
    auto zone = std::ranges::find(zones, place.zone, &ToFeel::zone);
    if (zone == zones.end()) zone = zones.insert(zone, ToFeel{nullptr, place.zone, 0, 0});
    ++zone->there;
  }
  std::ranges::stable_sort(zones, std::greater{}, &ToFeel::there);
  for (auto& zone : zones) zone.of = all;
  out.insert(out.end(), zones.begin(), zones.end());
  return out;
}

std::vector<ToWatch> watch_of(const chart::Chart& person) {
  std::vector<ToWatch> out;
  for (const auto step : steps_to_watch) {
    ToWatch one{step, WhyWatch::never, std::nullopt};
    for (const auto& entry : person.history.facts) {
      const auto* said = std::get_if<journal::StepJudged>(entry.payload);
      if (said == nullptr || said->of != step) continue;
      one.when = entry.happened;
      one.why = said->how == Judged::not_done       ? WhyWatch::not_done
                : said->how == Judged::after_a_hint ? WhyWatch::after_a_hint
                                                    : WhyWatch::longest_ago;
    }
    out.push_back(one);
  }
  const auto rank = [](const ToWatch& one) {
    const bool aged = one.why == WhyWatch::longest_ago;
    return std::pair(one.why, aged ? one.when->at : Instant{});
  };
  std::ranges::stable_sort(out, {}, rank);
  return out;
}

std::vector<ToAsk> ask_of(const chart::Chart& person, LocalDay from) {
  std::optional<LocalDay> low, not_whole, not_taken;
  for (const auto& value : person.contacts.glucose) {
    if (value.when.day() < from || !low::is_low(person, value)) continue;
    low = value.said.before.empty() ? std::optional(value.when.day()) : std::nullopt;
  }
  for (const auto& given : person.order.given) {
    if (given.when.day() >= from && given.outcome != journal::Outcome::whole)
      not_whole = given.when.day();
  }
  for (const auto& said : person.order.said) {
    if (said.day >= from && said.was == journal::DoseWas::not_taken) not_taken = said.day;
  }
  std::vector<ToAsk> out;
  if (low) out.push_back({WhyAsk::low, low});
  if (not_whole) out.push_back({WhyAsk::not_whole, not_whole});
  if (not_taken) out.push_back({WhyAsk::not_taken, not_taken});
  out.push_back({WhyAsk::unknown, std::nullopt});
  out.push_back({WhyAsk::habit, std::nullopt});
  return out;
}

}  // namespace

Topic topic_of(const journal::Payload& payload) {
  return std::visit(TopicOf{}, static_cast<const journal::AnyKind&>(payload));
}

Next next_contact(const Visit& visit, const chart::Chart& person, const supply::ClosedDays& closed,
                  LocalDay today) {
  const auto new_line = std::ranges::find_if(person.order.lines, [&](const order::Line& line) {
    return line.checked && !line.ended && line.text.from + days{7} > today;
  });
  const auto& given = person.order.given;
  const bool starts = new_line != person.order.lines.end() &&
                      std::ranges::none_of(given, [&](const order::Given& one) {
                        return one.when.day() < new_line->text.from;
                      });
  const bool left_tissue = std::ranges::any_of(person.skin.areas, [&](const skin::Area& area) {
    const auto since = area.left_since();
    return area.kept_off && since && since->day() + days{14} > today;
  });
  const auto open_from = [&](LocalDay day) {
    for (int more = 0; more < 14; ++more) {
      if (!closed.is_closed(day + days{more})) return day + days{more};
    }
    return day;
  };
  if (new_line != person.order.lines.end())
    return {open_from(today + days{1}), journal::Meeting::call,
            starts ? WhyNext::start : WhyNext::order};
  if (left_tissue) return {open_from(today + days{1}), journal::Meeting::call, WhyNext::tissue};
  const bool step = !visit.watch.empty() && visit.watch.front().why == WhyWatch::not_done;
  return {open_from(today + days{7}), step ? journal::Meeting::visit : journal::Meeting::call,
          step ? WhyNext::step : WhyNext::routine};
}

std::optional<Met> last_met(const chart::Chart& person, const When& now) {
  const auto& closed = person.contacts.visits;
  const auto as_last = [](const contacts::Closed& one) {
    return Last{one.said.began, one.when, {}};
  };
  Met out;
  auto before = closed.empty() ? std::optional<Last>() : std::optional(as_last(closed.back()));
  auto entries =
      entries_of_now(person, now, before ? std::optional(before->ended.at) : std::nullopt);
  const bool is_of_today = before && before->ended.day() == now.day();
  const bool is_late = before && before->ended.day() + days{days_without_visit} < now.day();
  if (is_of_today || (entries.empty() && before && !is_late)) {
    out.began = before->when;
    out.ended = is_of_today ? now : before->ended;
    entries = entries_between(person, out.began.at, out.ended.at);
    before = closed.size() > 1 ? std::optional(as_last(closed[closed.size() - 2])) : std::nullopt;
  } else if (!entries.empty()) {
    out.began = person.zone.when(written_at(*entries.front()));
    out.ended = now;
  } else {
    return std::nullopt;
  }
  out.note = note_of(entries);
  out.since = since_of(person, before, out.ended.day());
  return out;
}

Visit of(const chart::Chart& person, const When& now) {
  Visit out;
  out.last = last_of(person);
  const auto entries =
      entries_of_now(person, now, out.last ? std::optional(out.last->ended.at) : std::nullopt);
  out.began = entries.empty() ? now : person.zone.when(written_at(*entries.front()));
  out.note = note_of(entries);
  out.since = since_of(person, out.last, now.day());
  out.feel = feel_of(person, now.day());
  out.watch = watch_of(person);
  out.ask = ask_of(person, out.since.from);
  return out;
}

}  // namespace penstock::visit
