#include "edge/json/json.hpp"

#include <algorithm>
#include <charconv>
#include <limits>
#include <nlohmann/json.hpp>

#include "core/units/utf8.hpp"

namespace penstock::json {
namespace {

Error invalid(std::string_view code, std::vector<Arg> args, std::string_view at) {
  return {Kind::invalid_input, std::string(code), std::move(args), std::string(at)};
}

// The last part of a pointer: the name by which a person knows the field.
std::string_view field_of(std::string_view at) {
  const auto slash = at.rfind('/');
  return slash == std::string_view::npos ? at : at.substr(slash + 1);
}

// ---- reading: nlohmann's parser calls, we build the tree

class Builder {
 public:
  explicit Builder(const Limits& limits, std::string_view bytes) : limits_(limits), bytes_(bytes) {}

  bool null() { return leaf({}); }
  bool boolean(bool flag) { return leaf(json::boolean(flag)); }
  bool number_integer(std::int64_t number) { return leaf(digits(std::to_string(number))); }
  bool number_unsigned(std::uint64_t number) { return leaf(digits(std::to_string(number))); }
  bool number_float(double /*rounded*/, const std::string& text) { return leaf(digits(text)); }
  bool string(const std::string& text) { return leaf(json::string(text)); }
  bool binary(const std::vector<std::uint8_t>& /*bytes*/) { return false; }  // JSON has none
  bool start_object(std::size_t /*unknown*/) { return open(Type::object); }
  bool start_array(std::size_t /*unknown*/) { return open(Type::array); }
  bool end_array() { return close(); }
  bool end_object() {
    const auto twice = repeated_key(*open_.back());
    if (twice.empty()) return close();
    return fail(invalid(codes::duplicate, {arg_text("field", shortened(twice))},
                        pointer(place(open_.size() - 1), twice)));
  }
  bool key(const std::string& name) {
    key_ = name;
    return true;
  }
  bool parse_error(std::size_t position, const std::string& /*token*/,
                   const nlohmann::json::exception& problem) {
    constexpr int number_overflow = 406;  // nlohmann's number for 1e999
    if (problem.id == number_overflow) {
      return fail(invalid(units_codes::number_range, {arg_text("text", "1e…")}, next_place()));
    }
    // The parser counts the bytes it has read; the last of them is the one that it did not expect.
    const auto byte = position == 0 ? 0 : std::min(position - 1, bytes_.size());
    return fail(error_at_byte(complete_ ? codes::trailing : codes::syntax, byte));
  }

  Error error_at_byte(std::string_view code, std::size_t byte) const {
    const auto before = bytes_.substr(0, byte);
    const auto line = 1 + std::ranges::count(before, '\n');
    const auto start = before.rfind('\n');
    const auto column = byte - (start == std::string_view::npos ? 0 : start + 1) + 1;
    return invalid(code,
                   {arg_count("byte", static_cast<std::int64_t>(byte)), arg_count("line", line),
                    arg_count("column", static_cast<std::int64_t>(column))},
                   std::to_string(line));
  }

  Value root;
  std::optional<Error> error;

 private:
  static Value digits(std::string text) {
    Value value;
    value.type = Type::number;
    value.text = std::move(text);
    return value;
  }

  static std::string repeated_key(const Value& object) {
    std::vector<std::string_view> keys;
    keys.reserve(object.members.size());
    for (const auto& member : object.members) keys.emplace_back(member.key);
    std::ranges::sort(keys);
    const auto twice = std::ranges::adjacent_find(keys);
    return twice == keys.end() ? std::string{} : std::string(*twice);
  }

  // The pointer of the container on a level of the stack.
  std::string place(std::size_t level) const {
    std::string at;
    for (std::size_t i = 0; i < level; ++i) {
      const auto& parent = *open_[i];
      at = parent.type == Type::object ? pointer(at, parent.members.back().key)
                                       : pointer(at, parent.members.size() - 1);
    }
    return at;
  }
  std::string next_place() const {
    if (open_.empty()) return "";
    const auto at = place(open_.size() - 1);
    const auto& parent = *open_.back();
    return parent.type == Type::object ? pointer(at, key_) : pointer(at, parent.members.size());
  }

  bool fail(Error problem) {
    error = std::move(problem);
    return false;
  }

  Value* put(Value value) {
    if (open_.empty()) {
      root = std::move(value);
      return &root;
    }
    auto& parent = *open_.back();
    parent.members.push_back(
        {parent.type == Type::object ? std::move(key_) : std::string{}, std::move(value)});
    return &parent.members.back().value;
  }

  bool counted() {
    if (++values_ <= limits_.values_max) return true;
    return fail(invalid(codes::too_many,
                        {arg_count("most", static_cast<std::int64_t>(limits_.values_max))},
                        next_place()));
  }

  bool leaf(Value value) {
    if (!counted()) return false;
    put(std::move(value));
    complete_ = open_.empty();
    return true;
  }
  bool open(Type type) {
    if (!counted()) return false;
    if (static_cast<int>(open_.size()) >= limits_.depth_max) {
      return fail(invalid(codes::deep, {arg_count("most", limits_.depth_max)}, next_place()));
    }
    Value container;
    container.type = type;
    open_.push_back(put(std::move(container)));
    return true;
  }
  bool close() {
    open_.pop_back();
    complete_ = open_.empty();
    return true;
  }

  const Limits& limits_;
  std::string_view bytes_;
  std::vector<Value*> open_;
  std::string key_;
  std::size_t values_ = 0;
  bool complete_ = false;
};

// ---- writing

void write_string(std::string_view text, std::string& out) {
  constexpr std::string_view digits = "0123456789abcdef";
  out += '"';
  for (std::size_t at = 0; at < text.size();) {
    const auto length = utf8_length(text, at);
    const auto byte = static_cast<unsigned char>(text[at]);
    if (length == 0) {
      out += "\xEF\xBF\xBD";  // what is no character is shown as one that says so
    } else if (byte == '"' || byte == '\\') {
      out += '\\';
      out += text[at];
    } else if (byte == '\n') {
      out += "\\n";
    } else if (byte == '\t') {
      out += "\\t";
    } else if (byte == '\r') {
      out += "\\r";
    } else if (byte < 0x20 || byte == 0x7F) {
      out += "\\u00";
      out += digits[byte >> 4U];
      out += digits[byte & 15U];
    } else {
      out += text.substr(at, length);
    }
    at += std::max<std::size_t>(length, 1);
  }
  out += '"';
}

void line_break(Layout layout, int depth, std::string& out) {
  if (layout == Layout::compact) return;
  out += '\n';
  out.append(static_cast<std::size_t>(depth) * 2, ' ');
}

bool is_plain(const Value& value) { return value.type < Type::array || value.members.empty(); }

// A small object of plain members stays on one line: a row of a list is easier to read that way.
bool fits_a_line(const Value& value) {
  constexpr std::size_t members_max = 6;
  return value.members.size() <= members_max &&
         std::ranges::all_of(value.members, [](const Member& m) { return is_plain(m.value); });
}

void write(const Value& value, Layout layout, int depth, std::string& out);

void write_members(const Value& value, Layout layout, int depth, std::string& out) {
  const bool is_object = value.type == Type::object;
  const bool one_line = layout == Layout::indented && depth > 0 && fits_a_line(value);
  out += is_object ? '{' : '[';
  bool first = true;
  for (const auto& member : value.members) {
    if (!first) out += one_line ? ", " : ",";
    first = false;
    if (!one_line) line_break(layout, depth + 1, out);
    if (is_object) {
      write_string(member.key, out);
      out += layout == Layout::indented ? ": " : ":";
    }
    write(member.value, layout, depth + 1, out);
  }
  if (!one_line && !value.members.empty()) line_break(layout, depth, out);
  out += is_object ? '}' : ']';
}

void write(const Value& value, Layout layout, int depth, std::string& out) {
  switch (value.type) {
    case Type::null:
      out += "null";
      return;
    case Type::boolean:
      out += value.flag ? "true" : "false";
      return;
    case Type::number:
      out += value.text;
      return;
    case Type::string:
      write_string(value.text, out);
      return;
    case Type::array:
    case Type::object:
      write_members(value, layout, depth, out);
      return;
  }
}

Value number_text(std::string text) {
  Value value;
  value.type = Type::number;
  value.text = std::move(text);
  return value;
}

}  // namespace

// ---- making values

const Value* Value::find(std::string_view key) const {
  if (type != Type::object) return nullptr;
  const auto found = std::ranges::find(members, key, &Member::key);
  return found == members.end() ? nullptr : &found->value;
}

Value boolean(bool flag) {
  Value value;
  value.type = Type::boolean;
  value.flag = flag;
  return value;
}
Value string(std::string_view text) {
  Value value;
  value.type = Type::string;
  value.text = std::string(text);
  return value;
}
Value count(std::int64_t number) { return number_text(std::to_string(number)); }
Value fixed(std::int64_t value, int scale) { return number_text(format_fixed(value, scale)); }
Value number(Units amount) { return number_text(format(amount)); }
Value number(TenthsMm length) { return fixed(length.tenths, 1); }
Value number(TenthsCm length) { return fixed(length.tenths, 1); }
Value number(TenthsCelsius celsius) { return fixed(celsius.tenths, 1); }
Value number(TenthsKg mass) { return fixed(mass.tenths, 1); }
Value string(const Id& id) { return string(to_text(id)); }
Value string(LocalDay day) { return string(format_iso(day)); }
Value string(MinuteOfDay minute) { return string(format_iso(minute)); }
Value string(const When& when) { return string(format_iso(when)); }
Value string(Instant instant) {
  auto text = format_iso(When{instant, 0});
  if (text.ends_with("+00:00")) text.replace(text.size() - 6, 6, "Z");
  return string(text);
}
Value::Value() = default;
Value::Value(const Value& other) = default;
Value::Value(Value&& other) noexcept = default;
Value& Value::operator=(const Value& other) = default;
Value& Value::operator=(Value&& other) noexcept = default;
Value::~Value() = default;
bool operator==(const Value& a, const Value& b) {
  return a.type == b.type && a.flag == b.flag && a.text == b.text && a.members == b.members;
}
Member::Member(std::string_view its_key, Value its_value)
    : key(its_key), value(std::move(its_value)) {}
Member::Member(const Member& other) = default;
Member::Member(Member&& other) noexcept = default;
Member& Member::operator=(const Member& other) = default;
Member& Member::operator=(Member&& other) noexcept = default;
Member::~Member() = default;
bool operator==(const Member& a, const Member& b) { return a.key == b.key && a.value == b.value; }

Value object(std::vector<Member> members) {
  Value value;
  value.type = Type::object;
  value.members = std::move(members);
  return value;
}
Value array(std::vector<Value> items) {
  Value value;
  value.type = Type::array;
  value.members.reserve(items.size());
  for (auto& item : items) value.members.push_back({"", std::move(item)});
  return value;
}
void add(Value& object, std::string_view key, Value value) {
  INVARIANT(object.type == Type::object);
  object.members.push_back({std::string(key), std::move(value)});
}
void add(Value& array, Value item) {
  INVARIANT(array.type == Type::array);
  array.members.push_back({"", std::move(item)});
}

std::string to_text(const Value& value, Layout layout) {
  std::string out;
  write(value, layout, 0, out);
  if (layout == Layout::indented) out += '\n';
  return out;
}

// ---- reading

std::string pointer(std::string_view at, std::string_view key) {
  constexpr std::size_t key_bytes_max = 120;  // a hostile key shall not fill the answer
  std::string out(at);
  out += '/';
  for (const char c : shortened(key, key_bytes_max)) {
    if (c == '~') {
      out += "~0";
    } else if (c == '/') {
      out += "~1";
    } else {
      out += c;
    }
  }
  return out;
}
std::string pointer(std::string_view at, std::size_t index) {
  return std::string(at) + "/" + std::to_string(index);
}

Result<Value> parse(std::string_view bytes, const Limits& limits) {
  if (bytes.size() > limits.bytes_max) {
    return invalid(codes::too_large,
                   {arg_count("most", static_cast<std::int64_t>(limits.bytes_max))}, "");
  }
  if (bytes.starts_with(utf8_byte_order_mark)) return invalid(codes::byte_order_mark, {}, "1");
  Builder builder(limits, bytes);
  if (const auto bad = first_bad_utf8(bytes)) return builder.error_at_byte(codes::encoding, *bad);
  const bool read = nlohmann::json::sax_parse(bytes.begin(), bytes.end(), &builder);
  if (builder.error) return *std::move(builder.error);
  if (!read) return builder.error_at_byte(codes::syntax, 0);
  return std::move(builder.root);
}

Error type_error(std::string_view at, std::string_view expected) {
  return invalid(codes::field_type,
                 {arg_text("field", field_of(at)), arg_code("expected", expected)}, at);
}

Result<std::string> text_of(const Value& value, std::string_view at) {
  if (value.type != Type::string) return type_error(at, "type.text");
  return value.text;
}

Result<bool> bool_of(const Value& value, std::string_view at) {
  if (value.type != Type::boolean) return type_error(at, "type.boolean");
  return value.flag;
}

Result<std::int64_t> fixed_of(const Value& value, int decimals, std::string_view at) {
  if (value.type != Type::number) return type_error(at, "type.number");
  const auto read = parse_fixed(value.text, decimals);
  if (!read) return located(read.error(), at);
  return *read;
}

Result<std::int64_t> count_of(const Value& value, std::int64_t least, std::int64_t most,
                              std::string_view at) {
  if (value.type != Type::number) return type_error(at, "type.whole");
  const auto read = parse_fixed(value.text, 0);
  if (!read) return located(read.error(), at);
  if (*read < least || *read > most) {
    return invalid(
        codes::field_range,
        {arg_text("field", field_of(at)), arg_count("least", least), arg_count("most", most)}, at);
  }
  return *read;
}

Result<Units> units_of(const Value& value, std::string_view at) {
  if (value.type != Type::number) return type_error(at, "type.number");
  const auto read = parse_units(value.text);
  if (!read) return located(read.error(), at);
  return *read;
}

namespace {

// A text that `read` turns into a value.
template <class Read>
auto parsed(const Value& value, std::string_view at, std::string_view expected, Read read)
    -> decltype(read(std::string_view{})) {
  if (value.type != Type::string) return type_error(at, expected);
  auto result = read(value.text);
  if (!result) return located(result.error(), at);
  return result;
}

// An integer of 10^-decimals into a field of 32 bits.
Result<void> get_tenths(const Value& value, std::string_view at, std::int32_t& into) {
  const auto read = fixed_of(value, 1, at);
  if (!read) return read.error();
  if (*read < std::numeric_limits<std::int32_t>::min() ||
      *read > std::numeric_limits<std::int32_t>::max()) {
    return invalid(units_codes::number_range, {arg_text("text", shortened(value.text))}, at);
  }
  into = static_cast<std::int32_t>(*read);
  return {};
}

template <class Number>
Result<void> get_whole(const Value& value, std::string_view at, Number& into) {
  const auto read =
      count_of(value, std::numeric_limits<Number>::min(), std::numeric_limits<Number>::max(), at);
  if (!read) return read.error();
  into = static_cast<Number>(*read);
  return {};
}

template <class T>
Result<void> put(const Result<T>& read, T& into) {
  if (!read) return read.error();
  into = *read;
  return {};
}

}  // namespace

Result<Id> id_of(const Value& value, std::string_view at) {
  if (value.type != Type::string) return type_error(at, "type.id");
  const auto id = parse_id(value.text);
  if (!id) {
    return invalid(codes::field_id,
                   {arg_text("field", field_of(at)), arg_text("text", shortened(value.text))}, at);
  }
  return *id;
}
Result<LocalDay> day_of(const Value& value, std::string_view at) {
  return parsed(value, at, "type.date", [](std::string_view text) { return parse_day(text); });
}
Result<MinuteOfDay> minute_of(const Value& value, std::string_view at) {
  return parsed(value, at, "type.minute", [](std::string_view text) { return parse_minute(text); });
}
Result<When> when_of(const Value& value, std::string_view at) {
  return parsed(value, at, "type.time", [](std::string_view text) { return parse_when(text); });
}

// A list that a form sends as it stood there: no choice, and no wrong one.
constexpr std::string_view nothing_chosen = "field.choice_none";  // field, allowed

Result<std::size_t> choice_of(const Value& value, std::span<const std::string_view> names,
                              std::string_view at) {
  if (value.type != Type::string) return type_error(at, "type.text");
  const auto found = std::ranges::find(names, value.text);
  if (found == names.end()) {
    std::string allowed;
    for (const auto name : names) allowed += (allowed.empty() ? "" : ", ") + std::string(name);
    if (value.text.empty())
      return invalid(nothing_chosen,
                     {arg_text("field", field_of(at)), arg_text("allowed", allowed)}, at);
    return invalid(codes::field_choice,
                   {arg_text("field", field_of(at)), arg_text("text", shortened(value.text)),
                    arg_text("allowed", allowed)},
                   at);
  }
  return static_cast<std::size_t>(found - names.begin());
}

Result<void> get(const Value& value, std::string_view at, std::string& into) {
  return put(text_of(value, at), into);
}
Result<void> get(const Value& value, std::string_view at, bool& into) {
  return put(bool_of(value, at), into);
}
Result<void> get(const Value& value, std::string_view at, std::int32_t& into) {
  return get_whole(value, at, into);
}
Result<void> get(const Value& value, std::string_view at, std::int64_t& into) {
  return get_whole(value, at, into);
}
Result<void> get(const Value& value, std::string_view at, std::uint32_t& into) {
  return get_whole(value, at, into);
}
Result<void> get(const Value& value, std::string_view at, Units& into) {
  return put(units_of(value, at), into);
}
Result<void> get(const Value& value, std::string_view at, Strength& into) {
  return get_whole(value, at, into.units_per_ml);
}
Result<void> get(const Value& value, std::string_view at, TenthsMm& into) {
  return get_tenths(value, at, into.tenths);
}
Result<void> get(const Value& value, std::string_view at, TenthsCm& into) {
  return get_tenths(value, at, into.tenths);
}
Result<void> get(const Value& value, std::string_view at, TenthsCelsius& into) {
  return get_tenths(value, at, into.tenths);
}
Result<void> get(const Value& value, std::string_view at, TenthsKg& into) {
  return get_tenths(value, at, into.tenths);
}

namespace {

// {"value": 3.1, "unit": "mmol/L"}: a number with one of two units, the first in tenths or whole as
// `decimals` says. What it may be beyond `most` is for journal::checked (H25).
struct Measured {
  std::size_t unit = 0;
  std::int32_t value = 0;
};
Result<Measured> measured_of(const Value& value, std::string_view at,
                             std::span<const std::string_view, 2> unit_names,
                             std::array<int, 2> decimals, std::int64_t most) {
  Reader read(value, at);
  std::size_t unit = 0;
  if (const auto* text = read.need_raw("unit")) {
    read.keep(put(choice_of(*text, unit_names, read.at("unit")), unit));
  }
  std::int64_t amount = 0;
  if (const auto* number = read.need_raw("value")) {
    read.keep(put(fixed_of(*number, decimals[unit], read.at("value")), amount));
    if (amount < 0 || amount > most) {
      read.fail(invalid(units_codes::number_range, {arg_text("text", shortened(number->text))},
                        read.at("value")));
    }
  }
  if (auto done = read.done(); !done) return done.error();
  return Measured{unit, static_cast<std::int32_t>(amount)};
}

}  // namespace

Result<void> get(const Value& value, std::string_view at, Glucose& into) {
  static constexpr std::array<std::string_view, 2> unit_names{"mmol/L", "mg/dL"};
  constexpr std::int64_t mg_dl_most = 2'000;  // above any meter's scale
  const auto read = measured_of(value, at, unit_names, {1, 0}, mg_dl_most);
  if (!read) return read.error();
  into = {read->unit == 0 ? GlucoseUnit::mmol_l : GlucoseUnit::mg_dl, read->value};
  return {};
}

Result<void> get(const Value& value, std::string_view at, Hba1c& into) {
  static constexpr std::array<std::string_view, 2> unit_names{"%", "mmol/mol"};
  constexpr std::int64_t tenths_most = 1'000;  // all of the haemoglobin
  const auto read = measured_of(value, at, unit_names, {1, 0}, tenths_most);
  if (!read) return read.error();
  into = {read->unit == 0 ? Hba1cUnit::ngsp_percent : Hba1cUnit::ifcc_mmol_mol, read->value};
  return {};
}

Result<void> get(const Value& value, std::string_view at, Id& into) {
  return put(id_of(value, at), into);
}
Result<void> get(const Value& value, std::string_view at, LocalDay& into) {
  return put(day_of(value, at), into);
}
Result<void> get(const Value& value, std::string_view at, MinuteOfDay& into) {
  return put(minute_of(value, at), into);
}
Result<void> get(const Value& value, std::string_view at, When& into) {
  return put(when_of(value, at), into);
}
Result<void> get(const Value& value, std::string_view at, Instant& into) {
  const auto read = when_of(value, at);
  if (!read) return read.error();
  into = read->at;
  return {};
}

// ---- Reader

Reader::Reader(const Value& value, std::string_view at) : value_(value), at_(at) {
  if (value.type != Type::object) error_ = type_error(at, "type.object");
}

void Reader::fail(Error error) {
  if (!error_) error_ = std::move(error);
}

const Value* Reader::look(std::string_view key, Presence presence) {
  asked_.emplace_back(key);
  if (failed()) return nullptr;
  const auto* member = value_.find(key);
  if (member == nullptr && presence == Presence::needed) {
    fail(invalid(codes::field_missing, {arg_text("field", key)}, at(key)));
  }
  return member;
}

const Value* Reader::need_raw(std::string_view key) { return look(key, Presence::needed); }
const Value* Reader::may_raw(std::string_view key) { return look(key, Presence::optional); }

Result<void> Reader::done_so_far() const {
  if (error_) return *error_;
  return {};
}

Result<void> Reader::done() {
  for (const auto& member : value_.members) {
    if (value_.type != Type::object || std::ranges::find(asked_, member.key) != asked_.end()) {
      continue;
    }
    std::string allowed;
    for (const auto& key : asked_) allowed += (allowed.empty() ? "" : ", ") + key;
    return invalid(codes::field_unknown,
                   {arg_text("field", shortened(member.key)), arg_text("allowed", allowed)},
                   at(member.key));
  }
  return done_so_far();
}

}  // namespace penstock::json
