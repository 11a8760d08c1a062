// What the room's tests share: facts of every kind out of chance, a digest, a zone.
#pragma once

#include <rapidcheck.h>

#include <string>
#include <vector>

#include "core/facts/list.hpp"
#include "core/journal/journal.hpp"

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

/// Blank.
inline facts::Payload payload_at(std::size_t index) {
  facts::Payload payload;
  facts::make(payload, facts::kinds[index]);
  return payload;
}

/// Fills every field of a list with a value out of chance; call inside a property.
class Filling {
 public:
  void list(const facts::Group& list, void* owner) {
    for (const auto& field : list.fields) {
      auto* value = field.in(owner);
      if (field.holder == nullptr) {
        one(field, value);
        continue;
      }
      // Blank so far: an optional holds nothing or one, a list up to three.
      const auto most = field.holder->many ? 3 : 1;
      for (auto n = in<int>(0, most); n > 0; --n) one(field, field.holder->grow(value));
    }
  }
  void payload(facts::Payload& payload) { list(facts::kind_of(payload), facts::body(payload)); }

 private:
  template <class T>
  static T in(T least, T most) {
    // rapidcheck's inRange leaves its upper end out and is small near the lower one at first.
    const auto raw = *rc::gen::arbitrary<std::uint64_t>();
    const auto span = static_cast<std::uint64_t>(most) - static_cast<std::uint64_t>(least);
    return static_cast<T>(static_cast<std::uint64_t>(least) +
                          (span == UINT64_MAX ? raw : raw % (span + 1)));
  }
  static std::int32_t whole() { return in<std::int32_t>(INT32_MIN, INT32_MAX); }

  void one(const facts::Field& field, void* value) {
    using fields::as;
    using fields::Type;
    switch (field.type) {
      case Type::flag:
        as<bool>(value) = in<int>(0, 1) == 1;
        return;
      case Type::count:
        as<std::int32_t>(value) = whole();
        return;
      case Type::strength:
        as<Strength>(value).units_per_ml = whole();
        return;
      case Type::mm:
        as<TenthsMm>(value).tenths = whole();
        return;
      case Type::cm:
        as<TenthsCm>(value).tenths = whole();
        return;
      case Type::celsius:
        as<TenthsCelsius>(value).tenths = whole();
        return;
      case Type::kg:
        as<TenthsKg>(value).tenths = whole();
        return;
      case Type::sequence:
        as<std::uint32_t>(value) = in<std::uint32_t>(0, UINT32_MAX);
        return;
      case Type::units:
        as<Units>(value) = *Units::from_hundredths(
            in<std::int64_t>(0, in<int>(0, 1) == 0 ? 20'000 : Units::hundredths_max));
        return;
      case Type::day:
        as<LocalDay>(value) = LocalDay{std::chrono::days{in<int>(-40'000, 80'000)}};
        return;
      case Type::minute:
        as<MinuteOfDay>(value).minutes = in<std::int16_t>(0, 1439);
        return;
      case Type::choice:
        as<std::uint8_t>(value) =
            static_cast<std::uint8_t>(in<std::size_t>(0, field.words.size() - 1));
        return;
      case Type::text:
        return text(as<std::string>(value));
      case Type::id:
        as<Id>(value) = {*rc::gen::arbitrary<std::uint64_t>(), in<std::uint64_t>(1, UINT64_MAX)};
        return;
      case Type::glucose:
        as<Glucose>(value).unit = in<int>(0, 1) == 0 ? GlucoseUnit::mmol_l : GlucoseUnit::mg_dl;
        as<Glucose>(value).value = in<std::int32_t>(0, 600);
        return;
      case Type::hba1c:
        as<Hba1c>(value).unit =
            in<int>(0, 1) == 0 ? Hba1cUnit::ngsp_percent : Hba1cUnit::ifcc_mmol_mol;
        as<Hba1c>(value).value = in<std::int32_t>(0, 300);
        return;
      case Type::when:
        return when(as<When>(value));
      case Type::instant:
        as<Instant>(value) = Instant{std::chrono::seconds{in<std::int64_t>(0, 4'102'444'800)}};
        return;
      case Type::group:
        return list(*field.group, value);
      case Type::fact:
        return replacement(as<std::shared_ptr<const facts::Replacement>>(value));
      case Type::own:  // of requests alone
        return;
    }
  }
  static void when(When& value) {
    value.at = Instant{std::chrono::seconds{in<std::int64_t>(-2'208'988'800, 4'102'444'800)}};
    value.offset_minutes = in<std::int16_t>(-18 * 60, 18 * 60);
  }
  static void text(std::string& text) {
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
    for (auto n = in<int>(0, 4); n > 0; --n) {
      text += pieces[in<std::size_t>(0, pieces.size() - 1)];
    }
  }
  void replacement(std::shared_ptr<const facts::Replacement>& pointer) {
    if (in<int>(0, 1) == 0) return;
    auto replacement = std::make_shared<facts::Replacement>();
    when(replacement->happened);
    replacement->sequence = in<std::uint32_t>(0, UINT32_MAX);
    do {
      replacement->payload = payload_at(in<std::size_t>(0, facts::kinds.size() - 1));
    } while (facts::type_of(replacement->payload) == facts::Correction::type);
    payload(replacement->payload);
    pointer = std::move(replacement);
  }
};

inline facts::Fact any_fact(std::size_t kind) {
  facts::Fact fact;
  Filling filling;
  filling.list(facts::Fact::list, &fact);
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
