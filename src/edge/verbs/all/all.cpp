#include "edge/verbs/all/all.hpp"

#include <array>

#include "edge/verbs/accuracy/accuracy.hpp"
#include "edge/verbs/cover/cover.hpp"
#include "edge/verbs/dial/dial.hpp"
#include "edge/verbs/places/places.hpp"
#include "edge/verbs/reach/reach.hpp"
#include "edge/verbs/reconcile/reconcile.hpp"
#include "edge/verbs/scan/scan.hpp"
#include "edge/verbs/travel/travel.hpp"
#include "edge/verbs/warmth/warmth.hpp"

namespace penstock::verbs {

std::span<const Verb> all() {
  static const std::array known{
      dial_verb,   reach_verb,  places_verb,    cover_verb, accuracy_verb,
      warmth_verb, travel_verb, reconcile_verb, scan_verb,
  };
  return known;
}

}  // namespace penstock::verbs
