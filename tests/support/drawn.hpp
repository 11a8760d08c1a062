// For the tests: how often a mark is drawn.
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <string_view>

#include "support/xml_check.hpp"

namespace penstock::drawing {

/// Subpaths of a mark; 0: it is not there.
inline std::size_t parts(const XmlElement* element) {
  if (element == nullptr) return 0;
  const std::string data = element->attribute("d");
  return static_cast<std::size_t>(std::count(data.begin(), data.end(), 'M'));
}

inline std::size_t parts(const std::string& svg, std::string_view mark) {
  const auto drawn = check_xml(svg);
  EXPECT_EQ(drawn.error, "");
  return parts(drawn.mark(mark));
}

}  // namespace penstock::drawing
