// Every bad file of percolation readings gives exactly the report in the .txt of the same name, and
// so do bad options of the command line.
#include <catch2/catch.hpp>
#include <filesystem>

#include "sim/diagnostic.hpp"
#include "sim/perc.hpp"
#include "sim/scenario_yaml.hpp"
#include "tests/support/temporary_folder.hpp"

namespace fs = std::filesystem;
using namespace restwell;
using restwell::test::read_text;

namespace {

template <typename Work>
std::string report_of(const Work& work) {
  try {
    work();
  } catch (const ScenarioError& e) {
    return e.report();
  }
  return "accepted";
}

std::string report_of_options(const PercOptions& options) {
  return report_of([&] { static_cast<void>(perc_from_options(options)); });
}

}  // namespace

TEST_CASE("each bad file of readings gives its whole report") {
  int count = 0;
  for (const auto& entry : fs::directory_iterator(RESTWELL_SOURCE_DIR "/tests/errors/perc")) {
    if (entry.path().extension() != ".yaml") continue;
    ++count;
    fs::path expected = entry.path();
    expected.replace_extension(".txt");
    const std::string name = entry.path().filename().string();
    INFO(name);
    CHECK(report_of([&] { static_cast<void>(parse_perc(read_text(entry.path()), name)); }) ==
          read_text(expected));
  }
  CHECK(count >= 6);
}

TEST_CASE("bad options are named as options, all at once") {
  CHECK(report_of_options({}) ==
        "restwell perc: --hole: is missing\n"
        "  hint: Diameter of the hole: 4 to 12 in by the rule, 1 in to 10 ft is taken. It moves "
        "the result twofold.\n"
        "restwell perc: --interval: is missing\n"
        "  hint: Time of each reading.\n"
        "restwell perc: --drop: is missing\n"
        "  hint: Fall of the water in each interval, in order; the last one counts.\n"
        "3 problems; nothing was run.\n");
  PercOptions o;
  o.hole = "6";
  o.water = "7 in";
  o.presoak = "-1 hours";
  o.interval = "30 gal";
  o.structure = "structurd";
  o.temperature = "120 degF";
  o.drops = {"1 in", "8 in", "x"};
  CHECK(
      report_of_options(o) ==
      "restwell perc: --hole: needs a unit, e.g. 3 ft; accepted: ft, in, m, cm, mm, got 6\n"
      "restwell perc: --presoak: must be at least 0 hours, got -1 hours\n"
      "restwell perc: --interval: 'gal' measures volume, not duration; accepted: seconds, minutes, "
      "hours, days, weeks, months, years, got 30 gal\n"
      "restwell perc: --structure: must be one of gravelly, structured, unstructured, compacted, "
      "got structurd\n"
      "  hint: did you mean structured?\n"
      "restwell perc: --temperature: must be at most 104 degF, got 120 degF\n"
      "restwell perc: --drop (reading 3): must be a number with a unit, e.g. 3 ft; accepted: ft, "
      "in, m, cm, mm, got x\n"
      "restwell perc: --drop (reading 2): must be less than the depth of water, 7 in, got 8 in\n"
      "  hint: a hole run dry gives no rate: read at shorter intervals, 10 minutes by the rule\n"
      "7 problems; nothing was run.\n");
}

TEST_CASE("a file of readings is not taken for a site, and says where it belongs") {
  const std::string readings =
      "holes:\n  - {diameter: 6 in, interval: 30 min, drops: [1 in, 1 in, 1 in]}\n";
  CHECK(report_of([&] { static_cast<void>(parse_scenario(readings, "test.yaml")); }) ==
        "test.yaml: is a percolation test, not a site\n"
        "  hint: restwell perc test.yaml\n"
        "1 problem; nothing was run.\n");
  CHECK(report_of([&] { static_cast<void>(parse_perc("", "test.yaml")); }) ==
        "test.yaml: is empty\n1 problem; nothing was run.\n");
  CHECK(report_of([&] {
          static_cast<void>(parse_perc("holes: [1", "test.yaml"));
        }).find("nothing was run.\n") != std::string::npos);
  CHECK(report_of([&] { static_cast<void>(load_perc("absent.yaml")); }) ==
        "absent.yaml: there is no such file\n1 problem; nothing was run.\n");
}
