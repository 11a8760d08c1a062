// The skin as drawings want it: zones with their spots, places by what is left of their rest,
// areas.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "edge/drawing/body/body.hpp"
#include "edge/pages/sites/sites.hpp"

namespace penstock::pages {

/// Injections of so many days are shown.
inline constexpr std::int32_t shown_days = 28;
/// Where a mark of two strokes becomes one of one stroke: days of rest that are left.
constexpr std::int32_t half_of_rest(std::int32_t rest_days) { return rest_days / 2; }

/// The zones that a plan may use: the rules', or all but the arms until rules are set.
std::vector<Zone> allowed_zones(const Chart& person);

/// Everything on this person's skin on a day; `next` is empty.
drawing::OnSkin on_skin(const Words& words, const Chart& person, const places::Body& body,
                        const When& now);
/// "35 in 28 days", for one side of a part of the body.
std::string side_count(const Words& words, const Chart& person, BodyPart part, bool left,
                       const When& now);
/// One plane enlarged, with what was injected there and its counts.
std::string plate_of(const Words& words, const Chart& person, BodyPart part,
                     const places::Body& body, const drawing::OnSkin& skin, const When& now);
/// The same with the coming places alone, numbered in the order in which they come; the first is
/// measured.
std::string plan_plate_of(const Words& words, BodyPart part, const places::Body& body,
                          drawing::OnSkin skin, std::span<const Site> coming);
/// Whether one of these zones belongs to the part.
bool has_part(std::span<const Zone> zones, BodyPart part);

}  // namespace penstock::pages
