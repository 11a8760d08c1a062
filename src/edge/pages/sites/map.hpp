// The skin as drawings want it: zones with their spots, places by age, areas, what comes next.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "edge/drawing/body/body.hpp"
#include "edge/pages/sites/sites.hpp"

namespace penstock::pages {

/// Injections of so many days are shown, fading.
inline constexpr std::int32_t shown_days = 28;

/// The zones that a plan may use: the rules', or all but the arms until rules are set.
std::vector<Zone> allowed_zones(const Chart& person);

/// Everything on this person's skin on a day. `next`: places to be ringed.
drawing::OnSkin on_skin(const Words& words, const Chart& person, const places::Body& body,
                        const When& now, std::span<const Site> next);
/// "35 in 28 days", for one side of a part of the body.
std::string side_count(const Words& words, const Chart& person, BodyPart part, bool left,
                       const When& now);
/// One plane enlarged, with its labels.
std::string plate_of(const Words& words, const Chart& person, BodyPart part,
                     const places::Body& body, const drawing::OnSkin& skin, const When& now);
/// Whether one of these zones belongs to the part.
bool has_part(std::span<const Zone> zones, BodyPart part);

}  // namespace penstock::pages
