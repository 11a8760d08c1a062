// The frame of a drawing that stands in a sentence, 150 by 26 (class g), and what such drawings
// share.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "edge/drawing/kit/svg.hpp"

namespace penstock::drawing {

std::string word_sized(const Canvas& canvas, std::string_view alt);

/// `count` marks over `room`, never wider apart than `most`.
Px pitch_for(Px room, std::int64_t count, Px most);

/// Now: the overprint's arrowhead, standing on a line.
void draw_now(Canvas& canvas, Px x, Px foot);

}  // namespace penstock::drawing
