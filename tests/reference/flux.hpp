// Flow across one face or edge with its derivatives: the inside of flow.hpp.
#pragma once

#include "tests/reference/flow.hpp"

namespace restwell::reference {

// A flow [m/day] and its derivatives by the pressures on its two sides.
struct Flow {
  double q, d1, d2;
};

// Equation (2) of flow.hpp, from point one (up, or inner) to point two.
[[nodiscard]] Flow darcy(const SoilPoint& one, const SoilPoint& two, double distance, bool gravity);
// Between cells of different soils: the pressure at the face makes both halves carry the same.
[[nodiscard]] Flow darcy_two_soils(const Soil& soil_a, double pa, const Soil& soil_b, double pb,
                                   double da, double db, bool gravity);
// Into the soil through edge e; d1 by the pond's level, d2 by the cell's pressure.
[[nodiscard]] Flow edge_flow(const FlowProblem& problem, std::size_t e, double p, double level);

}  // namespace restwell::reference
