// What a scenario expects of the ledger.
#pragma once

#include "core/ledger/ledger.hpp"
#include "core/skin/skin.hpp"
#include "spec/story.hpp"
#include "spec/words.hpp"

namespace penstock::spec {

/// What a reader of the kept facts finds.
struct State {
  ledger::Ledger ledger;
  skin::Skin skin;
};

/// Reads the rest of an `expect` line and looks whether it holds; otherwise Broken, with what is.
void expect(Words& words, const State& state, const Story& story);

/// The same for the skin; false: nothing about it is expected.
bool expect_skin(Words& words, const std::string& what, const skin::Skin& skin, const Story& story);
void same(const Words& words, std::string_view what, const std::string& wanted,
          const std::string& is);

}  // namespace penstock::spec
