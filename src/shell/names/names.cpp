#include "shell/names/names.hpp"

#include <unicode/locid.h>
#include <unicode/normalizer2.h>
#include <unicode/translit.h>
#include <unicode/uchar.h>
#include <unicode/uspoof.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "base/base.hpp"
#include "shell/names/internal/words.hpp"

namespace penstock::names {
namespace {

using icu::UnicodeString;

// What ICU needs to read once. All of it may be used by several threads: nothing changes it.
struct Tables {
  const icu::Normalizer2* casefold = nullptr;       // NFKC_Casefold: without what is never seen
  const icu::Normalizer2* compatibility = nullptr;  // NFKC
  std::unique_ptr<icu::Transliterator> to_base;
  std::unique_ptr<USpoofChecker, decltype(&uspoof_close)> lookalikes{nullptr, uspoof_close};
};

const Tables& tables() {
  static const Tables all = [] {
    Tables out;
    UErrorCode status = U_ZERO_ERROR;
    UParseError where;
    out.casefold = icu::Normalizer2::getNFKCCasefoldInstance(status);
    out.compatibility = icu::Normalizer2::getNFKCInstance(status);
    // Accents belong to no script of their own. Two of them are Japanese letters' voicing.
    const auto rules = UnicodeString::fromUTF8(
        "::NFKD; ::[[:Mn:]&[:Script=Inherited:]-[\\u3099\\u309A]] Remove; ::Latin-ASCII; ::NFC;");
    out.to_base.reset(icu::Transliterator::createFromRules("penstock-base", rules, UTRANS_FORWARD,
                                                           where, status));
    out.lookalikes.reset(uspoof_open(&status));
    INVARIANT(U_SUCCESS(status));  // tables that come with the library
    return out;
  }();
  return all;
}

std::string utf8_of(const UnicodeString& text) {
  std::string out;
  return text.toUTF8String(out);
}
UnicodeString unicode_of(std::string_view utf8) {
  return UnicodeString::fromUTF8({utf8.data(), static_cast<std::int32_t>(utf8.size())});
}

UnicodeString normalized(const icu::Normalizer2& form, const UnicodeString& text) {
  UErrorCode status = U_ZERO_ERROR;
  auto out = form.normalize(text, status);
  INVARIANT(U_SUCCESS(status));
  return out;
}

// Runs of blanks are one, and none stands at an end.
UnicodeString with_single_blanks(const UnicodeString& text) {
  UnicodeString out;
  bool blank = false;
  for (std::int32_t i = 0; i < text.length(); i = text.moveIndex32(i, 1)) {
    const auto c = text.char32At(i);
    if (u_isUWhiteSpace(c) != 0) {
      blank = !out.isEmpty();
      continue;
    }
    if (blank) out.append(u' ');
    blank = false;
    out.append(c);
  }
  return out;
}

std::string folded(const UnicodeString& text) {
  auto base = normalized(*tables().casefold, text);
  tables().to_base->transliterate(base);
  return utf8_of(with_single_blanks(normalized(*tables().casefold, base)));
}

bool is_ascii(std::string_view text) {
  return std::ranges::none_of(text, [](char c) { return (c & 0x80) != 0; });
}

// Nearly all texts of many clinics: without tables. A test holds it against the long way.
std::string folded_ascii(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  bool blank = false;
  for (const char c : text) {
    if (c == ' ' || (c >= '\t' && c <= '\r')) {
      blank = !out.empty();
      continue;
    }
    if (blank) out += ' ';
    blank = false;
    out += static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
  }
  return out;
}

template <class Keep>
UnicodeString only(const UnicodeString& text, Keep keep) {
  UnicodeString out;
  for (std::int32_t i = 0; i < text.length(); i = text.moveIndex32(i, 1)) {
    const auto c = text.char32At(i);
    if (keep(c)) out.append(c);
  }
  return out;
}

bool is_never_seen(UChar32 c) {
  return u_hasBinaryProperty(c, UCHAR_DEFAULT_IGNORABLE_CODE_POINT) != 0;
}

bool means_nothing_in_a_name(UChar32 c) {
  if (!is_never_seen(c)) return false;
  if (u_hasBinaryProperty(c, UCHAR_JOIN_CONTROL) != 0) return false;
  if (u_hasBinaryProperty(c, UCHAR_VARIATION_SELECTOR) != 0) return false;
  constexpr UChar32 grapheme_joiner = 0x034F, jamo_filler = 0x115F, jungseong_filler = 0x1160;
  if (c == grapheme_joiner || c == jamo_filler || c == jungseong_filler) return false;
  const bool turns = (c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069);
  return !turns;
}

}  // namespace

std::string folded(std::string_view utf8) {
  if (is_ascii(utf8)) return folded_ascii(utf8);
  return folded(unicode_of(utf8));
}

namespace {

// Two letters for one, which the library does not know; of m and "rn" it does.
std::string with_w(std::string text) {
  for (auto at = text.find("vv"); at != std::string::npos; at = text.find("vv", at + 1))
    text.replace(at, 2, "w");
  return text;
}

}  // namespace

std::string look(std::string_view utf8) {
  const auto text = unicode_of(utf8);
  const auto seen =
      only(normalized(*tables().compatibility, text), [](UChar32 c) { return !is_never_seen(c); });
  UErrorCode status = U_ZERO_ERROR;
  UnicodeString skeleton;
  uspoof_getSkeletonUnicodeString(tables().lookalikes.get(), 0, seen, skeleton, &status);
  INVARIANT(U_SUCCESS(status));
  return with_w(folded(skeleton));
}

namespace {

std::string look_in_capitals(std::string_view utf8) {
  return look(utf8_of(unicode_of(utf8).toUpper(icu::Locale::getRoot())));
}

}  // namespace

std::array<std::string, 3> readings(std::string_view utf8) {
  auto plain = folded(utf8);
  auto small = look(plain), capitals = look_in_capitals(plain);
  return {std::move(plain), std::move(small), std::move(capitals)};
}

std::string visible(std::string_view utf8) {
  if (is_ascii(utf8)) return std::string(utf8);
  const auto text = unicode_of(utf8);
  return utf8_of(only(text, [](UChar32 c) { return !means_nothing_in_a_name(c); }));
}

bool is_seen(std::string_view utf8) {
  const auto text = unicode_of(utf8);
  // Drawn as nothing, though they count as letters or signs: the empty braille cell, the null
  // notehead, the place of an object that is not there.
  constexpr auto empty = std::to_array<UChar32>({0x2800, 0x1D159, 0xFFFC});
  return !only(text, [&](UChar32 c) {
            constexpr auto shown = U_GC_L_MASK | U_GC_N_MASK | U_GC_P_MASK | U_GC_S_MASK;
            return (U_MASK(u_charType(c)) & shown) != 0 && !is_never_seen(c) &&
                   std::ranges::find(empty, c) == empty.end();
          }).isEmpty();
}

bool same(std::string_view a, std::string_view b) {
  const auto alike = [](const std::string& one, const std::string& other) {
    const auto letters = letters_of(one);
    return one == other || (!letters.empty() && letters == letters_of(other));
  };
  return alike(folded(a), folded(b)) || alike(look(a), look(b));
}

std::string letters_of(std::string_view utf8) {
  const auto text = unicode_of(utf8);
  return utf8_of(only(text, [](UChar32 c) { return u_isalnum(c) != 0; }));
}

std::vector<std::string> words_in(std::string_view name) {
  std::vector<std::string> out(1);
  for (const char c : names::folded(name)) {
    const bool parts =
        static_cast<unsigned char>(c) < 0x80 && !std::isalnum(static_cast<unsigned char>(c));
    if (!parts) out.back() += c;
    if (parts && !out.back().empty()) out.emplace_back();
  }
  if (out.back().empty()) out.pop_back();
  return out;
}

std::span<const std::string> without_titles(std::span<const std::string> words) {
  constexpr auto titles =
      std::to_array<std::string_view>({"mr", "mrs", "ms", "miss", "mx", "dr", "prof", "professor",
                                       "doctor", "sister", "nurse", "matron", "charge"});
  while (!words.empty() && std::ranges::find(titles, words.front()) != titles.end())
    words = words.subspan(1);
  return words;
}

namespace {

std::u32string letters(std::string_view utf8) {
  const auto text = unicode_of(utf8);
  std::u32string out;
  for (std::int32_t i = 0; i < text.length(); i = text.moveIndex32(i, 1))
    out += static_cast<char32_t>(text.char32At(i));
  return out;
}
std::size_t letters_in(std::string_view utf8) { return letters(utf8).size(); }

}  // namespace

bool is_written_in_one(std::string_view word) {
  constexpr char32_t first_of_cjk = 0x2E80;
  return letters(word).front() >= first_of_cjk;
}

bool has_a_name(std::span<const std::string> words) {
  return std::ranges::any_of(words, [](const std::string& word) {
    return letters_in(word) > 1 || is_written_in_one(word);
  });
}

namespace {

// "MO" of Marit Oyelaran.
bool are_initials(std::string_view name, std::span<const std::string> of) {
  std::string initials;
  for (const auto& word : of) initials += word.front();
  return initials.size() > 1 && same(name, initials);
}

// Of so few letters, another one is another name.
constexpr std::size_t letters_of_a_name = 6;

// One letter more, less or another, or two neighbours in the other order.
bool within_one_slip(std::u32string_view a, std::u32string_view b) {
  if (a.size() > b.size()) std::swap(a, b);
  if (a.size() < letters_of_a_name || b.size() - a.size() > 1) return false;
  const auto [left, right] = std::ranges::mismatch(a, b);
  const auto rest_a = a.substr(static_cast<std::size_t>(left - a.begin()));
  const auto rest_b = b.substr(static_cast<std::size_t>(right - b.begin()));
  if (rest_b.empty()) return true;
  if (a.size() < b.size()) return rest_b.substr(1) == rest_a;
  const bool are_turned = rest_a.size() > 1 && rest_a[0] == rest_b[1] && rest_a[1] == rest_b[0] &&
                          rest_a.substr(2) == rest_b.substr(2);
  return are_turned || rest_b.substr(1) == rest_a.substr(1);
}

using Words = std::vector<std::string>;
// How the words of a name are compared: as they are, and by their looks in small letters and in
// capitals, which are taken for other letters each.
constexpr auto ways = std::to_array<Words (*)(std::span<const std::string>)>(
    {[](std::span<const std::string> words) { return Words(words.begin(), words.end()); },
     [](std::span<const std::string> words) {
       Words out;
       for (const auto& word : words) out.push_back(look(word));
       return out;
     },
     [](std::span<const std::string> words) {
       Words out;
       for (const auto& word : words) out.push_back(look_in_capitals(word));
       return out;
     }});

bool are_within(std::span<const std::string> fewer, std::span<const std::string> more) {
  if (fewer.size() > more.size()) std::swap(fewer, more);
  return std::ranges::all_of(fewer, [&](const std::string& word) {
    return std::ranges::any_of(more, [&](const std::string& other) {
      return word == other || (letters_in(word) == 1 && other.starts_with(word)) ||
             (letters_in(other) == 1 && word.starts_with(other));
    });
  });
}

bool is_slip(std::span<const std::string> one, std::span<const std::string> other) {
  const auto joined = [](std::span<const std::string> words) {
    std::string out;
    for (const auto& word : words) out += word;
    return letters(out);
  };
  const auto is_initialled = [](auto alone, auto full) {
    return alone.size() == 1 && full.size() == 2 &&
           letters(alone.front()) == letters(full.front()).substr(0, 1) + letters(full.back());
  };
  return within_one_slip(joined(one), joined(other)) || is_initialled(one, other) ||
         is_initialled(other, one);
}

// Two letters for one that has a mark in other spellings: "oe" for ö and ø, "aa" for å. Folded
// alone, the mark is gone and the second letter is not.
Words without_second_letters(std::span<const std::string> words) {
  constexpr auto pairs = std::to_array<std::string_view>({"oe", "ae", "ue", "aa"});
  Words out;
  for (const std::string_view word : words) {
    auto& left = out.emplace_back();
    for (std::size_t i = 0; i < word.size(); ++i) {
      left += word[i];
      if (std::ranges::find(pairs, word.substr(i, 2)) != pairs.end()) ++i;
    }
  }
  return out;
}

// Where they are one name as they stand, too, no spelling is between them.
bool are_spelt_otherwise(std::span<const std::string> one, std::span<const std::string> other) {
  const auto left = without_second_letters(one), right = without_second_letters(other);
  return is_slip(left, right) ||
         (!one.empty() && !other.empty() && !are_within(one, other) && are_within(left, right));
}

}  // namespace

bool may_be_one(std::string_view checker, std::string_view copier) {
  if (same(checker, copier)) return true;
  const auto all_of_checker = words_in(checker), all_of_copier = words_in(copier);
  const auto of_checker = without_titles(all_of_checker);
  auto of_copier = without_titles(all_of_copier);
  if (of_copier.empty()) of_copier = all_of_copier;
  if (are_initials(checker, of_copier) ||
      (of_checker.size() == 1 && are_initials(of_checker.front(), of_copier)))
    return true;
  if (!has_a_name(of_checker)) return true;
  return std::ranges::any_of(
      ways, [&](const auto as) { return are_within(as(of_checker), as(of_copier)); });
}

bool may_be_slip(std::string_view a, std::string_view b) {
  const auto words_a = words_in(a), words_b = words_in(b);
  const auto one = without_titles(words_a), other = without_titles(words_b);
  return are_spelt_otherwise(one, other) ||
         std::ranges::any_of(ways, [&](const auto as) { return is_slip(as(one), as(other)); });
}

bool same_words(std::string_view a, std::string_view b) {
  return std::ranges::is_permutation(words_in(a), words_in(b));
}

}  // namespace penstock::names
