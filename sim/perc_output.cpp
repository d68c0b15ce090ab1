#include <fmt/format.h>

#include <algorithm>

#include "models/code_tables.hpp"
#include "sim/csv_cells.hpp"
#include "sim/perc_report.hpp"

namespace restwell {
namespace {

constexpr const char* readings_file = "perc_readings.csv";

}  // namespace

void write_perc_csv(const PercResult& r, const std::filesystem::path& folder) {
  const CellsIn shown{r.input.units};
  const auto name = [&](const char* what, Quantity q) { return shown.name(what, q); };
  plots::CsvWriter readings(folder / readings_file,
                            {"hole", "reading", "minutes", name("drop", Quantity::small_length),
                             name("rate", Quantity::percolation)});
  for (const PercHole& hole : r.input.holes) {
    for (std::size_t i = 0; i < hole.test.drops_m.size(); ++i) {
      const double drop = hole.test.drops_m[i];
      const auto number = static_cast<long long>(i + 1);
      readings.row({hole.name, number,
                    six_digits(static_cast<double>(number) * hole.test.interval_day * 1440.0),
                    shown(drop, Quantity::small_length),
                    shown(hole.test.interval_day / drop, Quantity::percolation)});
    }
  }
  readings.close();

  plots::CsvWriter holes(
      folder / "perc_holes.csv",
      {"hole", name("diameter", Quantity::small_length), name("mean_depth", Quantity::small_length),
       name("rate", Quantity::percolation), name("rate_fastest", Quantity::percolation),
       name("rate_slowest", Quantity::percolation),
       name("conductivity_low", Quantity::conductivity),
       name("conductivity", Quantity::conductivity),
       name("conductivity_high", Quantity::conductivity)});
  for (std::size_t h = 0; h < r.holes.size(); ++h) {
    const PercHole& hole = r.input.holes[h];
    const HoleResult& result = r.holes[h];
    holes.row({hole.name, shown(hole.test.diameter_m, Quantity::small_length),
               shown(mean_water_depth_m(hole.test), Quantity::small_length),
               shown(result.rate.day_per_m, Quantity::percolation),
               shown(result.rate.fastest_day_per_m, Quantity::percolation),
               shown(result.rate.slowest_day_per_m, Quantity::percolation),
               shown(result.kfs.low_m_per_day, Quantity::conductivity),
               shown(result.kfs.middle_m_per_day, Quantity::conductivity),
               shown(result.kfs.high_m_per_day, Quantity::conductivity)});
  }
  holes.close();
}

std::vector<plots::Figure> perc_figures(const PercResult& r) {
  const UnitSystem units = r.input.units;
  const ColumnUnit unit = column_unit(Quantity::percolation, units);
  plots::Figure f;
  f.name = "perc_rates";
  f.title = "Percolation rate, reading by reading";
  f.caption =
      "The last reading counts. A line that still climbs is soil that is still wetting or "
      "swelling.";
  f.x_label = "reading";
  f.y_label = fmt::format("rate [{}]", unit.label);
  double slowest = 0.0;
  for (const PercHole& hole : r.input.holes) {
    f.series.push_back({readings_file, "reading", column_name("rate", Quantity::percolation, units),
                        hole.name, "hole", hole.name});
    for (const double drop : hole.test.drops_m)
      if (drop > 0.0) slowest = std::max(slowest, hole.test.interval_day / drop);
  }
  // The limit only where it is near: it would flatten the lines of fast soil.
  const double limit = 30 * us::minute_per_inch_day_per_m;
  if (slowest > limit / 2) f.levels.push_back({limit * unit.factor, "slowest for pits (PHS 526)"});
  return {f};
}

}  // namespace restwell
