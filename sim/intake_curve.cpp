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
struct Means {
  double phi1, phi2;
};
constexpr double small_x = 0.1;  // the series is good to 1e-11 here
Means means(double x) {
  if (std::abs(x) > small_x) {
    const double phi1 = -std::expm1(-x) / x;
    return {phi1, (1.0 - phi1) / x};
  }
  const double x2 = x * x;
  const double phi2 = (1.0 / 2 - x * (1.0 / 6)) + x2 * (1.0 / 24 - x * (1.0 / 120)) +
                      x2 * x2 * ((1.0 / 720 - x * (1.0 / 5040)) + x2 * (1.0 / 40320));
  return {1.0 - x * phi2, phi2};
}

}  // namespace

WaterAround felt_at(const GroundOfDay& ground, double level_m) {
  return {.table_m = ground.table_m + std::clamp(level_m - ground.table_m, 0.0, ground.mound_m),
          .held = ground.perched};
}

IntakeCurve::IntakeCurve(const Pit& pit, double brim_m, const SoilLag& lag) : lag_(lag) {
  const auto add = [&](double level_m) {
    if (!nodes_.empty()) nodes_.back().per_width = 1.0 / (level_m - nodes_.back().level_m);
    nodes_.push_back({.level_m = level_m, .home_m = level_m, .law_m3_per_day = unknown});
  };
  add(0.0);
  const auto spacing_to = [&](double to_m) {
    return std::max(least_spacing_m, spacing_share * 0.5 * (nodes_.back().level_m + to_m));
  };
  const auto nodes_up_to = [&](double to_m) {
    const double from_m = nodes_.back().level_m;
    if (!(to_m > from_m)) return;
    const double cells = std::ceil((to_m - from_m) / spacing_to(to_m));
    for (double i = 1.0; i < cells; i += 1.0) add(std::lerp(from_m, to_m, i / cells));
    add(to_m);
  };
  for (std::size_t i = 0; i < pit.rings.size(); ++i) {
    const double top_m = std::min(pit.rings[i].top_m, brim_m);
    // Of rings thinner than half of a cell not every edge, or the cells would grow with the rings.
    const bool soil_ends = i + 1 < pit.rings.size() && pit.rings[i].soil != pit.rings[i + 1].soil;
    if (soil_ends || top_m - nodes_.back().level_m > 0.5 * spacing_to(top_m)) nodes_up_to(top_m);
  }
  nodes_up_to(brim_m);
  at_.resize(nodes_.size());
  clean_day_.resize(pit.rings.size() + 1);
}

void IntakeCurve::renew(const Pit& pit, std::span<const double> resistance_day,
                        const GroundOfDay& ground) {
  resistance_day_.assign(resistance_day.begin(), resistance_day.end());
  ground_ = ground;
  start_day(pit);
  for (const std::size_t k : known_) nodes_[k].law_m3_per_day = unknown;
  known_.clear();
  move_nodes_to(ground);
}

// Of a node that is not known.
void IntakeCurve::set_level(std::size_t k, double level_m) {
  Node& n = nodes_[k];
  n.level_m = level_m;
  nodes_[k - 1].per_width = 1.0 / (level_m - nodes_[k - 1].level_m);
  n.per_width = 1.0 / (nodes_[k + 1].level_m - level_m);
  at_[k].reset();
}

// The node between the first and the last ones given that is nearest to the level.
std::size_t IntakeCurve::nearest_node(double level_m, std::size_t first, std::size_t last) const {
  std::size_t k = first;
  while (k < last && nodes_[k + 1].level_m - level_m < level_m - nodes_[k].level_m) ++k;
  return k;
}

// Nodes stand at the table and at its mound's top. The lowest and the highest do not move: under
// the brim the one below makes room for both.
void IntakeCurve::move_nodes_to(const GroundOfDay& ground) {
  for (const std::size_t k : moved_) set_level(k, nodes_[k].home_m);
  moved_.clear();
  const std::size_t highest = nodes_.size() - 2;
  const double table_m = ground.table_m, top_m = table_m + ground.mound_m;
  const auto inside = [&](double level_m) {
    return level_m > 0.0 && level_m < nodes_.back().level_m;
  };
  const bool has_table = inside(table_m), has_top = inside(top_m) && top_m > table_m;
  if (highest < (has_table && has_top ? 2 : 1)) return;
  std::size_t first = 1;
  if (has_table) {
    const std::size_t k = nearest_node(table_m, 1, has_top ? highest - 1 : highest);
    moved_.push_back(k);
    first = k + 1;
  }
  if (has_top) {
    const std::size_t k = nearest_node(top_m, first, highest);
    set_level(k, top_m);
    moved_.push_back(k);
  }
  if (has_table) set_level(moved_.front(), table_m);  // between nodes that stand already
}

void IntakeCurve::start_day(const Pit& pit) {
  pit_ = &pit;
  for (const std::size_t k : known_) nodes_[k].weight_day = 0.0;
  through_bottom_m3_ = 0.0;
}

void IntakeCurve::start_bin(double soil_flow_m3_per_day, double dt_day) {
  soil_flow_m3_per_day_ = soil_flow_m3_per_day;
  if (dt_day == bin_day_) return;
  bin_day_ = dt_day;
  for (const std::size_t k : known_) set_bin(nodes_[k]);
}

void IntakeCurve::set_bin(Node& n) const {
  n.steps = bin_day_ / n.lag_time_day;
  n.soil_keeps = restwell::soil_keeps(n.lag_time_day, bin_day_);
}

double IntakeCurve::soil_keeps(double level_m) {
  for (const std::size_t k : {cell_, cell_ + 1}) {
    if (std::isnan(nodes_[k].law_m3_per_day)) find_node(k);
  }
  const Node& low = nodes_[cell_];
  const double share = std::clamp((level_m - low.level_m) * low.per_width, 0.0, 1.0);
  return low.soil_keeps + share * (nodes_[cell_ + 1].soil_keeps - low.soil_keeps);
}

void IntakeCurve::find_node(std::size_t k) {
  Node& n = nodes_[k];
  const std::size_t parts = clean_day_.size();
  if (!at_[k]) {
    at_[k] = AtLevel{pit_at_level(*pit_, n.level_m), std::vector<double>(parts)};
    pit_intake_m3_per_day(*pit_, at_[k]->pit, clean_day_, n.level_m, {}, at_[k]->clean_m3_per_day);
  }
  const std::size_t first = known_.size() * parts;
  if (flow_m3_per_day_.size() < first + parts) flow_m3_per_day_.resize(first + parts);
  const std::span<double> flow = std::span(flow_m3_per_day_).subspan(first, parts);
  n.law_m3_per_day = pit_intake_m3_per_day(*pit_, at_[k]->pit, resistance_day_, n.level_m,
                                           felt_at(ground_, n.level_m), flow);
  if (!std::isfinite(n.law_m3_per_day)) throw std::runtime_error("a pit's intake is not finite");
  known_.push_back(k);
  n.per_law = 1.0 / n.law_m3_per_day;
  const std::vector<double>& clean = at_[k]->clean_m3_per_day;
  n.lag_time_day = restwell::lag_time_day(lag_, *pit_, n.level_m, flow, clean);
  set_bin(n);
  if (lag_.lagging_share <= 0.0) return;
  n.lagging = lagging_part(lag_, soil_activity(*pit_, resistance_day_, n.level_m, flow, clean));
}

// With the soil as it is, which gives nothing back.
double IntakeCurve::intake(std::size_t k) {
  if (std::isnan(nodes_[k].law_m3_per_day)) find_node(k);
  const Node& n = nodes_[k];
  if (!(n.law_m3_per_day > 0.0) || bin_day_ <= 0.0) return n.law_m3_per_day;
  return n.law_m3_per_day * lagged_share(n.lagging, soil_flow_m3_per_day_ * n.per_law, n.steps);
}

IntakeCurve::Ends IntakeCurve::ends() {
  const double low = intake(cell_), high = intake(cell_ + 1);
  return {low, high, (high - low) * nodes_[cell_].per_width};
}

// Time at the intakes of the cell's ends.
void IntakeCurve::spend(double low_day, double high_day, const Ends& at) {
  const auto add = [](Node& n, double intake, double day) {
    n.weight_day += n.law_m3_per_day > 0.0 ? day * intake * n.per_law : day;
  };
  add(nodes_[cell_], at.low, low_day);
  add(nodes_[cell_ + 1], at.high, high_day);
}

void IntakeCurve::find_cell(double level_m) {
  while (cell_ > 0 && level_m < nodes_[cell_].level_m) --cell_;
  while (cell_ + 2 < nodes_.size() && level_m >= nodes_[cell_ + 1].level_m) ++cell_;
}

IntakeCurve::Line IntakeCurve::at(double level_m) {
  find_cell(level_m);
  const Ends end = ends();
  return {end.low + end.slope_m2_per_day * (level_m - nodes_[cell_].level_m), end.slope_m2_per_day};
}

IntakeCurve::Passed IntakeCurve::advance(double& water_m3, double storage_area_m2,
                                         double inflow_m3_per_day, double dt_day) {
  const double brim_m = nodes_.back().level_m;
  const double per_area = 1.0 / storage_area_m2;
  Passed passed;
  double level_m = std::min(water_m3 * per_area, brim_m);
  // A pit that stood higher before its brim was lowered spills that first.
  passed.overflow = std::max(0.0, water_m3 - brim_m * storage_area_m2);
  passed.highest_m = level_m;
  find_cell(level_m);
  const double keeps_first = soil_keeps(level_m);
  const auto exchanged = [&](double into_soil_m3) {
    (into_soil_m3 > 0.0 ? passed.intake : passed.ground) += std::abs(into_soil_m3);
  };
  double left_day = dt_day;
  while (left_day > 0.0) {
    find_cell(level_m);
    Ends end = ends();
    const double intake_m3_per_day =
        end.low + end.slope_m2_per_day * (level_m - nodes_[cell_].level_m);
    const double rate_m_per_day = (inflow_m3_per_day - intake_m3_per_day) * per_area;
    if (level_m >= brim_m && rate_m_per_day >= 0.0) {
      spend(0.0, left_day, end);
      exchanged(intake_m3_per_day * left_day);
      passed.overflow += (inflow_m3_per_day - intake_m3_per_day) * left_day;
      break;
    }
    if (level_m <= 0.0 && rate_m_per_day <= 0.0) {
      through_bottom_m3_ += inflow_m3_per_day * left_day;
      exchanged(inflow_m3_per_day * left_day);
      break;
    }
    if (level_m == nodes_[cell_].level_m && rate_m_per_day < 0.0) {  // down into the cell below
      --cell_;
      end = ends();
    }
    const Node& low = nodes_[cell_];
    const double end_m = rate_m_per_day > 0.0 ? nodes_[cell_ + 1].level_m : low.level_m;
    const double to_end_m = end_m - level_m;
    const double decay_per_day = end.slope_m2_per_day * per_area;
    double taken_day = left_day;
    bool reaches_end = false;
    // Where the intake rises with the level the water gets no further than at its first rate.
    if (decay_per_day < 0.0 || std::abs(rate_m_per_day) * left_day >= std::abs(to_end_m)) {
      const double straight_day = to_end_m / rate_m_per_day;
      const double bend = decay_per_day * straight_day;
      const double end_day = std::abs(bend) < 1e-8 ? straight_day
                             : bend < 1.0          ? -std::log1p(-bend) / decay_per_day
                                                   : left_day;
      reaches_end = end_day < left_day;
      taken_day = std::min(left_day, end_day);
    }
    const Means mean = means(decay_per_day * taken_day);
    const double next_m = reaches_end ? end_m
                                      : std::clamp(level_m + rate_m_per_day * taken_day * mean.phi1,
                                                   low.level_m, nodes_[cell_ + 1].level_m);
    const double mean_m = level_m + rate_m_per_day * taken_day * mean.phi2;
    const double share = std::clamp((mean_m - low.level_m) * low.per_width, 0.0, 1.0);
    spend(taken_day * (1.0 - share), taken_day * share, end);
    exchanged(inflow_m3_per_day * taken_day - storage_area_m2 * (next_m - level_m));
    level_m = next_m;
    passed.highest_m = std::max(passed.highest_m, level_m);
    left_day -= taken_day;
  }
  water_m3 = level_m * storage_area_m2;
  passed.soil_keeps = 0.5 * (keeps_first + soil_keeps(level_m));
  return passed;
}

void IntakeCurve::add_taken(std::span<double> taken_m3) const {
  const std::size_t parts = taken_m3.size();
  for (std::size_t i = 0; i < known_.size(); ++i) {
    const double weight_day = nodes_[known_[i]].weight_day;
    if (weight_day == 0.0) continue;
    for (std::size_t j = 0; j < parts; ++j)
      taken_m3[j] += weight_day * flow_m3_per_day_[i * parts + j];
  }
  taken_m3.back() += through_bottom_m3_;
}

}  // namespace restwell
