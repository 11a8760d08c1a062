// What a scenario expects of the ledger.
#pragma once

#include "core/ledger/ledger.hpp"
#include "spec/story.hpp"
#include "spec/words.hpp"

namespace penstock::spec {

/// Reads the rest of an `expect` line and looks whether it holds; otherwise Broken, with what is.
void expect(Words& words, const ledger::Ledger& ledger, const Story& story);

}  // namespace penstock::spec
