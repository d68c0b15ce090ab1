// Small questions to `size` for tests.
#pragma once

#include <string>

#include "sim/size.hpp"
#include "tests/support/sites.hpp"

namespace restwell::test {

// As an option of the command line. Not inlined: g++ 12 takes inlined optional texts for
// uninitialized.
[[gnu::noinline]] inline void set(std::optional<std::string>& option, const std::string& text) {
  option = text;
}

// One diameter and a few depths, one pit, old pits left, the household's flow.
inline SizeArguments small_question() {
  SizeArguments a;
  set(a.diameters, "6 ft");
  set(a.depths, "6 ft..14 ft by 2 ft");
  set(a.pits, "1");
  a.life = "2 years";
  a.old_pits = OldPits::leave;
  a.basis = Basis::household;
  return a;
}

inline SizeResult sized(const std::string& site, const SizeArguments& arguments) {
  const LoadedScenario loaded = parse_scenario(site, "test.yaml");
  return size_pits(loaded, size_question(arguments, loaded.scenario));
}

// First day on which all new pits of the built scenario are full under a case, or far beyond.
inline int all_new_full(const BuiltChoice& built, const CaseRun& run) {
  for (std::size_t d = 0; d < run.days.front().size(); ++d) {
    bool full = true;
    for (const std::size_t p : built.new_pits) full = full && run.days[p][d].full;
    if (full) return static_cast<int>(d);
  }
  return day_or_beyond(never);
}

}  // namespace restwell::test
