// Pictures: only with consent, only pictures, gone when the consent is withdrawn.
#include <gtest/gtest.h>

#include "edge/json/json.hpp"
#include "edge/words/words.hpp"
#include "shell/desk/internal/test_bench.hpp"

namespace penstock::desk {
namespace {

using Consent = Desk::Consent;

// As small as they may be: one scan, one chunk.
std::string jpeg(std::size_t size = 200) {
  return std::string("\xFF\xD8\xFF\xDA\0\2", 6) + std::string(size - 8, 'j') + "\xFF\xD9";
}
std::string png() {
  return std::string("\x89PNG\r\n\x1A\n\0\0\0\4IDATfour....\0\0\0\0IEND....", 36);
}

class Photos : public testing::Test {
 protected:
  TestBench bench;
  Id who = bench.enrol();

  std::string kept(const std::string& bytes) {
    const auto answer = TestBench::must(bench.desk().put_photo(who, bytes, Consent::given));
    const auto* photo = answer.find("photo");
    return photo == nullptr ? "" : photo->text;
  }
  std::string refused(const std::string& bytes, Consent consent = Consent::given) {
    const auto answer = bench.desk().put_photo(who, bytes, consent);
    return answer ? "kept" : answer.error().code;
  }
  std::int64_t version() {
    return std::stoll(TestBench::must(bench.page(who, "/journal")).find("version")->text);
  }
  void examine(const std::string& photo) {
    TestBench::must(bench.record(
        who,
        R"({"what":"skin examined","happened":"2027-03-16T13:00:00+01:00","zones":["thigh left"],)"
        R"("photo":")" +
            photo + R"(","photo_consent":true})"));
  }
};

TEST_F(Photos, H29_NoPictureIsKeptWithoutConsent) {
  EXPECT_EQ(refused(jpeg(), Consent::not_given), codes::photo_consent);
  const auto report = bench.store().verify(store::Marks::leave, {});
  EXPECT_EQ(report->blobs, 0U);
  // And none is named without it.
  const auto named =
      bench.record(who, R"({"what":"skin examined","zones":["thigh left"],"photo":")" +
                            std::string(64, 'a') + "\"}");
  ASSERT_FALSE(named);
  EXPECT_EQ(named.error().code, journal::codes::photo_consent);
}

TEST_F(Photos, APictureComesBackAsItWent) {
  const auto first = kept(jpeg());
  EXPECT_EQ(first.size(), 64U);
  EXPECT_EQ(kept(jpeg()), first);  // twice is once
  const auto second = kept(png());
  EXPECT_NE(first, second);
  EXPECT_EQ(bench.desk().photo(who, first)->bytes, jpeg());
  EXPECT_EQ(bench.desk().photo(who, first)->media, "image/jpeg");
  EXPECT_EQ(bench.desk().photo(who, second)->media, "image/png");
  EXPECT_EQ(version(), 1);  // the journal knows of it when an examination names it
}

// Small on the way, gigabytes in every browser that shows it.
TEST_F(Photos, H21_S13_APictureOfMorePixelsThanAPageCanUnpackIsRefused) {
  const std::string large("\x89PNG\r\n\x1A\n\0\0\0\rIHDR\0\0\xEA\x60\0\0\xEA\x60\x08\0\0\0\0....",
                          33);
  EXPECT_EQ(refused(large + png().substr(8)), codes::photo_pixels);
}

TEST_F(Photos, OnlyAPictureOfASizeThatIsKept) {
  for (const std::string bytes :
       {"", "GIF89a and more", "<svg xmlns='http://www.w3.org/2000/svg'/>", "\xFF\xD8",
        "\x89PNG\r\n", "%PDF-1.7"}) {
    EXPECT_EQ(refused(bytes), codes::photo_form) << bytes;
  }
  EXPECT_EQ(refused(jpeg(store::blob_bytes_max)), "kept");
  EXPECT_EQ(refused(jpeg(store::blob_bytes_max + 1)), store::codes::blob_too_large);
}

TEST_F(Photos, H19_APictureIsOnlySeenWithItsPerson) {
  const auto photo = kept(jpeg());
  const auto other = bench.enrol("Somebody Else", "1961-02-17", "HS 1");
  const auto seen = bench.desk().photo(other, photo);
  ASSERT_FALSE(seen);
  EXPECT_EQ(seen.error().code, codes::no_photo);
  EXPECT_EQ(bench.desk().put_photo({9, 9}, jpeg(), Consent::given).error().kind, Kind::not_found);
}

TEST_F(Photos, WhatIsNoPictureHereIsNotFound) {
  for (const std::string& name : {std::string("x"), std::string(64, 'Z'), std::string(64, 'a')}) {
    const auto seen = bench.desk().photo(who, name);
    ASSERT_FALSE(seen);
    EXPECT_EQ(seen.error().kind, Kind::not_found);
    EXPECT_EQ(seen.error().code, codes::no_photo);
    EXPECT_EQ(bench.desk().erase_photo(who, name, "why", bench.desk().caller()).error().code,
              codes::no_photo);
  }
}

TEST_F(Photos, H29_ErasingNeedsAReasonAndTheJournalSaysIt) {
  const auto photo = kept(jpeg());
  examine(photo);
  const auto page = [&] { return json::to_text(TestBench::must(bench.page(who, "/places"))); };
  EXPECT_NE(page().find("/photos/" + photo), std::string::npos);
  const auto told = words::english().text("site.photo_erased", {});
  EXPECT_EQ(page().find(told), std::string::npos);
  EXPECT_EQ(bench.desk().erase_photo(who, photo, " ", bench.desk().caller()).error().code,
            codes::reason_missing);
  EXPECT_EQ(bench.desk()
                .erase_photo(who, photo, std::string(5'000, 'x'), bench.desk().caller())
                .error()
                .code,
            journal::codes::text_long);
  EXPECT_TRUE(bench.desk().photo(who, photo));
  const auto before = version();
  const auto answer = TestBench::must(
      bench.desk().erase_photo(who, photo, "she changed her mind", bench.desk().caller()));
  EXPECT_TRUE(answer.find("erased")->flag);
  EXPECT_EQ(version(), before + 1);
  const auto said = json::to_text(TestBench::must(bench.page(who, "/journal")));
  EXPECT_NE(said.find(photo.substr(0, 12)), std::string::npos);
  EXPECT_NE(said.find("she changed her mind"), std::string::npos);
  const auto gone = bench.desk().photo(who, photo);
  ASSERT_FALSE(gone);
  EXPECT_EQ(gone.error().code, codes::photo_erased);
  EXPECT_EQ(page().find("/photos/" + photo), std::string::npos) << "no link to what is gone";
  EXPECT_NE(page().find(told), std::string::npos) << "and the examination says so";
  // Sent again it is gone already, and is not noted twice.
  EXPECT_FALSE(TestBench::must(bench.desk().erase_photo(who, photo, "again", bench.desk().caller()))
                   .find("erased")
                   ->flag);
  EXPECT_EQ(version(), before + 1);
}

TEST_F(Photos, H21_AnErasureWithoutItsNoteDoesNotHappen) {
  const auto photo = kept(jpeg());
  ASSERT_TRUE(bench.store().write(
      [&](store::WriteTx& tx) { return tx.make_read_only(who, store::codes::hash_wrong); }));
  const auto answer = bench.desk().erase_photo(who, photo, "why", bench.desk().caller());
  ASSERT_FALSE(answer);
  EXPECT_EQ(answer.error().code, store::codes::journal_read_only);
  EXPECT_TRUE(bench.desk().photo(who, photo));
}

TEST_F(Photos, H29_VerifySaysHowManyPicturesAreGoneAndCallsItNoFault) {
  const auto first = kept(jpeg());
  examine(first);
  const auto second = kept(png());
  examine(second);
  examine(std::string(64, 'a'));  // as in a journal that came from elsewhere
  TestBench::must(bench.desk().erase_photo(who, second, "withdrawn", bench.desk().caller()));
  const auto verified = bench.desk().verify({});
  ASSERT_TRUE(verified);
  EXPECT_TRUE(verified->clean());
  EXPECT_EQ(verified->report.blobs, 1U);
  EXPECT_EQ(verified->report.blobs_erased, 1U);
  EXPECT_EQ(verified->photos_missing, 1U);
}

TEST_F(Photos, EveryRefusalHasItsSentences) {
  for (const auto code :
       {codes::photo_consent, codes::photo_form, codes::no_photo, codes::photo_erased,
        store::codes::no_blob, store::codes::blob_too_large, store::codes::blob_damaged}) {
    EXPECT_TRUE(words::english().has_error(code)) << code;
  }
}

}  // namespace
}  // namespace penstock::desk
