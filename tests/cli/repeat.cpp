// The same command gives the same bytes, on one core or several.
#include <sched.h>

#include <catch2/catch.hpp>

#include "tests/support/process.hpp"

using namespace restwell::test;

namespace {

const std::vector<std::string> command = {"run", "scenarios/growing_family.yaml", "--years", "2",
                                          "--json"};

}  // namespace

TEST_CASE("two runs give the same bytes") {
  for (const char* mode : {"steady", "random"}) {
    std::vector<std::string> arguments = command;
    arguments.insert(arguments.end(), {"--mode", mode});
    const Finished a = restwell_program(arguments);
    REQUIRE(a.code == 0);
    CHECK(a.out == restwell_program(arguments).out);
  }
}

TEST_CASE("one core and all cores give the same bytes") {
  cpu_set_t all, one;
  REQUIRE(sched_getaffinity(0, sizeof all, &all) == 0);
  if (CPU_COUNT(&all) < 2) {
    WARN("only one core here: nothing compared");
    return;
  }
  int first = 0;
  while (!CPU_ISSET(first, &all)) ++first;
  CPU_ZERO(&one);
  CPU_SET(first, &one);
  // The program takes on this process's set of cores.
  REQUIRE(sched_setaffinity(0, sizeof one, &one) == 0);
  const Finished single = restwell_program(command);
  REQUIRE(sched_setaffinity(0, sizeof all, &all) == 0);
  const Finished several = restwell_program(command);
  REQUIRE(single.code == 0);
  REQUIRE(several.code == 0);
  CHECK(single.out == several.out);
}
