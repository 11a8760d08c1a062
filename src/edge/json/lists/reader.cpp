#include <string>

#include "core/units/units.hpp"
#include "edge/json/lists/lists.hpp"

namespace penstock::json {

using fields::as;
using fields::Field;
using fields::Group;

void ListReader::list(Reader& reader, const Group& list, void* owner) const {
  for (const auto& field : list.fields) {
    if (field.is_spread) {
      spread(reader, field, owner);
      continue;
    }
    const auto* member =
        field.is_optional ? reader.may_raw(field.name) : reader.need_raw(field.name);
    if (member != nullptr)
      reader.keep(held(field, *member, reader.at(field.name), field.in(owner)));
  }
}

Result<void> ListReader::object(const Value& value, std::string_view at, const Group& list,
                                void* owner) const {
  Reader reader(value, at);
  this->list(reader, list, owner);
  return reader.done();
}

// An optional group stands when one of its fields does. What is there is read before what is
// missing is told.
void ListReader::spread(Reader& reader, const Field& field, void* owner) const {
  if (field.holder == nullptr) return list(reader, *field.group, field.in(owner));
  void* into = nullptr;
  const Field* missing = nullptr;
  for (const auto& one : field.group->fields) {
    const auto* member = reader.may_raw(one.name);
    if (member != nullptr) {
      if (into == nullptr) into = field.holder->grow(field.in(owner));
      reader.keep(held(one, *member, reader.at(one.name), one.in(into)));
    } else if (missing == nullptr && !one.is_optional) {
      missing = &one;
    }
  }
  if (into == nullptr || missing == nullptr) return;
  reader.fail({Kind::invalid_input,
               std::string(codes::field_missing),
               {arg_text("field", missing->name)},
               reader.at(missing->name)});
}

Result<void> ListReader::held(const Field& field, const Value& value, std::string_view at,
                              void* into) const {
  if (field.holder == nullptr) return one(field, value, at, into);
  if (!field.holder->many) {
    if (value.type == Type::null && !field.is_never_null) return {};
    return one(field, value, at, field.holder->grow(into));
  }
  if (value.type != Type::array) return type_error(at, "type.list");
  for (std::size_t n = 0; n < value.members.size(); ++n) {
    const auto place = pointer(at, n);
    const auto done = one(field, value.members[n].value, place, field.holder->grow(into));
    if (!done) return done;
  }
  return {};
}

namespace {

Result<void> chosen(const Field& field, const Value& value, std::string_view at,
                    std::uint8_t& into) {
  const auto place = choice_of(value, field.words, at);
  if (!place) return place.error();
  into = static_cast<std::uint8_t>(*place);
  return {};
}

}  // namespace

Result<void> ListReader::one(const Field& field, const Value& value, std::string_view at,
                             void* into) const {
  switch (field.type) {
    case fields::Type::flag:
      return get(value, at, as<bool>(into));
    case fields::Type::count:
      return get(value, at, as<std::int32_t>(into));
    case fields::Type::sequence:
      return get(value, at, as<std::uint32_t>(into));
    case fields::Type::units:
      return get(value, at, as<Units>(into));
    case fields::Type::strength:
      return get(value, at, as<Strength>(into));
    case fields::Type::mm:
      return get(value, at, as<TenthsMm>(into));
    case fields::Type::cm:
      return get(value, at, as<TenthsCm>(into));
    case fields::Type::celsius:
      return get(value, at, as<TenthsCelsius>(into));
    case fields::Type::kg:
      return get(value, at, as<TenthsKg>(into));
    case fields::Type::day:
      return get(value, at, as<LocalDay>(into));
    case fields::Type::minute:
      return get(value, at, as<MinuteOfDay>(into));
    case fields::Type::choice:
      return chosen(field, value, at, as<std::uint8_t>(into));
    case fields::Type::text:
      return get(value, at, as<std::string>(into));
    case fields::Type::id:
      return get(value, at, as<Id>(into));
    case fields::Type::glucose:
      return get(value, at, as<Glucose>(into));
    case fields::Type::hba1c:
      return get(value, at, as<Hba1c>(into));
    case fields::Type::when:
      return get(value, at, as<When>(into));
    case fields::Type::instant:
      return get(value, at, as<Instant>(into));
    case fields::Type::group:
      return group(*field.group, value, at, into);
    case fields::Type::fact:
      return fact(value, at, into);
    case fields::Type::own:
      return field.own->read(value, at, into);
  }
  promise_broken("a type that JSON cannot say");
}

Result<void> ListReader::group(const Group& list, const Value& value, std::string_view at,
                               void* into) const {
  auto done = object(value, at, list, into);
  if (!done || list.judge == nullptr) return done;
  auto wrong = list.judge(into);
  if (!wrong) return {};
  wrong->at = pointer(at, wrong->at);
  return *std::move(wrong);
}

Result<void> ListReader::fact(const Value& /*value*/, std::string_view /*at*/,
                              void* /*into*/) const {
  promise_broken("a fact inside a request");
}

Result<std::int64_t> fixed_within(const Value& value, int decimals, std::int64_t beyond,
                                  std::string_view at) {
  auto read = fixed_of(value, decimals, at);
  if (!read) return read;
  if (*read < -beyond || *read > beyond) {
    return Error{Kind::invalid_input, std::string(units_codes::number_range), {}, std::string(at)};
  }
  return read;
}

}  // namespace penstock::json
