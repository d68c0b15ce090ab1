// What the answer says of a site, word by word.
#include "sim/answer.hpp"

#include <catch2/catch.hpp>

#include "sim/report.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;
using Catch::Matchers::Contains;
using Catch::Matchers::StartsWith;

namespace {

Report report_of(const std::string& site) {
  const Scenario s = scenario_of(site);
  return run_report(run(s, clogging_cases(s.biomat)), {});
}

std::string line_of(const Report& report, const std::string& topic) {
  for (const AnswerLine& line : report.answer)
    if (line.topic == topic) return line.text;
  return "";
}

SiteText new_pit(const std::string& soil) {
  return {.tank = "{volume: 1000 gal, new: yes}", .start = "new: yes", .soil = soil, .years = 1};
}

std::string in_house(std::string site) {
  const std::string surface = "when_full: surface";
  return site.replace(site.find(surface), surface.size(), "when_full: house");
}

}  // namespace

TEST_CASE("a table that stands over the bottom all year does so on the days there are") {
  const Report report = report_of(one_pit(new_pit("{perc: 10 min/inch, water_table: 8 ft}")));
  CHECK_THAT(line_of(report, "Water table"), Contains("in the first year on 365 days;"));
}

TEST_CASE("two lengths that are shown alike are not called too near without a word") {
  const SiteText site = new_pit("{perc: 10 min/inch, water_table: 20 ft, separation: 100 ft}");
  const std::string line = line_of(report_of(one_pit(site)), "Water table");
  const std::string comes_to = "comes to ";
  const std::size_t at = line.find(comes_to) + comes_to.size();
  const std::string shown = line.substr(at, line.find(" below") - at);
  // Asked for: a little more than what there is.
  const double least_ft = std::stod(shown) + 0.04;
  SiteText nearly = site;
  nearly.soil =
      fmt::format("{{perc: 10 min/inch, water_table: 20 ft, separation: {} ft}}", least_ft);
  const std::string asked = line_of(report_of(one_pit(nearly)), "Water table");
  INFO(asked);
  CHECK(asked.find("just under " + shown + " below") != std::string::npos);
  CHECK(asked.find("Too near: " + shown + " is asked for") != std::string::npos);
  CHECK(line.find("just under") == std::string::npos);
}

TEST_CASE("groundwater over an inlet is told from sewage") {
  const auto notes = [](const char* depth) {
    std::string all;
    for (const std::string& note :
         report_of(in_house(one_pit(
                       new_pit(fmt::format("{{perc: 10 min/inch, water_table: {}}}", depth)))))
             .notes)
      all += note + "\n";
    return all;
  };
  CHECK_THAT(notes("1 ft"),
             Contains("East pit: the water table stands over its inlet on 365 days"));
  CHECK_THAT(notes("3.1 ft"), !Contains("over its inlet"));  // the inlet lies 3 ft down
}

TEST_CASE("a pit found full has no reserve from the start") {
  SiteText site = new_pit("{conductivity: 0.1 cm/day}");
  site.start = "measured: {level: 8 ft, drop: 0.1 in/day}";
  CHECK_THAT(line_of(report_of(one_pit(site)), "Overflow"),
             Contains("No reserve from the start: every pit"));
}

TEST_CASE("days of one month are said once") {
  // The groundwater of winter fills it whatever the clogging.
  const Scenario s = scenario_of(R"(name: Test site (invented)
start: 2026-05-01
years: 1
household: {occupants: 3}
tank: {volume: 1000 gal, new: yes}
single_outlet: {to: p}
trenches:
  - {name: p, length: 50 ft, width: 2 ft, gravel_depth: 1 ft, number: 3, new: yes}
soil: {perc: 10 min/inch, water_table: {mean: 4 ft, amplitude: 3.5 ft, high: 02-28}}
)");
  const RunResult r = run(s, clogging_cases(s.biomat));
  const Report report = run_report(r, {});
  const auto full = [&](std::size_t k) { return r.cases[k].pits[0].first_full; };
  REQUIRE(full(Cases::early) < full(Cases::late));
  const std::string month = day_words(report, full(Cases::expected));
  REQUIRE(day_words(report, full(Cases::early)) == month);
  REQUIRE(day_words(report, full(Cases::late)) == month);
  CHECK_THAT(line_of(report, "P field"), StartsWith("full: " + month + ". Then"));
}

TEST_CASE("only a layer twice as tight as the soil on it is told of, in two digits") {
  const auto tight = [](const char* conductivity) {
    return line_of(
        report_of(one_pit(new_pit(fmt::format(
            "{{layers: [{{to: 12 ft, conductivity: 100 cm/day}}, {{conductivity: {}}}]}}",
            conductivity)))),
        "Tight soil");
  };
  CHECK(tight("60 cm/day").empty());
  CHECK_THAT(tight("0.0211 cm/day"), Contains("lets through about 4700 times less"));
}

TEST_CASE("coarser soil near the bottom is told to hold water back, and only that") {
  const auto notes_on_coarse = [](const std::string& layers) {
    const Report report = report_of(one_pit(new_pit("{layers: [" + layers + "]}")));
    std::string found;
    for (const std::string& note : report.notes)
      if (note.find("gets coarser") != std::string::npos) found += note;
    return found;
  };
  const std::string fine = "perc: 40 min/inch, structure: unstructured";
  CHECK_THAT(notes_on_coarse("{to: 12 ft, " + fine + "}, {perc: 2 min/inch, structure: gravelly}"),
             Contains("below the bottom"));
  CHECK_THAT(notes_on_coarse("{to: 8 ft, " + fine + "}, {perc: 2 min/inch, structure: gravelly}"),
             Contains("over the bottom"));
  // Far below, coarse in name only, and coarse over fine.
  CHECK(notes_on_coarse("{to: 40 ft, " + fine + "}, {perc: 2 min/inch, structure: gravelly}")
            .empty());
  CHECK(notes_on_coarse("{to: 12 ft, " + fine + "}, {perc: 20 min/inch, structure: unstructured}")
            .empty());
  CHECK(notes_on_coarse("{to: 12 ft, perc: 2 min/inch, structure: gravelly}, {" + fine + "}")
            .empty());
}

TEST_CASE("a pit whose outlet is opened by the plan backs up into the box like any other") {
  const Report report = report_of(R"(name: Test site (invented)
start: 2026-05-01
years: 2
household: {occupants: 6}
tank: {volume: 1000 gal}
box:
  lid: 9 in
  outlets:
    - {name: A, to: old, invert: 0 in}
    - {name: B, to: fresh, invert: 0 in, capped: yes}
pits:
  - {name: old, diameter: 6 ft, depth: 8 ft, measured: {level: 7 ft, drop: 0.1 in/day}}
  - {name: fresh, diameter: 4 ft, depth: 4 ft, new: yes}
plan:
  - {date: 2026-06-01, outlet: B, capped: no}
soil: {perc: 120 min/inch}
)");
  const std::string fresh = line_of(report, "Fresh pit");
  INFO(fresh);
  CHECK_THAT(fresh, StartsWith("full: "));
  CHECK_THAT(fresh, Contains("Then it backs up into the box."));
}

TEST_CASE("a thick mat of scum that may stay is told beside the model's thinning one") {
  const auto pump_out = [](const char* found) {
    SiteText site;
    site.tank = fmt::format(
        "{{volume: 1250 gal, liquid_depth: 54 in, found: {}, "
        "pumped: 2022-07-20, pump_out: never}}",
        found);
    const Scenario s = scenario_of(one_pit(site));
    return run(s, clogging_cases(s.biomat));
  };
  const RunResult thin = pump_out("{sludge: 13 in, scum: 1 in}");
  const RunResult thick = pump_out("{sludge: 8 in, scum: 6 in}");
  REQUIRE(pump_due_day(thick) > pump_due_day(thin) + 60);
  CHECK(due_if_scum_stays(thin) == never);
  const int stays = due_if_scum_stays(thick);
  CHECK(stays < pump_due_day(thick) - 30);
  const double scum_m = thick.tank.front().layers.scum_outlet_m, mark_m = 0.30 * 54 * 0.0254;
  const auto sludge_m = [&](int day) {
    return thick.tank[static_cast<std::size_t>(day)].layers.sludge_outlet_m;
  };
  CHECK(sludge_m(stays) + scum_m >= mark_m);
  CHECK(sludge_m(stays - 1) + scum_m < mark_m);
  const Report report = run_report(thick, {});
  CHECK_THAT(line_of(report, "Pump-out"),
             Contains("If the scum stays as thick as it is now, by " + day_words(report, stays)));
}
