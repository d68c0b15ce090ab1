// New pits: what is promised holds when run, and more pit never lasts less.
#include "sim/size.hpp"

#include <catch2/catch.hpp>

#include "models/us_units.hpp"
#include "tests/support/process.hpp"
#include "tests/support/size.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

constexpr double ft = us::foot_m;

RunResult rerun(const BuiltChoice& built) {
  // From the text, as a user would.
  return run(parse_scenario(built.text, "best_choice.yaml").scenario,
             main_cases(built.scenario.biomat));
}

void check_promise(const SizeResult& r) {
  REQUIRE(r.best);
  const RunResult again = rerun(r.best->built);
  const Choice& c = picked(r);
  for (std::size_t k = 0; k < Cases::first_partial; ++k) {
    const int life = c.household[k].value_or(r.look_day);
    INFO(again.cases[k].clog_case.name << ": promised " << life << " days");
    CHECK(all_new_full(r.best->built, again.cases[k]) >= life);
  }
  CHECK(all_new_full(r.best->built, again.cases[Cases::expected]) >= r.life_day);
}

}  // namespace

TEST_CASE("a bigger pit never has a shorter life, and late outlives expected outlives early") {
  struct Site {
    const char* name;
    std::string text;
  };
  SiteText layered;
  layered.soil =
      "{layers: [{to: 8 ft, perc: 8 min/inch}, {to: 11 ft, perc: 40 min/inch}, {perc: 12 "
      "min/inch}]}";
  SiteText near_water;
  near_water.soil = "{perc: 10 min/inch, water_table: 25 ft}";
  SiteText chance;
  chance.extra = "mode: random\nseed: 5\n";
  const std::vector<Site> sites = {{"one soil", two_pits({})},
                                   {"layers", two_pits(layered)},
                                   {"water table", two_pits(near_water)},
                                   {"chance", two_pits(chance)}};
  const std::vector<double> diameters = {5, 6.5, 9}, depths = {4, 6, 7.5, 10, 14};
  for (const Site& site : sites) {
    const Scenario s = scenario_of(site.text);
    constexpr int days = 4 * 365;
    const TankHistory history = tank_history(s, days);
    const PitPattern pattern = pit_pattern(s);
    const std::vector<ClogCase> cases = clogging_cases(s.biomat);
    // lives[case][count][diameter][depth]
    std::vector<int> lives;
    const auto at = [&](std::size_t c, std::size_t n, std::size_t i, std::size_t j) -> int& {
      return lives[((c * 2 + n) * diameters.size() + i) * depths.size() + j];
    };
    lives.resize(Cases::first_partial * 2 * diameters.size() * depths.size());
    for (std::size_t n = 0; n < 2; ++n) {
      const PitFeed feed = pit_feed(s, history, days, static_cast<int>(n) + 1);
      for (std::size_t c = 0; c < Cases::first_partial; ++c)
        for (std::size_t i = 0; i < diameters.size(); ++i)
          for (std::size_t j = 0; j < depths.size(); ++j)
            at(c, n, i, j) = life_day(s, new_pit(pattern, diameters[i] * ft, depths[j] * ft, "x"),
                                      feed, cases[c].biomat)
                                 .value_or(days);
    }
    for (std::size_t c = 0; c < Cases::first_partial; ++c)
      for (std::size_t n = 0; n < 2; ++n)
        for (std::size_t i = 0; i < diameters.size(); ++i)
          for (std::size_t j = 0; j < depths.size(); ++j) {
            INFO(site.name << ", case " << c << ", " << n + 1 << " of " << diameters[i] << " x "
                           << depths[j] << " ft");
            if (j > 0) CHECK(at(c, n, i, j) >= at(c, n, i, j - 1));
            if (i > 0) CHECK(at(c, n, i, j) >= at(c, n, i - 1, j));
            if (n > 0) CHECK(at(c, n, i, j) >= at(c, 0, i, j));
            CHECK(at(Cases::late, n, i, j) >= at(Cases::expected, n, i, j));
            CHECK(at(Cases::expected, n, i, j) >= at(Cases::early, n, i, j));
          }
    CHECK(at(Cases::expected, 0, 0, 0) < days);  // or nothing was compared
  }
}

TEST_CASE("one new pit re-run from its file lasts to the promised day") {
  for (const std::string& text : {two_pits({}), one_pit({})}) {
    SizeArguments a = small_question();
    set(a.diameters, "5 ft");
    const SizeResult r = sized(text, a);
    REQUIRE_FALSE(r.choices.empty());
    check_promise(r);
    // Alone it gets exactly what it was sized for: the very day.
    const auto& early = picked(r).household[Cases::early];
    REQUIRE(early);
    CHECK(all_new_full(r.best->built, r.best->run.cases[Cases::early]) == *early);
  }
}

TEST_CASE("two new pits, and old ones kept beside a new one, reach the promised life when re-run") {
  SizeArguments two = small_question();
  set(two.diameters, "5 ft");
  set(two.pits, "2");
  set(two.depths, "4 ft..10 ft by 1 ft");
  check_promise(sized(two_pits({}), two));
  SizeArguments keep = small_question();
  keep.old_pits = OldPits::keep;
  SiteText text;
  text.start = "measured: {level: 7 ft 6 in, drop: 2 in/day}";
  const SizeResult r = sized(two_pits(text), keep);
  check_promise(r);
  CHECK(r.best->leveler);
  CHECK(r.best->old_pits.size() == 2);
}

namespace {

// Runs what the search found for an old pit that is to serve so long; how many rests were longer
// than the shortest.
int checked_rests(const char* service) {
  SiteText text;
  text.start = "in_service: 4 years";
  text.extra = "limits: {ring_height: 1 ft}\n";
  const LoadedScenario site = parse_scenario(two_pits(text), "test.yaml");
  SizeArguments a = small_question();
  a.old_pits = OldPits::keep;
  a.service = service;
  const SizeQuestion q = size_question(a, site.scenario);
  const BuiltChoice plain =
      build_choice(site, pit_pattern(site.scenario), {6 * ft, 14 * ft, 1}, q.old_pits, {}, 7);
  const int days = longest_rest_day + rest_step_day + static_cast<int>(q.service_day) + 1;
  const TankHistory history = tank_history(site.scenario, days);
  const LevelerSetting setting =
      find_leveler_setting(plain.scenario, plain.new_outlets, history.week);
  const BuiltChoice raised =
      build_choice(site, pit_pattern(site.scenario), {6 * ft, 14 * ft, 1}, q.old_pits,
                   raising_work(site.scenario, setting, site.scenario.start), 7);
  const auto old = find_ready_days(raised, setting, history, q.service_day);
  REQUIRE(old.size() == 2);
  int searched = 0;
  for (const OldPitBack& o : old) {
    for (std::size_t c = 0; c < Cases::first_partial; ++c) {
      if (!o.ready_day[c]) continue;
      const auto full_after = [&](int rest) {
        // The plan as a user would write it, run from the start.
        std::vector<PlannedWork> work = raising_work(site.scenario, setting, site.scenario.start);
        work.push_back(
            back_work(site.scenario, setting, o.outlet, date_of(site.scenario.start, rest)));
        const BuiltChoice built =
            build_choice(site, pit_pattern(site.scenario), {6 * ft, 14 * ft, 1}, q.old_pits, work,
                         (rest + q.service_day) / 365.25);
        const RunResult r = run(built.scenario, {clogging_cases(built.scenario.biomat)[c]});
        for (int d = rest; d < r.days(); ++d)
          if (r.cases.front().days[o.pit][static_cast<std::size_t>(d)].full) return d - rest;
        return 1000000;
      };
      INFO("pit " << o.pit << ", case " << c << ", ready on day " << *o.ready_day[c]);
      CHECK(full_after(*o.ready_day[c]) >= q.service_day - 1);
      if (*o.ready_day[c] == shortest_rest_day) continue;
      CHECK(full_after(*o.ready_day[c] - rest_step_day) < q.service_day);
      ++searched;
    }
  }
  return searched;
}

}  // namespace

TEST_CASE("an old pit goes back once it lasts, and a month before it would not") {
  int searched = 0;
  for (const char* service : {"1 years", "13 months", "15 months", "18 months", "2 years"}) {
    searched = checked_rests(service);
    if (searched > 0) break;
  }
  CHECK(searched > 0);  // or only the shortest rest was seen
}

TEST_CASE("the least depth that lasts is taken") {
  SizeArguments a = small_question();
  set(a.diameters, "5 ft, 8 ft");
  const SizeResult r = sized(two_pits({}), a);
  REQUIRE_FALSE(r.choices.empty());
  for (const Choice& c : r.choices) {
    CHECK(c.household[Cases::expected].value_or(r.look_day) >= r.life_day);
    for (const TriedSize& t : r.tried) {
      if (t.size.diameter_m != c.size.diameter_m || t.size.depth_m >= c.size.depth_m) continue;
      REQUIRE(t.life_day);
      CHECK(*t.life_day < r.life_day);
    }
  }
}
