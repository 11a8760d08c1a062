// S13: pictures lose where they were taken. All of them are invented.
#include "shell/pictures/pictures.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>

namespace penstock::pictures {
namespace {

using namespace std::string_literals;

std::optional<Picture> plain(const std::string& bytes) {
  return pictures::plain({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
}
std::string bytes_of(const std::optional<Picture>& picture) {
  return picture ? std::string(picture->bytes.begin(), picture->bytes.end()) : "none";
}
std::string segment(char marker, const std::string& data) {
  const auto length = data.size() + 2;
  return "\xFF"s + marker + static_cast<char>(length >> 8) + static_cast<char>(length & 0xFF) +
         data;
}
std::string chunk(const std::string& name, const std::string& data) {
  return "\0\0"s + static_cast<char>(data.size() >> 8) + static_cast<char>(data.size() & 0xFF) +
         name + data + "crc!";
}

const std::string jpeg_head = "\xFF\xD8"s + segment('\xE0', "JFIF\0\1\1"s);
const std::string jpeg_scan = segment('\xDB', std::string(65, '\1')) +
                              segment('\xDA', "\1\1\0\0?\0"s) + "ab\xFF\0cd\xFF\xD0zz"s;
const std::string jpeg_end = "\xFF\xD9"s;
// Latitude 52.52 in the first directory of an Exif segment, upright and turned by a quarter.
std::string exif(char orientation) {
  return segment('\xE1', "Exif\0\0II*\0\x08\0\0\0\x02\0"s + "\x12\x01\x03\0\x01\0\0\0"s +
                             orientation + "\0\0\0"s + "\x25\x88\x04\0\x01\0\0\0\x1A\0\0\0"s +
                             "\0\0\0\0GPS 52.52 N"s);
}

TEST(Picture, H29_S13_AJpegLosesWhereItWasTaken) {
  const auto told = jpeg_head + exif(1) + segment('\xE2', "ICC_PROFILE\0") +
                    segment('\xED', "Photoshop 3.0\0IPTC city") + segment('\xFE', "by A. Nurse") +
                    jpeg_scan + jpeg_end + "and a whole archive behind it";
  const auto picture = plain(told);
  EXPECT_EQ(bytes_of(picture), jpeg_head + jpeg_scan + jpeg_end);
  EXPECT_EQ(picture->media, "image/jpeg");
}

TEST(Picture, S13_HowItIsToBeTurnedStays) {
  const auto picture = bytes_of(plain(jpeg_head + exif(6) + jpeg_scan + jpeg_end));
  EXPECT_EQ(picture.find("GPS"), std::string::npos);
  EXPECT_NE(picture.find("\x01\x12\0\3\0\0\0\1\0\6"s), std::string::npos);
  EXPECT_EQ(bytes_of(plain(picture)), picture) << "the same again changes nothing";
  const auto adobe = segment('\xEE', "Adobe\0d"s);
  EXPECT_NE(bytes_of(plain(jpeg_head + adobe + jpeg_scan + jpeg_end)).find("Adobe"),
            std::string::npos);
}

TEST(Picture, H29_S13_APngLosesItsTexts) {
  const auto head = "\x89PNG\r\n\x1A\n"s + chunk("IHDR", std::string(13, '\1'));
  const auto rest = chunk("IDAT", "pixels") + chunk("IEND", "");
  const auto told = head + chunk("tEXt", "Location\0Berlin"s) + chunk("eXIf", "MM GPS") +
                    chunk("iTXt", "x") + chunk("tIME", "1234567") + rest + "behind";
  const auto picture = plain(told);
  EXPECT_EQ(bytes_of(picture), head + rest);
  EXPECT_EQ(picture->media, "image/png");
}

TEST(Picture, S13_ItsSizeIsWhatItSaysOfItself) {
  const auto be = [](std::uint32_t n, int bytes) {
    std::string out;
    for (int i = bytes - 1; i >= 0; --i) out += static_cast<char>((n >> (8 * i)) & 0xFFU);
    return out;
  };
  const auto png = [&](std::uint32_t width, std::uint32_t height) {
    return *plain("\x89PNG\r\n\x1A\n"s +
                  chunk("IHDR", be(width, 4) + be(height, 4) + "\x08\0\0\0\0"s) +
                  chunk("IDAT", "pixels") + chunk("IEND", ""));
  };
  const auto jpeg = [&](char frame, std::uint32_t width, std::uint32_t height) {
    return *plain(jpeg_head + segment(frame, "\x08"s + be(height, 2) + be(width, 2) + "\x01"s) +
                  jpeg_scan + jpeg_end);
  };
  EXPECT_EQ(png(640, 480).width, 640U);
  EXPECT_EQ(png(640, 480).height, 480U);
  EXPECT_FALSE(too_large(png(10'000, 5'000)));
  EXPECT_TRUE(too_large(png(10'000, 5'001)));
  EXPECT_FALSE(too_large(png(20'000, 2)));
  EXPECT_TRUE(too_large(png(20'001, 1)));
  EXPECT_TRUE(too_large(png(1, 60'000)));
  EXPECT_TRUE(too_large(png(0xFFFFFFFF, 0xFFFFFFFF)));
  for (const char frame : {'\xC0', '\xC2', '\xCF'}) {
    EXPECT_EQ(jpeg(frame, 4'000, 3'000).width, 4'000U);
    EXPECT_EQ(jpeg(frame, 4'000, 3'000).height, 3'000U);
    EXPECT_TRUE(too_large(jpeg(frame, 60'000, 60'000)));
  }
  EXPECT_EQ(jpeg('\xC4', 60'000, 60'000).width, 0U) << "a table is no frame";
}

TEST(Picture, WhatIsNotWholeIsNone) {
  const auto whole = jpeg_head + jpeg_scan + jpeg_end;
  for (std::size_t size = 0; size < whole.size(); ++size)
    EXPECT_FALSE(plain(whole.substr(0, size))) << size;
  EXPECT_FALSE(plain(jpeg_head + jpeg_end)) << "no picture in it";
  EXPECT_FALSE(plain("GIF89a"));
  EXPECT_FALSE(plain("\x89PNG\r\n\x1A\n"s + chunk("IHDR", "x")));
  EXPECT_FALSE(plain("\x89PNG\r\n\x1A\n\xFF\xFF\xFF\xFFIDATxxxxxxxx"s));
}

}  // namespace
}  // namespace penstock::pictures
