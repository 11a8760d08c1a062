// The `places` call: its request and its result as JSON, its schema, its example, and the plan as a
// text that a person can act on.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/base.hpp"
#include "core/places/places.hpp"
#include "edge/json/json.hpp"
#include "edge/verbs/verbs.hpp"

namespace penstock::verbs {

/// Reads a request. Centimetres on the skin have at most two decimals: tenths of a millimetre,
/// exact. Height and waist are rounded to a tenth of a centimetre. `zones` may name parts as a
/// whole; a place in `blocked` and `used` may be in "abdomen", whose quarters share one plane.
/// `keep` is {"bedtime": "thigh"} or [{"slot": "bedtime", "part": "thigh"}]. What the numbers may
/// be is checked by places::plan.
Result<places::PlaceRequest> parse_places_request(const json::Value& request);
Result<places::PlaceRequest> parse_places_request(std::string_view text);

/// The result: `plan`, `least_spacing_cm`, `least_rest_days`, `spots`, `zones`, `slot_parts`,
/// `longest_rest_days`, `rest_days_bound`, `cautions`, `defer`.
json::Value places_answer_json(const places::PlaceRequest& request, const places::PlacePlan& plan,
                               const Say& say);
json::Value places_example();
json::Value places_schema();

/// The plan day by day, then what it rests on, then the cautions.
std::string places_text(const places::PlaceRequest& request, const places::PlacePlan& plan,
                        const Say& say);

/// The catalogue's key and arguments for a place as people find it: "right belly, upper outer
/// quarter, 4 finger-widths from the navel".
std::pair<std::string, std::vector<Arg>> place_said(Zone zone, Spot spot, const places::Body& body);
/// The same for a caution of this plan.
std::pair<std::string, std::vector<Arg>> places_caution_said(const places::PlaceRequest& request,
                                                             const places::PlacePlan& plan,
                                                             std::string_view code);

/// The verb: request in, result out.
extern const Verb places_verb;

}  // namespace penstock::verbs
