// Names of pits and drain fields as they are said.
#include "sim/words.hpp"

#include <catch2/catch.hpp>

using namespace restwell;

namespace {

std::string said(const std::string& name, bool trench) {
  PitConfig pit;
  pit.name = name;
  if (trench) pit.geometry.trench = TrenchPlan{};
  return pit_label(pit);
}

}  // namespace

TEST_CASE("a pit is called a pit, a drain field a field, and no name says it twice") {
  CHECK(said("east", false) == "east pit");
  CHECK(said("Dry well", false) == "Dry well");
  CHECK(said("pit 2", false) == "pit 2");
  CHECK(said("east", true) == "east field");
  CHECK(said("field", true) == "field");
  CHECK(said("upper trenches", true) == "upper trenches");
  CHECK(said("new pit side", true) == "new pit side field");
}

TEST_CASE("a name is looked up in the site") {
  Scenario s;
  s.pits.resize(2);
  s.pits[0].name = "east";
  s.pits[1].name = "north";
  s.pits[1].geometry.trench = TrenchPlan{};
  CHECK(pit_label(s, "east") == "east pit");
  CHECK(pit_label(s, "north") == "north field");
  CHECK(has_drain_field(s));
  s.pits.pop_back();
  CHECK_FALSE(has_drain_field(s));
}
