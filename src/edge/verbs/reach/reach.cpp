#include "edge/verbs/reach/reach.hpp"

#include <algorithm>
#include <cmath>

#include "core/fields/fields.hpp"
#include "edge/json/lists/lists.hpp"

namespace penstock::verbs {
namespace {

using fields::Field;
using fields::Group;
using json::Value;
namespace limits = reach::limits;

// ---- the request

std::span<const std::string_view> zone_words() {
  static const std::vector<std::string_view> names = [] {
    std::vector<std::string_view> all(body_part_names.begin(), body_part_names.end());
    all.insert(all.end(), zone_names.begin(), zone_names.end());
    return all;
  }();
  return names;
}
/// A part of the body, or one of its zones: what is measured is the part.
Result<void> read_zone(const Value& value, std::string_view at, void* into) {
  const auto place = json::choice_of(value, zone_words(), at);
  if (!place) return place.error();
  fields::as<BodyPart>(into) = *place < body_part_names.size()
                                   ? static_cast<BodyPart>(*place)
                                   : part_of(static_cast<Zone>(*place - body_part_names.size()));
  return {};
}
Value zone_schema(const Field& /*field*/) { return json::choice(zone_words()); }

/// Two decimals, to the nearest tenth.
template <class Tenths>
Result<void> read_tenths(const Value& value, std::string_view at, void* into) {
  if (value.type == json::Type::null) return {};
  const auto hundredths = json::fixed_of(value, 2, at);
  if (!hundredths) return hundredths.error();
  constexpr std::int64_t beyond = 1'000'000;  // further out than any limit
  if (*hundredths < 0 || *hundredths > beyond) {
    return Error{Kind::invalid_input, std::string(units_codes::number_range), {}, std::string(at)};
  }
  fields::as<std::optional<Tenths>>(into) =
      Tenths{static_cast<std::int32_t>(quotient(*hundredths, 10, Rounding::nearest))};
  return {};
}

constexpr fields::Own zone_or_part{&read_zone, &zone_schema};
constexpr fields::Own body_mass{&read_tenths<reach::TenthsBmi>, &json::own_number, 2};
constexpr fields::Own thickness{&read_tenths<TenthsMm>, &json::own_number, 2};
constexpr reach::Limit in_hundredths(reach::Limit tenths) {
  return {tenths.least * 10, tenths.most * 10};
}

constexpr reach::ReachRequest blank;
constexpr Field request_fields[] = {
    OWN_FIELD(reach::ReachRequest, zone, "zone", zone_or_part),
    FIELD(reach::ReachRequest, needle, "needle_mm").bound(limits::needle_tenths_mm),
    FIELD(reach::ReachRequest, angle_deg, "angle_deg")
        .bound(limits::angle_deg)
        .unless_said(blank.angle_deg)
        .about("to the skin; 90 is straight in"),
    FIELD(reach::ReachRequest, fold, "fold").unless_said(blank.fold).about("into a lifted fold"),
    FIELD(reach::ReachRequest, people, "people")
        .unless_said(blank.people)
        .about("whose thicknesses; outside its people there is no number"),
    FIELD(reach::ReachRequest, sex, "sex").about("with bmi_kg_m2 or not at all"),
    OWN_FIELD(reach::ReachRequest, bmi, "bmi_kg_m2", body_mass)
        .bound(in_hundredths(limits::bmi_tenths))
        .optional()
        .about("rounded to a tenth; 19.4 to 64.5 have a model"),
    FIELD(reach::ReachRequest, age_years, "age_years")
        .bound(limits::age_years)
        .about("needed for children"),
    FIELD(reach::ReachRequest, pregnancy_week, "pregnancy_week")
        .about("24 to 40; needed for pregnant women"),
    OWN_FIELD(reach::ReachRequest, measured, "measured_mm", thickness)
        .bound(in_hundredths(limits::measured_tenths_mm))
        .optional()
        .about("skin surface to muscle at that place by ultrasound, no fold; rounded to a tenth"),
    OWN_FIELD(reach::ReachRequest, measured_sd, "measured_sd_mm", thickness)
        .bound(in_hundredths(limits::measured_sd_tenths_mm))
        .optional()
        .about("the measurement's own standard deviation; default 1, which the answer says"),
    FIELD(reach::ReachRequest, pressed_percent, "pressed_percent")
        .bound(limits::pressed_percent)
        .unless_said(blank.pressed_percent)
        .about("how much thinner the hand presses the tissue"),
    FIELD(reach::ReachRequest, can_fold, "can_fold")
        .unless_said(blank.can_fold)
        .about("false: nobody can lift a fold here")};
constexpr Group request_list = fields::request<reach::ReachRequest>(request_fields);

// ---- the answer

template <class E>
std::string_view name_of(E one) {
  return names_of(one)[static_cast<std::size_t>(one)];
}
Arg arg_name(std::string_view name, std::string_view section, std::string_view word) {
  return arg_code(name, std::string(section) + "/" + std::string(word));
}

/// A double to a fixed number of decimals: the only place where one becomes text.
std::int64_t rounded(double value, int decimals) {
  return std::llround(value * std::pow(10.0, decimals));
}
Value mm_json(double mm) { return json::fixed(rounded(mm, 2), 2); }
Value chance_json(double chance) { return json::fixed(rounded(chance, 4), 4); }
std::string mm(double value) { return format_fixed(rounded(value, 1), 1); }

Value pair_json(Value low, Value high) { return json::array({std::move(low), std::move(high)}); }
Value band_json(const reach::Chance& chance) {
  return pair_json(chance_json(chance.low), chance_json(chance.high));
}

std::string change_said(const reach::Better& better, const Say& say) {
  std::string key = "reach.change." + std::string(name_of(better.change));
  if (better.change == reach::Change::angle && better.angle_deg == 90) {
    key = "reach.change.straight";
  }
  return say(key, std::vector<Arg>{arg_text("needle", format(better.needle)),
                                   arg_count("angle", better.angle_deg),
                                   arg_name("zone", "part", name_of(better.zone))});
}

std::string better_said(const reach::Better& better, const Say& say) {
  return say("reach.better",
             std::vector<Arg>{arg_text("change", change_said(better, say)),
                              arg_text("muscle", reach_chance_text(better.muscle_chance, say)),
                              arg_text("skin", reach_chance_text(better.skin_chance, say))});
}

Value better_json(const reach::Better& better, const Say& say) {
  return json::object({{"change", json::string(name_of(better.change))},
                       {"zone", json::string(name_of(better.zone))},
                       {"needle_mm", json::number(better.needle)},
                       {"angle_deg", json::count(better.angle_deg)},
                       {"fold", json::boolean(better.fold)},
                       {"muscle_chance", chance_json(better.muscle_chance)},
                       {"skin_chance", chance_json(better.skin_chance)},
                       {"text", json::string(change_said(better, say))}});
}

Value changes_json(const std::vector<reach::Better>& changes, const Say& say) {
  std::vector<Value> items;
  for (const auto& change : changes) items.push_back(better_json(change, say));
  return json::array(std::move(items));
}

Value cautions_json(const std::vector<std::string_view>& cautions, const Say& say) {
  std::vector<Value> items;
  for (const auto code : cautions) {
    items.push_back(
        json::object({{"code", json::string(code)}, {"text", json::string(say(code, {}))}}));
  }
  return json::array(std::move(items));
}

std::string where_said(const reach::ReachRequest& request, const reach::Reach& found,
                       const Say& say) {
  const std::string key = std::string("reach.where.") +
                          (request.angle_deg == 90 ? "straight" : "slanted") +
                          (request.fold ? "_fold" : "");
  return say(key, std::vector<Arg>{arg_name("part", "part", name_of(request.zone)),
                                   arg_text("needle", format(request.needle)),
                                   arg_count("angle", request.angle_deg),
                                   arg_text("tip", mm(found.tip_mm))});
}

/// "25% (21% to 30%)", and without the band where it is all the same in print.
std::string band_said(const std::string& value, const std::string& low, const std::string& high,
                      const Say& say) {
  if (low == value && high == value) return value;
  return say("reach.band", std::vector<Arg>{arg_text("value", value), arg_text("low", low),
                                            arg_text("high", high)});
}
std::string band_said(const reach::Chance& chance, const Say& say) {
  return band_said(reach_chance_text(chance.value, say), reach_chance_text(chance.low, say),
                   reach_chance_text(chance.high, say), say);
}

std::string depth_said(const reach::Reach& found, const Say& say) {
  const auto& median = found.median_depth_mm;
  std::vector<Arg> args{
      arg_text("median", band_said(mm(median.value), mm(median.low), mm(median.high), say)),
      arg_text("from", mm(found.eight_of_ten_low_mm)),
      arg_text("to", mm(found.eight_of_ten_high_mm))};
  if (!found.measured_sd) return say("reach.depth", args);
  args.push_back(arg_text("sd", format(*found.measured_sd)));
  return say("reach.depth_measured", args);
}

std::string chances_said(const reach::Reach& found, const Say& say) {
  return say("reach.chances", std::vector<Arg>{arg_text("muscle", band_said(found.muscle, say)),
                                               arg_text("skin", band_said(found.skin, say))});
}

/// What to do about it: nothing has to change, the best change, or neither.
std::string advice_said(const reach::Reach& found, const Say& say) {
  std::string out;
  if (found.muscle.value <= reach::chance_most && found.skin.value <= reach::chance_most) {
    out = say("reach.enough",
              std::vector<Arg>{arg_text("most", reach_chance_text(reach::chance_most, say))});
  }
  if (!found.better) return out;
  out += (out.empty() ? "" : " ") + better_said(*found.better, say);
  if (found.better->change == reach::Change::zone) out += " " + say("reach.zone_differs", {});
  return out;
}

constexpr std::string_view defer_code = "site.defer_reach";

Result<Answer> run_reach(const Value& value, const Say& say, const Stopped& /*stopped*/) {
  const auto request = parse_reach_request(value);
  if (!request) return request.error();
  const auto found = reach::reach(*request);
  if (!found) return found.error();
  return Answer{reach_answer_json(*request, *found, say), reach_text(*request, *found, say)};
}

}  // namespace

Result<reach::ReachRequest> parse_reach_request(const Value& request) {
  reach::ReachRequest out;
  if (const auto read = json::ListReader().object(request, "", request_list, &out); !read) {
    return read.error();
  }
  return out;
}

Result<reach::ReachRequest> parse_reach_request(std::string_view text) {
  const auto value = json::parse(text);
  if (!value) return value.error();
  return parse_reach_request(*value);
}

std::string reach_chance_text(double chance, const Say& say) {
  // One decimal below a tenth, as the publications print it; none above.
  const auto percent = [](double share) {
    return share < 0.0995 ? format_fixed(rounded(share * 100, 1), 1)
                          : format_fixed(rounded(share * 100, 0), 0);
  };
  const auto said = [&](std::string_view key, const std::string& text) {
    return say(key, std::vector<Arg>{arg_text("percent", text)});
  };
  if (chance < reach::chance_least) return said("reach.under", percent(reach::chance_least));
  if (chance > 1 - reach::chance_least) {
    return said("reach.over", format_fixed(rounded((1 - reach::chance_least) * 100, 1), 1));
  }
  return said("reach.percent", percent(chance));
}

std::string reach_source_text(const reach::ReachRequest& request, const reach::Reach& found,
                              const Say& say) {
  const std::vector<Arg> args{
      arg_name("model", "model", name_of(found.model)),
      arg_name("people", "people", name_of(request.people)),
      arg_text("range", say(found.range, reach::range_args(request.people))),
      arg_text("source", found.source),
      arg_text("skin_source", found.skin_source),
      arg_name("known", "known", found.how_known)};
  return say(found.source.empty() ? "reach.source_measured" : "reach.source", args);
}

json::Value reach_answer_json(const reach::ReachRequest& request, const reach::Reach& found,
                              const Say& say) {
  const auto& depth = found.median_depth_mm;
  auto out = json::object({{"tip_mm", mm_json(found.tip_mm)},
                           {"median_depth_mm", mm_json(depth.value)},
                           {"depth_band_mm", pair_json(mm_json(depth.low), mm_json(depth.high))},
                           {"eight_of_ten_mm", pair_json(mm_json(found.eight_of_ten_low_mm),
                                                         mm_json(found.eight_of_ten_high_mm))},
                           {"skin_mm", mm_json(found.skin_mm)},
                           {"muscle_chance", chance_json(found.muscle.value)},
                           {"muscle_band", band_json(found.muscle)},
                           {"skin_chance", chance_json(found.skin.value)},
                           {"skin_band", band_json(found.skin)},
                           {"model", json::string(name_of(found.model))},
                           {"people", json::string(name_of(request.people))}});
  if (found.measured_sd) json::add(out, "measured_sd_mm", json::number(*found.measured_sd));
  const auto own = say("reach.own_measurement", {});
  json::add(out, "source",
            json::string(found.source.empty() ? std::string_view(own) : found.source));
  json::add(out, "skin_source", json::string(found.skin_source));
  json::add(out, "how_known", json::string(found.how_known));
  json::add(out, "better", found.better ? better_json(*found.better, say) : json::null());
  json::add(out, "changes", changes_json(found.changes, say));
  json::add(out, "cautions", cautions_json(found.cautions, say));
  std::string text = where_said(request, found, say) + " " + depth_said(found, say) + " " +
                     chances_said(found, say);
  if (const auto advice = advice_said(found, say); !advice.empty()) text += " " + advice;
  json::add(out, "text", json::string(text));
  json::add(out, "for_whom", json::string(reach_source_text(request, found, say)));
  json::add(out, "defer", json::string(say(defer_code, {})));
  return out;
}

std::string reach_text(const reach::ReachRequest& request, const reach::Reach& found,
                       const Say& say) {
  std::string text = where_said(request, found, say) + "\n" + depth_said(found, say) + "\n" +
                     chances_said(found, say) + "\n";
  if (const auto advice = advice_said(found, say); !advice.empty()) text += advice + "\n";
  for (std::size_t i = 1; i < found.changes.size(); ++i) {
    text += "  " + better_said(found.changes[i], say) + "\n";
  }
  const auto is_zone = [](const auto& b) { return b.change == reach::Change::zone; };
  const auto other_place = std::ranges::find_if(found.changes, is_zone);
  if (other_place != found.changes.end() && other_place != found.changes.begin()) {
    text += say("reach.zone_differs", {}) + "\n";
  }
  text += "\n";
  for (const auto code : found.cautions) text += "- " + say(code, {}) + "\n";
  return text + reach_source_text(request, found, say) + "\n" + say(defer_code, {}) + "\n";
}

json::Value reach_example() {
  return example_of(
      R"({"zone": "thigh", "needle_mm": 8, "angle_deg": 90, "fold": false, "people": "adults"})");
}

json::Value reach_schema() {
  return json::headed("reach: where the needle's tip ends",
                      json::ListSchema().object(request_list));
}

const Verb reach_verb{"reach",    &reach_example,  &reach_schema,
                      &run_reach, TextForm::prose, Work::heavy};

}  // namespace penstock::verbs
