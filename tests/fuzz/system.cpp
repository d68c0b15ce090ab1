// Bytes as the choices of a generator of valid but odd sites: a year of each, all ledgers and
// numbers checked. Not in ctest; see DEVELOPERS.md.
#include <cstdint>
#include <cstdio>
#include <cstdlib>

#include "sim/cases.hpp"
#include "sim/diagnostic.hpp"
#include "sim/scenario_yaml.hpp"
#include "tests/support/odd_site.hpp"
#include "tests/support/sound_run.hpp"

using namespace restwell;

namespace {

[[noreturn]] void fail(const std::string& site, const std::string& why) {
  std::fprintf(stderr, "%s\n%s\n", site.c_str(), why.c_str());
  std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  std::size_t at = 0;
  const auto draw = [&] { return at < size ? bytes[at++] / 256.0 : 0.5; };
  const std::string text = test::OddSite(draw).text();
  Scenario scenario;
  try {
    scenario = parse_scenario(text, "odd.yaml").scenario;
  } catch (const ScenarioError& e) {
    if (std::string(e.what()).find("odd.yaml:") == std::string::npos) fail(text, e.what());
    return 0;
  }
  std::vector<ClogCase> cases = main_cases(scenario.biomat);
  cases.resize(1);  // the expected one
  const std::string wrong = test::what_is_unsound(run(scenario, cases));
  if (!wrong.empty()) fail(text, wrong);
  return 0;
}
