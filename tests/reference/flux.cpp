#include "tests/reference/flux.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace restwell::reference {

// Equation (2).
Flow darcy(const SoilPoint& one, const SoilPoint& two, double distance, bool gravity) {
  const double dphi = one.phi - two.phi;
  Flow f{dphi / distance, one.k / distance, -two.k / distance};
  if (!gravity) return f;
  const bool close = std::abs(dphi) <= 1e-7 * (one.phi + two.phi);
  const double a = close ? (one.dk + two.dk) / (one.k + two.k) : (one.k - two.k) / dphi;
  const double pe = std::max(a * distance, 0.0);
  double weight = 0.5 + pe / 12, slope = 1.0 / 12 - pe * pe / 240;
  if (pe > 0.02) {
    const double less = -std::expm1(-pe);
    weight = 1 / less - 1 / pe;
    slope = 1 / (pe * pe) - std::exp(-pe) / (less * less);
  } else {
    weight -= pe * pe * pe / 720;
  }
  f.q += weight * one.k + (1 - weight) * two.k;
  f.d1 += weight * one.dk + slope * pe * (one.dk - a * one.k);
  f.d2 += (1 - weight) * two.dk - slope * pe * (two.dk - a * two.k);
  return f;
}

namespace {

// Root of an increasing function by Newton inside a bracket that is widened downward from `low`
// and upward from `high` until it holds the root. f returns {value, slope}.
template <class F>
double increasing_root(const F& f, double low, double high) {
  double width = std::max(high - low, 1e-6);
  while (f(low).first > 0 && width < 1e8) low -= (width *= 2);
  width = std::max(high - low, 1e-6);
  while (f(high).first < 0 && width < 1e8) high += (width *= 2);
  double x = high;
  for (int i = 0; i < 200; ++i) {
    const auto [value, slope] = f(x);
    (value > 0 ? high : low) = x;
    double next = slope > 0 ? x - value / slope : low;
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    if (std::abs(next - x) <= 1e-13 * (std::abs(x) + 1e-3) || value == 0) return next;
    x = next;
  }
  return x;
}

}  // namespace

// Between cells of different soils: the pressure at the face makes both halves carry the same.
Flow darcy_two_soils(const Soil& soil_a, double pa, const Soil& soil_b, double pb, double da,
                     double db, bool gravity) {
  const SoilPoint a = soil_a.at(pa), b = soil_b.at(pb);
  Flow upper{}, lower{};
  const auto both = [&](double p) {
    upper = darcy(a, soil_a.at(p), da, gravity);
    lower = darcy(soil_b.at(p), b, db, gravity);
    return std::pair{lower.q - upper.q, lower.d1 - upper.d2};
  };
  const double p = increasing_root(both, std::min(pa, pb) - (gravity ? da + db : 0),
                                   std::max(pa, pb) + (gravity ? da + db : 0));
  both(p);
  const double slope = lower.d1 - upper.d2;
  return {upper.q, upper.d1 * lower.d1 / slope, -lower.d2 * upper.d2 / slope};
}

namespace {

// From a head on a layer of resistance R through the half cell: derivatives by head and cell.
Flow through_layer(const Soil& soil, double head, double resistance, const SoilPoint& cell,
                   double p_cell, double distance, bool gravity) {
  if (resistance <= 0) return darcy(soil.at(head), cell, distance, gravity);
  Flow f{};
  const auto both = [&](double p) {
    f = darcy(soil.at(p), cell, distance, gravity);
    return std::pair{resistance * f.q - (head - p), resistance * f.d1 + 1};
  };
  const double p = increasing_root(both, std::min(head, p_cell) - (gravity ? 2 * distance : 0),
                                   std::max(head, p_cell));
  both(p);
  const double part = 1 / (1 + resistance * f.d1);
  return {f.q, f.d1 * part, f.d2 * part};
}

// Only water that leaves the soil.
Flow outward(Flow f) { return f.q < 0 ? f : Flow{0, 0, 0}; }

Flow pond_flow(const FlowProblem& problem, const Edge& edge, const Boundary& boundary,
               const Soil& soil, double p, double level) {
  const SoilPoint cell = soil.at(p);
  const auto at_head = [&](double head, bool gravity) {
    return through_layer(soil, head, boundary.resistance_day, cell, p, edge.distance_m, gravity);
  };
  if (edge.side == Side::pit_bottom) {
    const double pond = std::max(level, 0.0);
    const double share = std::min(pond / problem.empty_pond_m, 1.0);
    Flow f = at_head(boundary.resistance_day > 0 ? pond + problem.bottom_layer_m : pond, true);
    if (level <= 0) f.d1 = 0;
    if (f.q <= 0 || share >= 1) return f;
    return {f.q * share, f.d1 * share + (level > 0 ? f.q / problem.empty_pond_m : 0), f.d2 * share};
  }
  const double height = edge.z_high_m - edge.z_low_m;
  const double wet = std::clamp((level - edge.z_low_m) / height, 0.0, 1.0);
  Flow f{0, 0, 0};
  if (wet > 0) {
    const double head = level - edge.z_low_m - 0.5 * wet * height;  // mean over the wetted part
    f = at_head(head, false);
    if (wet < 1) f = {f.q * wet, f.d1 * wet * 0.5 + f.q / height, f.d2 * wet};
  }
  if (wet < 1 && p > 0) {
    const Flow out = outward(at_head(0, false));
    f.q += (1 - wet) * out.q;
    if (wet > 0) f.d1 -= out.q / height;
    f.d2 += (1 - wet) * out.d2;
  }
  return f;
}

}  // namespace

// Flow into the soil per area; d1 by the pond's level, d2 by the cell's pressure.
Flow edge_flow(const FlowProblem& problem, std::size_t e, double p, double level) {
  const Edge& edge = problem.network.edges[e];
  const Boundary& boundary = problem.boundary[e];
  if (boundary.kind == Boundary::Kind::no_flow) return {0, 0, 0};
  if (boundary.kind == Boundary::Kind::flux) return {boundary.value, 0, 0};
  const Cell& c = problem.network.cells[static_cast<std::size_t>(edge.cell)];
  const Soil& soil = problem.network.soils[static_cast<std::size_t>(c.soil)];
  if (boundary.kind == Boundary::Kind::pond)
    return pond_flow(problem, edge, boundary, soil, p, level);
  const SoilPoint cell = soil.at(p);
  if (boundary.kind == Boundary::Kind::free_drainage) return {-cell.k, 0, -cell.dk};
  const bool seepage = boundary.kind == Boundary::Kind::seepage;
  if (seepage && p <= -2 * edge.distance_m) return {0, 0, 0};
  const SoilPoint outside = soil.at(seepage ? 0 : boundary.value);
  Flow f{};
  if (edge.side == Side::base) {
    f = darcy(cell, outside, edge.distance_m, true);
    f = {-f.q, 0, -f.d1};
  } else {
    const bool gravity = edge.side == Side::top || edge.side == Side::pit_bottom;
    f = darcy(outside, cell, edge.distance_m, gravity);
    f.d1 = 0;
  }
  return seepage ? outward(f) : f;
}

}  // namespace restwell::reference
