// The next injection of a person as a card: what was cleared to be dialled, or why there is no
// number, with one instruction.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/by_age/by_age.hpp"
#include "core/interlock/interlock.hpp"
#include "edge/drawing/pens/pens.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/sites/sites.hpp"

namespace penstock::pages {

using ClearedPlan = interlock::Cleared<interlock::Plan>;

/// Of the line's insulin.
drawing::Action mark_of(const shelf::Shelf& shelf, const interlock::Dose& dose);

// ---- the card (web/src/model.ts: NextCard)

struct CardInput {
  const Words* words = nullptr;
  const interlock::Verdict* verdict = nullptr;
  const interlock::Dose* dose =
      nullptr;  ///< nullptr: the phone desk without a person, nothing is recorded
  const Chart* person = nullptr;
  const Clinic* clinic = nullptr;
  const shelf::Shelf* shelf = nullptr;
  NewId new_id;
  When now;
  drawing::Action mark = drawing::Action::long_acting;
  std::string insulin;
  Strength strength;
  std::optional<journal::Purpose> purpose;
  /// Where it goes, when a place plan says so.
  const Site* site = nullptr;
  std::string place_words{};
  /// What has to be changed or asked before it, of who shows the card (H16, H18).
  std::vector<Rich> first_notes{};
  std::vector<json::Value> more_answers{};  ///< buttons beside a refusal, of who shows the card
  /// Primed without insulin: the steps end before the number, and nothing beside them tells it,
  /// until insulin was seen (H58, H64).
  bool until_it_flows = false;
};
/// What a person's card needs, but for the place.
CardInput card_input(const Chart& person, const Clinic& clinic, const Words& words,
                     const NewId& new_id, const When& now, const interlock::Dose& dose);
/// Where this injection goes, and whether the needle that is used there has to be changed first
/// (H16, H17, H61). `sites` has to outlive the input. A rest that is owed has no place in the plan:
/// it goes away from its first part.
void add_place(const Words& words, CardInput& input, const Chart& person, const Sites& sites);
/// How this person's needle goes in, from age and place rules: straight, at a slant, with a fold;
/// and which needle it is (core/by_age, H16, H63).
struct Way {
  drawing::Hand hand = drawing::Hand::into;
  std::string key{};  ///< "", "_fold", "_slant", "_slant_fold": the end of a sentence's key
  std::vector<Arg> args{};
  by_age::Way rule{};
};
/// nullptr: nobody is chosen.
Way way_of(const Chart* person, LocalDay on);
/// What is said of their needle beside "both shields off"; nothing of an adult's.
std::string needle_words(const Words& words, const Way& way);
json::Value next_card(const CardInput& input);
/// Where nothing is due, or nothing of that insulin: why, and how insulin is got today (H38).
json::Value no_dose_card(const Words& words, const Chart& person, const Clinic& clinic,
                         const When& now, const std::string& insulin = {});
/// That the clock was set back behind the record (H18, H52); empty: it was not. It stands before
/// whatever is due by it.
Rich clock_text(const Words& words, const Chart& person, const Clinic& clinic, const When& now);
/// What became of the line's dose before this one, and what follows from it; empty: it is plain.
Rich before_text(const Words& words, const interlock::Dose& dose);
/// How a cartridge gets into the pen: "load" into an empty one, "change", or "put_back" of one that
/// was taken out earlier. Part of a sentence's key.
std::string_view change_key(const interlock::Plan& plan, const interlock::Dose* dose,
                            const dial::Action& action);
/// Behind "change the cartridge": why, which lot goes in and, of sealed ones, which must not (H61).
std::string change_words(const Words& words, const interlock::Plan& plan,
                         const dial::Action& action);
/// Behind an hour by the clock of somebody who lives by another than the clinic's (H18); else
/// empty.
std::string their_clock(const Words& words, const Chart& person, const Clinic& clinic);
/// That a trip to another clock is on record for these days (H18); empty: none is.
Rich trip_text(const Words& words, const Chart& person, const When& now);
/// The last injection of an insulin that is on record, and after it the last of which nobody knows
/// the insulin: it may have been this one (H52, H07). nullptr: none.
struct LastGiven {
  const order::Given* of_it = nullptr;
  const order::Given* may_be = nullptr;
  /// A dose after `of_it` that somebody said was taken, without its injection (H07).
  std::optional<When> told{};
};
LastGiven last_given(const Chart& person, std::string_view insulin);
/// That the line's dose of now is on record already (H07); empty: it is not.
Rich done_text(const Words& words, const Chart& person, const interlock::Dose& dose);
/// What the last glucose value on record asks for before this dose: it is a hypo, and no later one
/// says that it is over, or very high (H10); empty: neither.
std::vector<Rich> last_values_text(const Words& words, const Chart& person, const When& now);
/// What else stands beside the number wherever it stands: the last values, too much of another
/// insulin, a basal dose much less than a day ago, a changed strength, a dose outside its order
/// (H04, H03, H10, H38, H61).
std::vector<Rich> beside_texts(const Words& words, const Chart& person, const interlock::Dose& dose,
                               const When& now);
/// That another dose of it stands on record so near (H52); empty: none does.
Rich near_text(const Words& words, const interlock::Dose& dose);
/// The pen that the plan is for, in words that tell it from the others of its insulin in the house
/// (H01, H61, H64); empty: there is no other.
std::string pen_title(const Words& words, const Chart& person, const interlock::Dose& dose);
/// Which of the others is not to be used for it, and why.
std::string other_pens_text(const Words& words, const Chart& person, const interlock::Dose& dose);
/// Why something in the house is not planned with.
Rich aside_text(const Words& words, shelf::Presentation takes, const Error& aside);
/// Whether the pen waits for a cartridge: there is no old one to take out.
bool is_empty(const interlock::Plan& plan, const interlock::Dose* dose);
/// What is not certain of the cartridge that is planned with (Plan::doubts).
Rich doubt_text(const Words& words, const Error& doubt);
/// The table for a pen that counts on: by what the window shows (H01). Null where the window
/// returns to zero.
json::Value window_table(const Words& words, const ClearedPlan& plan);
/// The same for a card that stays: of each injection that the dose takes, and from the prime of
/// every day on, though the next one is on a new cartridge (H01, H28).
std::vector<json::Value> window_tables(const Words& words, const ClearedPlan& plan);
/// What holds a number back: what, why, what to do, how to get insulin today and whom to phone
/// (H38), one instruction (H58).
json::Value held_part(const Words& words, const interlock::Held& held, const Clinic& clinic);
/// The button of one answer about `dose.asked`; null: nothing is recorded by it.
json::Value answer_button(const Words& words, const interlock::Dose& dose,
                          interlock::Answer answer);
/// The facts that answer what is asked before a number is shown; each button says one of them.
std::vector<json::Value> answers_of(const Words& words, const interlock::Dose& dose);
/// How to get insulin today and whom to phone, by what holds the number back.
Rich insulin_today(const Words& words, interlock::Today today, bool background,
                   const Clinic& clinic);
/// "Low?", beside every dose: what this person needs (core/low). nullptr: nobody is chosen.
/// `held`: of whom nothing may be given by mouth is not told of sugar (H58, H10).
json::Value low_box(const Words& words, const Chart* person, LocalDay on, const Clinic& clinic,
                    const interlock::Held* held = nullptr);

/// The card, its window's table and the box "Low?" as lines for a terminal.
std::string card_lines(const json::Value& card);
std::string table_lines(const json::Value& table);
std::string low_lines(const json::Value& low);

}  // namespace penstock::pages
