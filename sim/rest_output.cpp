#include <fmt/core.h>

#include <algorithm>

#include "models/constants.hpp"
#include "sim/csv_cells.hpp"
#include "sim/rest_report.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

using plots::CsvWriter;
using plots::Figure;

void write_curves(const RestResult& r, const std::filesystem::path& folder) {
  const CellsIn shown{r.scenario.units};
  CsvWriter csv(folder / "rest.csv",
                {"case", "rest_days", shown.name("level", Quantity::level),
                 shown.name("takes", Quantity::flow), "lasts_years", "lasts_at_least_years"});
  for (const std::size_t k : Cases::early_to_late) {
    for (const RestPoint& p : r.curves[k].points) {
      const int seen = p.lasts_day == never ? r.question.look_ahead_day : p.lasts_day;
      csv.row({r.curves[k].clog_case.name, static_cast<long long>(p.rest_day),
               shown(p.level_m, Quantity::level), shown(p.takes_m3_per_day, Quantity::flow),
               years_or_empty(p.lasts_day), six_digits(seen / days_per_year)});
    }
  }
  csv.close();

  CsvWriter days(
      folder / "rest_days.csv",
      {"case", "rest_days", shown.name("level", Quantity::level),
       shown.name("takes", Quantity::flow), shown.name("highest_of_others", Quantity::level)});
  for (const std::size_t k : Cases::early_to_late) {
    const RestCurve& c = r.curves[k];
    for (std::size_t d = 0; d < c.level_m.size(); ++d) {
      double highest = 0.0;
      for (std::size_t p = 0; p < c.meanwhile.highest_m.size(); ++p) {
        if (p != r.question.pit) highest = std::max(highest, c.meanwhile.highest_m[p][d]);
      }
      days.row({c.clog_case.name, static_cast<long long>(d + 1),
                shown(c.level_m[d], Quantity::level), shown(c.takes_m3_per_day[d], Quantity::flow),
                shown(highest, Quantity::level)});
    }
  }
  days.close();

  if (r.turns.empty()) return;
  CsvWriter turns(folder / "turns.csv", {"case", "months", "full_years", "overflow_years"});
  for (const std::size_t k : Cases::early_to_late) {
    for (const Turns& t : r.turns) {
      turns.row({r.curves[k].clog_case.name, t.months, years_or_empty(t.first_full[k]),
                 years_or_empty(t.first_leaves[k])});
    }
  }
  turns.close();
}

std::vector<plots::Series> by_case(const RestResult& r, const std::string& file,
                                   const std::string& y) {
  std::vector<plots::Series> series;
  for (const std::size_t k : Cases::early_to_late) {
    const std::string& name = r.curves[k].clog_case.name;
    series.push_back({file, "rest_days", y, name, "case", name});
  }
  return series;
}

std::vector<Figure> figures(const RestResult& r) {
  const UnitSystem u = r.scenario.units;
  const std::string pit = pit_label(r.scenario.pits[r.question.pit]);
  Figure takes;
  takes.name = "rest_takes";
  takes.title = sentence_case(pit) + ": what it takes with water at its inlet, by days of rest";
  takes.caption = "Above the dashed line it takes all that the household sends.";
  takes.x_label = "days of rest";
  takes.y_label = fmt::format("intake when full [{}]", column_unit(Quantity::flow, u).label);
  takes.series = by_case(r, "rest_days.csv", column_name("takes", Quantity::flow, u));
  takes.levels = {
      {r.week.mean_flow_m3_per_day * column_unit(Quantity::flow, u).factor, "household"}};

  Figure level;
  level.name = "rest_level";
  level.title = sentence_case(pit) + ": water over the bottom, by days of rest";
  level.caption = "First it drains, and only then the wall recovers.";
  level.x_label = "days of rest";
  level.y_label = fmt::format("water over the bottom [{}]", column_unit(Quantity::level, u).label);
  level.series = by_case(r, "rest_days.csv", column_name("level", Quantity::level, u));

  Figure lasts;
  lasts.name = "rest_lasts";
  lasts.title = sentence_case(pit) + ": how long a rest lasts";
  lasts.caption =
      fmt::format("Looked at up to {} of service; the dashed line is what was asked for.",
                  years_words(r.question.look_ahead_day));
  lasts.x_label = "days of rest";
  lasts.y_label = "years in service until full again";
  lasts.series = by_case(r, "rest.csv", "lasts_at_least_years");
  lasts.levels = {{r.question.service_day / days_per_year, "asked for"}};
  return {takes, level, lasts};
}

}  // namespace

ResultFiles rest_files(const RestResult& r) {
  return {[&r](const std::filesystem::path& folder) { write_curves(r, folder); }, figures(r)};
}

}  // namespace restwell
