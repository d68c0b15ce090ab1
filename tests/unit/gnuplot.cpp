#include "plots/gnuplot.hpp"

#include <stdlib.h>

#include <catch2/catch.hpp>

#include "plots/gnuplot_script.hpp"
#include "tests/support/sample_figures.hpp"
#include "tests/support/temporary_folder.hpp"

using namespace restwell::plots;
using namespace restwell::test;
using Catch::Matchers::Contains;

namespace {

Figure small_figure(const TemporaryFolder& folder, const std::string& csv) {
  write_text(folder.path / "data.csv", csv);
  Figure figure;
  figure.name = "small";
  figure.title = "Small";
  figure.series = {{"data.csv", "x", "y", "Curve", "", ""}};
  return figure;
}

std::string script_of(const Figure& figure, const TemporaryFolder& folder) {
  std::map<std::string, CsvTable> tables;
  for (const Series& series : figure.series) {
    tables[series.csv_file] = read_csv(folder.path / series.csv_file);
  }
  return gnuplot_script(figure, tables);
}

void check_picture_files(const std::filesystem::path& folder, const std::string& name) {
  INFO(name);
  const std::string svg = read_text(folder / (name + ".svg"));
  CHECK(svg.rfind("<?xml", 0) == 0);
  CHECK_THAT(svg, Contains("<svg") && Contains("</svg>"));
  CHECK(read_text(folder / (name + ".png")).rfind("\x89PNG\r\n\x1a\n", 0) == 0);
}

// PATH of this process, put back at the end.
class PathVariable {
 public:
  explicit PathVariable(const std::string& value) : before_(getenv("PATH")) {
    setenv("PATH", value.c_str(), 1);
  }
  ~PathVariable() { setenv("PATH", before_.c_str(), 1); }
  PathVariable(const PathVariable&) = delete;
  PathVariable& operator=(const PathVariable&) = delete;

 private:
  std::string before_;
};

}  // namespace

TEST_CASE("every kind of figure is drawn, in a folder with blanks and UTF-8 in its name") {
  const TemporaryFolder folder("results of 5 °C – it's 'new'; $(x)");
  const std::vector<Figure> figures = all_samples(folder.path);
  const DrawResult result = draw(figures, folder.path);
  CHECK(result.problem.empty());
  CHECK(result.files.size() == 3 * figures.size());
  for (const std::string& file : result.files) CHECK(std::filesystem::exists(folder.path / file));
  for (const Figure& figure : figures) check_picture_files(folder.path, figure.name);
}

TEST_CASE("the picture says what the figure says") {
  const TemporaryFolder folder;
  const Figure figure = pit_levels(folder.path, 3);
  REQUIRE(draw({figure}, folder.path).problem.empty());
  const std::string svg = read_text(folder.path / "pit_levels.svg");
  for (const char* words :
       {"Water standing in the two pits", "The east pit takes most of the flow",
        "Water above pit floor, ft", "Date", "East pit", "West pit", "overflow of the east pit",
        "first overflow", "lid of the west pit", "2010"}) {
    CHECK_THAT(svg, Contains(words));
  }
}

TEST_CASE("the script can be run again and names no folder") {
  const TemporaryFolder folder;
  REQUIRE(draw({tank_solids(folder.path)}, folder.path).problem.empty());
  const std::string script = read_text(folder.path / "tank_solids.gp");
  CHECK_THAT(script, !Contains(folder.path.string()));
  CHECK_THAT(script, Contains("set output 'tank_solids.svg'") &&
                         Contains("set output 'tank_solids.png'") &&
                         Contains("# (tank.csv: sludge_gal against date)"));
}

TEST_CASE("text is shown as it is") {
  CHECK(as_gnuplot_string("it's `date` @x \"q\" \\n a_b^c {d} 50%") ==
        "'it''s `date` @x \"q\" \\n a_b^c {d} 50%'");
  CHECK(as_gnuplot_string("two\nlines\tand") == "'two lines and'");

  const TemporaryFolder folder;
  Figure figure = small_figure(folder, "x,y\n1,2\n2,3\n");
  const std::string nasty = "it's `touch made_by_title` @x $(y) \"q\" \\n a_b^c {d} 50% 20 °C – <&";
  figure.title = nasty + "\nset output 'elsewhere'";
  figure.caption = figure.x_label = figure.y_label = figure.series[0].label = nasty;
  figure.levels = {{1.0, nasty}};
  figure.marks = {{"1.5", nasty}};
  for (const Kind kind : {Kind::lines, Kind::bars}) {
    figure.kind = kind;
    if (kind == Kind::bars) figure.marks.clear();
    REQUIRE(draw({figure}, folder.path).problem.empty());
    check_picture_files(folder.path, "small");
    CHECK_THAT(read_text(folder.path / "small.svg"),
               Contains("it's `touch made_by_title` @x $(y) \"q\" \\n a_b^c {d} 50% 20 °C – &lt;"));
    CHECK_FALSE(std::filesystem::exists(folder.path / "made_by_title"));
    CHECK_FALSE(std::filesystem::exists(folder.path / "elsewhere"));
  }
}

TEST_CASE("a backslash at the end of a value hides nothing") {
  const TemporaryFolder folder;
  Figure figure = small_figure(folder, "x,pit,y\n1,a\\,1\n2,a\\,2\n");
  figure.series[0].only_column = "pit";
  figure.title = figure.series[0].only_value = "a\\";
  CHECK(draw({figure}, folder.path).problem.empty());
}

TEST_CASE("names of bars are shown as they are") {
  const TemporaryFolder folder;
  Figure figure = small_figure(folder, "x,y\n\"100% 'a', %d\",2\nb_2,3\n");
  figure.kind = Kind::bars;
  REQUIRE(draw({figure}, folder.path).problem.empty());
  CHECK_THAT(read_text(folder.path / "small.svg"), Contains("100% 'a', %d") && Contains("b_2"));
}

TEST_CASE("without gnuplot the scripts are kept and the reader is told") {
  const TemporaryFolder folder;
  const std::vector<Figure> figures = {tank_solids(folder.path), clogging(folder.path)};
  write_text(folder.path / "clogging.svg", "of an older run");
  const TemporaryFolder nothing;
  const PathVariable path(nothing.path.string());
  const DrawResult result = draw(figures, folder.path);
  CHECK(result.problem ==
        "gnuplot is not installed: the pictures were not drawn; the scripts (*.gp) are in the "
        "folder");
  CHECK(result.files == std::vector<std::string>{"tank_solids.gp", "clogging.gp"});
  CHECK(std::filesystem::exists(folder.path / "clogging.gp"));
  CHECK_FALSE(std::filesystem::exists(folder.path / "clogging.svg"));
}

TEST_CASE("a failing gnuplot is told with its own words") {
  const TemporaryFolder folder;
  const TemporaryFolder bin;
  write_text(bin.path / "gnuplot",
             "#!/bin/sh\necho half > tank_solids.svg\necho 'no good' >&2\nexit 1\n");
  std::filesystem::permissions(bin.path / "gnuplot", std::filesystem::perms::owner_all);
  const std::vector<Figure> figures = {tank_solids(folder.path)};
  const PathVariable path(bin.path.string());
  const DrawResult result = draw(figures, folder.path);
  CHECK(result.problem == "gnuplot failed on tank_solids.gp: no good");
  CHECK(result.files == std::vector<std::string>{"tank_solids.gp"});
  CHECK_FALSE(std::filesystem::exists(folder.path / "tank_solids.svg"));
}

TEST_CASE("a figure without data is an empty frame that says so") {
  const TemporaryFolder folder;
  Figure figure = small_figure(folder, "x,y\n2001-01-01,\n");
  figure.x_is_date = true;
  figure.levels = {{1.0, "level"}};
  figure.marks = {{"2001-01-01", "mark"}};
  for (const Kind kind : {Kind::lines, Kind::bars}) {
    figure.kind = kind;
    REQUIRE(draw({figure}, folder.path).problem.empty());
    CHECK_THAT(read_text(folder.path / "small.svg"), Contains("no data") && Contains("Small"));
  }
  figure.series.clear();
  CHECK(draw({figure}, folder.path).problem.empty());
}

TEST_CASE("a curve without data among others is named in the key") {
  const TemporaryFolder folder;
  Figure figure = small_figure(folder, "x,y,z\n1,2,\n2,3,\n");
  figure.series.push_back({"data.csv", "x", "z", "Empty", "", ""});
  REQUIRE(draw({figure}, folder.path).problem.empty());
  CHECK_THAT(read_text(folder.path / "small.svg"), Contains("Empty (no data)"));
}

TEST_CASE("empty cells break the curve, rows of others do not") {
  const TemporaryFolder folder;
  Figure figure =
      small_figure(folder, "x,pit,y\n1,a,1\n1,b,9\n2,a,2\n2,b,\n3,a,\n4,a,4\n5,a,5\n6,a,\n7,a,7\n");
  figure.series[0].only_column = "pit";
  figure.series[0].only_value = "a";
  const std::string script = script_of(figure, folder);
  CHECK_THAT(script, Contains("$series1 << EOD\n1 1\n2 2\n\n4 4\n5 5\nEOD\n"
                              "$points1 << EOD\n7 7\nEOD\n"));
  CHECK_THAT(script, Contains("$points1 using 1:2 with points"));
}

TEST_CASE("the axes do what is asked") {
  const TemporaryFolder folder;
  Figure figure = small_figure(folder, "x,y\n1,12\n50,17\n");
  CHECK_THAT(script_of(figure, folder), Contains("set yrange [0:") && !Contains("logscale"));
  figure.y_from_zero = false;
  figure.y_downward = true;
  figure.x_log = true;
  CHECK_THAT(script_of(figure, folder),
             Contains("set yrange [17:12]") && Contains("set logscale x") &&
                 Contains("('1' 1, '2' 2, '5' 5, '10' 10, '20' 20, '50' 50)"));
  figure.kind = Kind::steps;
  CHECK_THAT(script_of(figure, folder), Contains("with steps"));
}

TEST_CASE("curves get direct labels where their ends are apart, else a key") {
  const TemporaryFolder folder;
  Figure figure = small_figure(folder, "x,y,z\n1,2,1\n2,9,4\n");
  figure.series.push_back({"data.csv", "x", "z", "Other", "", ""});
  CHECK_THAT(script_of(figure, folder), Contains("unset key") && Contains("set label 'Other'"));
  write_text(folder.path / "data.csv", "x,y,z\n1,2,1\n2,9,9\n");
  CHECK_THAT(script_of(figure, folder), Contains("set key at screen") && Contains("title 'Other'"));
}

TEST_CASE("of many marks a label that stands once is not lost") {
  const TemporaryFolder folder;
  Figure figure = tank_solids(folder.path);
  for (int day = 50; day < 7300; day += 50) {
    figure.marks.push_back({to_iso(first_day() + day_s * day, false), "pump-out"});
  }
  figure.marks.push_back({"2010-01-01", "replaced"});
  const std::string script = script_of(figure, folder);
  CHECK_THAT(script, Contains("set label 'replaced'") && Contains("set label 'pump-out'"));
}

TEST_CASE("styles differ in more than colour") {
  const TemporaryFolder folder;
  const std::string lines = script_of(clogging(folder.path), folder);
  CHECK_THAT(lines, Contains("lw 2 dt solid") && Contains("dt (12,4)") && Contains("dt (3,3)") &&
                        Contains("lw 1 dt solid"));
  CHECK_THAT(script_of(outlet_shares(folder.path), folder),
             Contains("fs solid 1") && Contains("fs pattern 4"));
}

TEST_CASE("mistakes of the caller are thrown with what is known") {
  const TemporaryFolder folder;
  const Figure good = small_figure(folder, "x,y\n1,2\n2,3\n");
  Figure bad = good;
  bad.series[0].y_column = "z";
  CHECK_THROWS_WITH(draw({bad}, folder.path), Contains("data.csv: no column \"z\""));
  bad = good;
  bad.series[0].only_column = "pit";
  CHECK_THROWS_WITH(draw({bad}, folder.path), Contains("no column \"pit\""));
  bad = good;
  bad.series[0].csv_file = "none.csv";
  CHECK_THROWS_WITH(draw({bad}, folder.path), Contains("none.csv: cannot be read"));
  bad = good;
  bad.name = "../up";
  CHECK_THROWS_WITH(draw({bad}, folder.path), Contains("only letters, digits and _"));
  bad = good;
  bad.x_is_date = true;
  CHECK_THROWS_WITH(draw({bad}, folder.path), Contains("\"1\" is no ISO date"));
  bad = good;
  bad.kind = Kind::bars;
  bad.marks = {{"7", "here"}};
  CHECK_THROWS_WITH(draw({bad}, folder.path), Contains("no bars at \"7\""));
  bad = small_figure(folder, "x,y\n1,2\n2,two\n");
  CHECK_THROWS_WITH(draw({bad}, folder.path), Contains("row 2") && Contains("\"two\""));
  CHECK_THROWS_AS(draw({good}, folder.path / "none"), std::runtime_error);
}

TEST_CASE("a series of points is dots for every row and no line") {
  const TemporaryFolder folder;
  Figure figure = small_figure(folder, "x,y\n1,2\n2,3\n3,5\n");
  const std::string lines = script_of(figure, folder);
  CHECK_THAT(lines, Contains("with lines"));
  CHECK_THAT(lines, !Contains("with points"));
  figure.series.front().points = true;
  const std::string dots = script_of(figure, folder);
  CHECK_THAT(dots, Contains("$points1 << EOD\n1 2\n2 3\n3 5\nEOD"));
  CHECK_THAT(dots, Contains("$points1 using 1:2 with points pt 7"));
  CHECK_THAT(dots, !Contains("with lines"));
}
