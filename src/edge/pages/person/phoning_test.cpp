// Whom to phone about a dose without a number, and where the call is recorded.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "edge/pages/person/internal/for_tests.hpp"

namespace penstock::pages {
namespace {

using namespace for_tests;
using testing::ElementsAre;
using testing::IsEmpty;

const std::string person = "/people/" + to_text(id(1));

TEST(Phoning, ThePrescribersAndThePersonsNumbersStandBesideWhatHasNoNumber_H38) {
  auto [story, line] = whole();
  journal::ContactNoted contact;
  contact.full_name = "Dr Amara Osei";
  contact.phone = "030 555 0120";
  story.tell(at(1, 9), contact);
  contact.role = journal::ContactRole::pharmacy;
  contact.full_name = "Quay Pharmacy";
  contact.phone = "030 555 0163";
  story.tell(at(1, 9), contact);
  const auto numbers = [](const json::Value& page) {
    std::vector<std::string> out;
    for (const auto& one : in(in(page, "phoning"), "phones").members)
      out.push_back(in(one.value, "who").text + ": " + in(one.value, "phone").text);
    return out;
  };
  const auto page = story.page(at(1, 20));
  EXPECT_THAT(numbers(page), ElementsAre("Prescriber, Dr Amara Osei: 030 555 0120",
                                         "Mirela Okonkwo: 030 555 0172"));
  EXPECT_EQ(in(in(in(page, "phoning"), "call"), "href").text, person + "/record/call?meeting=call");
  EXPECT_THAT(numbers(whole("").first.page(at(1, 20))), IsEmpty()) << "none is made up";
}

}  // namespace
}  // namespace penstock::pages
