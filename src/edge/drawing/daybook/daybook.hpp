// The daybook, a day or a night after the other: so far its rows in a sentence. What holds for
// every drawing stands in drawing/kit.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace penstock::drawing {

enum class Night : std::uint8_t { inside, below, unknown };
/// 150 by 26. A line inside the target, a notch below it, nothing where nothing is known. 1 to 14
/// nights, oldest first.
std::string nights(const std::vector<Night>& seen, std::string_view alt);
/// The same with a label under each night ("9"), 196 by 57.
std::string nights_dated(const std::vector<Night>& seen, const std::vector<std::string>& labels,
                         std::string_view alt);

/// Days with a record, then days without one.
std::string silent_days(int recorded, int silent, std::string_view alt);

}  // namespace penstock::drawing
