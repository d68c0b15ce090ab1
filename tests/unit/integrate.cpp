#include "sim/integrate.hpp"

#include <catch2/catch.hpp>
#include <cmath>

using namespace restwell;

namespace {

const Rhs decay = [](const StateVector& x, StateVector& rate) { rate[0] = -x[0]; };

}  // namespace

TEST_CASE("the error falls with the tolerance on an exact solution") {
  // dx/dt = -x: x = exp(-t).
  double before = 1.0;
  for (const double tolerance : {1e-4, 1e-6, 1e-8, 1e-10}) {
    Integrator integrator(tolerance, tolerance);
    StateVector x{1.0};
    integrator.advance(decay, x, 3.0);
    const double error = std::abs(x[0] - std::exp(-3.0));
    INFO("tolerance " << tolerance << ": error " << error);
    CHECK(error < 20.0 * tolerance);
    CHECK(error < before);
    before = error;
  }
}

TEST_CASE("what flows from one slot into another is kept to rounding") {
  Integrator integrator(1e-6, 1e-6);
  StateVector x{1.0, 0.0};
  integrator.advance(
      [](const StateVector& s, StateVector& rate) {
        const double flow = 3.0 * std::sqrt(std::abs(s[0]));
        rate[0] = -flow + 0.2;
        rate[1] = flow;
      },
      x, 0.5);
  CHECK(x[0] + x[1] == Approx(1.0 + 0.2 * 0.5).epsilon(1e-14));
}

TEST_CASE("a right-hand side without a finite value is an error, not a result") {
  Integrator integrator(1e-6, 1e-6);
  StateVector x{1.0};
  CHECK_THROWS_AS(
      integrator.advance([](const StateVector&, StateVector& r) { r[0] = NAN; }, x, 1.0),
      std::runtime_error);
}

TEST_CASE("one integrator serves states of any size in turn") {
  Integrator integrator(1e-10, 1e-10);
  for (const std::size_t size : {1u, 7u, 3u, 30u, 2u}) {
    StateVector x(size, 1.0);
    integrator.advance(
        [](const StateVector& s, StateVector& rate) {
          REQUIRE(rate.size() == s.size());
          for (std::size_t i = 0; i < s.size(); ++i) rate[i] = -static_cast<double>(i + 1) * s[i];
        },
        x, 1.0);
    for (std::size_t i = 0; i < size; ++i) {
      CHECK(x[i] == Approx(std::exp(-static_cast<double>(i + 1))).margin(1e-8));
    }
  }
}
