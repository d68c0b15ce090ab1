#include "sim/old_pits_plan.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <chrono>
#include <cmath>

#include "sim/parallel.hpp"
#include "sim/units.hpp"

namespace restwell {
namespace {

// The box with the outlets raised or capped.
BoxConfig raised_box(const Scenario& scenario, const LevelerSetting& setting) {
  BoxConfig box = scenario.box;
  for (const std::size_t i : setting.outlets) {
    box.outlets[i].placement.raised_m += setting.lift_m;
    box.outlets[i].capped = setting.capped;
  }
  return box;
}

double share_of(const std::vector<std::size_t>& outlets, const SiteLayout& site,
                const TypicalWeek& week) {
  const std::vector<double> share = free_shares(week, site);
  double sum = 0.0;
  for (std::size_t i = 0; i < site.outlets.size(); ++i) {
    if (std::ranges::find(outlets, site.outlet_config[i]) != outlets.end()) sum += share[i];
  }
  return sum;
}

bool below_lid(const BoxConfig& box) {
  return std::ranges::all_of(box.outlets, [&](const BoxOutletConfig& o) {
    return o.capped || effective_lip_m(o.placement, box.tilt_x_rad, box.tilt_y_rad) <=
                           box.lid.level_m - leveler_step_m;
  });
}

}  // namespace

LevelerSetting find_leveler_setting(const Scenario& s, const std::vector<std::size_t>& first,
                                    const TypicalWeek& week) {
  LevelerSetting setting;
  for (std::size_t i = 0; i < s.box.outlets.size(); ++i) {
    if (!s.box.outlets[i].capped && std::ranges::find(first, i) == first.end())
      setting.outlets.push_back(i);
  }
  const auto share = [&] { return share_of(first, lay_out_with(s, raised_box(s, setting)), week); };
  setting.new_share_found = setting.new_share = share();
  for (int step = 1; setting.new_share < first_share; ++step) {
    setting.lift_m = step * leveler_step_m;
    if (!below_lid(raised_box(s, setting))) {
      setting.lift_m = 0.0;
      setting.capped = true;
    }
    setting.new_share = share();
  }
  return setting;
}

std::string lift_words(double lift_m, UnitSystem units) {
  if (units == UnitSystem::metric) return show_text(lift_m, Quantity::small_length, units);
  int eighths = static_cast<int>(std::lround(lift_m / leveler_step_m));
  const int inches = eighths / 8;
  eighths %= 8;
  int below = 8;
  while (eighths > 0 && eighths % 2 == 0) {
    eighths /= 2;
    below /= 2;
  }
  std::string text = inches > 0 ? std::to_string(inches) : "";
  if (eighths > 0) text += fmt::format("{}{}/{}", text.empty() ? "" : " ", eighths, below);
  return text + " in";
}

PlannedWork back_work(const Scenario& site, const LevelerSetting& setting, std::size_t outlet,
                      Date date) {
  PlannedWork work;
  work.date = date;
  work.outlet = outlet;
  if (setting.capped) {
    work.capped = false;
  } else {
    work.raised_m = site.box.outlets[outlet].placement.raised_m;
  }
  return work;
}

std::vector<PlannedWork> raising_work(const Scenario& site, const LevelerSetting& setting,
                                      Date date) {
  std::vector<PlannedWork> all;
  for (const std::size_t i : setting.outlets) {
    PlannedWork work = back_work(site, setting, i, date);
    if (setting.capped) work.capped = true;
    if (work.raised_m) *work.raised_m += setting.lift_m;
    all.push_back(work);
  }
  return all;
}

std::vector<OldPitBack> find_ready_days(const BuiltChoice& raised, const LevelerSetting& setting,
                                        const TankHistory& history, double service_day) {
  const Scenario& s = raised.scenario;
  std::vector<OldPitBack> old_pits;
  std::vector<PlannedBox> one_back;  // by old pit: its outlet as found, the others raised
  for (const std::size_t outlet : setting.outlets) {
    OldPitBack old;
    old.outlet = outlet;
    const auto pit =
        std::ranges::find(s.pits, s.box.outlets[outlet].pit, &PitConfig::name) - s.pits.begin();
    old.pit = static_cast<std::size_t>(pit);
    old_pits.push_back(old);
    Scenario back = s;
    std::erase_if(back.plan, [&](const PlannedWork& w) { return w.outlet == outlet; });
    one_back.push_back(planned_box(back));
  }
  const PlannedBox plan = planned_box(s);
  const int service = static_cast<int>(std::lround(service_day));
  const std::vector<ClogCase> cases = clogging_cases(s.biomat);
  for_each_parallel(Cases::first_partial, [&](std::size_t c) {
    const BiomatParameters& biomat = cases[c].biomat;
    PitsRun run(s, history, plan, biomat, pits_at_start(s, biomat, history.week).pits);
    std::vector<PitsRun> looked_at;
    for (int day = 0; day <= longest_rest_day && !run.at_end(); ++day) {
      if (day >= shortest_rest_day && (day - shortest_rest_day) % rest_step_day == 0)
        looked_at.push_back(run);
      run.next_day();
    }
    for (std::size_t k = 0; k < old_pits.size(); ++k) {
      const auto fit = [&](const PitsRun& rested) {
        return !days_until_full(rested, one_back[k], old_pits[k].pit, service);
      };
      // Most are fit after the shortest rest, or not even after the longest.
      if (fit(looked_at.front())) {
        old_pits[k].ready_day[c] = looked_at.front().day();
        continue;
      }
      if (!fit(looked_at.back())) continue;
      // The longer it rests the longer it lasts: the first rest long enough.
      const auto first = std::ranges::partition_point(
          looked_at, [&](const PitsRun& rested) { return !fit(rested); });
      old_pits[k].ready_day[c] = first->day();
    }
  });
  return old_pits;
}

}  // namespace restwell
