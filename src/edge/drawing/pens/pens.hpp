// The pen and its dose: the insulin's mark, the cartridge with its ledger, the dose window, the
// hand's steps, and in a sentence what is so with a pen, its insulin and the order behind it. What
// holds for every drawing stands in drawing/kit.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/interlock/interlock.hpp"
#include "core/units/units.hpp"

namespace penstock::drawing {

// ---- insulins

/// The head of an insulin's mark is the shape of its action; on a stem, so that it is never told by
/// colour (H04).
enum class Action : std::uint8_t {
  rapid,            ///< pennant: up at once, gone soon
  short_acting,     ///< sail: fuller than the pennant, down by the next meal (human regular)
  intermediate,     ///< dome: a hump (human NPH)
  long_acting,      ///< flat bar: level all day
  premixed_rapid,   ///< pennant over dome
  premixed_short,   ///< sail over dome
  rapid_with_long,  ///< pennant over flat bar
};

/// 16 by 18, stands in a line of text (class insmark).
std::string insulin_mark(Action action, std::string_view alt = {});
/// 52 by 60, for a key or a shelf page.
std::string insulin_mark_large(Action action, std::string_view alt = {});

/// Two marks and a struck equals sign: what the pen is for, what was brought to it.
struct Mismatch {
  Action pen = Action::rapid;
  Action cartridge = Action::rapid;
  std::string pen_label{};        ///< "pen"
  std::string cartridge_label{};  ///< "cartridge"
  std::string alt{};
};
std::string mismatch(const Mismatch& marks);

// ---- the barrel

/// What left the cartridge at one injection: its priming, then its dose, then what was thrown away.
/// Any of them may be zero.
struct Cell {
  Units primed = Units::zero();
  Units injected = Units::zero();
  Units thrown_away = Units::zero();
};

/// Does the number behind a mark stand, or does it rest on an order that is in question (open
/// mark)?
enum class Standing : std::uint8_t { ordered, in_question };

/// Where the stopper will be after the next dose.
struct Notch {
  Units at = Units::zero();  ///< 0 to what is left
  Standing standing = Standing::ordered;
  std::string label{};  ///< "136 after 18:30"
};

/// A look at the cartridge's own scale that differs from the ledger. Neither overwrites the other
/// (H41).
struct ScaleCount {
  Units at = Units::zero();
  std::string label{};  ///< "scale read 130 on 16 March"
};

enum class Thickness : std::uint8_t {
  in_use,  ///< 48 high, with its scale
  sealed,  ///< half as thick, without a scale
};

/// A cartridge with its ledger, to scale: needle end left, 0 at the shoulder. Solid = left, double
/// bar = stopper, then one cell an injection (slant = its priming, ghost = its dose), newest next
/// to the stopper. Cells thinner than a few pixels are drawn together. Promise of the ledger,
/// checked: loaded + unexplained = left + all cells.
struct Barrel {
  Units content =
      Units::zero();  ///< what the cartridge holds when full; above zero; the scale ends here
  Units loaded = Units::zero();  ///< what was in it when it was loaded; below `content`, the rest
                                 ///< stays blank: unknown
  Units unexplained = Units::zero();  ///< more went out than was loaded: drawn in a broken frame
                                      ///< beyond the end of what was loaded
  Units left = Units::zero();
  std::vector<Cell> cells{};  ///< oldest first
  std::optional<Notch> notch{};
  std::optional<ScaleCount> count{};  ///< give it only where it differs from `left`
  std::string away_label{};  ///< not empty: what is left is too little and will be thrown away; the
                             ///< brace under it says why
  std::string unexplained_label{};  ///< beside the broken frame
  Thickness thickness = Thickness::in_use;
  int width_px = 619;  ///< 300 to 1200; the picture scales to the column, so ask for about the
                       ///< column's width to keep its text readable
  std::string alt{};
};
std::string barrel(const Barrel& cartridge);

/// A sealed cartridge or pen: full, half as thick.
std::string sealed_barrel(Units content, std::string_view alt, int width_px = 619);

/// The outline where a cartridge would be.
struct EmptyBarrel {
  Units content = Units::zero();  ///< for the scale; above zero
  std::string label{};            ///< "nothing loaded"
  int width_px = 376;             ///< 300 to 1200
  std::string alt{};
};
std::string empty_barrel(const EmptyBarrel& outline);

/// Days of the in-use period: solid = left, today counted; ghost = gone. Past the limit: all ghost,
/// a line, and one solid bar a day beyond it.
struct Pips {
  int limit_days = 28;  ///< 1 to 400
  int days_in_use = 0;  ///< 0 on the day of first use
  std::string alt{};
};
std::string pips(const Pips& period);

// ---- the dose window

enum class WindowSize : std::uint8_t {
  table,  ///< number 34 pixels high
  card,   ///< 57
  large,  ///< 64
};

/// The number that the pen's window must show. Only a dose gets this frame: never priming, never a
/// number that the interlock did not clear (H53). The word "units" stands beside it.
std::string dose_window(const interlock::Cleared<Units>& window, WindowSize size,
                        std::string_view alt = {});

/// What priming took and what the dose adds, one cell a unit (slant, ghost); 136 by 24 at most.
/// `widest` is the largest primed + dose on the page, so that strips under each other keep one
/// scale.
std::string count_strip(Units primed, Units dose, Units widest, std::string_view alt = {});

/// Ten rings, one a second, counted with the button down; 5 a row. `seconds` 1 to 30. Each of the
/// first `counted` is filled.
std::string hold_rings(int seconds = 10, int counted = 0, std::string_view alt = {});

// ---- the hand's steps

/// One small drawing a step, 128 by 84 (class art). None holds a number.
enum class Hand : std::uint8_t {
  taken,         ///< taken already? the injection's mark still open
  taken_meal,    ///< the same, food in front of you
  wash,          ///< hands under water
  look_clear,    ///< look at the insulin: clear
  look_cloudy,   ///< look at the insulin: evenly milky
  mix_roll,      ///< roll between the palms
  mix_tip,       ///< tip end over end
  spot,          ///< the place: look and feel
  another_spot,  ///< the second part: away from the first
  load,          ///< the cartridge into the pen
  shields,       ///< new needle, both shields off
  prime,         ///< needle up, a drop at its tip
  into,          ///< straight in
  into_fold,     ///< into a lifted fold
  into_slant,    ///< at 45 degrees
  box,           ///< needle off, into the box
};
struct HandDrawing {
  Hand step = Hand::taken;
  Action action = Action::rapid;          ///< for `taken` and `taken_meal`
  std::optional<int> box_percent_full{};  ///< for `box`: 0 to 100; unknown stays blank
  int percent = 100;                      ///< size, 50 to 200
  std::string alt{};
};
std::string hand(const HandDrawing& drawing);

// ---- the number in the sentence, drawn once; 150 by 26 (class g)

/// Open for longer than the limit (or nearly so): ghost = days within it, line = limit, solid =
/// days beyond it.
std::string days_open(int days_open, int limit_days, std::string_view alt);

/// Days from today; the order's bar ends after `days_left` (0: today is the last day; negative: it
/// ended). Two weeks are shown.
std::string order_ending(int days_left, std::string_view alt);
/// Ledger above, scale below, the difference in a broken bracket.
std::string scale_disagrees(Units content, Units ledger_left, Units counted, std::string_view alt);
/// A broken frame around the insulin's mark, and one open tick for each day that the question has
/// waited (0: none).
std::string question_open(Action action, int waited_days, std::string_view alt);
/// Two lines to sign: one signed, the other broken and empty (H40).
std::string second_check_missing(std::string_view alt);
/// Warmest (or coldest) that the insulin has been, against its limits.
std::string warmth(TenthsCelsius low_limit, TenthsCelsius high_limit, TenthsCelsius reached,
                   std::string_view alt);

}  // namespace penstock::drawing
