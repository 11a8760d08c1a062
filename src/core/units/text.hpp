// What text may be: names and notes that people typed, kept as they typed them.
#pragma once

#include <cstdint>
#include <string_view>

namespace penstock {

enum class Lines : std::uint8_t { one, many };

/// Whether a text is UTF-8 that shows on a page as it was typed: no overlong forms or surrogates,
/// no control characters (but line feed and tab where `many` lines are allowed), and none of the
/// marks that make a line run backwards, so that no name can be made to look like another (H19).
bool is_plain_text(std::string_view text, Lines lines);

/// Whether nothing would be seen: no characters, or spaces, tabs and line feeds alone.
bool is_blank(std::string_view text);

}  // namespace penstock
