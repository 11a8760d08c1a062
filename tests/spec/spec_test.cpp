// Runs every scenario under tests/spec/ on every backend. README.md beside it has the words that a
// scenario is written in.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "spec/backends.hpp"
#include "spec/expectations.hpp"
#include "spec/story.hpp"
#include "spec/words.hpp"
#include "support/store_kit.hpp"

namespace penstock::spec {
namespace {

State state_of(const Story& story, const Backend& backend) {
  const auto kept = backend.keep(story.facts());
  const auto history = journal::read(kept);
  return {ledger::fold(history), skin::fold_skin(history)};
}

/// The head says what the scenario shows, and where that comes from.
void check_head(const std::string& line) {
  if (!line.starts_with("# spec: ") || line.find("source: ") == std::string::npos) {
    throw Broken("line 1: it should be \"# spec: what it shows   source: from where\"");
  }
}

int run(const std::filesystem::path& path, const Backend& backend) {
  std::ifstream file(path);
  std::string text;
  Story story;
  int expectations = 0;
  for (std::size_t number = 1; std::getline(file, text); ++number) {
    if (number == 1) check_head(text);
    auto cut_line = cut(text);
    if (cut_line.empty()) continue;
    const std::string verb = cut_line.front();
    cut_line.erase(cut_line.begin());
    Words words(number, std::move(cut_line));
    if (verb == "expect") {
      expect(words, state_of(story, backend), story);
      ++expectations;
    } else if (!story.tell(verb, words)) {
      words.fail("\"" + verb + "\" is no word of a scenario");
    }
  }
  if (expectations == 0) throw Broken("it expects nothing");
  return expectations;
}

class Spec : public testing::Test {
 public:
  Spec(std::filesystem::path path, Backend backend)
      : path_(std::move(path)), backend_(std::move(backend)) {}
  void TestBody() override {
    try {
      EXPECT_GT(run(path_, backend_), 0);
    } catch (const Broken& broken) {
      FAIL() << path_.filename().string() << ", " << broken.what();
    }
  }

 private:
  std::filesystem::path path_;
  Backend backend_;
};

std::vector<std::filesystem::path> scenarios() {
  std::vector<std::filesystem::path> found;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(SPEC_FOLDER)) {
    if (entry.path().extension() == ".spec") found.push_back(entry.path());
  }
  std::ranges::sort(found);
  return found;
}

/// Scenarios that do not hold must fail, with the number of the line.
TEST(SpecRunner, AScenarioThatDoesNotHoldFailsAtItsLine) {
  struct Row {
    const char* text;
    const char* complaint;
  };
  const store::kit::Folder folder;
  for (const auto& [text, complaint] :
       {Row{"load C1\n", "line 1: it should be"},
        Row{"# spec: x  source: ours\nload C1\n", "it expects nothing"},
        Row{"# spec: x  source: ours\nload C1\nexpect C1 left 299\n",
            "line 3: left should be 299, and is 300"},
        Row{"# spec: x  source: ours\nload C1 unit 3\n", "line 2: \"unit\" is left over"},
        Row{"# spec: x  source: ours\ninject C1\n", "line 2: \"units\" should stand here"},
        Row{"# spec: x  source: ours\nwish C1\n", "line 2: \"wish\" is no word"},
        Row{"# spec: x  source: ours\ncorrect F9 units 3\n", "line 2: no fact is called F9"},
        Row{"# spec: x  source: ours\ninject C1 units 5\nexpect marks none\n",
            "line 3: marks should be , and is not_loaded"},
        Row{"# spec: x  source: ours\nload C1 units .5\n", "line 2: units cannot be read"},
        Row{"# spec: x  source: ours\nexamine \"left ear\"\n", "line 2: \"left ear\" is no zone"},
        Row{"# spec: x  source: ours\nblock A1 scar \"thigh left\" at 0 0 across 4\n"
            "expect area A1 open\n",
            "line 3: area should be open, and is kept-off"}}) {
    const auto path = folder / "one.spec";
    std::ofstream(path) << text;
    try {
      run(path, backends().front());
      ADD_FAILURE() << "it held: " << text;
    } catch (const Broken& broken) {
      EXPECT_NE(std::string(broken.what()).find(complaint), std::string::npos) << broken.what();
    }
  }
}

}  // namespace
}  // namespace penstock::spec

int main(int argc, char** argv) {
  testing::InitGoogleTest(&argc, argv);
  using namespace penstock::spec;
  for (const auto& path : scenarios()) {
    for (const auto& backend : backends()) {
      const std::string suite = "Spec" + backend.name;
      testing::RegisterTest(
          suite.c_str(), path.stem().c_str(), nullptr, nullptr, __FILE__, __LINE__,
          [path, backend]() -> testing::Test* { return new Spec(path, backend); });
    }
  }
  return RUN_ALL_TESTS();
}
