#include "sim/run.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <memory>
#include <numbers>
#include <optional>
#include <stdexcept>

#include "models/constants.hpp"
#include "sim/parallel.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

constexpr int chunk_day = 63;  // days the tank runs ahead of the pits: whole weeks, see renew_bins

// One clogging case in progress.
class CaseProgress {
 public:
  CaseProgress(const Scenario& scenario, const std::vector<Phase>& phases, const Scenario& past,
               const TypicalWeek& past_week, CaseRun& out)
      : scenario_(scenario), phases_(phases), out_(out) {
    const SiteLayout& site = phases.front().site;
    PitsAtStart start = pits_at_start(past, out.clog_case.biomat, past_week);
    out.notes = std::move(start.notes);
    for (std::size_t p = 0; p < site.pits.size(); ++p) {
      out.start_level_m.push_back(start.pits[p].water_m3 /
                                  storage_area_m2(site.pits[p].pit.geometry));
    }
    downstream_.emplace(scenario, site, out.clog_case.biomat, std::move(start.pits));
    out.days.resize(site.pits.size());
    out.pits.resize(site.pits.size());
    out.outlet_m3_by_year.resize(scenario.box.outlets.size());
    record_profile(0);
  }

  void day(int index, std::size_t phase, const BinnedEffluent& effluent) {
    if (is_followed_far_enough()) return;
    if (phase != phase_) {
      phase_ = phase;
      downstream_->lay_out_as(site());
    }
    const Date date = date_of(scenario_.start, index);
    const DownstreamDay* today = nullptr;
    try {
      today = &downstream_->day(effluent, date);
    } catch (const std::exception& e) {
      throw std::runtime_error(
          fmt::format("{}, day {} ({}): {}", out_.clog_case.name, index, iso_date(date), e.what()));
    }
    const auto year = static_cast<std::size_t>(index / days_per_year);
    for (std::vector<double>& by_year : out_.outlet_m3_by_year) by_year.resize(year + 1, 0.0);
    for (std::size_t i = 0; i < site().outlets.size(); ++i) {
      out_.outlet_m3_by_year[site().outlet_config[i]][year] += today->outlet_m3[i];
    }
    out_.over_lid_m3.push_back(today->over_lid_m3);
    if (out_.first_leaves == never) {
      out_.leaves_at = leaving_words(scenario_, site(), *today);
      if (!out_.leaves_at.empty()) out_.first_leaves = index;
    }
    for (std::size_t p = 0; p < site().pits.size(); ++p) {
      const PitDay& pit = today->pits[p];
      out_.days[p].push_back(pit);
      PitMilestones& m = out_.pits[p];
      if (pit.full && m.first_full == never) m.first_full = index;
      if (pit.reaches_box && m.first_reaches_box == never) m.first_reaches_box = index;
      if (pit.overflow_m3 > noticed_m3 && m.first_overflow == never) m.first_overflow = index;
    }
    const bool no_reserve =
        std::all_of(today->pits.begin(), today->pits.end(), [](const PitDay& p) { return p.full; });
    if (no_reserve && out_.first_no_reserve == never) out_.first_no_reserve = index;
    const int next_year = static_cast<int>((index + 1) / days_per_year);
    if (next_year != static_cast<int>(index / days_per_year)) record_profile(index + 1);
  }

  void finish(int days) {
    // A run that ends half a day before its year does still has that year's profile.
    const auto year = [](int index) { return std::lround(index / days_per_year); };
    if (year(out_.profiles.back().day_index) != year(days)) record_profile(days);
    out_.ledger = downstream_->ledger();
    out_.water_held_end_m3 = downstream_->water_held_m3();
    for (std::size_t p = 0; p < site().pits.size(); ++p) {
      out_.capacity_m3_per_day.push_back(
          intake_when_full_m3_per_day(site().pits[p], downstream_->pits()[p].resistances_day()));
    }
  }

 private:
  [[nodiscard]] const SiteLayout& site() const { return phases_[phase_].site; }

  [[nodiscard]] bool is_followed_far_enough() const {
    if (out_.clog_case.follow == Follow::to_the_end || out_.first_leaves == never) return false;
    return out_.clog_case.follow == Follow::until_overflow ||
           std::ranges::none_of(out_.pits,
                                [](const PitMilestones& m) { return m.first_full == never; });
  }

  void record_profile(int index) {
    ClogProfile profile{index, {}};
    for (const PitState& p : downstream_->pits()) {
      profile.resistance_day.push_back(p.resistances_day());
    }
    out_.profiles.push_back(std::move(profile));
  }

  const Scenario& scenario_;
  const std::vector<Phase>& phases_;
  std::size_t phase_ = 0;
  CaseRun& out_;
  std::optional<Downstream> downstream_;
};

const TankDay& next_tank_day(Upstream& upstream, Date start, int index) {
  try {
    return upstream.next_day();
  } catch (const std::exception& e) {
    throw std::runtime_error(
        fmt::format("tank, day {} ({}): {}", index, iso_date(date_of(start, index)), e.what()));
  }
}

TankRecord record(const TankDay& d) {
  return {d.inflow_m3, d.outflow_m3, d.foreign_m3, d.peak_outflow_m3_per_day,
          d.tss_in_kg, d.tss_out_kg, d.bod_out_kg, d.carried_over_kg,
          d.residents, d.layers,     d.readings,   d.pumped,
          d.refilling};
}

// Lower ends of the histogram's bins; the first and the last one are open.
const std::array<double, FlowHistogram::bins + 1> bin_edge = [] {
  std::array<double, FlowHistogram::bins + 1> lower{};
  for (int b = 1; b < FlowHistogram::bins; ++b) {
    lower[static_cast<std::size_t>(b)] =
        FlowHistogram::lowest_m3_per_day *
        std::pow(10.0, static_cast<double>(b) / FlowHistogram::per_decade);
  }
  lower.back() = std::numeric_limits<double>::infinity();
  return lower;
}();
constexpr double bins_per_doubling =
    FlowHistogram::per_decade * (std::numbers::ln2 / std::numbers::ln10);
constexpr double doublings_of(double x) {
  return 0x1p-52 * static_cast<double>(std::bit_cast<std::int64_t>(x));
}
constexpr double lowest_doublings = doublings_of(FlowHistogram::lowest_m3_per_day);

}  // namespace

void FlowHistogram::add(const EffluentStep& step) {
  if (!(step.flow_m3_per_day > 0.0)) return;
  const double a = step.root_flow[0] * step.root_flow[0], b = step.root_flow[1] * step.root_flow[1];
  // Volume over flow is time.
  const double first = step.first_share * b, second = (1.0 - step.first_share) * a;
  const double first_day = step.dt_day * first / (first + second);
  add(a, first_day);
  add(b, step.dt_day - first_day);
}

void FlowHistogram::add(double flow_m3_per_day, double dt_day) {
  // A number's bits run nearly as its logarithm (within .09 of a doubling): one bin off at most.
  const double doublings = doublings_of(flow_m3_per_day) - lowest_doublings;
  int bin = std::clamp(static_cast<int>(bins_per_doubling * doublings), 0, bins - 1);
  bin += flow_m3_per_day >= bin_edge[static_cast<std::size_t>(bin + 1)] ? 1 : 0;
  bin -= flow_m3_per_day < bin_edge[static_cast<std::size_t>(bin)] ? 1 : 0;
  day[bin] += dt_day;
}

void FlowHistogram::add(const FlowHistogram& other) {
  for (std::size_t b = 0; b < bins; ++b) day[b] += other.day[b];
}

double FlowHistogram::bin_middle_m3_per_day(int bin) const {
  return lowest_m3_per_day * std::pow(10.0, (bin + 0.5) / per_decade);
}

RunResult run(const Scenario& scenario, const std::vector<ClogCase>& cases,
              const Progress& progress, const RunOptions& options) {
  const Scenario& past = options.past != nullptr ? *options.past : scenario;
  RunResult result;
  result.scenario = scenario;
  result.site = lay_out(scenario);
  result.week = typical_week(scenario);
  const TypicalWeek past_week = options.past != nullptr ? typical_week(past) : result.week;
  result.free_share = free_shares(result.week, result.site);
  result.tank_start = options.tank_start ? *options.tank_start : tank_at_start(past);
  result.pump_interval_day = pump_interval(scenario).value_or(never);
  for (const Criterion c : all_criteria) result.criteria.push_back({c, {}});

  result.phases = phases(scenario);
  const std::vector<Phase>& plan = result.phases;
  const FreeSplits splits = free_splits(plan);
  result.cases.resize(cases.size());
  std::vector<std::unique_ptr<CaseProgress>> running(cases.size());
  for_each_parallel(
      cases.size(),
      [&](std::size_t f) {
        result.cases[f].clog_case = cases[f];
        running[f] =
            std::make_unique<CaseProgress>(scenario, plan, past, past_week, result.cases[f]);
      },
      options.threads);

  const int days = days_of_years(scenario.years);
  Upstream upstream(scenario, scenario.mode, result.tank_start, true,
                    past_week.mean_flow_m3_per_day);
  struct DayOfChunk {
    BinnedDay binned;
    std::size_t phase = 0;
    FlowHistogram flows;
  };
  std::vector<DayOfChunk> chunk(chunk_day);
  std::size_t phase = 0;
  set_strength(past_week.days.back(), chunk.back().binned.effluent);
  std::vector<bool> met(result.criteria.size(), false);
  std::vector<bool> cannot_keep;
  for (const CriterionDates& c : result.criteria) {
    cannot_keep.push_back(met_when_clean(c.criterion, scenario, result.week.mean_flow_m3_per_day));
  }
  for (int first = 0; first < days; first += chunk_day) {
    const int count = std::min(chunk_day, days - first);
    for (int k = 0; k < count; ++k) {
      const TankDay& day = next_tank_day(upstream, scenario.start, first + k);
      if (day.pumped) {
        result.pumped.push_back(first + k);
        std::fill(met.begin(), met.end(), false);
      }
      for (std::size_t c = 0; c < met.size(); ++c) {
        if (met[c] || cannot_keep[c] ||
            !criterion_met(result.criteria[c].criterion, day.readings, scenario.tank.limits)) {
          continue;
        }
        met[c] = true;
        result.criteria[c].met.push_back(first + k);
      }
      result.tank.push_back(record(day));
      DayOfChunk& slot = chunk[static_cast<std::size_t>(k)];
      const BinnedEffluent& before =
          chunk[static_cast<std::size_t>((k + chunk_day - 1) % chunk_day)].binned.effluent;
      slot.binned.effluent.tss_kg_per_m3 = before.tss_kg_per_m3;
      slot.binned.effluent.bod_kg_per_m3 = before.bod_kg_per_m3;
      while (phase + 1 < plan.size() && plan[phase + 1].first_day <= first + k) ++phase;
      slot.phase = phase;
      if (renew_bins(day, scenario.limits.pit_step_day,
                     {plan[phase].site.outlets.size(), splits[phase].get(), plan[phase].hauled},
                     slot.binned)) {
        slot.flows = {};
        for (const EffluentStep& step : day.steps) slot.flows.add(step);
      }
      result.effluent.add(slot.flows);
    }
    for_each_parallel(
        cases.size(),
        [&](std::size_t f) {
          for (int k = 0; k < count; ++k) {
            const auto slot = static_cast<std::size_t>(k);
            running[f]->day(first + k, chunk[slot].phase, chunk[slot].binned.effluent);
          }
        },
        options.threads);
    progress.tell(static_cast<double>(first + count) / days);
  }
  for (const auto& one : running) one->finish(days);
  result.tank_ledger = upstream.ledger();
  result.tank_water_end_m3 = upstream.water_held_m3();
  result.tank_solids_end_kg = upstream.solids_held_kg();
  return result;
}

int first_pit_full(const CaseRun& c) {
  int first = never;
  for (const PitMilestones& p : c.pits) first = earlier_day(first, p.first_full);
  return first;
}

double worst_balance_error(const RunResult& r) {
  const TankLedger& t = r.tank_ledger;
  const auto misfit = [](double in, double out, double start, double end) {
    const double scale = std::max({in, out, start, end, 1e-9});
    return std::abs(in + start - out - end) / scale;
  };
  double worst = std::max(
      misfit(t.water_in, t.water_out + t.water_pumped, t.water_held_start, r.tank_water_end_m3),
      misfit(t.solids_in, t.solids_out + t.solids_digested + t.solids_pumped, t.solids_held_start,
             r.tank_solids_end_kg));
  for (const CaseRun& f : r.cases) {
    worst =
        std::max(worst, misfit(f.ledger.in + f.ledger.ground,
                               f.ledger.soil + f.ledger.surface + f.ledger.house + f.ledger.hauled,
                               f.ledger.held_start, f.water_held_end_m3));
  }
  return worst;
}

}  // namespace restwell
