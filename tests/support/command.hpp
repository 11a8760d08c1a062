// Runs the built program as a shell would, with what it reads, writes and how it ends; and a folder
// that goes away with the test.
#pragma once

#include <fcntl.h>
#include <gtest/gtest.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "edge/json/json.hpp"
#include "shell/system/system.hpp"

extern char** environ;

namespace penstock::tests {

inline std::string read_text(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

struct Ended {
  int status = -1;  ///< exit status; 128 and more: killed by a signal
  std::string out;
  std::string error;

  json::Value document() const {
    auto read = json::parse(out, {134'217'728, 6'000'000, 64});
    EXPECT_TRUE(read.has_value()) << out;
    return read ? *std::move(read) : json::null();
  }
};

/// "/pens/0/cartridge/left_text" in a document; null where there is nothing.
inline json::Value at(const json::Value& document, std::string_view pointer) {
  const auto* here = &document;
  while (!pointer.empty()) {
    pointer.remove_prefix(1);
    const auto key = pointer.substr(0, pointer.find('/'));
    pointer.remove_prefix(key.size());
    if (here->type == json::Type::array) {
      const auto index = parse_fixed(key, 0);
      if (!index || static_cast<std::size_t>(*index) >= here->members.size()) return json::null();
      here = &here->members[static_cast<std::size_t>(*index)].value;
    } else {
      here = here->find(key);
      if (here == nullptr) return json::null();
    }
  }
  return *here;
}

/// All texts of a document: what somebody could read.
inline std::string all_text(const json::Value& value) {
  std::string out = value.type == json::Type::string ? value.text + "\n" : "";
  for (const auto& member : value.members) out += all_text(member.value);
  return out;
}

class Command {
 public:
  Command() : folder_(std::filesystem::temp_directory_path() / to_text(shell::new_id())) {
    std::filesystem::create_directory(folder_);
  }
  ~Command() { std::filesystem::remove_all(folder_); }
  Command(const Command&) = delete;
  Command& operator=(const Command&) = delete;

  std::string file(const std::string& name) const { return (folder_ / name).string(); }
  std::string write(const std::string& name, const std::string& text) const {
    std::ofstream(file(name), std::ios::binary) << text;
    return file(name);
  }

  /// Starts the program; standard streams go through files in the folder.
  pid_t start(std::vector<std::string> words, const std::string& input = "") {
    write("in", input);
    words.insert(words.begin(), PENSTOCK);
    std::vector<char*> pointers;
    for (auto& word : words) pointers.push_back(word.data());
    pointers.push_back(nullptr);
    posix_spawn_file_actions_t files;
    posix_spawn_file_actions_init(&files);
    posix_spawn_file_actions_addopen(&files, 0, file("in").c_str(), O_RDONLY, 0);
    const int fresh = O_WRONLY | O_CREAT | O_TRUNC;
    posix_spawn_file_actions_addopen(&files, 1, file("out").c_str(), fresh, 0600);
    posix_spawn_file_actions_addopen(&files, 2, file("error").c_str(), fresh, 0600);
    pid_t child = -1;
    EXPECT_EQ(posix_spawn(&child, PENSTOCK, &files, nullptr, pointers.data(), environ), 0);
    posix_spawn_file_actions_destroy(&files);
    return child;
  }
  Ended finish(pid_t child) {
    int status = 0;
    ::waitpid(child, &status, 0);
    const int code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    return {code, read_text(file("out")), read_text(file("error"))};
  }
  Ended run(std::vector<std::string> words, const std::string& input = "") {
    return finish(start(std::move(words), input));
  }

 private:
  std::filesystem::path folder_;
};

}  // namespace penstock::tests
