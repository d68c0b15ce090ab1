#include "sim/downstream.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include "sim/water_table.hpp"

namespace restwell {
namespace {

constexpr double full_margin_m = 1e-4;
constexpr double looked_ahead = 0.001;  // change of the resistance within a curve's first half
constexpr double unbounded_m2 = 1e6;    // storage of a pit that spills what comes

// Of the rings, and last of the bottom.
std::vector<SeasonAtDepth> seasons(const SoilTemperature& soil, const PitLayout& layout) {
  std::vector<SeasonAtDepth> all;
  for (const Ring& ring : layout.pit.rings) {
    const double middle_m = 0.5 * (ring.bottom_m + ring.top_m);
    all.push_back(season_at_depth(soil, std::max(0.0, layout.bottom_below_ground_m - middle_m)));
  }
  all.push_back(season_at_depth(soil, layout.bottom_below_ground_m));
  return all;
}

// The same, as from water at the inlet: where it stood lower the wall drains sooner.
std::vector<double> drainage_days(const Drainage& drainage, const Pit& pit) {
  std::vector<double> all;
  for (const Ring& ring : pit.rings) {
    const double middle_m = 0.5 * (ring.bottom_m + ring.top_m);
    all.push_back(
        drainage_day(drainage, ring.soil, std::max(0.0, pit.geometry.depth_m - middle_m)));
  }
  all.push_back(drainage_day(drainage, pit.bottom_soil, under_bottom_m));
  return all;
}

}  // namespace

std::vector<double> PitState::resistances_day() const {
  std::vector<double> resistances;
  for (const BiomatState& b : biomat) resistances.push_back(b.resistance_day());
  return resistances;
}

PitState clean_pit(const Pit& pit, const BiomatParameters& biomat) {
  PitState state;
  state.biomat.assign(pit.rings.size() + 1, clean_biomat(biomat));
  return state;
}

Downstream::Downstream(const Scenario& scenario, const SiteLayout& site,
                       const BiomatParameters& biomat, std::vector<PitState> start)
    : site_(&site),
      biomat_(biomat),
      over_lid_(scenario.box.over_lid),
      table_(scenario.soil.water_table),
      groundwater_(scenario.groundwater),
      ground_(site.pits.size()),
      decay_(biomat),
      most_days_a_curve_(table_ && is_changing(*table_)
                             ? 1
                             : std::max(1, static_cast<int>(scenario.limits.intake_step_day))),
      pits_(std::move(start)) {
  const std::size_t n = site.pits.size();
  day_.pits.resize(n);
  day_.outlet_m3.resize(site.outlets.size());
  bin_inflow_m3_.resize(n);
  days_left_of_curve_.resize(n);
  overflow_to_m3_.resize(n);
  for (std::size_t i = 0; i < n; ++i) {
    const Pit& pit = site.pits[i].pit;
    const std::size_t parts = pit.rings.size() + 1;
    pits_[i].mean_onto_m3_per_day.resize(site.pits[i].boundaries.size(), 0.0);
    curves_.emplace_back(pit, site.pits[i].brim_m, scenario.soil_lag);
    storage_area_m2_.push_back(storage_area_m2(pit.geometry));
    mounds_.emplace_back(groundwater_, bottom_area_m2(pit.geometry), pit.bottom_soil.kfs_m_per_day);
    resistance_day_.emplace_back(parts);
    change_per_day_.emplace_back(parts);
    part_area_m2_.emplace_back();
    middle_m_.emplace_back();
    for (const Ring& ring : pit.rings) {
      part_area_m2_.back().push_back(ring_area_m2(pit.geometry, ring));
      middle_m_.back().push_back(0.5 * (ring.bottom_m + ring.top_m));
    }
    part_area_m2_.back().push_back(bottom_area_m2(pit.geometry));
    middle_m_.back().push_back(0.0);
    intake_m3_.emplace_back(parts);
    std::vector<double> coefficient;
    for (const Ring& ring : pit.rings) {
      coefficient.push_back(clogging_coefficient(biomat, ring.soil.kfs_m_per_day));
    }
    coefficient.push_back(clogging_coefficient(biomat, pit.bottom_soil.kfs_m_per_day));
    coefficient_.push_back(std::move(coefficient));
    season_.push_back(seasons(scenario.soil_temperature, site.pits[i]));
    decay_per_day_.emplace_back(parts);
    drainage_day_.push_back(drainage_days(scenario.drainage, pit));
  }
  ledger_.held_start = water_held_m3();
}

void Downstream::lay_out_as(const SiteLayout& site) {
  site_ = &site;
  day_.outlet_m3.assign(site.outlets.size(), 0.0);
}

double Downstream::level_m(std::size_t index) const {
  return pits_[index].water_m3 / storage_area_m2_[index];
}

double Downstream::water_held_m3() const {
  double held = 0.0;
  for (const PitState& p : pits_) held += p.water_m3;
  return held;
}

// True if a pit's water stands over its lip or might by the bin's end.
bool Downstream::box_feels_pits(const BinnedEffluent& effluent, std::size_t bin) const {
  for (std::size_t i = 0; i < site_->outlets.size(); ++i) {
    const std::size_t p = site_->outlet_pit[i];
    if (!site_->pits[p].backs_up_to_box) continue;
    const double rise = effluent.outlet_m3[bin * site_->outlets.size() + i] / storage_area_m2_[p];
    if (site_->pits[p].bottom_over_datum_m + level_m(p) + rise > site_->outlets[i].lip_m)
      return true;
  }
  return false;
}

void Downstream::couple_box(const BinnedEffluent& effluent, std::size_t bin) {
  const std::size_t n = site_->outlets.size();
  const std::size_t pits = site_->pits.size();
  std::array<double, max_pits> level{}, intake{}, slope{};
  for (std::size_t p = 0; p < pits; ++p) {
    level[p] = level_m(p);
    const IntakeCurve::Line line = curves_[p].at(std::min(level[p], site_->pits[p].brim_m));
    intake[p] = line.intake_m3_per_day;
    slope[p] = line.slope_m2_per_day;
  }
  const std::array<double, max_pits> level_start = level;
  std::array<Tailwater, max_outlets> tail{};
  std::array<double, max_outlets> out_m3{};
  const auto solve = [&](double dt, double volume) {
    bool free_fall = true;
    for (std::size_t i = 0; i < n; ++i) {
      const std::size_t p = site_->outlet_pit[i];
      if (!site_->pits[p].backs_up_to_box) continue;
      tail[i].level_m = site_->pits[p].bottom_over_datum_m + level[p];
      // A pit at its brim spills what comes: nothing bounds the flow into it.
      const bool at_brim = level[p] >= site_->pits[p].brim_m - full_margin_m;
      tail[i].area_m2 = at_brim ? unbounded_m2 : storage_area_m2_[p];
      tail[i].intake_m3_per_day = intake[p] + slope[p] * (level[p] - level_start[p]);
      free_fall = free_fall && tail[i].level_m <= site_->outlets[i].lip_m;
    }
    double over_lid = 0.0;
    if (free_fall) {
      std::fill_n(out_m3.begin(), n, 0.0);
      effluent.split->add_volume(std::sqrt(volume / dt), volume, std::span(out_m3).first(n),
                                 over_lid);
      // No pit rises over its lip within the step: else they hold the flow back.
      for (std::size_t i = 0; i < n && free_fall; ++i) {
        if (!site_->pits[site_->outlet_pit[i]].backs_up_to_box) continue;
        const double room_m = site_->outlets[i].lip_m - tail[i].level_m;
        free_fall = out_m3[i] <= room_m * tail[i].area_m2 + tail[i].intake_m3_per_day * dt;
      }
    }
    if (!free_fall) {
      over_lid = split_flow(site_->outlets, site_->lid, volume / dt, std::span(tail).first(n), dt,
                            std::span(out_m3).first(n))
                     .lid_m3_per_day *
                 dt;
      for (double& flow : std::span(out_m3).first(n)) flow *= dt;
    }
    day_.over_lid_m3 += over_lid;
    for (std::size_t i = 0; i < n; ++i) {
      const std::size_t p = site_->outlet_pit[i];
      day_.outlet_m3[i] += out_m3[i];
      bin_inflow_m3_[p] += out_m3[i];
      level[p] += out_m3[i] / storage_area_m2_[p];
      if (tail[i].level_m > site_->outlets[i].lip_m) day_.pits[p].reaches_box = true;
    }
    for (std::size_t p = 0; p < pits; ++p) {
      const double sink = intake[p] + slope[p] * (level[p] - level_start[p]);
      // The line through two levels must not turn intake into inflow; groundwater may come in.
      const double drawn = intake[p] < 0.0 ? sink : std::max(0.0, sink);
      level[p] =
          std::clamp(level[p] - drawn * dt / storage_area_m2_[p], 0.0, site_->pits[p].brim_m);
    }
  };
  std::size_t in_free_fall = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t p = site_->outlet_pit[i];
    const bool drowned = site_->pits[p].backs_up_to_box &&
                         site_->pits[p].bottom_over_datum_m + level[p] > site_->outlets[i].lip_m;
    if (!drowned) ++in_free_fall;
  }
  join_steps(effluent, bin, in_free_fall > 1, joined_);
  for (const BinnedEffluent::Step& step : joined_) solve(step.dt_day, step.volume_m3);
}

// One pit over one bin with constant inflow.
void Downstream::advance_pit(std::size_t index, double inflow, double dt_day) {
  const PitLayout& layout = site_->pits[index];
  PitDay& today = day_.pits[index];
  PitState& state = pits_[index];
  const IntakeCurve::Passed passed =
      curves_[index].advance(state.water_m3, storage_area_m2_[index], inflow, dt_day);
  state.soil_flow_m3_per_day = soil_flow_after_m3_per_day(
      state.soil_flow_m3_per_day, passed.intake / dt_day, passed.soil_keeps);
  today.inflow_m3 += inflow * dt_day;
  today.intake_m3 += passed.intake;
  today.ground_m3 += passed.ground;
  today.overflow_m3 += passed.overflow;
  today.highest_m = std::max(today.highest_m, passed.highest_m);
  if (layout.over_brim == Destination::next_pit) {
    overflow_to_m3_[layout.next_pit] += passed.overflow;
  } else {
    (layout.over_brim == Destination::house ? ledger_.house : ledger_.surface) += passed.overflow;
  }
}

// For a calendar week, at the soil's temperature in its middle.
void Downstream::find_decay(Date date) {
  const Date week = std::chrono::floor<std::chrono::weeks>(date);
  if (week == decay_week_) return;
  decay_week_ = week;
  const Wave wave = wave_on(day_of_year(week + std::chrono::days(3)));
  for (std::size_t p = 0; p < pits_.size(); ++p) {
    for (std::size_t j = 0; j < season_[p].size(); ++j)
      decay_per_day_[p][j] = decay_.per_day(temperature_c(season_[p][j], wave));
  }
}

// The day's growth and decay of every ring from what it took in.
void Downstream::clog(const BinnedEffluent& effluent, Date date) {
  BiomatParameters drowned = biomat_;  // no air reaches what lies below the water table
  drowned.submerged_factor = 0.0;
  const double strength = effluent.bod_kg_per_m3 + biomat_.solids_weight * effluent.tss_kg_per_m3;
  find_decay(date);
  for (std::size_t p = 0; p < pits_.size(); ++p) {
    const std::span<BiomatState> biomat = pits_[p].biomat;
    const std::span<const double> taken_m3 = intake_m3_[p], middle_m = middle_m_[p];
    const std::span<double> change_per_day = change_per_day_[p];
    const double highest_m = day_.pits[p].highest_m;
    const WaterAround around = felt_at(ground_[p], highest_m);
    const bool feels_water = around.table_m > 0.0 || !around.held.empty();
    for (std::size_t j = 0; j < biomat.size(); ++j) {
      const bool bottom = j + 1 == biomat.size();
      const bool below_table =
          feels_water &&
          (middle_m[j] < around.table_m ||
           std::ranges::any_of(around.held, [&](const HeldWater& held) {
             return (bottom ? held.boundary_m < 0.0 : middle_m[j] >= held.boundary_m) &&
                    middle_m[j] < std::min(held.level_m, highest_m);
           }));
      const bool wet = below_table || highest_m > middle_m[j] || (bottom && taken_m3[j] > 0.0);
      if (!wet && taken_m3[j] <= 0.0 && is_clean(biomat_, biomat[j])) {
        biomat[j].exposed_day += 1.0;  // nothing to grow or decay
        change_per_day[j] = 0.0;
        continue;
      }
      const double load = std::max(0.0, taken_m3[j]) * strength / part_area_m2_[p][j];
      const double before_day = biomat[j].resistance_day();
      biomat[j] = advance_biomat(
          below_table ? drowned : biomat_, biomat[j], coefficient_[p][j],
          {.load_kg_per_m2_day = load, .wet = wet, .drainage_day = drainage_day_[p][j]},
          decay_per_day_[p][j], 1.0);
      change_per_day[j] = biomat[j].resistance_day() - before_day;
    }
  }
  clogged_ = true;
}

// The water around a pit on a date, from what it has let down in the mean.
void Downstream::find_ground(std::size_t index, Date date) {
  const PitLayout& layout = site_->pits[index];
  const Pit& pit = layout.pit;
  const PitState& state = pits_[index];
  GroundOfDay& ground = ground_[index];
  ground.perched = perched_water(pit, layout.boundaries, state.mean_onto_m3_per_day);
  if (!table_) return;
  ground.table_m = water_table_m(table_, layout, date);
  ground.mound_m = mounds_[index].height_m(state.mean_intake_m3_per_day);
}

// The means that find_ground works from, moved on by the day.
void Downstream::remember(std::size_t index) {
  const PitDay& today = day_.pits[index];
  PitState& state = pits_[index];
  const double share = -std::expm1(-1.0 / groundwater_.mound_memory_day);
  const auto move = [share](double& mean, double now) {
    mean += (std::max(0.0, now) - mean) * share;
  };
  move(state.mean_intake_m3_per_day, today.intake_m3 - today.ground_m3);
  const PitLayout& layout = site_->pits[index];
  for (std::size_t k = 0; k < layout.boundaries.size(); ++k) {
    move(state.mean_onto_m3_per_day[k],
         flow_onto_m3_per_day(layout.pit, layout.boundaries[k], intake_m3_[index]));
  }
}

// Clogging moves slowly: one curve serves some days, at the clogging of their middle as the last
// day's change lets expect it (second order in the days). As few as keep what is looked ahead
// small.
void Downstream::renew_curve(std::size_t index) {
  const std::vector<BiomatState>& biomat = pits_[index].biomat;
  double change = 0.0, all = 0.0;  // the mean over what takes in
  for (std::size_t j = 0; j < biomat.size(); ++j) {
    const double taken = std::abs(intake_m3_[index][j]);
    if (taken == 0.0) continue;
    const double before_day = biomat[j].resistance_day() - change_per_day_[index][j];
    if (before_day > 0.0) change += taken * std::abs(change_per_day_[index][j]) / before_day;
    all += taken;
  }
  int days = clogged_ ? most_days_a_curve_ : 1;  // unknown yet
  while (days > 1 && 0.5 * (days - 1) * change > looked_ahead * all) --days;
  const double ahead_day = 0.5 * (days - 1);
  for (std::size_t j = 0; j < biomat.size(); ++j) {
    resistance_day_[index][j] =
        std::max(0.0, biomat[j].resistance_day() + ahead_day * change_per_day_[index][j]);
  }
  curves_[index].renew(site_->pits[index].pit, resistance_day_[index], ground_[index]);
  days_left_of_curve_[index] = days - 1;
}

const DownstreamDay& Downstream::day(const BinnedEffluent& effluent, Date date) {
  const std::size_t outlets = site_->outlets.size();
  day_.over_lid_m3 = 0.0;
  std::fill(day_.outlet_m3.begin(), day_.outlet_m3.end(), 0.0);
  for (std::size_t p = 0; p < pits_.size(); ++p) {
    if (days_left_of_curve_[p]-- > 0) {
      curves_[p].start_day(site_->pits[p].pit);
    } else {
      find_ground(p, date);
      renew_curve(p);
    }
    day_.pits[p] = PitDay{};
    day_.pits[p].highest_m = level_m(p);
    if (table_) day_.pits[p].table_m = ground_[p].table_m + ground_[p].mound_m;
    std::fill(intake_m3_[p].begin(), intake_m3_[p].end(), 0.0);
  }
  for (std::size_t bin = 0; bin < effluent.bins(); ++bin) {
    for (std::size_t p = 0; p < pits_.size(); ++p) {
      curves_[p].start_bin(pits_[p].soil_flow_m3_per_day, effluent.bin_day);
      bin_inflow_m3_[p] = 0.0;
      overflow_to_m3_[p] = 0.0;
    }
    if (site_->box_present && box_feels_pits(effluent, bin)) {
      couple_box(effluent, bin);
    } else {
      for (std::size_t i = 0; i < outlets; ++i) {
        const double volume = effluent.outlet_m3[bin * outlets + i];
        day_.outlet_m3[i] += volume;
        bin_inflow_m3_[site_->outlet_pit[i]] += volume;
      }
      day_.over_lid_m3 += effluent.lid_m3[bin];
    }
    for (const std::size_t p : site_->flow_order) {
      advance_pit(p, (bin_inflow_m3_[p] + overflow_to_m3_[p]) / effluent.bin_day, effluent.bin_day);
    }
  }
  for (std::size_t p = 0; p < pits_.size(); ++p) {
    PitDay& today = day_.pits[p];
    curves_[p].add_taken(intake_m3_[p]);
    today.level_m = level_m(p);
    for (const HeldWater& held : ground_[p].perched) {
      const double stands_m = std::min(held.level_m, today.highest_m);
      if (stands_m <= held.boundary_m || stands_m <= today.perched_m) continue;
      today.perched_m = stands_m;
      today.tight_m = held.boundary_m;
    }
    today.full = today.highest_m >= site_->pits[p].pit.geometry.depth_m - full_margin_m;
    ledger_.soil += today.intake_m3;
    ledger_.ground += today.ground_m3;
    remember(p);
  }
  ledger_.in += effluent.total_m3;
  ledger_.hauled += effluent.hauled_m3;
  (over_lid_ == LeavesTo::house ? ledger_.house : ledger_.surface) += day_.over_lid_m3;
  clog(effluent, date);
  return day_;
}

}  // namespace restwell
