// The facts that a scenario tells.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "core/journal/journal.hpp"
#include "spec/words.hpp"

namespace penstock::spec {

class Story {
 public:
  Story();
  /// Reads a telling line; false: the verb is not one of the telling ones.
  bool tell(const std::string& verb, Words& words);

  const std::vector<journal::Fact>& facts() const { return facts_; }
  /// The identity behind a name of the scenario: the same name is the same thing.
  static Id id_of(const std::string& name);
  /// Lines that tell of supplies make the count of sealed stock worth looking at.
  bool tells_of_supplies() const { return tells_of_supplies_; }

 private:
  void record(journal::Payload payload, Words& words);
  void set_clock(Words& words);
  void later(Words& words);
  void give_pen(Words& words);
  void load(Words& words);
  void prime(Words& words);
  void inject(Words& words);
  void test_window(Words& words);
  void spell(Words& words);
  void supplies(Words& words);
  void correct(Words& words, bool voids);
  void again(Words& words);
  // About the skin: skin_story.cpp.
  void measure(Words& words);
  void set_rules(Words& words);
  void examine(Words& words);
  void block(Words& words);
  void note_place(Words& words);
  const journal::Fact& named(Words& words);

  std::vector<journal::Fact> facts_;
  std::map<std::string, std::size_t> names_;
  std::map<std::string, bool> pens_given_;
  When clock_;
  std::string source_ = "bench";
  bool tells_of_supplies_ = false;
};

}  // namespace penstock::spec
