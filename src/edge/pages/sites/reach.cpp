#include "edge/pages/sites/reach.hpp"

#include <algorithm>
#include <cmath>

#include "edge/drawing/reach/reach.hpp"
#include "edge/json/json.hpp"
#include "edge/verbs/reach/reach.hpp"

namespace penstock::pages {
namespace {

using reach::Reach;
using reach::ReachRequest;

TenthsMm tenths(double mm) { return {static_cast<std::int32_t>(std::lround(mm * 10))}; }
std::string mm(double value) { return format(tenths(value)); }
int whole_of_hundred(double chance) { return static_cast<int>(std::lround(chance * 100)); }

// H16: above what a plan may leave unsaid.
bool is_too_likely(const Reach& found) {
  return found.muscle.value > reach::chance_most || found.skin.value > reach::chance_most;
}

// "under 0.5", "14": of a hundred injections.
std::string of_hundred(const Words& words, double chance) {
  if (chance < reach::chance_least)
    return said(words, "site.under", {arg_text("least", format_fixed(5, 1))});
  return format_fixed(std::lround(chance * 100), 0);
}

// One change as an order to the hand: "a 4 mm needle", "a lifted fold".
std::string change_words(const Words& words, const reach::Better& better) {
  return said(words, "site.change." + word_of(better.change),
              {arg_text("needle", format(better.needle)), arg_count("angle", better.angle_deg),
               arg_code("zone", "part/" + word_of(better.zone))});
}

std::string part_name(const Words& words, BodyPart part) {
  return words.name("part/" + word_of(part));
}

// "6 mm, straight in", "6 mm at 45 degrees, with a fold".
std::string way_words(const Words& words, TenthsMm needle, std::int32_t angle, bool fold) {
  const std::string key =
      std::string("site.way.") + (angle == 90 ? "straight" : "slanted") + (fold ? "_fold" : "");
  return said(words, key, {arg_text("needle", format(needle)), arg_count("angle", angle)});
}

std::string way_words(const Words& words, const ReachRequest& request) {
  return way_words(words, request.needle, request.angle_deg, request.fold);
}

Rich lead_of(const Words& words, const ReachRequest& request, const Reach& found) {
  const bool skin = found.skin.value > found.muscle.value && found.skin.value > reach::chance_most;
  const auto chance = skin ? found.skin.value : found.muscle.value;
  auto count = of_hundred(words, chance);
  if (chance >= reach::chance_least) count = said(words, "site.about", {arg_text("count", count)});
  const std::vector<Arg> args{arg_text("way", way_words(words, request)),
                              arg_text("part", part_name(words, request.zone)),
                              arg_text("count", count)};
  auto out = words.sentence(skin ? "site.lead_skin" : "site.lead", args);
  if (!found.better) return out;
  const auto& better = *found.better;
  return out + Rich{{" ", false}} +
         words.sentence(skin ? "site.lead_better_skin" : "site.lead_better",
                        {arg_text("change", change_words(words, better)),
                         arg_text("count", of_hundred(words, skin ? better.skin_chance
                                                                  : better.muscle_chance))});
}

std::string section_picture(const Words& words, const ReachRequest& request, const Reach& found) {
  drawing::Section section;
  section.needle = {request.needle, request.angle_deg,
                    way_words(words, request.needle, request.angle_deg, false)};
  for (const auto& change : found.changes) {
    if (change.change != reach::Change::angle && change.change != reach::Change::needle) continue;
    section.other = drawing::Section::Needle{
        change.needle, change.angle_deg, way_words(words, change.needle, change.angle_deg, false)};
    break;
  }
  section.skin = tenths(found.skin_mm);
  section.median = tenths(found.median_depth_mm.value);
  section.low = tenths(found.eight_of_ten_low_mm);
  section.high = tenths(found.eight_of_ten_high_mm);
  section.fold = request.fold;
  section.skin_label = said(words, "site.skin");
  section.fat_label = said(words, "site.fat");
  section.muscle_label = said(words, "site.muscle");
  section.median_label =
      said(words, "site.median", {arg_text("depth", mm(found.median_depth_mm.value))});
  section.range_first =
      said(words, "site.range_first", {arg_count("some", 8), arg_count("of", 10)});
  section.range_second = said(words, "site.range_second");
  section.mm_word = words.name("mm");
  section.alt = said(words, "site.section_alt",
                     {arg_text("way", way_words(words, request)), arg_text("tip", mm(found.tip_mm)),
                      arg_text("depth", mm(found.median_depth_mm.value)),
                      arg_text("low", mm(found.eight_of_ten_low_mm)),
                      arg_text("high", mm(found.eight_of_ten_high_mm))});
  return drawing::cross_section(section);
}

json::Value dots(const Words& words, std::string_view title, double chance) {
  const auto counted = said(words, "site.dots", {arg_text("count", of_hundred(words, chance))});
  return json::object({{"title", text(title)},
                       {"picture", svg(drawing::hundred_dots(whole_of_hundred(chance)))},
                       {"text", text(counted)}});
}

std::vector<json::Value> dots_of(const Words& words, const ReachRequest& request,
                                 const Reach& found) {
  constexpr std::size_t shown_changes = 2;
  const bool skin = found.skin.value > found.muscle.value && found.skin.value > reach::chance_most;
  std::vector<json::Value> out{
      dots(words, way_words(words, request), skin ? found.skin.value : found.muscle.value)};
  for (std::size_t i = 0; i < found.changes.size() && i < shown_changes; ++i) {
    const auto& change = found.changes[i];
    const auto title = change.change == reach::Change::zone
                           ? part_name(words, change.zone)
                           : way_words(words, change.needle, change.angle_deg, change.fold);
    out.push_back(dots(words, capital(title), skin ? change.skin_chance : change.muscle_chance));
  }
  return out;
}

json::Value row_of(const Words& words, const ReachRow& row) {
  auto out = json::object({{"part", text(capital(part_name(words, row.part)))}});
  if (!row.found) {
    json::add(out, "muscle_text", text(said(words, "site.no_number")));
    json::add(out, "skin_text", text(said(words, "site.no_number")));
    return out;
  }
  const auto band = [&](const reach::Chance& chance) {
    auto low = of_hundred(words, chance.low);
    const auto high = of_hundred(words, chance.high);
    if (low == high) return low;
    return said(words, "site.band",
                {arg_text("count", of_hundred(words, chance.value)), arg_text("low", low),
                 arg_text("high", high)});
  };
  json::add(out, "muscle_text", text(band(row.found->muscle)));
  json::add(out, "skin_text", text(band(row.found->skin)));
  if (is_too_likely(*row.found)) add_level(words, out, Level::caution);
  return out;
}

std::string say_plainly(const Words& words, std::string_view code, std::span<const Arg> args) {
  return said(words, code, {args.begin(), args.end()});
}

// Rows without a number say why, each reason once (H33); the part that is shown says it itself.
std::vector<json::Value> reasons_of(const Words& words, const ReachRequest& request,
                                    const std::vector<ReachRow>& rows) {
  std::vector<json::Value> out;
  std::vector<std::string> told;
  for (const auto& row : rows) {
    if (row.found || row.part == request.zone) continue;
    const auto why = words.say(row.found.error());
    if (std::ranges::find(told, why.what) != told.end()) continue;
    told.push_back(why.what);
    out.push_back(notice(words, Level::note, Rich{{why.what + " " + why.do_this, false}}));
  }
  return out;
}

}  // namespace

namespace {

Rich reach_warning(const Words& words, const ReachRequest& request, const Reach& found) {
  if (!is_too_likely(found)) return {};
  const std::vector<Arg> base{arg_text("part", part_name(words, request.zone)),
                              arg_text("way", way_words(words, request))};
  if (found.changes.empty()) return words.sentence("site.warning_none", base);
  auto args = base;
  args.push_back(arg_text("first", change_words(words, found.changes[0])));
  if (found.changes.size() == 1) return words.sentence("site.warning_one", args);
  args.push_back(arg_text("second", change_words(words, found.changes[1])));
  return words.sentence("site.warning", args);
}

}  // namespace

Rich reach_note(const Words& words, const PersonReach& reach) {
  if (reach.found) return reach_warning(words, reach.request, *reach.found);
  const auto told = words.say(reach.found.error());
  return words.sentence("site.no_depth", {arg_text("why", told.what + " " + told.do_this)});
}

Rich needle_note(const Words& words, const Chart& person) {
  const auto fitted = skin::another_needle(person.skin);
  if (!fitted) return {};
  return words.sentence("site.another_needle",
                        {arg_text("fitted", format(*fitted)),
                         arg_text("needle", format(*person.skin.rules->needle))});
}

json::Value empty_reach(const Words& words, json::Value empty) {
  return json::object({{"note", text("")},
                       {"lead", list()},
                       {"picture", svg("")},
                       {"dots", list()},
                       {"rows", list()},
                       {"row_heads", list({text(""), text(""), text("")})},
                       {"notices", list()},
                       {"source", text("")},
                       {"empty", std::move(empty)},
                       {"defer", text(said(words, "site.defer_reach"))}});
}

json::Value reach_section(const Words& words, const ReachRequest& request,
                          const Result<Reach>& found, const std::vector<ReachRow>& rows) {
  std::vector<json::Value> row_documents;
  auto notices = reasons_of(words, request, rows);
  for (const auto& row : rows) row_documents.push_back(row_of(words, row));
  auto out = json::object(
      {{"note", text(capital(said(words, "site.reach_note",
                                  {arg_text("part", part_name(words, request.zone))})))},
       {"rows", list(std::move(row_documents))},
       {"row_heads",
        list({text(said(words, "site.head_part")), text(said(words, "site.head_muscle")),
              text(said(words, "site.head_skin"))})},
       {"defer", text(said(words, "site.defer_reach"))}});
  if (!found) {
    const auto told = words.say(found.error());
    json::add(out, "lead", list());
    json::add(out, "picture", svg(""));
    json::add(out, "dots", list());
    json::add(out, "notices", list(std::move(notices)));
    json::add(out, "source", text(""));
    json::add(out, "refusal",
              json::object({{"what", text(told.what)}, {"do_this", text(told.do_this)}}));
    return out;
  }
  if (const auto warning = reach_warning(words, request, *found); !warning.empty())
    notices.insert(notices.begin(), notice(words, Level::caution, warning));
  for (const auto code : found->cautions)
    notices.push_back(notice(words, Level::note, words.sentence(code)));
  json::add(out, "lead", rich(lead_of(words, request, *found)));
  json::add(out, "picture", svg(section_picture(words, request, *found)));
  json::add(out, "dots", list(dots_of(words, request, *found)));
  json::add(out, "notices", list(std::move(notices)));
  json::add(out, "source",
            text(verbs::reach_source_text(request, *found,
                                          [&](std::string_view code, std::span<const Arg> args) {
                                            return say_plainly(words, code, args);
                                          })));
  return out;
}

}  // namespace penstock::pages
