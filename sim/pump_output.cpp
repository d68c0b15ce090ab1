#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "models/constants.hpp"
#include "sim/csv_cells.hpp"
#include "sim/pump_report.hpp"

namespace restwell {
namespace {

using plots::CsvWriter;
using CsvCell = plots::Cell;

CsvCell shown(const PumpStudy& s, double internal, Quantity q) {
  return CellsIn{s.scenario.units}(internal, q);
}
std::string column(const PumpStudy& s, const std::string& name, Quantity q) {
  return column_name(name, q, s.scenario.units);
}
CsvCell date_cell(const std::optional<Date>& date) {
  return date ? iso_date(*date) : std::string();
}

void write_course(const PumpStudy& s, const std::filesystem::path& folder) {
  const Quantity in = Quantity::small_length;
  CsvWriter csv(folder / "tank_course.csv", {"date", "curve", column(s, "sludge", in),
                                             column(s, "scum", in), "solids_percent_of_depth"});
  const auto write = [&](const std::string& curve, const Outlook& o) {
    const CoursePoint* before = nullptr;
    for (const CoursePoint& p : o.points) {
      // A pump-out breaks the curve.
      const bool falls = before != nullptr && p.readings.solids_share_of_depth <
                                                  0.5 * before->readings.solids_share_of_depth;
      if (falls) csv.row({iso_date(p.date), curve, std::string(), std::string(), std::string()});
      csv.row({iso_date(p.date), curve, shown(s, p.layers.sludge_first_m, in),
               shown(s, p.layers.scum_first_m, in),
               six_digits(100.0 * p.readings.solids_share_of_depth)});
      before = &p;
    }
  };
  write("as given", s.prior);
  if (s.fit) write("by the reading", s.corrected);
  csv.close();
}

void write_readings(const PumpStudy& s, const std::filesystem::path& folder) {
  const Quantity in = Quantity::small_length;
  CsvWriter csv(folder / "readings.csv", {"date", column(s, "sludge", in), column(s, "scum", in),
                                          "solids_percent_of_depth"});
  const auto write = [&](const TankReading& r) {
    csv.row({iso_date(r.date), shown(s, r.sludge_m, in), shown(s, r.scum_m, in),
             six_digits(100.0 * r.total_m() / s.scenario.tank.tank.liquid_depth_m)});
  };
  for (const Stretch& stretch : s.story.stretches) {
    const bool added = s.from_reading && &stretch == &s.story.stretches.back();
    if (stretch.from == Stretch::From::reading && !added) write(stretch.first);
    for (const TankReading& r : stretch.readings) write(r);
  }
  csv.close();
}

void write_dates(const PumpStudy& s, const std::filesystem::path& folder) {
  CsvWriter csv(folder / "pump_dates.csv",
                {"people", "disposer", "date", "interval_years", "as_given"});
  for (const OtherHousehold& o : s.others) {
    std::optional<Date> next;
    if (o.next_day) next = s.story.now + std::chrono::days(*o.next_day);
    csv.row({o.people, static_cast<long long>(o.disposer), date_cell(next),
             years_or_empty(o.interval ? o.interval->day : never),
             static_cast<long long>(o.as_given)});
  }
  csv.close();
}

void write_pit_life(const PumpStudy& s, const std::filesystem::path& folder) {
  CsvWriter csv(folder / "pit_life.csv", {"plan", "case", "what", "date", "years"});
  for (const PumpPlan& p : s.plans) {
    for (const CaseRun& c : p.run.cases) {
      const auto write = [&](const char* what, int day) {
        std::optional<Date> date;
        if (day != never) date = date_of(s.scenario.start, day);
        csv.row(
            {p.name, c.clog_case.name, std::string(what), date_cell(date), years_or_empty(day)});
      };
      write("first full pit", first_pit_full(c));
      write("overflow", c.first_leaves);
    }
  }
  csv.close();
}

void write_leaving(const PumpStudy& s, const std::filesystem::path& folder) {
  CsvWriter csv(folder / "leaving_tank.csv",
                {"year", "plan", column(s, "solids_out", Quantity::mass),
                 column(s, "scoured", Quantity::mass)});
  for (const PumpPlan& p : s.plans) {
    const int days = p.run.days();
    const Date start = p.run.scenario.start;
    for (int year = 0; days_to_year_end(start, year, days) + 300 < days; ++year) {
      const int from = days_to_year_end(start, year, days);
      const int to = days_to_year_end(start, year + 1, days);
      const SolidsLeaving sum = solids_leaving(p.run, from, to);
      csv.row({static_cast<long long>(year + 1), p.name, shown(s, sum.all_kg, Quantity::mass),
               shown(s, sum.scoured_kg, Quantity::mass)});
    }
  }
  csv.close();
}

}  // namespace

void write_pump_csv(const PumpStudy& s, const std::filesystem::path& folder) {
  write_course(s, folder);
  write_readings(s, folder);
  write_dates(s, folder);
  write_pit_life(s, folder);
  write_leaving(s, folder);
}

std::vector<plots::Figure> pump_figures(const PumpStudy& s) {
  plots::Figure course;
  course.name = "pump_out";
  course.title = "Sludge and scum in the tank, if it is not pumped";
  course.caption =
      s.fit ? "Dots: what was measured. The curve through them says when the mark is met."
            : "For the household as given. A reading would move the curve.";
  course.y_label = "part of the liquid depth [%]";
  course.x_is_date = true;
  const std::string y = "solids_percent_of_depth";
  course.series = {{"tank_course.csv", "date", y, "household as given", "curve", "as given"}};
  if (s.fit) {
    course.series.push_back(
        {"tank_course.csv", "date", y, "by the reading", "curve", "by the reading"});
  }
  if (s.fit || s.story.only_found) {
    course.series.push_back({"readings.csv", "date", y, "measured", "", "", true});
  }
  course.levels = {{100.0 * s.scenario.tank.limits.solids_share_of_depth, "pump"}};
  for (const Date d : s.story.pumped) {
    if (d >= s.story.stretches.front().begin) course.marks.push_back({iso_date(d), "pumped"});
  }

  plots::Figure leaving;
  leaving.name = "leaving_tank";
  leaving.title = "Solids that leave the tank for the pits, year by year";
  leaving.caption = "What an unpumped tank cannot hold goes to the pits and clogs them.";
  leaving.x_label = "year";
  const std::string unit = column_unit(Quantity::mass, s.scenario.units).label;
  leaving.y_label = fmt::format("solids [{}/year]", unit);
  leaving.kind = plots::Kind::bars;
  for (const PumpPlan& p : s.plans) {
    leaving.series.push_back({"leaving_tank.csv", "year", column(s, "solids_out", Quantity::mass),
                              "pumped " + p.name, "plan", p.name});
  }
  return {course, leaving};
}

}  // namespace restwell
