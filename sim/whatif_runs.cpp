#include <algorithm>
#include <mutex>
#include <numeric>
#include <stdexcept>
#include <thread>

#include "sim/parallel.hpp"
#include "sim/whatif.hpp"

namespace restwell {

std::vector<CaseOutcome> run_cases(const std::vector<CaseToRun>& cases, const Progress& progress,
                                   unsigned threads) {
  if (threads == 0) threads = std::max(1u, std::thread::hardware_concurrency());
  // Cores that the cases leave over go to the clogging cases within each.
  const auto within = static_cast<unsigned>(
      std::max<std::size_t>(1, threads / std::max<std::size_t>(1, cases.size())));
  std::vector<CaseOutcome> outcomes(cases.size());
  std::vector<double> done(cases.size(), 0.0);
  const auto to_run = static_cast<double>(std::count_if(
      cases.begin(), cases.end(), [](const CaseToRun& c) { return !c.same_as_first; }));
  std::mutex reporting;
  const auto one = [&](std::size_t i) {
    if (cases[i].same_as_first) return;
    Progress part;
    if (progress.report) {
      part.report = [&, i](double share) {
        const std::lock_guard lock(reporting);
        done[i] = share;
        progress.report(std::accumulate(done.begin(), done.end(), 0.0) / to_run);
      };
    }
    const Scenario& scenario = cases[i].scenario;
    const Scenario* past = cases[i].keeps_past ? &cases.front().scenario : nullptr;
    try {
      outcomes[i] = outcome_of(
          run(scenario, main_cases_for_dates(scenario.biomat), part, {within, past, {}}));
    } catch (const std::exception& e) {
      throw std::runtime_error(cases[i].name + ": " + e.what());
    }
  };
  for_each_parallel(cases.size(), one, threads);
  for (std::size_t i = 0; i < cases.size(); ++i)
    if (cases[i].same_as_first) outcomes[i] = outcomes.front();
  return outcomes;
}

}  // namespace restwell
