// The hand's steps: one small drawing a step, in the marks of the other drawings. None of them
// holds a number. Most of a drawing is fixed, so it stands here as path data on a plate of 128
// by 84.
#include <algorithm>

#include "edge/drawing/kit/svg.hpp"
#include "edge/drawing/pens/internal/insulin.hpp"
#include "edge/drawing/pens/pens.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

constexpr std::string_view solid = "d-line f-leaf";  // a contour with paper inside
constexpr std::string_view contour = "d-line";
constexpr std::string_view rib = "d-fine";

/// Today's spot: the ring in the overprint.
void draw_ring(Canvas& canvas, Px x, Px y) {
  canvas.circle("f-over", x, y, 10.9_px);
  canvas.circle("f-leaf", x, y, 8.1_px);
  canvas.circle("f-over", x, y, 3.2_px);
}

// ---- before the needle

void draw_taken(Canvas& canvas, Action action, bool meal) {
  canvas.path("d-eng", "M18 54H112");
  draw_insulin(canvas, action,
               {.x = meal ? 48_px : 64_px,
                .y = 12_px,
                .foot = 54_px,
                .size = 200,
                .standing = Standing::in_question});
  if (meal) canvas.path("f-ink", "M66 57h34a17 17 0 0 1 -34 0Z");
}

void draw_wash(Canvas& canvas) {
  // Tap, three threads of water, fingers reaching in from the right, the thumb below.
  canvas.path(solid, "M10 20H40Q52 20 52 31V38H40V33Q40 31 38 31H10Z");
  canvas.path(solid, "M22 20V13H30V20");
  canvas.path(contour, "M16 10H36");
  canvas.path("d-eng", "M42.5 42V80M46 42V80M49.5 42V80", {{"stroke-dasharray", "7 3"}});
  canvas.path(solid,
              "M128 36H74a5.5 5.5 0 0 0 0 11H66a5.5 5.5 0 0 0 0 11H68a5.5 5.5 0 0 0 0 11H80"
              "a5.5 5.5 0 0 0 0 11H128");
  canvas.path(contour, "M74 47H94M66 58H92M68 69H94");
  canvas.path("d-eng", "M70.5 39.5h3.5M62.5 50.5h3.5M64.5 61.5h3.5M76.5 72.5h3.5");
}

void draw_upright_cartridge(Canvas& canvas) {
  canvas.path(
      solid,
      "M31 82V22Q31 18 35 16.5Q37.5 15.5 37.5 13.5V8H48.5V13.5Q48.5 15.5 51 16.5Q55 18 55 22V82Z");
  canvas.path("f-ink", "M35 3.5H51V8H35Z");
  canvas.path("f-ink", "M31 74H55V76H31ZM31 78H55V80H31Z");
}

void draw_look(Canvas& canvas, bool cloudy) {
  draw_upright_cartridge(canvas);
  if (cloudy) {
    canvas.path("f-ghost", "M33 73V23Q33 20 36 19H50Q53 20 53 23V73Z");
  } else {
    canvas.path("d-eng", "M36 28V68M39.5 28V48");
  }
  // A lens over the glass, and what is to be seen in it.
  canvas.circle(cloudy ? "f-ghost" : "f-leaf", 78_px, 44_px, 21_px);
  canvas.path("d-heavy", "M94 60L113 79");
  canvas.path(contour, "M57 44a21 21 0 0 1 42 0a21 21 0 0 1 -42 0Z");
  if (!cloudy) {
    canvas.path(contour, "M65 39a15 15 0 0 1 9 -9");
    canvas.path("d-eng", "M93 49a15 15 0 0 1 -8 9");
    return;
  }
  // Evenly milky: the same grain everywhere.
  Path grain;
  for (int row = -2; row <= 2; ++row) {
    for (int column = -2; column <= 2; ++column) {
      const Px x = 7_px * column + (row % 2 != 0 ? 3.5_px : 0_px);
      const Px y = 7_px * row;
      constexpr Px lens = 17_px;  // the grain stays clear of the rim
      const bool inside = x.hundredths * x.hundredths + y.hundredths * y.hundredths <=
                          lens.hundredths * lens.hundredths;
      if (inside) grain.box(77_px + x, 43_px + y, 2_px, 2_px);
    }
  }
  canvas.path("f-ink", grain);
}

/// Arrowheads are ink: they show a movement, never a trend beside a number.
void draw_mix_roll(Canvas& canvas) {
  // The pen lies between two palms; the upper goes one way, the lower the other.
  canvas.path(solid, "M128 18H60Q44 18 40 27Q38 32 46 32H128Z");
  canvas.path("d-eng", "M44 28.5Q54 25 66 26");
  canvas.path(solid, "M0 66H68Q84 66 88 57Q90 52 82 52H0Z");
  canvas.path("d-eng", "M84 55.5Q74 59 62 58");
  canvas.circle("f-leaf", 64_px, 42_px, 10_px);
  canvas.path(contour, "M54 42a10 10 0 0 1 20 0a10 10 0 0 1 -20 0Z");
  canvas.path(contour, "M59.5 42a4.5 4.5 0 0 1 9 0a4.5 4.5 0 0 1 -9 0Z");
  canvas.path(contour, "M96 9H64");
  canvas.path("f-ink", "M58 9L67 4.5V13.5Z");
  canvas.path(contour, "M32 75H64");
  canvas.path("f-ink", "M70 75L61 70.5V79.5Z");
}

void draw_mix_tip(Canvas& canvas) {
  // Upright, and end over end: the same cartridge, its first stand drawn quietly.
  constexpr std::string_view glass =
      "M-7.5 27V-19Q-7.5 -22 -5 -23Q-3.5 -23.5 -3.5 -25V-28H3.5V-25Q3.5 -23.5 5 -23Q7.5 -22 7.5 "
      "-19V27Z";
  const auto stand = [&](std::string_view transform, bool now) {
    canvas.open_group({{"transform", std::string(transform)}});
    canvas.path(now ? solid : "d-eng f-ghost", glass);
    canvas.path(now ? "f-ink" : "d-eng", "M-5 -31.5H5V-28H-5Z");
    canvas.path(now ? "f-ink" : "d-eng", "M-7.5 21H7.5V23H-7.5Z");
    canvas.circle(now ? "f-ink" : "f-leaf", 0_px, 12_px, 3.2_px);
    canvas.close_group();
  };
  stand("translate(24 47)", false);
  stand("translate(104 37) rotate(180)", true);
  canvas.path(contour, "M38 30Q62 2 85 24");
  canvas.path("f-ink", "M89.5 29L80.5 26.5L86.8 19.5Z");
  canvas.path(contour, "M90 56Q66 82 43 60");
  canvas.path("f-ink", "M38.5 55L47.5 57.5L41.2 64.5Z");
}

void draw_spot(Canvas& canvas) {
  canvas.path(contour, "M9 4C7 22 7 36 9 50S15 74 19 84");
  canvas.path("d-eng", "M9 56H128");
  Path fingers;
  Path nails;
  struct Finger {
    Px x;
    Px y;
  };
  for (const Finger finger :
       {Finger{89_px, 47_px}, {76_px, 43_px}, {63_px, 42_px}, {50_px, 46_px}}) {
    const Px tip = finger.y + 6.5_px;
    fingers.move(finger.x, 86_px).down(tip).arc(6.5_px, true, finger.x + 13_px, tip).down(86_px);
    const Px nail = finger.y + 7.6_px;
    nails.move(finger.x + 3.4_px, nail + 3.4_px).down(nail);
    nails.arc(3.1_px, true, finger.x + 9.6_px, nail).down(nail + 3.4_px);
  }
  canvas.path(solid, fingers);
  canvas.path("d-eng", nails);
  canvas.path(solid, "M112 55q4-4 8 0q1 6-4 8q-5-2-4-8Z");
  draw_ring(canvas, 36_px, 38_px);
}

void draw_another_spot(Canvas& canvas) {
  Path field;
  for (int row = 0; row < 4; ++row) {
    for (int column = 0; column < 6; ++column) {
      const Px x = 12_px + 21_px * column + (row % 2 != 0 ? 10.5_px : 0_px);
      const Px y = 12_px + 18_px * row;
      field.move(x - 4_px, y).arc(4_px, true, x + 4_px, y).arc(4_px, true, x - 4_px, y).close();
    }
  }
  canvas.path("d-eng", field);
  canvas.circle("f-ink", 43.5_px, 30_px, 6.6_px);
  draw_ring(canvas, 85.5_px, 48_px);
}

// ---- pen and needle

void draw_load(Canvas& canvas) {
  // The holder open at the left, the cartridge on its way in, cap end first.
  canvas.path(solid, "M2 26H40V58H2");
  canvas.path(rib, "M46 26H50V58H46ZM40 29H46V55H40Z");
  canvas.path("d-eng", "M6 32H34M6 52H34");
  canvas.path(solid, "M122 31V53H86C79 53 76 50 75 47H68V37H75C76 34 79 31 86 31Z");
  canvas.path("f-ink", "M114 34V50H87C82 50 80 48 79 45H70V39H79C80 36 82 34 87 34Z");
  canvas.path("f-ink", "M61 34H68V50H61ZM115.5 32H117.5V52H115.5ZM119 32H121V52H119Z");
  canvas.path(contour, "M104 68H70");
  canvas.path("f-ink", "M64 68L73 63.5V72.5Z");
}

void draw_shields(Canvas& canvas) {
  canvas.path("d-eng", "M2 46H62", {{"stroke-dasharray", "3 3"}});
  canvas.path(solid, "M2 41Q2 38 5 38H22L25 32H38V29H42V63H38V60H25L22 54H5Q2 54 2 51Z");
  canvas.path(rib, "M28 32.5V59.5M32 32.5V59.5");
  canvas.path(solid, "M47 46Q47 42.5 51 42.5H63V40H67V52H63V49.5H51Q47 49.5 47 46Z");
  canvas.path("f-ink", "M72 45.3L76 44.7H92V47.3H75Z");
  canvas.path(solid, "M90 42.5H95L98 35H112V57H98L95 49.5H90Z");
  canvas.path(rib, "M100 39H111M100 43.5H111M100 48H111M100 52.5H111");
  canvas.path(solid, "M112 32H118V60H112Z");
  canvas.path(contour, "M128 26H123L118 32M128 66H123L118 60");
}

void draw_prime(Canvas& canvas) {
  canvas.path(contour, "M44 86V78Q44 73 50 71L55 68M84 86V78Q84 73 78 71L73 68");
  canvas.path(solid, "M54 59H74V68H54Z");
  canvas.path(solid, "M61 46H67V49L73 52V59H55V52L61 49Z");
  canvas.path(rib, "M58.5 53V58.5M62 53V58.5M66 53V58.5M69.5 53V58.5");
  canvas.path("f-ink", "M62.8 46V31L64.2 27.5L65.2 29V46Z");
  constexpr std::string_view drop =
      "M64 1C69 8 73.5 13 73.5 18.5A9.5 9.5 0 0 1 54.5 18.5C54.5 13 59 8 64 1Z";
  canvas.path("", drop, {{"fill", "url(#p-prime)"}, {"data-mark", "primed"}});
  canvas.path(contour, drop);
}

/// The pen's nose with its needle down; the transform puts the hub's lower edge on the skin.
void draw_pen(Canvas& canvas, std::string_view transform) {
  canvas.open_group({{"transform", std::string(transform)}});
  canvas.path(solid, "M-8 0V-8Q-8 -10 -6 -11L-5 -14H5L6 -11Q8 -10 8 -8V0Z");
  canvas.path(rib, "M-4 -8V-1M0 -8V-1M4 -8V-1");
  canvas.path(solid, "M-8 -14H8V-20H-8Z");
  canvas.path(contour, "M-12 -46V-27Q-12 -24 -9 -22L-8 -20M12 -46V-27Q12 -24 9 -22L8 -20");
  canvas.path("f-ink", "M-1.3 0V23L.4 27L1.3 24V0Z");
  canvas.close_group();
}

void draw_skin(Canvas& canvas) {
  canvas.path("d-line", "M8 46H120");
  canvas.path(rib,
              "M8 50.5H30M38 50.5H56M72 50.5H84M92 50.5H120M14 54.5H40M76 54.5H106M20 "
              "58H34M84 58H98");
  canvas.path("d-eng", "M16 72q7-5 14 0t14 0M84 72q7-5 14 0t14 0");
}

void draw_fold(Canvas& canvas) {
  canvas.open_group({{"transform", "translate(0 10)"}});
  canvas.path(contour, "M14 66H26C42 65 38 37 52 36H76C90 37 86 65 102 66H114");
  canvas.path(rib, "M50 41H58M66 41.5H78M47 46H54M62 46.5H80", {{"stroke-opacity", ".8"}});
  canvas.path(solid, "M10 56C18 47 30 42 39 45.5C44 48 42 54 36 56C28 59 20 60 12 66");
  canvas.path(solid, "M118 56C110 47 98 42 89 45.5C84 48 86 54 92 56C100 59 108 60 116 66");
  draw_pen(canvas, "translate(64 35)");
  canvas.close_group();
}

void draw_slant(Canvas& canvas) {
  draw_skin(canvas);
  canvas.path("d-eng", "M64 45V24M64 32a13 13 0 0 1 9.2 3.8", {{"stroke-dasharray", "3 2"}});
  draw_pen(canvas, "translate(64 45) rotate(45)");
}

void draw_box(Canvas& canvas, std::optional<int> percent_full) {
  constexpr Px rim = 32_px;
  constexpr Px floor = 82_px;
  if (percent_full) {
    const Px y = floor - percent(floor - rim, std::clamp(*percent_full, 0, 100));
    const Px lean = percent(y - rim, 8);  // the walls lean in, 4 in 50
    Path fill;
    fill.move(40_px + lean, y).across(88_px - lean).line(84_px, floor).across(44_px).close();
    canvas.path("f-ghost", fill, {{"data-mark", "fill"}});
  }
  canvas.path(contour, "M40 32L44 82H84L88 32");
  canvas.path(solid, "M36 27H54V32H36ZM74 27H92V32H74Z");
  // The fill line stands at three quarters.
  canvas.path(contour, "M41 44.5H87", {{"stroke-dasharray", "5 3"}});
  canvas.path("f-ink", "M92 44.5l8-4.5v9Z");
  canvas.open_group({{"transform", "translate(64 1)"}});
  canvas.path(solid, "M-7 0H7V3H5V13L3 16V27Q3 28 2 28H-2Q-3 28 -3 27V16L-5 13V3H-7Z");
  canvas.close_group();
}

void draw_step(Canvas& canvas, const HandDrawing& drawing) {
  switch (drawing.step) {
    case Hand::taken:
      return draw_taken(canvas, drawing.action, false);
    case Hand::taken_meal:
      return draw_taken(canvas, drawing.action, true);
    case Hand::wash:
      return draw_wash(canvas);
    case Hand::look_clear:
      return draw_look(canvas, false);
    case Hand::look_cloudy:
      return draw_look(canvas, true);
    case Hand::mix_roll:
      return draw_mix_roll(canvas);
    case Hand::mix_tip:
      return draw_mix_tip(canvas);
    case Hand::spot:
      return draw_spot(canvas);
    case Hand::another_spot:
      return draw_another_spot(canvas);
    case Hand::load:
      return draw_load(canvas);
    case Hand::shields:
      return draw_shields(canvas);
    case Hand::prime:
      return draw_prime(canvas);
    case Hand::into:
      draw_skin(canvas);
      return draw_pen(canvas, "translate(64 45)");
    case Hand::into_fold:
      return draw_fold(canvas);
    case Hand::into_slant:
      return draw_slant(canvas);
    case Hand::box:
      return draw_box(canvas, drawing.box_percent_full);
  }
  promise_broken("closed list");
}

}  // namespace

std::string hand(const HandDrawing& drawing) {
  Canvas canvas;
  draw_step(canvas, drawing);
  const int size = std::clamp(drawing.percent, 50, 200);
  return svg({.cls = "art",
              .width = 128_px,
              .height = 84_px,
              .shown_width = text(percent(128_px, size)),
              .shown_height = text(percent(84_px, size)),
              .alt = drawing.alt},
             canvas);
}

}  // namespace penstock::drawing
