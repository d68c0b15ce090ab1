// The same command gives the same bytes, on one core or several.
#include <catch2/catch.hpp>

#include "tests/support/cores.hpp"
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
  const auto both = on_one_and_all_cores([] {
    const Finished f = restwell_program(command);
    REQUIRE(f.code == 0);
    return f.out;
  });
  if (both) CHECK(both->one == both->all);
}
