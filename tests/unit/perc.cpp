// A percolation test from its readings to the report.
#include "sim/perc.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <limits>

#include "models/soil.hpp"
#include "plots/csv.hpp"
#include "sim/perc_report.hpp"
#include "sim/scenario_yaml.hpp"
#include "tests/support/temporary_folder.hpp"

using namespace restwell;

namespace {

constexpr double inch_m = 0.0254;
constexpr double day_per_m_of_min_per_inch = 1.0 / 1440.0 / inch_m;

double mpi(double day_per_m) { return day_per_m / day_per_m_of_min_per_inch; }

PercOptions good_options() {
  PercOptions o;
  o.hole = "6 in";
  o.water = "6 in";
  o.presoak = "24 hours";
  o.interval = "30 min";
  o.drops = {"1 in", "7/8 in", "7/8 in"};
  return o;
}

PercResult result_of(const std::string& holes) {
  return evaluate_perc(parse_perc("holes:\n" + holes, "test.yaml"));
}

std::string hole(const std::string& name, const std::string& drop, const std::string& more = "") {
  return "  - {name: " + name + ", diameter: 6 in, presoak: 1 day, interval: 30 min, drops: [" +
         drop + ", " + drop + ", " + drop + "]" + (more.empty() ? "" : ", " + more) + "}\n";
}

bool any_contains(const std::vector<std::string>& texts, const std::string& part) {
  return std::ranges::any_of(
      texts, [&](const std::string& t) { return t.find(part) != std::string::npos; });
}

}  // namespace

TEST_CASE("options and file say the same") {
  const PercInput a = perc_from_options(good_options());
  const PercInput b = parse_perc(
      "holes:\n"
      "  - diameter: 6 in\n"
      "    water_depth: 6 in\n"
      "    presoak: 24 hours\n"
      "    interval: 30 min\n"
      "    drops: [1 in, 7/8 in, 7/8 in]\n",
      "test.yaml");
  REQUIRE(a.holes.size() == 1);
  REQUIRE(b.holes.size() == 1);
  CHECK(a.holes[0].name == b.holes[0].name);
  CHECK(a.holes[0].test.diameter_m == Approx(6 * inch_m));
  CHECK(a.holes[0].test.diameter_m == b.holes[0].test.diameter_m);
  CHECK(a.holes[0].test.drops_m == b.holes[0].test.drops_m);
  CHECK(a.holes[0].test.presoak_day == b.holes[0].test.presoak_day);
  CHECK(a.holes[0].test.interval_day == b.holes[0].test.interval_day);
  CHECK(a.holes[0].water_depth_given);
}

TEST_CASE("one hole: conductivity of the rate, the hole and the mean depth") {
  const PercResult r = evaluate_perc(perc_from_options(good_options()));
  CHECK(mpi(r.day_per_m) == Approx(30 / 0.875));
  const PercolationTest test{r.day_per_m, 3 * inch_m, (6 - 0.875 / 2) * inch_m};
  const double alphas[] = {36, 12, 4, 1};  // Elrick et al. 1989
  for (std::size_t c = 0; c < 4; ++c)
    CHECK(r.kfs_m_per_day[c] == Approx(kfs_from_percolation_m_per_day(test, alphas[c])));
  // No class stated: structured, and a range over all classes and the reading error.
  CHECK(r.kfs.middle_m_per_day == Approx(r.kfs_m_per_day[1]));
  CHECK(r.kfs.low_m_per_day == Approx(r.kfs_m_per_day[3] * (0.875 - 0.0625) / 0.875));
  CHECK(r.kfs.high_m_per_day == Approx(r.kfs_m_per_day[0] * (0.875 + 0.0625) / 0.875));

  PercOptions stated = good_options();
  stated.structure = "unstructured";
  const PercResult s = evaluate_perc(perc_from_options(stated));
  CHECK(s.kfs.middle_m_per_day == Approx(r.kfs_m_per_day[2]));
  CHECK(s.kfs.high_m_per_day / s.kfs.low_m_per_day == Approx(0.9375 / 0.8125));
}

TEST_CASE("several holes: mean of rates, and the conductivity that goes with it") {
  const PercResult r = result_of(hole("A", "2 in") + hole("B", "1 in") + hole("C", "1 1/2 in"));
  CHECK(mpi(r.day_per_m) == Approx((15.0 + 30.0 + 20.0) / 3));
  CHECK(mpi(r.spread.fastest_day_per_m) == Approx(15));
  CHECK(mpi(r.spread.slowest_day_per_m) == Approx(30));
  double inverse = 0.0;
  for (const HoleResult& h : r.holes) inverse += 1.0 / h.kfs.middle_m_per_day / 3;
  CHECK(r.kfs.middle_m_per_day == Approx(1 / inverse));
  CHECK_FALSE(any_contains(perc_notes(r), "different soils"));
  CHECK_FALSE(any_contains(perc_notes(r), "differs within a few feet"));
  CHECK(any_contains(perc_notes(result_of(hole("A", "2 in") + hole("B", "3/4 in"))),
                     "different soils"));
  CHECK(any_contains(perc_notes(result_of(hole("A", "2 in"))), "One hole"));
}

TEST_CASE("layers are weighted by thickness, slow ones left out, holes of one layer averaged") {
  // derived: (4 x 6 + 3 x 20)/7 = 12; the 40 min/inch layer does not count
  const PercResult r = result_of(hole("A", "5 in", "from_depth: 3 ft, to_depth: 7 ft") +
                                 hole("C", "3/4 in", "from_depth: 10 ft, to_depth: 12 ft") +
                                 hole("B1", "2 in", "from_depth: 7 ft, to_depth: 10 ft") +
                                 hole("B2", "1.2 in", "from_depth: 7 ft, to_depth: 10 ft"));
  REQUIRE(r.layers.size() == 3);
  CHECK(r.layers[1].name == "B1, B2");
  CHECK(mpi(r.layers[1].rate.day_per_m) == Approx(20));
  CHECK_FALSE(r.layers[2].counts);
  CHECK(mpi(r.day_per_m) == Approx(12));
  CHECK(r.counted_m == Approx(7 * 12 * inch_m));

  const PercResult slow = result_of(hole("A", "3/4 in", "thickness: 2 ft"));
  CHECK(slow.no_layer_counts);
  CHECK(mpi(slow.day_per_m) == Approx(40));
  CHECK(any_contains(perc_notes(slow), "none counts"));

  const PercResult gap = result_of(hole("A", "5 in", "from_depth: 3 ft, to_depth: 5 ft") +
                                   hole("B", "5 in", "from_depth: 7 ft, to_depth: 9 ft"));
  CHECK(any_contains(perc_notes(gap), "Between 5.0 ft and 7.0 ft"));
}

TEST_CASE("no drop at last gives bounds, not numbers") {
  PercOptions o = good_options();
  o.drops = {"1/8 in", "0 in", "0 in"};
  const PercResult r = evaluate_perc(perc_from_options(o));
  CHECK(r.at_least);
  CHECK(mpi(r.day_per_m) == Approx(480));
  CHECK(r.slowest_day_per_m == std::numeric_limits<double>::infinity());
  CHECK(r.kfs.low_m_per_day == 0.0);
  const Report report = perc_report(r);
  CHECK(report.answer[0].text.find("slower than 480 min/inch") == 0);
  const std::string text = report_text(report);
  CHECK(text.find("nan") == std::string::npos);
  CHECK(text.find("no drop could be read") != std::string::npos);
}

TEST_CASE("the report answers first, with both systems of units, and every fault has its words") {
  const PercResult r = evaluate_perc(perc_from_options(good_options()));
  const Report us = perc_report(r);
  CHECK(us.answer.front().topic == "Rate");
  // derived: 30/(7/8) min/inch, /2.54 min/cm
  CHECK(us.answer.front().text.find("34.3 min/inch (13.5 min/cm)") == 0);
  CHECK(us.answer[1].text.find("by the usual rule") == 0);
  PercResult metric = r;
  metric.input.units = UnitSystem::metric;
  CHECK(perc_report(metric).answer.front().text.find("13.5 min/cm (34.3 min/inch)") == 0);

  PercOptions o = good_options();
  o.presoak = "2 hours";
  o.interval = "20 min";
  o.drops = {"3/4 in", "1/2 in"};
  o.hole = "3 in";
  o.water = "12 in";
  const std::vector<std::string> notes = perc_notes(evaluate_perc(perc_from_options(o)));
  for (const char* part :
       {"Fewer than three", "still get smaller", "shorter than the rule's", "less than 4 hours",
        "so small that", "moves the rate by 12 %", "Narrower than", "asks for 6 in of water"}) {
    INFO(part);
    CHECK(any_contains(notes, part));
  }
  o.drops = {"1/2 in", "3/4 in"};
  CHECK(any_contains(perc_notes(evaluate_perc(perc_from_options(o))), "still get larger"));
  o.temperature = "5 degC";
  CHECK(any_contains(perc_notes(evaluate_perc(perc_from_options(o))), "1.52 times"));
}

TEST_CASE("the line for a site file is one a site file takes") {
  const auto line_of = [](const PercResult& r) {
    for (const AnswerLine& a : perc_report(r).answer)
      if (a.topic == "Site file") return a.text;
    return std::string();
  };
  const std::string site =
      "name: A\nstart: 2026-05-01\nhousehold: {occupants: 4}\ntank: {volume: 1000 gal}\n"
      "single_outlet: {to: A}\npits: [{name: A, diameter: 6 ft, depth: 8 ft, new: yes, "
      "filled_with_stone: yes}]\n";
  const PercResult one = evaluate_perc(perc_from_options(good_options()));
  const Scenario a = parse_scenario(site + line_of(one) + "\n", "a.yaml").scenario;
  CHECK(a.soil.layers.front().soil.kfs_m_per_day ==
        Approx(one.kfs.middle_m_per_day).epsilon(0.005));
  const PercResult layered = result_of(hole("A", "5 in", "from_depth: 3 ft, to_depth: 7 ft") +
                                       hole("B", "2 in", "from_depth: 7 ft, to_depth: 10 ft"));
  const Scenario b = parse_scenario(site + line_of(layered) + "\n", "b.yaml").scenario;
  REQUIRE(b.soil.layers.size() == 2);
  CHECK(b.soil.layers[0].to_depth_m == Approx(7 * 12 * inch_m));
  CHECK(b.soil.layers[1].soil.kfs_m_per_day ==
        Approx(layered.layers[1].kfs.middle_m_per_day).epsilon(0.005));
}

TEST_CASE("the shipped test is read, and its layers give what their readings say") {
  const PercResult r = evaluate_perc(load_perc(RESTWELL_SOURCE_DIR "/scenarios/perc_test.yaml"));
  // derived from the file: (4 x 10/2.125 + 3 x 20 + 3 x 10)/10
  CHECK(mpi(r.day_per_m) == Approx((4 * 10 / 2.125 + 60 + 30) / 10));
  CHECK(r.layers.size() == 4);
  for (const HoleResult& h : r.holes) CHECK(h.faults.empty());
}

TEST_CASE("csv files and figure fit together") {
  const PercResult r = result_of(hole("A", "2 in") + hole("\"B, big\"", "1 in"));
  const restwell::test::TemporaryFolder folder;
  write_perc_csv(r, folder.path);
  const plots::CsvTable readings = plots::read_csv(folder.path / "perc_readings.csv");
  CHECK(readings.rows.size() == 6);
  CHECK(plots::read_csv(folder.path / "perc_holes.csv").rows.size() == 2);
  for (const plots::Figure& f : perc_figures(r)) {
    CHECK(f.series.size() == 2);
    for (const plots::Series& s : f.series) {
      CHECK(readings.column(s.x_column) == 1);
      CHECK(readings.rows[0][readings.column(s.y_column)] == "15");
    }
  }
}
