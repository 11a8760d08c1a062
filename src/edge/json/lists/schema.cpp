#include <string>
#include <utility>

#include "edge/json/lists/lists.hpp"

namespace penstock::json {

using fields::Field;
using fields::Group;
using fields::Range;

namespace {

bool is_said(const Range& limits) { return limits.least <= limits.most; }

// How many decimals a number of this type has in JSON.
int decimals_of(const Field& field) {
  switch (field.type) {
    case fields::Type::units:
      return 2;
    case fields::Type::mm:
    case fields::Type::cm:
    case fields::Type::celsius:
    case fields::Type::kg:
      return 1;
    case fields::Type::own:
      return field.own->decimals;
    default:
      return 0;
  }
}

Value text(const Range& length) {
  auto schema = typed("string");
  if (!is_said(length)) return schema;
  if (length.least > 0) add(schema, "minLength", count(length.least));
  if (length.most != fields::no_most) add(schema, "maxLength", count(length.most));
  return schema;
}

Value measured(std::span<const std::string_view> units) {
  Shape shape;
  auto value = typed("number");
  add(value, "multipleOf", fixed(1, 1));
  shape.add("value", std::move(value), true);
  shape.add("unit", choice(units), true);
  return std::move(shape).finished();
}

Value glucose() {
  static constexpr std::string_view units[] = {"mmol/L", "mg/dL"};
  return measured(units);
}

Value hba1c() {
  static constexpr std::string_view units[] = {"%", "mmol/mol"};
  return measured(units);
}

Value assumed(const Field& field, std::int64_t value) {
  if (field.type == fields::Type::flag) return boolean(value != 0);
  if (field.type == fields::Type::choice) {
    return string(field.words[static_cast<std::size_t>(value)]);
  }
  return fixed(value, decimals_of(field));
}

}  // namespace

void Shape::add(std::string_view name, Value schema, bool needed) {
  json::add(properties, name, std::move(schema));
  if (needed) json::add(required, string(name));
}

Value Shape::finished() && {
  auto object = typed("object");
  json::add(object, "properties", std::move(properties));
  json::add(object, "required", std::move(required));
  json::add(object, "additionalProperties", boolean(false));
  return object;
}

Value typed(std::string_view type) { return object({{"type", string(type)}}); }
Value formatted(std::string_view format) {
  return object({{"type", string("string")}, {"format", string(format)}});
}
Value identity() {
  return patterned("^([0-9a-fA-F]{32}|[0-9a-fA-F]{8}(-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12})$");
}
Value patterned(std::string_view pattern) {
  return object({{"type", string("string")}, {"pattern", string(pattern)}});
}
Value choice(std::span<const std::string_view> names) {
  auto list = array();
  for (const auto name : names) add(list, string(name));
  return object({{"enum", std::move(list)}});
}
Value any_of(Value one, Value other) {
  auto list = array();
  add(list, std::move(one));
  add(list, std::move(other));
  return object({{"anyOf", std::move(list)}});
}

Value number_schema(const Field& field, int decimals, const Range& limits) {
  auto schema = typed(decimals == 0 ? "integer" : "number");
  if (decimals > 0 || field.step > 1) add(schema, "multipleOf", fixed(field.step, decimals));
  if (!is_said(limits)) return schema;
  add(schema, field.is_above ? "exclusiveMinimum" : "minimum", fixed(limits.least, decimals));
  if (limits.most != fields::no_most) add(schema, "maximum", fixed(limits.most, decimals));
  return schema;
}

Value own_number(const Field& field) {
  return number_schema(field, field.own->decimals, field.hard);
}

Value sets_of(std::initializer_list<std::initializer_list<std::string_view>> sets) {
  auto list = array();
  for (const auto& set : sets) {
    auto names = array();
    for (const auto name : set) add(names, string(name));
    add(list, object({{"required", std::move(names)}}));
  }
  return list;
}

Value headed(std::string_view title, Value schema) {
  auto document = object({{"$schema", string("https://json-schema.org/draft/2020-12/schema")},
                          {"title", string(title)}});
  for (auto& member : schema.members) add(document, member.key, std::move(member.value));
  return document;
}

void ListSchema::list(Shape& shape, const Group& list) const {
  for (const auto& field : list.fields) {
    if (field.is_spread) {
      Shape inner;
      this->list(inner, *field.group);
      const bool whole = field.holder == nullptr;
      for (auto& member : inner.properties.members) add(shape.properties, member.key, member.value);
      for (auto& name : inner.required.members) {
        if (whole) add(shape.required, name.value);
      }
      continue;
    }
    auto schema = held(field);
    if (field.assumed) add(schema, "default", assumed(field, *field.assumed));
    if (!field.description.empty()) add(schema, "description", string(field.description));
    shape.add(field.name, std::move(schema), !field.is_optional || field.is_needed);
  }
}

Value ListSchema::object(const Group& list) const {
  Shape shape;
  this->list(shape, list);
  return std::move(shape).finished();
}

Value ListSchema::held(const Field& field) const {
  if (field.holder == nullptr) return one(field, limits(field));
  if (!field.holder->many) {
    auto schema = one(field, limits(field));
    return field.is_needed || field.is_never_null ? schema
                                                  : any_of(std::move(schema), typed("null"));
  }
  auto schema =
      json::object({{"type", string("array")}, {"items", one(field, item_limits(field))}});
  if (field.hard.least > 0) add(schema, "minItems", count(field.hard.least));
  if (is_said(field.hard) && field.hard.most != fields::no_most) {
    add(schema, "maxItems", count(field.hard.most));
  }
  return schema;
}

Value ListSchema::one(const Field& field, const Range& limits) const {
  switch (field.type) {
    case fields::Type::flag:
      return typed("boolean");
    case fields::Type::count:
    case fields::Type::strength:
    case fields::Type::sequence:
    case fields::Type::units:
    case fields::Type::mm:
    case fields::Type::cm:
    case fields::Type::celsius:
    case fields::Type::kg:
      return number_schema(field, decimals_of(field), limits);
    case fields::Type::day:
      return formatted("date");
    case fields::Type::minute:
      return patterned("^([01][0-9]|2[0-3]):[0-5][0-9]$");
    case fields::Type::choice:
      return choice(field.words);
    case fields::Type::text:
      return text(limits);
    case fields::Type::id:
      return identity();
    case fields::Type::glucose:
      return glucose();
    case fields::Type::hba1c:
      return hba1c();
    case fields::Type::when:
    case fields::Type::instant:
      return formatted("date-time");
    case fields::Type::group:
      return group(*field.group);
    case fields::Type::fact:
      return fact();
    case fields::Type::own:
      return field.own->schema(field);
  }
  promise_broken("a type without a schema");
}

Range ListSchema::limits(const Field& field) const { return field.hard; }
Range ListSchema::item_limits(const Field& field) const { return field.item; }
Value ListSchema::group(const Group& list) const { return object(list); }
Value ListSchema::fact() const { promise_broken("a fact inside a request"); }

}  // namespace penstock::json
