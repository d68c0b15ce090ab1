#include "sim/rest_turns.hpp"

#include <algorithm>
#include <cmath>

#include "models/constants.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

constexpr double days_per_month = days_per_year / 12.0;
constexpr int last_years_day = 730;

// What turns are held against: both pits in service from then on, a reserve pit put there too.
Scenario without_turns(const Scenario& scenario, const RestQuestion& q, std::size_t partner) {
  const std::optional<std::size_t> outlet = partner_outlet(scenario, q, partner);
  if (!outlet || !box_on(scenario, q.from).box.outlets[*outlet].capped) return scenario;
  PlannedWork open;
  open.date = q.from;
  open.outlet = *outlet;
  open.capped = false;
  return with_works(scenario, {open});
}

}  // namespace

std::optional<std::size_t> partner_outlet(const Scenario& scenario, const RestQuestion& q,
                                          std::size_t partner) {
  const BoxConfig box = box_on(scenario, q.from).box;
  const auto at =
      std::ranges::find(box.outlets, scenario.pits[partner].name, &BoxOutletConfig::pit);
  if (at == box.outlets.end()) return std::nullopt;
  return static_cast<std::size_t>(at - box.outlets.begin());
}

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

Scenario with_turns(const Scenario& scenario, const RestQuestion& q, std::size_t partner,
                    double months, int last_day) {
  if (months <= 0.0) return without_turns(scenario, q, partner);
  std::vector<PlannedWork> all;
  Scenario planned = scenario;
  bool own_rests = true;
  const auto first = days_between(scenario.start, q.from);
  for (int turn = 0;; ++turn) {
    const int day = first + static_cast<int>(std::lround(turn * months * days_per_month));
    if (day >= last_day) break;
    const Date date = date_of(scenario.start, day);
    const std::size_t resting = own_rests ? q.pit : partner;
    const std::size_t working = own_rests ? partner : q.pit;
    const BoxConfig box = box_on(planned, date).box;
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
      all.push_back(work);
    } else {
      work.capped = true;
      all.push_back(work);
      work.outlet = static_cast<std::size_t>(other - box.outlets.begin());
      work.capped = false;
      all.push_back(work);
    }
    planned = with_works(scenario, all);
    own_rests = !own_rests;
  }
  return planned;
}

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
    if (!leaving_words(planned, site, today).empty()) {
      result.first_leaves = day - from;
      break;  // nothing more is asked
    }
  }
  return result;
}

}  // namespace restwell
