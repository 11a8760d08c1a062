#include <gtest/gtest.h>

#include "edge/drawing/supplies/supplies.hpp"
#include "support/xml_check.hpp"

namespace penstock::drawing {
namespace {

Bags sample(int cartridges = 2) {
  Bags out;
  out.first = {"First bag, at hand",
               {{"Insulin glargine", cartridges, std::to_string(cartridges) + " sealed"},
                {"Insulin lispro", 2, "2 sealed"}},
               "56 needles"};
  out.second = out.first;
  out.second.title = "Second bag";
  out.alt = "What to carry in two bags";
  return out;
}
int marks(const XmlChecked& checked, std::string_view mark) {
  int found = 0;
  for (const auto& element : checked.elements) found += element.attribute("data-mark") == mark;
  return found;
}

TEST(Bags, AreTwoAndEachHoldsEverything) {
  const auto picture = bags(sample());
  const auto checked = check_xml(picture);
  EXPECT_EQ(checked.error, "");
  EXPECT_TRUE(checked.ids.empty());
  EXPECT_EQ(picture.find("style="), std::string::npos);
  EXPECT_EQ(marks(checked, "bag"), 2);
  EXPECT_EQ(marks(checked, "pen"), 4);
  EXPECT_EQ(marks(checked, "sealed"), 4);
  EXPECT_EQ(marks(checked, "cool"), 0);
  // 24 to the bag, 52 head, two rows of 46, 22 for the needles, 4 below.
  EXPECT_EQ(checked.elements[0].attribute("viewBox"), "0 0 520 194");
}

TEST(Bags, H12_HeatPutsAPouchAroundTheInsulinInBoth) {
  auto picture = sample();
  picture.cool = "kept cool, never next to ice";
  const auto checked = check_xml(bags(picture));
  EXPECT_EQ(checked.error, "");
  EXPECT_EQ(marks(checked, "cool"), 2);
}

TEST(Bags, FourAreDrawnAndTheCountAlwaysStands) {
  const auto pieces = [](int cartridges) {
    const auto checked = check_xml(bags(sample(cartridges)));
    const auto* mark = checked.mark("sealed");
    return mark == nullptr ? std::string() : mark->attribute("d");
  };
  EXPECT_EQ(pieces(4), pieces(24));
  EXPECT_LT(pieces(3).size(), pieces(4).size());
  EXPECT_NE(bags(sample(24)).find(">24 sealed<"), std::string::npos);
  EXPECT_EQ(check_xml(bags(sample(0))).error, "");
  EXPECT_EQ(check_xml(bags({})).error, "");
}

TEST(Bags, NamesAreEscaped) {
  auto picture = sample();
  picture.first.rows[0].label = "a <b> & \"c\"";
  EXPECT_EQ(check_xml(bags(picture)).error, "");
}

}  // namespace
}  // namespace penstock::drawing
