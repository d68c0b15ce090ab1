#include "sim/rest.hpp"

#include <algorithm>
#include <cmath>

#include "models/constants.hpp"
#include "sim/parallel.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

constexpr int all_rests_day[] = {0, 7, 14, 30, 60, 90, 120, 150, 180, 270, 365, 545, 730};
constexpr int few_rests_day[] = {0, 30, 90, 180, 365, 730};
constexpr double noticed_m3 = 1e-4;  // less than this a day is no overflow (0.1 L)
constexpr double turn_months[] = {1, 2, 3, 4, 6, 9, 12, 18, 24};
constexpr double days_per_month = days_per_year / 12.0;
constexpr int last_years_day = 730;

std::vector<double> resistances(const PitState& state) {
  std::vector<double> r;
  for (const BiomatState& b : state.biomat) r.push_back(b.resistance_day());
  return r;
}

double takes_when_full(const Pit& pit, const PitState& state) {
  std::vector<double> flow(pit.rings.size() + 1);
  return pit_intake_m3_per_day(pit, resistances(state), pit.geometry.depth_m, flow);
}

double residual_share(const PitState& state) {
  double residual = 0.0;
  double all = 0.0;
  for (const BiomatState& b : state.biomat) {
    residual += b.residual_day;
    all += b.resistance_day();
  }
  return all > 0.0 ? residual / all : 0.0;
}

RestPoint point_of(const PitsRun& run, const Pit& pit, std::size_t index, int rest_day) {
  const PitState& state = run.pits()[index];
  RestPoint point;
  point.rest_day = rest_day;
  point.level_m = state.water_m3 / storage_area_m2(pit.geometry);
  point.takes_m3_per_day = takes_when_full(pit, state);
  point.residual_share = residual_share(state);
  return point;
}

// Days in service from where the run stands until the pit is full.
int lasts(PitsRun run, const PlannedBox& plan, std::size_t pit, int look_ahead_day) {
  run.follow(plan);
  for (int d = 0; d < look_ahead_day && !run.at_end(); ++d) {
    if (run.next_day().pits[pit].full) return d;
  }
  return never;
}

bool buys(const RestPoint& point, double service_day) {
  return point.lasts_day == never || point.lasts_day >= service_day;
}

// Where water leaves on this day other than into the soil, or nothing.
std::string leaving(const Scenario& scenario, const SiteLayout& site, const DownstreamDay& today) {
  if (today.over_lid_m3 > noticed_m3) {
    return scenario.box.over_lid == LeavesTo::house ? "the house drain, past the box"
                                                    : "at the box lid";
  }
  for (std::size_t p = 0; p < site.pits.size(); ++p) {
    if (today.pits[p].overflow_m3 <= noticed_m3) continue;
    if (site.pits[p].over_brim == Destination::next_pit) continue;
    return site.pits[p].over_brim == Destination::house
               ? std::string("back into the house")
               : "at the " + pit_label(scenario.pits[p].name);
  }
  return "";
}

}  // namespace

RestCurve rest_curve(const Scenario& scenario, const TankHistory& history, const RestQuestion& q,
                     const ClogCase& clog_case, bool fine) {
  const auto from = static_cast<int>((q.from - scenario.start).count());
  const auto plan_for = [&](int rest_day) {
    if (rest_day == 0) return planned_box(scenario);
    const RestWorks works =
        rest_works(scenario, q.pit, q.flow_to, q.from, date_of(scenario.start, from + rest_day));
    std::vector<PlannedWork> all = works.begin;
    all.insert(all.end(), works.end.begin(), works.end.end());
    return planned_box(with_works(scenario, all));
  };
  RestCurve curve;
  curve.clog_case = clog_case;
  std::vector<int> lengths;
  for (const int r : fine ? std::span<const int>(all_rests_day) : few_rests_day) {
    if (r <= q.longest_rest_day) lengths.push_back(r);
  }
  constexpr int worth_a_row_day = 7;
  if (lengths.back() + worth_a_row_day < q.longest_rest_day) lengths.push_back(q.longest_rest_day);

  const PlannedBox before = planned_box(scenario);
  const PlannedBox resting = plan_for(q.longest_rest_day + 1);
  const SiteLayout& found = before.phases.front().site;
  const Pit& pit = found.pits[q.pit].pit;
  PitsRun run(scenario, history, before, clog_case.biomat,
              pits_at_start(scenario, clog_case.biomat, history.week).pits);
  while (run.day() < from) run.next_day();

  // The rest, copied on the mornings at which it may end.
  std::vector<PitsRun> copies;
  const std::size_t pits = scenario.pits.size();
  Meanwhile& m = curve.meanwhile;
  m.first_full.assign(pits, never);
  m.highest_m.resize(pits);
  for (int d = 0; d <= q.longest_rest_day; ++d) {
    if (std::ranges::find(lengths, d) != lengths.end()) {
      copies.push_back(run);
      curve.points.push_back(point_of(run, pit, q.pit, d));
    }
    if (d == 0) run.follow(resting);
    if (d == q.longest_rest_day) break;
    const DownstreamDay& today = run.next_day();
    const RestPoint now = point_of(run, pit, q.pit, d + 1);
    curve.level_m.push_back(now.level_m);
    curve.takes_m3_per_day.push_back(now.takes_m3_per_day);
    for (std::size_t p = 0; p < pits; ++p) {
      const double so_far = m.highest_m[p].empty() ? 0.0 : m.highest_m[p].back();
      m.highest_m[p].push_back(std::max(so_far, today.pits[p].highest_m));
      if (today.pits[p].full && m.first_full[p] == never) m.first_full[p] = d;
    }
    const std::string where = leaving(scenario, resting.phases.back().site, today);
    if (!where.empty() && m.first_leaves == never) {
      m.first_leaves = d;
      m.leaves_at = where;
    }
  }
  for (int d = from; d < from + q.longest_rest_day; ++d) {
    m.hauled_m3_per_day += history.days[static_cast<std::size_t>(d)].outflow_m3;
  }
  m.hauled_m3_per_day /= q.longest_rest_day;

  const auto back_in_service = [&](const PitsRun& copy, RestPoint& point) {
    point.lasts_day = lasts(copy, plan_for(point.rest_day), q.pit, q.look_ahead_day);
  };
  for (std::size_t k = 0; k < copies.size(); ++k) back_in_service(copies[k], curve.points[k]);

  std::vector<PitState> clean = copies.back().pits();
  clean[q.pit].water_m3 = 0.0;
  clean[q.pit].biomat.assign(pit.rings.size() + 1, clean_biomat(clog_case.biomat));
  const PitsRun with_clean = copies.back().with_pits(std::move(clean));
  curve.never_clogged = point_of(with_clean, pit, q.pit, q.longest_rest_day);
  back_in_service(with_clean, curve.never_clogged);

  for (std::size_t k = 0; k < copies.size(); ++k) {
    if (!buys(curve.points[k], q.service_day)) continue;
    curve.shortest = curve.points[k];
    if (k == 0) break;
    PitsRun at = copies[k - 1];
    at.follow(resting);
    while (curve.shortest->rest_day - at.day() + from > rest_precision_day) {
      PitsRun middle = at;
      const int end = (at.day() + from + curve.shortest->rest_day) / 2;
      while (middle.day() < end) middle.next_day();
      RestPoint point = point_of(middle, pit, q.pit, middle.day() - from);
      back_in_service(middle, point);
      if (buys(point, q.service_day)) {
        curve.shortest = point;
      } else {
        at = std::move(middle);
      }
    }
    break;
  }
  return curve;
}

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

// The pit that can take turns with the resting one, if there is exactly one.
std::optional<std::size_t> turning_partner(const Scenario& scenario, const RestQuestion& q) {
  if (q.flow_to.kind == WhileResting::Kind::haul) return std::nullopt;
  const std::vector<std::size_t> now = pits_in_service(scenario, q.from);
  if (q.flow_to.kind == WhileResting::Kind::pit) {
    if (now.size() == 1) return pit_of_name(scenario, q.flow_to.pit);
    return std::nullopt;
  }
  if (now.size() != 2) return std::nullopt;
  return now[0] == q.pit ? now[1] : now[0];
}

// The pit of the question rests first. A turn's works move the water over and back again.
Scenario with_turns(const Scenario& scenario, const RestQuestion& q, std::size_t partner,
                    double months, int last_day) {
  if (months <= 0.0) return scenario;
  std::vector<PlannedWork> all;
  Scenario planned = scenario;
  bool own_rests = true;
  const auto first = static_cast<int>((q.from - scenario.start).count());
  for (int turn = 0;; ++turn) {
    const int day = first + static_cast<int>(std::lround(turn * months * days_per_month));
    if (day >= last_day) break;
    const Date date = date_of(scenario.start, day);
    const std::size_t resting = own_rests ? q.pit : partner;
    const std::size_t working = own_rests ? partner : q.pit;
    const BoxConfig box = box_on(planned, date).box;
    bool redirected = false;
    const auto leads_to = [&](std::size_t pit) {
      return std::ranges::find(box.outlets, scenario.pits[pit].name, &BoxOutletConfig::pit);
    };
    const auto own = leads_to(resting);
    const auto other = leads_to(working);
    PlannedWork work;
    work.date = date;
    work.outlet = static_cast<std::size_t>(own - box.outlets.begin());
    if (other == box.outlets.end()) {
      work.to = scenario.pits[working].name;  // one pipe, led to and fro
      redirected = true;
    } else {
      work.capped = true;
    }
    all.push_back(work);
    if (!redirected) {
      PlannedWork open;
      open.date = date;
      open.outlet = static_cast<std::size_t>(other - box.outlets.begin());
      open.capped = false;
      all.push_back(open);
    }
    planned = with_works(scenario, all);
    own_rests = !own_rests;
  }
  return planned;
}

// One plan of turns under one case.
struct TurnRun {
  int first_full = never, first_leaves = never;
  double highest_share = 0.0;
};
TurnRun run_turns(const Scenario& planned, const TankHistory& history, const ClogCase& clog_case,
                  int from, int last_day) {
  const PlannedBox plan = planned_box(planned);
  PitsRun run(planned, history, plan, clog_case.biomat,
              pits_at_start(planned, clog_case.biomat, history.week).pits);
  TurnRun result;
  std::size_t phase = 0;
  while (run.day() < last_day) {
    const int day = run.day();
    while (phase + 1 < plan.phases.size() && plan.phases[phase + 1].first_day <= day) ++phase;
    const SiteLayout& site = plan.phases[phase].site;
    const DownstreamDay& today = run.next_day();
    if (day < from) continue;
    for (const std::size_t p : site.outlet_pit) {
      if (today.pits[p].full && result.first_full == never) result.first_full = day - from;
      if (day >= last_day - last_years_day) {
        result.highest_share = std::max(result.highest_share,
                                        today.pits[p].highest_m / planned.pits[p].geometry.depth_m);
      }
    }
    if (!leaving(planned, site, today).empty()) {
      result.first_leaves = day - from;
      break;  // nothing more is asked
    }
  }
  return result;
}

}  // namespace

RestResult rest(const Scenario& scenario, const RestQuestion& q, const Progress& progress) {
  RestResult result;
  result.scenario = scenario;
  result.question = q;
  const auto from = static_cast<int>((q.from - scenario.start).count());
  result.days = from + q.longest_rest_day + q.look_ahead_day;
  const TankHistory history = tank_history(scenario, result.days);
  result.week = history.week;

  const std::vector<ClogCase> cases = main_cases(scenario.biomat);
  const std::vector<ClogCase> unknowns = recovery_unknowns(scenario.biomat);
  result.curves.resize(cases.size());
  result.unknowns.resize(unknowns.size());
  result.partner = turning_partner(scenario, q);
  if (result.partner) {
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
