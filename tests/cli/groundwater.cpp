// A site with a high water table through the real program: answer, tables, CSV.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "plots/csv.hpp"
#include "tests/support/process.hpp"

using namespace restwell;
using namespace restwell::test;
using Json = nlohmann::ordered_json;

TEST_CASE("the answer says how near the water table comes, and the tables when and how much") {
  const TemporaryFolder folder;
  const auto out = folder.path / "out";
  const Finished done = restwell_program(
      {"run", "scenarios/high_water_table.yaml", "--years", "2", "--json", "--out", out.string()});
  REQUIRE(done.code == 0);
  const Json report = Json::parse(done.out);
  std::string answer;
  for (const auto& line : report["answer"])
    if (line["topic"] == "Water table") answer = line["text"];
  CHECK(answer.find("over the bottom of the deep pit") != std::string::npos);
  CHECK(answer.find("4.0 ft is asked for (common practice; the local code decides)") !=
        std::string::npos);
  const plots::CsvTable pits = plots::read_csv(out / "pits.csv");
  const std::size_t table = pits.column("water_table_over_bottom_ft"),
                    ground = pits.column("from_ground_gal"), pit = pits.column("pit"),
                    date = pits.column("date");
  double highest = -1e9, came_in = 0.0;
  std::string on;
  for (const auto& row : pits.rows) {
    if (row[pit] != "deep") continue;
    came_in += std::stod(row[ground]);
    if (std::stod(row[table]) <= highest) continue;
    highest = std::stod(row[table]);
    on = row[date];
  }
  // 13 ft deep, the table 10 ft down on March 25; a mound may add to it and move the day.
  CHECK(highest > 2.99);
  CHECK(highest < 4.0);
  CHECK(on >= "2027-02");
  CHECK(came_in > 0.0);
}
