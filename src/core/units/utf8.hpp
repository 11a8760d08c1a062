// UTF-8 as it arrives: checked before anything else looks at it, and never cut inside a character.
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>

namespace penstock {

/// Bytes of the character that begins at `at`; 0 when what stands there is no UTF-8 (overlong
/// forms, surrogates and anything above U+10FFFF included).
std::size_t utf8_length(std::string_view text, std::size_t at);

/// The character that a sequence of utf8_length bytes says.
char32_t code_point(std::string_view sequence);

/// Whether a character is never seen, whatever stands beside it: zero-width spaces, joiners, soft
/// hyphens, direction marks, fillers, variation selectors, tags. Unicode's
/// Default_Ignorable_Code_Point of version 15, as a test of shell/names holds against ICU's.
bool is_never_seen(char32_t c);

/// Whether a character is a digit or a number of any script: ８, ٨, ⅞, Ⅷ, ⑧. Unicode's general
/// category N of version 15; the same test holds it.
bool is_numeral(char32_t c);

/// Where the first byte stands that is no UTF-8.
std::optional<std::size_t> first_bad_utf8(std::string_view text);

/// At most `bytes_max` bytes, whole characters only.
std::string_view shortened(std::string_view text, std::size_t bytes_max = 60);

inline constexpr std::string_view utf8_byte_order_mark = "\xEF\xBB\xBF";

}  // namespace penstock
