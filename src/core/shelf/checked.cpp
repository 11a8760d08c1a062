// What can be on a shelf (H25). The limits stand in the door, each with where it comes from.
#include <algorithm>
#include <utility>

#include "core/shelf/shelf.hpp"
#include "core/units/units.hpp"

namespace penstock::shelf {
namespace {

Error refusal(std::string_view code, std::string_view field, std::vector<Arg> args = {}) {
  args.insert(args.begin(), arg_code("field", field));
  return {Kind::invalid_input, std::string(code), std::move(args), std::string(field)};
}

Arg number(std::string_view name, ArgType type, std::int64_t value) {
  return {std::string(name), type, value, {}};
}

/// Collects the first thing that is wrong, in the order in which it is asked.
class Checks {
 public:
  void range(std::string_view field, std::int64_t value, const Limit& limit, ArgType type) {
    if (value < limit.least || value > limit.most) {
      fail(codes::value_range, field,
           {number("value", type, value), number("least", type, limit.least),
            number("most", type, limit.most), arg_code("why", limit.why)});
    }
  }
  void range(std::string_view field, Units value, const Limit& limit) {
    range(field, value.hundredths(), limit, ArgType::units);
  }
  void not_above(std::string_view field, Units value, Units most, std::string_view why) {
    range(field, value, {0, most.hundredths(), why});
  }
  void multiple(std::string_view field, Units value, Units step) {
    // A step out of its range was found before; zero must not be divided by.
    if (step.is_zero() || is_multiple(value, step)) return;
    fail(codes::not_a_step, field,
         {number("value", ArgType::units, value.hundredths()),
          number("step", ArgType::units, step.hundredths())});
  }
  template <class Enum>
  void known(std::string_view field, Enum value) {
    const auto names = names_of(value);
    const auto at = static_cast<std::int64_t>(value);
    if (at >= std::ssize(names)) {
      range(field, at, {0, std::ssize(names) - 1, "limit.choice"}, ArgType::count);
    }
  }
  void name(std::string_view field, std::string_view text) {
    if (is_blank(text)) fail(codes::field_missing, field);
    if (std::ssize(text) > limits::name_bytes_max) {
      range(field, std::ssize(text), {1, limits::name_bytes_max, "limit.name"}, ArgType::count);
    }
    if (!is_plain_text(text, Lines::one)) fail(codes::value_form, field);
  }
  void fail(std::string_view code, std::string_view field, std::vector<Arg> args = {}) {
    if (!found_) found_ = refusal(code, field, std::move(args));
  }
  template <class Thing>
  Result<Thing> answer(Thing thing) {
    if (found_) return std::move(*found_);
    return thing;
  }

 private:
  std::optional<Error> found_;
};

}  // namespace

Result<Insulin> checked(Insulin insulin) {
  Checks checks;
  checks.name("name", insulin.name);
  checks.range("strength_units_per_ml", insulin.strength.units_per_ml,
               limits::strength_units_per_ml, ArgType::strength);
  checks.known("action", insulin.action);
  checks.range("in_use_days", insulin.in_use_days, limits::in_use_days, ArgType::count);
  checks.range("in_use_most_celsius", insulin.in_use_most.tenths, limits::in_use_most_tenths,
               ArgType::celsius);
  checks.range("store_least_celsius", insulin.store_least.tenths, limits::store_least_tenths,
               ArgType::celsius);
  checks.range("store_most_celsius", insulin.store_most.tenths, limits::store_most_tenths,
               ArgType::celsius);
  checks.range("store_most_celsius", insulin.store_most.tenths,
               {insulin.store_least.tenths, limits::store_most_tenths.most, "limit.store_celsius"},
               ArgType::celsius);
  if (insulin.least_left_to_mix) {
    checks.range("least_left_to_mix_units", *insulin.least_left_to_mix, limits::content_hundredths);
    if (!insulin.suspension) checks.fail(codes::not_suspension, "least_left_to_mix_units");
  }
  return checks.answer(std::move(insulin));
}

Result<Cartridge> checked(Cartridge cartridge) {
  Checks checks;
  checks.name("name", cartridge.name);
  checks.name("insulin", cartridge.insulin);
  checks.known("presentation", cartridge.presentation);
  checks.range("tenths_ml", cartridge.tenths_ml, limits::cartridge_tenths_ml, ArgType::tenths);
  checks.range("content_units", cartridge.content, limits::content_hundredths);
  checks.name("fits", cartridge.fits);
  const bool prefilled = cartridge.presentation == Presentation::prefilled_pen;
  if (prefilled) checks.name("pen", cartridge.pen);
  if (!prefilled && !cartridge.pen.empty()) checks.fail(codes::value_form, "pen");
  return checks.answer(std::move(cartridge));
}

Result<Pen> checked(Pen pen) {
  Checks checks;
  checks.name("name", pen.name);
  checks.range("step_units", pen.step, limits::step_hundredths);
  checks.range("most_units", pen.most, limits::pen_most_hundredths);
  checks.multiple("most_units", pen.most, pen.step);
  if (pen.window) checks.known("window", *pen.window);
  checks.known("takes", pen.takes);
  checks.range("prime_units", pen.prime, limits::prime_hundredths);
  checks.not_above("prime_units", pen.prime, pen.most, "limit.prime_in_window");
  checks.multiple("prime_units", pen.prime, pen.step);
  checks.range("new_cartridge_prime_units", pen.prime_new_cartridge, limits::prime_hundredths);
  checks.not_above("new_cartridge_prime_units", pen.prime_new_cartridge, pen.most,
                   "limit.prime_in_window");
  checks.multiple("new_cartridge_prime_units", pen.prime_new_cartridge, pen.step);
  checks.range("hold_seconds", pen.hold_seconds, limits::hold_seconds, ArgType::count);
  checks.known("when_short", pen.when_short);
  checks.name("fits", pen.fits);
  checks.name("needle_fits", pen.needle_fits);
  return checks.answer(std::move(pen));
}

Result<Needle> checked(Needle needle) {
  Checks checks;
  checks.name("name", needle.name);
  checks.range("length_mm", needle.length.tenths, limits::needle_tenths_mm, ArgType::tenths);
  checks.range("gauge", needle.gauge, limits::needle_gauge, ArgType::count);
  checks.name("fits", needle.fits);
  return checks.answer(std::move(needle));
}

Result<std::string> checked_code(std::string code) {
  const auto may_stand = [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
  };
  if (code.empty() || std::ssize(code) > limits::code_bytes_max ||
      !std::ranges::all_of(code, may_stand)) {
    const auto shown = is_plain_text(code, Lines::one)
                           ? std::string_view(code).substr(0, limits::code_bytes_max)
                           : std::string_view();
    return refusal(codes::code_form, "code", {arg_text("text", shown)});
  }
  return code;
}

Result<Cartridge> checked(Cartridge cartridge, const Shelf& shelf) {
  auto alone = checked(std::move(cartridge));
  if (!alone) return alone;
  const auto* insulin = shelf.insulin(alone->insulin);
  if (insulin == nullptr) {
    return refusal(codes::name_unknown, "insulin", {arg_text("text", alone->insulin)});
  }
  // Tenths of a millilitre times units in one make tenths of a unit; H03: only the shelf
  // multiplies.
  const auto expected = std::int64_t{alone->tenths_ml} * insulin->thing.strength.units_per_ml * 10;
  if (alone->content.hundredths() != expected) {
    return refusal(
        codes::content_wrong, "content_units",
        {arg_units("value", alone->content), number("expected", ArgType::units, expected)});
  }
  if (alone->presentation == Presentation::cartridge) return alone;
  const auto* pen = shelf.pen(alone->pen);
  if (pen == nullptr || !fits(pen->thing, *alone)) {
    return refusal(codes::name_unknown, "pen", {arg_text("text", alone->pen)});
  }
  return alone;
}

}  // namespace penstock::shelf
