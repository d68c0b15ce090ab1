#include "sim/whatif.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <numeric>

#include "models/constants.hpp"

namespace restwell {
namespace {

template <typename Get>
DaySpread spread_of(const RunResult& r, const Get& get) {
  return {get(r.cases[Cases::early]), get(r.cases[Cases::expected]), get(r.cases[Cases::late])};
}

// Mean over the first `days` days of what `get` reads from a tank day.
template <typename Get>
double mean(const RunResult& r, int days, const Get& get) {
  double sum = 0.0;
  for (int d = 0; d < days; ++d) sum += get(r.tank[static_cast<std::size_t>(d)]);
  return days > 0 ? sum / days : 0.0;
}

std::size_t weekday_of(Date date) { return std::chrono::weekday{date}.iso_encoding() - 1; }

PitOutcome pit_outcome(const RunResult& r, std::size_t p, int first_year) {
  const CaseRun& expected = r.cases[Cases::expected];
  const Pit& pit = r.site.pits[p].pit;
  const std::vector<double>& now = expected.profiles.front().resistance_day[p];
  const std::vector<double> clean(now.size(), expected.clog_case.biomat.clean_resistance_day);
  PitOutcome o;
  o.name = r.scenario.pits[p].name;
  for (std::size_t i = 0; i < r.site.outlet_pit.size(); ++i)
    if (r.site.outlet_pit[i] == p) o.share = o.share.value_or(0.0) + r.free_share[i];
  o.clean_m3_per_day = intake_when_full_m3_per_day(r.site.pits[p], clean);
  o.now_m3_per_day = intake_when_full_m3_per_day(r.site.pits[p], now);
  o.depth_m = pit.geometry.depth_m;
  std::array<int, 7> days{};
  for (int d = 0; d < first_year; ++d) {
    const std::size_t weekday = weekday_of(date_of(r.scenario.start, d));
    o.highest_m[weekday] += expected.days[p][static_cast<std::size_t>(d)].highest_m;
    ++days[weekday];
  }
  for (std::size_t w = 0; w < 7; ++w) o.highest_m[w] /= std::max(days[w], 1);
  o.full = spread_of(r, [p](const CaseRun& f) { return f.pits[p].first_full; });
  return o;
}

}  // namespace

double CaseOutcome::clean_m3_per_day() const {
  return std::accumulate(pits.begin(), pits.end(), 0.0,
                         [](double sum, const PitOutcome& p) { return sum + p.clean_m3_per_day; });
}
double CaseOutcome::now_m3_per_day() const {
  return std::accumulate(pits.begin(), pits.end(), 0.0,
                         [](double sum, const PitOutcome& p) { return sum + p.now_m3_per_day; });
}

CaseOutcome outcome_of(const RunResult& r) {
  // As in the report: a whole year of seasons.
  const int first_year = days_to_year_end(r.scenario.start, 1, r.days());
  CaseOutcome o;
  o.scenario = r.scenario;
  o.flow_m3_per_day = mean(r, first_year, [](const TankRecord& d) { return d.inflow_m3; });
  o.solids_kg_per_day = mean(r, first_year, [](const TankRecord& d) { return d.tss_in_kg; });
  double volume = 0.0, weighted = 0.0;
  for (std::size_t w = 0; w < 7; ++w) {
    o.week_m3[w] = r.week.days[w].inflow_m3;
    for (const EffluentStep& step : r.week.days[w].steps) {
      const double v = step.flow_m3_per_day * step.dt_day;
      const double a = step.root_flow[0], b = step.root_flow[1];
      volume += v;
      weighted += v * std::lerp(b * b, a * a, step.first_share);
    }
  }
  o.outflow_m3_per_day = volume > 0.0 ? weighted / volume : 0.0;
  o.bod_kg_per_day = mean(r, r.days(), [](const TankRecord& d) { return d.bod_out_kg; });
  const double sent = mean(r, r.days(), [](const TankRecord& d) { return d.outflow_m3; });
  o.bod_kg_per_m3 = sent > 0.0 ? o.bod_kg_per_day / sent : 0.0;
  o.pump_interval_day = r.pump_interval_day;
  for (const CriterionDates& c : r.criteria)
    if (!c.met.empty()) o.pump_due_day = earlier_day(o.pump_due_day, c.met.front());
  const Tank& tank = r.scenario.tank.tank;
  o.tank_m3 = tank.plan_area_m2 * tank.liquid_depth_m;
  double lowest = r.site.outlets.empty() ? 0.0 : r.site.outlets.front().lip_m;
  for (const BoxOutlet& outlet : r.site.outlets) lowest = std::min(lowest, outlet.lip_m);
  for (const BoxOutlet& outlet : r.site.outlets) o.lip_m.push_back(outlet.lip_m - lowest);
  o.lip_pit = r.site.outlet_pit;
  for (std::size_t p = 0; p < r.site.pits.size(); ++p)
    o.pits.push_back(pit_outcome(r, p, first_year));
  for (const ClogProfile& profile : r.cases[Cases::expected].profiles) {
    double all = 0.0;
    for (std::size_t p = 0; p < r.site.pits.size(); ++p)
      all += intake_when_full_m3_per_day(r.site.pits[p], profile.resistance_day[p]);
    o.takes.push_back({profile.day_index, all});
  }
  for (const PitOutcome& p : o.pits) {
    o.first_full = {earlier_day(o.first_full.early, p.full.early),
                    earlier_day(o.first_full.expected, p.full.expected),
                    earlier_day(o.first_full.late, p.full.late)};
  }
  o.overflow = spread_of(r, [](const CaseRun& f) { return f.first_leaves; });
  for (const std::size_t f : {Cases::expected, Cases::early, Cases::late})
    if (o.leaves_at.empty()) o.leaves_at = r.cases[f].leaves_at;
  o.notes = r.cases[Cases::expected].notes;
  return o;
}

}  // namespace restwell
