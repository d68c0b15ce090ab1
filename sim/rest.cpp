#include "sim/rest.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <functional>

#include "sim/parallel.hpp"
#include "sim/rest_turns.hpp"

namespace restwell {
namespace {

// One unknown of the recovery moved alone: first to the end where a rest does less, then to the
// other. Ranges: models/sources.md.
std::vector<ClogCase> recovery_unknowns(const BiomatParameters& expected) {
  std::vector<ClogCase> cases;
  // A value that the file sets outside of its range is its own end.
  const auto pair = [&](const char* name, double BiomatParameters::*value, double less, double more,
                        const auto& words) {
    for (const bool slower : {true, false}) {
      ClogCase c{name, "", expected};
      double& v = c.biomat.*value;
      const double end = slower ? less : more;
      v = less < more ? (slower ? std::min(v, end) : std::max(v, end))
                      : (slower ? std::max(v, end) : std::min(v, end));
      c.says = words(v);
      cases.push_back(std::move(c));
    }
  };
  const auto percent = [](double v) { return fmt::format("{:.3g} %", 100.0 * v); };
  // In air and, by the same factor as before, under water.
  pair("how fast clogging decays", &BiomatParameters::decay_20c_per_day, 0.01, 0.04,
       [](double v) { return fmt::format("{:.3g} /day at 20 degC in air", v); });
  pair("how much of new clogging never decays", &BiomatParameters::residual_share, 0.10, 0.0,
       percent);
  pair("how much of the clogging found in a measured pit never decays",
       &BiomatParameters::start_residual_share, 0.5, 0.0, percent);
  pair("how long the soil takes to let air in once drained", &BiomatParameters::aeration_lag_day,
       30.0, 3.0, [](double v) { return fmt::format("{:.3g} days", v); });
  const std::vector<ClogCase> clogging = clogging_cases(expected);
  for (std::size_t k = Cases::first_partial; k < clogging.size(); ++k) cases.push_back(clogging[k]);
  return cases;
}

}  // namespace

RestResult rest(const Scenario& scenario, const RestQuestion& q, const Progress& progress) {
  RestResult result;
  result.scenario = scenario;
  result.question = q;
  const auto from = days_between(scenario.start, q.from);
  result.days = from + q.longest_rest_day + q.look_ahead_day;
  const TankHistory history = tank_history(scenario, result.days);
  result.week = history.week;

  const std::vector<ClogCase> cases = main_cases(scenario.biomat);
  const std::vector<ClogCase> unknowns = recovery_unknowns(scenario.biomat);
  result.curves.resize(cases.size());
  result.unknowns.resize(unknowns.size());
  result.partner = turning_partner(scenario, q);
  if (result.partner) {
    result.both_without_turns = partner_outlet(scenario, q, *result.partner).has_value();
    result.turns.push_back({0.0, {}, {}, 0.0});
    for (const double months : turn_months) result.turns.push_back({months, {}, {}, 0.0});
    for (Turns& t : result.turns) {
      t.first_full.assign(cases.size(), never);
      t.first_leaves.assign(cases.size(), never);
    }
  }
  result.as_it_is.assign(cases.size(), never);
  std::vector<std::function<void()>> work;
  for (std::size_t k = 0; k < cases.size(); ++k) {
    work.emplace_back(
        [&, k] { result.curves[k] = rest_curve(scenario, history, q, cases[k], true); });
  }
  for (std::size_t k = 0; k < cases.size(); ++k) {
    work.emplace_back([&, k] {
      const int last = from + q.look_ahead_day;
      result.as_it_is[k] = run_turns(scenario, history, cases[k], from, last).first_leaves;
    });
  }
  for (std::size_t k = 0; k < unknowns.size(); ++k) {
    work.emplace_back(
        [&, k] { result.unknowns[k] = rest_curve(scenario, history, q, unknowns[k], false); });
  }
  for (std::size_t t = 0; t < result.turns.size(); ++t) {
    for (std::size_t k = 0; k < cases.size(); ++k) {
      work.emplace_back([&, t, k] {
        Turns& turns = result.turns[t];
        const int last = from + q.look_ahead_day;
        const TurnRun run = run_turns(with_turns(scenario, q, *result.partner, turns.months, last),
                                      history, cases[k], from, last);
        turns.first_full[k] = run.first_full;
        turns.first_leaves[k] = run.first_leaves;
        if (k == Cases::expected) turns.highest_share = run.highest_share;
      });
    }
  }
  PieceCounter pieces(progress, 0.0, 1.0, work.size());
  for_each_parallel(work.size(), [&](std::size_t i) {
    work[i]();
    pieces.one_done();
  });
  return result;
}

}  // namespace restwell
