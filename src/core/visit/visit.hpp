// A visit: since when it goes, what was recorded at it, what changed since the last one, and what
// to feel, to watch and to ask. By stated rules: the same record gives the same lines.
//
//   const auto visit = visit::of(person, now);
//   for (const auto& line : visit.note) ...       // what the note says, by its topics
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/chart/chart.hpp"
#include "core/journal/journal.hpp"
#include "core/skin/skin.hpp"
#include "core/supply/supply.hpp"
#include "core/units/units.hpp"

namespace penstock::visit {

/// A visit that is over: it was closed, or somebody wrote that they came.
struct Last {
  When when;  ///< when it began
  When ended;
  std::string by;
  friend bool operator==(const Last&, const Last&) = default;
};

/// Entries so far apart belong to two visits. Ours.
inline constexpr std::chrono::minutes pause_most{90};
/// What is compared where there was no visit before, and at most. Ours.
inline constexpr std::int32_t days_without_visit = 28;
inline constexpr std::int32_t days_most = 90;

/// What an entry is about, in the order of the note.
enum class Topic : std::uint8_t {
  told,        ///< asked and answered
  felt,        ///< skin looked at and felt, body measured
  watched,     ///< steps of an injection
  read,        ///< scales, counts, windows
  given,       ///< injected and primed
  changed,     ///< order, pens, cartridges, rules
  handed_out,  ///< insulin, needles, a sharps container, a plan
  put_to,      ///< the prescriber
  agreed,      ///< appointments, calls
  noted,       ///< in words
};
inline constexpr auto topic_names =
    std::to_array<std::string_view>({"told", "felt", "watched", "read", "given", "changed",
                                     "handed_out", "put_to", "agreed", "noted"});
constexpr std::span<const std::string_view> names_of(Topic) { return topic_names; }
Topic topic_of(const journal::Payload& payload);

/// The entries of one topic, ascending; of a correction what it says now.
struct NoteLine {
  Topic topic = Topic::noted;
  std::vector<const journal::Effective*> entries;
};

/// How often before the last visit, in as many days, and since.
struct Count {
  std::int32_t before = 0;
  std::int32_t since = 0;
  friend bool operator==(const Count&, const Count&) = default;
};

struct Since {
  LocalDay from{};                           ///< the last visit's day, or so many days ago
  std::int32_t days = 0;                     ///< up to today; the time before has as many
  bool of_visit = false;                     ///< a visit is on record
  std::optional<std::int32_t> version_then;  ///< the newest version of the order that held then
  std::optional<std::int32_t> version_now;
  Count injections;                           ///< whole or in part
  Count not_whole;                            ///< in part, or nobody knows how much
  Count not_taken;                            ///< somebody said so
  Count lows;                                 ///< by this person's limit, or felt and not measured
  std::optional<Glucose> lowest;              ///< since; nothing where a meter showed LO
  bool meter_showed_lo = false;               ///< since
  Count placed;                               ///< injections with a site on record
  Count into_kept_off;                        ///< of them, into what is kept off now
  std::vector<const skin::Area*> felt_again;  ///< areas with a look since that says how they grew
  Count seen_drops;                           ///< primes at which a drop was seen
  std::int32_t cartridges = 0;                ///< handed out since
  std::int32_t needles = 0;                   ///< the same
};

/// Where to feel: an area that is kept off, the one felt longest ago first; then the zone with most
/// injections of four weeks.
struct ToFeel {
  const skin::Area* area = nullptr;
  Zone zone = Zone::abdomen_left_upper;
  std::int32_t there = 0;  ///< injections into the zone
  std::int32_t of = 0;     ///< injections with a site
};

enum class WhyWatch : std::uint8_t { not_done, after_a_hint, never, longest_ago };
inline constexpr std::array<std::string_view, 4> why_watch_names{"not_done", "after_a_hint",
                                                                 "never", "longest_ago"};
constexpr std::span<const std::string_view> names_of(WhyWatch) { return why_watch_names; }
/// What to watch: what was not done the last time; what went after a hint; what nobody has watched
/// yet, those steps first on which the dose hangs; then what was watched longest ago.
struct ToWatch {
  journal::HandStep step = journal::HandStep::prime;
  WhyWatch why = WhyWatch::never;
  std::optional<When> when;  ///< it was judged
};

enum class WhyAsk : std::uint8_t { low, not_whole, not_taken, unknown, habit };
inline constexpr std::array<std::string_view, 5> why_ask_names{"low", "not_whole", "not_taken",
                                                               "unknown", "habit"};
constexpr std::span<const std::string_view> names_of(WhyAsk) { return why_ask_names; }
/// What to ask: about the last low since the visit of which nobody wrote what came before it; the
/// last injection that was not whole; the last dose left out; what the assessment lacks; how the
/// doses fit into the day (common practice, no source).
struct ToAsk {
  WhyAsk why = WhyAsk::habit;
  std::optional<LocalDay> day;
};

struct Visit {
  When began;  ///< the first entry of now; now, where there is none
  std::optional<Last> last;
  std::vector<NoteLine> note;  ///< by topic
  Since since;
  std::vector<ToFeel> feel;  ///< best first; the others are to choose from
  std::vector<ToWatch> watch;
  std::vector<ToAsk> ask;
};

enum class WhyNext : std::uint8_t { step, start, order, tissue, routine };
inline constexpr std::array<std::string_view, 5> why_next_names{"step", "start", "order", "tissue",
                                                                "routine"};
constexpr std::span<const std::string_view> names_of(WhyNext) { return why_next_names; }
/// When to meet or to ring next: a call on the next open day where the order is new within a week
/// or hardened tissue was left within a fortnight; a visit within the week where a step was not
/// done; else a call in a week. Common practice, no source; whoever closes the visit chooses.
struct Next {
  LocalDay day{};
  journal::Meeting meeting = journal::Meeting::call;
  WhyNext why = WhyNext::routine;
};
Next next_contact(const Visit& visit, const chart::Chart& person, const supply::ClosedDays& closed,
                  LocalDay today);

/// One visit, for what goes home from it.
struct Met {
  When began;
  When ended;  ///< now, while it is not closed
  std::vector<NoteLine> note;
  Since since;  ///< since the visit before it
};
/// The visit of now, or the last that was closed, where nothing was recorded since; what is added
/// on the day of a closed visit belongs to it. Nothing: neither, or too long ago.
std::optional<Met> last_met(const chart::Chart& person, const When& now);

/// Points into the chart. `now`: on the person's clock.
Visit of(const chart::Chart& person, const When& now);

}  // namespace penstock::visit
