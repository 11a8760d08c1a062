#include "base/base.hpp"

#include <gtest/gtest.h>

namespace penstock {
namespace {

TEST(Base, IdReadsBothWaysAndRefusesTheRest) {
  const Id id{0x0123456789abcdefULL, 0xfedcba9876543210ULL};
  EXPECT_EQ(to_text(id), "0123456789abcdeffedcba9876543210");
  EXPECT_EQ(parse_id("0123456789abcdeffedcba9876543210"), id);
  EXPECT_EQ(parse_id("01234567-89AB-cdef-fedc-ba9876543210"), id);
  for (const auto* bad :
       {"", "0123", "0123456789abcdeffedcba987654321g", "01234567x89ab-cdef-fedc-ba9876543210",
        "00000000000000000000000000000000", "0123456789abcdeffedcba98765432100"}) {
    EXPECT_EQ(parse_id(bad), std::nullopt) << bad;
  }
}

TEST(Base, ABrokenPromiseSaysWhatAndWhere) {
  const int left = -1;
  try {
    INVARIANT(left >= 0);
    FAIL() << "the promise was broken and nobody said so";
  } catch (const BrokenPromise& broken) {
    EXPECT_EQ(broken.what, "left >= 0");
    EXPECT_NE(broken.where.find("base_test.cpp:"), std::string::npos);
  }
}

Result<int> halve(int n) {
  if (n % 2 != 0) return Error{Kind::invalid_input, "test.odd", {arg_count("n", n)}, ""};
  return n / 2;
}

TEST(Base, ResultHoldsAValueOrAnErrorThatKnowsItsPlace) {
  EXPECT_EQ(halve(4).value(), 2);
  const auto odd = halve(3);
  ASSERT_FALSE(odd);
  EXPECT_EQ(odd.error().code, "test.odd");
  EXPECT_EQ(located(odd.error(), "/n").at, "/n");
}

TEST(Identity, IsTheFirstHalfOfTheDigestOfWhatItStandsFor) {
  const auto counted = [](std::span<const std::uint8_t> bytes) {
    Digest digest{};
    for (std::size_t i = 0; i < digest.size(); ++i)
      digest[i] = static_cast<std::uint8_t>(bytes.empty() ? 0 : bytes[0] + i);
    return digest;
  };
  const auto made = id_from("\x01", counted);
  EXPECT_EQ(made, (Id{0x0102030405060708, 0x090A0B0C0D0E0F10}));
  EXPECT_EQ(id_from("", counted), (Id{0, 1}));  // nil names nothing
}

}  // namespace
}  // namespace penstock
