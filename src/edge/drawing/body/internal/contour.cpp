#include "edge/drawing/body/internal/contour.hpp"

#include <algorithm>

#include "base/base.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

struct At {
  std::int16_t x;
  std::int16_t y;
};
using Line = std::span<const At>;

// ---- the contour, from the crown down

constexpr At head[] = {{0, 0},      {220, 18},   {450, 115},  {630, 320},  {720, 620}, {735, 1000},
                       {680, 1440}, {550, 1840}, {370, 2120}, {170, 2250}, {0, 2280}};
constexpr At ear[] = {{735, 950}, {810, 890}, {850, 1060}, {800, 1320}, {705, 1400}};
constexpr At outer_arm[] = {{535, 1920},  {530, 2260},  {590, 2530},  {880, 2770},  {1320, 2940},
                            {1730, 3100}, {2040, 3360}, {2220, 3740}, {2280, 4200}, {2330, 4800},
                            {2430, 5400}, {2520, 5900}, {2590, 6320}, {2750, 6800}, {2920, 7350},
                            {3070, 7900}, {3190, 8380}, {3300, 8700}};
constexpr At hand[] = {{3300, 8700},  {3470, 9020},  {3620, 9400},  {3700, 9800},  {3720, 10160},
                       {3680, 10460}, {3590, 10590}, {3490, 10530}, {3420, 10360}, {3310, 10420},
                       {3220, 10320}, {3170, 10040}, {3120, 9720}};
constexpr At thumb[] = {{3120, 9720}, {3090, 9980}, {3020, 10100}, {2930, 10060}, {2880, 9840},
                        {2870, 9480}, {2880, 9100}, {2860, 8800},  {2820, 8520}};
constexpr At inner_arm[] = {{2820, 8520}, {2700, 8150}, {2520, 7650}, {2340, 7160}, {2190, 6720},
                            {2110, 6300}, {2020, 5740}, {1900, 5160}, {1740, 4680}};
constexpr At side[] = {{1690, 4480},  {1650, 4950},  {1580, 5500},  {1490, 6000},  {1430, 6440},
                       {1440, 6860},  {1530, 7340},  {1660, 7800},  {1760, 8260},  {1810, 8740},
                       {1815, 9200},  {1780, 9850},  {1700, 10600}, {1590, 11350}, {1470, 11960},
                       {1380, 12440}, {1355, 12840}, {1400, 13340}, {1430, 13860}, {1390, 14440},
                       {1290, 15060}, {1190, 15600}};
constexpr At inner_leg[] = {{25, 9020},   {110, 9220},  {175, 9600},  {250, 10200}, {330, 10880},
                            {420, 11600}, {490, 12160}, {505, 12600}, {465, 13040}, {440, 13560},
                            {480, 14160}, {570, 14800}, {650, 15600}};

// ---- what lies inside it

constexpr At finger_gap[] = {{3530, 9740}, {3550, 10060}, {3530, 10400}};
constexpr At next_gap[] = {{3360, 9760}, {3400, 10060}, {3420, 10340}};
constexpr At collarbone[] = {{170, 2990}, {550, 2930}, {1000, 2940}, {1460, 3100}};
constexpr At throat[] = {{130, 2640}, {90, 2860}, {50, 3000}};
constexpr At breast[] = {{520, 4760}, {860, 4920}, {1200, 4840}, {1420, 4620}};
constexpr At lowest_rib[] = {{120, 5040}, {440, 5220}, {760, 5560}, {940, 5860}};
constexpr At groin[] = {{120, 8860}, {460, 8720}, {900, 8420}, {1300, 8020}, {1500, 7740}};
constexpr At knee[] = {{640, 12180}, {820, 12080}, {1060, 12080}, {1240, 12220}};
constexpr At under_knee[] = {{720, 12840}, {930, 12940}, {1160, 12820}};
constexpr At elbow[] = {{2470, 6260}, {2340, 6360}, {2230, 6340}};
constexpr At armpit[] = {{1720, 3760}, {1830, 4100}, {1780, 4460}};
constexpr At shoulder_blade[] = {{430, 3760}, {520, 4340}, {760, 4860}, {1040, 4980}, {1290, 4720}};
constexpr At blade_ridge[] = {{440, 3640}, {860, 3580}, {1340, 3440}};
constexpr At seat_fold[] = {{30, 9020}, {260, 9260}, {660, 9380}, {1060, 9280}, {1300, 9100}};
constexpr At dimple[] = {{260, 7740}, {310, 7790}, {340, 7730}};
constexpr At back_of_knee[] = {{620, 12320}, {880, 12460}, {1160, 12360}};
constexpr At thigh_muscle[] = {{800, 11100}, {840, 11700}, {740, 12140}};
constexpr At back_elbow[] = {{2520, 6160}, {2390, 6290}, {2260, 6250}};
constexpr At back_armpit[] = {{1730, 3800}, {1820, 4140}, {1770, 4480}};
constexpr At calf[] = {{880, 13700}, {940, 14300}, {930, 14800}};

constexpr std::string_view navel = "M-.55 67.3Q0 66.6 .55 67.3Q.7 68.6 0 68.9Q-.7 68.6-.55 67.3Z";
constexpr std::string_view cleft = "M0 79.8C.35 83 .4 86.6 0 90.2";
constexpr std::string_view spine = "M0 25.6C.15 34 -.1 46 0 56C.1 65 0 72 0 79.4";

// ---- the waist

// The figure's own waist: half 14.3 cm wide, taken as an ellipse 0.72 as deep as it is wide.
constexpr std::int64_t figure_height_tenths = 1680;
constexpr std::int64_t figure_waist_tenths = 780;
constexpr Px figure_half_waist{1430};
constexpr Px least_widening{-220};
constexpr Px most_widening{800};
constexpr Px arms_begin{1900};  // farther out than this it is an arm

// How much of the waist's widening reaches which height, in thousandths.
constexpr At trunk_share[] = {{0, 2900},    {100, 3800},  {350, 4700}, {750, 5500}, {1000, 6200},
                              {1000, 7400}, {900, 8000},  {750, 8700}, {620, 9500}, {450, 10600},
                              {250, 11900}, {120, 12700}, {60, 15600}};
constexpr At arm_share[] = {{0, 3000},   {250, 3360}, {350, 4200}, {420, 4680},
                            {800, 5500}, {950, 5800}, {1000, 6200}};

/// Along a line whose y only grows or only falls: its x at that height, at its ends beyond them.
Px along(Line line, Px y) {
  const auto at = y.hundredths;
  const bool falls = line.front().y > line.back().y;
  const At& top = falls ? line.back() : line.front();
  const At& bottom = falls ? line.front() : line.back();
  if (at <= top.y) return {top.x};
  if (at >= bottom.y) return {bottom.x};
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const At& a = falls ? line[i + 1] : line[i];
    const At& b = falls ? line[i] : line[i + 1];
    if (at < a.y || at > b.y || a.y == b.y) continue;
    return {a.x + quotient((b.x - a.x) * (at - a.y), b.y - a.y, Rounding::nearest)};
  }
  return {bottom.x};
}

std::int64_t widening_by(std::optional<TenthsCm> waist, std::int64_t height_tenths) {
  if (!waist) return 0;
  const auto on_figure = waist->tenths * figure_height_tenths / height_tenths;
  const auto wider = figure_half_waist.hundredths * (on_figure - figure_waist_tenths);
  return std::clamp(quotient(wider, figure_waist_tenths, Rounding::nearest),
                    least_widening.hundredths, most_widening.hundredths);
}

// An engraver lets a line run out in dashes that get shorter; from here on the leg does so.
constexpr std::string_view run_out = "2.6 .35 2 .5 1.4 .7 .9 .9 .5 1.1 .25 40";
constexpr std::size_t run_out_pieces = 2;

}  // namespace

View view_of(BodyPart part) {
  return part == BodyPart::abdomen || part == BodyPart::thigh ? View::front : View::back;
}

int left_of(View view) { return view == View::front ? 1 : -1; }

// ---- the figure

Figure::Figure(TenthsCm height, std::optional<TenthsCm> waist)
    : height_tenths_(std::clamp<std::int64_t>(height.tenths, 300, 2600)),
      widening_{widening_by(waist, height_tenths_)} {}

Px Figure::scaled(TenthsMm length) const {
  return {quotient(length.tenths * figure_height_tenths, height_tenths_, Rounding::nearest)};
}

Px Figure::half_width() const { return 37.2_px + larger(widening_, 0_px) + 0.4_px; }

Px Figure::moved(Px x, Px y) const {
  const bool arm = x >= arms_begin || (x >= 17_px && y < 47_px);
  const Px share = along(arm ? Line(arm_share) : Line(trunk_share), y);
  const Px part = arm ? figure_half_waist : smaller(x, figure_half_waist);
  const auto by = widening_.hundredths * share.hundredths * part.hundredths;
  return x + Px{quotient(by, 1000 * figure_half_waist.hundredths, Rounding::nearest)};
}

/// One side of the figure, its lines gathered by the burin that cuts them.
struct Figure::Half {
  const Figure& figure;
  int sign;

  std::vector<Point> points(Line line) const {
    std::vector<Point> result;
    for (const At at : line) {
      result.push_back({figure.moved({at.x}, {at.y}) * sign, {at.y}});
    }
    return result;
  }
  void line(Path& path, Line line) const { drawing::draw(path, smooth(points(line), Ends::open)); }
  void leg(Path& path, Path& running_out, Line line) const {
    const auto curves = smooth(points(line), Ends::open);
    const std::span<const Curve> all(curves);
    drawing::draw(path, all.first(all.size() - run_out_pieces));
    drawing::draw(running_out, all.last(run_out_pieces));
  }
};

Figure::Span Figure::across(BodyPart part, Px y) const {
  const auto at = [&](Line line) { return moved(along(line, y), y); };
  switch (part) {
    case BodyPart::abdomen:
      return {-at(side), at(side)};
    case BodyPart::thigh:
      return {at(inner_leg), at(side)};
    case BodyPart::buttock:
      return {0_px, at(side)};
    case BodyPart::arm:
      return {at(inner_arm), at(outer_arm)};
  }
  promise_broken("closed list");
}

namespace {

constexpr Line front_lines[] = {collarbone, throat, breast, knee, under_knee, armpit};
constexpr Line front_fine[] = {lowest_rib, groin, elbow, finger_gap, next_gap};
constexpr Line back_lines[] = {shoulder_blade, seat_fold, back_of_knee, back_elbow, back_armpit};
constexpr Line back_fine[] = {blade_ridge, dimple, thigh_muscle, calf, finger_gap, next_gap};

}  // namespace

void Figure::draw(Canvas& canvas, View view) const {
  Path contour, running_out, inside, fine;
  std::vector<Point> round_head;
  for (const At at : head) round_head.push_back({{at.x}, {at.y}});
  for (std::size_t i = std::size(head) - 1; i-- > 1;)
    round_head.push_back({{-head[i].x}, {head[i].y}});
  drawing::draw(contour, smooth(round_head, Ends::closed));
  const bool front = view == View::front;
  for (const int sign : {1, -1}) {
    const Half half{*this, sign};
    for (const Line line : {Line(outer_arm), Line(hand), Line(thumb), Line(inner_arm)}) {
      half.line(contour, line);
    }
    half.leg(contour, running_out, side);
    half.leg(contour, running_out, inner_leg);
    half.line(inside, ear);
    for (const Line line :
         front ? std::span<const Line>(front_lines) : std::span<const Line>(back_lines))
      half.line(inside, line);
    for (const Line line :
         front ? std::span<const Line>(front_fine) : std::span<const Line>(back_fine))
      half.line(fine, line);
  }
  // The contour is cut twice, a little apart: the burin's swelling line.
  const auto outline = [&] {
    canvas.path("fg-c", contour, {{"data-mark", "contour"}});
    canvas.path("fg-i", running_out, {{"stroke-dasharray", std::string(run_out)}});
  };
  canvas.open_group({{"class", "fg-shade"}, {"transform", "translate(.22 .2)"}});
  outline();
  canvas.close_group();
  outline();
  canvas.path("fg-i", inside);
  canvas.path("fg-f", fine);
  canvas.path("fg-i", front ? navel : cleft);
  if (!front) canvas.path("fg-f", spine);
}

// ---- zones on it

namespace {

/// Where a part's plane of skin has its origin on the figure: the navel, or the zone's middle;
/// `share` of the way from the inner to the outer line, in thousandths.
struct Hold {
  Px y;
  std::int64_t share;
  Px margin;  ///< that a zone keeps from the contour
};
Hold hold_of(BodyPart part) {
  switch (part) {
    case BodyPart::abdomen:
      return {68_px, 500, 1.2_px};
    case BodyPart::thigh:
      return {106_px, 613, 0.7_px};
    case BodyPart::buttock:
      return {83.7_px, 600, 0.7_px};
    case BodyPart::arm:
      return {50.3_px, 500, 0.5_px};
  }
  promise_broken("closed list");
}

}  // namespace

OnFigure::OnFigure(const Figure& figure, BodyPart part, const std::vector<ZoneShape>& zones)
    : figure_(figure), part_(part) {
  const Hold hold = hold_of(part);
  for (const auto& zone : zones) {
    if (part_of(zone.zone) != part) continue;
    for (const Spot corner : zone.corners) {
      const Px y = hold.y - figure.scaled(corner.y);
      const auto span = figure.across(part, y);
      // Outwards is to the person's left on a left zone.
      const Px out =
          figure.scaled(corner.x) * (part == BodyPart::abdomen || is_left(zone.zone) ? 1 : -1);
      const Px room =
          out > 0_px ? span.outer - hold.margin - axis(y) : axis(y) - span.inner - hold.margin;
      const Px length = out > 0_px ? out : -out;
      if (length > room) {
        together_ = std::min(together_, larger(room, 0_px).hundredths * 1000 / length.hundredths);
      }
    }
  }
  together_ = std::max<std::int64_t>(together_, 250);
}

Px OnFigure::axis(Px y) const {
  const auto span = figure_.across(part_, y);
  return span.inner + (span.outer - span.inner) * hold_of(part_).share / 1000;
}

Point OnFigure::at(Zone zone, Spot spot) const {
  const Px y = hold_of(part_).y - figure_.scaled(spot.y);
  const Px across = figure_.scaled(spot.x) * together_ / 1000;
  const Px from_middle = part_ == BodyPart::abdomen ? 0_px : axis(y) * (is_left(zone) ? 1 : -1);
  return {(from_middle + across) * left_of(view_of(part_)), y};
}

Point OnFigure::reach(TenthsMm radius) const {
  return {figure_.scaled(radius) * together_ / 1000, figure_.scaled(radius)};
}

}  // namespace penstock::drawing
