#include "sim/csv_output.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "models/constants.hpp"
#include "sim/calendar.hpp"
#include "sim/csv_cells.hpp"
#include "sim/report_tables.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

using plots::Cell;
using plots::CsvWriter;

constexpr std::size_t shown_cases[] = {Cases::expected, Cases::early, Cases::late};

void write_tank(const RunResult& r, const CellsIn& s, const std::filesystem::path& folder) {
  CsvWriter csv(
      folder / "tank.csv",
      {"date", s.name("water_in", Quantity::volume), s.name("water_out", Quantity::volume),
       s.name("peak_out", Quantity::minute_flow), "people",
       s.name("sludge", Quantity::small_length), s.name("scum", Quantity::small_length),
       "solids_percent_of_depth", "sludge_percent_of_depth", s.name("solids_out", Quantity::mass),
       s.name("bod_out", Quantity::mass), "pumped"});
  const double depth = r.scenario.tank.tank.liquid_depth_m;
  for (int d = 0; d < r.days(); ++d) {
    const TankRecord& t = r.tank[static_cast<std::size_t>(d)];
    csv.row({iso_date(date_of(r.scenario.start, d)), s(t.inflow_m3, Quantity::volume),
             s(t.outflow_m3, Quantity::volume), s(t.peak_outflow_m3_per_day, Quantity::minute_flow),
             t.residents, s(t.layers.sludge_first_m, Quantity::small_length),
             s(t.layers.scum_first_m, Quantity::small_length),
             six_digits(100.0 * t.readings.solids_share_of_depth),
             six_digits(100.0 * t.layers.sludge_first_m / depth), s(t.tss_out_kg, Quantity::mass),
             s(t.bod_out_kg, Quantity::mass), static_cast<long long>(t.pumped)});
  }
  csv.close();
}

void write_pits(const RunResult& r, const CellsIn& s, const std::filesystem::path& folder) {
  const bool table = r.scenario.soil.water_table.has_value();
  std::vector<std::string> header = {"date",
                                     "case",
                                     "pit",
                                     "curve",
                                     s.name("inflow", Quantity::volume),
                                     s.name("into_soil", Quantity::volume),
                                     s.name("overflow", Quantity::volume),
                                     s.name("level", Quantity::level),
                                     s.name("highest", Quantity::level),
                                     "full",
                                     "reaches_box"};
  if (table) {
    header.push_back(s.name("from_ground", Quantity::volume));
    header.push_back(s.name("water_table_over_bottom", Quantity::level));
  }
  const bool tight = has_tight_layers(r);
  if (tight) header.push_back(s.name("perched_water_over_bottom", Quantity::level));
  CsvWriter csv(folder / "pits.csv", header);
  for (const std::size_t f : shown_cases) {
    const CaseRun& run = r.cases[f];
    for (std::size_t p = 0; p < run.days.size(); ++p) {
      const std::string pit = r.scenario.pits[p].name;
      const std::string curve = pit + " " + run.clog_case.name;
      for (int d = 0; d < r.days(); ++d) {
        const PitDay& day = run.days[p][static_cast<std::size_t>(d)];
        std::vector<plots::Cell> row = {iso_date(date_of(r.scenario.start, d)),
                                        run.clog_case.name,
                                        pit,
                                        curve,
                                        s(day.inflow_m3, Quantity::volume),
                                        s(day.intake_m3, Quantity::volume),
                                        s(day.overflow_m3, Quantity::volume),
                                        s(day.level_m, Quantity::level),
                                        s(day.highest_m, Quantity::level),
                                        static_cast<long long>(day.full),
                                        static_cast<long long>(day.reaches_box)};
        if (table) {
          row.push_back(s(day.ground_m3, Quantity::volume));
          row.push_back(s(day.table_m, Quantity::level));
        }
        if (tight) {
          row.push_back(day.perched_m > far_below_m ? s(day.perched_m, Quantity::level)
                                                    : plots::Cell(""));
        }
        csv.row(row);
      }
    }
  }
  csv.close();
}

// Month by month, for pictures and for reading.
void write_pit_months(const RunResult& r, const CellsIn& s, const std::filesystem::path& folder) {
  CsvWriter csv(
      folder / "pit_months.csv",
      {"month", "case", "pit", "curve", s.name("highest", Quantity::level),
       s.name("mean", Quantity::level), s.name("into_soil", Quantity::flow), "days_full"});
  for (const std::size_t f : shown_cases) {
    const CaseRun& run = r.cases[f];
    for (std::size_t p = 0; p < run.days.size(); ++p) {
      const std::string pit = r.scenario.pits[p].name;
      for (int d = 0; d < r.days();) {
        const std::chrono::year_month_day first(date_of(r.scenario.start, d));
        double highest = 0.0, level = 0.0, soil = 0.0;
        int days = 0, full = 0;
        for (; d < r.days(); ++d, ++days) {
          const std::chrono::year_month_day date(date_of(r.scenario.start, d));
          if (date.month() != first.month()) break;
          const PitDay& day = run.days[p][static_cast<std::size_t>(d)];
          highest = std::max(highest, day.highest_m);
          level += day.level_m;
          soil += day.intake_m3;
          full += day.full ? 1 : 0;
        }
        csv.row({iso_date(std::chrono::sys_days(first)), run.clog_case.name, pit,
                 pit + " " + run.clog_case.name, s(highest, Quantity::level),
                 s(level / days, Quantity::level), s(soil / days, Quantity::flow),
                 static_cast<long long>(full)});
      }
    }
  }
  csv.close();
}

void write_events(const RunResult& r, const std::filesystem::path& folder) {
  struct Row {
    int day;
    std::string clogging, where, what;
  };
  std::vector<Row> rows;
  const auto add = [&](int day, const std::string& clogging, const std::string& where,
                       const std::string& what) {
    if (day != never) rows.push_back({day, clogging, where, what});
  };
  for (const int day : r.pumped) add(day, "any", "tank", "pumped");
  for (const CriterionDates& c : r.criteria) {
    for (const int day : c.met) {
      add(day, "any", "tank", "pump-out mark reached: " + criterion_words(c.criterion));
    }
  }
  for (const HouseholdChange& c : r.scenario.household.changes) {
    const auto day = days_between(r.scenario.start, c.from);
    if (day >= 0 && day < r.days()) add(day, "any", "household", "change of household");
  }
  for (const PlannedWork& work : r.scenario.plan) {
    const auto day = days_between(r.scenario.start, work.date);
    if (day < r.days()) add(day, "any", "plan", work_words(r.scenario, work));
  }
  for (const std::size_t f : shown_cases) {
    const CaseRun& run = r.cases[f];
    for (std::size_t p = 0; p < run.pits.size(); ++p) {
      const std::string where = pit_label(r.scenario.pits[p]);
      const PitMilestones& m = run.pits[p];
      add(m.first_full, run.clog_case.name, where, "first full to the inlet");
      add(m.first_reaches_box, run.clog_case.name, where, "first backs up into the box");
      add(m.first_overflow, run.clog_case.name, where, "first overflow");
    }
    add(run.first_leaves, run.clog_case.name, run.leaves_at,
        "water first leaves other than into the soil");
  }
  std::stable_sort(rows.begin(), rows.end(),
                   [](const Row& a, const Row& b) { return a.day < b.day; });
  CsvWriter csv(folder / "events.csv", {"date", "years", "case", "where", "what"});
  for (const Row& row : rows) {
    csv.row({iso_date(date_of(r.scenario.start, row.day)), six_digits(row.day / days_per_year),
             row.clogging, row.where, row.what});
  }
  csv.close();
}

void write_yearly_balance(const RunResult& r, const CellsIn& s,
                          const std::filesystem::path& folder) {
  CsvWriter csv(
      folder / "yearly_balance.csv",
      {"year", "case", s.name("household", Quantity::volume),
       s.name("tank_to_pits", Quantity::volume), s.name("into_soil", Quantity::volume),
       s.name("out_of_system", Quantity::volume), s.name("solids_in", Quantity::mass),
       s.name("solids_to_pits", Quantity::mass), s.name("from_ground", Quantity::volume)});
  for (const std::size_t f : shown_cases) {
    const CaseRun& run = r.cases[f];
    for (int year = 1; (year - 1 + 0.01) * days_per_year < r.days(); ++year) {
      double in = 0.0, out = 0.0, soil = 0.0, lost = 0.0, ground = 0.0, solids_in = 0.0,
             solids_out = 0.0;
      const int from = days_to_year_end(r.scenario.start, year - 1, r.days());
      const int to = days_to_year_end(r.scenario.start, year, r.days());
      if (from >= to) break;  // the run ends half a day into this year
      for (int d = from; d < to; ++d) {
        const auto i = static_cast<std::size_t>(d);
        in += r.tank[i].inflow_m3;
        out += r.tank[i].outflow_m3;
        solids_in += r.tank[i].tss_in_kg;
        solids_out += r.tank[i].tss_out_kg;
        lost += run.over_lid_m3[i];
        for (std::size_t p = 0; p < run.days.size(); ++p) {
          soil += run.days[p][i].intake_m3;
          ground += run.days[p][i].ground_m3;
          if (r.site.pits[p].over_brim != Destination::next_pit) lost += run.days[p][i].overflow_m3;
        }
      }
      csv.row({static_cast<long long>(year), run.clog_case.name, s(in, Quantity::volume),
               s(out, Quantity::volume), s(soil, Quantity::volume), s(lost, Quantity::volume),
               s(solids_in, Quantity::mass), s(solids_out, Quantity::mass),
               s(ground, Quantity::volume)});
    }
  }
  csv.close();
}

void write_shares(const RunResult& r, const std::filesystem::path& folder) {
  CsvWriter csv(folder / "outlet_shares.csv", {"year", "case", "outlet", "share_percent"});
  const CaseRun& run = r.cases[Cases::expected];
  const std::size_t years = run.outlet_m3_by_year.front().size();
  for (const std::size_t i : outlets_used(r)) {
    for (std::size_t y = 0; y < years; ++y) {
      double all = 0.0;
      for (const auto& by_year : run.outlet_m3_by_year) all += by_year[y];
      if (!(all > 0.0)) continue;
      csv.row({static_cast<long long>(y + 1), run.clog_case.name, outlet_label(r.scenario, i),
               six_digits(100.0 * run.outlet_m3_by_year[i][y] / all)});
    }
  }
  csv.close();
}

// The Wednesday of the typical week, minute by minute.
void write_typical_day(const RunResult& r, const CellsIn& s, const std::filesystem::path& folder) {
  constexpr int minutes = 1440;
  constexpr std::size_t wednesday = 2;
  std::vector<double> in(minutes, 0.0), out(minutes, 0.0);
  // Spreads a constant flow between two times over the minutes; the mean flow of each.
  const auto spread = [](std::vector<double>& mean, double from, double to, double flow) {
    for (int m = static_cast<int>(from * minutes); m < minutes && m < to * minutes; ++m) {
      const double inside = std::min(to * minutes, m + 1.0) - std::max(from * minutes, m + 0.0);
      if (inside > 0.0) mean[static_cast<std::size_t>(m)] += inside * flow;
    }
  };
  for (const Segment& seg : r.week.inflow[wednesday]) {
    spread(in, seg.from_day, seg.to_day, seg.flow_m3_per_day);
  }
  double at = 0.0;
  for (const EffluentStep& step : r.week.days[wednesday].steps) {
    spread(out, at, at + step.dt_day, step.flow_m3_per_day);
    at += step.dt_day;
  }
  CsvWriter csv(folder / "typical_day.csv", {"hour", s.name("into_tank", Quantity::minute_flow),
                                             s.name("out_of_tank", Quantity::minute_flow)});
  for (int m = 0; m < minutes; ++m) {
    csv.row({six_digits((m + 0.5) / 60.0),
             s(in[static_cast<std::size_t>(m)], Quantity::minute_flow),
             s(out[static_cast<std::size_t>(m)], Quantity::minute_flow)});
  }
  csv.close();
}

void write_clogging(const RunResult& r, const CellsIn& s, const std::filesystem::path& folder) {
  CsvWriter csv(folder / "clogging.csv",
                {"year", "case", "pit", "part", "curve",
                 s.name("depth_below_inlet", Quantity::depth), "resistance_days"});
  for (const std::size_t f : shown_cases) {
    const CaseRun& run = r.cases[f];
    for (const ClogProfile& profile : run.profiles) {
      const auto year = std::lround(profile.day_index / days_per_year);
      for (std::size_t p = 0; p < profile.resistance_day.size(); ++p) {
        const Pit& pit = r.site.pits[p].pit;
        const std::vector<double>& resistance = profile.resistance_day[p];
        const std::string curve =
            fmt::format("{} {} year {}", r.scenario.pits[p].name, run.clog_case.name, year);
        const auto row = [&](const char* part, double level, double value) {
          csv.row({static_cast<long long>(year), run.clog_case.name, r.scenario.pits[p].name,
                   std::string(part), curve, s(pit.geometry.depth_m - level, Quantity::depth),
                   six_digits(value)});
        };
        row("bottom", 0.0, resistance.back());
        for (std::size_t j = 0; j < pit.rings.size(); ++j) {
          if (pit.rings[j].bottom_m >= pit.geometry.depth_m) continue;
          row("wall", 0.5 * (pit.rings[j].bottom_m + pit.rings[j].top_m), resistance[j]);
        }
      }
    }
  }
  csv.close();
}

}  // namespace

void write_csv_files(const RunResult& r, const std::filesystem::path& folder) {
  const CellsIn show_in{r.scenario.units};
  write_tank(r, show_in, folder);
  write_pits(r, show_in, folder);
  write_pit_months(r, show_in, folder);
  write_events(r, folder);
  write_yearly_balance(r, show_in, folder);
  write_shares(r, folder);
  write_typical_day(r, show_in, folder);
  write_clogging(r, show_in, folder);
}

}  // namespace restwell
