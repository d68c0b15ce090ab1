#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "models/constants.hpp"
#include "plots/line_chart.hpp"
#include "plots/section_drawing.hpp"
#include "plots/span_chart.hpp"
#include "sim/page.hpp"
#include "sim/spoken.hpp"
#include "sim/water_table.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

double seconds(Date date) {
  return static_cast<double>(date.time_since_epoch().count()) * seconds_per_day;
}
double seconds_of_day(const RunResult& r, int day) {
  return seconds(date_of(r.scenario.start, day));
}
std::optional<double> shown_day(const RunResult& r, int day) {
  if (day == never) return std::nullopt;
  return seconds_of_day(r, day);
}

double in_unit(const RunResult& r, double internal, Quantity q) {
  return internal * column_unit(q, r.scenario.units).factor;
}
std::string unit(const RunResult& r, Quantity q) { return column_unit(q, r.scenario.units).label; }
std::string shown(const RunResult& r, double internal, Quantity q) {
  return show_text(internal, q, r.scenario.units);
}

// The same picture for a sheet and for a phone.
template <typename Chart, typename Draw>
PageFigure drawn(Chart chart, const Draw& draw, std::string caption) {
  PageFigure f;
  const std::string id = chart.words.id;
  chart.words.id = id + "-wide";
  f.wide = draw(chart, wide_px);
  chart.words.id = id + "-narrow";
  f.narrow = draw(chart, narrow_px);
  f.caption = std::move(caption);
  return f;
}

// Days worth a row of a table: the start and every year's end.
std::vector<int> year_days(const RunResult& r) {
  std::vector<int> days = {0};
  for (int year = 1; days.back() < r.days() - 1; ++year)
    days.push_back(std::min(r.days() - 1, static_cast<int>(std::lround(year * days_per_year))));
  return days;
}

std::string year_heading(const RunResult& r, int day) {
  return month_and_year(date_of(r.scenario.start, day));
}

// ---- section ---------------------------------------------------------------------------------

constexpr double least_tank_cover_m = 0.45, tank_over_pits_m = 0.15, tank_air_m = 0.25;

plots::SectionPart pit_part(const RunResult& r, std::size_t p) {
  const PitConfig& config = r.scenario.pits[p];
  const PitGeometry& g = config.geometry;
  plots::SectionPart part;
  part.kind = g.trench ? plots::SectionPart::Kind::trenches : plots::SectionPart::Kind::pit;
  part.name = sentence_case(pit_label(config));
  part.inlet_m = config.inlet_depth_m;
  part.bottom_m = config.inlet_depth_m + g.depth_m;
  part.top_m = std::max(0.0, config.inlet_depth_m - g.cover_above_inlet_m);
  part.water_m = r.cases[Cases::expected].start_level_m[p];
  const auto length = [&](double m) { return shown(r, m, Quantity::level); };
  if (g.trench) {
    part.width_m = g.trench->width_m;
    part.count = g.trench->count;
    part.notes.push_back(fmt::format(
        "{}{} long, {} wide",
        g.trench->count > 1 ? fmt::format("{} of them, ", g.trench->count) : std::string(),
        length(g.trench->length_m), length(g.trench->width_m)));
    part.notes.push_back(length(g.depth_m) + " of stones");
  } else {
    part.width_m = 2.0 * g.radius_m;
    part.lining_inner_m = 2.0 * g.lining_inner_radius_m;
    part.lining_outer_m = 2.0 * g.lining_outer_radius_m;
    part.filled_with_stone = g.inside_open_share < 1.0;
    part.stain_m = config.start.high_water_m;
    part.notes.push_back(fmt::format("{} wide, {} deep", length(part.width_m), length(g.depth_m)));
  }
  part.notes.push_back(part.water_m > 0.005 ? fmt::format("water {} high", length(part.water_m))
                                            : std::string("no water in it"));
  const bool fed = std::ranges::find(r.site.outlet_pit, p) != r.site.outlet_pit.end();
  const bool spilled = std::ranges::any_of(r.site.pits, [&](const PitLayout& other) {
    return other.over_brim == Destination::next_pit && other.next_pit == p;
  });
  if (!fed) part.notes.push_back(spilled ? "gets what spills" : "gets no water now");
  return part;
}

std::vector<plots::Tick> depth_ticks(const RunResult& r, double deepest_m) {
  const bool us = r.scenario.units == UnitSystem::us;
  const double step = us ? 2.0 : 1.0;
  const double one_m = 1.0 / column_unit(Quantity::level, r.scenario.units).factor;
  std::vector<plots::Tick> ticks = {{0.0, "0"}};
  for (double at = step; at * one_m <= deepest_m + 0.3; at += step)
    ticks.push_back({at * one_m, fmt::format("{:.0f} {}", at, us ? "ft" : "m")});
  return ticks;
}

}  // namespace

PageFigure section_figure(const PageStudy& s) {
  using Kind = plots::SectionPart::Kind;
  const RunResult& r = s.result;
  const Tank& tank = r.scenario.tank.tank;
  plots::Section drawing;
  drawing.words = {"section", "A cut through the system as it was found",
                   "House, tank, box and pits from left to right with the water, sludge and scum "
                   "in them; the table below has the numbers."};
  double shallowest = 1e9, deepest = 0.0;
  std::vector<plots::SectionPart> pits;
  for (std::size_t p = 0; p < r.scenario.pits.size(); ++p) {
    pits.push_back(pit_part(r, p));
    shallowest = std::min(shallowest, pits.back().inlet_m);
    deepest = std::max(deepest, pits.back().bottom_m);
  }
  plots::SectionPart house;
  house.kind = Kind::house;
  house.name = "House";
  house.bottom_m = 0.2;
  house.notes = {people_words(r.scenario.household.occupants),
                 shown(r, r.week.mean_flow_m3_per_day, Quantity::flow)};

  // How deep tank and box lie is not in the file: a little over the pits' inlets.
  plots::SectionPart t;
  t.kind = Kind::tank;
  t.name = "Tank";
  t.inlet_m = std::max(least_tank_cover_m, shallowest - tank_over_pits_m);
  t.top_m = t.inlet_m - tank_air_m;
  t.bottom_m = t.inlet_m + tank.liquid_depth_m;
  t.width_m = std::sqrt(2.0 * tank.plan_area_m2);  // drawn twice as long as wide
  const Layers& layers = r.tank.front().layers;
  t.sludge_m = std::min(layers.sludge_first_m, tank.liquid_depth_m);
  t.scum_m = std::min(layers.scum_first_m, tank.liquid_depth_m);
  t.inlet_baffle = tank.inlet_baffle;
  t.outlet_baffle = tank.outlet_baffle;
  t.baffle_m = tank.outlet_mouth_depth_m;
  t.compartments = tank.compartments;
  const auto small = [&](double m) { return stick_words(m, s.report.units); };
  t.notes = {shown(r, tank.plan_area_m2 * tank.liquid_depth_m, Quantity::volume),
             "sludge " + small(t.sludge_m), "scum " + small(t.scum_m)};
  if (!tank.inlet_baffle) t.notes.push_back("inlet baffle missing");
  if (!tank.outlet_baffle) t.notes.push_back("outlet baffle missing");
  deepest = std::max(deepest, t.bottom_m);
  drawing.parts = {house, t};
  drawing.pipe_m = std::max(0.2, shallowest - 0.1);
  if (r.site.box_present) {
    plots::SectionPart box;
    box.kind = Kind::box;
    box.name = "Box";
    box.width_m = 0.5;
    box.inlet_m = t.inlet_m + 0.05;
    box.top_m = t.inlet_m - 0.2;
    box.bottom_m = t.inlet_m + 0.25;
    box.water_m = 0.12;
    box.notes = {
        fmt::format("{} of {} outlets open", r.site.outlets.size(), r.scenario.box.outlets.size())};
    drawing.parts.push_back(box);
    drawing.pipe_m = std::max(0.2, std::min(drawing.pipe_m, box.inlet_m + 0.05));
  }
  drawing.parts.insert(drawing.parts.end(), pits.begin(), pits.end());
  drawing.depths = depth_ticks(r, deepest);
  if (const auto& table = r.scenario.soil.water_table) {
    drawing.water_table_m = std::max(0.0, shallowest_table_m(*table));
    drawing.water_table_label = table->amplitude_m > 0.0 || !table->readings.empty()
                                    ? "groundwater at its highest"
                                    : "groundwater";
  }
  PageFigure f = drawn(
      drawing, [](const plots::Section& d, double w) { return plots::section_drawing(d, w); },
      "Depths, widths, water, sludge and scum are drawn to one scale (depth below ground at the "
      "left), the distances between the parts are not. How deep tank and box lie is guessed.");
  PageTable data{"The system as found",
                 {"part", "depth of the inlet", "depth below the inlet", "water"},
                 {false, true, true, true},
                 {},
                 ""};
  for (std::size_t p = 0; p < pits.size(); ++p) {
    data.rows.push_back({pits[p].name, shown(r, pits[p].inlet_m, Quantity::level),
                         shown(r, pits[p].bottom_m - pits[p].inlet_m, Quantity::level),
                         shown(r, pits[p].water_m, Quantity::level)});
  }
  data.note = fmt::format("Tank: {} of liquid, {} deep; sludge {}, scum {}.", t.notes.front(),
                          small(tank.liquid_depth_m), small(t.sludge_m), small(t.scum_m));
  f.data = std::move(data);
  return f;
}

// ---- dates -----------------------------------------------------------------------------------

namespace {

const char* const span_key =
    "Bar: from the early to the late case. Diamond: most likely. Arrow: later than these years. "
    "Dot: a single date.";

plots::SpanRow span_row(const PageStudy& s, const std::string& label, const DaySpread& spread) {
  const RunResult& r = s.result;
  return {label,
          range_short(s.report, spread),
          shown_day(r, spread.early),
          shown_day(r, spread.expected),
          shown_day(r, spread.late),
          {}};
}

PageTable spread_table(std::string caption, std::string first) {
  return {std::move(caption),
          {std::move(first), "early case", "most likely", "late case"},
          {false, false, false, false},
          {},
          ""};
}

std::vector<std::string> spread_cells(const PageStudy& s, const std::string& what,
                                      const DaySpread& d) {
  return {what, when_short(s.report, d.early), when_short(s.report, d.expected),
          when_short(s.report, d.late)};
}

}  // namespace

PageFigure dates_figure(const PageStudy& s) {
  const RunResult& r = s.result;
  plots::SpanChart chart;
  chart.words = {"dates", "What comes when",
                 "A bar for each pit and for the overflow from the early to the late date; the "
                 "table below has the dates."};
  chart.x_low = seconds_of_day(r, 0);
  chart.x_high = seconds_of_day(r, r.days());
  chart.key = span_key;
  PageTable data = spread_table("The same dates", "what");
  const int due = pump_due_day(r);
  if (due != never) {
    chart.rows.push_back(
        {"Tank due for pumping", when_short(s.report, due), {}, {}, {}, {seconds_of_day(r, due)}});
    data.rows.push_back(spread_cells(s, "tank due for pumping", {due, due, due}));
  }
  if (!r.pumped.empty()) {
    plots::SpanRow row{"Pump-outs in the file", "", {}, {}, {}, {}};
    std::vector<std::string> dates;
    for (const int day : r.pumped) {
      row.days.push_back(seconds_of_day(r, day));
      dates.push_back(month_and_year(date_of(r.scenario.start, day)));
    }
    row.words = fmt::format("{}, the first in {}",
                            dates.size() == 1 ? "one" : fmt::format("{} of them", dates.size()),
                            dates.front());
    chart.rows.push_back(std::move(row));
    data.note = "Pump-outs in the file: " + list_words(dates) + ".";
  }
  const auto add = [&](const std::string& what, const DaySpread& spread) {
    chart.rows.push_back(span_row(s, what, spread));
    data.rows.push_back(spread_cells(s, what, spread));
  };
  for (std::size_t p = 0; p < r.site.pits.size(); ++p)
    add(sentence_case(pit_label(r.scenario.pits[p])) + " full to its inlet", pit_full_spread(r, p));
  add("Overflow", overflow_spread(r));
  PageFigure f = drawn(
      chart, [](const plots::SpanChart& c, double w) { return plots::span_chart(c, w); }, "");
  f.data = std::move(data);
  return f;
}

PageFigure cases_figure(const PageStudy& s) {
  const RunResult& r = s.result;
  const bool overflows = std::ranges::any_of(
      s.cases.outcomes, [](const CaseOutcome& o) { return o.overflow != DaySpread{}; });
  plots::SpanChart chart;
  chart.words = {"cases",
                 overflows ? "When the system overflows, case by case"
                           : "When the first pit is full, case by case",
                 "A bar for each case from the early to the late date; the table below has them."};
  chart.x_low = seconds_of_day(r, 0);
  chart.x_high = seconds_of_day(r, r.days());
  chart.key = span_key;
  for (std::size_t i = 0; i < s.cases.outcomes.size(); ++i) {
    const CaseOutcome& o = s.cases.outcomes[i];
    chart.rows.push_back(
        span_row(s, i == 0 ? std::string("As it is") : sentence_case(s.cases.cases[i].asked.name),
                 overflows ? o.overflow : o.first_full));
  }
  PageFigure f = drawn(
      chart, [](const plots::SpanChart& c, double w) { return plots::span_chart(c, w); },
      overflows ? "When sewage first leaves other than into the ground."
                : "No case overflows in these years: when the first pit is full to its inlet.");
  return f;
}

// ---- the links -------------------------------------------------------------------------------

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
                 "For each pit the height of water at which the ground takes so much a day, as "
                 "clogged as it is today."};
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
    std::vector<double> parts(now.size());
    const double depth = pit.pit.geometry.depth_m, sent = share * r.week.mean_flow_m3_per_day;
    const auto takes = [&](double level) {
      return pit_intake_m3_per_day(pit.pit, now, level, pit.water_table_m, parts);
    };
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
                 "All pits together with water at their inlets, year by year, beside what the tank "
                 "sends them."};
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
                 "What the ground takes a day with water at the inlet, by months of rest, in the "
                 "three cases of clogging."};
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
