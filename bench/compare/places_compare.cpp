// How does a year's place plan compare with the same plan in a script of a general numeric tool
// (numpy)?
//
// One run, the same spots, the same rules (zones by their open spots, farthest from the last four
// weeks): both plans must be the same, place by place, or there is no figure. The script is handed
// the spots and where each slot goes; ours works them out, too, and measures its plan.
//   places_compare [DAYS]          needs python3 with numpy (Debian: python3-numpy)
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <string>
#include <vector>

#include "core/places/places.hpp"

namespace penstock {
namespace {

constexpr int rounds = 5;  // the best of them counts

double processor_seconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

/// One line a thing, for the script.
void write_question(const std::filesystem::path& path, const places::PlaceRequest& r,
                    const places::PlacePlan& plan) {
  std::ofstream file(path);
  file << "days " << r.days << "\nrest " << r.rest_days << "\nspacing " << r.spacing.tenths << "\n";
  const auto plane = [](Zone zone) {
    return part_of(zone) == BodyPart::abdomen ? 0 : 10 + int(zone);
  };
  for (const auto& part : plan.slot_parts) file << "slot " << int(part.value()) << "\n";
  for (const auto& zone : plan.zones) {
    file << "zone " << int(zone.zone) << " " << plane(zone.zone) << " " << int(part_of(zone.zone))
         << "\n";
    for (const auto spot : places::lattice(zone.zone, r.body, r.spacing)) {
      file << "spot " << spot.x.tenths << " " << spot.y.tenths << "\n";
    }
  }
  for (const auto& circle : r.blocked) {
    file << "blocked " << plane(circle.zone) << " " << circle.centre.x.tenths << " "
         << circle.centre.y.tenths << " " << circle.radius.tenths << "\n";
  }
  for (const auto& used : r.used) {
    file << "used " << (used.day - r.from).count() << " " << int(used.zone) << " "
         << plane(used.zone) << " " << used.spot.x.tenths << " " << used.spot.y.tenths << "\n";
  }
}

std::string lines_of(const places::PlacePlan& plan) {
  std::string lines;
  for (const auto& one : plan.plan) {
    lines += std::to_string(int(one.zone)) + " " + std::to_string(one.spot.x.tenths) + " " +
             std::to_string(one.spot.y.tenths) + "\n";
  }
  return lines;
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

int compare(std::int32_t days) {
  auto r = places::example();
  r.days = days;
  double ours = 1e9;
  std::string lines;
  for (int round = 0; round < rounds; ++round) {
    const double began = processor_seconds();
    const auto plan = places::plan(r);
    ours = std::min(ours, processor_seconds() - began);
    if (!plan) return 1;
    lines = lines_of(*plan);
  }
  const auto path = std::filesystem::temp_directory_path() / "places_compare.txt";
  write_question(path, r, *places::plan(r));
  const auto script = std::filesystem::path(COMPARE_FOLDER) / "places.py";
  const std::string python =
      std::filesystem::exists("/usr/bin/python3") ? "/usr/bin/python3" : "python3";
  int status = 1;
  const auto out = output_of(python + " " + script.string() + " " + path.string(), status);
  std::filesystem::remove(path);
  std::printf("%d days, %td places\n", days, std::ranges::count(lines, '\n'));
  std::printf("plan            %8.2f ms of one core\n", ours * 1000);
  if (status != 0) {
    std::printf("script: not run, python3-numpy is missing\n");
    return 0;
  }
  if (out.substr(out.find('\n') + 1) != lines) {
    std::cerr << "The plans differ: no figure is worth anything.\n";
    return 1;
  }
  const double theirs = std::strtod(out.c_str(), nullptr);
  std::printf("script (numpy)  %8.2f ms  %6.1f times the plan's time, the same places\n",
              theirs * 1000, theirs / ours);
  return 0;
}

}  // namespace
}  // namespace penstock

int main(int argc, char** argv) { return penstock::compare(argc > 1 ? std::atoi(argv[1]) : 366); }
