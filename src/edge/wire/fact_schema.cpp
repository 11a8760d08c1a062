// JSON Schema of the requests that record a fact, from the same lists of fields and the same rule
// for what may be left out as the reader.
#include <utility>

#include "edge/wire/fact_json.hpp"
#include "edge/wire/internal/fields.hpp"
#include "edge/wire/internal/presence.hpp"

namespace penstock::wire {
namespace {

using journal::Payload;
using json::Value;

Value typed(std::string_view type) { return json::object({{"type", json::string(type)}}); }
Value formatted(std::string_view format) {
  return json::object({{"type", json::string("string")}, {"format", json::string(format)}});
}
Value patterned(std::string_view pattern) {
  return json::object({{"type", json::string("string")}, {"pattern", json::string(pattern)}});
}
Value multiple_of(std::int64_t value, int scale) {
  return json::object(
      {{"type", json::string("number")}, {"multipleOf", json::fixed(value, scale)}});
}
Value choice(std::span<const std::string_view> names) {
  auto list = json::array();
  for (const auto name : names) json::add(list, json::string(name));
  return json::object({{"enum", std::move(list)}});
}
Value any_of(Value one, Value other) {
  auto list = json::array();
  json::add(list, std::move(one));
  json::add(list, std::move(other));
  return json::object({{"anyOf", std::move(list)}});
}

// An object's schema while its fields are walked.
struct Shape {
  Value properties = json::object();
  Value required = json::array();

  void add(std::string_view name, Value schema, bool needed) {
    json::add(properties, name, std::move(schema));
    if (needed) json::add(required, json::string(name));
  }
  Value finished() && {
    auto object = typed("object");
    json::add(object, "properties", std::move(properties));
    json::add(object, "required", std::move(required));
    json::add(object, "additionalProperties", json::boolean(false));
    return object;
  }
};

Value replacement_schema();

template <class Owner>
class FieldsSchema {
 public:
  explicit FieldsSchema(Shape& shape) : shape_(shape) {}

  template <class T>
  void operator()(std::string_view name, const T& /*value*/) {
    shape_.add(name, of<T>(), !may_be_left_out<Owner, T>(name));
  }

 private:
  template <class T>
  static Value of() {
    if constexpr (is_optional<T>) {
      return any_of(of<typename T::value_type>(), typed("null"));
    } else if constexpr (is_vector<T>) {
      return json::object(
          {{"type", json::string("array")}, {"items", of<typename T::value_type>()}});
    } else if constexpr (std::same_as<T, ReplacementPointer>) {
      return any_of(replacement_schema(), typed("null"));
    } else if constexpr (Listed<T>) {
      return listed<T>();
    } else if constexpr (std::is_enum_v<T>) {
      return choice(names_of(T{}));
    } else {
      return plain(blank<T>());
    }
  }
  template <class T>
  static Value listed() {
    Shape shape;
    FieldsSchema<T> inner(shape);
    const T value{};
    fields(inner, value);
    auto schema = std::move(shape).finished();
    if constexpr (is_shelf_copy<T>) {
      auto code = typed("string");
      json::add(code, "description", json::string("the code of an entry of the shelf"));
      return any_of(std::move(code), std::move(schema));
    }
    return schema;
  }

  static Value plain(const std::string&) { return typed("string"); }
  static Value plain(bool) { return typed("boolean"); }
  static Value plain(std::int32_t) { return typed("integer"); }
  static Value plain(Strength) { return typed("integer"); }
  static Value plain(Units) {
    auto schema = multiple_of(1, 2);
    json::add(schema, "minimum", json::count(0));
    return schema;
  }
  static Value plain(TenthsMm) { return multiple_of(1, 1); }
  static Value plain(TenthsCm) { return multiple_of(1, 1); }
  static Value plain(TenthsCelsius) { return multiple_of(1, 1); }
  static Value plain(TenthsKg) { return multiple_of(1, 1); }
  static Value plain(Glucose) {
    static constexpr std::string_view units[] = {"mmol/L", "mg/dL"};
    Shape shape;
    shape.add("value", multiple_of(1, 1), true);
    shape.add("unit", choice(units), true);
    return std::move(shape).finished();
  }
  static Value plain(const Id&) { return patterned("^[0-9a-fA-F]{32}$"); }
  static Value plain(LocalDay) { return formatted("date"); }
  static Value plain(MinuteOfDay) { return patterned("^([01][0-9]|2[0-3]):[0-5][0-9]$"); }
  static Value plain(const When&) { return formatted("date-time"); }

  Shape& shape_;
};

Value id_schema() { return patterned("^[0-9a-fA-F]{32}$"); }

template <std::size_t I>
void add_kind(Shape& shape) {
  using Kind = std::variant_alternative_t<I, Payload>;
  shape.add("what", json::object({{"const", json::string(Kind::name)}}), true);
  FieldsSchema<Kind> visit(shape);
  const Kind value{};
  fields(visit, value);
}

template <std::size_t I>
Value request_schema() {
  Shape shape;
  shape.add("id", id_schema(), false);
  shape.add("journal", id_schema(), false);
  shape.add("happened", formatted("date-time"), false);
  shape.add("sequence", typed("integer"), false);
  shape.add("told_by", typed("string"), false);
  shape.add("source", typed("string"), false);
  add_kind<I>(shape);
  return std::move(shape).finished();
}

// What a correction puts in a fact's place: any kind but a correction.
Value replacement_schema() {
  auto list = json::array();
  [&list]<std::size_t... I>(std::index_sequence<I...>) {
    const auto one = [&list]<std::size_t Index>(std::integral_constant<std::size_t, Index>) {
      using Kind = std::variant_alternative_t<Index, Payload>;
      if constexpr (!std::same_as<Kind, journal::Correction>) {
        Shape shape;
        shape.add("happened", formatted("date-time"), true);
        shape.add("sequence", typed("integer"), false);
        add_kind<Index>(shape);
        json::add(list, std::move(shape).finished());
      }
    };
    (one(std::integral_constant<std::size_t, I>{}), ...);
  }(std::make_index_sequence<std::variant_size_v<Payload>>{});
  return json::object({{"oneOf", std::move(list)}});
}

template <std::size_t... I>
Value schema_at(std::size_t index, std::index_sequence<I...>) {
  using Make = Value (*)();
  static constexpr Make makers[] = {&request_schema<I>...};
  return makers[index]();
}

Value headed(std::string_view title, Value schema) {
  auto object =
      json::object({{"$schema", json::string("https://json-schema.org/draft/2020-12/schema")},
                    {"title", json::string(title)}});
  for (auto& member : schema.members) json::add(object, member.key, std::move(member.value));
  return object;
}

constexpr auto kind_indexes = std::make_index_sequence<std::variant_size_v<Payload>>{};

}  // namespace

std::optional<Value> kind_schema(std::string_view kind) {
  const auto* info = journal::kind_of_name(kind);
  if (info == nullptr) return std::nullopt;
  return headed(kind, schema_at(info->index, kind_indexes));
}

Value fact_schema() {
  auto list = json::array();
  for (const auto& info : journal::kinds) json::add(list, schema_at(info.index, kind_indexes));
  return headed("fact", json::object({{"oneOf", std::move(list)}}));
}

}  // namespace penstock::wire
