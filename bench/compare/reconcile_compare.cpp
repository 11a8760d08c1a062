// How do three accounts of ninety days compare with the same books and the same sums in a script of
// a general numeric tool (numpy)?
//
// One run, the same people, honest and planted; every probability must be the same to six decimals,
// or there is no figure. The script leaves out intervals and the diary's own model; ours has them.
//   reconcile_compare [PEOPLE]     needs python3 with numpy (Debian: python3-numpy)
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

#include "core/reconcile/reconcile.hpp"
#include "edge/json/json.hpp"
#include "edge/verbs/reconcile/reconcile.hpp"
#include "support/planted_accounts.hpp"

namespace penstock {
namespace {

constexpr int rounds = 3;  // the best of them counts
constexpr double same = 1e-6;
constexpr std::uint64_t seed = 41'000'000;

double processor_seconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

std::vector<reconcile::Request> people(int count) {
  std::vector<reconcile::Request> out;
  for (std::uint64_t i = 0; out.size() < static_cast<std::size_t>(count); ++i) {
    planted::Plant plant{{}, 0, 90};
    if (i % 2 == 1) plant = {planted::planted[i / 2 % planted::planted.size()], 0.10, 90};
    auto person = planted::person(seed + i, plant);
    const auto found = reconcile::reconcile(person.request);
    // The script does not look for entries told twice.
    if (found && found->claimed.twice == 0 && found->left.cartridges > 0)
      out.push_back(std::move(person.request));
  }
  return out;
}

/// A finding, then each mechanism in its declared order.
std::vector<double> numbers(const reconcile::Accounts& found) {
  std::vector<double> out(1 + reconcile::mechanism_count);
  out[0] = found.probability;
  for (const auto& one : found.found)
    out[1 + static_cast<std::size_t>(one.which)] = one.probability;
  return out;
}

std::string output_of(const std::string& command, int& status) {
  FILE* pipe = popen(command.c_str(), "r");
  if (!pipe) return {};
  std::string out;
  std::vector<char> buffer(1 << 16);
  while (const auto read = std::fread(buffer.data(), 1, buffer.size(), pipe))
    out.append(buffer.data(), read);
  status = pclose(pipe);
  return out;
}

double differences(const std::vector<std::vector<double>>& ours, std::istream& theirs) {
  double most = 0;
  for (const auto& person : ours) {
    for (std::size_t i = 0; i < person.size(); ++i) {
      double value = -1;
      theirs >> value;
      const bool diary = i == 1 + static_cast<std::size_t>(reconcile::Mechanism::diary_later);
      if (!diary) most = std::max(most, std::abs(value - person[i]));
    }
  }
  return most;
}

int compare(int count) {
  const auto asked = people(count);
  double took = 1e9;
  std::vector<std::vector<double>> ours;
  for (int round = 0; round < rounds; ++round) {
    const double began = processor_seconds();
    std::vector<reconcile::Accounts> found;
    for (const auto& request : asked) found.push_back(*reconcile::reconcile(request));
    took = std::min(took, processor_seconds() - began);
    ours.clear();
    for (const auto& one : found) ours.push_back(numbers(one));
  }
  const auto path = std::filesystem::temp_directory_path() / "reconcile_compare.jsonl";
  std::ofstream file(path);
  for (const auto& request : asked)
    file << json::to_text(verbs::reconcile_request_json(request)) << "\n";
  file.close();
  const auto script = std::filesystem::path(COMPARE_FOLDER) / "reconcile.py";
  const std::string python =
      std::filesystem::exists("/usr/bin/python3") ? "/usr/bin/python3" : "python3";
  int status = 1;
  std::istringstream out(output_of(python + " " + script.string() + " " + path.string(), status));
  std::filesystem::remove(path);
  std::printf("%d people of ninety days: %.2f ms each of one core\n", count, took * 1000 / count);
  double books = 0, weighing = 0;
  if (status != 0 || !(out >> books >> weighing)) {
    std::printf("script: not run, python3-numpy is missing\n");
    return 0;
  }
  if (const double most = differences(ours, out); !(most < same)) {
    std::cerr << "A probability differs by " << most << ": no figure is worth anything.\n";
    return 1;
  }
  std::printf(
      "script (numpy): books %.2f ms, weighing %.2f ms each: %.0f times; the same numbers\n",
      books * 1000 / count, weighing * 1000 / count, (books + weighing) / took);
  return 0;
}

}  // namespace
}  // namespace penstock

int main(int argc, char** argv) { return penstock::compare(argc > 1 ? std::atoi(argv[1]) : 60); }
