// Somebody on the telephone who has no record: what is said of their pen, and of their dose.
#include <gtest/gtest.h>

#include <string>

#include "edge/json/json.hpp"
#include "shell/desk/internal/test_bench.hpp"
#include "support/test_clinic.hpp"

namespace penstock::desk {
namespace {

constexpr const char* asked =
    R"("low_now":"no","not_eating":"no","drowsy":"no","ketones":"no","travelling":"no","missed":"no","last_dose":"24")";

// Nothing was said about the empty pen: the number stood as if it could be dialled there.
TEST(DeskCaller, H02_H38_AnEmptyPenIsChangedBeforeItsNumber) {
  Bench bench;
  const auto card = [&](const std::string& pen, const std::string& insulin, const char* left) {
    return Bench::at(Bench::must(bench.page(
                         "/api/phone", "{" + std::string(asked) + R"(,"pen":")" + pen + R"(",)" +
                                           insulin + R"(,"dose_units":"20","left_units":")" + left +
                                           R"(","days_in_use":"3","unopened":"1"})")),
                     "/card");
  };
  const auto change = [](const json::Value& card) -> const json::Value* {
    for (const auto& step : Bench::at(card, "/steps").members) {
      if (Bench::at(step.value, "/key").text == "change") return &step.value;
    }
    return nullptr;
  };
  for (const auto* left : {"0", "1"}) {
    const auto own = card("prefilled-double-160",
                          R"("insulin":"insulin degludec","strength_units_per_ml":200)", left);
    ASSERT_NE(change(own), nullptr) << left << Bench::all_text(own);
    EXPECT_EQ(Bench::at(*change(own), "/title").text, "Take a new pen") << left;
    EXPECT_TRUE(Bench::at(*change(own), "/beforehand").flag) << left;
    const auto reusable = card("reusable-whole-60",
                               R"("insulin":"insulin glargine","strength_units_per_ml":100)", left);
    ASSERT_NE(change(reusable), nullptr) << left << Bench::all_text(reusable);
  }
  EXPECT_EQ(change(card("reusable-whole-60",
                        R"("insulin":"insulin glargine","strength_units_per_ml":100)", "140")),
            nullptr);
}

// 20, and again 30: the second was looked at above 80 units alone.
TEST(DeskCaller, H25_TwoDosesThatDifferAreAskedAboutHoweverUsual) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  const auto call = [&](const std::string& again) {
    return clinic.Bench::page(
        "/api/phone",
        "{" + std::string(asked) +
            R"(,"pen":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100,"dose_units":"20","left_units":"140","days_in_use":"6")" +
            again + "}");
  };
  const auto differs = call(R"(,"dose_again":"30")");
  ASSERT_FALSE(differs);
  EXPECT_EQ(differs.error().code, "phone.dose_differs");
  EXPECT_EQ(differs.error().at, "/dose_again");
  for (const auto* same : {"", R"(,"dose_again":"")", R"(,"dose_again":"20")"})
    EXPECT_TRUE(call(same)) << same;
  const auto known = clinic.Bench::page(
      "/api/phone", Bench::call_about(clinic.person, R"(,"dose_units":"22","dose_again":"32")"));
  ASSERT_FALSE(known);
  EXPECT_EQ(known.error().code, "phone.dose_differs");
}

}  // namespace
}  // namespace penstock::desk
