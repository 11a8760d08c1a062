// Every mark on one page, for the eye: the test writes drawing_specimen.html into the build folder
// and checks the page as a whole.
#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <regex>
#include <set>
#include <sstream>

#include "edge/drawing/body/body.hpp"
#include "edge/drawing/daybook/daybook.hpp"
#include "edge/drawing/kit/kit.hpp"
#include "edge/drawing/pens/pens.hpp"
#include "edge/drawing/reach/reach.hpp"
#include "edge/drawing/supplies/supplies.hpp"
#include "support/body_samples.hpp"
#include "support/cleared.hpp"
#include "support/section_samples.hpp"
#include "support/xml_check.hpp"

namespace penstock::drawing {
namespace {

using namespace penstock::literals;

std::vector<Cell> every_day(int days, Units first_prime, Units prime, std::vector<Units> doses) {
  std::vector<Cell> cells;
  for (int i = 0; i < days; ++i) {
    const auto dose = doses[static_cast<std::size_t>(i) % doses.size()];
    cells.push_back({.primed = i == 0 ? first_prime : prime, .injected = dose});
  }
  return cells;
}

Units left_after(Units loaded, const std::vector<Cell>& cells) {
  Units left = loaded;
  for (const auto& cell : cells)
    left = difference(left, sum(sum(cell.primed, cell.injected), cell.thrown_away));
  return left;
}

Barrel used(Units content, int days, Units prime, std::vector<Units> doses, int width_px = 619) {
  auto cells = every_day(days, 4_units, prime, std::move(doses));
  const auto left = left_after(content, cells);
  return {.content = content,
          .loaded = content,
          .left = left,
          .cells = std::move(cells),
          .width_px = width_px,
          .alt = "Cartridge in use"};
}

class Page {
 public:
  void heading(std::string_view words) { html_ += "<h2>" + std::string(words) + "</h2>"; }
  void figure(std::string_view caption, const std::string& drawing, int width_px = 0) {
    html_ += "<figure";
    if (width_px > 0) html_ += " style=\"width:" + std::to_string(width_px) + "px\"";
    html_ += ">" + drawing + "<figcaption>" + std::string(caption) + "</figcaption></figure>";
    drawings_.push_back(drawing);
  }
  const std::vector<std::string>& drawings() const { return drawings_; }
  std::string body() const { return "<body>" + patterns() + html_ + "</body>"; }

 private:
  std::string html_;
  std::vector<std::string> drawings_;
};

void add_barrels(Page& page) {
  page.heading("Barrels in use");
  auto lispro = used(300_units, 18, 2_units, {6_units, 7_units, 8_units});
  lispro.notch = Notch{.at = difference(lispro.left, 10_units), .label = "after 18:30"};
  page.figure("300, notch", barrel(lispro), 619);
  auto glargine = used(300_units, 12, 2_units, {22_units});
  glargine.cells.pop_back();
  glargine.left = left_after(300_units, glargine.cells);
  glargine.cells.push_back({.primed = 2_units, .injected = difference(glargine.left, 14_units)});
  glargine.left = 12_units;
  glargine.away_label = "12 left: not enough for prime and dose, throw away";
  page.figure("300, a rest thrown away", barrel(glargine), 619);
  auto counted = lispro;
  counted.count = ScaleCount{.at = 118_units, .label = "scale read 118 on Tuesday 16 March"};
  page.figure("the scale disagrees", barrel(counted), 619);
  auto over = used(300_units, 12, 2_units, {22_units});
  over.cells.back().injected = sum(over.cells.back().injected, over.left);
  over.left = 0_units;
  over.cells.push_back({.primed = 2_units, .injected = 22_units});
  over.unexplained = 24_units;
  over.unexplained_label = "24 more recorded than it held";
  page.figure("unexplained", barrel(over), 619);
  auto thrown = used(300_units, 11, 2_units, {22_units});
  thrown.cells.push_back({.thrown_away = thrown.left});
  thrown.left = 0_units;
  thrown.away_label = "34 thrown away on Monday 15 March";
  page.figure("thrown away", barrel(thrown), 619);
  auto partly = used(300_units, 4, 2_units, {10_units});
  partly.loaded = 150_units;
  partly.left = left_after(150_units, partly.cells);
  page.figure("half full when it was loaded; the rest is unknown", barrel(partly), 619);
  page.figure("150", barrel(used(150_units, 20, 1_units, {3.5_units, 4_units, 2.5_units})), 619);
  page.figure("450", barrel(used(450_units, 14, 3_units, {19_units})), 619);
  page.figure("600", barrel(used(600_units, 40, 2_units, {6_units, 7_units, 8_units})), 619);
  page.figure("900", barrel(used(900_units, 9, 3_units, {40_units})), 619);
  page.figure("1500", barrel(used(1500_units, 16, 5_units, {60_units})), 619);
  page.figure("half units, 180 injections",
              barrel(used(300_units, 180, 0.5_units, {0.5_units, 1_units, 1.5_units})), 619);
  auto few = used(300_units, 10, 2_units, {27_units});
  few.left = 2_units;
  few.cells.back().injected = 33_units;
  few.cells.back().injected =
      difference(sum(few.cells.back().injected, left_after(300_units, few.cells)), 2_units);
  page.figure("2 units left", barrel(few), 619);
  auto phone = lispro;
  phone.width_px = 340;
  phone.count = ScaleCount{.at = 118_units, .label = "scale read 118 on Tuesday 16 March"};
  page.figure("phone width", barrel(phone), 340);
  page.heading("Sealed, empty");
  page.figure("sealed", sealed_barrel(300_units, "Sealed cartridge"), 619);
  Barrel tonight{.content = 300_units, .loaded = 300_units, .left = 300_units};
  tonight.thickness = Thickness::sealed;
  tonight.notch =
      Notch{.at = 274_units, .standing = Standing::in_question, .label = "274 left after 22 units"};
  page.figure("open head", barrel(tonight), 619);
  page.figure(
      "empty",
      empty_barrel({.content = 300_units, .label = "nothing loaded", .alt = "Nothing loaded"}),
      376);
}

void add_pips(Page& page) {
  page.heading("Days in use");
  page.figure("28, 5 gone",
              pips({.limit_days = 28, .days_in_use = 5, .alt = "23 of 28 days left"}));
  page.figure("28, last day", pips({.limit_days = 28, .days_in_use = 27}));
  page.figure("28, 3 beyond", pips({.limit_days = 28, .days_in_use = 30}));
  page.figure("42", pips({.limit_days = 42, .days_in_use = 12}));
  page.figure("56", pips({.limit_days = 56, .days_in_use = 40}));
}

void add_windows(Page& page) {
  page.heading("Dose window");
  for (const auto dose : {8_units, 18_units, 4.5_units, 12.5_units, 100_units, 108_units}) {
    page.figure("card", dose_window(tests::cleared_window(dose), WindowSize::card));
  }
  page.figure("table", dose_window(tests::cleared_window(10_units), WindowSize::table));
  page.figure("large", dose_window(tests::cleared_window(10_units), WindowSize::large));
  page.figure("ten", hold_rings());
  page.figure("counting", hold_rings(10, 4));
  page.figure("six", hold_rings(6));
  page.figure("strip", count_strip(2_units, 8_units, 12_units));
}

void add_hand(Page& page) {
  page.heading("The hand's steps");
  for (const auto step :
       {Hand::taken, Hand::taken_meal, Hand::wash, Hand::look_clear, Hand::look_cloudy,
        Hand::mix_roll, Hand::mix_tip, Hand::spot, Hand::another_spot, Hand::load, Hand::shields,
        Hand::prime, Hand::into, Hand::into_fold, Hand::into_slant}) {
    page.figure(
        "step",
        hand({.step = step, .action = step == Hand::taken ? Action::long_acting : Action::rapid}));
  }
  page.figure("box", hand({.step = Hand::box, .box_percent_full = 50}));
  page.figure("box, unknown", hand({.step = Hand::box}));
}

constexpr Action every_action[] = {
    Action::rapid,          Action::short_acting,   Action::intermediate,   Action::long_acting,
    Action::premixed_rapid, Action::premixed_short, Action::rapid_with_long};

void add_marks(Page& page) {
  page.heading("Insulins, emblem, levels");
  for (const auto action : every_action) page.figure("large", insulin_mark_large(action));
  for (const auto action : every_action) page.figure("in text", insulin_mark(action));
  page.figure("mismatch", mismatch({.pen = Action::rapid,
                                    .cartridge = Action::long_acting,
                                    .pen_label = "pen",
                                    .cartridge_label = "cartridge",
                                    .alt = "The pen is for lispro, the cartridge is glargine"}));
  page.figure("emblem", emblem());
  for (const auto level : {Level::note, Level::caution, Level::stop})
    page.figure("level", level_mark(level));
}

void add_today(Page& page) {
  page.heading("Today");
  const auto in = Night::inside;
  const auto low = Night::below;
  const auto none = Night::unknown;
  page.figure("31 of 28", days_open(31, 28, "Open for 31 days, limit 28"));
  page.figure("26 of 28", days_open(26, 28, ""));
  page.figure("45 of 42", days_open(45, 42, ""));
  page.figure("4 of 7 nights", nights({in, low, in, low, low, in, low}, ""));
  page.figure("unknown nights",
              nights({in, low, none, none, low, in, low, in, in, in, low, none, in, in}, ""));
  page.figure("dated", nights_dated({in, low, in, low, low, in, low},
                                    {"9", "10", "11", "12", "13", "14", "15"}, ""));
  page.figure("7 of 20", needles(7, 20, ""));
  page.figure("0 of 60", needles(12, 60, ""));
  page.figure("stock 4 of 11", stock(4, 11, 2, ""));
  page.figure("stock 20 of 30", stock(20, 30, 0, ""));
  page.figure("order ends in 5", order_ending(5, ""));
  page.figure("order ended", order_ending(-1, ""));
  page.figure("last day", order_ending(0, ""));
  page.figure("scale 118, ledger 146", scale_disagrees(300_units, 146_units, 118_units, ""));
  page.figure("scale 250, ledger 140", scale_disagrees(300_units, 140_units, 250_units, ""));
  page.figure("question, 3 days", question_open(Action::long_acting, 3, ""));
  page.figure("question, today", question_open(Action::rapid, 0, ""));
  page.figure("second check", second_check_missing(""));
  page.figure("4 of 10", ticks(4, 10, ""));
  page.figure("5 of 8", ticks(5, 8, ""));
  page.figure("silent", silent_days(4, 6, ""));
  page.figure("2 h 5 min", time_until(125, ""));
  page.figure("8 h", time_until(480, ""));
  page.figure("45 degrees", warmth({20}, {300}, {450}, ""));
  page.figure("frozen", warmth({20}, {300}, {-40}, ""));
}

void add_body(Page& page) {
  page.heading("The body and its skin");
  const BodyMap map{.skin = sample_skin(),
                    .front_label = "Front",
                    .back_label = "Back, not used yet",
                    .alt = "The figure, front and back"};
  page.figure("168 cm", body_map(map), 425);
  auto wide = map;
  wide.skin.waist = TenthsCm{1150};
  page.figure("waist 115 cm", body_map(wide), 425);
  for (const auto part : {BodyPart::abdomen, BodyPart::thigh, BodyPart::buttock, BodyPart::arm}) {
    page.figure(body_part_names[static_cast<std::size_t>(part)], plate(sample_plate(part)), 385);
    WeekPlate week{.part = part,
                   .skin = sample_skin(),
                   .left_label = "left",
                   .right_label = "right",
                   .alt = "A week of places"};
    for (const auto& zone : week.skin.zones) {
      if (part_of(zone.zone) != part) continue;
      for (std::size_t i = 0; i < zone.spots.size(); i += 11) {
        week.numbered.push_back(
            {zone.zone, zone.spots[i], std::to_string(week.numbered.size() + 1)});
      }
    }
    page.figure("a week, 60 mm", week_plate(week), 227);
  }
  for (int mark = 0; mark <= static_cast<int>(PlaceKey::blocked); ++mark) {
    page.figure("key", place_key(static_cast<PlaceKey>(mark)));
  }
}

void add_sections(Page& page) {
  page.heading("Where the needle ends");
  const auto usual = sample_section();
  page.figure("6 mm", cross_section(usual), 404);
  auto fold = usual;
  fold.fold = true;
  fold.median = {150};
  fold.low = {96};
  fold.high = {220};
  page.figure("into a fold", cross_section(fold), 404);
  auto longest = usual;
  longest.needle.length = longest.other->length = {127};
  page.figure("12.7 mm", cross_section(longest), 404);
  auto deep = usual;
  deep.other = {};
  deep.median = {400};
  deep.low = {240};
  deep.high = {660};
  page.figure("muscle at 40 mm", cross_section(deep), 404);
  auto thin = usual;
  thin.needle.length = {40};
  thin.other = {};
  thin.median = {30};
  thin.low = {18};
  thin.high = {50};
  page.figure("muscle at 3 mm", cross_section(thin), 404);
  for (const int filled : {0, 14, 100}) {
    page.figure(std::to_string(filled) + " of 100", hundred_dots(filled));
  }
}

CoverPicture supplies_for_a_month(int width_px) {
  CoverPicture out;
  out.width_px = width_px;
  out.alt = "How long supplies last";
  for (int day = 0; day < 28; ++day) {
    const int weekday = (day + 1) % 7;  // from a Tuesday on
    out.days.push_back({.number = std::to_string(16 + day % 15),
                        .week = day == 0       ? "Tue 16, today"
                                : weekday == 0 ? "Monday"
                                               : "",
                        .week_begins = weekday == 0,
                        .closed = weekday == 5 || weekday == 6});
  }
  CoverRow glargine{"Insulin glargine", "146 + 2 sealed of 300"};
  for (int day = 0; day < 28; ++day) {
    glargine.covered_thousandths.push_back(day < 9 ? 1000 : std::max(0, 1000 - (day - 8) * 180));
  }
  glargine.ask_day = 2;
  glargine.ready_day = 8;
  glargine.ask_text = "ask by Thu 18 March";
  glargine.note = "short Sun 28 March";
  out.rows = {glargine, {"Needles, 4 mm", "60", std::vector<int>(28, 1000)}};
  return out;
}

void add_supplies(Page& page) {
  page.heading("Supplies");
  for (const int width : {1286, 619}) {
    page.figure("cover", cover(supplies_for_a_month(width)), width);
  }
  for (const int needles : {0, 40, 75, 100}) {
    page.figure(std::to_string(needles) + " of 100", sharps({needles, 100, "A sharps box"}));
  }
  Deliveries test{.dose = 10_units,
                  .limit_low = 900,
                  .limit_high = 1100,
                  .low = 973,
                  .high = 1020,
                  .mean = 997,
                  .limits_label = "limits",
                  .interval_label = "9.73 to 10.2",
                  .alt = "What the pen delivered"};
  for (const std::int64_t one : {992, 1004, 985, 1010, 998, 1001, 979, 995, 1006, 990, 990}) {
    test.delivered.push_back(*Units::from_hundredths(one));
  }
  page.figure("a test of a pen", tolerance(test), 520);
  page.figure("its drift", drift(test), 520);
  page.figure("three accounts",
              accounts({{"Dispensed", 600_units, 0_units, 0_units, "600 units"},
                        {"Left the cartridges", 440_units, 60_units, 12_units, "512 units"},
                        {"Claimed by the diary", 400_units, 60_units, 12_units, "472 units"}},
                       "40 units", "Three accounts"),
              620);
  Bags packed;
  packed.first = {"First bag, at hand",
                  {{"Insulin glargine", 2, "2 sealed"}, {"Insulin lispro", 8, "8 sealed"}},
                  "56 needles"};
  packed.second = packed.first;
  packed.second.title = "Second bag";
  packed.alt = "Two bags";
  page.figure("a trip", bags(packed), 520);
  packed.cool = "kept cool, never next to ice";
  page.figure("a trip into heat", bags(packed), 520);
}

Page specimen() {
  Page page;
  add_barrels(page);
  add_pips(page);
  add_windows(page);
  add_hand(page);
  add_marks(page);
  add_today(page);
  add_body(page);
  add_sections(page);
  add_supplies(page);
  return page;
}

// The look's own files when they stand in the front end; another folder for a look at work in
// progress.
std::string look_folder() {
  if (const char* folder = std::getenv("PENSTOCK_LOOK")) return folder;
  const std::string here = __FILE__;
  return here.substr(0, here.rfind("/tests/")) + "/web/src/look";
}

TEST(Specimen, EveryMarkOnOnePageIsWellFormedAndNothingIsNamedTwice) {
  const Page page = specimen();
  const auto checked = check_xml(page.body());
  EXPECT_EQ(checked.error, "");
  std::set<std::string> ids;
  for (const auto& id : checked.ids) EXPECT_TRUE(ids.insert(id).second) << id;
  EXPECT_EQ(ids, (std::set<std::string>{"p-prime", "p-block", "p-closed"}));

  std::ofstream file("drawing_specimen.html");
  file << "<!doctype html><html lang=\"en-GB\"><meta "
          "charset=\"utf-8\"><title>Drawings</title><link rel=\"stylesheet\" href=\"file://"
       << look_folder()
       << "/look.css\"><style>body{padding:24px;display:flex;flex-wrap:wrap;gap:18px "
          "28px;align-items:flex-end}"
       << "h2{width:100%;border-top:1.5px "
          "solid}figcaption{font-size:13px;color:var(--graphite);margin-top:6px}</style>"
       << page.body() << "</html>";
  EXPECT_TRUE(file.good());
}

// The classes of look.css, and the classes by which pages place a whole drawing.
const std::set<std::string> look_classes = {
    "d-hair",     "d-fine",    "d-eng",       "d-line",     "d-heavy",  "d-over", "f-ink",
    "f-over",     "f-leaf",    "f-paper",     "f-tray",     "f-ghost",  "f-none", "m",
    "mi",         "l",         "lb",          "lo",         "ls",       "mo",     "halo",
    "crisp",      "vh",        "d-over-fine", "f-graphite", "fg-shade", "fg-c",   "fg-i",
    "fg-f",       "halo-leaf", "hit",         "mb",         "sp",       "sp-in",  "sp-old",
    "sp-old-far", "ti",        "zone-edge",   "zone-skin"};
const std::set<std::string> page_classes = {
    "brl",       "pips",      "win",           "window-table", "strip-cells",
    "rings",     "art",       "insmark",       "mismatch",     "g",
    "dated",     "lvl-mark",  "body-map",      "skin-plate",   "week-plate",
    "place-key", "reach-cut", "hundred-dots",  "cover-days",   "sharps-box",
    "tolerance", "drift",     "accounts-bars", "bags"};

TEST(Specimen, NoDrawingHasAColourAStyleOrANameOfItsOwn) {
  const std::regex colour(
      "style=|#[0-9A-Fa-f]{3,8}[^0-9A-Fa-f;]|rgb|hsl|var\\(|=\"(black|white|none|currentColor)\"");
  const Page page = specimen();
  for (const auto& drawing : page.drawings()) {
    EXPECT_FALSE(std::regex_search(drawing, colour)) << drawing.substr(0, 300);
    const auto checked = check_xml(drawing);
    EXPECT_EQ(checked.error, "");
    EXPECT_TRUE(checked.ids.empty()) << "a drawing may stand on a page twice";
    for (const auto& element : checked.elements) {
      std::istringstream classes(element.attribute("class"));
      for (std::string name; classes >> name;) {
        EXPECT_TRUE((element.name == "svg" ? page_classes : look_classes).contains(name)) << name;
      }
      for (const char* paint : {"fill", "stroke"}) {
        const auto value = element.attribute(paint);
        EXPECT_TRUE(value.empty() || value == "url(#p-prime)" || value == "url(#p-block)" ||
                    value == "url(#p-closed)")
            << value;
      }
    }
  }
}

TEST(Specimen, H35_EveryDrawingHasAnAlternativeOrIsHiddenNeverBoth) {
  const Page page = specimen();
  for (const auto& drawing : page.drawings()) {
    const auto checked = check_xml(drawing);
    const auto& svg = checked.elements.at(0);
    const bool hidden = svg.attribute("aria-hidden") == "true";
    EXPECT_NE(hidden, svg.attribute("role") == "img" && !svg.attribute("aria-label").empty());
  }
}

TEST(Specimen, NamesThatPeopleHaveStayText) {
  const std::string name = "O'Neil & <b>Wójcik</b> \"x\"";
  const auto drawn = check_xml(empty_barrel({.content = 300_units, .label = name, .alt = name}));
  EXPECT_EQ(drawn.error, "");
  EXPECT_EQ(drawn.elements[0].attribute("aria-label"), name);
  EXPECT_EQ(drawn.named("text").back().text, name);
  EXPECT_TRUE(drawn.named("b").empty());
}

TEST(Specimen, TheHatchesReferToWhatThePageHoldsOnce) {
  const auto checked = check_xml(patterns());
  EXPECT_EQ(checked.error, "");
  EXPECT_EQ(checked.ids, (std::vector<std::string>{"p-prime", "p-block", "p-closed"}));
  EXPECT_EQ(patterns().find("style="), std::string::npos);
}

}  // namespace
}  // namespace penstock::drawing
