// JSON Schema of the requests that record a fact, from the lists that the reader and the limits
// walk. What hangs on another field or on the day of recording is not in it: a request that fits
// may still be refused.
#include <algorithm>
#include <utility>

#include "core/facts/list.hpp"
#include "edge/json/lists/lists.hpp"
#include "edge/wire/fact_json.hpp"

namespace penstock::wire {
namespace {

using facts::Field;
using facts::Group;
using facts::KindInfo;
using fields::Range;
using fields::Type;
using json::Shape;
using json::Value;

class FactSchema final : public json::ListSchema {
 public:
  Value request(const KindInfo& kind) const {
    Shape shape;
    shape.add("id", json::identity(), false);
    shape.add("journal", json::identity(), false);
    shape.add("happened", json::formatted("date-time"), false);
    shape.add("sequence", json::typed("integer"), false);
    shape.add("told_by", json::typed("string"), false);
    shape.add("source", json::typed("string"), false);
    add_kind(shape, kind);
    return std::move(shape).finished();
  }

 private:
  void add_kind(Shape& shape, const KindInfo& kind) const {
    shape.add("what", json::object({{"const", json::string(kind.name)}}), true);
    list(shape, kind);
  }
  Range limits(const Field& field) const override {
    if (field.type == Type::text) return length(field);
    auto limits = facts::limits_of(field);
    // Where the least hangs on a neighbour, the neighbour may allow nothing at all.
    if (field.least != nullptr) limits.least = std::min<std::int64_t>(limits.least, 0);
    return limits;
  }
  Range item_limits(const Field& field) const override {
    return field.type == Type::text ? length(field) : facts::limits_of_item(field);
  }
  // In characters; the limits are in bytes, so a text that fits may still be too long.
  static Range length(const Field& field) {
    const auto most = field.is_long ? facts::text_bytes_max : facts::name_bytes_max;
    return {field.is_needed ? 1 : 0, field.judge == nullptr ? most : fields::no_most, {}};
  }
  Value group(const Group& list) const override {
    auto schema = object(list);
    // A copy of the shelf's values may be named by its code.
    if (&list == &shelf::Pen::list || &list == &shelf::Insulin::list) {
      auto code = json::typed("string");
      json::add(code, "description", json::string("the code of an entry of the shelf"));
      return json::any_of(std::move(code), std::move(schema));
    }
    return schema;
  }
  // What a correction puts in a fact's place: any kind but a correction.
  Value fact() const override {
    auto list = json::array();
    for (const auto& kind : facts::kinds) {
      if (kind.type == facts::Correction::type) continue;
      Shape shape;
      shape.add("happened", json::formatted("date-time"), true);
      shape.add("sequence", json::typed("integer"), false);
      add_kind(shape, kind);
      json::add(list, std::move(shape).finished());
    }
    return json::any_of(json::object({{"oneOf", std::move(list)}}), json::typed("null"));
  }
};

}  // namespace

std::optional<Value> kind_schema(std::string_view kind) {
  const auto* info = facts::kind_of_name(kind);
  if (info == nullptr) return std::nullopt;
  return json::headed(kind, FactSchema().request(*info));
}

Value fact_schema() {
  const FactSchema schema;
  auto list = json::array();
  for (const auto& kind : facts::kinds) json::add(list, schema.request(kind));
  return json::headed("fact", json::object({{"oneOf", std::move(list)}}));
}

}  // namespace penstock::wire
