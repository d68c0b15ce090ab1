#include <fmt/core.h>

#include <algorithm>
#include <set>

#include "plots/line_chart.hpp"
#include "sim/page_picture.hpp"
#include "sim/words.hpp"

namespace restwell {

PageFigure level_course_figure(const RunResult& r) {
  constexpr int month_day = 30;
  plots::LineChart chart;
  chart.words = {"course", "The water in the pits through the years",
                 "The highest water of each month in every pit, in the most likely case of "
                 "clogging."};
  chart.y_label = fmt::format("how high the water stands, {}", unit(r, Quantity::level));
  chart.x_is_date = true;
  chart.x_low = seconds_of_day(r, 0);
  chart.x_high = seconds_of_day(r, r.days());
  const CaseRun& expected = r.cases[Cases::expected];
  std::set<double> depths;
  for (std::size_t p = 0; p < expected.days.size(); ++p) {
    plots::Run run;
    for (int first = 0; first < r.days(); first += month_day) {
      double highest = 0.0;
      const int end = std::min(first + month_day, r.days());
      for (int d = first; d < end; ++d)
        highest = std::max(highest, expected.days[p][static_cast<std::size_t>(d)].highest_m);
      run.push_back({seconds_of_day(r, first), in_unit(r, highest, Quantity::level)});
      chart.y_high = std::max(chart.y_high, run.back().y);
    }
    chart.lines.push_back({pit_label(r.scenario.pits[p]), {run}});
    depths.insert(in_unit(r, r.site.pits[p].pit.geometry.depth_m, Quantity::level));
  }
  for (const double depth : depths) {
    chart.levels.push_back({depth, "full: water at the inlet"});
    chart.y_high = std::max(chart.y_high, depth);
  }
  return drawn(
      chart, [](const plots::LineChart& c, double w) { return plots::line_chart(c, w); },
      "Most likely case: the highest water of each month, as it would be.");
}

}  // namespace restwell
