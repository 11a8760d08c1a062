#include "edge/wire/fact_json.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "core/units/utf8.hpp"
#include "edge/wire/internal/fields.hpp"
#include "edge/wire/internal/presence.hpp"

namespace penstock::wire {
namespace {

using journal::Fact;
using journal::KindInfo;
using journal::Payload;
using journal::Replacement;
using json::Reader;
using json::Value;

// ---- values to JSON

class FieldsOut {
 public:
  explicit FieldsOut(Value& object) : object_(object) {}

  template <class T>
  void operator()(std::string_view name, const T& value) {
    if (!is_empty(value)) json::add(object_, name, made(value));
  }

  static void payload(Value& object, const Payload& payload) {
    json::add(object, "what", json::string(journal::name_of(payload)));
    FieldsOut out(object);
    std::visit([&out](const auto& kind) { fields(out, kind); }, payload);
  }

 private:
  template <class T>
  static bool is_empty(const T& value) {
    if constexpr (is_optional<T>) {
      return !value.has_value();
    } else if constexpr (is_vector<T> || std::same_as<T, std::string>) {
      return value.empty();
    } else {
      return false;
    }
  }
  static bool is_empty(const ReplacementPointer& replacement) { return replacement == nullptr; }

  static Value made(const std::string& text) { return json::string(text); }
  static Value made(bool flag) { return json::boolean(flag); }
  static Value made(std::int32_t number) { return json::count(number); }
  static Value made(std::uint32_t number) { return json::count(number); }
  static Value made(Strength strength) { return json::count(strength.units_per_ml); }
  static Value made(Glucose glucose) {
    const bool mmol = glucose.unit == GlucoseUnit::mmol_l;
    return json::object({{"value", json::fixed(glucose.value, mmol ? 1 : 0)},
                         {"unit", json::string(mmol ? "mmol/L" : "mg/dL")}});
  }
  static Value made(Units value) { return json::number(value); }
  static Value made(TenthsMm value) { return json::number(value); }
  static Value made(TenthsCm value) { return json::number(value); }
  static Value made(TenthsCelsius value) { return json::number(value); }
  static Value made(TenthsKg value) { return json::number(value); }
  static Value made(const Id& value) { return json::string(value); }
  static Value made(LocalDay value) { return json::string(value); }
  static Value made(MinuteOfDay value) { return json::string(value); }
  static Value made(const When& value) { return json::string(value); }
  static Value made(Instant value) { return json::string(value); }
  template <class E>
    requires std::is_enum_v<E>
  static Value made(E value) {
    return json::string(names_of(value)[static_cast<std::size_t>(value)]);
  }
  template <class T>
  static Value made(const std::optional<T>& value) {
    return made(*value);
  }
  template <class T>
  static Value made(const std::vector<T>& values) {
    auto list = json::array();
    for (const auto& value : values) json::add(list, made(value));
    return list;
  }
  static Value made(const ReplacementPointer& replacement) {
    auto object = json::object({{"happened", json::string(replacement->happened)},
                                {"sequence", json::count(replacement->sequence)}});
    payload(object, replacement->payload);
    return object;
  }
  template <Listed T>
  static Value made(const T& value) {
    auto object = json::object();
    FieldsOut out(object);
    fields(out, value);
    return object;
  }

  Value& object_;
};

// ---- JSON to values

Error invalid(std::string_view code, std::vector<Arg> args, std::string_view at) {
  return {Kind::invalid_input, std::string(code), std::move(args), std::string(at)};
}

template <class Owner>
class FieldsIn {
 public:
  FieldsIn(Reader& reader, const shelf::Shelf* shelf) : reader_(reader), shelf_(shelf) {}

  template <class T>
  void operator()(std::string_view name, T& value) {
    const auto* member =
        may_be_left_out<Owner, T>(name) ? reader_.may_raw(name) : reader_.need_raw(name);
    if (member != nullptr) reader_.keep(read(*member, reader_.at(name), value));
  }

 private:
  template <class T>
  Result<void> read(const Value& value, std::string_view at, T& into) {
    if constexpr (Listed<T>) {
      if constexpr (is_shelf_copy<T>) {
        if (shelf_ != nullptr && value.type == json::Type::string) {
          return from_shelf(value.text, at, into);
        }
      }
      Reader reader(value, at);
      FieldsIn<T> in(reader, shelf_);
      fields(in, into);
      return reader.done();
    } else {
      return json::get(value, at, into);
    }
  }
  template <class T>
  Result<void> read(const Value& value, std::string_view at, std::optional<T>& into) {
    into.reset();
    if (value.type == json::Type::null) return {};
    return read(value, at, into.emplace(blank<T>()));
  }
  template <class T>
  Result<void> read(const Value& value, std::string_view at, std::vector<T>& into) {
    if (value.type != json::Type::array) return json::type_error(at, "type.list");
    for (const auto& item : value.members) {
      const auto place = json::pointer(at, into.size());
      const auto done = read(item.value, place, into.emplace_back(blank<T>()));
      if (!done) return done;
    }
    return {};
  }
  Result<void> read(const Value& value, std::string_view at, ReplacementPointer& into);

  Result<void> from_shelf(std::string_view code, std::string_view at, shelf::Pen& into) {
    return from_entry(shelf_->pen(code), code, at, into);
  }
  Result<void> from_shelf(std::string_view code, std::string_view at, shelf::Insulin& into) {
    return from_entry(shelf_->insulin(code), code, at, into);
  }
  template <class Thing>
  static Result<void> from_entry(const shelf::Entry<Thing>* entry, std::string_view code,
                                 std::string_view at, Thing& into) {
    if (entry == nullptr) {
      return invalid(codes::shelf_code_unknown, {arg_text("text", shortened(code))}, at);
    }
    into = entry->thing;
    return {};
  }

  Reader& reader_;
  const shelf::Shelf* shelf_;
};

enum class Nesting : std::uint8_t { outermost, replacement };

// "what", then the kind's own fields out of the same object. Without a kind those have no names,
// and "unknown field" would say nothing: false.
bool read_payload(Reader& reader, const shelf::Shelf* shelf, Nesting nesting, Payload& into) {
  using Read = void (*)(Reader&, const shelf::Shelf*, Payload&);
  static constexpr auto readers = []<std::size_t... I>(std::index_sequence<I...>) {
    return std::array<Read, sizeof...(I)>{
        [](Reader& from, const shelf::Shelf* things, Payload& payload) {
          FieldsIn<std::variant_alternative_t<I, Payload>> in(from, things);
          fields(in, payload.emplace<I>());
        }...};
  }(std::make_index_sequence<std::variant_size_v<Payload>>{});

  std::string what;
  reader.need("what", what);
  const auto* kind = journal::kind_of_name(what);
  if (reader.failed() && kind == nullptr) return false;
  if (kind == nullptr) {
    std::string allowed;
    for (const auto& one : journal::kinds) {
      allowed += (allowed.empty() ? "" : ", ") + std::string(one.name);
    }
    reader.fail(invalid(codes::kind_unknown,
                        {arg_text("text", shortened(what)), arg_text("allowed", allowed)},
                        reader.at("what")));
    return false;
  }
  if (nesting == Nesting::replacement && kind->type == journal::Correction::type) {
    reader.fail(invalid(codes::correction_nested, {}, reader.at("what")));
    return false;
  }
  readers[kind->index](reader, shelf, into);
  return true;
}

Result<void> finished(Reader& reader, bool all_asked) {
  return all_asked ? reader.done() : reader.done_so_far();
}

template <class Owner>
Result<void> FieldsIn<Owner>::read(const Value& value, std::string_view at,
                                   ReplacementPointer& into) {
  into.reset();
  if (value.type == json::Type::null) return {};
  auto replacement = std::make_shared<Replacement>();
  Reader reader(value, at);
  reader.need("happened", replacement->happened);
  reader.may("sequence", replacement->sequence);
  const bool all = read_payload(reader, shelf_, Nesting::replacement, replacement->payload);
  if (auto done = finished(reader, all); !done) return done;
  into = std::move(replacement);
  return {};
}

}  // namespace

json::Value to_json(const Fact& fact) {
  auto object = json::object();
  FieldsOut out(object);
  fields(out, fact);
  FieldsOut::payload(object, fact.payload);
  return object;
}

json::Value payload_to_json(const Payload& payload) {
  auto object = json::object();
  FieldsOut::payload(object, payload);
  return object;
}

Result<Fact> fact_from_json(const Value& value, std::string_view at) {
  Fact fact;
  Reader reader(value, at);
  reader.need("id", fact.id);
  reader.need("journal", fact.journal);
  reader.need("happened", fact.happened);
  reader.need("sequence", fact.sequence);
  reader.need("recorded", fact.recorded);
  reader.may("author", fact.author);
  reader.may("told_by", fact.told_by);
  reader.may("source", fact.source);
  const bool all = read_payload(reader, nullptr, Nesting::outermost, fact.payload);
  if (auto done = finished(reader, all); !done) return done.error();
  return fact;
}

Result<Draft> draft_from_json(const Value& value, const shelf::Shelf* shelf, std::string_view at) {
  Draft draft;
  Reader reader(value, at);
  reader.may("id", draft.id);
  reader.may("journal", draft.journal);
  reader.may("happened", draft.happened);
  reader.may("sequence", draft.sequence);
  reader.may("told_by", draft.told_by);
  reader.may("source", draft.source);
  const bool all = read_payload(reader, shelf, Nesting::outermost, draft.payload);
  if (auto done = finished(reader, all); !done) return done.error();
  return draft;
}

}  // namespace penstock::wire
