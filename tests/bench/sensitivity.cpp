// Each clogging parameter at both ends of its range, one at a time, on three systems: which of them
// moves the dates? Prints the table of models/sources.md.
#include <fmt/core.h>

#include <algorithm>
#include <functional>
#include <string>

#include "models/constants.hpp"
#include "sim/parallel.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

constexpr double years = 40;

struct System {
  const char* name;
  std::string text;
};

struct Unknown {
  const char* name;
  const char* low_text;
  const char* high_text;
  std::function<void(Scenario&, bool high)> set;
};

// Pits that spill to the surface: a system that overflows, so that the level cannot rise on.
std::string single(const char* people, const char* diameter, const char* depth, const char* perc) {
  return one_pit({.household = fmt::format("occupants: {}", people),
                  .depth = depth,
                  .diameter = diameter,
                  .start = "new: yes",
                  .soil = fmt::format("{{perc: {} min/inch}}", perc),
                  .years = years});
}

// All new. A: one pit 6 ft x 7 ft, 10 min/inch, 3 people. B: two pits 6 ft x 8 ft, 15 min/inch,
// one outlet 1/8 in low, 4 people. C: one pit 6 ft x 10 ft, 20 min/inch, 4 people.
std::vector<System> systems() {
  return {{"A", single("3", "6 ft", "7 ft", "10")},
          {"B", two_pits({.west_invert = "0.125 in", .start = "new: yes", .years = years})},
          {"C", single("4", "6 ft", "10 ft", "20")}};
}

std::function<void(Scenario&, bool)> biomat(double BiomatParameters::*parameter, double low,
                                            double high) {
  return [=](Scenario& s, bool is_high) { s.biomat.*parameter = is_high ? high : low; };
}

// The site's soil alone: the clogging's reference conductivity stays.
std::function<void(Scenario&, bool)> soil(const std::function<void(Soil&, bool)>& change) {
  return [=](Scenario& s, bool is_high) {
    for (SoilLayer& layer : s.soil.layers) change(layer.soil, is_high);
  };
}

std::vector<Unknown> unknowns() {
  using B = BiomatParameters;
  return {
      {"clogging_per_load, day m2/kg", "2", "15", biomat(&B::beta_day_m2_per_kg, 2, 15)},
      {"submerged_decay_factor", "0.05", "0.45", biomat(&B::submerged_factor, .05, .45)},
      {"decay_rate, 1/day", "0.01", "0.04", biomat(&B::decay_20c_per_day, .01, .04)},
      {"decay_temperature_factor", "1.03", "1.10", biomat(&B::decay_theta, 1.03, 1.10)},
      {"soil_temperature, degC", "10", "14",
       [](Scenario& s, bool high) { s.soil_temperature.mean_c = high ? 14 : 10; }},
      {"clogging_soil_exponent", "0", "1", biomat(&B::soil_exponent, 0, 1)},
      {"solids_weight", "0", "1", biomat(&B::solids_weight, 0, 1)},
      {"residual_share", "0", "0.1", biomat(&B::residual_share, 0, .1)},
      {"clean_resistance, days", "0.1", "0.5", biomat(&B::clean_resistance_day, .1, .5)},
      {"aeration_lag, days", "3", "30", biomat(&B::aeration_lag_day, 3, 30)},
      {"conductivity of the soil", "x 0.5", "x 2",
       soil([](Soil& s, bool high) { s.kfs_m_per_day *= high ? 2.0 : 0.5; })},
      {"alpha of the soil, 1/m", "4", "36",
       soil([](Soil& s, bool high) { s.alpha_per_m = high ? 36.0 : 4.0; })},
      {"soil_lag_share", "0", "0.7",
       [](Scenario& s, bool high) { s.soil_lag.lagging_share = high ? 0.7 : 0.0; }},
  };
}

struct Outcome {
  int first_full = never;
  double level_m = 0.0;  // after ten years, of the pit that gets most
};

Outcome outcome_of(const Scenario& scenario) {
  const RunResult r = run_expected(scenario);
  const CaseRun& f = r.cases.front();
  Outcome o;
  for (const PitMilestones& p : f.pits) {
    if (p.first_full != never && (o.first_full == never || p.first_full < o.first_full)) {
      o.first_full = p.first_full;
    }
  }
  const auto ten_years = static_cast<std::size_t>(10 * days_per_year);
  for (const auto& pit : f.days) o.level_m = std::max(o.level_m, pit[ten_years].level_m);
  return o;
}

std::string date_text(int day) {
  return day == never ? fmt::format("> {:.0f}", years) : fmt::format("{:.1f}", day / days_per_year);
}

// Factor between the dates at the two ends; never counts as the end of the run: a lower bound.
double factor(const Outcome& a, const Outcome& b) {
  const auto day = [](const Outcome& o) {
    return std::max(1.0, o.first_full == never ? years * days_per_year : o.first_full);
  };
  return std::max(day(a), day(b)) / std::min(day(a), day(b));
}

// Of one system: as assumed first, then low and high of every unknown.
std::vector<Outcome> outcomes_of(const System& system, const std::vector<Unknown>& all) {
  const Scenario base = scenario_of(system.text);
  std::vector<Outcome> outcomes(1 + 2 * all.size());
  for_each_parallel(outcomes.size(), [&](std::size_t i) {
    Scenario scenario = base;
    if (i > 0) all[(i - 1) / 2].set(scenario, i % 2 == 0);
    outcomes[i] = outcome_of(scenario);
  });
  return outcomes;
}

}  // namespace

int main() {
  const std::vector<Unknown> all = unknowns();
  std::vector<std::vector<Outcome>> outcomes;
  std::string head = "| unknown | low, high |", rule = "|---|---|", assumed = "| as assumed | |";
  for (const System& system : systems()) {
    outcomes.push_back(outcomes_of(system, all));
    head += fmt::format(" {}: full after, years | level after 10 years, m |", system.name);
    rule += "---|---|";
    const Outcome& o = outcomes.back().front();
    assumed += fmt::format(" {} | {:.2f} |", date_text(o.first_full), o.level_m);
  }
  struct Line {
    double factor;  // of all systems together
    std::string text;
  };
  std::vector<Line> lines;
  for (std::size_t u = 0; u < all.size(); ++u) {
    Line line{1.0, fmt::format("| {} | {}, {} |", all[u].name, all[u].low_text, all[u].high_text)};
    for (const auto& of_system : outcomes) {
      const Outcome &low = of_system[1 + 2 * u], &high = of_system[2 + 2 * u];
      line.factor *= factor(low, high);
      line.text += fmt::format(" {}, {} | {:.2f}, {:.2f} |", date_text(low.first_full),
                               date_text(high.first_full), low.level_m, high.level_m);
    }
    lines.push_back(line);
  }
  // What moves the dates most stands first.
  std::stable_sort(lines.begin(), lines.end(),
                   [](const Line& a, const Line& b) { return a.factor > b.factor; });
  fmt::print("{}\n{}\n{}\n", head, rule, assumed);
  for (const Line& line : lines) fmt::print("{}\n", line.text);
}
