#include "sim/page_cases.hpp"
#include "sim/parallel.hpp"

namespace restwell {

std::optional<Recovery> shown_recovery(const RunResult& r) {
  constexpr double noticeably = 0.95;
  const CaseRun& expected = r.cases[Cases::expected];
  Recovery recovery;
  double least = noticeably;
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    const PitLayout& pit = r.site.pits[p];
    const std::vector<double>& now = expected.profiles.front().resistance_day[p];
    const std::vector<double> clean(now.size(), expected.clog_case.biomat.clean_resistance_day);
    const double most = intake_when_full_m3_per_day(pit, clean);
    if (!(most > 0.0)) continue;
    const double share = intake_when_full_m3_per_day(pit, now) / most;
    if (share >= least) continue;
    least = share;
    recovery.pit = p;
    recovery.clean_m3_per_day = most;
  }
  if (!(least < noticeably)) return {};

  Scenario alone = r.scenario;
  alone.plan.clear();
  RestQuestion q;
  q.pit = recovery.pit;
  q.from = alone.start;
  q.flow_to = {WhileResting::Kind::haul, ""};
  q.service_day = 0.0;  // how long it lasts is not asked
  q.longest_rest_day = shown_rest_day;
  q.look_ahead_day = 1;
  const TankHistory history = tank_history(alone, shown_rest_day + 2);
  recovery.takes_m3_per_day.resize(Cases::first_partial);
  for_each_parallel(Cases::first_partial, [&](std::size_t k) {
    const RestCurve curve = rest_curve(alone, history, q, r.cases[k].clog_case, false);
    std::vector<double>& takes = recovery.takes_m3_per_day[k];
    takes.push_back(curve.points.front().takes_m3_per_day);
    takes.insert(takes.end(), curve.takes_m3_per_day.begin(), curve.takes_m3_per_day.end());
  });
  return recovery;
}

}  // namespace restwell
