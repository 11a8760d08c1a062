// The snapshot of everybody, judged by a plain sorted list.
#include "edge/summary/people.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>

#include "core/units/utf8.hpp"
#include "edge/summary/summary.hpp"

namespace penstock::summary {
namespace {

// Keys as plain as a test needs them; what the library makes of a name is tested beside it.
std::string small(std::string_view text) {
  std::string out(text);
  for (auto& c : out) c = static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
  return out;
}
constexpr Keys plain_keys{small, small};

Row row(std::uint64_t id, std::string name, std::uint64_t version = 1) {
  Row out;
  out.person = Id{0x9E0, id};
  out.full_name = std::move(name);
  out.number = "N" + std::to_string(id);
  put_keys(out, plain_keys);
  out.version = version;
  return out;
}

std::string name_of(std::uint64_t i) {
  return std::string(1, static_cast<char>('a' + i * 7 % 26)) + "person " + std::to_string(i);
}

// What is there, in the order of the list: name and version.
std::vector<std::string> lines(const People& people) {
  std::vector<std::string> out;
  for (const auto& one : people) out.push_back(one.full_name + " " + std::to_string(one.version));
  return out;
}

TEST(People, NobodyIsNobody) {
  const People people;
  EXPECT_TRUE(people.empty());
  EXPECT_EQ(people.begin(), people.end());
  EXPECT_EQ(people.find(Id{0x9E0, 1}), nullptr);
  EXPECT_TRUE(people.alike(Key{"anybody", "anybody"}, {}, Id{}).empty());
  EXPECT_TRUE(people.with({}).empty());
  EXPECT_EQ(people.with({row(1, "Noor")}).size(), 1U);
}

TEST(People, ARowInThePlaceOfAnotherLeavesTheSnapshotBeforeAsItWas) {
  const People before({row(1, "Bram"), row(2, "Amaia"), row(3, "")});
  const auto after = before.with({row(1, "Bram", 2)});
  EXPECT_EQ(lines(before), (std::vector<std::string>{"Amaia 1", "Bram 1"}));
  EXPECT_EQ(lines(after), (std::vector<std::string>{"Amaia 1", "Bram 2"}));
  // Rows that did not change are the same rows.
  EXPECT_EQ(before.find(Id{0x9E0, 2}), after.find(Id{0x9E0, 2}));
  EXPECT_NE(before.find(Id{0x9E0, 1}), after.find(Id{0x9E0, 1}));
}

// Random changes, whole clinics of several chunks: always what a plain list would be.
TEST(People, WhateverChangesItIsTheSortedListOfWhoIsThere) {
  std::map<std::uint64_t, Row> plain;
  People people;
  std::uint64_t state = 20'270'316;
  const auto chance = [&state](std::uint64_t below) {
    state = state * 6'364'136'223'846'793'005ULL + 1'442'695'040'888'963'407ULL;
    return (state >> 33) % below;
  };
  for (std::uint64_t step = 1; step <= 300; ++step) {
    std::vector<Row> changed;
    const auto count = step == 1 ? 700 : chance(4);
    for (std::uint64_t i = 0; i < count; ++i) {
      const auto id = step == 1 ? i : chance(900);
      const auto what = chance(20);
      auto one = row(id, what == 0 ? "" : name_of(what == 1 ? id + 1'000 : id), step);
      if (std::ranges::find(changed, one.person, &Row::person) != changed.end()) continue;
      if (one.full_name.empty()) {
        plain.erase(id);
      } else {
        plain.insert_or_assign(id, one);
      }
      changed.push_back(std::move(one));
    }
    people = people.with(std::move(changed));
    std::vector<const Row*> sorted;
    for (const auto& [id, one] : plain) sorted.push_back(&one);
    std::ranges::sort(sorted, {},
                      [](const Row* one) { return std::pair{one->search_key, one->person}; });
    ASSERT_EQ(people.size(), sorted.size()) << step;
    for (std::size_t i = 0; i < sorted.size(); ++i) {
      ASSERT_EQ(people[i].person, sorted[i]->person) << step;
      ASSERT_EQ(people[i].version, sorted[i]->version) << step;
    }
    for (std::uint64_t id = 0; id < 900; id += 37) {
      const auto* found = people.find(Id{0x9E0, id});
      ASSERT_EQ(found != nullptr, plain.contains(id)) << step;
      if (found != nullptr) {
        EXPECT_EQ(found->full_name, plain.at(id).full_name);
      }
    }
  }
}

// The cheap look before the edit distance hides nobody.
TEST(People, H19_WhoIsAlikeIsFoundAsByComparingEachPair) {
  std::vector<Row> rows;
  const std::vector<std::string> names{"Mirela Okonkwo",
                                       "Mirella Okonkwo",
                                       "Mirel Okonkwa",
                                       "Mirle Okonkwo",
                                       "Amir",
                                       "Amri",
                                       "Amira",
                                       "Zdzisława Michałowska-Wójcik",
                                       "Zdzislawa Michalowska-Wojcik",
                                       "Αλέξης",
                                       "Αλέξις",
                                       "Наталья Смирнова",
                                       "Наталия Смернова",
                                       "Bo",
                                       "Bö",
                                       "B",
                                       "Ibo",
                                       "Noor Halvorsen",
                                       "Noor Halverson",
                                       "Nour Halversen",
                                       "Halvorsen",
                                       "Mrs Noor A. Halvorsen-Lund"};
  for (std::size_t i = 0; i < names.size(); ++i) rows.push_back(row(i, names[i]));
  for (std::uint64_t i = 0; i < 600; ++i) rows.push_back(row(100 + i, name_of(i % 200)));
  const People people(rows);
  std::size_t pairs = 0;
  for (const auto& one : people) {
    std::vector<const Row*> expected;
    for (const auto& other : people) {
      if (other.person != one.person &&
          (alike(other.name_key, one.name_key) || in_part_the_same(other.name_key, one.name_key)))
        expected.push_back(&other);
    }
    EXPECT_EQ(people.alike(one.person), expected) << one.full_name;
    pairs += expected.size();
  }
  EXPECT_GT(pairs, 1'000U);
}

// The whole table of edits, as a textbook has it.
int edits_by_the_table(const std::u32string& a, const std::u32string& b) {
  std::vector<std::vector<int>> table(a.size() + 1, std::vector<int>(b.size() + 1));
  for (std::size_t i = 0; i <= a.size(); ++i) {
    for (std::size_t j = 0; j <= b.size(); ++j) {
      auto& here = table[i][j];
      here = static_cast<int>(std::max(i, j));
      if (i == 0 || j == 0) continue;
      here = std::min({table[i - 1][j] + 1, table[i][j - 1] + 1,
                       table[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1)});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        here = std::min(here, table[i - 2][j - 2] + 1);
    }
  }
  return table[a.size()][b.size()];
}

std::vector<std::u32string> words_in_order(const std::u32string& text) {
  std::vector<std::u32string> out(1);
  for (const auto c : text) {
    if (c != U' ') {
      out.back() += c;
    } else if (!out.back().empty()) {
      out.emplace_back();
    }
  }
  if (out.back().empty()) out.pop_back();
  std::ranges::sort(out);
  return out;
}

// Random words of few letters, in two scripts, each beside a few slips of it and beside another
// word; whether they are alike, and whether the snapshot finds them.
TEST(People, H19_AlikeIsWhatTheWholeTableOfEditsSays) {
  std::uint64_t state = 19;
  const auto chance = [&state](std::uint64_t below) {
    state = state * 6'364'136'223'846'793'005ULL + 1'442'695'040'888'963'407ULL;
    return (state >> 33) % below;
  };
  const std::u32string latin = U"abcd e", greek = U"αβγδ ε";
  const auto utf8 = [](const std::u32string& text) {
    std::string out;
    for (const auto c : text) {
      if (c < 0x80) {
        out += static_cast<char>(c);
      } else {
        out += static_cast<char>(0xC0U | (c >> 6));
        out += static_cast<char>(0x80U | (c & 0x3FU));
      }
    }
    return out;
  };
  int close = 0;
  for (int round = 0; round < 20'000; ++round) {
    const auto& letters = round % 3 == 0 ? greek : latin;
    std::u32string a;
    for (auto i = 1 + chance(14); i > 0; --i) a += letters[chance(letters.size())];
    auto b = a;
    for (auto slip = chance(4); slip > 0; --slip) {
      const auto at = chance(b.size() + 1);
      const auto what = chance(4);
      if (what == 0) b.insert(at, 1, letters[chance(letters.size())]);
      if (what == 1 && b.size() > 1) b.erase(std::min(at, b.size() - 1), 1);
      if (what == 2 && at < b.size()) b[at] = letters[chance(letters.size())];
      if (what == 3 && at + 1 < b.size()) std::swap(b[at], b[at + 1]);
    }
    const auto most = std::max(a.size(), b.size()) >= 10 ? 2 : 1;
    const bool expected =
        edits_by_the_table(a, b) <= most || words_in_order(a) == words_in_order(b);
    const Key left{utf8(a), "left"}, right{utf8(b), "rightmost"};
    ASSERT_EQ(alike(left, right), expected) << left.folded << " / " << right.folded;
    auto one = row(1, "somebody");
    one.name_key = right;
    one.search_key = search_key_of(one);
    ASSERT_EQ(People({one}).alike(left, {}, Id{}).size(), expected ? 1U : 0U)
        << left.folded << " / " << right.folded;
    close += expected ? 1 : 0;
  }
  EXPECT_GT(close, 5'000);
  EXPECT_LT(close, 18'000);
}

// A letter is a letter in every script, however many bytes it takes.
TEST(People, H19_SlipsAreCountedInLetters) {
  const auto one_slip = [](std::string_view a, std::string_view b) {
    return alike(key_of(a, plain_keys), key_of(b, plain_keys));
  };
  EXPECT_TRUE(one_slip("иван", "иван"));
  EXPECT_TRUE(one_slip("иван", "ивон"));
  EXPECT_TRUE(one_slip("иван", "ивна"));  // two that changed places
  EXPECT_TRUE(one_slip("иван", "ива"));
  EXPECT_FALSE(one_slip("иван", "ивор"));
  EXPECT_FALSE(one_slip("иван", "иваніч"));
  EXPECT_TRUE(one_slip("阿部𠮷", "阿部吉"));  // four bytes against three
  // Two slips from the tenth letter on, not from the tenth byte.
  EXPECT_FALSE(one_slip("смирнов а", "смернов о"));
  EXPECT_TRUE(one_slip("смирнова а", "смернова о"));
}

TEST(People, H19_TheWordsOfANameInAnotherOrderAreAlike) {
  const auto both = [](std::string_view a, std::string_view b) {
    auto one = row(1, "somebody");
    one.name_key = key_of(a, plain_keys);
    one.search_key = search_key_of(one);
    const auto key = key_of(b, plain_keys);
    EXPECT_EQ(People({one}).alike(key, {}, Id{}).size(), alike(one.name_key, key) ? 1U : 0U) << b;
    return alike(one.name_key, key);
  };
  EXPECT_TRUE(both("noor halvorsen", "halvorsen noor"));
  EXPECT_TRUE(both("noor halvorsen", "halvorsen, noor"));
  EXPECT_TRUE(both("noor halvorsen", "halvorsen,noor"));
  EXPECT_TRUE(both("ana maria de la cruz", "de la cruz, ana maria"));
  EXPECT_FALSE(both("noor halvorsen", "halvorsen tove"));
  EXPECT_FALSE(both("noor halvorsen", "halvorsen"));
}

// Of people born on one day.
TEST(People, H19_ANameThatIsPartOfAnotherOfTheSameDayIsAlike) {
  const auto key = [](std::string_view name) { return key_of(name, plain_keys); };
  const auto noor = key("Noor Halvorsen");
  for (const char* name :
       {"Noor A. Halvorsen", "Mrs Noor Halvorsen", "Noor Halvorsen-Lund", "N. Halvorsen",
        "Halvorsen", "Noor", "Noor Halvorsen HS", "Noor Halvorsen (HS 03987)"}) {
    EXPECT_TRUE(in_part_the_same(noor, key(name))) << name;
    EXPECT_TRUE(in_part_the_same(key(name), noor)) << name;
  }
  for (const char* name : {"Noor Lund", "Mrs N.", "", "Bram Halvors", "Mrs Quist"})
    EXPECT_FALSE(in_part_the_same(noor, key(name))) << name;
  auto one = row(1, "Noor Halvorsen"), two = row(2, "Halvorsen"), other = row(3, "Halvorsen");
  one.born = two.born = LocalDay{std::chrono::local_days{std::chrono::year{1949} / 11 / 30}};
  other.born = one.born + std::chrono::days{1};
  for (auto* each : {&one, &two, &other}) put_keys(*each, plain_keys);
  const People people({one, two, other});
  ASSERT_EQ(people.alike(one.person).size(), 1U);
  EXPECT_EQ(people.alike(one.person).front()->person, two.person);
  EXPECT_TRUE(people.alike(noor, {}, one.person).empty()) << "nobody knows when";
}

TEST(People, H19_NumbersAreComparedByTheirDigits) {
  const auto key = [](std::string_view number) { return Key{std::string(number), ""}; };
  for (const char* number : {"hs 3987", "hs 003987", "3987", "hs-39-87", "x3987", "hs 03987"}) {
    EXPECT_TRUE(same_digits(key("hs 03987"), key(number))) << number;
    EXPECT_TRUE(same_digits(key(number), key("hs 03987"))) << number;
  }
  for (const char* number : {"hs 39870", "hs 13987", "hs", "", "hs 000", "398"})
    EXPECT_FALSE(same_digits(key("hs 03987"), key(number))) << number;
}

// What looks the same is alike, whatever it folds to.
TEST(People, H19_LooksAreComparedBesideLetters) {
  const Key latin{"anna", "looks"}, other{"бввб", "looks"}, slip{"бввб", "look"};
  const Key neither{"бввб", "stones"};
  EXPECT_TRUE(alike(latin, other));
  EXPECT_TRUE(alike(latin, slip));
  EXPECT_FALSE(alike(latin, neither));
  auto one = row(1, "Anna"), two = row(2, "Somebody");
  one.name_key = latin;
  two.name_key = other;
  for (auto* each : {&one, &two}) each->search_key = search_key_of(*each);
  const People people({one, two});
  ASSERT_EQ(people.alike(one.person).size(), 1U);
  EXPECT_EQ(people.alike(one.person).front()->person, two.person);
  EXPECT_TRUE(people.alike(Id{0x9E0, 7}).empty());  // nobody of the list
}

TEST(People, H19_ANumberIsTheSameFoldedOrByItsLook) {
  EXPECT_TRUE(same_number({"hs 1", "hs l"}, {"hs 1", "hs 1"}));
  EXPECT_TRUE(same_number({"hs 1", "hs l"}, {"hs l", "hs l"}));
  EXPECT_FALSE(same_number({"hs 1", "hs l"}, {"hs 2", "hs 2"}));
  EXPECT_FALSE(same_number({"", ""}, {"", ""}));  // no number is nobody's
  EXPECT_TRUE(tags_of_number({"", ""}).empty());
  EXPECT_EQ(tags_of_number({"hs 1", "hs l"}),
            (std::vector<std::string>{"number/hs 1", "number-look/hs l"}));
  // Longer than the store keeps, and cut inside no letter.
  std::string many;
  for (int i = 0; i < 100; ++i) many += "ж";
  for (const auto& tag : tags_of_number({many, "x" + many})) {
    EXPECT_LE(tag.size(), 200U);
    EXPECT_FALSE(first_bad_utf8(tag));
  }
}

TEST(People, ARowComesBackWithItsKeys) {
  const auto made = row(3, "Mirela Okonkwo");
  const auto packed = pack(made);
  const auto read = unpack(made.person, made.version, packed.bytes);
  ASSERT_TRUE(read);
  EXPECT_EQ(read->name_key, made.name_key);
  EXPECT_EQ(read->number_key, made.number_key);
  EXPECT_EQ(read->search_key, made.search_key);
}

}  // namespace
}  // namespace penstock::summary
