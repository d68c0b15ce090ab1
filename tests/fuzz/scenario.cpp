// Any bytes as a scenario file: refused in place or taken, never a crash. Not in ctest; see
// DEVELOPERS.md.
#include <cstdint>
#include <cstdlib>
#include <string>

#include "sim/diagnostic.hpp"
#include "sim/scenario_yaml.hpp"

using namespace restwell;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  const std::string text(reinterpret_cast<const char*>(bytes), size);
  try {
    (void)parse_scenario(text, "fuzz.yaml");
  } catch (const ScenarioError& e) {
    // Whatever is wrong has a place, or is the file as a whole.
    if (std::string(e.what()).find("fuzz.yaml") == std::string::npos) std::abort();
  }
  return 0;
}
