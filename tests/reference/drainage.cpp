#include "tests/reference/drainage.hpp"

#include <algorithm>
#include <limits>
#include <stdexcept>

#include "tests/reference/transient.hpp"

namespace restwell::reference {
namespace {

double overlap(double low, double high, double from, double to) {
  return std::max(0.0, std::min(high, to) - std::max(low, from));
}

// Mean air-filled share of the volume behind a place.
double air_at(const FlowProblem& flow, const State& state, const DrainageQuestion& q,
              const WatchedWall& place) {
  const Eigen::VectorXd theta = water_content(flow, state.pressure_m);
  const double a = q.pit.radius_m;
  double volume = 0, air = 0;
  for (std::size_t i = 0; i < flow.network.cells.size(); ++i) {
    const Cell& c = flow.network.cells[i];
    const double across = place.bottom ? overlap(c.r_low_m, c.r_high_m, 0, a)
                                       : overlap(c.r_low_m, c.r_high_m, a, a + q.behind_m);
    const double along = place.bottom ? overlap(c.z_low_m, c.z_high_m, -q.behind_m, 0)
                                      : overlap(c.z_low_m, c.z_high_m, place.low_m, place.high_m);
    const double here = across * along * c.r_m();
    const Soil& soil = flow.network.soils[static_cast<std::size_t>(c.soil)];
    volume += here;
    air += here * (soil.theta_s() - theta[static_cast<Eigen::Index>(i)]);
  }
  if (!(volume > 0)) throw std::runtime_error("drainage: no soil at a watched place");
  return air / volume;
}

}  // namespace

std::vector<double> drainage_days(const DrainageQuestion& q) {
  const SteadyIntake steady = steady_intake(q.pit);
  std::vector<double> day(q.places.size(), std::numeric_limits<double>::infinity());
  std::vector<double> air_before(q.places.size(), 0.0);
  double day_before = 0;
  TransientOptions options;
  options.end_day = q.end_day;
  options.first_step_day = 1e-4;
  options.every_step = true;
  options.observer = [&](double now, const State& state) {
    for (std::size_t k = 0; k < q.places.size(); ++k) {
      const double air = air_at(steady.problem, state, q, q.places[k]);
      if (day[k] > now && air >= q.air_share) {
        const double part = now > 0 ? (q.air_share - air_before[k]) / (air - air_before[k]) : 0.0;
        day[k] = day_before + part * (now - day_before);
      }
      air_before[k] = air;
    }
    day_before = now;
  };
  const double pond = q.pit.pond_m, falling = q.falling_day;
  (void)run_transient(
      steady.problem, steady.state,
      given_level([=](double t) { return std::max(0.0, pond * (1 - t / falling)); }), options);
  return day;
}

}  // namespace restwell::reference
