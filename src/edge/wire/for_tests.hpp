// What the room's tests share: facts of every kind out of chance, a digest, a zone.
#pragma once

#include <rapidcheck.h>

#include <string>
#include <variant>
#include <vector>

#include "core/journal/journal.hpp"
#include "edge/wire/internal/fields.hpp"

namespace penstock::wire::for_tests {

/// Not SHA-256, which is the shell's; spread well enough that no two texts of a test meet.
inline Digest digest(std::span<const std::uint8_t> bytes) {
  Digest out{};
  for (std::size_t lane = 0; lane < 4; ++lane) {
    std::uint64_t hash = 0xCBF29CE484222325ULL + lane * 0x9E3779B97F4A7C15ULL;
    for (const auto byte : bytes) hash = (hash ^ byte) * 0x100000001B3ULL;
    hash ^= hash >> 31U;
    hash *= 0xBF58476D1CE4E5B9ULL;
    hash ^= hash >> 29U;
    for (std::size_t i = 0; i < 8; ++i) {
      out[lane * 8 + i] = static_cast<std::uint8_t>(hash >> (8 * i));
    }
  }
  return out;
}

/// Central European time around the two nights of 2027 on which the clocks change.
inline ZoneRules berlin() {
  const auto at = [](const char* text) { return parse_when(text)->at; };
  return {"Europe/Berlin",
          {{at("2026-10-25T01:00Z"), 60},
           {at("2027-03-28T01:00Z"), 120},
           {at("2027-10-31T01:00Z"), 60}}};
}

template <std::size_t I = 0>
journal::Payload payload_at(std::size_t index) {
  if constexpr (I < std::variant_size_v<journal::Payload>) {
    return index == I ? journal::Payload(std::in_place_index<I>) : payload_at<I + 1>(index);
  } else {
    promise_broken("no such kind");
  }
}

/// Fills every field of a list with a value out of chance; call inside a property.
class Filling {
 public:
  template <class T>
  void operator()(std::string_view /*name*/, T& value) {
    fill(value);
  }
  void payload(journal::Payload& payload) {
    std::visit([this](auto& kind) { fields(*this, kind); }, payload);
  }
  void fill(When& value) {
    value.at = Instant{std::chrono::seconds{in<std::int64_t>(-2'208'988'800, 4'102'444'800)}};
    value.offset_minutes = in<std::int16_t>(-18 * 60, 18 * 60);
  }
  void fill(std::string& text) {
    static const std::vector<std::string> pieces{"a",     "insulin glargine",
                                                 "\"",    "\\",
                                                 "/",     "~",
                                                 ",",     ";",
                                                 "\n",    "\t",
                                                 "é",     "日",
                                                 "😀",    "\r",
                                                 "\x01",  "null",
                                                 "0.50",  "\x7F",
                                                 " ",     "'",
                                                 "#",     "{",
                                                 "]",     "\u00A0",
                                                 "\u2028"};
    text.clear();
    for (auto n = in<int>(0, 4); n > 0; --n) {
      text += pieces[in<std::size_t>(0, pieces.size() - 1)];
    }
  }
  void fill(Id& id) {
    id = {*rc::gen::arbitrary<std::uint64_t>(), in<std::uint64_t>(1, UINT64_MAX)};
  }

 private:
  template <class T>
  static T in(T least, T most) {
    // rapidcheck's inRange leaves its upper end out and is small near the lower one at first.
    const auto raw = *rc::gen::arbitrary<std::uint64_t>();
    const auto span = static_cast<std::uint64_t>(most) - static_cast<std::uint64_t>(least);
    return static_cast<T>(static_cast<std::uint64_t>(least) +
                          (span == UINT64_MAX ? raw : raw % (span + 1)));
  }
  void fill(bool& value) { value = in<int>(0, 1) == 1; }
  void fill(std::int32_t& value) { value = in<std::int32_t>(INT32_MIN, INT32_MAX); }
  void fill(std::uint32_t& value) { value = in<std::uint32_t>(0, UINT32_MAX); }
  void fill(Units& value) {
    value = *Units::from_hundredths(
        in<std::int64_t>(0, in<int>(0, 1) == 0 ? 20'000 : Units::hundredths_max));
  }
  void fill(Strength& value) { fill(value.units_per_ml); }
  void fill(TenthsMm& value) { fill(value.tenths); }
  void fill(TenthsCm& value) { fill(value.tenths); }
  void fill(TenthsCelsius& value) { fill(value.tenths); }
  void fill(TenthsKg& value) { fill(value.tenths); }
  void fill(Glucose& value) {
    value.unit = in<int>(0, 1) == 0 ? GlucoseUnit::mmol_l : GlucoseUnit::mg_dl;
    value.value = in<std::int32_t>(0, 600);
  }
  void fill(LocalDay& value) { value = LocalDay{std::chrono::days{in<int>(-40'000, 80'000)}}; }
  void fill(MinuteOfDay& value) { value.minutes = in<std::int16_t>(0, 1439); }
  void fill(Instant& value) {
    value = Instant{std::chrono::seconds{in<std::int64_t>(0, 4'102'444'800)}};
  }
  template <class E>
    requires std::is_enum_v<E>
  void fill(E& value) {
    value = static_cast<E>(in<std::size_t>(0, names_of(E{}).size() - 1));
  }
  template <class T>
  void fill(std::optional<T>& value) {
    value.reset();
    if (in<int>(0, 2) > 0) fill(value.emplace(blank<T>()));
  }
  template <class T>
  void fill(std::vector<T>& values) {
    values.assign(in<std::size_t>(0, 3), blank<T>());
    for (auto& value : values) fill(value);
  }
  void fill(ReplacementPointer& pointer) {
    pointer.reset();
    if (in<int>(0, 1) == 0) return;
    auto replacement = std::make_shared<journal::Replacement>();
    fill(replacement->happened);
    fill(replacement->sequence);
    const auto correction = journal::kind_of_type(journal::Correction::type)->index;
    const auto kinds = std::variant_size_v<journal::Payload>;
    const auto index = in<std::size_t>(0, kinds - 2);
    replacement->payload = payload_at(index < correction ? index : index + 1);
    payload(replacement->payload);
    pointer = std::move(replacement);
  }
  template <Listed T>
  void fill(T& value) {
    fields(*this, value);
  }
};

inline journal::Fact any_fact(std::size_t kind) {
  journal::Fact fact;
  Filling filling;
  fields(filling, fact);
  fact.payload = payload_at(kind);
  filling.payload(fact.payload);
  return fact;
}

inline When when(const char* text) { return *parse_when(text); }

/// A well-formed injection, for tests that only need one.
inline journal::Fact injection(std::uint64_t id, const char* time, Units units) {
  journal::Injected injected;
  injected.cartridge = {7, 1};
  injected.units = units;
  journal::Fact fact;
  fact.id = {1, id};
  fact.journal = {9, 9};
  fact.happened = when(time);
  fact.recorded = fact.happened.at + std::chrono::hours{1};
  fact.author = "Jo Winter";
  fact.source = "bench";
  fact.payload = injected;
  return fact;
}

}  // namespace penstock::wire::for_tests
