#include "models/rating.hpp"

#include <algorithm>
#include <array>
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>

#include "models/constants.hpp"

namespace restwell {
namespace {

// With x = min(e, 1) sin^2 t both branches of J reduce to one complete elliptic integral,
//     F(m) = int_0^{pi/2} 4 sin^2 t cos^2 t sqrt(1 - m sin^2 t) dt,
//     J(e) = e^2 F(e) for e <= 1,  J(e) = sqrt(e) F(1/e) for e >= 1.
// F behaves like (1-m)^2 ln(1-m) near m = 1, so the nodes are crowded there: 1 - m = (i/cells)^2.
// Cubic Hermite pieces in 1 - m with exact slopes keep J C1, at e = 1 too.
// Against the exact integral the pieces err by less than 3e-9 (tests/unit/rating.cpp).
struct Value {
  double value;
  double slope;  // by the function's own argument
};

using Quadrature = boost::math::quadrature::gauss_kronrod<double, 31>;

double integrate_quarter(auto&& integrand) {
  constexpr unsigned deepest_split = 15;
  constexpr double relative_tolerance = 1e-13;
  return Quadrature::integrate(integrand, 0.0, std::numbers::pi / 2.0, deepest_split,
                               relative_tolerance);
}

// F and its slope by the complement c = 1 - m; sqrt(cos^2 + c sin^2) avoids cancellation.
Value exact_shape_factor(double complement) {
  const auto root = [complement](double s2) { return std::sqrt((1.0 - s2) + complement * s2); };
  const auto value = [&root](double t) {
    const double s2 = std::sin(t) * std::sin(t);
    return 4.0 * s2 * std::cos(t) * std::cos(t) * root(s2);
  };
  const auto slope = [&root](double t) {
    const double s2 = std::sin(t) * std::sin(t);
    return 2.0 * s2 * s2 * std::cos(t) * std::cos(t) / root(s2);
  };
  return {integrate_quarter(value), integrate_quarter(slope)};
}

constexpr int cells = 64;
using Cubic = std::array<double, 4>;  // coefficients by powers of the offset from the cell's start

double node_complement(int i) {
  constexpr double width = 1.0 / cells;
  const double u = width * i;
  return u * u;
}

std::array<Cubic, cells> build_table() {
  std::array<Cubic, cells> table{};
  Value left = exact_shape_factor(0.0);
  for (int i = 0; i < cells; ++i) {
    const double width = node_complement(i + 1) - node_complement(i);
    const Value right = exact_shape_factor(node_complement(i + 1));
    const double secant = (right.value - left.value) / width;
    table[static_cast<std::size_t>(i)] = {
        left.value, left.slope, (3.0 * secant - 2.0 * left.slope - right.slope) / width,
        (left.slope + right.slope - 2.0 * secant) / (width * width)};
    left = right;
  }
  return table;
}

// Made as the program starts, so that no call has to ask whether it is there.
const std::array<Cubic, cells> table = build_table();

struct Piece {
  const Cubic& cubic;
  double offset;
};

Piece locate(double complement) {
  const int i = std::min(static_cast<int>(std::sqrt(complement) * cells), cells - 1);
  return {table[static_cast<std::size_t>(i)], complement - node_complement(i)};
}

double shape_factor(double complement) {
  const auto [c, d] = locate(complement);
  return c[0] + d * (c[1] + d * (c[2] + d * c[3]));
}

Value shape_factor_and_slope(double complement) {
  const auto [c, d] = locate(complement);
  return {c[0] + d * (c[1] + d * (c[2] + d * c[3])), c[1] + d * (2.0 * c[2] + d * 3.0 * c[3])};
}

Value opening_shape_and_slope(double e) {
  if (e <= 0.0) return {0.0, 0.0};
  if (e <= 1.0) {
    const Value f = shape_factor_and_slope(1.0 - e);
    return {e * e * f.value, e * (2.0 * f.value - e * f.slope)};
  }
  const Value f = shape_factor_and_slope(1.0 - 1.0 / e);
  const double root = std::sqrt(e);
  return {root * f.value, (0.5 * f.value + f.slope / e) / root};
}

// Cd sqrt(2 g) D^2.5 [m3/day].
double flow_scale_m3_per_day(const CircularOpening& opening) {
  const double sqrt_two_g = std::sqrt(2.0 * gravity_m_per_day2);
  const double d = opening.diameter_m;
  return opening.discharge_coefficient * sqrt_two_g * d * d * std::sqrt(d);
}

double smoothstep(double x) {
  const double c = std::clamp(x, 0.0, 1.0);
  return c * c * (3.0 - 2.0 * c);
}

}  // namespace

double opening_shape(double e) {
  if (e <= 0.0) return 0.0;
  if (e <= 1.0) return e * e * shape_factor(1.0 - e);
  return std::sqrt(e) * shape_factor(1.0 - 1.0 / e);
}

double free_flow_m3_per_day(const CircularOpening& opening, double head_m) {
  if (head_m <= 0.0) return 0.0;
  return flow_scale_m3_per_day(opening) * opening_shape(head_m / opening.diameter_m);
}

double free_flow_coefficient_m_per_day(const CircularOpening& opening, double head_m) {
  const double d = opening.diameter_m;
  const double e = std::max(head_m / d, 0.0);
  const double f = e <= 1.0 ? shape_factor(1.0 - e) : opening_shape(e) / (e * e);
  return flow_scale_m3_per_day(opening) / (d * d) * f;
}

FlowAndSlope free_flow_and_slope(const CircularOpening& opening, double head_m) {
  if (head_m <= 0.0) return {};
  const Value j = opening_shape_and_slope(head_m / opening.diameter_m);
  const double scale = flow_scale_m3_per_day(opening);
  return {scale * j.value, scale / opening.diameter_m * j.slope};
}

double head_for_flow_m(const CircularOpening& opening, double flow_m3_per_day) {
  if (flow_m3_per_day <= 0.0) return 0.0;
  const double j = flow_m3_per_day / flow_scale_m3_per_day(opening);
  // 8/15 <= F <= pi/4 brackets the root on either branch of J.
  const double low = j * 4.0 / std::numbers::pi;
  const double high = j * 15.0 / 8.0;
  double below = high <= 1.0 ? std::sqrt(low) : std::max(1.0, low * low);
  double above = high <= 1.0 ? std::sqrt(high) : high * high;
  // Newton in ln e, ln J, where J is nearly straight; bisection when it leaves the bracket.
  double e = below;
  for (int i = 0; i < 100; ++i) {
    const Value shape = opening_shape_and_slope(e);
    (shape.value < j ? below : above) = e;
    double next = e * std::exp(std::log(j / shape.value) * shape.value / (e * shape.slope));
    if (!(next >= below && next <= above)) next = 0.5 * (below + above);
    const double step = std::abs(next - e);
    e = next;
    if (step <= 1e-11 * e) break;
  }
  return e * opening.diameter_m;
}

double low_head_coefficient_m_per_day(const CircularOpening& opening) {
  return flow_scale_m3_per_day(opening) * std::numbers::pi / 4.0 /
         (opening.diameter_m * opening.diameter_m);
}

double submerged_flow_m3_per_day(const CircularOpening& opening, double head_a_m, double head_b_m) {
  const double h1 = std::max({head_a_m, head_b_m, 0.0});
  const double h2 = std::max(std::min(head_a_m, head_b_m), 0.0);
  if (h1 <= h2) return 0.0;
  const double free_flow = free_flow_m3_per_day(opening, h1);
  const double sign = head_a_m >= head_b_m ? 1.0 : -1.0;
  if (h2 <= 0.0) return sign * free_flow;
  const double ratio = free_flow_m3_per_day(opening, h2) / free_flow;
  const double w = smoothstep((h1 / opening.diameter_m - 0.8) / 0.6);
  const double power = w > 0.0 ? std::pow(ratio, 1.0 + w) : ratio;
  // Rounding can lift the ratio of nearly equal heads to 1.
  return sign * free_flow * std::pow(std::max(0.0, 1.0 - power), 0.385 + 0.115 * w);
}

FlowAndSlope submerged_flow_and_slope(const CircularOpening& opening, double head_a_m,
                                      const FlowAndSlope& free_a, double head_b_m,
                                      const FlowAndSlope& free_b) {
  if (head_b_m <= 0.0) return free_a;
  if (head_a_m == head_b_m) return {0.0, std::numeric_limits<double>::infinity()};
  const bool forward = head_a_m > head_b_m;
  const double h1 = forward ? head_a_m : head_b_m;
  const FlowAndSlope& high = forward ? free_a : free_b;
  const FlowAndSlope& low = forward ? free_b : free_a;
  const double w = smoothstep((h1 / opening.diameter_m - 0.8) / 0.6);
  const double a = 1.0 + w, b = 0.385 + 0.115 * w;
  const double r = low.flow_m3_per_day / high.flow_m3_per_day;
  const double r_less = w > 0.0 ? std::pow(r, a - 1.0) : 1.0;  // r^(a-1)
  const double rest = 1.0 - r_less * r;
  if (!(rest > 0.0)) return {0.0, std::numeric_limits<double>::infinity()};
  const double rest_less = std::pow(rest, b - 1.0);
  const double flow = high.flow_m3_per_day * rest * rest_less;
  const double bend = b * rest_less * a * r_less;  // -d(1 - r^a)^b/dr
  if (!forward) return {-flow, bend * low.slope_m2_per_day};
  return {flow, high.slope_m2_per_day * (rest * rest_less + bend * r)};
}

}  // namespace restwell
