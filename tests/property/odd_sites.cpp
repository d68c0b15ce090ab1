// Odd sites by the hundred: each is refused with every problem in its place, or gives a finite,
// balanced answer. More of them: ODD_SITES=5000 build/tests/property_odd_sites
#include <catch2/catch.hpp>
#include <cstdlib>
#include <random>

#include "sim/cases.hpp"
#include "sim/diagnostic.hpp"
#include "sim/scenario_yaml.hpp"
#include "tests/support/odd_site.hpp"
#include "tests/support/sound_run.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

int sites_asked() {
  const char* text = std::getenv("ODD_SITES");
  return text != nullptr ? std::atoi(text) : 60;
}

}  // namespace

TEST_CASE("odd sites are refused in place or give a balanced answer") {
  const int sites = sites_asked();
  int run_sites = 0;
  for (int i = 0; i < sites; ++i) {
    std::mt19937_64 random(static_cast<std::uint64_t>(i));
    std::uniform_real_distribution<double> part(0.0, 1.0);
    const std::string text = OddSite([&] { return part(random); }).text();
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
