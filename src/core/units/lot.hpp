// How the numbers of lots are compared.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace penstock {

/// What stays of a lot number when it is compared: letters and digits, as they look. People type
/// "ab-12" for what the carton prints as "AB 12", and copy from small print: case, blanks, signs
/// and what is never seen are gone; O is 0, I and L are 1, Z is 2, S is 5, B is 8, and a Cyrillic
/// or Greek twin is its Latin letter. A recall that misses somebody is worse than one that looks at
/// one carton too many (H61). To be compared and to be asked for, never to be read out. What is no
/// letter of a carton's alphabet and looks like none stays as it is, so that two lots that differ
/// in it stay two. Nothing that can be read: empty.
std::string lot_key(std::string_view utf8);

/// What a lot may have meant that was typed with more than its number: with the word before it, the
/// identifier in brackets, the expiry behind it, a second lot (H61). The whole first, then each run
/// of its words of at least four characters. As compared.
std::vector<std::string> lot_readings(std::string_view utf8);
/// Whether a lot is, or may have meant, the one of this key.
bool lot_may_be(std::string_view utf8, std::string_view key);

}  // namespace penstock
