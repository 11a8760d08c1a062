// The contract of the command line: statuses, documents, help that fits a screen.
#include <algorithm>
#include <cstdlib>

#include "cli/clinic.hpp"
#include "edge/json/json.hpp"

namespace penstock::tests {
namespace {

struct CliWords : testing::Test, Clinic {};

void fits_a_screen(const std::string& text, const std::string& which) {
  EXPECT_LE(std::ranges::count(text, '\n'), 24) << which;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 80U) << which << line;
}

TEST_F(CliWords, HelpFitsAScreen) {
  const auto help = run({"help"});
  EXPECT_EQ(help.status, 0);
  fits_a_screen(help.out, "help");
  EXPECT_EQ(run({"--help"}).out, help.out);
  EXPECT_EQ(run({"-h"}).out, help.out);
  const auto bare = run({});
  EXPECT_EQ(bare.status, 2);
  EXPECT_EQ(bare.error, help.out);
  for (const auto* command :
       {"today",      "people", "show",   "phone",     "register", "record", "facts",
        "clinic",     "shelf",  "dial",   "reach",     "places",   "import", "import-journal",
        "export",     "serve",  "demo",   "backup",    "restore",  "verify", "rebuild",
        "completion", "month",  "cover",  "reconcile", "accuracy", "warmth", "travel",
        "scan",       "stock",  "recall", "hand-out"}) {
    EXPECT_NE(help.out.find(command), std::string::npos) << command;
    const auto one = run({"help", command});
    EXPECT_EQ(one.status, 0) << command;
    // Pharmacist D14: a key of the catalogue is no help.
    EXPECT_EQ(one.out.find("cli."), std::string::npos) << one.out;
    EXPECT_EQ(run({command, "--help"}).out, one.out) << command;
    fits_a_screen(one.out, command);
  }
  EXPECT_TRUE(run({"--version"}).out.starts_with("Penstock "));
}

TEST_F(CliWords, AWrongLineIsTwo) {
  const std::vector<std::vector<std::string>> wrong{{"nonsense"},
                                                    {"dial"},
                                                    {"dial", "--wrong"},
                                                    {"dial", "a", "b"},
                                                    {"dial", "a", "--example"},
                                                    {"show"},
                                                    {"serve", "--port", "99999"},
                                                    {"serve", "--port", "x"},
                                                    {"people", "--page", "0"},
                                                    {"completion", "csh"},
                                                    {"register", "--name", "only a name"},
                                                    {"help", "nonsense"},
                                                    {"dial", file("none.json")},
                                                    {"dial", file("")},
                                                    {"people", "--data", file("none")},
                                                    {"verify", "--data", file("none")},
                                                    {"verify", "--data", write("x", "no store")}};
  for (const auto& words : wrong) {
    const auto ended = run(words);
    EXPECT_EQ(ended.status, 2) << words.front() << (words.size() > 1 ? words[1] : "");
    EXPECT_NE(ended.error, "") << words.front();
    EXPECT_EQ(ended.out, "") << words.front();
  }
  EXPECT_FALSE(std::filesystem::exists(file("none")));  // looking makes no file
}

TEST_F(CliWords, H21_AnAnswerThatCannotBeWrittenIsNoAnswer) {
  ready();
  for (const auto& command : std::vector<std::string>{
           "export " + person, "export --diary " + person, "show " + person,
           "show --json " + person, "show --steps " + person, "verify", "today --json",
           "dial --example", "help", "--version", "completion bash"}) {
    const bool has_file = command.find("dial") == std::string::npos && command != "help" &&
                          command != "--version" && command != "completion bash";
    for (const std::string out : {"> /dev/full", ">&-"}) {
      const auto typed = std::string(PENSTOCK) + " " + command +
                         (has_file ? " --data " + data : "") + " " + out + " 2> " + file("said");
      const int status = ::system(typed.c_str());
      EXPECT_EQ(WEXITSTATUS(status), 1) << typed;
      EXPECT_NE(read_text(file("said")).find("could not be written"), std::string::npos) << typed;
    }
  }
  EXPECT_EQ(call({"verify"}).status, 0);
}

TEST_F(CliWords, H21_AFileThatWasCutToNothingIsNoNewClinic) {
  const auto empty = write("empty.penstock", "");
  for (const std::vector<std::string>& words :
       {std::vector<std::string>{"serve", "--port", "0"},
        {"demo"},
        {"clinic", "--name", "A", "--user", "B", "--zone", "UTC"}}) {
    auto typed = words;
    typed.insert(typed.end(), {"--data", empty});
    const auto ended = run(typed);
    EXPECT_EQ(ended.status, 2) << words.front();
    EXPECT_NE(ended.error.find(empty), std::string::npos) << ended.error;
    EXPECT_NE(ended.error.find("penstock restore"), std::string::npos) << ended.error;
    EXPECT_EQ(std::filesystem::file_size(empty), 0U);
  }
}

TEST_F(CliWords, ExampleSchemaTextAndJsonOfDial) {
  const auto example = run({"dial", "--example"});
  EXPECT_EQ(example.status, 0);
  const auto schema = run({"dial", "--schema"}).document();
  EXPECT_EQ(at(schema, "/type").text, "object");
  const auto file_name = write("request.json", example.out);
  const auto text = run({"dial", file_name});
  EXPECT_EQ(text.status, 0);
  EXPECT_NE(text.out.find("21"), std::string::npos);
  EXPECT_NE(text.out.find("229 units left"), std::string::npos);
  const auto answer = run({"dial", "-", "--json"}, example.out).document();
  EXPECT_EQ(at(answer, "/given_units").text, "18");
  int dials = 0;
  for (const auto& action : at(answer, "/actions").members) {
    if (at(action.value, "/do").text != "dial") continue;
    ++dials;
    EXPECT_EQ(at(action.value, "/window_units").text, "21");
  }
  EXPECT_EQ(dials, 1);
  EXPECT_EQ(at(answer, "/left_after/0/left_units").text, "229");
}

TEST_F(CliWords, ARefusalIsThreeWithItsDocument) {
  struct Row {
    std::string request;
    std::string code;
    std::string at;
  };
  const Row rows[] = {
      {"{", "json.syntax", "1"},
      {"", "json.syntax", "1"},
      {"[]", "field.type", ""},
      {R"({"dose_units": 1, "dose_units": 2})", "json.duplicate", "/dose_units"},
      {R"({"dose": 1})", "field.unknown", "/dose"},
      {R"({"dose_units": 1.005})", "number.decimals", "/dose_units"},
  };
  for (const auto& row : rows) {
    const auto ended = run({"dial", "-", "--json"}, row.request);
    EXPECT_EQ(ended.status, 3) << row.request;
    EXPECT_EQ(at(ended.document(), "/refused/code").text, row.code) << row.request;
    EXPECT_EQ(at(ended.document(), "/refused/at").text, row.at) << row.request;
    EXPECT_NE(at(ended.document(), "/refused/what").text, "") << row.request;
    EXPECT_NE(at(ended.document(), "/refused/do_this").text, "") << row.request;
    EXPECT_NE(ended.error, "") << row.request;
    const auto text = run({"dial", "-"}, row.request);
    EXPECT_EQ(text.status, 3) << row.request;
    EXPECT_EQ(text.out, "") << row.request;
    EXPECT_EQ(text.error, ended.error) << row.request;
  }
}

TEST_F(CliWords, EveryKindOfFactHasAnExampleThatReadsAndASchema) {
  const auto kinds = run({"facts", "--json"}).document();
  ASSERT_GT(at(kinds, "/facts").members.size(), 20U);
  for (const auto& kind : at(kinds, "/facts").members) {
    const auto example = run({"facts", kind.value.text, "--example"}).document();
    EXPECT_EQ(at(example, "/what").text, kind.value.text);
    EXPECT_EQ(run({"facts", kind.value.text, "--schema"}).document().type, json::Type::object);
  }
  EXPECT_EQ(run({"facts", "nonsense"}).status, 3);
}

TEST_F(CliWords, CompletionKnowsEveryCommandAndIsReadByItsShell) {
  for (const auto* shell : {"bash", "zsh", "fish"}) {
    const auto script = run({"completion", shell});
    EXPECT_EQ(script.status, 0);
    for (const auto* word : {"import-journal", "verify", "dial", "accept"}) {
      EXPECT_NE(script.out.find(word), std::string::npos) << shell << word;
    }
  }
  write("complete.bash", run({"completion", "bash"}).out);
  const auto asked = "bash -c 'source " + file("complete.bash") +
                     "; COMP_WORDS=(penstock ver); COMP_CWORD=1; _penstock; echo ${COMPREPLY[*]}; "
                     "COMP_WORDS=(penstock import --acc); COMP_CWORD=2; _penstock; echo "
                     "${COMPREPLY[*]}' > " +
                     file("completed") + " 2>&1";
  ASSERT_EQ(std::system(asked.c_str()), 0);
  EXPECT_EQ(read_text(file("completed")), "verify\n--accept\n");
}

TEST_F(CliWords, AQuestionIsAskedOnlyOfAPerson) {
  ready();
  const auto csv = write(
      "one.csv", "time,what,units,cartridge,zone,spot,note\n" + ago(3) + ",note,,,,,felt well\n");
  const auto ended = call({"import", person, csv}, "yes\n");
  EXPECT_EQ(ended.status, 0);
  EXPECT_NE(ended.out.find("--accept"), std::string::npos);
  EXPECT_EQ(at(call({"import", person, csv, "--json"}).document(), "/fresh").text, "1");
}

TEST_F(CliWords, NoProgressWhereNobodyWatches) {
  ready();
  EXPECT_EQ(call({"verify"}).error, "");
  EXPECT_EQ(call({"backup", file("b.penstock")}).error, "");
}

TEST_F(CliWords, NothingIsRecordedBeforeTheClinicIsNamed) {
  ASSERT_EQ(call({"clinic", "--name", "A", "--user", "B", "--zone", "Nowhere/Town"}).status, 3);
  const auto ended = call({"register", "--name", "Noor Haddad", "--born", "1958-06-04", "--number",
                           "1", "--zone", "UTC", "--json"});
  EXPECT_EQ(ended.status, 3);
  EXPECT_EQ(at(ended.document(), "/refused/code").text, "desk.clinic_unnamed");
}

TEST_F(CliWords, TheDemoClinicFillsANewFileAndNoOther) {
  const auto filled = call({"demo"});
  ASSERT_EQ(filled.status, 0) << filled.error;
  EXPECT_NE(filled.out.find("24 people"), std::string::npos) << filled.out;
  EXPECT_EQ(call({"demo"}).status, 3);
  EXPECT_EQ(call({"verify"}).status, 0);
  EXPECT_EQ(call({"today"}).status, 0);
  EXPECT_NE(call({"people"}).out.find("24"), std::string::npos);
}

}  // namespace
}  // namespace penstock::tests
