#include <fmt/format.h>

#include <algorithm>

#include "models/constants.hpp"
#include "sim/calendar.hpp"
#include "sim/csv_cells.hpp"
#include "sim/whatif_report.hpp"

namespace restwell {
namespace {

using plots::Cell;
using plots::CsvWriter;

// The value on the axis, or nothing of the base and of cases that are no numbers.
Cell axis_value(const WhatIf& w, std::size_t i) {
  if (w.axis.empty() || i == 0) return std::string();
  return w.axis.front().values[i - 1];
}

std::string set_words(const WhatIfCase& c) {
  std::string text;
  for (const PathValue& v : c.set) text += (text.empty() ? "" : "; ") + v.path + "=" + v.text;
  return text;
}

struct Clogging {
  const char* name;
  int DaySpread::*day;
};
constexpr Clogging all_clogging[] = {
    {"early", &DaySpread::early}, {"expected", &DaySpread::expected}, {"late", &DaySpread::late}};

void write_cases(const WhatIf& w, const CellsIn& s, const std::filesystem::path& folder) {
  std::vector<std::string> columns = {"number",
                                      "case",
                                      "set",
                                      "value",
                                      s.name("water", Quantity::flow),
                                      s.name("busiest_day", Quantity::flow),
                                      s.name("tank_outflow_mean_by_volume", Quantity::minute_flow),
                                      s.name("solids_into_tank", Quantity::mass_per_year),
                                      s.name("bod_to_pits", Quantity::mass_per_year),
                                      s.name("bod", Quantity::concentration),
                                      s.name("clean_pits_take", Quantity::flow),
                                      s.name("pits_take_at_start", Quantity::flow),
                                      "pump_out_every_years",
                                      "pump_out_due_years"};
  for (const char* what : {"first_full", "overflow"})
    for (const Clogging& c : all_clogging)
      columns.push_back(fmt::format("{}_{}_years", what, c.name));
  CsvWriter csv(folder / "cases.csv", columns);
  for (std::size_t i = 0; i < w.cases.size(); ++i) {
    const CaseOutcome& o = w.outcomes[i];
    std::vector<Cell> row = {
        static_cast<long long>(i),
        w.cases[i].asked.name,
        set_words(w.cases[i].asked),
        axis_value(w, i),
        s(o.flow_m3_per_day, Quantity::flow),
        s(*std::max_element(o.week_m3.begin(), o.week_m3.end()), Quantity::flow),
        s(o.outflow_m3_per_day, Quantity::minute_flow),
        s(o.solids_kg_per_day, Quantity::mass_per_year),
        s(o.bod_kg_per_day, Quantity::mass_per_year),
        s(o.bod_kg_per_m3, Quantity::concentration),
        s(o.clean_m3_per_day(), Quantity::flow),
        s(o.now_m3_per_day(), Quantity::flow),
        years_or_empty(o.pump_interval_day),
        years_or_empty(o.pump_due_day)};
    for (const DaySpread& d : {o.first_full, o.overflow})
      for (const Clogging& c : all_clogging) row.push_back(years_or_empty(d.*c.day));
    csv.row(row);
  }
  csv.close();
}

void write_pits(const WhatIf& w, const CellsIn& s, const std::filesystem::path& folder) {
  CsvWriter csv(folder / "case_pits.csv",
                {"number", "case", "pit", "share_percent", s.name("takes_clean", Quantity::flow),
                 s.name("takes_at_start", Quantity::flow), "full_early_years",
                 "full_expected_years", "full_late_years"});
  for (std::size_t i = 0; i < w.cases.size(); ++i) {
    for (const PitOutcome& p : w.outcomes[i].pits) {
      csv.row({static_cast<long long>(i), w.cases[i].asked.name, p.name,
               p.share ? Cell(six_digits(100.0 * *p.share)) : Cell(std::string()),
               s(p.clean_m3_per_day, Quantity::flow), s(p.now_m3_per_day, Quantity::flow),
               years_or_empty(p.full.early), years_or_empty(p.full.expected),
               years_or_empty(p.full.late)});
    }
  }
  csv.close();
}

constexpr const char* pump_curve = "pump-out every";
constexpr const char* full_curve = "first full pit";
constexpr const char* overflow_curve = "overflow";

// A date that the run does not reach stands at its end, so that bars and lines show it: reached 0.
void write_years(const WhatIf& w, const std::filesystem::path& folder) {
  CsvWriter csv(folder / "case_years.csv",
                {"number", "case", "value", "what", "clogging", "curve", "years", "reached"});
  for (std::size_t i = 0; i < w.cases.size(); ++i) {
    // The file as it is has no place on a line over the values.
    const std::string prefix = i == 0 && !w.axis.empty() ? std::string(base_name) + ": " : "";
    const auto row = [&](const std::string& what, const std::string& clogging, int day,
                         const Cell& shown) {
      csv.row({static_cast<long long>(i), w.cases[i].asked.name, axis_value(w, i), what, clogging,
               prefix + what + (clogging.empty() ? "" : " " + clogging), shown,
               static_cast<long long>(day != never)});
    };
    const CaseOutcome& o = w.outcomes[i];
    row(pump_curve, "", o.pump_interval_day, years_or_empty(o.pump_interval_day));
    for (const Clogging& c : all_clogging) {
      for (const auto& [what, day] : {std::pair{full_curve, o.first_full.*c.day},
                                      std::pair{overflow_curve, o.overflow.*c.day}})
        row(what, c.name, day, years_or_empty(day == never ? w.days : day));
    }
  }
  csv.close();
}

plots::Figure figure(const WhatIf& w, std::string name, std::string title,
                     const std::vector<std::pair<std::string, std::string>>& curves) {
  const bool line = !w.axis.empty();
  plots::Figure f;
  f.name = std::move(name);
  f.title = std::move(title);
  f.caption = "At the dashed line: not within the run.";
  f.kind = line ? plots::Kind::lines : plots::Kind::bars;
  f.x_label = "case";
  if (line) {
    const NumberAxis& axis = w.axis.front();
    f.x_label = axis.label + (axis.unit.empty() ? "" : " [" + axis.unit + "]");
  }
  f.y_label = "years";
  for (const auto& [curve, label] : curves)
    f.series.push_back({"case_years.csv", line ? "value" : "case", "years", label, "curve", curve});
  f.levels = {{w.days / days_per_year, "end of the run"}};
  return f;
}

}  // namespace

void write_whatif_csv(const WhatIf& w, const std::filesystem::path& folder) {
  const CellsIn show_in{w.outcomes.front().scenario.units};
  write_cases(w, show_in, folder);
  write_pits(w, show_in, folder);
  write_years(w, folder);
}

std::vector<plots::Figure> whatif_figures(const WhatIf& w) {
  return {figure(w, "cases", "Pump-outs, first full pit and overflow, case by case",
                 {{pump_curve, "pump-out every"},
                  {"first full pit expected", "first full pit (expected)"},
                  {"overflow expected", "overflow (expected)"}}),
          figure(w, "first_full", "Years to the first full pit, early, expected and late case",
                 {{"first full pit early", "early"},
                  {"first full pit expected", "expected"},
                  {"first full pit late", "late"}}),
          figure(w, "overflow", "Years to overflow, early, expected and late case",
                 {{"overflow early", "early"},
                  {"overflow expected", "expected"},
                  {"overflow late", "late"}})};
}

}  // namespace restwell
