#include "sim/figures.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <set>

#include "models/constants.hpp"
#include "sim/calendar.hpp"
#include "sim/csv_cells.hpp"
#include "sim/report_tables.hpp"
#include "sim/units.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

using plots::Figure;
using plots::Kind;

std::string unit(const RunResult& r, Quantity q) { return column_unit(q, r.scenario.units).label; }
double shown(const RunResult& r, double internal, Quantity q) {
  return internal * column_unit(q, r.scenario.units).factor;
}

// Letters, digits and underscores only; the pit's number keeps two alike names apart.
std::string file_stem(const std::string& prefix, const std::string& name, std::size_t index) {
  std::string stem = prefix + "_" + std::to_string(index + 1) + "_";
  for (const char c : name) {
    const auto u = static_cast<unsigned char>(c);
    stem += std::isalnum(u) && u < 128 ? static_cast<char>(std::tolower(u)) : '_';
  }
  return stem;
}

void add_full_levels(const RunResult& r, Figure& figure) {
  std::set<double> depths;
  for (const PitLayout& p : r.site.pits) depths.insert(p.pit.geometry.depth_m);
  for (const double depth : depths) {
    std::string who = "full";
    if (depths.size() > 1) {
      std::vector<std::string> names;
      for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
        if (r.site.pits[p].pit.geometry.depth_m == depth) {
          names.push_back(pit_label(r.scenario.pits[p]));
        }
      }
      who = list_words(names) + " full";
    }
    figure.levels.push_back({shown(r, depth, Quantity::level), who});
  }
}

Figure pit_levels(const RunResult& r) {
  Figure f;
  f.name = "pit_levels";
  f.title = "Highest water of each month in the pits";
  f.caption = "Expected clogging. At the dashed line water stands at the inlet.";
  f.y_label = fmt::format("water over the bottom [{}]", unit(r, Quantity::level));
  f.x_is_date = true;
  const std::string y = column_name("highest", Quantity::level, r.scenario.units);
  for (const PitConfig& p : r.scenario.pits) {
    f.series.push_back({"pit_months.csv", "month", y, pit_label(p), "curve", p.name + " expected"});
  }
  add_full_levels(r, f);
  const CaseRun& expected = r.cases[Cases::expected];
  if (expected.first_leaves != never) {
    f.marks.push_back({iso_date(date_of(r.scenario.start, expected.first_leaves)), "overflow"});
  }
  return f;
}

Figure one_pit(const RunResult& r, std::size_t p) {
  const std::string& name = r.scenario.pits[p].name;
  Figure f;
  f.name = file_stem("pit_range", name, p);
  f.title = sentence_case(pit_label(r.scenario.pits[p])) +
            ": highest water of each month, early, expected, late";
  f.caption = "The three curves differ only in what is assumed of the clogging.";
  f.y_label = fmt::format("water over the bottom [{}]", unit(r, Quantity::level));
  f.x_is_date = true;
  const std::string y = column_name("highest", Quantity::level, r.scenario.units);
  for (const std::size_t k : Cases::early_to_late) {
    const std::string& which = r.cases[k].clog_case.name;
    f.series.push_back({"pit_months.csv", "month", y, which, "curve", name + " " + which});
  }
  f.levels.push_back({shown(r, r.site.pits[p].pit.geometry.depth_m, Quantity::level), "full"});
  return f;
}

Figure tank_solids(const RunResult& r) {
  Figure f;
  f.name = "tank_solids";
  f.title = "Sludge and scum in the tank";
  f.caption = "Part of the liquid depth. At the dashed line the tank is due for pumping.";
  f.y_label = "part of the liquid depth [%]";
  f.x_is_date = true;
  f.series = {{"tank.csv", "date", "solids_percent_of_depth", "sludge and scum", "", ""},
              {"tank.csv", "date", "sludge_percent_of_depth", "sludge", "", ""}};
  f.levels = {{100.0 * r.scenario.tank.limits.solids_share_of_depth, "pump"}};
  const std::size_t marks = std::min<std::size_t>(r.pumped.size(), 12);
  for (std::size_t i = 0; i < marks; ++i) {
    f.marks.push_back({iso_date(date_of(r.scenario.start, r.pumped[i])), "pumped"});
  }
  return f;
}

Figure outlet_shares(const RunResult& r) {
  Figure f;
  f.name = "outlet_shares";
  f.title = "Share of the water through each outlet";
  f.caption = "Year by year, expected clogging; a full pit passes its share on to the others.";
  f.x_label = "year";
  f.y_label = "share [%]";
  f.kind = Kind::bars;
  for (const std::size_t i : outlets_used(r)) {
    const std::string label = outlet_label(r.scenario, i);
    const std::string pit = pit_label(r.scenario, r.scenario.box.outlets[i].pit);
    f.series.push_back({"outlet_shares.csv", "year", "share_percent",
                        label == pit ? label : label + " to " + pit, "outlet", label});
  }
  return f;
}

Figure typical_day(const RunResult& r) {
  Figure f;
  f.name = "typical_day";
  f.title = "A typical weekday: water into and out of the tank";
  f.caption = "The tank spreads each discharge over hours; the box sees only the flow out.";
  f.x_label = "hour of the day";
  f.y_label = fmt::format("flow [{}]", unit(r, Quantity::minute_flow));
  f.series = {
      {"typical_day.csv", "hour", column_name("into_tank", Quantity::minute_flow, r.scenario.units),
       "into the tank", "", ""},
      {"typical_day.csv", "hour",
       column_name("out_of_tank", Quantity::minute_flow, r.scenario.units), "out of the tank", "",
       ""}};
  return f;
}

Figure clogging(const RunResult& r, std::size_t p) {
  const std::string& name = r.scenario.pits[p].name;
  Figure f;
  f.name = file_stem("clogging", name, p);
  f.title = sentence_case(pit_label(r.scenario.pits[p])) + ": clogging of the wall by depth";
  f.caption = "Expected clogging. Further right: the wall lets less through. Lowest point: bottom.";
  f.x_label = "resistance of the clogged layer [days]";
  f.y_label = fmt::format("depth below the inlet [{}]", unit(r, Quantity::depth));
  f.x_log = true;
  f.y_downward = true;
  const auto last = std::lround(r.days() / days_per_year);
  std::set<long> years = {0, 1, std::lround(0.25 * static_cast<double>(last)),
                          std::lround(0.5 * static_cast<double>(last)), last};
  for (const long year : years) {
    if (year > last) continue;
    f.series.push_back({"clogging.csv", "resistance_days",
                        column_name("depth_below_inlet", Quantity::depth, r.scenario.units),
                        year == 0 ? std::string("at the start") : fmt::format("year {}", year),
                        "curve", fmt::format("{} expected year {}", name, year)});
  }
  return f;
}

}  // namespace

std::vector<plots::Figure> run_figures(const RunResult& r) {
  std::vector<Figure> figures = {pit_levels(r), tank_solids(r), outlet_shares(r), typical_day(r)};
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    figures.push_back(one_pit(r, p));
    figures.push_back(clogging(r, p));
  }
  return figures;
}

}  // namespace restwell
