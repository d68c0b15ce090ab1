// Graded tensor grid in (r, z) and the network of cells and faces made from it. z_m points up.
//
// Axisymmetric: areas and volumes of full rings. Plane: of a slice 1 m long; with symmetric = true
// r_m is the distance from the plane of symmetry and everything counts twice.
#pragma once

#include <functional>
#include <vector>

#include "tests/reference/soil.hpp"

namespace restwell::reference {

enum class Shape { axisymmetric, plane };

// A place of small cells: their size there, growing by `slope` per metre of distance.
struct Focus {
  double at_m, size_m;
};
// Nodes from the first to the last of `fixed_m` (sorted), all of which become nodes.
[[nodiscard]] std::vector<double> graded_nodes(const std::vector<double>& fixed_m,
                                               const std::vector<Focus>& foci, double slope,
                                               double largest_m);

struct Cell {
  double r_low_m, r_high_m, z_low_m, z_high_m;
  double volume_m3;
  int soil;  // index into Network::soils
  [[nodiscard]] double r_m() const { return 0.5 * (r_low_m + r_high_m); }
  [[nodiscard]] double z_m() const { return 0.5 * (z_low_m + z_high_m); }
};

// Between cells a and b; for vertical faces a is the upper cell. Distances are those of potential
// flow: r_face ln(r2/r1) outside of the wall of a round pit.
struct Face {
  int a, b;
  double area_m2, distance_a_m, distance_b_m;
  bool vertical;
};

enum class Side { top, base, inner, outer, pit_wall, pit_bottom };

// A face on the edge of the domain.
struct Edge {
  int cell;
  Side side;
  double area_m2, distance_m;
  double z_low_m, z_high_m;  // equal for horizontal faces
};

struct Network {
  Shape shape = Shape::axisymmetric;
  std::vector<Soil> soils;
  std::vector<Cell> cells;
  std::vector<Face> faces;
  std::vector<Edge> edges;
};

struct Cavity {
  double radius_m = 0;    // half width in plane geometry; 0: no cavity
  double bottom_z_m = 0;  // open from here to the top
};

// soil_at(r, z) gives the index into soils at a cell's centre.
[[nodiscard]] Network make_network(Shape shape, bool symmetric,
                                   const std::vector<double>& r_nodes_m,
                                   const std::vector<double>& z_nodes_m, const Cavity& cavity,
                                   std::vector<Soil> soils,
                                   const std::function<int(double r, double z)>& soil_at);

}  // namespace restwell::reference
