// The drain field's law against the reference solver in plane geometry (tests/reference/pit.hpp).
#include <fmt/core.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <random>
#include <vector>

#include "models/pit.hpp"
#include "tests/reference/pit.hpp"

using namespace restwell;

namespace {

struct PlaneTrench {
  double width_m = 0.6, pond_m = 0.3;
  double kfs_m_per_day = 0.25, alpha_per_m = 12.0;
  double side_resistance_day = 0.0, bottom_resistance_day = 0.0;
};
struct PlaneIntake {
  double side_m2_per_day = 0.0, bottom_m2_per_day = 0.0;  // per metre of length, both sides
};

// Water 2 ft below the ground, no water table.
PlaneIntake plane_intake(const PlaneTrench& t, double resolution = 1.0) {
  reference::PitProblem p;
  p.shape = reference::Shape::plane;
  p.radius_m = t.width_m / 2;
  p.pond_m = t.pond_m;
  p.depth_m = t.pond_m + 0.6;
  p.layers = {{1e9, reference::Soil::gardner(t.kfs_m_per_day, t.alpha_per_m)}};
  p.wall_resistance_day = reference::uniform(t.side_resistance_day);
  p.bottom_resistance_day = t.bottom_resistance_day;
  if (!(t.bottom_resistance_day > 0.0)) p.bottom_layer_m = 0.0;
  p.resolution = resolution;
  const reference::SteadyIntake q = reference::steady_intake(p);
  return {q.wall_m3_per_day, q.bottom_m3_per_day};
}

// The law's intake per metre of length, ends left out; rings of at most 4 in.
PlaneIntake by_law(const PlaneTrench& t) {
  const Soil soil{.kfs_m_per_day = t.kfs_m_per_day, .alpha_per_m = t.alpha_per_m};
  constexpr double long_m = 1e7;
  Pit field{.geometry = {.depth_m = t.pond_m,
                         .trench = TrenchPlan{.length_m = long_m, .width_m = t.width_m}},
            .rings = {},
            .bottom_soil = soil};
  const int rings = std::max(3, static_cast<int>(std::ceil(t.pond_m / 0.1016)));
  for (int i = 0; i < rings; ++i)
    field.rings.push_back({t.pond_m * i / rings, t.pond_m * (i + 1) / rings, soil});
  std::vector<double> r(field.rings.size() + 1, t.side_resistance_day), flow(r.size());
  r.back() = t.bottom_resistance_day;
  const double all = pit_intake_m3_per_day(field, r, t.pond_m, {}, flow);
  return {(all - flow.back()) / long_m, flow.back() / long_m};
}

double sum(const PlaneIntake& q) { return q.side_m2_per_day + q.bottom_m2_per_day; }

// Half of the water on clean walls and half on clogged ones, the bottom mostly more than the wall.
std::vector<PlaneTrench> designed(std::size_t count, unsigned seed) {
  std::mt19937 generator(seed);
  const auto share = [&] { return static_cast<double>(generator()) / 4294967296.0; };
  const auto draw = [&](double a, double b) { return a * std::pow(b / a, share()); };
  std::vector<PlaneTrench> all(count);
  for (PlaneTrench& t : all) {
    t.width_m = 0.3 + 0.7 * share();
    t.pond_m = 0.15 + 0.45 * share();
    if (share() < 0.3) t.pond_m = std::max(0.02, t.pond_m * share());  // half-empty
    t.alpha_per_m = draw(1.0, 36.0);
    t.kfs_m_per_day = draw(0.01, 3.0);
    if (share() < 0.15) continue;  // clean
    t.side_resistance_day = draw(0.2, 300.0);
    t.bottom_resistance_day = share() < 0.3
                                  ? t.side_resistance_day
                                  : std::min(300.0, t.side_resistance_day * draw(1.0, 30.0));
    if (share() < 0.1) std::swap(t.side_resistance_day, t.bottom_resistance_day);
  }
  return all;
}

}  // namespace

TEST_CASE("a finer grid changes the reference for trenches by less than 2 %") {
  for (const PlaneTrench& t : designed(6, 3)) {
    CHECK(sum(plane_intake(t)) == Approx(sum(plane_intake(t, 2.0))).epsilon(0.02));
  }
}

TEST_CASE("the drain field's law stays near the reference") {
  // Fitted on other cases, with another solver of the same equations; these judge.
  std::vector<double> error;
  for (const PlaneTrench& t : designed(200, 20260501)) {
    const PlaneIntake law = by_law(t), solved = plane_intake(t);
    const double e = sum(law) / sum(solved) - 1.0;
    INFO(
        fmt::format("w {:.2f} H {:.2f} alpha {:.1f} K {:.3f} R side {:.2f} bottom {:.2f}: law "
                    "{:.4f} + {:.4f}, solved {:.4f} + {:.4f}",
                    t.width_m, t.pond_m, t.alpha_per_m, t.kfs_m_per_day, t.side_resistance_day,
                    t.bottom_resistance_day, law.side_m2_per_day, law.bottom_m2_per_day,
                    solved.side_m2_per_day, solved.bottom_m2_per_day));
    CHECK(std::abs(e) < 0.30);
    error.push_back(std::abs(e));
  }
  std::ranges::sort(error);
  const double median = error[error.size() / 2], most = error[error.size() * 95 / 100];
  INFO(fmt::format("median {:.3f}, 95 % {:.3f}, worst {:.3f}", median, most, error.back()));
  CHECK(median < 0.05);
  CHECK(most < 0.15);
}

TEST_CASE("wall and bottom weigh as in the reference") {
  // The wall's share of the intake; clean and evenly clogged walls, and bottoms more clogged.
  std::vector<double> error;
  for (const PlaneTrench& t : designed(100, 7)) {
    const PlaneIntake law = by_law(t), solved = plane_intake(t);
    error.push_back(
        std::abs(law.side_m2_per_day / sum(law) - solved.side_m2_per_day / sum(solved)));
  }
  std::ranges::sort(error);
  INFO(fmt::format("median {:.3f}, 95 % {:.3f}, worst {:.3f}", error[50], error[95], error.back()));
  CHECK(error[50] < 0.05);
  CHECK(error[95] < 0.15);
  CHECK(error.back() < 0.30);
}
