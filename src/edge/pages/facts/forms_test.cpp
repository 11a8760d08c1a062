#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>
#include <string>

#include "core/facts/facts.hpp"
#include "core/facts/list.hpp"
#include "edge/pages/facts/facts.hpp"
#include "edge/words/words.hpp"

namespace penstock::pages {
namespace {

const json::Value& part(const json::Value& of, std::string_view key) {
  for (const auto& member : of.members) {
    if (member.key == key) return member.value;
  }
  static const json::Value nothing;
  ADD_FAILURE() << "no " << key;
  return nothing;
}

const json::Value& forms() {
  static const auto page = forms_page(Caller{.author = "", .words = words::english()});
  return part(page, "forms");
}

const json::Value& form(std::string_view what) {
  for (const auto& one : forms().members) {
    if (part(one.value, "what").text == what) return one.value;
  }
  static const json::Value nothing;
  ADD_FAILURE() << "no form of " << what;
  return nothing;
}

std::string joined(const json::Value& list, std::string_view key) {
  std::string out;
  for (const auto& one : list.members)
    out += (&one == &list.members.front() ? "" : ", ") + part(one.value, key).text;
  return out;
}

// A new kind without words would show its own codes to people.
TEST(Forms, EveryFormHasItsWords) {
  std::set<std::string> addresses;
  const auto is_code = [](const std::string& text) {
    return text.empty() || text.starts_with("form") || text.starts_with("choice/");
  };
  for (const auto& [key, one] : forms().members) {
    const auto what = part(one, "what").text;
    EXPECT_TRUE(addresses.insert(part(one, "address").text).second) << what;
    for (const auto* word : {"title", "button"})
      EXPECT_FALSE(is_code(part(one, word).text)) << what << " " << word;
    if (part(one, "offered").flag) {
      EXPECT_FALSE(part(one, "lead").text.empty()) << what;
    }
    EXPECT_FALSE(part(one, "fields").members.empty()) << what;
    for (const auto& [no_key, field] : part(one, "fields").members) {
      EXPECT_FALSE(is_code(part(field, "label").text)) << what << " " << part(field, "name").text;
      if (part(field, "kind").text != "choice") continue;
      const bool from_person = std::ranges::any_of(
          field.members, [](const auto& member) { return member.key == "from"; });
      if (from_person) continue;
      for (const auto& [none, choice] : part(field, "choices").members)
        EXPECT_EQ(part(choice, "label").text.find('/'), std::string::npos) << what;
    }
  }
}

// Verbs, questions and articles stood among nouns in one list of what can be added.
TEST(Forms, EveryTitleIsANoun) {
  const auto page = forms_page(Caller{.author = "", .words = words::english()});
  for (const auto* list : {"forms", "pages"}) {
    for (const auto& [none, one] : part(page, list).members) {
      const auto& title = part(one, "title").text;
      EXPECT_EQ(title.find('?'), std::string::npos) << title;
      const auto first = title.substr(0, title.find(' '));
      for (const auto* word : {"A", "An", "The", "Add", "Ask", "Do", "Does", "Record", "What"})
        EXPECT_NE(first, word) << title;
    }
  }
}

TEST(Forms, WhatCanBeRecordedComesFirstInItsOrder) {
  std::map<int, std::string_view> in_order;
  for (const auto& kind : facts::kinds) {
    if (kind.form.place == 0 || !kind.form.page.empty()) continue;
    EXPECT_TRUE(in_order.emplace(kind.form.place, kind.name).second) << kind.name;
  }
  EXPECT_EQ(in_order.begin()->second, "injected");
  std::size_t at = 0;
  for (const auto& [place, name] : in_order) {
    EXPECT_EQ(place, static_cast<int>(at) + 1) << name;
    const auto& one = forms().members.at(at++).value;
    EXPECT_EQ(part(one, "what").text, name);
    EXPECT_TRUE(part(one, "offered").flag) << name;
  }
  for (; at < forms().members.size(); ++at)
    EXPECT_FALSE(part(forms().members[at].value, "offered").flag);
}

// What is drawn, weighed or counted has a page of its own, and stands behind the forms once.
TEST(Forms, WhatHasAPageOfItsOwnIsNamedByIt) {
  const auto page = forms_page(Caller{.author = "", .words = words::english()});
  std::string addresses;
  for (const auto& [none, one] : part(page, "pages").members) {
    addresses += part(one, "address").text + " ";
    for (const auto* word : {"title", "lead"})
      EXPECT_FALSE(part(one, word).text.starts_with("form-page")) << part(one, "address").text;
  }
  EXPECT_EQ(addresses,
            "skin skin/examine skin/body skin/depth supplies/give supplies/count supplies/box "
            "supplies/test supplies/trip ");
}

// Not known is an answer, and the one that a form begins with: nothing is assumed from silence.
TEST(Forms, WhatToKnowFirstStandsUnderItsHeadings) {
  const auto page = forms_page(Caller{.author = "", .words = words::english()});
  const auto& groups = part(page, "background");
  EXPECT_EQ(joined(groups, "title"), "Diabetes, Hypos, Injecting, Language");
  std::size_t fields = 0;
  for (const auto& [none, group] : groups.members) {
    for (const auto& [no_key, field] : part(group, "fields").members) {
      ++fields;
      EXPECT_FALSE(part(field, "label").text.starts_with("form/")) << part(field, "name").text;
      const bool is_choice = part(field, "kind").text == "choice";
      EXPECT_EQ(part(field, "start").text, is_choice ? "unknown" : "");
      if (is_choice) {
        EXPECT_EQ(part(part(field, "choices").members.back().value, "label").text, "Unknown");
      }
    }
  }
  EXPECT_EQ(fields, facts::Background::list.fields.size());
}

TEST(Forms, AnInjectionAsksInTheOrderInWhichPeopleTellIt) {
  const auto& fields = part(form("injected"), "fields");
  EXPECT_EQ(joined(fields, "name"),
            "cartridge, units, outcome, meant_units, line, slot, zone, given_by, given_by_name");
  EXPECT_EQ(joined(fields, "kind"),
            "choice, units, choice, units, choice, choice, choice, choice, text");
  std::string needed;
  for (const auto& field : fields.members) needed += part(field.value, "needed").flag ? "!" : ".";
  EXPECT_EQ(needed, "!!!....!.");
  EXPECT_EQ(joined(fields, "start"), ", , whole, , , , , unknown, ");
}

TEST(Forms, WhatNobodyKnowsIsTheLastChoice) {
  const auto& fields = part(form("primed"), "fields");
  const auto& flow = fields.members.back().value;
  EXPECT_EQ(joined(part(flow, "choices"), "value"), "seen, not seen, unknown");
  EXPECT_EQ(joined(part(flow, "choices"), "label"), "Seen, Not seen, Unknown");
}

}  // namespace
}  // namespace penstock::pages
