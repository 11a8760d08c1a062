// What a fact meets on its way in, whichever way it comes: typed, copied, imported or moved.
// Records of what happened are taken, after a question; acts that give leave for more are refused.
#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/chart/chart.hpp"
#include "core/interlock/interlock.hpp"
#include "core/journal/journal.hpp"
#include "core/shelf/shelf.hpp"
#include "core/units/units.hpp"
#include "shell/signers/signers.hpp"
#include "shell/vetting/products/products.hpp"

namespace penstock::vetting {

using chart::Chart;
using chart::Clinic;

namespace codes {
using namespace signers::codes;
using namespace products::codes;
inline constexpr std::string_view not_a_person =
    "desk.not_a_person";  // a person's fact into the clinic's journal or back [kind]
inline constexpr std::string_view registered_already = "desk.registered_already";  // [name]
inline constexpr std::string_view registration_stands =
    "desk.registration_stands";  // H54: something hangs on it [name]
inline constexpr std::string_view load_stands =
    "desk.load_stands";  // H54: injections or primes are from it
inline constexpr std::string_view pen_stands = "desk.pen_stands";  // H54: it was loaded
inline constexpr std::string_view not_taken_recorded =
    "desk.not_taken_recorded";  // H52: an injection of this insulin says otherwise [given, when]
inline constexpr std::string_view correction_stands =
    "desk.correction_stands";  // only the original entry is corrected
inline constexpr std::string_view pen_ended =
    "desk.pen_ended";  // lost, broken or handed back [pen, when]
inline constexpr std::string_view pen_twice = "desk.pen_twice";  // the same pen given twice
inline constexpr std::string_view line_unknown = "desk.line_unknown";
inline constexpr std::string_view question_unknown = "desk.question_unknown";
inline constexpr std::string_view rest_unknown = "desk.rest_unknown";  // H39: of no part-given dose
inline constexpr std::string_view question_answered = "desk.question_answered";
inline constexpr std::string_view answer_early = "desk.answer_early";  // H37 [asked]
inline constexpr std::string_view correction_target = "desk.correction_target";
inline constexpr std::string_view stop_not_dismissed = "desk.stop_not_dismissed";  // H32
inline constexpr std::string_view reason_missing = "desk.reason_missing";
inline constexpr std::string_view read_back_missing =
    "desk.read_back_missing";  // H40, a telephone order
inline constexpr std::string_view recall_unknown = "desk.recall_unknown";
inline constexpr std::string_view item_unknown =
    "desk.item_unknown";  // not on the shelf [text, codes]
inline constexpr std::string_view zone_no_place = "zone.no_place";  // H18 [text]
inline constexpr std::string_view reminder_unknown =
    "desk.reminder_unknown";  // H32 [text, allowed]
inline constexpr std::string_view clinic_stands =
    "desk.clinic_stands";  // H38: nobody would be named, nor any telephone
inline constexpr std::string_view sealed_by_hand =
    "desk.sealed_by_hand";  // H29: a seal is made over what is there
// Questions, not refusals: answered with `"confirmed": true`.
inline constexpr std::string_view ask_taken_already =
    "ask.taken_already";  // H07 [slot, when, dose, by]
inline constexpr std::string_view ask_visit_open =
    "ask.visit_open";  // closed over what nobody has taken on [things]
inline constexpr std::string_view ask_more_than_left = "ask.more_than_left";  // [dose, left]
inline constexpr std::string_view answer_not_read_back =
    "desk.answer_not_read_back";  // H37: it is heard back before it lets a number go
inline constexpr std::string_view ask_pen_strength =
    "ask.pen_strength";  // H03 [insulin, strength, ordered]
inline constexpr std::string_view move_line_stands =
    "desk.move_line_stands";  // H40, H54: a check, a question or a dose hangs on it
inline constexpr std::string_view ask_used_of_another =
    "ask.used_of_another";  // H13 [name, number]
inline constexpr std::string_view ask_answer_number =
    "ask.answer_number";  // H37: the dose is kept, and a number is said beside it
inline constexpr std::string_view ask_question_struck =
    "ask.question_struck";  // H37: the number comes back without an answer [opened]
inline constexpr std::string_view imported_by_file =
    "desk.imported_by_file";  // H56: the diary's own way in alone says so
inline constexpr std::string_view ask_gives_back =
    "ask.gives_back";  // H08, H12, H59, H61: a correction brings a number [dose, insulin, when]
inline constexpr std::string_view ask_recall_struck =
    "ask.recall_struck";  // H61: whoever has the lot gets numbers again [lot]
inline constexpr std::string_view ask_dose_ahead =
    "ask.dose_ahead";  // H57, H25: its hour has not come [due]
inline constexpr std::string_view ask_known_recorded =
    "ask.known_recorded";  // H52: "not known" of a dose that is on record [given, when]
inline constexpr std::string_view ask_said_otherwise =
    "ask.said_otherwise";  // H07, H58: something else was said of that dose [was, when]
inline constexpr std::string_view ask_question_waits =
    "ask.question_waits";  // H37: it holds the copied line, too [reason, opened]
inline constexpr std::string_view erased_by_hand =
    "desk.erased_by_hand";  // H29: the act of erasing alone says so
inline constexpr std::string_view ask_outside_order =
    "ask.outside_order";  // H04 [dose, least, most]
inline constexpr std::string_view ask_of_other_insulin =
    "ask.of_other_insulin";  // H04: than its line's [dose, other, insulin]
inline constexpr std::string_view ask_of_other_strength =
    "ask.of_other_strength";  // H03 [dose, strength, insulin, ordered]
inline constexpr std::string_view ask_of_unfit = "ask.of_unfit";  // H12, H13 [reason, insulin]
inline constexpr std::string_view ask_given_over =
    "ask.given_over";  // H04, H08: its order had ended [dose, insulin, last]
inline constexpr std::string_view ask_given_unordered =
    "ask.given_unordered";  // H04, H52: the order has and had no such insulin [dose, insulin]
inline constexpr std::string_view ask_dry = "ask.dry";  // H44: nothing had come from the needle
inline constexpr std::string_view ask_said_taken = "ask.said_taken";      // H07 [when]
inline constexpr std::string_view ask_said_unknown = "ask.said_unknown";  // H44, H07 [when]
inline constexpr std::string_view ask_leaves_rest =
    "ask.leaves_rest";  // H39: it completes what is struck out [rest, when]
inline constexpr std::string_view ask_no_open_part =
    "ask.no_open_part";  // H52, H44: it says that it completes what is not open [dose]
inline constexpr std::string_view ask_rest_more =
    "ask.rest_more";  // H39, H04: than the dose that it completes still lacks [dose, rest]
inline constexpr std::string_view ask_in_question = "ask.in_question";  // H37 [insulin, since]
inline constexpr std::string_view ask_unchecked = "ask.unchecked";      // H40 [insulin]
inline constexpr std::string_view ask_meant_more =
    "ask.meant_more";  // H39, H25: more than the order has then [meant, ordered]
inline constexpr std::string_view ask_meant_less =
    "ask.meant_less";  // H39, H02: less than the order has then [meant, ordered]
inline constexpr std::string_view ask_above_order =
    "ask.above_order";  // H25, H07: by more than a tenth, inside its limits [given, ordered]
inline constexpr std::string_view ask_no_basal =
    "ask.no_basal";  // H38, H57: the last line of it is struck out or changed [insulin]
inline constexpr std::string_view ask_cartridge_unknown =
    "ask.cartridge_unknown";  // nothing here says that it was loaded
inline constexpr std::string_view ask_cartridge_ended =
    "ask.cartridge_ended";  // thrown away before that hour [when]
inline constexpr std::string_view ask_line_unknown =
    "ask.line_unknown";  // a dose of a line that the order does not have
inline constexpr std::string_view ask_no_units = "ask.no_units";  // H39, H57: it is no dose
inline constexpr std::string_view ask_ends_with_it =
    "ask.ends_with_it";  // H38: a basal line with a last day replaces another [last_day]
inline constexpr std::string_view ask_ends_basal =
    "ask.ends_basal";  // H38: no basal insulin from then on [insulin, last_day]
inline constexpr std::string_view ask_zone = "ask.zone";  // H18: hours move with it [from, zone]
inline constexpr std::string_view ask_load_expired = "ask.load_expired";    // H12, H61 [last]
inline constexpr std::string_view ask_load_recalled = "ask.load_recalled";  // H61 [lot]
inline constexpr std::string_view ask_not_ordered =
    "ask.not_ordered";  // H04: the order names no such insulin [insulin, name]
inline constexpr std::string_view ask_strength_not_ordered =
    "ask.strength_not_ordered";  // H03 [insulin, strength, name]
inline constexpr std::string_view ask_other_needle =
    "ask.other_needle";  // another length than was chosen [length, chosen]
inline constexpr std::string_view ask_no_part =
    "ask.no_part";  // H39: stopped early, and nothing is missing [units, meant]
inline constexpr std::string_view ask_load_no_lot =
    "ask.load_no_lot";  // H61: and a lot of it was recalled here [lot, insulin]
inline constexpr std::string_view ask_scale_more = "ask.scale_more";  // H25 [counted, content]
inline constexpr std::string_view ask_before_loaded = "ask.before_loaded";    // [when]
inline constexpr std::string_view ask_given_recalled = "ask.given_recalled";  // H61 [lot]
inline constexpr std::string_view ask_given_expired = "ask.given_expired";    // H12 [last]
inline constexpr std::string_view ask_came_recalled = "ask.came_recalled";    // H61 [lot]
inline constexpr std::string_view ask_came_expired = "ask.came_expired";      // H12 [lot, last]
inline constexpr std::string_view ask_reminder_later =
    "ask.reminder_later";  // H32: dismissed before it is shown [from]
inline constexpr std::string_view ask_reminder_gone =
    "ask.reminder_gone";  // H32: nothing of the kind is there
inline constexpr std::string_view phone_form = "desk.phone_form";           // H38 [text]
inline constexpr std::string_view ask_test_window = "ask.test_window";      // H01 [pen, step]
inline constexpr std::string_view ask_hardened_used = "ask.hardened_used";  // H17 [place]
inline constexpr std::string_view ask_into_kept_off = "ask.into_kept_off";  // H17 [tissue, place]
inline constexpr std::string_view ask_near_kept_off = "ask.near_kept_off";  // the same, by zone
inline constexpr std::string_view ask_low_limit =
    "ask.low_limit";  // H10: a hypo would hold nothing [limit, usual]
inline constexpr std::string_view ask_new_order_came =
    "ask.new_order_came";  // H37, H38: one was copied and checked since it was asked [version,
                           // when]
inline constexpr std::string_view ask_too_early_after =
    "ask.too_early_after";  // H07, H38: and another went in before it [given, when, at, due]
inline constexpr std::string_view ask_too_early = "ask.too_early";  // H07, H55 [when, due, from]
inline constexpr std::string_view ask_too_late = "ask.too_late";    // H07, H38 [when, due, to]
inline constexpr std::string_view ask_read_otherwise = "ask.read_otherwise";  // H60 [by, when]
inline constexpr std::string_view ask_past_in_use = "ask.past_in_use";        // H12 [days, limit]
inline constexpr std::string_view ask_other_insulin = "ask.other_insulin";  // H04 [pen, cartridge]
inline constexpr std::string_view ask_no_fit = "ask.no_fit";                // H42
inline constexpr std::string_view ask_more_than_out =
    "ask.more_than_out";  // came back, though fewer went out [lot, pieces, left]
inline constexpr std::string_view ask_clock_back =
    "ask.clock_back";  // something was recorded later than now [last, now]
inline constexpr std::string_view too_long_ago = "desk.too_long_ago";  // H25 [day, least]
inline constexpr std::string_view appointment_unknown = "desk.appointment_unknown";
inline constexpr std::string_view answers_of_nobody =
    "desk.answers_of_nobody";  // H53: red flags of somebody who was not reached [outcome]
inline constexpr std::string_view allergy_to_missing = "desk.allergy_to_missing";  // H61
inline constexpr std::string_view allergy_letters =
    "desk.allergy_letters";  // H61: drawn as an ordered insulin, in other letters [to, insulin]
inline constexpr std::string_view ask_allergy_perhaps =
    "ask.allergy_perhaps";  // H61: a severe one to what may be this insulin [allergies, insulin]
inline constexpr std::string_view ask_allergic_to =
    "ask.allergic_to";  // H61: an order for what somebody reacts to [insulin]
inline constexpr std::string_view ask_appointment_past = "ask.appointment_past";  // [at]
inline constexpr std::string_view ask_appointment_far = "ask.appointment_far";    // [at]
inline constexpr std::string_view ask_allergy_ordered =
    "ask.allergy_ordered";  // H61: the same, from the allergy [insulin]
inline constexpr std::string_view ask_allergy_other =
    "ask.allergy_other";  // H61: perhaps an ordered one by another name, or in it [insulins]
inline constexpr std::string_view ask_future = "ask.future";  // happened later than now [when]
}  // namespace codes

/// A clock that runs ahead by a few minutes is no slip.
using journal::clock_slack;

/// What a fact meets on its way in: a refusal, or a question that wants a yes.
struct Objection {
  Error error;
  bool is_question = false;
};
/// Against a visit, a call, a value or an allergy: a day on which nothing of the kind can have
/// been, answers of somebody who was not reached, an appointment that is not there: refused.
/// Against an order for what somebody reacts to severely, and such a reaction beside its order:
/// asked (H25, H53, H61). Part of `object_to`.
std::vector<Objection> about_contact(const journal::Fact& fact, const Chart& person);
/// Whether vetting such a fact looks at the journal; the others are taken as told.
bool looks_at_journal(const journal::Payload& payload);
/// What a fact says: of a correction what it puts in the place of its target, if anything.
const journal::Payload& said_by(const journal::Fact& fact);
/// What is odd about a fact, of this person and by itself: one place for what is typed, copied and
/// imported (H25).
std::optional<Error> odd_of(const journal::Fact& fact, const Chart& so_far);
/// A correction's replacement as if it had been recorded so at once, in place of what it corrects;
/// any other fact as it is.
journal::Fact as_recorded(const journal::Fact& fact);
/// Vets one fact against what the journal says so far: all that is asked, so that a yes is to what
/// was seen, and what refuses.
std::vector<Objection> object_to(const journal::Fact& fact, const Chart& so_far,
                                 const Clinic& clinic, Instant now);
/// H08, H12, H59, H61: what held a dose, or was counted as given, stood in the entry that facts
/// correct, and without it a number is shown, or another than before, or an earlier one. Nothing:
/// they change no number that is to be acted on.
std::optional<Error> gives_back(const Chart& before, const Chart& after, const Clinic& clinic,
                                Instant now);
/// Whether the next dose is shown as a number to dial.
bool shows_number(const Chart& person, const Clinic& clinic, Instant now);
/// What the order says to what goes home, pens, cartridges or needles: H03 strength, H04 insulin,
/// and the needle that was chosen.
std::optional<Objection> against_order(const journal::Payload& given, const Chart& person);
/// The same for a fact of the clinic's own journal: what happened is taken after a question. What a
/// correction may name are the `entries`, in the order in which they came; other facts do not look
/// at them.
std::vector<Objection> objections_of_clinic(const journal::Fact& fact, const Clinic& clinic,
                                            std::span<const journal::Fact> entries, Instant now);

}  // namespace penstock::vetting
