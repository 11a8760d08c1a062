// The text of a carton's code as a hand-held scanner types it: GS1 element strings (GS1 General
// Specifications, from memory). Product, lot and days are what an injection supply bears; the other
// identifiers of the table are read and passed over, and what is not in it is refused, never
// guessed: a lot that is read wrongly is a recall that misses somebody.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "base/base.hpp"
#include "core/carton/carton.hpp"

namespace penstock::gs1 {

namespace codes {
// Positions count the characters of the text as it was typed, from 1.
inline constexpr std::string_view carton_empty = "carton.empty";
inline constexpr std::string_view carton_long = "carton.long";        // [most]
inline constexpr std::string_view carton_letters = "carton.letters";  // no digit at all
inline constexpr std::string_view carton_unknown = "carton.unknown";  // [text, position]
inline constexpr std::string_view carton_short = "carton.short";      // [text, position, length]
inline constexpr std::string_view carton_character = "carton.character";  // [text, position]
inline constexpr std::string_view carton_digit = "carton.digit";          // [text, position]
inline constexpr std::string_view carton_check = "carton.check";      // [text, position, expected]
inline constexpr std::string_view carton_day = "carton.day";          // [text, position]
inline constexpr std::string_view carton_bracket = "carton.bracket";  // [position]
inline constexpr std::string_view carton_twice = "carton.twice";      // [text, position]
inline constexpr std::string_view carton_days_differ = "carton.days_differ";  // [position]
inline constexpr std::string_view carton_either = "carton.either";            // [text, position]
/// All of them, so that the catalogue can be checked for holes.
inline constexpr std::array carton_all{
    carton_empty,     carton_long,        carton_letters, carton_unknown, carton_short,
    carton_character, carton_digit,       carton_check,   carton_day,     carton_bracket,
    carton_twice,     carton_days_differ, carton_either};
}  // namespace codes

inline constexpr std::size_t carton_bytes_max = 500;

/// Reads the whole text or refuses it. With or without a symbology identifier; separators as the
/// control character 29 or as scanners are set to show it; also the bracketed form that is printed
/// beside a code, and a bare product number of 12 to 14 digits, or of 8 where they cannot be an
/// element instead. Two-digit years are of the
/// century that lies nearest to `year`; a day 00 is the last of its month. Where no separator was
/// typed, `may_be` holds the other ways to read the last lot or serial number.
Result<carton::Carton> read_carton(std::string_view text, std::int32_t year);

/// The check digit that belongs behind these digits (modulo 10, weights 3 and 1 from the right).
char gs1_check_digit(std::string_view digits);

}  // namespace penstock::gs1
