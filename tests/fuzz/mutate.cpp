#include "fuzz/mutate.hpp"

#include <algorithm>
#include <array>
#include <utility>
#include <vector>

#include "edge/json/json.hpp"
#include "fuzz/script.hpp"
#include "support/random_journal.hpp"

namespace penstock::fuzz {
namespace {

using json::Type;
using json::Value;
using random_journal::Dice;

// What readers stumble over.
constexpr std::array<std::string_view, 44> odd_texts{"",
                                                     "0",
                                                     "-0",
                                                     "1",
                                                     "-1",
                                                     "0.5",
                                                     "0.005",
                                                     "1e3",
                                                     "1E400",
                                                     "00",
                                                     "2147483647",
                                                     "2147483648",
                                                     "9223372036854775807",
                                                     "-9223372036854775808",
                                                     "18446744073709551616",
                                                     "340282366920938463463374607431768211456",
                                                     "999999999999",
                                                     "0.01",
                                                     "3600",
                                                     "null",
                                                     "true",
                                                     "{}",
                                                     "[]",
                                                     "\"\"",
                                                     "\\",
                                                     "\"",
                                                     "\n",
                                                     "\r\n",
                                                     ",",
                                                     ";",
                                                     "\t",
                                                     "\xEF\xBB\xBF",
                                                     "\xC0\x80",
                                                     "\xED\xA0\x80",
                                                     "\xF4\x90\x80\x80",
                                                     "\xE2\x80\xAE",
                                                     "e\xCC\x81",
                                                     "\x7F",
                                                     "2027-02-29",
                                                     "2027-03-28T02:30:00",
                                                     "2027-03-16T24:00:00+14:00",
                                                     "9999-12-31",
                                                     "0000000000000000000000000000a1b1",
                                                     "\x1D"};

std::string_view odd_text(Dice& dice) { return odd_texts[dice.below(odd_texts.size())]; }

// A stretch of a text: from 0 to all of it, short ones oftener.
std::pair<std::size_t, std::size_t> stretch(Dice& dice, std::size_t size) {
  if (size == 0) return {0, 0};
  const auto at = dice.below(size);
  const auto most = dice.one_in(4) ? size - at : std::min<std::size_t>(size - at, 8);
  return {at, dice.below(most + 1)};
}

void change_bytes(Dice& dice, std::string& text, std::string_view other) {
  const auto [at, length] = stretch(dice, text.size());
  switch (dice.below(8)) {
    case 0:
      if (!text.empty()) text[at] = static_cast<char>(text[at] ^ (1 << dice.below(8)));
      break;
    case 1:
      if (!text.empty()) text[at] = static_cast<char>(dice.below(256));
      break;
    case 2:
      text.erase(at, length);
      break;
    case 3:
      text.insert(at, text.substr(at, length));
      break;
    case 4:
      text.insert(at, 1, static_cast<char>(dice.below(256)));
      break;
    case 5:
      text.replace(at, length, odd_text(dice));
      break;
    case 6: {
      const auto [from, many] = stretch(dice, other.size());
      text.replace(at, length, other.substr(from, many));
      break;
    }
    default:
      // A count, a length or a digit that is one off.
      if (!text.empty()) text[at] = static_cast<char>(text[at] + (dice.one_in(2) ? 1 : -1));
  }
}

void values_in(Value& value, std::vector<Value*>& into) {
  into.push_back(&value);
  for (auto& member : value.members) values_in(member.value, into);
}

Value& any_value(Dice& dice, Value& whole) {
  std::vector<Value*> all;
  values_in(whole, all);
  return *all[dice.below(all.size())];
}

Value odd_value(Dice& dice) {
  switch (dice.below(8)) {
    case 0:
      return json::null();
    case 1:
      return json::boolean(dice.one_in(2));
    case 2:
      return json::array();
    case 3:
      return json::object();
    case 4:
      return json::count(static_cast<std::int64_t>(dice.bits() >> dice.below(64)));
    case 5:
      return json::string(odd_text(dice));
    default: {
      Value number = json::count(0);
      number.text = std::to_string(dice.below(1'000));
      if (dice.one_in(2)) number.text += "." + std::to_string(dice.below(100));
      if (dice.one_in(4)) number.text.insert(0, "-");
      return number;
    }
  }
}

// As it is written, its bytes changed: a time that is an hour off, a name with a letter more.
void change_scalar(Dice& dice, Value& value, std::string_view other) {
  if (value.type == Type::boolean) {
    value.flag = !value.flag;
  } else if (value.type == Type::number || value.type == Type::string) {
    if (value.type == Type::string && dice.one_in(4)) {
      value.text = odd_text(dice);
    } else if (!value.text.empty() && dice.one_in(2)) {
      auto& letter = value.text[dice.below(value.text.size())];
      if (letter >= '0' && letter <= '9') letter = static_cast<char>('0' + dice.below(10));
    } else {
      change_bytes(dice, value.text, other);
    }
  } else {
    value = odd_value(dice);
  }
}

void change_members(Dice& dice, Value& value, Value& lender) {
  auto& members = value.members;
  if (members.empty()) {
    value = any_value(dice, lender);
    return;
  }
  const auto at = dice.below(members.size());
  const auto place = members.begin() + static_cast<std::ptrdiff_t>(at);
  switch (dice.below(6)) {
    case 0:
      members.erase(place);
      break;
    case 1: {
      // Only an array may say the same twice.
      auto again = *place;
      if (value.type == Type::object) again.key += "x";
      members.insert(place, std::move(again));
      break;
    }
    case 2:
      std::swap(members[at], members[dice.below(members.size())]);
      break;
    case 3:
      place->value = any_value(dice, lender);
      break;
    case 4: {
      const auto& donor = any_value(dice, lender);
      if (donor.members.empty()) break;
      const auto& lent = donor.members[dice.below(donor.members.size())];
      const bool fits = (value.type == Type::object) == (donor.type == Type::object);
      if (fits && (lent.key.empty() || value.find(lent.key) == nullptr)) members.push_back(lent);
      break;
    }
    default:
      place->value = odd_value(dice);
  }
}

std::string changed_json(Dice& dice, std::string_view input, std::string_view other) {
  auto whole = json::parse(input);
  if (!whole || dice.one_in(8)) {
    std::string text(input);
    change_bytes(dice, text, other);
    return text;
  }
  auto lent = json::parse(other);
  auto lender = lent ? *std::move(lent) : *whole;
  for (auto times = 1 + dice.below(3); times > 0; --times) {
    auto& value = any_value(dice, *whole);
    if (value.type == Type::object || value.type == Type::array) {
      change_members(dice, value, lender);
    } else if (dice.one_in(6)) {
      value = any_value(dice, lender);
    } else {
      change_scalar(dice, value, other);
    }
  }
  return json::to_text(*whole);
}

std::string changed_script(Dice& dice, std::string_view input, std::string_view other) {
  auto steps = steps_of(input);
  const auto lent = steps_of(other);
  const auto lender = [&]() -> Step {
    return lent.empty() ? Step{} : lent[dice.below(lent.size())];
  };
  if (steps.empty()) steps.push_back(lender());
  const auto at = dice.below(steps.size());
  const auto place = steps.begin() + static_cast<std::ptrdiff_t>(at);
  switch (dice.below(10)) {
    case 0:
      steps.erase(place);
      break;
    case 1:
      steps.insert(place, Step(*place));
      break;
    case 2:
      std::swap(steps[at], steps[dice.below(steps.size())]);
      break;
    case 3:
      steps.insert(place, lender());
      break;
    case 4:
      change_bytes(dice, place->line, lender().line);
      break;
    case 5:
      steps.insert(place, {"@ " + std::to_string(dice.bits() >> (40 + dice.below(20))), ""});
      break;
    default:
      if (place->body.empty()) {
        steps.push_back(lender());
      } else {
        place->body = changed_json(dice, place->body, lender().body);
      }
  }
  return script_of(steps);
}

}  // namespace

std::string mutated(Shape shape, std::string_view input, std::string_view other, std::uint64_t seed,
                    std::size_t bytes_most) {
  Dice dice(seed);
  std::string text(input);
  for (auto times = 1 + dice.below(3); times > 0; --times) {
    if (shape == Shape::json) {
      text = changed_json(dice, text, other);
    } else if (shape == Shape::script) {
      text = changed_script(dice, text, other);
    } else {
      change_bytes(dice, text, other);
    }
  }
  return text.substr(0, bytes_most);
}

}  // namespace penstock::fuzz
