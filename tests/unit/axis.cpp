// Check values: derived by hand from the calendar and from the rules in the header.
#include "plots/axis.hpp"

#include <catch2/catch.hpp>

#include "plots/curve.hpp"

using namespace restwell::plots;

namespace {

std::vector<std::string> labels(const Axis& axis) {
  std::vector<std::string> all;
  for (const Tick& tick : axis.ticks) all.push_back(tick.label);
  return all;
}
using Labels = std::vector<std::string>;

}  // namespace

TEST_CASE("ISO dates are read and written") {
  CHECK(parse_iso("1970-01-02") == 86400.0);
  CHECK(parse_iso("2000-03-01") == 951868800.0);  // 11017 days after 1970-01-01
  CHECK(parse_iso("1970-01-01T01:02") == 3720.0);
  CHECK(parse_iso("1970-01-01 01:02:03") == 3723.0);
  for (const char* bad : {"", "2001", "2001-02-29", "2001-1-1", "2001/01/01", "2001-01-01x",
                          "2001-01-01T9:00", "2001-01-01T09:60", "2001-01-01T09:00:00Z"}) {
    CHECK_FALSE(parse_iso(bad));
  }
  CHECK(to_iso(951868800.0, false) == "2000-03-01");
  CHECK(to_iso(-1.0, true) == "1969-12-31T23:59:59");
}

TEST_CASE("value axes end on round ticks") {
  const Axis axis = linear_axis(0.0, 9.5, 6, Ends::out_to_tick);
  CHECK(axis.high == 10.0);
  CHECK(labels(axis) == Labels{"0", "2", "4", "6", "8", "10"});
  CHECK(labels(linear_axis(-0.12, 0.31, 6, Ends::out_to_tick)) ==
        Labels{"-0.2", "-0.1", "0.0", "0.1", "0.2", "0.3", "0.4"});
  CHECK(labels(linear_axis(0.0, 24.0, 9, Ends::stay)).at(1) == "3");
  CHECK(labels(linear_axis(0.0, 3e8, 6, Ends::out_to_tick)).at(1) == "5e+07");
}

TEST_CASE("a single value still has an axis around it") {
  for (const double value : {-3.0, 0.0, 0.002, 7.0}) {
    for (const Ends ends : {Ends::out_to_tick, Ends::stay}) {
      const Axis axis = linear_axis(value, value, 6, ends);
      INFO(value << ": " << axis.low << ".." << axis.high);
      CHECK(axis.low < axis.high);
      CHECK((axis.low <= value && value <= axis.high));
      CHECK(axis.ticks.size() >= 2);
    }
  }
  CHECK(log_axis(7.0, 7.0).low < log_axis(7.0, 7.0).high);
  CHECK(log_axis(10.0, 10.0).low < log_axis(10.0, 10.0).high);
  CHECK(date_axis(0.0, 0.0, 700.0, 6.0).low < 0.0);
}

TEST_CASE("logarithmic axes stand on 1, 2, 5 or on decades") {
  CHECK(labels(log_axis(0.3, 4.0)) == Labels{"0.2", "0.5", "1", "2", "5"});
  CHECK(labels(log_axis(1e-3, 1e4)).at(1) == "0.01");
  CHECK(labels(log_axis(1e-12, 1e12)).size() <= 13);
}

TEST_CASE("labels of dates never meet, from minutes to a century") {
  constexpr double width = 700.0, character = 6.0, day = 86400.0;
  const double start = *parse_iso("2001-03-01");
  for (const double span : {0.02, 0.2, 1.0, 2.0, 3.0, 10.0, 40.0, 100.0, 300.0, 800.0, 2000.0,
                            7300.0, 36525.0, 150000.0}) {
    const Axis axis = date_axis(start, start + span * day, width, character);
    INFO(span << " days");
    CHECK(axis.ticks.size() >= 3);
    for (std::size_t i = 1; i < axis.ticks.size(); ++i) {
      const auto half = [&](const Tick& tick) {
        const auto line = tick.label.find('\n');
        const std::size_t longest = line == std::string::npos
                                        ? tick.label.size()
                                        : std::max(line, tick.label.size() - line - 1);
        return 0.5 * character * static_cast<double>(longest);
      };
      const double apart = (axis.ticks[i].at - axis.ticks[i - 1].at) / (span * day) * width;
      CHECK(apart > half(axis.ticks[i]) + half(axis.ticks[i - 1]));
    }
  }
}

TEST_CASE("date ticks stand on round years, months and hours") {
  const auto axis = [](const char* from, const char* to) {
    return labels(date_axis(*parse_iso(from), *parse_iso(to), 700.0, 6.0));
  };
  CHECK(axis("2001-03-01", "2061-03-01") == Labels{"2005", "2010", "2015", "2020", "2025", "2030",
                                                   "2035", "2040", "2045", "2050", "2055", "2060"});
  CHECK(axis("2001-01-01", "2003-01-01") == Labels{"2001-01", "2001-04", "2001-07", "2001-10",
                                                   "2002-01", "2002-04", "2002-07", "2002-10",
                                                   "2003-01"});
  CHECK(axis("2001-01-01", "2001-01-02") == Labels{"00:00\n2001-01-01", "03:00", "06:00", "09:00",
                                                   "12:00", "15:00", "18:00", "21:00", "00:00"});
}

TEST_CASE("places that are too close move apart around their middle") {
  using Places = std::vector<double>;
  CHECK(spread({}, 10.0, 0.0, 100.0).empty());
  CHECK(spread({20.0, 40.0}, 10.0, 0.0, 100.0) == Places{20.0, 40.0});
  CHECK(spread({50.0, 50.0}, 10.0, 0.0, 100.0) == Places{45.0, 55.0});
  CHECK(spread({0.0, 1.0, 99.0}, 10.0, 0.0, 100.0) == Places{0.0, 10.0, 99.0});
  CHECK(spread({98.0, 100.0}, 10.0, 0.0, 100.0) == Places{90.0, 100.0});
}

TEST_CASE("a long run is thinned and keeps its peaks and ends") {
  Run run;
  for (int i = 0; i < 100000; ++i) run.push_back({static_cast<double>(i), 0.01 * (i % 10)});
  run[54321].y = 77.0;
  run[12345].y = -5.0;
  const Run kept = thinned(run, 0.0, 99999.0, false, 800);
  CHECK(kept.size() <= 4 * 801);
  const auto has = [&](double x, double y) {
    return std::any_of(kept.begin(), kept.end(),
                       [&](const Point& point) { return point.x == x && point.y == y; });
  };
  CHECK(has(54321.0, 77.0));
  CHECK(has(12345.0, -5.0));
  CHECK(has(0.0, 0.0));
  CHECK(has(99999.0, run.back().y));
  CHECK(std::is_sorted(kept.begin(), kept.end(),
                       [](const Point& a, const Point& b) { return a.x < b.x; }));
  std::swap(run[5], run[90000]);
  CHECK(thinned(run, 0.0, 99999.0, false, 800).size() == run.size());
}
