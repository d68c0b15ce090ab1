// What a run needs of memory.
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

#include "tests/support/process.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

const std::string program = build_folder() + "/restwell";

long most_kb(const std::string& site, const std::vector<std::string>& options) {
  std::vector<std::string> line{program, "run", site};
  line.insert(line.end(), options.begin(), options.end());
  const Finished f = run_program(line);
  INFO(f.err);
  REQUIRE(f.code == 0);
  return f.most_kb;
}

// Two pits in rings of half an inch.
std::filesystem::path deep_site(const std::filesystem::path& folder, int feet) {
  const std::filesystem::path site = folder / "deep.yaml";
  std::ofstream(site) << "name: invented\nstart: 2026-05-01\nyears: 1\nhousehold: {occupants: 4}\n"
                         "tank: {volume: 1000 gal, new: yes}\n"
                         "box:\n  outlets:\n    - {name: one, to: a, invert: 0 in}\n"
                         "    - {name: two, to: b, invert: 0 in}\npits:\n"
                      << "  - {name: a, diameter: 6 ft, depth: " << feet << " ft, new: yes}\n"
                      << "  - {name: b, diameter: 6 ft, depth: " << feet << " ft, new: yes}\n"
                      << "soil: {perc: 60 min/inch}\nlimits: {ring_height: 0.5 in}\n";
  return site;
}

long most_kb_of_depth(int feet) {
  const TemporaryFolder folder;
  return most_kb(deep_site(folder.path, feet).string(), {});
}

bool sanitized() {
  return run_program({program, "--version"}).out.find("sanitizers") != std::string::npos;
}

}  // namespace

TEST_CASE("twenty years of two pits with chance need less than 50 MB") {
  if (sanitized()) return;  // they need memory of their own
  CHECK(most_kb("scenarios/two_old_pits.yaml", {"--years", "20", "--mode", "random"}) < 50'000);
}

TEST_CASE("memory grows as the number of rings, not as its square") {
  if (sanitized()) return;
  const long shallow = most_kb_of_depth(4), middle = most_kb_of_depth(25),
             deep = most_kb_of_depth(100);
  INFO(shallow << ", " << middle << ", " << deep << " kB");
  CHECK(deep - shallow < 8 * (middle - shallow));  // 4.6 by the rings; 21 by their square
}

TEST_CASE("a command that gets no memory says so and leaves nothing half-written") {
  if (sanitized()) return;  // they ask for all of the address space
  const TemporaryFolder folder;
  const std::string site = deep_site(folder.path, 50).string();
  const std::filesystem::path out = folder.path / "results";
  int without = 0, with = 0;
  // From what a program needs to be loaded to more than these need. Threads that cannot be had are
  // done without.
  for (const std::string& command : {"run '" + site + "' --out '" + out.string() + "'",
                                     std::string("run scenarios/pits_and_field.yaml --years 3"),
                                     "whatif '" + site + "' --set household.occupants=2..3"})
    for (const int mb : {10, 14, 18, 22, 26, 30, 34, 38, 60, 120}) {
      const Finished f = run_program({"bash", "-c",
                                      "ulimit -v " + std::to_string(mb * 1024) +
                                          " && PATH=/nonexistent exec " + program + " " + command});
      if (f.err.find("error while loading shared libraries") != std::string::npos) continue;
      INFO(command << " in " << mb << " MB: " << f.code << "\n" << f.err);
      if (f.code == 0) {
        ++with;
        std::filesystem::remove_all(out);
        continue;
      }
      ++without;
      CHECK(f.code == 4);
      CHECK(f.out.empty());
      CHECK(f.err.rfind("restwell: not enough memory\nhint: ", 0) == 0);
      CHECK(std::distance(std::filesystem::directory_iterator(folder.path), {}) == 1);
    }
  CHECK(without > 0);  // both are met
  CHECK(with > 0);
}
