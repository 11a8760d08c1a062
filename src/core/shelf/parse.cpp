// data/shelf/*.tsv to values: one row a figure, so that every figure has its source beside it.
#include <algorithm>
#include <limits>
#include <map>
#include <utility>

#include "core/fields/fields.hpp"
#include "core/shelf/shelf.hpp"
#include "core/units/units.hpp"

namespace penstock::shelf {
namespace {

constexpr std::string_view header = "thing\tcode\tfield\tvalue\tsource\tknown";
constexpr std::size_t columns = 6;

struct Row {
  std::string_view thing, code, field, value, source, known;
};

Error wrong(std::string_view code, std::vector<Arg> args) {
  return {Kind::invalid_input, std::string(code), std::move(args), {}};
}

std::string joined(std::span<const std::string_view> names) {
  std::string out;
  for (const auto name : names) out.append(out.empty() ? "" : ", ").append(name);
  return out;
}

// ---- one value from its text

/// Sets the field that the row names; an error says what could not be read.
class Setter {
 public:
  explicit Setter(const Row& row) : row_(row) {}

  std::optional<Error> set(const fields::Group& list, void* thing) && {
    const auto* field = list.find(row_.field);
    if (field == nullptr) return wrong(codes::field_unknown, {arg_text("field", row_.field)});
    auto* value = field->in(thing);
    // "unknown" is said, not left out: nothing is assumed from silence.
    if (field->holder != nullptr && row_.value == "unknown") return std::nullopt;
    set(*field, field->holder == nullptr ? value : field->holder->grow(value));
    return std::move(wrong_);
  }

 private:
  void refuse(std::string_view allowed) {
    wrong_ = wrong(codes::value_form, {arg_code("field", row_.field), arg_text("text", row_.value),
                                       arg_text("allowed", allowed)});
  }
  std::int64_t fixed(int decimals) {
    const auto value = parse_fixed(row_.value, decimals);
    constexpr std::int64_t most = std::numeric_limits<std::int32_t>::max();
    if (!value || *value > most || *value < -most) {
      refuse("");
      return 0;
    }
    return *value;
  }
  std::int32_t small(int decimals) { return static_cast<std::int32_t>(fixed(decimals)); }

  void set(const fields::Field& field, void* value) {
    using fields::Type;
    switch (field.type) {
      case Type::text:
        fields::as<std::string>(value) = row_.value;
        return;
      case Type::flag:
        fields::as<bool>(value) = row_.value == "yes";
        if (row_.value != "yes" && row_.value != "no") refuse("yes, no");
        return;
      case Type::units:
        if (const auto units = parse_units(row_.value)) {
          fields::as<Units>(value) = *units;
        } else {
          refuse("");
        }
        return;
      case Type::count:
        fields::as<std::int32_t>(value) = small(0);
        return;
      case Type::strength:
        fields::as<Strength>(value).units_per_ml = small(0);
        return;
      case Type::mm:
        fields::as<TenthsMm>(value).tenths = small(1);
        return;
      case Type::celsius:
        fields::as<TenthsCelsius>(value).tenths = small(1);
        return;
      case Type::choice:
        return choose(field.words, fields::as<std::uint8_t>(value));
      default:
        promise_broken("a thing of the shelf has a figure that no row can say");
    }
  }
  void choose(std::span<const std::string_view> words, std::uint8_t& value) {
    const auto found = std::ranges::find(words, row_.value);
    if (found == words.end()) return refuse(joined(words));
    value = static_cast<std::uint8_t>(found - words.begin());
  }

  const Row& row_;
  std::optional<Error> wrong_;
};

/// The first field of a thing for which there was no row; empty: none.
std::string_view first_missing(const fields::Group& list,
                               const std::vector<FigureSource>& sources) {
  for (const auto& field : list.fields) {
    const bool needed = field.name != "least_left_to_mix_units" && field.name != "pen";
    if (needed && std::ranges::find(sources, field.name, &FigureSource::field) == sources.end())
      return field.name;
  }
  return {};
}

// ---- rows to entries

/// The entries of one kind, with the line on which each began.
template <class Thing>
class Table {
 public:
  std::optional<Error> add(const Row& row, std::int64_t line, const FigureSource& source) {
    auto [at, fresh] = positions_.try_emplace(std::string(row.code), entries_.size());
    if (fresh) {
      entries_.push_back({std::string(row.code), {}, {}});
      lines_.push_back(line);
    }
    auto& entry = entries_[at->second];
    if (std::ranges::find(entry.sources, row.field, &FigureSource::field) != entry.sources.end()) {
      return wrong(codes::field_twice, {arg_text("field", row.field)});
    }
    if (auto error = Setter(row).set(Thing::list, &entry.thing)) return error;
    entry.sources.push_back(source);
    return std::nullopt;
  }
  /// Whole entries, each within its limits.
  template <class Check>
  Result<std::vector<Entry<Thing>>> finish(const Check& check) {
    for (std::size_t n = 0; n < entries_.size(); ++n) {
      auto& entry = entries_[n];
      if (const auto missing = first_missing(Thing::list, entry.sources); !missing.empty()) {
        return located(wrong(codes::field_missing, {arg_code("field", missing)}), at(n));
      }
      auto thing = check(entry.thing);
      if (!thing) return located(std::move(thing.error()), at(n));
    }
    return std::move(entries_);
  }
  std::string at(std::size_t entry) const { return std::to_string(lines_[entry]); }

 private:
  std::vector<Entry<Thing>> entries_;
  std::vector<std::int64_t> lines_;
  std::map<std::string, std::size_t, std::less<>> positions_;
};

std::optional<Row> split(std::string_view line) {
  std::array<std::string_view, columns> cells;
  for (std::size_t n = 0; n < columns; ++n) {
    const auto tab = line.find('\t');
    if ((tab == std::string_view::npos) != (n + 1 == columns)) return std::nullopt;
    cells[n] = line.substr(0, tab);
    if (n + 1 < columns) line.remove_prefix(tab + 1);
  }
  return Row{cells[0], cells[1], cells[2], cells[3], cells[4], cells[5]};
}

Result<FigureSource> source_of(const Row& row) {
  const auto found = std::ranges::find(known_names, row.known);
  if (found == known_names.end()) {
    return wrong(codes::known_form,
                 {arg_text("text", row.known), arg_text("allowed", joined(known_names))});
  }
  const auto known = static_cast<Known>(found - known_names.begin());
  const bool says_itself = known == Known::common_practice || known == Known::clinic;
  if (is_blank(row.source) && !says_itself) {
    return wrong(codes::source_missing, {arg_code("field", row.field)});
  }
  return FigureSource{std::string(row.field), std::string(row.source), known};
}

class Parser {
 public:
  std::optional<Error> line(std::string_view text, std::int64_t number) {
    if (text.empty() || text.front() == '#' || text == header) return std::nullopt;
    const auto row = is_plain_text(text, Lines::many) ? split(text) : std::nullopt;
    if (!row) return wrong(codes::row_form, {});
    if (auto code = checked_code(std::string(row->code)); !code) return std::move(code.error());
    auto source = source_of(*row);
    if (!source) return std::move(source.error());
    if (row->thing == "insulin") return insulins_.add(*row, number, *source);
    if (row->thing == "cartridge") return cartridges_.add(*row, number, *source);
    if (row->thing == "pen") return pens_.add(*row, number, *source);
    if (row->thing == "needle") return needles_.add(*row, number, *source);
    return wrong(codes::row_form, {arg_text("text", row->thing)});
  }

  Result<Shelf> finish() {
    const auto check = [](auto thing) { return checked(std::move(thing)); };
    auto insulins = insulins_.finish(check);
    if (!insulins) return std::move(insulins.error());
    auto pens = pens_.finish(check);
    if (!pens) return std::move(pens.error());
    auto needles = needles_.finish(check);
    if (!needles) return std::move(needles.error());
    Shelf shelf{std::move(*insulins), {}, std::move(*pens), std::move(*needles)};
    // Cartridges name insulins and pens, in whatever order the rows came.
    auto cartridges =
        cartridges_.finish([&](const Cartridge& cartridge) { return checked(cartridge, shelf); });
    if (!cartridges) return std::move(cartridges.error());
    shelf.cartridges = std::move(*cartridges);
    return shelf;
  }

 private:
  Table<Insulin> insulins_;
  Table<Cartridge> cartridges_;
  Table<Pen> pens_;
  Table<Needle> needles_;
};

}  // namespace

Result<Shelf> parse_shelf(std::string_view text) {
  Parser parser;
  for (std::int64_t number = 1; !text.empty(); ++number) {
    const auto end = text.find('\n');
    auto line = text.substr(0, end);
    if (line.ends_with('\r')) line.remove_suffix(1);
    if (auto error = parser.line(line, number)) {
      return located(std::move(*error), std::to_string(number));
    }
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
  }
  return parser.finish();
}

}  // namespace penstock::shelf
