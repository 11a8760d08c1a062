// Values to pictures: each mark of the look once, as SVG text.
//
// A drawing has the classes of look.css and names its tokens; it has no colour, no style attribute
// and no id of its own, so any number of drawings can stand on one page under one strict content
// policy. Hatches refer to `patterns()`, which the page holds once. A drawing makes no sentence:
// labels and the text alternative come in ready from `words`; numbers go through `format` (H05).
// Everything that comes in as text is escaped. Results are the same bytes on every machine: the
// geometry is done in whole hundredths of a pixel.
//
// `alt` is what a screen reader says instead of the picture. Empty: the same sentence stands beside
// the picture, which is then hidden from the reader (aria-hidden).
//
// Each matter has a small room of its own, and all of them the one namespace penstock::drawing:
// together they are the look, and no two marks of it have one name. This room has what belongs to
// no matter, and behind further doors what all drawings are drawn with: svg (paths, a canvas,
// escaping), label (captions), smooth (curves) and word_sized (the frame of a drawing in a
// sentence).
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace penstock::drawing {

// ---- once a page

/// The hatches p-prime (slant: priming), p-block (cross: do not use), p-closed (level: closed
/// days). Once on a page, before the drawings.
std::string patterns();

/// The product's emblem, 40 by 22.
std::string emblem(std::string_view alt = {});

// ---- levels

enum class Level : std::uint8_t { note, caution, stop };
/// One rule, two rules, solid block with a bar; 22 by 26. Always beside its word.
std::string level_mark(Level level, std::string_view alt = {});

// ---- in a sentence, 150 by 26 (class g)

/// So many of so many.
std::string ticks(int done, int of, std::string_view alt);
/// From now (magenta) to an appointment within 12 steps of a quarter of an hour.
std::string time_until(int minutes, std::string_view alt);

}  // namespace penstock::drawing
