#include "tests/reference/grid.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace restwell::reference {

std::vector<double> graded_nodes(const std::vector<double>& fixed_m, const std::vector<Focus>& foci,
                                 double slope, double largest_m) {
  const auto size_at = [&](double x) {
    double size = largest_m;
    for (const Focus& f : foci) size = std::min(size, f.size_m + slope * std::abs(x - f.at_m));
    return size;
  };
  std::vector<double> nodes{fixed_m.front()};
  for (std::size_t k = 0; k + 1 < fixed_m.size(); ++k) {
    const double from = fixed_m[k], to = fixed_m[k + 1];
    // Nodes at equal steps of int dx/size, on a fine scale that is graded itself at both ends.
    constexpr int fine = 4000;
    std::vector<double> x(fine + 1), sum(fine + 1, 0.0);
    for (int i = 0; i <= fine; ++i) {
      const double u = static_cast<double>(i) / fine;
      x[static_cast<std::size_t>(i)] = from + (to - from) * u * u * (3 - 2 * u);
    }
    for (std::size_t i = 1; i <= fine; ++i)
      sum[i] = sum[i - 1] + (x[i] - x[i - 1]) / size_at(0.5 * (x[i] + x[i - 1]));
    const int count = std::max(1, static_cast<int>(std::ceil(sum.back() - 1e-9)));
    std::size_t i = 1;
    for (int n = 1; n < count; ++n) {
      const double target = sum.back() * n / count;
      while (sum[i] < target) ++i;
      nodes.push_back(x[i - 1] + (x[i] - x[i - 1]) * (target - sum[i - 1]) / (sum[i] - sum[i - 1]));
    }
    nodes.push_back(to);
  }
  return nodes;
}

Network make_network(Shape shape, bool symmetric, const std::vector<double>& r_nodes_m,
                     const std::vector<double>& z_nodes_m, const Cavity& cavity,
                     std::vector<Soil> soils,
                     const std::function<int(double r, double z)>& soil_at) {
  Network net;
  net.shape = shape;
  net.soils = std::move(soils);
  const bool round = shape == Shape::axisymmetric;
  const double times = symmetric && !round ? 2.0 : 1.0;
  const int nr = static_cast<int>(r_nodes_m.size()) - 1,
            nz = static_cast<int>(z_nodes_m.size()) - 1;
  const auto r_at = [&](int i) { return r_nodes_m[static_cast<std::size_t>(i)]; };
  const auto z_at = [&](int j) { return z_nodes_m[static_cast<std::size_t>(j)]; };
  const auto ring_area = [&](double low, double high) {
    return round ? std::numbers::pi * (high * high - low * low) : times * (high - low);
  };
  const auto wall_area = [&](double r, double height) {
    return round ? 2 * std::numbers::pi * r * height : times * height;
  };
  // Inside the pit's radius flow is smooth across the axis: plain distance there.
  const auto distance = [&](double low, double high, double face) {
    return round && low >= cavity.radius_m && low > 0 ? face * std::log(high / low) : high - low;
  };

  std::vector<int> index(static_cast<std::size_t>(nr * nz), -1);
  const auto cell_at = [&](int i, int j) -> int& {
    return index[static_cast<std::size_t>(j * nr + i)];
  };
  for (int j = 0; j < nz; ++j) {
    for (int i = 0; i < nr; ++i) {
      Cell cell{r_at(i), r_at(i + 1), z_at(j), z_at(j + 1), 0, 0};
      if (cell.r_m() < cavity.radius_m && cell.z_m() > cavity.bottom_z_m) continue;
      cell.volume_m3 = ring_area(cell.r_low_m, cell.r_high_m) * (cell.z_high_m - cell.z_low_m);
      cell.soil = soil_at(cell.r_m(), cell.z_m());
      cell_at(i, j) = static_cast<int>(net.cells.size());
      net.cells.push_back(cell);
    }
  }
  for (int j = 0; j < nz; ++j) {
    for (int i = 0; i < nr; ++i) {
      const int me = cell_at(i, j);
      if (me < 0) continue;
      const Cell& c = net.cells[static_cast<std::size_t>(me)];
      const double height = c.z_high_m - c.z_low_m, flat = ring_area(c.r_low_m, c.r_high_m);
      const auto edge = [&](Side side) {
        const bool lateral = side == Side::inner || side == Side::outer || side == Side::pit_wall;
        const double face = side == Side::outer ? c.r_high_m : c.r_low_m;
        Edge e{me, side, flat, 0.5 * height, c.z_high_m, c.z_high_m};
        if (side == Side::base) e.z_low_m = e.z_high_m = c.z_low_m;
        if (lateral) {
          e.area_m2 = wall_area(face, height);
          e.distance_m =
              side == Side::outer ? distance(c.r_m(), face, face) : distance(face, c.r_m(), face);
          e.z_low_m = c.z_low_m;
        }
        net.edges.push_back(e);
      };
      if (i == 0) {
        if (c.r_low_m > 0 || !(round || symmetric)) edge(Side::inner);
      } else if (cell_at(i - 1, j) < 0) {
        edge(Side::pit_wall);
      }
      if (i == nr - 1) {
        edge(Side::outer);
      } else if (const int next = cell_at(i + 1, j); next >= 0) {
        const double r2 = net.cells[static_cast<std::size_t>(next)].r_m(), face = c.r_high_m;
        const double whole = distance(c.r_m(), r2, face);
        const bool curved = whole != r2 - c.r_m();
        const double mine = curved ? face * std::log(face / c.r_m()) : face - c.r_m();
        net.faces.push_back({me, next, wall_area(face, height), mine, whole - mine, false});
      }
      if (j == 0) edge(Side::base);
      if (j == nz - 1) {
        edge(Side::top);
      } else if (const int up = cell_at(i, j + 1); up >= 0) {
        const Cell& u = net.cells[static_cast<std::size_t>(up)];
        net.faces.push_back({up, me, flat, 0.5 * (u.z_high_m - u.z_low_m), 0.5 * height, true});
      } else {
        edge(Side::pit_bottom);
      }
    }
  }
  return net;
}

}  // namespace restwell::reference
