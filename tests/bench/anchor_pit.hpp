// One pit whose equations a general solver can take whole: its water, the clogging of its parts and
// what its soil carries,
//     A dH/dt = Q_in(t) - Q(H, R) - C (Q(H, R) - u),   dR_l/dt, dR_r/dt of models/biomat.hpp,
//     du/dt of models/soil_lag.hpp,
// always aerated (submerged_factor 1), at one temperature, with an inflow that is constant over
// bins and the same every day. Unknowns: water [m3], labile and residual resistance of every part,
// u. It starts a metre deep in water, the soil carrying the mean inflow.
#pragma once

#include <algorithm>
#include <cmath>
#include <vector>

#include "models/biomat.hpp"
#include "models/pit.hpp"
#include "models/soil_lag.hpp"
#include "models/us_units.hpp"

namespace restwell::bench {

// 6 ft wide, 8 ft deep, rings of 4 in, 30 min/inch.
inline Pit anchor_round_pit() {
  constexpr int below = 24, above = 9;
  Pit pit;
  pit.geometry.radius_m = 3.0 * us::foot_m;
  pit.geometry.depth_m = 8.0 * us::foot_m;
  pit.geometry.cover_above_inlet_m = 3.0 * us::foot_m;
  pit.bottom_soil.kfs_m_per_day = 0.08;
  pit.bottom_soil.alpha_per_m = 12.0;
  for (int i = 0; i < below + above; ++i)
    pit.rings.push_back({i * us::foot_m / 3.0, (i + 1) * us::foot_m / 3.0, pit.bottom_soil});
  return pit;
}

struct AnchorPit {
  Pit pit = anchor_round_pit();
  BiomatParameters biomat;
  SoilLag lag;
  double start_level_m = 1.0;
  // Half of the day nothing comes; the rest like a morning and an evening. 150 gal a day.
  std::vector<double> bin_share{0, 0, 0, .2, .15, .05, .05, .05, .1, .2, .15, .05};
  double bin_day = 1.0 / 12.0;
  double total_m3 = 150.0 * us::gallon_m3;
  double tss_kg_per_m3 = 0.06, bod_kg_per_m3 = 0.15;
  double temperature_c = 12.0;
  std::vector<double> coefficient, area_m2;
  double strength_kg_per_m3, decay_per_day, storage_m2;

  AnchorPit() {
    biomat.submerged_factor = 1.0;
    biomat.residual_share = 0.1;
    for (const Ring& ring : pit.rings) {
      coefficient.push_back(clogging_coefficient(biomat, ring.soil.kfs_m_per_day));
      area_m2.push_back(ring_area_m2(pit.geometry, ring));
    }
    coefficient.push_back(clogging_coefficient(biomat, pit.bottom_soil.kfs_m_per_day));
    area_m2.push_back(bottom_area_m2(pit.geometry));
    storage_m2 = storage_area_m2(pit.geometry);
    strength_kg_per_m3 = bod_kg_per_m3 + biomat.solids_weight * tss_kg_per_m3;
    decay_per_day = decay_rate_per_day(biomat, temperature_c);
  }

  [[nodiscard]] std::size_t parts() const { return area_m2.size(); }
  [[nodiscard]] std::size_t unknowns() const { return 2 + 2 * parts(); }
  [[nodiscard]] std::vector<double> start() const {
    std::vector<double> y(unknowns(), 0.0);
    for (std::size_t j = 0; j < parts(); ++j) y[1 + j] = biomat.clean_resistance_day;
    y.front() = start_level_m * storage_m2;
    y.back() = total_m3;
    return y;
  }
  [[nodiscard]] double inflow_m3_per_day(std::size_t bin) const {
    return bin_share[bin] * total_m3 / bin_day;
  }
  void rate(double inflow, const double* y, double* dy) const {
    static thread_local std::vector<double> resistance, flow, clean_day, clean;
    resistance.resize(parts());
    flow.resize(parts());
    clean_day.resize(parts());
    clean.resize(parts());
    for (std::size_t j = 0; j < parts(); ++j) resistance[j] = y[1 + j] + y[1 + parts() + j];
    const double level = std::max(0.0, y[0] / storage_m2);
    const double by_law = pit_intake_m3_per_day(pit, resistance, level, WaterAround{}, flow);
    pit_intake_m3_per_day(pit, clean_day, level, WaterAround{}, clean);
    const double carried = y[1 + 2 * parts()];
    const double lagging = lagging_part(lag, soil_activity(pit, resistance, level, flow, clean));
    const double share = lagged_share(lagging, carried / by_law, 0.0);
    dy[0] = inflow - share * by_law;
    dy[1 + 2 * parts()] = (share * by_law - carried) / lag_time_day(lag, pit, level, flow, clean);
    for (std::size_t j = 0; j < parts(); ++j) {
      const double growth =
          coefficient[j] * std::max(0.0, share * flow[j]) / area_m2[j] * strength_kg_per_m3;
      dy[1 + j] = (1.0 - biomat.residual_share) * growth -
                  decay_per_day * (y[1 + j] - biomat.clean_resistance_day);
      dy[1 + parts() + j] = biomat.residual_share * growth;
    }
  }
};

}  // namespace restwell::bench
