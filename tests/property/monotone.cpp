// What must be in order, over sites drawn at random: more of what fills a pit never fills it later.
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <random>
#include <string>

#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

constexpr int sites = 40;
constexpr double years = 5;

// One pit behind a tank that nobody pumps: a pump-out holds the flow back for days, and its date
// moves with everything.
struct OnePit {
  int occupants;
  double leak_gal, diameter_ft, depth_ft, perc_min_per_inch, growth, decay_per_day, level_ft;

  explicit OnePit(std::mt19937& random) {
    const auto part = [&random] { return static_cast<double>(random()) / 4294967296.0; };
    const auto log_even = [&part](double least, double most) {
      return least * std::pow(most / least, part());
    };
    occupants = 1 + static_cast<int>(part() * 6.0);
    leak_gal = part() < 0.5 ? 0.0 : log_even(1.0, 100.0);
    diameter_ft = log_even(3.0, 9.0);
    depth_ft = log_even(3.0, 15.0);
    perc_min_per_inch = log_even(2.0, 60.0);
    growth = log_even(0.5, 2.0);
    decay_per_day = log_even(0.01, 0.04);
    level_ft = 0.0;
  }

  [[nodiscard]] Scenario scenario() const {
    Scenario s = scenario_of(one_pit(
        {.household = fmt::format("occupants: {}, leak: {:.6g} gal/day", occupants, leak_gal),
         .tank = "{volume: 1000 gal, liquid_depth: 48 in, pumped: 2026-05-01, pump_out: never}",
         .depth = fmt::format("{:.6g} ft", depth_ft),
         .diameter = fmt::format("{:.6g} ft", diameter_ft),
         .start = "new: yes",
         .soil = fmt::format("{{perc: {:.6g} min/inch}}", perc_min_per_inch),
         .years = years}));
    s.biomat.beta_day_m2_per_kg *= growth;
    s.biomat.decay_20c_per_day = decay_per_day;
    return s;
  }
};

struct Dates {
  int full, leaves;
  double taken_m3;
};
Dates dates_of(const OnePit& site) {
  const CaseRun c = run_expected(site.scenario()).cases[0];
  return {day_or_beyond(c.pits[0].first_full), day_or_beyond(c.first_leaves), c.ledger.soil};
}

// change makes the pit's lot harder.
int check_never_later(unsigned seed, const std::function<void(OnePit&)>& change) {
  std::mt19937 random(seed);
  int moved = 0;
  for (int i = 0; i < sites; ++i) {
    const OnePit site(random);
    OnePit harder = site;
    change(harder);
    const Dates before = dates_of(site), after = dates_of(harder);
    INFO("site " << i << ": " << site.occupants << " people, leak " << site.leak_gal << " gal, "
                 << site.diameter_ft << " ft wide, " << site.depth_ft << " ft deep, "
                 << site.perc_min_per_inch << " min/inch, growth " << site.growth << ", decay "
                 << site.decay_per_day);
    CHECK(after.full <= before.full);
    CHECK(after.leaves <= before.leaves);
    if (after.full != before.full || after.leaves != before.leaves) ++moved;
  }
  return moved;  // an order among equals says nothing
}

}  // namespace

TEST_CASE("over drawn sites another person never lets a pit fill or overflow later") {
  CHECK(check_never_later(1, [](OnePit& s) { s.occupants += 1; }) > sites / 4);
}

TEST_CASE("over drawn sites a leak never lets a pit fill or overflow later") {
  CHECK(check_never_later(2, [](OnePit& s) { s.leak_gal += 40.0; }) > sites / 4);
}

TEST_CASE("over drawn sites slower soil never lets a pit fill or overflow later") {
  CHECK(check_never_later(3, [](OnePit& s) { s.perc_min_per_inch *= 1.3; }) > sites / 4);
}

TEST_CASE("over drawn sites a smaller pit never fills or overflows later") {
  CHECK(check_never_later(4, [](OnePit& s) { s.depth_ft *= 0.85; }) > sites / 4);
  CHECK(check_never_later(5, [](OnePit& s) { s.diameter_ft *= 0.85; }) > sites / 4);
}

TEST_CASE("over drawn sites faster clogging or slower recovery never lets a pit fill later") {
  CHECK(check_never_later(6, [](OnePit& s) { s.growth *= 1.3; }) > sites / 4);
  CHECK(check_never_later(7, [](OnePit& s) { s.decay_per_day *= 0.7; }) > sites / 4);
}
