#include "edge/wire/fact_codec.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <random>

#include "edge/wire/for_tests.hpp"

namespace penstock::wire {
namespace {

using namespace for_tests;
using namespace literals;
using journal::Fact;

std::string hex(std::span<const std::uint8_t> bytes) {
  constexpr std::string_view digits = "0123456789abcdef";
  std::string out;
  for (const auto byte : bytes) {
    out += digits[byte >> 4U];
    out += digits[byte & 15U];
  }
  return out;
}

RC_GTEST_PROP(FactCodec, EveryKindComesBackAsItWent, ()) {
  for (std::size_t kind = 0; kind < journal::kinds.size(); ++kind) {
    const auto fact = any_fact(kind);
    const auto bytes = encode(fact);
    const auto back = decode(bytes, fact.recorded);
    RC_ASSERT(back.has_value());
    RC_ASSERT(*back == fact);
    RC_ASSERT(encode(*back) == bytes);
  }
}

// Pinned for ever: these bytes stand in stores. When this test fails, the codec is wrong, not the
// test; a kind that changes gets a new version and another row.
TEST(FactCodec, H21_TheBytesOfStoredFactsNeverChange) {
  struct Row {
    Fact fact;
    std::string_view bytes;
  };
  auto injected = injection(0x0123456789ABCDEF, "2027-03-16T22:05:00+01:00", 10_units);
  auto& full = std::get<journal::Injected>(injected.payload);
  full.zone = Zone::thigh_left;
  full.spot = Spot{{100}, {-25}};
  full.meant = 22_units;
  full.outcome = journal::Outcome::part;
  injected.sequence = 3;
  injected.told_by = "Mary";
  auto primed = injection(2, "1969-12-31T23:59:59-05:00", 0_units);
  primed.payload = journal::Primed{{7, 1}, 0.5_units, journal::Flow::not_seen};
  auto corrected = injection(4, "2027-03-17T08:00:00+01:00", 0_units);
  journal::Correction correction;
  correction.target = {1, 2};
  correction.reason = "26, not 36";
  correction.replacement = std::make_shared<journal::Replacement>(journal::Replacement{
      when("2027-03-16T22:05:00+01:00"), 1, journal::ScaleCounted{{7, 1}, 126_units}});
  corrected.payload = correction;
  const Row rows[] = {
      {injected,
       "011a0100000000000000010123456789abcdef00000000000000090000000000000009f8"
       "8fcdb90d7803094a6f2057696e746572044d6172790562656e6368000000000000000700"
       "00000000000001e80701981101000000010401c801310000"},
      {primed,
       "01190100000000000000010000000000000002000000000000000900000000000000099e"
       "9902d70400094a6f2057696e746572000562656e63680000000000000007000000000000"
       "00013202"},
      {corrected,
       "013c010000000000000001000000000000000400000000000000090000000000000009e0"
       "bdd1b90d7800094a6f2057696e746572000562656e636800000000000000010000000000"
       "0000020a32362c206e6f742033360001f88fcdb90d78011d010000000000000007000000"
       "0000000001b862"},
  };
  for (const auto& row : rows) EXPECT_EQ(hex(encode(row.fact)), row.bytes);
}

TEST(FactCodec, H21_TheBytesOfStoredFactsAboutSkinAndPlacesNeverChange) {
  const auto bytes_of = [](journal::Payload payload) {
    auto fact = injection(4, "2027-03-17T08:00:00+01:00", 0_units);
    fact.payload = std::move(payload);
    const auto bytes = encode(fact);
    constexpr std::size_t envelope = 59;  // up to the source, the same for all
    return hex(bytes).substr(2, 4) + " " + hex(std::span(bytes).subspan(envelope));
  };
  const auto day = *parse_day("2027-06-04");
  journal::SkinFinding finding{
      {7, 1}, journal::Tissue::hardened,        Zone::thigh_left, {{1}, {-2}}, {380}, {250}, false,
      true,   journal::AreaVerdict::may_be_used};
  journal::SkinExamined examined{journal::Light::daylight,
                                 journal::Posture::lying,
                                 {Zone::thigh_left, Zone::arm_right},
                                 {finding},
                                 "ab",
                                 true,
                                 "x"};
  journal::PlaceRulesSet rules;
  rules.zones = {Zone::thigh_right};
  rules.parts = {{journal::SlotName::bedtime, BodyPart::thigh}};
  rules.needle = TenthsMm{40};
  rules.fold = journal::YesNo::yes;
  const std::pair<journal::Payload, std::string_view> rows[] = {
      {journal::BodyMeasured{journal::Sex::male, TenthsCm{1'680}, {}, day},
       "2101 0201a01a0001dac702"},
      {journal::DepthMeasured{Zone::thigh_left, {115}, {10}, "x"}, "2201 04e601140178"},
      {examined,
       "2301 0101020409010000000000000007000000000000000100040203f805f403000101026162010178"},
      {journal::AreaBlocked{{7, 1}, journal::Tissue::scar, Zone::arm_left, {}, {20}, ""},
       "2401 00000000000000070000000000000001020800002800"},
      {journal::PlaceNoted{{7, 1}, Zone::thigh_left, Spot{{1}, {-2}}},
       "2501 0000000000000007000000000000000104010203"},
      {rules, "2601 010501030138c801e807010150b401020000"},
      {journal::PlacePlanGiven{2, {{day, journal::SlotName::bedtime, Zone::thigh_left, {}}}},
       "2701 0401dac70203040000"},
  };
  for (const auto& [payload, bytes] : rows) EXPECT_EQ(bytes_of(payload), bytes);
}

// A list grew: who read the scale is new in version 2. What does not say it keeps its bytes and its
// digest, also where a correction puts it in another fact's place.
TEST(FactCodec, H21_AFactThatUsesNothingNewIsWrittenAsBefore) {
  auto fact = injection(4, "2027-03-17T08:00:00+01:00", 0_units);
  fact.payload = journal::ScaleCounted{{7, 1}, 126_units};
  constexpr std::string_view envelope =
      "000000000000000100000000000000040000000000000009000000000000000"
      "9e0bdd1b90d7800094a6f2057696e746572000562656e6368";
  constexpr std::string_view counted = "00000000000000070000000000000001b862";
  const auto old = encode(fact);
  EXPECT_EQ(hex(old), "011d01" + std::string(envelope) + std::string(counted));
  EXPECT_EQ(journal::version_of(fact.payload), 1);

  std::get<journal::ScaleCounted>(fact.payload).read_by = "Mary";
  const auto grown = encode(fact);
  EXPECT_EQ(hex(grown), "011d02" + std::string(envelope) + std::string(counted) + "044d617279");
  EXPECT_EQ(journal::version_of(fact.payload), 2);
  for (const auto& bytes : {old, grown}) {
    const auto read = decode(bytes, {});
    ASSERT_TRUE(read.has_value());
    EXPECT_EQ(encode(*read), bytes);
  }
  EXPECT_EQ(std::get<journal::ScaleCounted>(decode(old, {})->payload).read_by, "");
  EXPECT_EQ(std::get<journal::ScaleCounted>(decode(grown, {})->payload).read_by, "Mary");
}

TEST(FactCodec, AVersionHigherThanTheContentNeedsIsNoFact) {
  auto fact = injection(4, "2027-03-17T08:00:00+01:00", 0_units);
  fact.payload = journal::ScaleCounted{{7, 1}, 126_units};
  auto bytes = encode(fact);
  bytes[2] = 2;
  EXPECT_EQ(decode(bytes, {}).error().code, codes::bytes_form);  // cut: nobody is named
  bytes.push_back(0);
  EXPECT_EQ(decode(bytes, {}).error().code, codes::bytes_form);  // nobody is named, at length
  bytes[2] = 3;
  EXPECT_EQ(decode(bytes, {}).error().code, codes::kind_newer);
}

TEST(FactCodec, H31_WhenItWasRecordedIsNotPartOfAFact) {
  auto fact = injection(1, "2027-03-16T22:05:00+01:00", 10_units);
  const auto first = digest_of(fact, digest);
  fact.recorded += std::chrono::hours{3};
  EXPECT_EQ(digest_of(fact, digest), first);
  fact.sequence = 1;
  EXPECT_NE(digest_of(fact, digest), first);
}

TEST(FactCodec, ANewerProgramsKindIsToldFromBrokenBytes) {
  auto bytes = encode(injection(1, "2027-03-16T22:05:00+01:00", 10_units));
  EXPECT_EQ(bytes[1], 26);
  auto newer = bytes;
  newer[2] = 9;
  auto read = decode(newer, {});
  ASSERT_FALSE(read.has_value());
  EXPECT_EQ(read.error().code, codes::kind_newer);
  EXPECT_EQ(read.error().args, (std::vector<Arg>{arg_count("type", 26), arg_count("version", 9)}));
  newer = bytes;
  newer[0] = 2;
  read = decode(newer, {});
  ASSERT_FALSE(read.has_value());
  EXPECT_EQ(read.error().code, codes::bytes_form);
}

TEST(FactCodec, H21_BytesCutAnywhereAreRefused) {
  const auto bytes = encode(injection(1, "2027-03-16T22:05:00+01:00", 10_units));
  for (std::size_t length = 0; length < bytes.size(); ++length) {
    EXPECT_FALSE(decode(std::span(bytes).first(length), {}).has_value()) << length;
  }
  auto longer = bytes;
  longer.push_back(0);
  EXPECT_FALSE(decode(longer, {}).has_value());
}

TEST(FactCodec, NumbersAreWrittenInOneWayOnly) {
  auto bytes = encode(injection(1, "2027-03-16T22:05:00+01:00", 10_units));
  // The type, 26, as two bytes instead of one.
  bytes[1] = 26 | 0x80;
  bytes.insert(bytes.begin() + 2, 0);
  EXPECT_FALSE(decode(bytes, {}).has_value());
}

TEST(FactCodec, ALengthThatLiesTakesNoMemory) {
  Fact fact = injection(1, "2027-03-16T22:05:00+01:00", 10_units);
  fact.payload = journal::Note{"x"};
  auto bytes = encode(fact);
  bytes.resize(bytes.size() - 2);
  for (int i = 0; i < 8; ++i) bytes.push_back(0xFF);
  bytes.push_back(0x7F);
  EXPECT_FALSE(decode(bytes, {}).has_value());
}

// What is accepted is exactly what encode would write: no byte has two meanings, and no mutation
// is read as something that nobody wrote. Run under the address sanitizer in ./test.
TEST(FactCodec, H21_HalfAMillionMutationsAreRefusedOrRead) {
  constexpr std::uint64_t seed = 20270316;
  std::mt19937_64 random(seed);
  const auto below = [&random](std::size_t n) { return static_cast<std::size_t>(random() % n); };
  std::vector<std::vector<std::uint8_t>> seeds;
  rc::check([&seeds] {
    for (std::size_t kind = 0; kind < journal::kinds.size(); ++kind) {
      if (seeds.size() < 400) seeds.push_back(encode(any_fact(kind)));
    }
  });
  std::size_t accepted = 0;
  for (int i = 0; i < 500'000; ++i) {
    auto bytes = seeds[below(seeds.size())];
    for (auto n = 1 + below(3); n > 0 && !bytes.empty(); --n) {
      const auto at = below(bytes.size());
      const auto there = bytes.begin() + static_cast<std::ptrdiff_t>(at);
      switch (below(5)) {
        case 0:
          bytes[at] ^= static_cast<std::uint8_t>(1U << below(8));
          break;
        case 1:
          bytes[at] = static_cast<std::uint8_t>(random());
          break;
        case 2:
          bytes.erase(there);
          break;
        case 3:
          bytes.insert(there, static_cast<std::uint8_t>(random()));
          break;
        default:
          bytes.resize(at);
      }
    }
    const auto read = decode(bytes, {});
    if (!read) continue;
    ++accepted;
    ASSERT_EQ(encode(*read), bytes) << "seed " << seed << ", mutation " << i;
  }
  EXPECT_GT(accepted, 1000U);
}

}  // namespace
}  // namespace penstock::wire
