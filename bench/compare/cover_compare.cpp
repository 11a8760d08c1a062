// How do exact covers compare with a simulation of the same houses in a script of a general numeric
// tool (numpy)?
//
// One run, the same houses: the script simulates so many paths of each, all paths at once, and
// gives the chance of having run out by each day; ours gives the exact one, with ask-by and boxes
// on top. Every simulated chance must lie within five standard errors of ours (and all doses that
// do not vary exactly on it), or there is no figure. A simulation's error is what it is compared
// at: with 10'000 paths a chance of 1 % is known to 0.1 % (one standard error); 100 times the paths
// are one digit more.
//   cover_compare [PEOPLE] [PATHS]          needs python3 with numpy (Debian: python3-numpy)
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <sstream>
#include <string>
#include <vector>

#include "cover_people.hpp"

namespace penstock {
namespace {

constexpr int rounds = 3;  // the best of them counts
constexpr int days = 400;  // longer than any of these houses lasts

double processor_seconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

double units(Units amount) { return static_cast<double>(amount.hundredths()) / 100; }

void write_houses(const std::filesystem::path& path, const std::vector<cover::Request>& all) {
  std::ofstream file(path);
  for (const auto& request : all) {
    for (const auto& line : request.lines) {
      file << units(line.dose_sd) << " " << units(line.prime) << " "
           << units(line.new_cartridge_prime) << " " << units(line.cartridge) << " "
           << line.in_use_days << " " << units(line.open[0].left) << " " << line.open[0].days_in_use
           << " " << line.sealed[0].cartridges;
      for (const auto dose : line.doses) file << " " << units(dose);
      file << "\n";
    }
  }
}

std::vector<double> by_day(const cover::Lasts& lasts, LocalDay on) {
  std::vector<double> gone(days, 0.0);
  for (const auto& one : lasts.runs_out) {
    const auto day = (one.day - on).count();
    for (auto i = day; i < days; ++i) gone[static_cast<std::size_t>(i)] = one.chance;
  }
  return gone;
}

std::string output_of(const std::string& command, int& status) {
  FILE* pipe = popen(command.c_str(), "r");
  if (!pipe) return {};
  std::string out;
  std::vector<char> buffer(1 << 16);
  while (const auto read = std::fread(buffer.data(), 1, buffer.size(), pipe)) {
    out.append(buffer.data(), read);
  }
  status = pclose(pipe);
  return out;
}

/// How many simulated chances are not within their error of the exact ones.
int differences(std::istream& script, const std::vector<cover::Request>& all,
                const std::vector<cover::Answer>& answers, double paths) {
  int count = 0;
  for (std::size_t i = 0; i < all.size(); ++i) {
    for (const auto& lasts : answers[i].lines) {
      for (const double exact : by_day(lasts, all[i].on)) {
        double simulated = -1;
        script >> simulated;
        // Of what hardly ever happens a few paths tell nothing: five of them are allowed for.
        const double error = std::sqrt(exact * (1 - exact) / paths);
        if (!(std::abs(simulated - exact) <= 5 * error + 5.0 / paths)) ++count;
      }
    }
  }
  return count;
}

int compare(std::size_t people, int paths) {
  const auto all = CoverPeople().make(people);
  double ours = 1e9;
  std::vector<cover::Answer> answers;
  for (int round = 0; round < rounds; ++round) {
    answers.clear();
    const double began = processor_seconds();
    for (const auto& request : all) answers.push_back(*cover::cover(request));
    ours = std::min(ours, processor_seconds() - began);
  }
  const auto path = std::filesystem::temp_directory_path() / "cover_compare.txt";
  write_houses(path, all);
  const auto script = std::filesystem::path(COMPARE_FOLDER) / "cover.py";
  const std::string python =
      std::filesystem::exists("/usr/bin/python3") ? "/usr/bin/python3" : "python3";
  int status = 1;
  std::istringstream out(output_of(python + " " + script.string() + " " + path.string() + " " +
                                       std::to_string(paths) + " " + std::to_string(days),
                                   status));
  std::filesystem::remove(path);
  std::printf("%zu people, %d paths each\n", people, paths);
  std::printf("exact law       %8.3f s of one core, %6.3f ms a person\n", ours,
              ours / static_cast<double>(people) * 1000);
  if (status != 0) {
    std::printf("script: not run, python3-numpy is missing\n");
    return 0;
  }
  double theirs = 0;
  out >> theirs;
  if (const int count = differences(out, all, answers, paths); count > 0) {
    std::cerr << count
              << " chances differ by more than their error: no figure is worth anything.\n";
    return 1;
  }
  std::printf(
      "script (numpy)  %8.3f s of one core, %6.0f times the law's time, to %.2f %% of a "
      "chance of one half\n",
      theirs, theirs / ours, 100 * 0.5 / std::sqrt(paths));
  return 0;
}

}  // namespace
}  // namespace penstock

int main(int argc, char** argv) {
  const std::size_t people = argc > 1 ? std::strtoull(argv[1], nullptr, 10) : 200;
  return penstock::compare(people, argc > 2 ? std::atoi(argv[2]) : 10'000);
}
