// How does reach compare with the same chances in a script of a general numeric tool (numpy and
// scipy)?
//
// One run, the same pairs of person and needle, two answers; every chance, band and best change
// must be the same to nine decimals, or there is no figure. Compared are the bare formula over two
// columns, and the whole answer of each pair: chances, bands, and which single change helps most
// (the script keeps only its chance, ours the whole list).
//   reach_compare [PAIRS]          needs python3 with scipy (Debian: python3-scipy)
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <limits>
#include <string>
#include <vector>

#include "core/reach/reach.hpp"
#include "reach_pairs.hpp"

namespace penstock {
namespace {

constexpr int rounds = 3;  // the best of them counts
constexpr double same = 1e-9;
using Column = std::vector<double>;

double processor_seconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

/// What is compared, in the order of the script's columns.
struct Answers {
  Column bare, muscle, muscle_low, muscle_high, skin, skin_low, skin_high, best;
  double bare_seconds = std::numeric_limits<double>::max();
  double whole_seconds = std::numeric_limits<double>::max();
  std::vector<const Column*> columns() const {
    return {&bare, &muscle, &muscle_low, &muscle_high, &skin, &skin_low, &skin_high};
  }
};

double best_of(const reach::Reach& found) {
  if (!found.better) return std::numeric_limits<double>::infinity();
  const bool skin = found.skin.value > reach::chance_most && found.skin.value >= found.muscle.value;
  return skin ? found.better->skin_chance : found.better->muscle_chance;
}

Answers ours(const std::vector<reach::ReachRequest>& asked, Column& tips, Column& medians) {
  Answers out;
  for (int round = 0; round < rounds; ++round) {
    const double began = processor_seconds();
    double kept = 0;
    for (const auto& request : asked) kept += reach::reach(request)->muscle.value;
    if (kept < 0) std::abort();
    out.whole_seconds = std::min(out.whole_seconds, processor_seconds() - began);
  }
  for (const auto& request : asked) {
    const auto found = *reach::reach(request);
    tips.push_back(found.tip_mm);
    medians.push_back(found.median_depth_mm.value);
    out.muscle.push_back(found.muscle.value);
    out.muscle_low.push_back(found.muscle.low);
    out.muscle_high.push_back(found.muscle.high);
    out.skin.push_back(found.skin.value);
    out.skin_low.push_back(found.skin.low);
    out.skin_high.push_back(found.skin.high);
    out.best.push_back(best_of(found));
  }
  out.bare.resize(asked.size());
  for (int round = 0; round < rounds; ++round) {
    const double began = processor_seconds();
    reach::muscle_chances(tips, medians, 0.39, out.bare);
    out.bare_seconds = std::min(out.bare_seconds, processor_seconds() - began);
  }
  return out;
}

void write_columns(const std::filesystem::path& path, const std::vector<reach::ReachRequest>& asked,
                   const Column& tips, const Column& medians) {
  std::vector<Column> columns(6);
  for (const auto& r : asked) {
    columns[0].push_back(static_cast<double>(r.zone));
    columns[1].push_back(r.needle.tenths / 10.0);
    columns[2].push_back(r.angle_deg);
    columns[3].push_back(r.fold ? 1 : 0);
    columns[4].push_back(*r.sex == reach::Sex::female ? 1 : 0);
    columns[5].push_back(r.bmi->tenths / 10.0);
  }
  columns.push_back(tips);
  columns.push_back(medians);
  std::ofstream file(path, std::ios::binary);
  for (const auto& column : columns) {
    file.write(reinterpret_cast<const char*>(column.data()),
               static_cast<std::streamsize>(column.size() * sizeof(double)));
  }
}

struct Script {
  double bare_seconds = std::numeric_limits<double>::max();
  double whole_seconds = std::numeric_limits<double>::max();
  std::vector<Column> columns;
};

/// False where python3 or scipy is missing.
bool run_script(const std::filesystem::path& in, const std::filesystem::path& out, Script& script) {
  const auto path = std::filesystem::path(COMPARE_FOLDER) / "reach.py";
  // Debian's own python first: it is the one that python3-scipy belongs to.
  const std::string python =
      std::filesystem::exists("/usr/bin/python3") ? "/usr/bin/python3" : "python3";
  const std::string command = python + " " + path.string() + " " + in.string() + " " + out.string();
  FILE* pipe = popen(command.c_str(), "r");
  if (pipe == nullptr) return false;
  double bare = 0, whole = 0;
  const int read = std::fscanf(pipe, "%lf %lf", &bare, &whole);
  if (pclose(pipe) != 0 || read != 2) return false;
  script.bare_seconds = std::min(script.bare_seconds, bare);
  script.whole_seconds = std::min(script.whole_seconds, whole);
  return true;
}

/// How many values differ.
std::size_t differences(const Answers& answers, const Script& script) {
  std::size_t count = 0;
  const auto columns = answers.columns();
  for (std::size_t c = 0; c < columns.size(); ++c) {
    for (std::size_t i = 0; i < columns[c]->size(); ++i) {
      if (!(std::abs((*columns[c])[i] - script.columns[c][i]) <= same)) ++count;
    }
  }
  // Ours may name an easier change within chance_least of the best.
  const auto& best = script.columns.back();
  for (std::size_t i = 0; i < best.size(); ++i) {
    const double beyond = answers.best[i] - best[i];
    if (std::isinf(answers.best[i]) != std::isinf(best[i]) ||
        (!std::isinf(best[i]) && (beyond < -same || beyond > reach::chance_least + same))) {
      ++count;
    }
  }
  return count;
}

void print(const char* what, double seconds, double script_seconds, std::size_t pairs) {
  std::printf("%-14s %8.3f s of one core, %11.0f pairs/s; the script %8.3f s: %.1f times\n", what,
              seconds, static_cast<double>(pairs) / seconds, script_seconds,
              script_seconds / seconds);
}

int compare(std::size_t pairs) {
  const auto asked = reach_pairs(pairs);
  Column tips, medians;
  const Answers answers = ours(asked, tips, medians);
  const auto folder = std::filesystem::temp_directory_path();
  const auto in = folder / "reach_compare_in.bin", out = folder / "reach_compare_out.bin";
  write_columns(in, asked, tips, medians);
  Script script;
  bool ran = true;
  for (int round = 0; ran && round < rounds; ++round) ran = run_script(in, out, script);
  if (ran) {
    std::ifstream file(out, std::ios::binary);
    for (std::size_t c = 0; c < answers.columns().size() + 1; ++c) {
      script.columns.emplace_back(pairs);
      file.read(reinterpret_cast<char*>(script.columns.back().data()),
                static_cast<std::streamsize>(pairs * sizeof(double)));
    }
  }
  std::filesystem::remove(in);
  std::filesystem::remove(out);
  if (!ran) {
    std::printf(
        "bare formula %.3f s, whole answer %.3f s; the script did not run: python3-scipy "
        "is missing\n",
        answers.bare_seconds, answers.whole_seconds);
    return 0;
  }
  if (const auto count = differences(answers, script); count > 0) {
    std::cerr << count << " values differ: no figure is worth anything.\n";
    return 1;
  }
  std::printf("%zu pairs of person and needle, the same chances, bands and best changes in both\n",
              pairs);
  print("bare formula", answers.bare_seconds, script.bare_seconds, pairs);
  print("whole answer", answers.whole_seconds, script.whole_seconds, pairs);
  return 0;
}

}  // namespace
}  // namespace penstock

int main(int argc, char** argv) {
  const std::size_t pairs = argc > 1 ? std::strtoull(argv[1], nullptr, 10) : 1'000'000;
  return penstock::compare(pairs);
}
