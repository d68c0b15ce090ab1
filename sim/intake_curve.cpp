#include "sim/intake_curve.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

namespace restwell {
namespace {

constexpr double spacing_share = 0.02;  // of the height over the bottom
constexpr double least_spacing_m = 0.005;
constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

// (1 - exp(-x))/x and (1 - phi1)/x: the means of exp(-xs) and of the ramp of it over s = 0..1.
double phi1(double x) { return std::abs(x) < 1e-8 ? 1.0 - 0.5 * x : -std::expm1(-x) / x; }
double phi2(double x) {
  if (std::abs(x) > 0.05) return (1.0 - phi1(x)) / x;
  return 1.0 / 2 - x * (1.0 / 6 - x * (1.0 / 24 - x * (1.0 / 120 - x * (1.0 / 720 - x / 5040))));
}

}  // namespace

WaterAround felt_at(const GroundOfDay& ground, double level_m) {
  return {.table_m = ground.table_m + std::clamp(level_m - ground.table_m, 0.0, ground.mound_m),
          .held = ground.perched};
}

IntakeCurve::IntakeCurve(const Pit& pit, double brim_m, const SoilLag& lag) : lag_(lag) {
  level_m_.push_back(0.0);
  const auto nodes_up_to = [&](double to_m) {
    const double from_m = level_m_.back();
    if (!(to_m > from_m)) return;
    const double spacing_m = std::max(least_spacing_m, spacing_share * 0.5 * (from_m + to_m));
    const double cells = std::ceil((to_m - from_m) / spacing_m);
    for (double i = 1.0; i < cells; i += 1.0) {
      level_m_.push_back(std::lerp(from_m, to_m, i / cells));
    }
    level_m_.push_back(to_m);
  };
  for (const Ring& ring : pit.rings) nodes_up_to(std::min(ring.top_m, brim_m));
  nodes_up_to(brim_m);
  for (const double level_m : level_m_)
    lag_time_day_.push_back(restwell::lag_time_day(lag, pit, level_m));
  clean_m3_per_day_.assign(level_m_.size(), unknown);
  gain_.assign(level_m_.size(), 0.0);
  intake_m3_per_day_.assign(level_m_.size(), unknown);
  weight_day_.assign(level_m_.size(), 0.0);
  flow_m3_per_day_.resize(level_m_.size() * (pit.rings.size() + 1));
}

void IntakeCurve::renew(const Pit& pit, std::span<const double> resistance_day,
                        const GroundOfDay& ground) {
  resistance_day_.assign(resistance_day.begin(), resistance_day.end());
  ground_ = ground;
  start_day(pit);
  for (const std::size_t k : known_) intake_m3_per_day_[k] = unknown;
  known_.clear();
}

void IntakeCurve::start_day(const Pit& pit) {
  pit_ = &pit;
  for (const std::size_t k : known_) weight_day_[k] = 0.0;
  through_bottom_m3_ = 0.0;
}

void IntakeCurve::start_bin(double soil_flow_m3_per_day, double dt_day) {
  soil_flow_m3_per_day_ = soil_flow_m3_per_day;
  if (dt_day == bin_day_) return;
  bin_day_ = dt_day;
  for (const std::size_t k : known_) gain_[k] = gain(k);
}

double IntakeCurve::lag_time_day(double level_m) {
  find_cell(level_m);
  const double low_m = level_m_[cell_], high_m = level_m_[cell_ + 1];
  const double share = std::clamp((level_m - low_m) / (high_m - low_m), 0.0, 1.0);
  return std::lerp(lag_time_day_[cell_], lag_time_day_[cell_ + 1], share);
}

// Over a bin, at the law's intake.
double IntakeCurve::gain(std::size_t k) {
  if (bin_day_ <= 0.0 || lag_.lagging_share <= 0.0) return 0.0;
  double& clean = clean_m3_per_day_[k];
  if (std::isnan(clean)) clean = uniform_intake_m3_per_day(*pit_, 0.0, level_m_[k]);
  const double activity = clean > 0.0 ? intake_m3_per_day_[k] / clean : 0.0;
  return gain_over_step(lag_gain(lag_, activity), lag_time_day_[k], bin_day_);
}

void IntakeCurve::find_node(std::size_t k) {
  double& intake = intake_m3_per_day_[k];
  if (!std::isnan(intake)) return;
  const std::size_t parts = pit_->rings.size() + 1;
  intake = pit_intake_m3_per_day(*pit_, resistance_day_, level_m_[k], felt_at(ground_, level_m_[k]),
                                 std::span(flow_m3_per_day_).subspan(k * parts, parts));
  if (!std::isfinite(intake)) throw std::runtime_error("a pit's intake is not finite");
  known_.push_back(k);
  gain_[k] = gain(k);
}

// With the soil as it is, which gives nothing back.
double IntakeCurve::node(std::size_t k) {
  find_node(k);
  const double by_law = intake_m3_per_day_[k];
  if (!(by_law > 0.0)) return by_law;
  return std::max(0.0, by_law + gain_[k] * (by_law - soil_flow_m3_per_day_));
}

// Over what the law says.
double IntakeCurve::node_share(std::size_t k) {
  const double by_law = intake_m3_per_day_[k];
  return by_law > 0.0 ? node(k) / by_law : 1.0;
}

void IntakeCurve::find_cell(double level_m) {
  while (cell_ > 0 && level_m < level_m_[cell_]) --cell_;
  while (cell_ + 2 < level_m_.size() && level_m >= level_m_[cell_ + 1]) ++cell_;
}

IntakeCurve::Line IntakeCurve::at(double level_m) {
  find_cell(level_m);
  const double low = node(cell_), high = node(cell_ + 1);
  const double slope = (high - low) / (level_m_[cell_ + 1] - level_m_[cell_]);
  return {low + slope * (level_m - level_m_[cell_]), slope};
}

IntakeCurve::Passed IntakeCurve::advance(double& water_m3, double storage_area_m2,
                                         double inflow_m3_per_day, double dt_day) {
  const double brim_m = level_m_.back();
  Passed passed;
  double level_m = std::min(water_m3 / storage_area_m2, brim_m);
  // A pit that stood higher before its brim was lowered spills that first.
  passed.overflow = std::max(0.0, water_m3 - brim_m * storage_area_m2);
  passed.highest_m = level_m;
  const auto exchanged = [&](double into_soil_m3) {
    (into_soil_m3 > 0.0 ? passed.intake : passed.ground) += std::abs(into_soil_m3);
  };
  double left_day = dt_day;
  while (left_day > 0.0) {
    Line line = at(level_m);
    const double rate_m_per_day = (inflow_m3_per_day - line.intake_m3_per_day) / storage_area_m2;
    if (level_m >= brim_m && rate_m_per_day >= 0.0) {
      weight_day_[cell_ + 1] += left_day * node_share(cell_ + 1);
      exchanged(line.intake_m3_per_day * left_day);
      passed.overflow += (inflow_m3_per_day - line.intake_m3_per_day) * left_day;
      break;
    }
    if (level_m <= 0.0 && rate_m_per_day <= 0.0) {
      through_bottom_m3_ += inflow_m3_per_day * left_day;
      exchanged(inflow_m3_per_day * left_day);
      break;
    }
    if (level_m == level_m_[cell_] && rate_m_per_day < 0.0) {  // down into the cell below
      --cell_;
      line.slope_m2_per_day =
          (node(cell_ + 1) - node(cell_)) / (level_m_[cell_ + 1] - level_m_[cell_]);
    }
    const double low_m = level_m_[cell_], high_m = level_m_[cell_ + 1];
    const double end_m = rate_m_per_day > 0.0 ? high_m : low_m;
    const double decay_per_day = line.slope_m2_per_day / storage_area_m2;
    double taken_day = left_day;
    double next_m = level_m;
    if (rate_m_per_day != 0.0) {
      const double straight_day = (end_m - level_m) / rate_m_per_day;
      const double bend = decay_per_day * straight_day;
      // The level nears its balance: it reaches the cell's end only if that lies before.
      const double to_end_day =
          bend < 1.0 ? (std::abs(bend) < 1e-8 ? straight_day : -std::log1p(-bend) / decay_per_day)
                     : std::numeric_limits<double>::infinity();
      if (to_end_day <= left_day) {
        taken_day = to_end_day;
        next_m = end_m;
      } else {
        next_m = std::clamp(level_m + rate_m_per_day * taken_day * phi1(decay_per_day * taken_day),
                            low_m, high_m);
      }
    }
    const double mean_m = level_m + rate_m_per_day * taken_day * phi2(decay_per_day * taken_day);
    const double share = std::clamp((mean_m - low_m) / (high_m - low_m), 0.0, 1.0);
    weight_day_[cell_] += taken_day * (1.0 - share) * node_share(cell_);
    weight_day_[cell_ + 1] += taken_day * share * node_share(cell_ + 1);
    exchanged(inflow_m3_per_day * taken_day - storage_area_m2 * (next_m - level_m));
    level_m = next_m;
    passed.highest_m = std::max(passed.highest_m, level_m);
    left_day -= taken_day;
  }
  water_m3 = level_m * storage_area_m2;
  return passed;
}

void IntakeCurve::add_taken(std::span<double> taken_m3) const {
  const std::size_t parts = taken_m3.size();
  for (const std::size_t k : known_) {
    if (weight_day_[k] == 0.0) continue;
    for (std::size_t j = 0; j < parts; ++j) {
      taken_m3[j] += weight_day_[k] * flow_m3_per_day_[k * parts + j];
    }
  }
  taken_m3.back() += through_bottom_m3_;
}

}  // namespace restwell
