// Odd sites by the hundred: each is refused with every problem in its place, or gives a finite,
// balanced answer. More of them: ODD_SITES=5000 build/tests/property_odd_sites
#include <catch2/catch.hpp>
#include <cstdlib>
#include <map>
#include <random>

#include "sim/cases.hpp"
#include "sim/diagnostic.hpp"
#include "sim/scenario_yaml.hpp"
#include "tests/support/odd_site.hpp"
#include "tests/support/sound_run.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

std::string odd_text(int site) {
  std::mt19937_64 random(static_cast<std::uint64_t>(site));
  std::uniform_real_distribution<double> part(0.0, 1.0);
  return OddSite([&] { return part(random); }).text();
}

int sites_asked() {
  const char* text = std::getenv("ODD_SITES");
  return text != nullptr ? std::atoi(text) : 60;
}

}  // namespace

TEST_CASE("odd sites are refused in place or give a balanced answer") {
  const int sites = sites_asked();
  int run_sites = 0;
  for (int i = 0; i < sites; ++i) {
    const std::string text = odd_text(i);
    INFO("site " << i << "\n" << text);
    Scenario scenario;
    try {
      scenario = parse_scenario(text, "odd.yaml").scenario;
    } catch (const ScenarioError& e) {
      if (std::string(e.what()).find("odd.yaml:") == std::string::npos)
        FAIL_CHECK("a problem without a place: " << e.what());
      continue;
    }
    ++run_sites;
    CHECK(what_is_unsound(run(scenario, main_cases(scenario.biomat))) == "");
  }
  CHECK(run_sites > sites / 2);  // else the generator draws nothing but refusals
}

TEST_CASE("odd sites that are taken have all that a box, a plan and the ground may say") {
  std::map<std::string, int> met;
  for (const char* words :
       {"single_outlet:", "name: o8", "name: w8", "trenches:", "leveler:", "capped: yes",
        "capped: no", "raised:", "leveler_angle:", "haul: yes", "haul: no", "when_full: {to: w",
        "water_table:\n", "amplitude:", "lining:", "check_valve:", "layers: ["})
    met[words] = 0;
  for (int i = 0; i < 400; ++i) {
    const std::string text = odd_text(i);
    try {
      (void)parse_scenario(text, "odd.yaml");
    } catch (const ScenarioError&) {
      continue;
    }
    for (auto& [words, count] : met)
      if (text.find(words) != std::string::npos) ++count;
  }
  for (const auto& [words, count] : met) {
    INFO(words);
    CHECK(count > 0);
  }
}
