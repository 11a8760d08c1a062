#include "edge/gs1/gs1.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <span>
#include <vector>

namespace penstock::gs1 {
namespace {

constexpr char separator = '\x1D';  // FNC1 behind the first character, as scanners send it

/// An application identifier: how long its data is, and whether it is digits only.
struct Element {
  std::string_view ai;
  std::size_t least = 0;
  std::size_t most = 0;
  bool digits = false;
  bool fixed() const { return least == most; }
};
// GS1 General Specifications, section 3, the ones that a carton of ours bears; from memory.
constexpr auto elements = std::to_array<Element>({
    {"00", 18, 18, true},  {"01", 14, 14, true},   {"02", 14, 14, true},  {"10", 1, 20, false},
    {"11", 6, 6, true},    {"13", 6, 6, true},     {"15", 6, 6, true},    {"17", 6, 6, true},
    {"20", 2, 2, true},    {"21", 1, 20, false},   {"22", 1, 20, false},  {"30", 1, 8, true},
    {"37", 1, 8, true},    {"240", 1, 30, false},  {"241", 1, 30, false}, {"250", 1, 30, false},
    {"400", 1, 30, false}, {"710", 1, 20, false},  {"711", 1, 20, false}, {"712", 1, 20, false},
    {"713", 1, 20, false}, {"714", 1, 20, false},  {"715", 1, 20, false}, {"716", 1, 20, false},
    {"717", 1, 20, false}, {"7003", 10, 10, true}, {"90", 1, 30, false},  {"91", 1, 90, false},
    {"92", 1, 90, false},  {"93", 1, 90, false},   {"94", 1, 90, false},  {"95", 1, 90, false},
    {"96", 1, 90, false},  {"97", 1, 90, false},   {"98", 1, 90, false},  {"99", 1, 90, false},
});

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// GS1's set of characters 82: letters, digits and these.
bool is_of_set_82(char c) {
  constexpr std::string_view signs = "!\"%&'()*+,-./:;<=>?_";
  return is_digit(c) || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') ||
         signs.find(c) != std::string_view::npos;
}

Error error(std::string_view code, std::vector<Arg> args) {
  return {Kind::invalid_input, std::string(code), std::move(args), "/text"};
}
Arg arg_position(std::size_t at) {
  return arg_count("position", static_cast<std::int64_t>(at + 1));
}
/// What a refusal shows of a text: its first signs, as far as they are plain. A letter of more than
/// one byte must not be cut in two.
Arg arg_shown(std::string_view text, std::size_t most) {
  const auto plain = [](char c) { return c > ' ' && c <= '~'; };
  const auto end = std::ranges::find_if_not(text.substr(0, most), plain);
  const auto shown = text.substr(0, static_cast<std::size_t>(end - text.begin()));
  return arg_text("text", shown.empty() ? std::string_view("?") : shown);
}

/// One element as it stands in the text.
struct Read {
  const Element* element = nullptr;
  std::string data;
  std::size_t at = 0;  ///< of its data
};

const Element* element_at(std::string_view text) {
  for (const std::size_t length : {4U, 3U, 2U}) {
    const auto found = std::ranges::find(elements, text.substr(0, length), &Element::ai);
    if (found != elements.end() && text.size() >= length) return &*found;
  }
  return nullptr;
}

/// The text with its places: signs that stand for a separator become one, and every character knows
/// where it was typed.
struct Typed {
  std::string text;
  std::vector<std::size_t> at;
  std::string_view symbology;  ///< empty: the scanner sent none
  void add(char c, std::size_t from) {
    text += c;
    at.push_back(from);
  }
};

// What a scanner may send before the text, to say which kind of code it was. Those that bear GS1
// elements, and those that bear a product number alone.
constexpr std::array<std::string_view, 5> of_elements{"]C1", "]d2", "]Q3", "]e0", "]J1"};
constexpr std::array<std::string_view, 3> of_a_number{"]E0", "]E4", "]I1"};

bool is_one_of(std::span<const std::string_view> these, std::string_view one) {
  return std::ranges::find(these, one) != these.end();
}

Typed typed_of(std::string_view text) {
  constexpr std::string_view blanks = " \t\r\n";
  std::size_t from = 0, to = text.size();
  while (from < to && blanks.find(text[from]) != std::string_view::npos) ++from;
  while (to > from && blanks.find(text[to - 1]) != std::string_view::npos) --to;
  Typed out;
  const auto before = text.substr(from, std::min<std::size_t>(3, to - from));
  if (is_one_of(of_elements, before) || is_one_of(of_a_number, before)) {
    out.symbology = before;
    from += before.size();
  }
  while (from < to) {
    bool shown = false;
    for (const std::string_view sign : {"<GS>", "{GS}", "^]"}) {
      if (text.substr(from, to - from).starts_with(sign)) {
        out.add(separator, from);
        from += sign.size();
        shown = true;
        break;
      }
    }
    if (shown) continue;
    out.add(text[from], from);
    ++from;
  }
  return out;
}

class Splitter {
 public:
  explicit Splitter(const Typed& typed) : typed_(typed) {}

  Result<std::vector<Read>> split() {
    std::vector<Read> out;
    const bool bracketed = !typed_.text.empty() && typed_.text.front() == '(';
    while (here_ < typed_.text.size()) {
      if (!bracketed && typed_.text[here_] == separator) {
        ++here_;
        continue;
      }
      auto read = bracketed ? bracketed_element() : plain_element();
      if (!read) return read.error();
      out.push_back(*std::move(read));
    }
    return out;
  }

 private:
  std::size_t place(std::size_t at) const {
    return at < typed_.at.size() ? typed_.at[at] : (typed_.at.empty() ? 0 : typed_.at.back() + 1);
  }
  std::string_view rest() const { return std::string_view(typed_.text).substr(here_); }

  Error unknown() const {
    return error(codes::carton_unknown, {arg_shown(rest(), 4), arg_position(place(here_))});
  }

  Result<Read> plain_element() {
    const auto* element = element_at(rest());
    if (element == nullptr) return unknown();
    here_ += element->ai.size();
    const auto end = element->fixed()
                         ? std::min(typed_.text.size(), here_ + element->most)
                         : std::min(typed_.text.find(separator, here_), typed_.text.size());
    return take(*element, end);
  }

  Result<Read> bracketed_element() {
    const auto close = typed_.text.find(')', here_);
    if (typed_.text[here_] != '(' || close == std::string::npos)
      return error(codes::carton_bracket, {arg_position(place(here_))});
    const auto ai = std::string_view(typed_.text).substr(here_ + 1, close - here_ - 1);
    const auto found = std::ranges::find(elements, ai, &Element::ai);
    if (found == elements.end()) {
      return error(codes::carton_unknown, {arg_shown(ai, 8), arg_position(place(here_ + 1))});
    }
    here_ = close + 1;
    // A bracket may stand in a lot; one with two to four digits in it begins the next element,
    // known or not, and so does one that the end of the text cut off.
    auto end = typed_.text.find('(', here_);
    while (end != std::string::npos && !begins_element(end)) end = typed_.text.find('(', end + 1);
    auto read = take(*found, std::min(end, typed_.text.size()));
    if (read && here_ < typed_.text.size() && typed_.text[here_] == separator) ++here_;
    return read;
  }
  bool begins_element(std::size_t at) const {
    const auto after = std::string_view(typed_.text).substr(at + 1);
    const auto ai = after.substr(0, after.find_first_not_of("0123456789"));
    if (ai.size() == after.size()) return ai.size() <= 4;
    return after[ai.size()] == ')' && ai.size() >= 2 && ai.size() <= 4;
  }

  Result<Read> take(const Element& element, std::size_t end) {
    Read out{&element, typed_.text.substr(here_, end - here_), place(here_)};
    // Scanners also end an element in brackets with a separator.
    while (!out.data.empty() && out.data.back() == separator) out.data.pop_back();
    for (std::size_t i = 0; i < out.data.size(); ++i) {
      const auto name = arg_text("text", element.ai);
      if (element.digits && !is_digit(out.data[i]))
        return error(codes::carton_digit, {name, arg_position(place(here_ + i))});
      if (!is_of_set_82(out.data[i]))
        return error(codes::carton_character, {name, arg_position(place(here_ + i))});
    }
    if (out.data.size() < element.least || out.data.size() > element.most) {
      return error(codes::carton_short,
                   {arg_text("text", element.ai), arg_position(out.at),
                    arg_count("length", static_cast<std::int64_t>(out.data.size())),
                    arg_count("least", static_cast<std::int64_t>(element.least)),
                    arg_count("most", static_cast<std::int64_t>(element.most))});
    }
    here_ = end;
    return out;
  }

  const Typed& typed_;
  std::size_t here_ = 0;
};

Result<std::string> checked_gtin(const Read& read) {
  auto gtin = std::string(14 - read.data.size(), '0') + read.data;
  const auto expected = gs1_check_digit(std::string_view(gtin).substr(0, 13));
  if (gtin.back() == expected) return gtin;
  return error(codes::carton_check,
               {arg_text("text", read.data), arg_position(read.at + read.data.size() - 1),
                arg_text("expected", std::string(1, expected))});
}

int two(std::string_view digits, std::size_t at) {
  return (digits[at] - '0') * 10 + (digits[at + 1] - '0');
}

// YYMMDD. The century: of the years that end so, the one that is at most 49 before or 50 after the
// current one (section 7.12, from memory).
Result<LocalDay> checked_day(const Read& read, std::int32_t year) {
  const auto wrong = error(codes::carton_day, {arg_text("text", read.data), arg_position(read.at)});
  auto full = year - year % 100 + two(read.data, 0);
  if (full - year >= 51) full -= 100;
  if (full - year <= -50) full += 100;
  const std::chrono::year_month month{std::chrono::year{full},
                                      std::chrono::month{static_cast<unsigned>(two(read.data, 2))}};
  if (!month.ok()) return wrong;
  const auto day = static_cast<unsigned>(two(read.data, 4));
  const auto date = day == 0 ? std::chrono::year_month_day{month / std::chrono::last}
                             : std::chrono::year_month_day{month / std::chrono::day{day}};
  if (!date.ok()) return wrong;
  return LocalDay{std::chrono::local_days{date}};
}

Result<void> put_day(std::optional<LocalDay>& into, const Read& read, std::int32_t year) {
  const auto day = checked_day(read, year);
  if (!day) return day.error();
  into = *day;
  return {};
}

// YYMMDDHHMM.
Result<void> put_minute(std::optional<LocalDay>& into, const Read& read, std::int32_t year) {
  if (two(read.data, 6) > 23 || two(read.data, 8) > 59) {
    return error(codes::carton_day, {arg_text("text", read.data), arg_position(read.at)});
  }
  return put_day(into, read, year);
}

// The content's number stands for the product where the carton bears none of its own.
Result<void> put_gtin(std::string& into, const Read& read) {
  const auto gtin = checked_gtin(read);
  if (!gtin) return gtin.error();
  if (read.element->ai == "01" || into.empty()) into = *gtin;
  return {};
}

Result<void> put(carton::Carton& carton, std::optional<LocalDay>& to_the_minute, const Read& read,
                 std::int32_t year) {
  const auto ai = read.element->ai;
  std::optional<LocalDay> passed_over;
  if (ai == "01" || ai == "02") return put_gtin(carton.gtin, read);
  if (ai == "11") return put_day(carton.made, read, year);
  if (ai == "13" || ai == "15") return put_day(passed_over, read, year);
  if (ai == "17") return put_day(carton.expires, read, year);
  if (ai == "7003") return put_minute(to_the_minute, read, year);
  if (ai == "10") {
    carton.lot = read.data;
  } else if (ai == "21") {
    carton.serial = read.data;
  } else if (ai == "30" || ai == "37") {
    std::int32_t count = 0;
    for (const char c : read.data) count = count * 10 + (c - '0');
    carton.count = count;
  }
  return {};
}

bool is_bare_number(const Typed& typed) {
  const bool long_enough = typed.text.size() >= 12 && typed.text.size() <= 14;
  return typed.symbology.empty() && long_enough && std::ranges::all_of(typed.text, is_digit);
}

bool could_be_short_number(const Typed& typed) {
  return typed.symbology.empty() && typed.text.size() == 8 &&
         std::ranges::all_of(typed.text, is_digit) &&
         gs1_check_digit(std::string_view(typed.text).substr(0, 7)) == typed.text.back();
}

Result<carton::Carton> number_alone(const Typed& typed) {
  constexpr std::size_t least = 8, most = 14;
  const auto name = arg_text("text", typed.symbology);
  const auto wrong = std::ranges::find_if_not(typed.text, is_digit);
  if (wrong != typed.text.end()) {
    const auto at = static_cast<std::size_t>(wrong - typed.text.begin());
    return error(codes::carton_digit, {name, arg_position(typed.at[at])});
  }
  const auto length = typed.text.size();
  if (length != least && (length < 12 || length > most)) {
    return error(codes::carton_short, {name, arg_position(typed.at.front()),
                                       arg_count("length", static_cast<std::int64_t>(length)),
                                       arg_count("least", least), arg_count("most", most)});
  }
  const auto gtin = checked_gtin({nullptr, typed.text, typed.at.front()});
  if (!gtin) return gtin.error();
  carton::Carton carton;
  carton.gtin = *gtin;
  return carton;
}

/// The reads put together; what contradicts itself is refused.
Result<carton::Carton> carton_of(const std::vector<Read>& reads, std::int32_t year) {
  carton::Carton carton;
  std::map<std::string_view, std::string> seen;
  std::optional<LocalDay> to_the_minute;
  std::size_t last_expiry = 0;
  for (const auto& read : reads) {
    if (read.element->ai == "17" || read.element->ai == "7003") last_expiry = read.at;
    const auto [there, is_new] = seen.try_emplace(read.element->ai, read.data);
    if (!is_new && there->second != read.data)
      return error(codes::carton_twice,
                   {arg_text("text", read.element->ai), arg_position(read.at)});
    if (const auto done = put(carton, to_the_minute, read, year); !done) return done.error();
  }
  if (to_the_minute && carton.expires && *to_the_minute != *carton.expires)
    return error(codes::carton_days_differ, {arg_position(last_expiry)});
  if (to_the_minute) carton.expires = to_the_minute;
  return carton;
}

/// Wedge scanners drop the separators: then a lot or a serial number goes on into the next element.
/// Every place where a whole further element could begin is tried.
std::vector<carton::Reading> other_readings(const Typed& typed, const std::vector<Read>& reads,
                                            std::int32_t year) {
  constexpr std::array<std::string_view, 5> on_cartons{"01", "10", "11", "17", "21"};
  std::vector<carton::Reading> out, of_any_length;
  const bool separated = typed.text.find(separator) != std::string::npos;
  if (reads.empty() || separated || typed.text.front() == '(') return out;
  const auto& last = reads.back();
  if (last.element->ai != "10" && last.element->ai != "21") return out;
  for (auto cut = typed.text.size() - last.data.size() + 1; cut + 2 < typed.text.size(); ++cut) {
    Typed other = typed;
    other.text.insert(cut, 1, separator);
    other.at.insert(other.at.begin() + static_cast<std::ptrdiff_t>(cut), typed.at[cut]);
    const auto* next = element_at(std::string_view(typed.text).substr(cut));
    const auto split = Splitter(other).split();
    if (next == nullptr || !split) continue;
    const auto carton = carton_of(*split, year);
    if (!carton) continue;
    // A whole day or number behind it is less of a chance than a few letters.
    (next->fixed() ? out : of_any_length)
        .push_back({carton->lot, carton->serial, carton->expires, is_one_of(on_cartons, next->ai)});
  }
  out.insert(out.end(), of_any_length.begin(), of_any_length.end());
  return out;
}

}  // namespace

char gs1_check_digit(std::string_view digits) {
  int sum = 0;
  int weight = 3;
  for (std::size_t i = digits.size(); i > 0; --i) {
    sum += (digits[i - 1] - '0') * weight;
    weight = weight == 3 ? 1 : 3;
  }
  return static_cast<char>('0' + (10 - sum % 10) % 10);
}

Result<carton::Carton> read_carton(std::string_view text, std::int32_t year) {
  if (text.size() > carton_bytes_max) {
    return error(codes::carton_long,
                 {arg_count("most", static_cast<std::int64_t>(carton_bytes_max))});
  }
  const auto typed = typed_of(text);
  if (typed.text.empty()) return error(codes::carton_empty, {});
  // A keyboard of another language makes other signs of digits: that is said, not guessed.
  if (std::ranges::none_of(typed.text, is_digit)) return error(codes::carton_letters, {});
  const bool either = could_be_short_number(typed);
  if (is_one_of(of_a_number, typed.symbology) || is_bare_number(typed) ||
      (either && element_at(typed.text) == nullptr))
    return number_alone(typed);
  const auto reads = Splitter(typed).split();
  if (!reads) return reads.error();
  auto carton = carton_of(*reads, year);
  if (!carton) return carton.error();
  // Eight digits that are a whole product number as well as an element: neither is guessed.
  if (either)
    return error(codes::carton_either,
                 {arg_text("text", typed.text), arg_position(typed.at.front())});
  carton->may_be = other_readings(typed, *reads, year);
  return carton;
}

}  // namespace penstock::gs1
