// What a fact says, as a sentence: "fact.<kind>" in the catalogue, whose holes bear the names of
// the kind's fields. A hole without a field is filled by a function of that kind.
#pragma once

#include "edge/pages/kit/kit.hpp"

namespace penstock::pages {

Rich sentence_of(const Words& words, const Chart& person, const shelf::Shelf& shelf,
                 const journal::Payload& payload);

}  // namespace penstock::pages
