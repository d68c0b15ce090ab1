// The intake law of a pit against the reference solver, on a part of the designed set. The whole
// set: tests/reference/README.md.
#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "tests/reference/comparison/compare.hpp"

using namespace restwell::comparison;
namespace reference = restwell::reference;

namespace {

// Every fifth pit of each regime, and steady.
struct Part {
  std::vector<Case> cases;
  std::vector<double> law, reference;
};
const Part& part() {
  static const Part p = [] {
    Part made;
    for (const Case& c : designed_cases(40)) {
      if (((c.number - 1) / static_cast<int>(std::size(all_regimes))) % 5 != 0) continue;
      made.cases.push_back(c);
      made.law.push_back(law_intake_m3_per_day(c));
      made.reference.push_back(reference::steady_intake(reference_problem(c)).total_m3_per_day);
    }
    return made;
  }();
  return p;
}

}  // namespace

TEST_CASE("steady intake by the law agrees with the reference") {
  const Part& p = part();
  REQUIRE(p.cases.size() == 48);
  std::vector<double> errors;
  for (std::size_t i = 0; i < p.cases.size(); ++i) {
    errors.push_back(p.law[i] / p.reference[i] - 1);
    INFO("case " << p.cases[i].number << ", " << name_of(p.cases[i].regime) << ": law " << p.law[i]
                 << ", reference " << p.reference[i] << " m3/day");
    CHECK(std::abs(errors.back()) < 0.30);  // the targets, not what came out
  }
  const Spread s = spread_of(errors);
  CHECK(s.median < 0.05);
  CHECK(s.percentile_95 < 0.15);
}

TEST_CASE("the law orders pits as the reference does") {
  CHECK(same_order(part().law, part().reference, 0.35) == 1.0);
  CHECK(same_order(part().law, part().reference, 0.10) > 0.98);
}

TEST_CASE("doubling the reference's resolution moves it by less than 2 percent") {
  for (std::size_t i = 0; i < part().cases.size(); i += 8) {
    const Case& c = part().cases[i];
    const double fine = reference::steady_intake(reference_problem(c, 2.0)).total_m3_per_day;
    INFO("case " << c.number << ", " << name_of(c.regime));
    CHECK(std::abs(fine / part().reference[i] - 1) < 0.02);
  }
}
