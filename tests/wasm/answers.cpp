#include "answers.hpp"

#include <cstdint>
#include <vector>

#include "base/base.hpp"
#include "core/places/places.hpp"
#include "core/units/units.hpp"
#include "edge/drawing/body/body.hpp"
#include "edge/drawing/pens/pens.hpp"
#include "edge/drawing/reach/reach.hpp"
#include "edge/json/json.hpp"
#include "edge/verbs/all/all.hpp"
#include "edge/verbs/verbs.hpp"
#include "edge/words/words.hpp"

namespace penstock::wasm {
namespace {

std::string said(const Error& error) { return "refused " + error.code; }

std::string units(std::string_view text) {
  const auto amount = parse_units(text);
  if (!amount) return said(amount.error());
  return std::to_string(amount->hundredths()) + " " + format(*amount);
}

std::string when(std::string_view text) {
  const auto moment = parse_when(text);
  if (!moment) return said(moment.error());
  return format_iso(*moment) + " " + format_iso(moment->day()) + " " + format_iso(moment->minute());
}

std::string id(std::string_view text) {
  const auto parsed = parse_id(text);
  return parsed ? to_text(*parsed) : "nothing";
}

/// An answer, or a refusal with its sentences, as the command line would print it for programs.
std::string answer_of(const verbs::Verb& verb, std::string_view request) {
  const verbs::Say say = [](std::string_view code, std::span<const Arg> args) {
    return words::english().text(code, {args.begin(), args.end()});
  };
  const auto found = verbs::run_verb(verb, request, say);
  if (found) return json::to_text(*found);
  const auto sentences = words::english().say(found.error());
  return json::to_text(verbs::refusal(found.error(), sentences.what, sentences.do_this));
}

/// Content, then the units of each injection; the priming of each is 2 units. Nothing where more is
/// used than was there.
std::string barrel(std::string_view text) {
  std::vector<Units> amounts;
  while (!text.empty()) {
    const auto space = text.find(' ');
    const auto amount = parse_units(text.substr(0, space));
    if (!amount) return said(amount.error());
    amounts.push_back(*amount);
    text = space == std::string_view::npos ? std::string_view{} : text.substr(space + 1);
  }
  if (amounts.empty()) return "nothing";
  drawing::Barrel picture;
  picture.content = picture.loaded = amounts.front();
  Units left = amounts.front();
  for (std::size_t i = 1; i < amounts.size(); ++i) {
    drawing::Cell cell;
    cell.primed = *Units::from_hundredths(200);
    cell.injected = amounts[i];
    const auto rest = checked_sub(left, sum(cell.primed, cell.injected));
    if (!rest) return "nothing";
    left = *rest;
    picture.cells.push_back(cell);
  }
  picture.left = left;
  return drawing::barrel(picture);
}

/// Whole numbers, as many as there are.
std::vector<std::int32_t> numbers(std::string_view text) {
  std::vector<std::int32_t> found;
  std::int32_t value = 0;
  bool inside = false;
  const auto end = [&] {
    if (inside) found.push_back(value);
    value = 0;
    inside = false;
  };
  for (const char c : text) {
    if (c < '0' || c > '9') {
      end();
    } else if (value < 100'000) {
      value = value * 10 + (c - '0');
      inside = true;
    }
  }
  end();
  return found;
}

/// Height and waist in millimetres; a place in every zone, hardened tissue, and what comes next.
drawing::OnSkin skin_of(const std::vector<std::int32_t>& of) {
  drawing::OnSkin skin;
  skin.height = {of.empty() ? 1680 : of[0]};
  if (of.size() > 1) skin.waist = TenthsCm{of[1]};
  const places::Body body{.height = skin.height, .waist = skin.waist};
  for (int i = 0; i < 10; ++i) {
    const auto zone = static_cast<Zone>(i);
    skin.zones.push_back({zone, places::outline(zone, body).corners,
                          places::lattice(zone, body, {100}), std::to_string(i) + " times"});
    const auto& spots = skin.zones.back().spots;
    for (std::size_t n = 0; n < spots.size(); n += 7) {
      skin.places.push_back({zone, spots[n], static_cast<drawing::Rest>(n % 3), "fact"});
    }
    if (spots.empty()) continue;
    skin.next.push_back({zone, spots[spots.size() / 2], "18:30", true});
    skin.areas.push_back({zone, spots[spots.size() / 3], {150}, "hardened", "area"});
  }
  return skin;
}

std::string figure(std::string_view text) {
  return drawing::body_map({.skin = skin_of(numbers(text)), .front_label = "Front"});
}

/// Part of the body, then height and waist: the plate, and its week on paper.
std::string plate(std::string_view text) {
  auto of = numbers(text);
  if (of.empty() || of[0] > 3) return "nothing";
  const auto part = static_cast<BodyPart>(of[0]);
  of.erase(of.begin());
  const auto skin = skin_of(of);
  drawing::WeekPlate week{.part = part, .skin = skin};
  for (const auto& place : skin.places) {
    week.numbered.push_back({place.zone, place.spot, std::to_string(week.numbered.size() + 1)});
  }
  return drawing::plate({.part = part, .skin = skin, .cm_word = "cm"}) + drawing::week_plate(week);
}

/// Needle, angle, skin, muscle, its range, a fold or not, all lengths in tenths of a millimetre.
std::string section(std::string_view text) {
  const auto of = numbers(text);
  if (of.size() != 7) return "nothing";
  const drawing::Section picture{.needle = {{of[0]}, of[1], "the needle"},
                                 .other = drawing::Section::Needle{{of[0]}, 45, "another"},
                                 .skin = {of[2]},
                                 .median = {of[3]},
                                 .low = {of[4]},
                                 .high = {of[5]},
                                 .fold = of[6] != 0};
  return drawing::cross_section(picture) + drawing::hundred_dots(of[0]);
}

struct Question {
  std::string_view name;
  std::string (*answer)(std::string_view rest);
};
constexpr Question questions[] = {{"units", units},    {"when", when},     {"id", id},
                                  {"barrel", barrel},  {"figure", figure}, {"plate", plate},
                                  {"section", section}};

}  // namespace

std::string answer(std::string_view question) {
  const auto space = question.find(' ');
  const auto name = question.substr(0, space);
  const auto rest =
      space == std::string_view::npos ? std::string_view{} : question.substr(space + 1);
  if (const auto* verb = verbs::find_verb(verbs::all(), name)) return answer_of(*verb, rest);
  for (const auto& one : questions) {
    if (one.name == name) return one.answer(rest);
  }
  return "there is no question " + std::string(name);
}

}  // namespace penstock::wasm
