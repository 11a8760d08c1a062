#include "core/order/second_check/second_check.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "core/units/utf8.hpp"

namespace penstock::order {

namespace {

using journal::OrderLineSigned;
using journal::Slot;

Error asked(std::string_view code, std::vector<Arg> args = {}) {
  return {Kind::refused, code, std::move(args)};
}

// An order that names no first day holds from the day on which somebody copies it.
Result<void> same_days(const OrderLineSigned& copy, LocalDay copied_on,
                       const journal::OrderLineChecked& check) {
  if (check.from && *check.from != copy.from)
    return asked(codes::check_from, {arg_date("read", *check.from)});
  if (!check.from && copy.from > copied_on) return asked(codes::check_no_from);
  if (check.until == copy.until) return {};
  return check.until ? asked(codes::check_until, {arg_date("read", *check.until)})
                     : asked(codes::check_no_until);
}

}  // namespace

namespace {

// "one" is left out: most often it is no number ("one of the nurses").
constexpr auto number_words = std::to_array<std::string_view>(
    {"two",      "three",    "four",   "five",     "six",      "seven",   "eight",   "nine",
     "ten",      "eleven",   "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen",
     "eighteen", "nineteen", "twenty", "thirty",   "forty",    "fourty",  "fifty",   "sixty",
     "seventy",  "eighty",   "ninety", "hundred",  "thousand", "dozen"});

// To Unicode they are letters.
constexpr std::u32string_view number_signs = U"一二三四五六七八九十百千两";

bool is_number_word(std::string_view word) {
  return std::ranges::find(number_words, word) != number_words.end();
}

}  // namespace

bool holds_number(std::string_view words) {
  std::string word;
  for (std::size_t at = 0; at < words.size();) {
    const auto length = std::max<std::size_t>(utf8_length(words, at), 1);
    const auto c = code_point(words.substr(at, length));
    at += length;
    if (is_numeral(c) || number_signs.find(c) != number_signs.npos) return true;
    const auto small = c >= U'A' && c <= U'Z' ? c - U'A' + U'a' : c;
    if (small >= U'a' && small <= U'z') {
      word += static_cast<char>(small);
    } else if (!is_never_seen(c)) {
      if (is_number_word(word)) return true;
      word.clear();
    }
  }
  return is_number_word(word);
}

std::string times_of(const std::vector<Slot>& slots) {
  std::string out;
  for (const auto& slot : slots) out += (out.empty() ? "" : ", ") + std::string(word(slot.slot));
  return out;
}

bool has_read_days(const journal::OrderLineChecked& check) {
  return check.days_read || check.from || check.until;
}

Result<void> same_as_copy(const OrderLineSigned& copy, LocalDay copied_on,
                          const journal::OrderLineChecked& check) {
  const auto& reading = check.reading;
  if (reading.insulin.empty()) return asked(codes::check_blind);
  if (reading.insulin != copy.insulin) {
    return asked(codes::check_insulin, {arg_text("read", reading.insulin)});
  }
  if (reading.strength != copy.strength) {
    return asked(codes::check_strength, {arg_strength("read", reading.strength)});
  }
  auto copied = copy.slots, read = reading.slots;
  const auto by_time = [](const Slot& a, const Slot& b) {
    return a.slot != b.slot ? a.slot < b.slot : a.at < b.at;
  };
  std::ranges::sort(copied, by_time);
  std::ranges::sort(read, by_time);
  if (!std::ranges::equal(copied, read, {}, &Slot::slot, &Slot::slot)) {
    return asked(codes::check_times, {arg_text("read", times_of(read))});
  }
  for (std::size_t n = 0; n < copied.size(); ++n) {
    const auto slot = arg_code("slot", word(copied[n].slot));
    if (copied[n].units != read[n].units) {
      return asked(codes::check_dose, {slot, arg_units("read", read[n].units)});
    }
    if (copied[n].at != read[n].at) {
      return asked(codes::check_time, {slot, arg_text("read", format_iso(read[n].at))});
    }
  }
  return has_read_days(check) ? same_days(copy, copied_on, check) : Result<void>{};
}

}  // namespace penstock::order
