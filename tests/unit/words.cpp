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

TEST_CASE("work on an outlet is told against the height it was found at") {
  Scenario s;
  s.pits.resize(1);
  s.pits[0].name = "east";
  s.box.present = true;
  s.box.outlets.resize(1);
  s.box.outlets[0].name = "A";
  s.box.outlets[0].pit = "east";
  const double in = 0.0254;
  const auto raised = [&](double found_in, double set_in) {
    s.box.outlets[0].placement.raised_m = found_in * in;
    PlannedWork work;
    work.raised_m = set_in * in;
    return work_words(s, work);
  };
  CHECK(raised(0, 0.5) == "outlet A (east pit) is set 0.500 in higher than found");
  CHECK(raised(0, -0.5) == "outlet A (east pit) is set 0.500 in lower than found");
  CHECK(raised(0, 0) == "outlet A (east pit) goes back to the height found");
  CHECK(raised(0.5, 0.75) ==
        "outlet A (east pit) is set 0.250 in higher than found (raised 0.750 in in all)");
  CHECK(raised(0.5, 0.5) ==
        "outlet A (east pit) goes back to the height found (raised 0.500 in in all)");
  CHECK(raised(0.5, 0) == "outlet A (east pit) is set 0.500 in lower than found");
}
