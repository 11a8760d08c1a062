// The next injection of a person: what is due, from which pen and cartridges, and the plan for it
// or why there is none.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/dial/dial.hpp"
#include "edge/drawing/pens/pens.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/sites/sites.hpp"

namespace penstock::pages {

/// One cartridge of the plan: a known one, or a sealed one that would be opened.
struct Source {
  Id cartridge;  ///< nil: sealed
  shelf::Insulin copy;
  Units content = Units::zero();
  std::string shelf_code;  ///< of the insulin, for loading a sealed one
  std::string fits;
};

/// What a plan was asked with, and what came of it.
struct Planned {
  dial::DialRequest request;
  std::vector<Source> sources;  ///< one for each cartridge of the request
  std::optional<dial::DialPlan> plan;
  std::optional<Error> refusal;
};

/// One dose that is due, with everything that its card needs.
struct NextDose {
  order::Due due;
  const order::Line* line = nullptr;
  const ledger::Pen* pen = nullptr;
  const ledger::Pending* pending = nullptr;  ///< the rest of a part-dose
  drawing::Action mark = drawing::Action::long_acting;
  Planned planned;
};

struct Agenda {
  std::optional<NextDose> next;
  std::vector<order::Due> later;              ///< after `next`, to the end of tomorrow
  std::vector<const order::Line*> ask_first;  ///< lines in question that still hold, each once
  std::vector<order::Due> asked_due;          ///< the next due slot of each of them
};

/// Works out what comes next. `now` decides; nothing is read from a clock.
Agenda agenda_of(const Chart& person, const shelf::Shelf& shelf, const When& now);
/// The line of the newest order version that neither ended nor was replaced; nullptr: none.
const order::Line* newest_line(const Chart& person);
/// A plan for one slot of one line on one day (for a sheet of steps).
NextDose plan_dose(const Chart& person, const shelf::Shelf& shelf, const order::Due& due,
                   const When& now);

namespace codes {
inline constexpr std::string_view next_no_pen =
    "next.no_pen";  // [insulin, strength, purpose, dose]
inline constexpr std::string_view next_no_fit =
    "next.no_fit";  // H42 [insulin, strength, purpose, pen]
inline constexpr std::string_view next_unfit = "next.unfit";  // H12, H13 [reason, insulin, purpose]
}  // namespace codes

// ---- the card (web/src/model.ts: NextCard)

struct CardInput {
  const Words* words = nullptr;
  const Planned* planned = nullptr;
  const NextDose* dose =
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
/// How this person's needle goes in, from the place rules: straight, at a slant, with a fold.
struct Way {
  drawing::Hand hand = drawing::Hand::into;
  std::string key{};  ///< "", "_fold", "_slant", "_slant_fold": the end of a sentence's key
  std::vector<Arg> args{};
};
Way way_of(const Chart* person);
json::Value next_card(const CardInput& input);
/// The table for a pen that counts on: by units primed (H01). Null where the window returns to
/// zero.
json::Value window_table(const Words& words, const Planned& planned);
/// The refusal part of a card: what, why, what to do, and how to get insulin today (H38).
json::Value refusal_part(const Words& words, const Error& error, const Clinic& clinic,
                         std::optional<journal::Purpose> purpose);
/// "Low?", beside every dose.
json::Value low_box(const Words& words, const order::Line* line, const Clinic& clinic);

/// The card, its window's table and the box "Low?" as lines for a terminal.
std::string card_lines(const json::Value& card);
std::string table_lines(const json::Value& table);
std::string low_lines(const json::Value& low);

}  // namespace penstock::pages
