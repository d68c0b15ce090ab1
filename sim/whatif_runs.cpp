#include <algorithm>
#include <mutex>
#include <numeric>
#include <thread>

#include "sim/packed_site.hpp"
#include "sim/parallel.hpp"
#include "sim/whatif.hpp"

namespace restwell {
namespace {

constexpr std::size_t most_together = 8;  // sites whose days are kept at once: 50 MB in 20 years

// Cases to run, by place; those of a group have house and tank alike, today and before.
using Group = std::vector<std::size_t>;

std::vector<Group> groups(const std::vector<CaseToRun>& cases, unsigned threads) {
  struct Alike {
    std::string now, before;
    Group cases;
  };
  std::vector<Alike> all;
  for (std::size_t i = 0; i < cases.size(); ++i) {
    if (cases[i].same_as_first) continue;
    std::string now = packed_house_and_tank(cases[i].scenario);
    std::string before = cases[i].keeps_past ? packed_house_and_tank(cases.front().scenario) : now;
    const auto same = std::ranges::find_if(
        all, [&](const Alike& a) { return a.now == now && a.before == before; });
    if (same != all.end())
      same->cases.push_back(i);
    else
      all.push_back({std::move(now), std::move(before), {i}});
  }
  // In parts that leave no core without work.
  std::size_t to_run = 0;
  for (const Alike& alike : all) to_run += alike.cases.size();
  const std::size_t most = std::min((to_run + threads - 1) / threads, most_together);
  std::vector<Group> parts;
  for (const Alike& alike : all) {
    const std::size_t n = alike.cases.size();
    for (std::size_t from = 0; from < n; from += most)
      parts.emplace_back(
          alike.cases.begin() + static_cast<std::ptrdiff_t>(from),
          alike.cases.begin() + static_cast<std::ptrdiff_t>(std::min(n, from + most)));
  }
  return parts;
}

}  // namespace

std::vector<CaseOutcome> run_cases(const std::vector<CaseToRun>& cases, const Progress& progress,
                                   unsigned threads) {
  if (threads == 0) threads = std::max(1u, std::thread::hardware_concurrency());
  const std::vector<Group> parts = groups(cases, threads);
  // Cores that the cases leave over go to the clogging cases within each.
  const auto within = static_cast<unsigned>(
      std::max<std::size_t>(1, threads / std::max<std::size_t>(1, parts.size())));
  std::vector<CaseOutcome> outcomes(cases.size());
  std::vector<double> done(parts.size(), 0.0);  // cases
  double to_run = 0.0;
  for (const Group& part : parts) to_run += static_cast<double>(part.size());
  std::mutex reporting;
  const auto one = [&](std::size_t g) {
    Progress part;
    if (progress.report) {
      part.report = [&, g](double share) {
        const std::lock_guard lock(reporting);
        done[g] = share * static_cast<double>(parts[g].size());
        progress.report(std::accumulate(done.begin(), done.end(), 0.0) / to_run);
      };
    }
    std::vector<SiteToRun> sites;
    for (const std::size_t i : parts[g]) {
      const Scenario& scenario = cases[i].scenario;
      sites.push_back({&scenario, cases[i].keeps_past ? &cases.front().scenario : nullptr,
                       main_cases_for_dates(scenario.biomat), cases[i].name});
    }
    const std::vector<RunResult> results = run_on_one_tank(sites, part, {within, nullptr, {}});
    for (std::size_t k = 0; k < results.size(); ++k) outcomes[parts[g][k]] = outcome_of(results[k]);
  };
  for_each_parallel(parts.size(), one, threads);
  for (std::size_t i = 0; i < cases.size(); ++i)
    if (cases[i].same_as_first) outcomes[i] = outcomes.front();
  return outcomes;
}

}  // namespace restwell
