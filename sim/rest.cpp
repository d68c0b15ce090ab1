#include "sim/rest.hpp"

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
  const auto add = [&](const char* name, const std::string& says, auto&& change) {
    ClogCase c{name, says, expected};
    change(c.biomat);
    cases.push_back(std::move(c));
  };
  const char* decay = "how fast clogging decays in air";
  add(decay, "0.01 /day at 20 degC",
      [](BiomatParameters& p) { p.decay_20c_per_day = std::min(p.decay_20c_per_day, 0.01); });
  add(decay, "0.04 /day at 20 degC",
      [](BiomatParameters& p) { p.decay_20c_per_day = std::max(p.decay_20c_per_day, 0.04); });
  const char* residual = "how much of new clogging never decays";
  add(residual, "10 %",
      [](BiomatParameters& p) { p.residual_share = std::max(p.residual_share, 0.10); });
  add(residual, "none", [](BiomatParameters& p) { p.residual_share = 0.0; });
  const char* found = "how much of the clogging found in a measured pit never decays";
  add(found, "50 %",
      [](BiomatParameters& p) { p.start_residual_share = std::max(p.start_residual_share, 0.5); });
  add(found, "none", [](BiomatParameters& p) { p.start_residual_share = 0.0; });
  const char* lag = "how long the soil takes to let air in once drained";
  add(lag, "30 days",
      [](BiomatParameters& p) { p.aeration_lag_day = std::max(p.aeration_lag_day, 30.0); });
  add(lag, "3 days",
      [](BiomatParameters& p) { p.aeration_lag_day = std::min(p.aeration_lag_day, 3.0); });
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
  std::vector<std::function<void()>> work;
  for (std::size_t k = 0; k < cases.size(); ++k) {
    work.emplace_back(
        [&, k] { result.curves[k] = rest_curve(scenario, history, q, cases[k], true); });
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
