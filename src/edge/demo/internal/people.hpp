// Who is in the demo clinic, and why.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

#include "core/journal/journal.hpp"
#include "core/units/units.hpp"

namespace penstock::demo {

/// Whose bench this is.
inline constexpr std::string_view nurse = "Marit Oyelaran";

/// What each person is here to show.
enum class Story : std::uint8_t {
  plain,
  new_here,             ///< registered today, no order yet
  question_after_lows,  ///< H37
  past_in_use,          ///< a cartridge in use for too long (H12)
  runs_out_saturday,
  pen_in_the_sun,  ///< H12
  corrected_entry,
  part_dose,        ///< 10 of 22 given (H39)
  second_check,     ///< an order waiting (H40)
  window_unknown,   ///< H01
  scale_disagrees,  ///< H41
  order_ends,       ///< H08
  needle_reused,    ///< H15
  signature_owed,
  rest_too_small,  ///< tonight's dose comes from the next cartridge
  hardened_today,  ///< felt this morning, the prescriber not reached yet (H36)
};

struct Dose {
  journal::SlotName slot;
  std::int16_t minute;      ///< after midnight
  std::int32_t hundredths;  ///< of a unit
};

struct Line {
  journal::Purpose purpose;
  std::string_view insulin;  ///< codes of the shelf
  std::string_view cartridge;
  std::string_view pen;
  std::vector<Dose> doses;
};

struct Persona {
  std::string_view name;
  std::string_view born;
  std::string_view number;
  Story story;
  journal::Background background;
  std::vector<Line> lines;
  std::string_view zone = "Europe/Berlin";
  std::string_view needle = "4-mm-32g";
  std::string_view like = "";  ///< the number of the one whose body this is; empty: their own
};

const std::vector<Persona>& people();

}  // namespace penstock::demo
