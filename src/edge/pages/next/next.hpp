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
  /// Where it goes, when a place plan says so, and what has to be changed first (H16).
  const Site* site = nullptr;
  std::string place_words{};
  std::vector<Rich> reach_notes{};
};
/// What a person's card needs, but for the place.
CardInput card_input(const Chart& person, const Clinic& clinic, const Words& words,
                     const NewId& new_id, const When& now, const interlock::Dose& dose);
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
/// What became of the line's dose before this one, and what follows from it; empty: it is plain.
Rich before_text(const Words& words, const interlock::Dose& dose);
/// The table for a pen that counts on: by what the window shows (H01). Null where the window
/// returns to zero.
/// Why something in the house is not planned with.
Rich aside_text(const Words& words, const interlock::Plan& plan, const Error& aside);
json::Value window_table(const Words& words, const ClearedPlan& plan);
/// What holds a number back: what, why, what to do, how to get insulin today and whom to phone
/// (H38), one instruction (H58).
json::Value held_part(const Words& words, const interlock::Held& held, const Clinic& clinic);
/// The facts that answer what is asked before a number is shown; each button says one of them.
std::vector<json::Value> answers_of(const Words& words, const interlock::Dose& dose);
/// How to get insulin today and whom to phone, by what holds the number back.
Rich insulin_today(const Words& words, interlock::Today today, bool background,
                   const Clinic& clinic);
/// "Low?", beside every dose: what this person needs (core/low). nullptr: nobody is chosen.
json::Value low_box(const Words& words, const Chart* person, LocalDay on, const Clinic& clinic);

/// The card, its window's table and the box "Low?" as lines for a terminal.
std::string card_lines(const json::Value& card);
std::string table_lines(const json::Value& table);
std::string low_lines(const json::Value& low);

}  // namespace penstock::pages
