#include <algorithm>
#include <span>
#include <utility>

#include "sim/rest.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

constexpr int all_rests_day[] = {0, 7, 14, 30, 60, 90, 120, 150, 180, 270, 365, 545, 730};
constexpr int few_rests_day[] = {0, 30, 90, 180, one_year_rest_day, 730};

double residual_share(const PitState& state) {
  double residual = 0.0;
  double all = 0.0;
  for (const BiomatState& b : state.biomat) {
    residual += b.residual_day;
    all += b.resistance_day();
  }
  return all > 0.0 ? residual / all : 0.0;
}

// One curve's site, question and resting pit.
struct Asked {
  const Scenario& scenario;
  const RestQuestion& q;
  const PitLayout& layout;
  const PlannedBox& resting;  // for longer than the longest rest
  int from;                   // day index of the first day of rest
};

RestPoint point_of(const Asked& a, const PitsRun& run, int rest_day) {
  const PitState& state = run.pits()[a.q.pit];
  RestPoint point;
  point.rest_day = rest_day;
  point.level_m = state.water_m3 / storage_area_m2(a.layout.pit.geometry);
  point.takes_m3_per_day = intake_when_full_m3_per_day(a.layout, state.resistances_day());
  point.residual_share = residual_share(state);
  return point;
}

PlannedBox box_with_rest(const Scenario& scenario, const RestQuestion& q, int rest_day,
                         const FreeSplits& made) {
  if (rest_day == 0) return planned_box(scenario, made);
  const RestWorks works =
      rest_works(scenario, q.pit, q.flow_to, q.from, q.from + std::chrono::days(rest_day));
  return planned_box(with_works(scenario, works.all()), made);
}

// With how long it lasts, the rest ending on the morning where the run stands.
RestPoint back_in_service(const Asked& a, const PitsRun& run, int rest_day) {
  RestPoint point = point_of(a, run, rest_day);
  const PlannedBox plan = box_with_rest(a.scenario, a.q, rest_day, a.resting.splits);
  point.lasts_day = days_until_full(run, plan, a.q.pit, a.q.look_ahead_day).value_or(never);
  return point;
}

bool buys(const RestPoint& point, double service_day) {
  return point.lasts_day == never || point.lasts_day >= service_day;
}

std::vector<int> rests_looked_at(int longest_day, bool fine) {
  std::vector<int> rests;
  for (const int r : fine ? std::span<const int>(all_rests_day) : few_rests_day) {
    if (r <= longest_day) rests.push_back(r);
  }
  // The longest itself is looked at, in place of one that hardly differs.
  constexpr int worth_a_row_day = 7;
  if (rests.back() > 0 && rests.back() + worth_a_row_day >= longest_day) rests.pop_back();
  if (longest_day > rests.back()) rests.push_back(longest_day);
  return rests;
}

void note_day(const Asked& a, const SiteLayout& site, const DownstreamDay& today, int rest_day,
              Meanwhile& m) {
  for (std::size_t p = 0; p < today.pits.size(); ++p) {
    const double so_far = m.highest_m[p].empty() ? 0.0 : m.highest_m[p].back();
    m.highest_m[p].push_back(std::max(so_far, today.pits[p].highest_m));
    if (today.pits[p].full && m.first_full[p] == never) m.first_full[p] = rest_day;
  }
  if (m.first_leaves != never) return;
  m.leaves_at = leaving_words(a.scenario, site, today);
  if (!m.leaves_at.empty()) m.first_leaves = rest_day;
}

// The longest rest, day by day; the run as it stands on the mornings at which a rest may end.
std::vector<PitsRun> run_rest(const Asked& a, PitsRun run, const std::vector<int>& rests,
                              RestCurve& curve) {
  std::vector<PitsRun> copies;
  Meanwhile& m = curve.meanwhile;
  m.first_full.assign(a.scenario.pits.size(), never);
  m.highest_m.resize(a.scenario.pits.size());
  for (int d = 0; d <= a.q.longest_rest_day; ++d) {
    if (std::ranges::find(rests, d) != rests.end()) copies.push_back(run);
    if (d == 0) run.follow(a.resting);
    if (d == a.q.longest_rest_day) break;
    note_day(a, a.resting.phases.back().site, run.next_day(), d, m);
    const RestPoint now = point_of(a, run, d + 1);
    curve.level_m.push_back(now.level_m);
    curve.takes_m3_per_day.push_back(now.takes_m3_per_day);
  }
  return copies;
}

// The same morning with a clean, empty pit in the resting one's place.
PitsRun with_clean_pit(const Asked& a, const PitsRun& run, const BiomatParameters& biomat) {
  std::vector<PitState> pits = run.pits();
  pits[a.q.pit] = clean_pit(a.layout.pit, biomat);
  return run.with_pits(std::move(pits));
}

// Halves the time between the longest rest looked at that is too short and the next one.
std::optional<RestPoint> shortest_rest(const Asked& a, const std::vector<PitsRun>& copies,
                                       const std::vector<RestPoint>& points) {
  const auto first =
      std::ranges::find_if(points, [&](const RestPoint& p) { return buys(p, a.q.service_day); });
  if (first == points.end()) return std::nullopt;
  RestPoint shortest = *first;
  if (first == points.begin()) return shortest;
  PitsRun at = copies[static_cast<std::size_t>(first - points.begin()) - 1];
  at.follow(a.resting);
  while (a.from + shortest.rest_day - at.day() > rest_precision_day) {
    PitsRun middle = at;
    const int end = (at.day() + a.from + shortest.rest_day) / 2;
    while (middle.day() < end) middle.next_day();
    const RestPoint point = back_in_service(a, middle, middle.day() - a.from);
    if (buys(point, a.q.service_day)) {
      shortest = point;
    } else {
      at = std::move(middle);
    }
  }
  return shortest;
}

}  // namespace

RestCurve rest_curve(const Scenario& scenario, const TankHistory& history, const RestQuestion& q,
                     const ClogCase& clog_case, bool fine) {
  const PlannedBox before = planned_box(scenario);
  const PlannedBox resting = box_with_rest(scenario, q, q.longest_rest_day + 1, before.splits);
  const Asked a = {scenario, q, before.phases.front().site.pits[q.pit], resting,
                   days_between(scenario.start, q.from)};
  RestCurve curve;
  curve.clog_case = clog_case;
  PitsRun run(scenario, history, before, clog_case.biomat,
              pits_at_start(scenario, clog_case.biomat, history.week).pits);
  while (run.day() < a.from) run.next_day();

  const std::vector<int> rests = rests_looked_at(q.longest_rest_day, fine);
  const std::vector<PitsRun> copies = run_rest(a, run, rests, curve);
  double outflow_m3 = 0.0;
  for (int d = a.from; d < a.from + q.longest_rest_day; ++d) {
    outflow_m3 += history.days[static_cast<std::size_t>(d)].outflow_m3;
    curve.meanwhile.outflow_m3.push_back(outflow_m3);
  }
  bool bought = false;
  for (std::size_t k = 0; k < rests.size(); ++k) {
    if (bought && !fine && rests[k] != one_year_rest_day) continue;
    curve.points.push_back(back_in_service(a, copies[k], rests[k]));
    bought = bought || buys(curve.points.back(), q.service_day);
  }
  if (fine) {
    curve.never_clogged =
        back_in_service(a, with_clean_pit(a, copies.back(), clog_case.biomat), q.longest_rest_day);
  }
  curve.shortest = shortest_rest(a, copies, curve.points);
  return curve;
}

}  // namespace restwell
