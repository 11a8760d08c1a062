// How names and numbers are compared (H19): folded, and by what they look like. ICU knows the
// scripts; the rooms below are handed these functions or what they made.
#pragma once

#include <array>
#include <string>
#include <string_view>

namespace penstock::names {

/// A text of valid UTF-8 as it is searched and compared: compatibility forms, case, accents and
/// whatever is never seen are gone, Latin letters are those of ASCII ("Zdzisława" and
/// "ZDZISLAWA": "zdzislawa"), runs of blanks are one, and none stands at an end. Marks that are
/// letters of their script (Hindi or Thai vowels, Japanese voicing) stay. Nothing that can be
/// seen: empty.
std::string folded(std::string_view utf8);

/// What a text looks like: equal for texts whose letters are taken for each other, whatever their
/// script (the skeleton of Unicode Technical Standard 39, then folded). To be compared, never to be
/// shown: "Mirela" and its Cyrillic twin give the same, "Ian" gives "lan". Capitals and small
/// letters look different, so two texts with the same `folded` may have other looks.
std::string look(std::string_view utf8);

/// As what a text is read: folded, and by its looks in small letters and in capitals, which are
/// taken for other letters each. Two texts are compared way by way.
std::array<std::string, 3> readings(std::string_view utf8);

/// A text without the characters that are never seen and mean nothing in a name: zero-width
/// spaces, byte order marks, soft hyphens, direction marks, tags, fillers. Joiners and
/// variation selectors stay: Persian, Hindi and Japanese names are written with them. Embeddings,
/// overrides and isolates stay, too, for is_plain_text to refuse: they turn what stands beside a
/// name.
std::string visible(std::string_view utf8);

/// Whether anything of a text is seen when it is shown or printed: a letter, a digit, a sign.
/// Blanks of every kind, marks without a letter and what is drawn as nothing (the empty braille
/// cell) are not.
bool is_seen(std::string_view utf8);

/// H40, S5: whether two names are one person's to whoever reads them: folded or by their looks,
/// whatever blanks, points and hyphens stand in them.
bool same(std::string_view a, std::string_view b);
/// H40: whether a checker may be the copier: one name in another order, with a title, by initials
/// or in part, also in letters of another script that look the same; and what is no name at all.
/// Who types another name than their own is stopped by accounts alone.
bool may_be_one(std::string_view checker, std::string_view copier);

/// H40: whether one name may be a slip of the other: one letter more, less or another, two
/// neighbours in the other order, or written as one word with the first letter of the first name;
/// or be the other with two letters for one that has a mark (Schroeder, Schröder), in any order, by
/// initials or in part.
bool may_be_slip(std::string_view a, std::string_view b);

/// The same words in any order: "Okonkwo, Mirela". A part of a name may be another person's.
bool same_words(std::string_view a, std::string_view b);

}  // namespace penstock::names
