// The words of a name, as all rules about names take them apart.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace penstock::names {

/// What is left of a name without what only parts it.
std::string letters_of(std::string_view utf8);
/// Folded; points, hyphens and apostrophes part them.
std::vector<std::string> words_in(std::string_view name);
/// Without what stands before a name: "Mrs", "Sister", "Charge Nurse". A family may be called
/// Nurse.
std::span<const std::string> without_titles(std::span<const std::string> words);

/// In CJK scripts a name is written without a blank, and one sign is a family's.
bool is_written_in_one(std::string_view word);
/// Whether there is more than initials.
bool has_a_name(std::span<const std::string> words);

}  // namespace penstock::names
