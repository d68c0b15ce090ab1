#include "plots/csv.hpp"

#include <catch2/catch.hpp>
#include <limits>

#include "tests/support/temporary_folder.hpp"

using restwell::plots::Cell;
using restwell::plots::CsvWriter;
using restwell::plots::read_csv;
using restwell::test::read_text;
using restwell::test::TemporaryFolder;
using restwell::test::write_text;

TEST_CASE("a file appears whole on close, under a temporary name before") {
  const TemporaryFolder folder;
  const auto path = folder.path / "daily.csv";
  CsvWriter csv(path, {"date", "pit", "level_ft"});
  csv.row({"2001-05-03", "east", 4.25});
  CHECK_FALSE(std::filesystem::exists(path));
  csv.row({"2001-05-04", "west", 3LL});
  csv.close();
  CHECK(read_text(path) == "date,pit,level_ft\n2001-05-03,east,4.25\n2001-05-04,west,3\n");
  CHECK_FALSE(std::filesystem::exists(folder.path / "daily.csv.part"));
  CHECK_THROWS_AS(csv.row({"2001-05-05", "west", 3LL}), std::runtime_error);
}

TEST_CASE("an unfinished file leaves the older one alone") {
  const TemporaryFolder folder;
  const auto path = folder.path / "daily.csv";
  write_text(path, "old\n");
  {
    CsvWriter csv(path, {"a"});
    csv.row({1.0});
    const CsvWriter moved(std::move(csv));
  }
  CHECK(read_text(path) == "old\n");
  CHECK_FALSE(std::filesystem::exists(folder.path / "daily.csv.part"));
}

TEST_CASE("numbers are shortest and read back to the same value") {
  const TemporaryFolder folder;
  const auto path = folder.path / "n.csv";
  const double third = 1.0 / 3.0;
  CsvWriter csv(path, {"a", "b", "c", "d"});
  csv.row({0.1, third, -0.0, 1e-7});
  csv.row({std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity(),
           std::numeric_limits<long long>::min(), std::numeric_limits<double>::lowest()});
  csv.close();
  CHECK(read_text(path) ==
        "a,b,c,d\n0.1,0.3333333333333333,0,1e-07\n"
        ",,-9223372036854775808,-1.7976931348623157e+308\n");
  CHECK(std::stod(read_csv(path).rows.at(0).at(1)) == third);
}

TEST_CASE("text is quoted when needed and read back") {
  const TemporaryFolder folder;
  const auto path = folder.path / "t.csv";
  const std::vector<std::string> texts = {"plain", "a,b", "say \"hm\"", "two\nlines", "20 °C – ok"};
  CsvWriter csv(path, {"a,1", "b"});
  for (const std::string& text : texts) csv.row({text, ""});
  csv.close();
  CHECK(read_text(path) ==
        "\"a,1\",b\nplain,\n\"a,b\",\n\"say \"\"hm\"\"\",\n\"two\nlines\",\n20 °C – ok,\n");
  const auto table = read_csv(path);
  REQUIRE(table.rows.size() == texts.size());
  for (std::size_t i = 0; i < texts.size(); ++i) CHECK(table.rows[i][0] == texts[i]);
  CHECK(table.column("b") == 1);
}

TEST_CASE("a lone empty cell is still a row") {
  const TemporaryFolder folder;
  CsvWriter csv(folder.path / "one.csv", {"a"});
  csv.row({""});
  csv.close();
  CHECK(read_csv(folder.path / "one.csv").rows.size() == 1);
}

TEST_CASE("mistakes are named") {
  using Catch::Matchers::Contains;
  const TemporaryFolder folder;
  CsvWriter csv(folder.path / "x.csv", {"a", "b"});
  CHECK_THROWS_WITH(csv.row({1.0}), Contains("x.csv") && Contains("1 cells for 2 columns"));
  csv.close();
  CHECK_THROWS_WITH(CsvWriter(folder.path / "none" / "x.csv", {"a"}),
                    Contains("cannot be written"));
  CHECK_THROWS_WITH(CsvWriter(folder.path / "y.csv", {}), Contains("no columns"));
  CHECK_THROWS_WITH(read_csv(folder.path / "none.csv"), Contains("none.csv: cannot be read"));
  CHECK_THROWS_WITH(read_csv(folder.path / "x.csv").column("c"),
                    Contains("no column \"c\"; it has: a, b"));
  write_text(folder.path / "bad.csv", "a,b\r\n1,2\r\n3\r\n");
  CHECK_THROWS_WITH(read_csv(folder.path / "bad.csv"), Contains("line 3: 1 cells for 2 columns"));
  write_text(folder.path / "open.csv", "a\n\"1\n");
  CHECK_THROWS_WITH(read_csv(folder.path / "open.csv"), Contains("quote is not closed"));
  write_text(folder.path / "empty.csv", "");
  CHECK_THROWS_WITH(read_csv(folder.path / "empty.csv"), Contains("is empty"));
}
