// What every engine asks of a field.
#include "core/facts/list.hpp"

#include "core/facts/payload.hpp"

namespace penstock::facts {

using fields::as;
using fields::Range;
using fields::Type;

namespace {

bool one_same(const Field& field, const void* a, const void* b) {
  switch (field.type) {
    case Type::flag:
      return as<bool>(a) == as<bool>(b);
    case Type::choice:
      return as<std::uint8_t>(a) == as<std::uint8_t>(b);
    case Type::sequence:
      return as<std::uint32_t>(a) == as<std::uint32_t>(b);
    case Type::text:
      return as<std::string>(a) == as<std::string>(b);
    case Type::id:
      return as<Id>(a) == as<Id>(b);
    case Type::glucose:
      return as<Glucose>(a) == as<Glucose>(b);
    case Type::hba1c:
      return as<Hba1c>(a) == as<Hba1c>(b);
    case Type::when:
      return as<When>(a) == as<When>(b);
    case Type::instant:
      return as<Instant>(a) == as<Instant>(b);
    case Type::group:
      return same(*field.group, a, b);
    case Type::fact: {
      using Pointer = std::shared_ptr<const Replacement>;
      const auto& one = as<Pointer>(a);
      const auto& other = as<Pointer>(b);
      return one == other || (one && other && *one == *other);
    }
    default:
      return number_in(field.type, a) == number_in(field.type, b);
  }
}

}  // namespace

bool same(const Group& list, const void* a, const void* b) {
  for (const auto& field : list.fields) {
    const auto* one = field.in(a);
    const auto* other = field.in(b);
    if (field.holder == nullptr) {
      if (!one_same(field, one, other)) return false;
      continue;
    }
    const auto size = field.holder->size(one);
    if (size != field.holder->size(other)) return false;
    for (std::size_t n = 0; n < size; ++n) {
      if (!one_same(field, field.holder->at(one, n), field.holder->at(other, n))) return false;
    }
  }
  return true;
}

std::int64_t number_in(Type type, const void* value) {
  switch (type) {
    case Type::count:
      return as<std::int32_t>(value);
    case Type::units:
      return as<Units>(value).hundredths();
    case Type::strength:
      return as<Strength>(value).units_per_ml;
    case Type::mm:
      return as<TenthsMm>(value).tenths;
    case Type::cm:
      return as<TenthsCm>(value).tenths;
    case Type::celsius:
      return as<TenthsCelsius>(value).tenths;
    case Type::kg:
      return as<TenthsKg>(value).tenths;
    case Type::minute:
      return as<MinuteOfDay>(value).minutes;
    case Type::choice:
      return as<std::uint8_t>(value);
    case Type::day:
      return as<LocalDay>(value).time_since_epoch().count();
    default:
      promise_broken("a value that is no one number");
  }
}

ArgType arg_type_of(Type type) {
  switch (type) {
    case Type::units:
      return ArgType::units;
    case Type::strength:
      return ArgType::strength;
    case Type::mm:
    case Type::cm:
    case Type::kg:
      return ArgType::tenths;
    case Type::celsius:
      return ArgType::celsius;
    case Type::day:
      return ArgType::date;
    default:
      return ArgType::count;
  }
}

Range limits_of_item(const Field& field) {
  switch (field.type) {
    case Type::units:
      return {0, record_hundredths_max, "limit.record_units"};
    case Type::strength:
      return {shelf::limits::strength_units_per_ml.least, shelf::limits::strength_units_per_ml.most,
              shelf::limits::strength_units_per_ml.why};
    case Type::minute:
      return {0, 24 * 60 - 1, "limit.minute_of_day"};
    case Type::choice:
      return {0, std::ssize(field.words) - 1, "limit.choice"};
    default:
      return {};
  }
}

Range limits_of(const Field& field) {
  return field.hard.why.empty() ? limits_of_item(field) : field.hard;
}

}  // namespace penstock::facts
