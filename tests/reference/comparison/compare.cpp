#include "tests/reference/comparison/compare.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "tests/reference/transient.hpp"

namespace restwell::comparison {

namespace {

using std::numbers::pi;

// K by thickness, alpha of the thicker part, as the product does.
Soil soil_between(const Case& c, double low_m, double high_m) {
  if (!c.soil_above) return c.soil;
  const double below =
      (std::clamp(c.boundary_m, low_m, high_m) - low_m) / std::max(high_m - low_m, 1e-12);
  return {.kfs_m_per_day = std::lerp(c.soil_above->kfs_m_per_day, c.soil.kfs_m_per_day, below),
          .alpha_per_m = below >= 0.5 ? c.soil.alpha_per_m : c.soil_above->alpha_per_m};
}

double law_intake(const Case& c, const Pit& pit, const std::vector<double>& resistance,
                  double level_m) {
  std::vector<double> flow(resistance.size());
  if (!c.table_below_bottom_m) {
    return pit_intake_m3_per_day(pit, resistance, level_m, far_below_m, flow);
  }
  // The mound at the pit's edge, steady flow to where the table is not disturbed (Dupuit; Thiem):
  // h^2 - d^2 = Q/(pi K) ln(far/a).
  double low = 0;
  double high = *c.table_below_bottom_m + level_m;
  double intake = 0;
  for (int i = 0; i < 60; ++i) {
    const double mound = 0.5 * (low + high);
    intake = pit_intake_m3_per_day(pit, resistance, level_m, mound - *c.table_below_bottom_m, flow);
    const double d = aquifer_thickness_m;
    const double carried =
        pi * c.soil.kfs_m_per_day * mound * (2 * d + mound) / std::log(undisturbed_m / c.radius_m);
    (carried < intake ? low : high) = mound;
  }
  return intake;
}

}  // namespace

Pit law_pit(const Case& c) {
  Pit pit;
  pit.geometry.radius_m = c.radius_m;
  pit.geometry.depth_m = c.pond_m;
  const int count = static_cast<int>(std::ceil(c.pond_m / 0.1016));
  for (int i = 0; i < count; ++i) {
    const double low = c.pond_m * i / count;
    const double high = c.pond_m * (i + 1) / count;
    pit.rings.push_back({low, high, soil_between(c, low, high)});
  }
  pit.bottom_soil = c.soil;
  if (c.soil_above && c.boundary_m < 0) {
    pit.bottom_soil = soil_below(*c.soil_above, -c.boundary_m, c.soil, bottom_reach * c.radius_m);
  }
  return pit;
}

std::vector<double> law_resistances(const Case& c, const Pit& pit) {
  std::vector<double> resistance;
  for (const Ring& r : pit.rings) resistance.push_back(c.wall_day(0.5 * (r.bottom_m + r.top_m)));
  resistance.push_back(c.bottom_day);
  return resistance;
}

double law_intake_m3_per_day(const Case& c, double level_m) {
  const Pit pit = law_pit(c);
  return law_intake(c, pit, law_resistances(c, pit), level_m);
}

reference::PitProblem reference_problem(const Case& c, double resolution) {
  reference::PitProblem p;
  p.radius_m = c.radius_m;
  p.pond_m = c.pond_m;
  p.depth_m = c.pond_m + 1.0;
  const auto soil = [](const Soil& s) {
    return reference::Soil::gardner(s.kfs_m_per_day, s.alpha_per_m);
  };
  p.layers = {{1e9, soil(c.soil)}};
  if (c.soil_above)
    p.layers.insert(p.layers.begin(), {p.depth_m - c.boundary_m, soil(*c.soil_above)});
  p.wall_resistance_day = [c](double z) { return c.wall_day(z); };
  p.bottom_resistance_day = c.bottom_day;
  if (c.front_m < c.pond_m) p.wall_nodes_m = {c.front_m};
  if (c.table_below_bottom_m) {
    p.water_table = reference::WaterTable{
        .below_bottom_m = *c.table_below_bottom_m,
        .far_m = undisturbed_m,
        .aquifer_base_below_bottom_m = *c.table_below_bottom_m + aquifer_thickness_m};
  }
  p.resolution = resolution;
  return p;
}

std::string_view name_of(Course course) {
  switch (course) {
    case Course::falling:
      return "falling level";
    case Course::pulses:
      return "daily pulses";
    case Course::filling:
      return "first filling of dry soil";
  }
  return "";
}

Taken taken_over(const Case& c, Course course, double steady_m3_per_day) {
  reference::PitProblem problem = reference_problem(c);
  const double area = 0.6 * pi * c.radius_m * c.radius_m;  // stone and an open lining
  const double half_empty_day = 0.5 * area * c.pond_m / steady_m3_per_day;
  reference::TransientOptions options;
  options.every_step = true;
  options.tolerance = 0.1;
  options.level_tolerance_m = 0.01;
  double counts_from_day = 0;
  std::function<double(double)> inflow = [](double) { return 0.0; };
  if (course == Course::falling) options.end_day = std::min(1.3 * half_empty_day, 20.0);
  if (course == Course::pulses) {
    options.end_day = 2;
    counts_from_day = 1;
    constexpr double pulse_day = 2.0 / 24;
    constexpr double starts[] = {7.0 / 24, 12.0 / 24, 19.0 / 24};
    const double rate = 0.7 * steady_m3_per_day / (3 * pulse_day);
    inflow = [=](double day) {
      const double clock = day - std::floor(day);
      for (const double s : starts) {
        if (clock >= s && clock < s + pulse_day) return rate;
      }
      return 0.0;
    };
    for (int d = 0; d < 2; ++d) {
      for (const double s : starts) {
        options.stops_day.push_back(d + s);
        options.stops_day.push_back(d + s + pulse_day);
      }
    }
    options.stops_day.push_back(counts_from_day);
    std::sort(options.stops_day.begin(), options.stops_day.end());
  }
  if (course == Course::filling) {
    options.end_day = std::min(2 * half_empty_day, 10.0);
    inflow = [=](double) { return 0.8 * steady_m3_per_day; };
  }
  const reference::FlowProblem flow = reference::build(problem);
  reference::State start = reference::first_guess(problem, flow);
  if (course == Course::filling) {
    // A thousandth of the full soil's conductivity: what a dry summer leaves.
    for (Eigen::Index i = 0; i < start.pressure_m.size(); ++i) {
      const auto& cell = flow.network.cells[static_cast<std::size_t>(i)];
      start.pressure_m[i] =
          -6.9 * flow.network.soils[static_cast<std::size_t>(cell.soil)].capillary_length_m();
    }
    start.level_m = 0;
  } else {
    reference::solve_steady(flow, start);
  }
  const reference::TransientResult result =
      reference::run_transient(flow, start, reference::inflow(area, inflow), options);
  const Pit pit = law_pit(c);
  const std::vector<double> resistance = law_resistances(c, pit);
  const auto law = [&](double level) {
    return law_intake(c, pit, resistance, std::clamp(level, 0.0, c.pond_m));
  };
  Taken taken{.law_m3 = 0, .reference_m3 = 0, .seconds = result.seconds};
  for (std::size_t i = 1; i < result.rows.size(); ++i) {
    const auto& from = result.rows[i - 1];
    const auto& to = result.rows[i];
    if (from.day < counts_from_day - 1e-9) continue;
    taken.reference_m3 += to.taken_in_m3 - from.taken_in_m3;
    taken.law_m3 += 0.5 * (law(from.level_m) + law(to.level_m)) * (to.day - from.day);
  }
  return taken;
}

Spread spread_of(std::vector<double> errors) {
  Spread s;
  s.count = errors.size();
  if (errors.empty()) return s;
  for (double& e : errors) e = std::abs(e);
  std::sort(errors.begin(), errors.end());
  const auto at = [&](double share) {
    const double place = share * static_cast<double>(errors.size() - 1);
    const auto i = static_cast<std::size_t>(place);
    const std::size_t next = std::min(i + 1, errors.size() - 1);
    return std::lerp(errors[i], errors[next], place - static_cast<double>(i));
  };
  s.median = at(0.5);
  s.percentile_95 = at(0.95);
  s.worst = errors.back();
  return s;
}

double same_order(const std::vector<double>& law, const std::vector<double>& reference,
                  double apart) {
  int pairs = 0;
  int same = 0;
  for (std::size_t i = 0; i < law.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      if (std::abs(std::log(reference[i] / reference[j])) < std::log1p(apart)) continue;
      ++pairs;
      same += (reference[i] > reference[j]) == (law[i] > law[j]);
    }
  }
  return pairs > 0 ? static_cast<double>(same) / pairs : 1.0;
}

}  // namespace restwell::comparison
