// Invented results of the kinds we draw, with the figures over them. No physics: plain formulas.
#pragma once

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <string>
#include <vector>

#include "plots/axis.hpp"
#include "plots/csv.hpp"
#include "plots/figure.hpp"

namespace restwell::test {

constexpr double day_s = 86400.0;

inline double first_day() { return *plots::parse_iso("2001-03-01"); }

inline plots::Figure pit_levels(const std::filesystem::path& folder, int years = 20) {
  plots::CsvWriter csv(folder / "levels.csv", {"date", "pit", "level_ft"});
  for (int day = 0; day < 365 * years; ++day) {
    const double year = day / 365.25;
    const double season = 0.5 * std::sin(6.283 * year) + 0.25 * std::sin(day * 2.1);
    const std::string date = plots::to_iso(first_day() + day_s * day, false);
    csv.row({date, "east", std::min(9.5, 2.0 + 0.45 * year + season)});
    csv.row({date, "west", std::max(0.0, 0.5 + 0.012 * year * year + 0.6 * season)});
  }
  csv.close();
  plots::Figure figure;
  figure.name = "pit_levels";
  figure.title = "Water standing in the two pits";
  figure.caption =
      "The east pit takes most of the flow and clogs first: from 2017 on it rests at its overflow "
      "level in spring, while the west pit still has most of its wall dry and would carry half.";
  figure.x_label = "Date";
  figure.y_label = "Water above pit floor, ft";
  figure.x_is_date = true;
  figure.series = {{"levels.csv", "date", "level_ft", "East pit", "pit", "east"},
                   {"levels.csv", "date", "level_ft", "West pit", "pit", "west"}};
  figure.levels = {{9.5, "overflow of the east pit"}, {9.1, "inlet of the west pit"}};
  figure.marks = {{"2012-06-01", "box levelled"},
                  {"2012-07-15", "lid of the west pit replaced"},
                  {"2017-02-20", "first overflow"}};
  return figure;
}

inline plots::Figure tank_solids(const std::filesystem::path& folder) {
  plots::CsvWriter csv(folder / "tank.csv", {"date", "sludge_gal", "scum_gal"});
  plots::Figure figure;
  const int interval = 1100;
  for (int day = 0; day < 365 * 20; ++day) {
    const double since = day % interval;
    const std::string date = plots::to_iso(first_day() + day_s * day, false);
    csv.row({date, 12.0 + 0.28 * since, 3.0 + 0.09 * since});
    if (day > 0 && day % interval == 0) figure.marks.push_back({date, "pump-out"});
  }
  csv.close();
  figure.name = "tank_solids";
  figure.title = "Solids held in the septic tank";
  figure.caption = "Each pump-out comes just before the sludge reaches a third of the tank.";
  figure.x_label = "Date";
  figure.y_label = "Solids, gal";
  figure.x_is_date = true;
  figure.series = {{"tank.csv", "date", "sludge_gal", "Sludge", "", ""},
                   {"tank.csv", "date", "scum_gal", "Scum", "", ""}};
  figure.levels = {{333.0, "one third of the tank"}};
  return figure;
}

inline plots::Figure outlet_shares(const std::filesystem::path& folder) {
  plots::CsvWriter csv(folder / "shares.csv", {"year", "outlet", "share_percent"});
  for (int year = 2001; year <= 2020; ++year) {
    const double tilt = 1.2 * (year - 2001);
    csv.row({static_cast<long long>(year), "A", 40.0 + tilt});
    csv.row({static_cast<long long>(year), "B", 35.0 - 0.5 * tilt});
    csv.row({static_cast<long long>(year), "C", 25.0 - 0.5 * tilt});
  }
  csv.close();
  plots::Figure figure;
  figure.name = "outlet_shares";
  figure.title = "Share of the flow that each outlet of the box takes";
  figure.caption = "The box tilts: outlet A takes more every year.";
  figure.x_label = "Year";
  figure.y_label = "Share of the flow, %";
  figure.kind = plots::Kind::bars;
  for (const char* outlet : {"A", "B", "C"}) {
    figure.series.push_back(
        {"shares.csv", "year", "share_percent", std::string("Outlet ") + outlet, "outlet", outlet});
  }
  figure.levels = {{33.3, "equal shares"}};
  figure.marks = {{"2012-06-01", "box levelled"}};
  return figure;
}

inline plots::Figure typical_day(const std::filesystem::path& folder) {
  plots::CsvWriter csv(folder / "day.csv", {"time", "in_gpm", "out_gpm"});
  double stored = 0.0;
  for (int minute = 0; minute <= 1440; ++minute) {
    const double hour = minute / 60.0;
    const double in = (minute % 37 < 3) * (3.0 * std::exp(-std::pow(hour - 7.5, 2)) +
                                           2.2 * std::exp(-0.3 * std::pow(hour - 19.0, 2)));
    const double out = 0.02 * stored;
    stored += in - out;
    csv.row({plots::to_iso(first_day() + 60.0 * minute, true), in, out});
  }
  csv.close();
  plots::Figure figure;
  figure.name = "typical_day";
  figure.title = "A typical day: flow into the tank and out of it";
  figure.caption = "The tank flattens the peaks of the morning and of the evening.";
  figure.x_label = "Time of day";
  figure.y_label = "Flow, gal/min";
  figure.kind = plots::Kind::steps;
  figure.x_is_date = true;
  figure.series = {{"day.csv", "time", "in_gpm", "Into the tank", "", ""},
                   {"day.csv", "time", "out_gpm", "Out of the tank", "", ""}};
  return figure;
}

inline plots::Figure clogging(const std::filesystem::path& folder) {
  plots::CsvWriter csv(folder / "clogging.csv", {"year", "depth_ft", "resistance_days"});
  for (const long long year : {2005LL, 2010LL, 2015LL, 2020LL}) {
    for (int step = 0; step <= 40; ++step) {
      const double depth = 0.25 * step;
      const double age = static_cast<double>(year - 2001);
      csv.row({year, depth, 0.3 * age * std::exp(0.04 * age * (depth - 4.0))});
    }
  }
  csv.close();
  plots::Figure figure;
  figure.name = "clogging";
  figure.title = "Resistance of the clogged wall by depth";
  figure.caption = "The wall clogs from the floor upward, where water stands longest.";
  figure.x_label = "Resistance, days";
  figure.y_label = "Depth below inlet, ft";
  figure.y_downward = true;
  figure.x_log = true;
  for (const char* year : {"2005", "2010", "2015", "2020"}) {
    figure.series.push_back({"clogging.csv", "resistance_days", "depth_ft", year, "year", year});
  }
  figure.levels = {{6.0, "water level today"}};
  return figure;
}

inline std::vector<plots::Figure> all_samples(const std::filesystem::path& folder) {
  return {pit_levels(folder), tank_solids(folder), outlet_shares(folder), typical_day(folder),
          clogging(folder)};
}

}  // namespace restwell::test
