// Numerics of the outlet rating: accuracy of the tabulated shape, monotony, smoothness, inverse.
#include "models/rating.hpp"

#include <algorithm>
#include <boost/math/quadrature/gauss.hpp>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <vector>

#include "models/constants.hpp"

using namespace restwell;

namespace {

using Gauss = boost::math::quadrature::gauss<double, 30>;

// J by 30-point Gauss-Legendre, with x = min(e, 1) sin^2 t as the integrand is smooth then.
double quadrature_shape(double e) {
  const double m = e <= 1.0 ? e : 1.0 / e;
  const auto integrand = [m](double t) {
    const double sc = std::sin(t) * std::cos(t);
    return 4.0 * sc * sc * std::sqrt(1.0 - m * std::sin(t) * std::sin(t));
  };
  const double factor = Gauss::integrate(integrand, 0.0, std::numbers::pi / 2.0);
  return factor * (e <= 1.0 ? e * e : std::sqrt(e));
}

// The same in complete elliptic integrals, int_0^K sn^2 cn^2 dn^2 du in closed form; loses digits
// to cancellation for small m.
double elliptic_shape(double e) {
  const double m = e <= 1.0 ? e : 1.0 / e;
  const double k = std::sqrt(m);
  const double factor = 4.0 *
                        (2.0 * (1.0 - m + m * m) * std::comp_ellint_2(k) -
                         (1.0 - m) * (2.0 - m) * std::comp_ellint_1(k)) /
                        (15.0 * m * m);
  return factor * (e <= 1.0 ? e * e : std::sqrt(e));
}

// 1 - m runs evenly and, close to m = 1, geometrically.
std::vector<double> samples() {
  std::vector<double> result;
  for (int i = 1; i <= 20000; ++i) result.push_back(i / 20001.0);
  for (double gap = 0.1; gap > 1e-12; gap *= 0.9) result.push_back(1.0 - gap);
  for (double small = 0.1; small > 1e-12; small *= 0.9) result.push_back(small);
  return result;
}

const CircularOpening stub{0.1016, 0.58};

}  // namespace

TEST_CASE("J errs by less than 1e-7") {
  double worst = 0.0, worst_elliptic = 0.0;
  for (const double m : samples()) {
    for (const double e : {m, 1.0 / m}) {
      worst = std::max(worst, std::abs(opening_shape(e) / quadrature_shape(e) - 1.0));
      if (m > 0.05) {
        worst_elliptic =
            std::max(worst_elliptic, std::abs(opening_shape(e) / elliptic_shape(e) - 1.0));
      }
    }
  }
  INFO("against quadrature " << worst << ", against elliptic integrals " << worst_elliptic);
  CHECK(worst < 1e-7);
  CHECK(worst_elliptic < 3e-9);
}

TEST_CASE("J increases strictly and continuously") {
  CHECK(opening_shape(0.0) == 0.0);
  CHECK(opening_shape(-1.0) == 0.0);
  double last = 0.0;
  bool increases = true;
  for (int i = 1; i <= 1000000; ++i) {
    const double j = opening_shape(i * 3e-6);
    increases = increases && j > last;
    last = j;
  }
  CHECK(increases);
  // Two points 1e-12 apart: no jump anywhere, the cells' edges and e = 1 included.
  for (int i = 0; i <= 64; ++i) {
    const double edge = 1.0 - (i / 64.0) * (i / 64.0);
    for (const double e : {edge, edge > 0.0 ? 1.0 / edge : 1.0}) {
      const double jump = opening_shape(e + 1e-12) - opening_shape(e - 1e-12);
      CHECK(std::abs(jump) < 1e-11);
    }
  }
}

TEST_CASE("the slope is that of the flow and has no jumps") {
  const double d = stub.diameter_m;
  for (const double e : {0.01, 0.1, 0.3, 0.7, 0.95, 0.999, 1.001, 1.05, 1.5, 3.0, 10.0}) {
    const double step = 1e-5 * e;
    const double difference =
        (free_flow_m3_per_day(stub, (e + step) * d) - free_flow_m3_per_day(stub, (e - step) * d)) /
        (2.0 * step * d);
    const FlowAndSlope rated = free_flow_and_slope(stub, e * d);
    CHECK(rated.slope_m2_per_day == Approx(difference).epsilon(1e-6));
    CHECK(rated.flow_m3_per_day == Approx(free_flow_m3_per_day(stub, e * d)).epsilon(1e-14));
  }
  for (int i = 0; i < 64; ++i) {
    const double edge = 1.0 - (i / 64.0) * (i / 64.0);
    for (const double e : {edge, 1.0 / edge}) {
      const double below = free_flow_and_slope(stub, (e - 1e-10) * d).slope_m2_per_day;
      const double above = free_flow_and_slope(stub, (e + 1e-10) * d).slope_m2_per_day;
      CHECK(above == Approx(below).epsilon(2e-8));
    }
  }
  CHECK(free_flow_and_slope(stub, 0.0).slope_m2_per_day == 0.0);
}

TEST_CASE("head_for_flow inverts the rating to 1e-9") {
  for (double head_m = 1e-9; head_m < 10.0; head_m *= 1.01) {
    const double flow = free_flow_m3_per_day(stub, head_m);
    CHECK(head_for_flow_m(stub, flow) == Approx(head_m).epsilon(1e-9));
  }
  CHECK(head_for_flow_m(stub, 0.0) == 0.0);
  CHECK(head_for_flow_m(stub, -1.0) == 0.0);
  // At the crown, where the branches of J meet.
  const double crown = free_flow_m3_per_day(stub, stub.diameter_m);
  for (const double factor : {1.0 - 1e-12, 1.0, 1.0 + 1e-12}) {
    CHECK(head_for_flow_m(stub, factor * crown) == Approx(stub.diameter_m).epsilon(1e-9));
  }
}

TEST_CASE("flows scale with the lengths to the power 2.5") {
  for (const double a : {0.3, 2.0, 5.0}) {
    const CircularOpening scaled{a * stub.diameter_m, stub.discharge_coefficient};
    const double factor = std::pow(a, 2.5);
    for (const double head_m : {0.003, 0.05, 0.12, 0.4}) {
      CHECK(free_flow_m3_per_day(scaled, a * head_m) ==
            Approx(factor * free_flow_m3_per_day(stub, head_m)).epsilon(1e-12));
      CHECK(submerged_flow_m3_per_day(scaled, a * head_m, 0.6 * a * head_m) ==
            Approx(factor * submerged_flow_m3_per_day(stub, head_m, 0.6 * head_m)).epsilon(1e-12));
      CHECK(head_for_flow_m(scaled, factor * free_flow_m3_per_day(stub, head_m)) ==
            Approx(a * head_m).epsilon(1e-9));
    }
  }
}

TEST_CASE("submerged flow is odd, bounded by free flow and monotone in both heads") {
  for (double tail_m = -0.01; tail_m < 0.25; tail_m += 0.0013) {
    double last = -1e300;
    bool monotone = true;
    for (double head_m = -0.01; head_m < 0.25; head_m += 0.0007) {
      const double flow = submerged_flow_m3_per_day(stub, head_m, tail_m);
      monotone = monotone && flow >= last;
      last = flow;
      CHECK(flow == -submerged_flow_m3_per_day(stub, tail_m, head_m));
      CHECK(std::abs(flow) <= free_flow_m3_per_day(stub, std::max(head_m, tail_m)));
    }
    CHECK(monotone);
  }
  CHECK(submerged_flow_m3_per_day(stub, 0.02, 0.02) == 0.0);
  CHECK(submerged_flow_m3_per_day(stub, -0.02, -0.01) == 0.0);
  CHECK(submerged_flow_m3_per_day(stub, 0.02, -1e9) == free_flow_m3_per_day(stub, 0.02));
  // Continuous where the heads are equal and where the tailwater meets the invert.
  const double free_flow = free_flow_m3_per_day(stub, 0.02);
  CHECK(submerged_flow_m3_per_day(stub, 0.02 + 1e-14, 0.02) < 1e-4 * free_flow);
  CHECK(submerged_flow_m3_per_day(stub, 0.02, 1e-9) == Approx(free_flow).epsilon(1e-12));
}
