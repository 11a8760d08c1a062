// Every prior, every measurement error and every grid of the model, each with its reason. No
// publication has any of them for insulin pens at home: they are ours, chosen so that they can be
// read and argued with, and tried on planted cases (tests/sim, bench/RESULTS.md).
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

#include "core/reconcile/weigh/weigh.hpp"

namespace penstock::reconcile {

// ---- what can be read
// Units of 100 units/mL; other strengths are read in the same millimetres, so they scale.

/// One reading of a cartridge's scale: its lines are 10 or 20 units apart, people read to 5 or 10,
/// and from the side. Ours.
inline constexpr double reading_sd = 4.0;
/// What a full cartridge holds against its label. Ours.
inline constexpr double content_sd = 1.0;
/// A prime is now and then done twice, left out, or a unit more; as a share of the prime squared, a
/// prime. Ours.
inline constexpr double prime_variance_share = 0.15;
/// The same person does it alike all the time: sd of the mean, as a share of the prime.
inline constexpr double prime_habit_share = 0.08;
/// The first prime of a cartridge ends when insulin shows: sd as a share of the rule.
inline constexpr double first_prime_share = 0.5;
/// Somebody changes by eye: one of so many changes comes with up to this much more than the rest
/// that could not give the next dose.
inline constexpr double early_change_share = 0.15;
inline constexpr double early_change_units = 12.0;
/// A dose that the old cartridge could not give whole was completed from the next one: one change
/// of so many. The diary has it whole, in one of the two.
inline constexpr double completed_share = 0.12;
/// A change was written down late, so that one injection stands on its wrong side: one change of so
/// many.
inline constexpr double late_change_share = 0.05;
/// An entry is typed wrong now and then: variance an injection, square units.
inline constexpr double typing_variance = 0.15;
/// Ordinary slips, an injection: written and not given; given twice. More than that is a mechanism.
inline constexpr double slip_missed = 0.003;
inline constexpr double slip_double = 0.001;
/// An injection that nobody wrote down: so many of all that were given, and never more than so many
/// of the gaps. Counted by injections, not by gaps: whoever is away at weekends has many gaps and
/// forgets to write no more often than others.
inline constexpr double slip_unwritten = 0.015;
inline constexpr double slip_gap = 0.30;
/// Less than this share of what was claimed nobody asks about: gaps that could hide no more than
/// that are ordinary.
inline constexpr double material_share = 0.05;
/// A change is written down within so many minutes of the injection that it was made for; what is
/// written shortly before it came from the new cartridge.
inline constexpr std::int64_t change_minutes = 45;
/// One comparison in a thousand is off by anything up to a thousand units for a reason that is
/// nobody's mechanism: a slip of the pen. Keeps one row from deciding alone.
inline constexpr double slip_density = 1e-6;
/// A count of sealed cartridges is right, or off by one, by two, or by anything.
inline constexpr std::array<double, 3> miscount{0.985, 0.006, 0.001};
inline constexpr double miscount_else = 1e-4;

// ---- how likely each is, before anything is looked at

struct Prior {
  Mechanism which;
  double inclusion;  ///< that it has a part in it, in sixty days of somebody like our people
  const char* why;
};
inline constexpr auto priors = std::to_array<Prior>({
    {Mechanism::missed_doses, 0.06, "the commonest trouble at home, by what nurses say"},
    {Mechanism::double_doses, 0.015, "rare: most people notice"},
    {Mechanism::primes_left_out, 0.04, "to save insulin, or never taught"},
    {Mechanism::extra_priming, 0.04, "until a stream shows, or air is feared"},
    {Mechanism::cartridge_thrown_early, 0.03, "changed before a journey, or on a fixed day"},
    {Mechanism::cartridge_lost, 0.03, "dropped, forgotten, lent to somebody"},
    {Mechanism::change_not_recorded, 0.03, "the diary has no line for it"},
    {Mechanism::not_written, 0.09, "where the diary has gaps; without any it is impossible"},
    {Mechanism::entered_twice, 0.09,
     "where entries are nearly alike; without any it is impossible"},
    {Mechanism::scale_misread, 0.04, "a line of the scale taken for the next"},
    {Mechanism::diary_later, 0.08, "before a visit; a sub-model of its own"},
    {Mechanism::unknown, 0.01, "what is not on the list"},
});
static_assert(priors.size() == mechanism_count);
constexpr double inclusion(Mechanism which) {
  return priors[static_cast<std::size_t>(which)].inclusion;
}

// ---- how much of it, if it is there
// Equal weights on steps of about one and a half: a small share is as likely as a large one.

/// Share of the claimed doses that were missed, or given twice. Below 3 % nobody can tell.
inline constexpr std::array<double, 9> dose_shares{0.03, 0.05, 0.08, 0.11, 0.16,
                                                   0.23, 0.35, 0.5,  0.75};
/// Share of the primes that were left out.
inline constexpr std::array<double, 7> left_out_shares{0.15, 0.25, 0.4, 0.55, 0.7, 0.85, 0.97};
/// Extra primes to an injection, in primes of the rule.
inline constexpr std::array<double, 8> extra_primes{0.12, 0.2, 0.35, 0.6, 1.0, 1.6, 2.5, 4.0};
/// They come in bunches: variance over mean.
inline constexpr double extra_primes_spread = 1.6;
/// Share of the used-up cartridges that were changed early.
inline constexpr std::array<double, 3> early_shares{0.3, 0.6, 0.95};
/// What one that was changed early still held: anything up to this share of its content.
inline constexpr double early_rest_most = 0.7;
inline constexpr std::size_t early_cells = 24;
/// Share of the gaps in the diary that were injections.
inline constexpr std::array<double, 4> gap_shares{0.25, 0.5, 0.75, 0.97};
/// Share of the entries that are nearly alike that are the same injection.
inline constexpr std::array<double, 4> alike_shares{0.25, 0.5, 0.75, 0.97};
/// So many minutes apart at most, of the same amount in the same slot: a diary that was typed in
/// once by its own clock and once by another. Ours.
inline constexpr std::int64_t alike_minutes = 90;
/// One event rather than two, of a change not recorded, of a reading misread.
inline constexpr double one_event = 0.8;
/// By how much a reading is misread: one to eight lines of 10 units, either way, the nearer the
/// likelier (each line 0.75 of the one before).
inline constexpr int misread_lines = 8;
inline constexpr double misread_line_units = 10.0;
inline constexpr double misread_falls = 0.75;
/// One more lost cartridge is so much less likely than the one before.
inline constexpr double one_more_lost = 0.35;
inline constexpr int lost_most = 12;
/// Unknown: any share of what was claimed, either way.
inline constexpr std::array<double, 7> unknown_shares{0.04, 0.06, 0.1, 0.15, 0.22, 0.33, 0.5};
/// It need not be even from cartridge to cartridge: sd as a share of it.
inline constexpr double unknown_uneven = 0.3;

// ---- a diary that was written afterwards
// Habits of people, and how many of those who write at once, and of those who write afterwards,
// have each. A person has one habit of each kind: so the likelihood ratio of a sign can never be
// more than the largest ratio of a row, however long the diary is. Ours, no publication.

/// Quarter hours (:00, :15, :30, :45), other multiples of five, any other minute.
struct MinuteHabit {
  std::array<double, 3> shares;
  double at_once;
  double afterwards;
};
inline constexpr auto minute_habits = std::to_array<MinuteHabit>({
    {{4.0 / 60, 8.0 / 60, 48.0 / 60}, 0.40, 0.06},  // the clock's own minute
    {{0.20, 0.35, 0.45}, 0.17, 0.06},
    {{0.33, 0.60, 0.07}, 0.17, 0.10},  // to five minutes
    {{0.60, 0.30, 0.10}, 0.13, 0.13},
    {{0.85, 0.12, 0.03}, 0.09, 0.30},
    {{0.97, 0.02, 0.01}, 0.04, 0.35},  // to the quarter of an hour
});

/// Standard deviation of a slot's time of day, minutes. One in ten comes from one three times as
/// wide: weekends, a late evening.
struct SpreadHabit {
  double sd_minutes;
  double at_once;
  double afterwards;
};
inline constexpr auto spread_habits = std::to_array<SpreadHabit>({
    {1.0, 0.010, 0.40},  // the order's time, every day
    {3.0, 0.030, 0.22},
    {6.0, 0.070, 0.14},  // an alarm
    {10.0, 0.110, 0.10},
    {18.0, 0.240, 0.07},
    {30.0, 0.280, 0.04},
    {50.0, 0.190, 0.02},
    {80.0, 0.070, 0.01},
});
inline constexpr double late_share = 0.10;
inline constexpr double late_wider = 3.0;
inline constexpr double time_cell_minutes = 5.0;

/// A share of entries: of the slot's commonest amount where the order leaves the amount open; of
/// entries written down together with others of other days.
struct ShareHabit {
  double share;
  double at_once;
  double afterwards;
};
inline constexpr auto equal_habits = std::to_array<ShareHabit>({{0.30, 0.25, 0.02},
                                                                {0.50, 0.30, 0.05},
                                                                {0.70, 0.25, 0.10},
                                                                {0.85, 0.12, 0.20},
                                                                {0.95, 0.05, 0.28},
                                                                {0.99, 0.03, 0.35}});
inline constexpr auto batch_habits = std::to_array<ShareHabit>({{0.02, 0.60, 0.03},
                                                                {0.10, 0.20, 0.06},
                                                                {0.30, 0.10, 0.13},
                                                                {0.60, 0.06, 0.30},
                                                                {0.90, 0.04, 0.48}});
/// Fewer entries say nothing about how a diary is written.
inline constexpr std::int32_t diary_entries_least = 20;
/// Written this long after the injection, together with one of another day.
inline constexpr std::int64_t batch_late_minutes = 6 * 60;
inline constexpr std::int64_t batch_together_minutes = 15;

// ---- which cartridges can be compared

/// So many days in a row without an entry, while doses are ordered: the diary was not kept, and
/// nothing is claimed for that time.
inline constexpr std::int32_t hole_days = 5;
/// A diary that ends so many days before a reading does not reach it.
inline constexpr std::int32_t diary_reach_days = 1;

}  // namespace penstock::reconcile
