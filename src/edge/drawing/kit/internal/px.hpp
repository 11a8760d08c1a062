// Lengths on the page in whole hundredths of a pixel: no floating point, so a drawing is the same
// bytes natively and in the browser.
#pragma once

#include <compare>
#include <cstdint>
#include <string>

#include "core/units/units.hpp"

namespace penstock::drawing {

struct Px {
  std::int64_t hundredths = 0;

  friend constexpr auto operator<=>(Px, Px) = default;
  friend constexpr Px operator+(Px a, Px b) { return {a.hundredths + b.hundredths}; }
  friend constexpr Px operator-(Px a, Px b) { return {a.hundredths - b.hundredths}; }
  friend constexpr Px operator-(Px a) { return {-a.hundredths}; }
  friend constexpr Px operator*(Px a, std::int64_t n) { return {a.hundredths * n}; }
  friend constexpr Px operator*(std::int64_t n, Px a) { return {a.hundredths * n}; }
  /// Rounds towards zero, to a hundredth of a pixel.
  friend constexpr Px operator/(Px a, std::int64_t n) { return {a.hundredths / n}; }
};

constexpr Px px(std::int64_t whole) { return {whole * 100}; }
constexpr Px percent(Px length, std::int64_t n) { return length * n / 100; }
constexpr Px smaller(Px a, Px b) { return b < a ? b : a; }
constexpr Px larger(Px a, Px b) { return a < b ? b : a; }

namespace literals {
/// 2.75_px; a third decimal does not compile.
consteval Px operator""_px(const char* text) {
  // The same reader as for units: digits, at most one point, at most two decimals.
  std::int64_t value = 0;
  int decimals = -1;
  for (; *text != '\0'; ++text) {
    if (*text == '.') {
      if (decimals >= 0) promise_broken("two points");
      decimals = 0;
      continue;
    }
    if (*text < '0' || *text > '9') promise_broken("digits and one point only");
    if (decimals >= 2) promise_broken("at most two decimals");
    value = value * 10 + (*text - '0');
    if (decimals >= 0) ++decimals;
  }
  for (int i = decimals < 0 ? 0 : decimals; i < 2; ++i) value *= 10;
  return {value};
}
}  // namespace literals

/// A coordinate as SVG reads it: exact, at most two decimals, never a trailing zero.
inline std::string text(Px length) { return format_fixed(length.hundredths, 2); }

}  // namespace penstock::drawing
