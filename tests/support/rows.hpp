// Rows of published check values: inputs, expected, tolerance, source.
#pragma once

#include <catch2/catch.hpp>
#include <cmath>
#include <string>

namespace restwell::test {

// Fails with inputs, expected, got, tolerance and source. Tolerance is relative, with an absolute
// floor for values near zero.
inline void check_row(const std::string& inputs, double got, double expected, double relative,
                      const std::string& source, double absolute = 0.0) {
  INFO("inputs: " << inputs << "\nexpected: " << expected << "\ngot: " << got << "\ntolerance: "
                  << relative << " relative, " << absolute << " absolute\nsource: " << source);
  CHECK(std::abs(got - expected) <= relative * std::abs(expected) + absolute);
}

}  // namespace restwell::test
