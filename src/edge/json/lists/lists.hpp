// JSON by a list of fields (core/fields): reads an object into the struct whose list it is, and
// says in JSON Schema what such an object may be. Facts and the requests of the calculations are
// read and described here alike; what differs is in the overrides.
#pragma once

#include <cstdint>
#include <initializer_list>
#include <span>
#include <string_view>

#include "base/base.hpp"
#include "core/fields/fields.hpp"
#include "edge/json/json.hpp"

/// A value that its list reads and describes by hand: two spellings, another unit.
struct penstock::fields::Own {
  Result<void> (*read)(const json::Value& value, std::string_view at, void* into);
  json::Value (*schema)(const Field& field);
  int decimals = 0;  ///< of a number: what its limits and its default count in
};

namespace penstock::json {

class ListReader {
 public:
  ListReader() = default;
  ListReader(const ListReader&) = delete;
  ListReader& operator=(const ListReader&) = delete;
  virtual ~ListReader() = default;

  /// Out of an object that may have other fields besides: `done` is the caller's.
  void list(Reader& reader, const fields::Group& list, void* owner) const;
  /// A whole object: a field that is not in the list is refused.
  Result<void> object(const Value& value, std::string_view at, const fields::Group& list,
                      void* owner) const;

 protected:
  /// An object inside, and what its list's judge says of it.
  virtual Result<void> group(const fields::Group& list, const Value& value, std::string_view at,
                             void* into) const;
  /// `Type::fact`; only facts have it.
  virtual Result<void> fact(const Value& value, std::string_view at, void* into) const;

 private:
  void spread(Reader& reader, const fields::Field& field, void* owner) const;
  Result<void> held(const fields::Field& field, const Value& value, std::string_view at,
                    void* into) const;
  Result<void> one(const fields::Field& field, const Value& value, std::string_view at,
                   void* into) const;
};

/// An object's schema while its fields are walked.
struct Shape {
  Value properties = json::object();
  Value required = json::array();

  void add(std::string_view name, Value schema, bool needed);
  Value finished() &&;
};

class ListSchema {
 public:
  ListSchema() = default;
  ListSchema(const ListSchema&) = delete;
  ListSchema& operator=(const ListSchema&) = delete;
  virtual ~ListSchema() = default;

  void list(Shape& shape, const fields::Group& list) const;
  Value object(const fields::Group& list) const;

 protected:
  /// Of a number; of a text, how long. Most below least: nothing is said.
  virtual fields::Range limits(const fields::Field& field) const;
  virtual fields::Range item_limits(const fields::Field& field) const;
  virtual Value group(const fields::Group& list) const;
  virtual Value fact() const;

 private:
  Value held(const fields::Field& field) const;
  Value one(const fields::Field& field, const fields::Range& limits) const;
};

/// As `fixed_of`, for what becomes another number: beyond plus or minus `beyond` it is out of
/// range.
Result<std::int64_t> fixed_within(const Value& value, int decimals, std::int64_t beyond,
                                  std::string_view at);

// ---- pieces of a schema

Value typed(std::string_view type);
Value patterned(std::string_view pattern);
/// As parse_id reads it: 32 hexadecimal digits, or the same with hyphens.
Value identity();
Value formatted(std::string_view format);
Value choice(std::span<const std::string_view> names);
Value any_of(Value one, Value other);
/// A number with so many decimals; limits in its smallest unit.
Value number_schema(const fields::Field& field, int decimals, const fields::Range& limits);
/// Of a number that its list reads by hand.
Value own_number(const fields::Field& field);
/// One of these sets of fields has to be there: [{"required": [...]}, ...].
Value sets_of(std::initializer_list<std::initializer_list<std::string_view>> sets);
/// A whole document: which JSON Schema it is, and its title.
Value headed(std::string_view title, Value schema);

}  // namespace penstock::json
