// The same work on one core and on all of them.
#pragma once

#include <sched.h>

#include <catch2/catch.hpp>
#include <optional>
#include <string>

namespace restwell::test {

struct OneAndAll {
  std::string one, all;
};

// What `output` gives with this process, and so the programs it runs, on one core and on all. With
// a warning and without a result if there is only one.
template <typename Output>
std::optional<OneAndAll> on_one_and_all_cores(const Output& output) {
  cpu_set_t all, one;
  REQUIRE(sched_getaffinity(0, sizeof all, &all) == 0);
  if (CPU_COUNT(&all) < 2) {
    WARN("only one core here: nothing compared");
    return std::nullopt;
  }
  int first = 0;
  while (!CPU_ISSET(first, &all)) ++first;
  CPU_ZERO(&one);
  CPU_SET(first, &one);
  OneAndAll both;
  REQUIRE(sched_setaffinity(0, sizeof one, &one) == 0);
  both.one = output();
  REQUIRE(sched_setaffinity(0, sizeof all, &all) == 0);
  both.all = output();
  return both;
}

}  // namespace restwell::test
