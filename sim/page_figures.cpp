#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "plots/line_chart.hpp"
#include "sim/page_picture.hpp"
#include "sim/words.hpp"

namespace restwell {

PageFigure tank_figure(const PageStudy& s) {
  const RunResult& r = s.result;
  plots::LineChart chart;
  chart.words = {
      "tank", "Sludge and scum in the tank",
      "Part of the tank's depth through the years: it grows, and falls at each pump-out."};
  chart.y_label = "sludge and scum, percent of the tank's depth";
  chart.x_is_date = true;
  chart.x_low = seconds_of_day(r, 0);
  chart.x_high = seconds_of_day(r, r.days());
  plots::Run run;
  for (int d = 0; d < r.days(); ++d)
    run.push_back({seconds_of_day(r, d),
                   100.0 * r.tank[static_cast<std::size_t>(d)].readings.solids_share_of_depth});
  chart.lines = {{"", {run}}};
  const double mark = 100.0 * r.scenario.tank.limits.solids_share_of_depth;
  chart.levels = {{mark, fmt::format("time to pump: {:.0f} %", mark)}};
  chart.y_high = 1.2 * mark;
  PageFigure f = drawn(
      chart, [](const plots::LineChart& c, double w) { return plots::line_chart(c, w); },
      r.pumped.empty() ? "Your tank through the years, never pumped."
                       : "Your tank through the years: it fills, and each pump-out empties it.");
  PageTable data{
      "Sludge and scum in the tank", {"when", "percent of the depth"}, {false, true}, {}, ""};
  for (const int d : year_days(r)) {
    const double share = r.tank[static_cast<std::size_t>(d)].readings.solids_share_of_depth;
    data.rows.push_back({year_heading(r, d), fmt::format("{:.0f} %", 100.0 * share)});
  }
  f.data = std::move(data);
  return f;
}

namespace {

// By halving; the depth if the pit takes less when it is full.
template <typename Takes>
double level_that_takes(const Takes& takes, double m3_per_day, double depth_m) {
  double low = 0.0, high = depth_m;
  if (takes(high) <= m3_per_day) return high;
  for (int i = 0; i < 40; ++i) {
    const double middle = 0.5 * (low + high);
    (takes(middle) < m3_per_day ? low : high) = middle;
  }
  return high;
}

}  // namespace

PageFigure level_figure(const PageStudy& s) {
  const RunResult& r = s.result;
  plots::LineChart chart;
  chart.words = {"level", "More water a day makes it stand higher",
                 "The water's height at which a pit as clogged as today takes so much a day."};
  chart.y_label = fmt::format("how high the water stands in the pit, {}", unit(r, Quantity::level));
  chart.x_label = fmt::format("water sent to the pit, {}", unit(r, Quantity::flow));
  PageTable data{"Height of water and what the ground takes today",
                 {"pit", "water height", "ground takes"},
                 {false, true, true},
                 {},
                 ""};
  std::set<double> depths;
  double most = 0.0, highest = 0.0;
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    double share = 0.0;
    for (std::size_t i = 0; i < r.site.outlet_pit.size(); ++i)
      if (r.site.outlet_pit[i] == p) share += r.free_share[i];
    if (!(share > 0.0)) continue;
    const PitLayout& pit = r.site.pits[p];
    const std::vector<double>& now = r.cases[Cases::expected].profiles.front().resistance_day[p];
    const double depth = pit.pit.geometry.depth_m, sent = share * r.week.mean_flow_m3_per_day;
    const auto takes = [&](double level) { return long_intake_m3_per_day(pit, now, level); };
    const std::string name = pit_label(r.scenario.pits[p]);
    plots::Run run;
    const double today = level_that_takes(takes, sent, depth);
    constexpr int steps = 40;
    for (int k = 0; k <= steps; ++k) {
      const double level = depth * k / steps, flow = takes(level);
      if (flow < 0.0) continue;
      run.push_back({in_unit(r, flow, Quantity::flow), in_unit(r, level, Quantity::level)});
      if (k % 8 == 0)
        data.rows.push_back(
            {name, shown(r, level, Quantity::level), shown(r, flow, Quantity::flow)});
    }
    if (run.empty()) continue;
    chart.lines.push_back({name, {run}});
    const bool too_much = sent > takes(depth);
    chart.spots.push_back(
        {in_unit(r, sent, Quantity::flow), in_unit(r, today, Quantity::level),
         fmt::format("{}{}", name, too_much ? ": sent more than it takes" : " today")});
    depths.insert(in_unit(r, depth, Quantity::level));
    most = std::max({most, sent, takes(depth)});
    highest = std::max(highest, depth);
  }
  for (const double depth : depths) chart.levels.push_back({depth, "full: water at the inlet"});
  chart.x_high = 1.12 * in_unit(r, most, Quantity::flow);
  chart.y_high = in_unit(r, highest, Quantity::level);
  PageFigure f = drawn(
      chart, [](const plots::LineChart& c, double w) { return plots::line_chart(c, w); },
      "As clogged as the pits are today. Dot: where the water comes to stand if every day is like "
      "your average day.");
  f.data = std::move(data);
  return f;
}

PageFigure clogging_figure(const PageStudy& s) {
  const RunResult& r = s.result;
  plots::LineChart chart;
  chart.words = {"clogging", "What the pits can take, and what the house sends",
                 "All pits with water at their inlets, and what the tank sends them."};
  chart.y_label = unit(r, Quantity::flow);
  chart.x_is_date = true;
  chart.x_low = seconds_of_day(r, 0);
  chart.x_high = seconds_of_day(r, r.days());
  PageTable data{"What all pits together can take, and what the house sends",
                 {"when", "pits can take", "house sends"},
                 {false, true, true},
                 {},
                 ""};
  const auto line = [&](const std::string& label, const CaseOutcome& o) {
    plots::Run run;
    for (const CaseOutcome::Takes& t : o.takes)
      run.push_back({seconds_of_day(r, t.day), in_unit(r, t.m3_per_day, Quantity::flow)});
    chart.lines.push_back({label, {run}});
  };
  const CaseOutcome& base = s.cases.outcomes.front();
  line("the pits can take", base);
  plots::Run sends;
  std::vector<double> mean;
  const std::vector<int> days = year_days(r);
  for (std::size_t k = 0; k + 1 < days.size(); ++k) {
    double sum = 0.0;
    for (int d = days[k]; d < days[k + 1]; ++d)
      sum += r.tank[static_cast<std::size_t>(d)].outflow_m3;
    mean.push_back(sum / (days[k + 1] - days[k]));
    for (const int d : {days[k], days[k + 1]})
      sends.push_back({seconds_of_day(r, d), in_unit(r, mean.back(), Quantity::flow)});
  }
  if (!sends.empty()) chart.lines.push_back({"the house sends", {sends}});
  for (std::size_t i = 0; i < s.chosen.size(); ++i) {
    if (s.chosen[i].key != pumping_case) continue;
    const bool pumped = !pumped_as_planned(r.scenario);
    line(pumped ? "pits, if the tank is pumped on time" : "pits, if the tank is never pumped",
         s.cases.outcomes[i + 1]);
  }
  for (const CaseOutcome::Takes& t : base.takes) {
    const auto year = std::ranges::lower_bound(days, t.day) - days.begin();
    const std::size_t k =
        std::min(static_cast<std::size_t>(year), mean.empty() ? 0 : mean.size() - 1);
    data.rows.push_back({year_heading(r, t.day), shown(r, t.m3_per_day, Quantity::flow),
                         mean.empty() ? std::string() : shown(r, mean[k], Quantity::flow)});
  }
  data.note =
      "House sends: mean of the year that begins then (of the last: ends). Most likely case of "
      "clogging.";
  PageFigure f = drawn(
      chart, [](const plots::LineChart& c, double w) { return plots::line_chart(c, w); },
      "Most likely case. Where the pits can take less than the house sends, they stay full.");
  f.data = std::move(data);
  return f;
}

PageFigure recovery_figure(const PageStudy& s) {
  const RunResult& r = s.result;
  const Recovery& rest = *s.recovery;
  const std::string name = pit_label(r.scenario.pits[rest.pit]);
  plots::LineChart chart;
  chart.words = {"rest", "What the " + name + " can take after a rest",
                 "What the ground takes a day with water at the inlet, after months of rest."};
  chart.y_label = fmt::format("the {} can take, {}", name, unit(r, Quantity::flow));
  chart.x_label = "months of rest";
  chart.x_high = 12.0;
  const char* const labels[] = {"most likely", "early case", "late case"};
  // Cases that nobody could tell apart in the picture stand in its table alone.
  constexpr double told_apart = 0.04;
  const double end = rest.takes_m3_per_day[Cases::expected].back();
  const bool apart =
      std::abs(rest.takes_m3_per_day[Cases::early].back() - end) >= told_apart * end ||
      std::abs(rest.takes_m3_per_day[Cases::late].back() - end) >= told_apart * end;
  for (std::size_t k = 0; k < rest.takes_m3_per_day.size(); ++k) {
    if (!apart && k != Cases::expected) continue;
    plots::Run run;
    for (std::size_t d = 0; d < rest.takes_m3_per_day[k].size(); d += 5)
      run.push_back({static_cast<double>(d) * 12.0 / shown_rest_day,
                     in_unit(r, rest.takes_m3_per_day[k][d], Quantity::flow)});
    chart.lines.push_back({apart ? labels[k] : "", {run}});
  }
  PageFigure f = drawn(
      chart, [](const plots::LineChart& c, double w) { return plots::line_chart(c, w); },
      fmt::format("If it gets no water at all from {} on.{}", month_and_year(r.scenario.start),
                  apart ? "" : " Early and late case hardly differ here."));
  PageTable data{"What the " + name + " can take after a rest",
                 {"months of rest", "early case", "most likely", "late case"},
                 {false, true, true, true},
                 {},
                 ""};
  for (const int month : {0, 1, 2, 3, 6, 9, 12}) {
    const auto day = static_cast<std::size_t>(month * shown_rest_day / 12);
    const auto cell = [&](std::size_t k) {
      return shown(r, rest.takes_m3_per_day[k][day], Quantity::flow);
    };
    data.rows.push_back(
        {std::to_string(month), cell(Cases::early), cell(Cases::expected), cell(Cases::late)});
  }
  f.data = std::move(data);
  return f;
}

}  // namespace restwell
