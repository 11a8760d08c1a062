// JSON Schema of the requests that record a fact, from the lists that the reader and the limits
// walk. What hangs on another field or on the day of recording is not in it: a request that fits
// may still be refused.
#include <algorithm>
#include <utility>

#include "core/facts/list.hpp"
#include "edge/wire/fact_json.hpp"

namespace penstock::wire {
namespace {

using facts::Field;
using facts::Group;
using facts::KindInfo;
using fields::Type;
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

void add_list(Shape& shape, const Group& list);
Value replacement_schema();

// How many decimals a number of this type has in JSON.
int scale_of(Type type) {
  switch (type) {
    case Type::units:
      return 2;
    case Type::mm:
    case Type::cm:
    case Type::celsius:
    case Type::kg:
      return 1;
    default:
      return 0;
  }
}
Value number(const Field& field, const fields::Range& limits) {
  const auto scale = scale_of(field.type);
  auto schema = scale == 0 ? typed("integer") : multiple_of(1, scale);
  if (limits.why.empty()) return schema;
  // Where the least hangs on a neighbour, the neighbour may allow nothing at all.
  const auto least =
      field.least == nullptr ? limits.least : std::min<std::int64_t>(limits.least, 0);
  json::add(schema, "minimum", json::fixed(least, scale));
  json::add(schema, "maximum", json::fixed(limits.most, scale));
  return schema;
}
// In characters; the limits are in bytes, so a text that fits may still be too long.
Value text(const Field& field) {
  auto schema = typed("string");
  if (field.is_needed) json::add(schema, "minLength", json::count(1));
  const auto most = field.is_long ? facts::text_bytes_max : facts::name_bytes_max;
  if (field.judge == nullptr) json::add(schema, "maxLength", json::count(most));
  return schema;
}
Value glucose() {
  static constexpr std::string_view units[] = {"mmol/L", "mg/dL"};
  Shape shape;
  shape.add("value", multiple_of(1, 1), true);
  shape.add("unit", choice(units), true);
  return std::move(shape).finished();
}
Value group(const Group& list) {
  Shape shape;
  add_list(shape, list);
  auto schema = std::move(shape).finished();
  // A copy of the shelf's values may be named by its code.
  if (&list == &shelf::Pen::list || &list == &shelf::Insulin::list) {
    auto code = typed("string");
    json::add(code, "description", json::string("the code of an entry of the shelf"));
    return any_of(std::move(code), std::move(schema));
  }
  return schema;
}

Value one(const Field& field, const fields::Range& limits) {
  switch (field.type) {
    case Type::flag:
      return typed("boolean");
    case Type::count:
    case Type::strength:
    case Type::sequence:
    case Type::units:
    case Type::mm:
    case Type::cm:
    case Type::celsius:
    case Type::kg:
      return number(field, limits);
    case Type::day:
      return formatted("date");
    case Type::minute:
      return patterned("^([01][0-9]|2[0-3]):[0-5][0-9]$");
    case Type::choice:
      return choice(field.words);
    case Type::text:
      return text(field);
    case Type::id:
      return patterned("^[0-9a-fA-F]{32}$");
    case Type::glucose:
      return glucose();
    case Type::when:
    case Type::instant:
      return formatted("date-time");
    case Type::group:
      return group(*field.group);
    case Type::fact:
      return any_of(replacement_schema(), typed("null"));
  }
  promise_broken("a type without a schema");
}

Value held(const Field& field) {
  if (field.holder == nullptr) return one(field, facts::limits_of(field));
  if (!field.holder->many) return any_of(one(field, facts::limits_of(field)), typed("null"));
  auto schema = json::object(
      {{"type", json::string("array")}, {"items", one(field, facts::limits_of_item(field))}});
  if (field.hard.least > 0) json::add(schema, "minItems", json::count(field.hard.least));
  json::add(schema, "maxItems", json::count(field.hard.most));
  return schema;
}

void add_list(Shape& shape, const Group& list) {
  for (const auto& field : list.fields)
    shape.add(field.name, held(field), !field.is_optional || field.is_needed);
}

void add_kind(Shape& shape, const KindInfo& kind) {
  shape.add("what", json::object({{"const", json::string(kind.name)}}), true);
  add_list(shape, kind);
}

Value request_schema(const KindInfo& kind) {
  const auto id = [] { return patterned("^[0-9a-fA-F]{32}$"); };
  Shape shape;
  shape.add("id", id(), false);
  shape.add("journal", id(), false);
  shape.add("happened", formatted("date-time"), false);
  shape.add("sequence", typed("integer"), false);
  shape.add("told_by", typed("string"), false);
  shape.add("source", typed("string"), false);
  add_kind(shape, kind);
  return std::move(shape).finished();
}

// What a correction puts in a fact's place: any kind but a correction.
Value replacement_schema() {
  auto list = json::array();
  for (const auto& kind : facts::kinds) {
    if (kind.type == facts::Correction::type) continue;
    Shape shape;
    shape.add("happened", formatted("date-time"), true);
    shape.add("sequence", typed("integer"), false);
    add_kind(shape, kind);
    json::add(list, std::move(shape).finished());
  }
  return json::object({{"oneOf", std::move(list)}});
}

Value headed(std::string_view title, Value schema) {
  auto object =
      json::object({{"$schema", json::string("https://json-schema.org/draft/2020-12/schema")},
                    {"title", json::string(title)}});
  for (auto& member : schema.members) json::add(object, member.key, std::move(member.value));
  return object;
}

}  // namespace

std::optional<Value> kind_schema(std::string_view kind) {
  const auto* info = facts::kind_of_name(kind);
  if (info == nullptr) return std::nullopt;
  return headed(kind, request_schema(*info));
}

Value fact_schema() {
  auto list = json::array();
  for (const auto& kind : facts::kinds) json::add(list, request_schema(kind));
  return headed("fact", json::object({{"oneOf", std::move(list)}}));
}

}  // namespace penstock::wire
