// How long supplies last, as the page says it: with or without the spare, of an order that is over,
// after a part of a dose.
#include <gtest/gtest.h>

#include <string>

#include "edge/json/json.hpp"
#include "shell/desk/internal/test_bench.hpp"
#include "support/test_clinic.hpp"

namespace penstock::desk {
namespace {

std::string flat(const json::Value& value) {
  auto text = Bench::all_text(value);
  std::erase(text, '\n');
  return text;
}
std::string supplies(Clinic& clinic) {
  return flat(Bench::must(clinic.Bench::page(clinic.person, "/supplies")));
}
void tell(Clinic& clinic, const std::string& fact) {
  Bench::must(clinic.record(clinic.person, "{" + fact + "}", R"("confirmed":true,)"));
}
std::string more(int cartridges, const std::string& expires = "") {
  return R"("what":"supplies given","happened":"2027-03-02T09:20:00+01:00","insulin":"insulin glargine","strength_units_per_ml":100,"each_units":300,"cartridges":)" +
         std::to_string(cartridges) + expires;
}

// "The spare is not counted" stood beside a day that counts it.
TEST(DeskSpare, H51_H58_ADayOnWhichSomethingRunsOutSaysThatItCountsTheSpare) {
  Clinic clinic("2027-03-16T10:00:00+01:00");
  tell(clinic, more(2));
  EXPECT_TRUE(has(supplies(clinic), "the spare included, if taken as ordered")) << supplies(clinic);
  clinic.set_clock("2027-04-17T10:00:00+01:00");
  EXPECT_TRUE(has(flat(Bench::must(clinic.Bench::page("/api/month"))), "counts the spare"));
  tell(clinic, R"("what":"supply rules set","spare_cartridges":0)");
  clinic.set_clock("2027-03-16T10:00:00+01:00");
  EXPECT_FALSE(has(supplies(clinic), "the spare included"));
}

// "With the spare it runs out today", of one that had expired the day before.
TEST(DeskSpare, H12_H51_AnExpiredOneIsNoSpare) {
  Bench bench("2027-03-18T10:00:00+01:00");
  const auto person = bench.enrol();
  bench.order(person);
  bench.pen_and_cartridge(person, "26", "2027-03-15T08:00:00+01:00");
  Bench::must(bench.record(person, "{" + more(2, R"(,"lot":"L7","expires":"2027-03-17")") + "}"));
  Bench::must(bench.record(
      person,
      R"({"what":"injected","happened":"2027-03-15T22:00:00+01:00","cartridge":")" +
          std::string(Bench::cartridge) +
          R"(","units":22,"line":"00000000000000000000000000000a01","slot":"bedtime"})",
      R"("confirmed":true,)"));
  const auto page = flat(Bench::must(bench.page(person, "/supplies")));
  EXPECT_TRUE(has(page, "not enough now, if taken as ordered")) << page;
  EXPECT_FALSE(has(page, "without the spare")) << page;
  EXPECT_FALSE(has(page, "is the spare;")) << page;
  EXPECT_TRUE(has(page, "past its expiry date")) << page;
}

// An order that was not renewed was counted on without a word.
TEST(DeskSpare, H08_H38_AnOrderWhoseLastDayHasPassedIsSaidToBeCountedOn) {
  Bench bench("2027-03-18T10:00:00+01:00");
  const auto person = bench.enrol();
  bench.order(person, "00000000000000000000000000000a01", R"(,"until":"2027-03-17")");
  bench.pen_and_cartridge(person);
  bench.supplies(person, 2);
  const auto page = [&] { return flat(Bench::must(bench.page(person, "/supplies"))); };
  EXPECT_TRUE(has(page(), "The order ended on Wed 17 March")) << page();
  bench.set_clock("2027-03-17T10:00:00+01:00");
  EXPECT_FALSE(has(page(), "The order ended on"));
}

// "Keep the cartridge", and under it "take it out".
TEST(DeskSpare, H38_H58_TheLastCartridgeIsKeptOnEveryLineOfTheCard) {
  Bench bench("2027-03-16T22:00:00+01:00");
  const auto person = bench.enrol();
  bench.order(person);
  bench.pen_and_cartridge(person, "32");
  const auto card = Bench::at(Bench::must(bench.page(person)), "/next");
  EXPECT_TRUE(has(flat(card), "until you have the next one")) << flat(card);
  const auto after = flat(Bench::at(card, "/after_text"));
  EXPECT_TRUE(has(after, "will be left in the cartridge")) << after;
  EXPECT_FALSE(has(flat(card), "take it out")) << flat(card);
}

// "8 units are on record: this dose is done", of 22 that went in.
TEST(DeskSpare, H39_H58_ARestThatWasTakenIsSaidBesideThePartOnRecord) {
  Clinic clinic("2027-03-16T22:20:00+01:00");
  const std::string part = "00000000000000000000000000000f01";
  tell(
      clinic,
      R"("id":")" + part +
          R"(","what":"injected","happened":"2027-03-16T22:05:00+01:00","cartridge":")" +
          std::string(Bench::cartridge) +
          R"(","units":8,"meant_units":22,"outcome":"part","line":"00000000000000000000000000000a01","slot":"bedtime")");
  tell(
      clinic,
      R"("what":"dose answered","line":"00000000000000000000000000000a01","slot":"bedtime","day":"2027-03-16","was":"taken","rest_of":")" +
          part + R"(")");
  const auto page = flat(clinic.page());
  EXPECT_TRUE(has(page, "the other 14 units were reported as taken: this dose is done")) << page;
}

}  // namespace
}  // namespace penstock::desk
