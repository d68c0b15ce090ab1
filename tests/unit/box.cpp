// Behaviour of the distribution box: balance, order, limits and the bound of one step.
#include "models/box.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstddef>
#include <cstdlib>
#include <limits>
#include <new>
#include <numeric>
#include <random>
#include <stdexcept>
#include <vector>

#include "models/constants.hpp"

using namespace restwell;

namespace {

std::size_t allocations = 0;

}  // namespace

void* operator new(std::size_t size) {
  ++allocations;
  if (void* memory = std::malloc(size)) return memory;
  throw std::bad_alloc{};
}
void* operator new(std::size_t size, const std::nothrow_t&) noexcept {
  ++allocations;
  return std::malloc(size);
}
void operator delete(void* memory) noexcept { std::free(memory); }
void operator delete(void* memory, std::size_t) noexcept { std::free(memory); }

namespace {

constexpr double m3_per_day_per_l_per_min = 1.44;

struct Result {
  BoxFlow box;
  std::vector<double> flows;
};

Result split(const std::vector<BoxOutlet>& outlets, double inflow,
             const std::vector<Tailwater>& tailwater, double dt_day = 0.0, BoxLid lid = {}) {
  Result result{{}, std::vector<double>(outlets.size())};
  result.box = split_flow(outlets, lid, inflow, tailwater, dt_day, result.flows);
  return result;
}

double sum(const Result& result) {
  return std::accumulate(result.flows.begin(), result.flows.end(), result.box.lid_m3_per_day);
}

// Size of what passes in all, the measure of rounding.
double gross(const Result& result, double inflow) {
  double total = inflow + result.box.lid_m3_per_day;
  for (const double flow : result.flows) total += std::abs(flow);
  return total;
}

struct RandomBox {
  std::vector<BoxOutlet> outlets;
  std::vector<Tailwater> tailwater;
  double dt_day;
};

class Draw {
 public:
  // The engine's numbers are the same everywhere; the library's distributions are not.
  double uniform(double low, double high) {
    return low + (high - low) * static_cast<double>(engine_()) / 4294967296.0;
  }
  bool chance(double probability) { return uniform(0.0, 1.0) < probability; }

 private:
  std::mt19937 engine_{7};
};

RandomBox random_box(Draw& draw, bool bounded) {
  RandomBox box{{}, {}, bounded ? std::pow(10.0, draw.uniform(-5.0, 0.0)) : 0.0};
  const int n = 1 + static_cast<int>(draw.uniform(0.0, 5.999));
  for (int i = 0; i < n; ++i) {
    box.outlets.push_back({{draw.uniform(0.05, 0.12), draw.uniform(0.55, 0.65)},
                           draw.uniform(0.0, 0.02),
                           draw.chance(0.2)});
    Tailwater behind;
    if (draw.chance(0.7)) {
      behind = {draw.uniform(-0.1, 0.25), draw.uniform(0.5, 4.0), draw.uniform(-0.1, 3.0)};
    }
    box.tailwater.push_back(behind);
  }
  return box;
}

double random_inflow(Draw& draw) {
  return draw.chance(0.1) ? 0.0 : std::pow(10.0, draw.uniform(-4.0, 3.0));
}

}  // namespace

TEST_CASE("what enters the box leaves it, to rounding") {
  Draw draw;
  for (const bool bounded : {false, true}) {
    for (int i = 0; i < 3000; ++i) {
      const RandomBox box = random_box(draw, bounded);
      const double inflow = random_inflow(draw);
      const Result result = split(box.outlets, inflow, box.tailwater, box.dt_day);
      CHECK(std::abs(sum(result) - inflow) <= 1e-14 * gross(result, inflow));
      CHECK(result.box.lid_m3_per_day >= 0.0);
    }
  }
}

TEST_CASE("level and flows agree with a plain bisection of the balance") {
  Draw draw;
  for (int i = 0; i < 1000; ++i) {
    const RandomBox box = random_box(draw, false);
    const double inflow = std::pow(10.0, draw.uniform(-2.0, 3.0));
    const BoxLid lid;
    const auto flow_at = [&](std::size_t k, double level_m) {
      const BoxOutlet& outlet = box.outlets[k];
      const double flow = submerged_flow_m3_per_day(outlet.opening, level_m - outlet.lip_m,
                                                    box.tailwater[k].level_m - outlet.lip_m);
      return outlet.check_valve ? std::max(flow, 0.0) : flow;
    };
    double low = 0.0, high = 10.0;
    for (int k = 0; k < 200; ++k) {
      const double level_m = 0.5 * (low + high);
      double outflow = seconds_per_day * 1.7 * lid.perimeter_m *
                       std::pow(std::max(level_m - lid.level_m, 0.0), 1.5);
      for (std::size_t j = 0; j < box.outlets.size(); ++j) outflow += flow_at(j, level_m);
      (outflow < inflow ? low : high) = level_m;
    }
    const Result result = split(box.outlets, inflow, box.tailwater);
    CHECK(std::abs(result.box.level_m - low) <= 1.1e-9);
    for (std::size_t j = 0; j < box.outlets.size(); ++j) {
      // Next to a pit's level the bisection itself leaves an outlet's flow open by this much.
      const double open = std::abs(flow_at(j, high + 1e-17) - flow_at(j, low - 1e-17));
      CHECK(std::abs(result.flows[j] - flow_at(j, low)) <=
            1e-6 * gross(result, inflow) + 2.0 * open);
    }
  }
}

TEST_CASE("with a step's bound level and flows agree with a plain bisection of the balance") {
  Draw draw;
  for (int i = 0; i < 2000; ++i) {
    const RandomBox box = random_box(draw, true);
    const double inflow = i % 5 == 0 ? 0.0 : std::pow(10.0, draw.uniform(-2.0, 2.0));
    const BoxLid lid;
    // (1) to (3) of models/box.hpp, written out.
    const auto flow_at = [&](std::size_t k, double level_m) {
      const BoxOutlet& outlet = box.outlets[k];
      const Tailwater& behind = box.tailwater[k];
      const double law = submerged_flow_m3_per_day(outlet.opening, level_m - outlet.lip_m,
                                                   behind.level_m - outlet.lip_m);
      if (outlet.check_valve && law <= 0.0) return 0.0;
      if (!(box.dt_day > 0.0 && behind.area_m2 > 0.0 && std::isfinite(behind.level_m))) return law;
      const double bound =
          behind.area_m2 * (std::max(level_m, outlet.lip_m) - behind.level_m) / box.dt_day +
          behind.intake_m3_per_day;
      return law > 0.0 ? std::min(law, std::max(bound, 0.0)) : std::max(law, std::min(bound, 0.0));
    };
    double low = 0.0, high = 10.0;
    for (const BoxOutlet& outlet : box.outlets) low = std::min(low, outlet.lip_m);
    for (int k = 0; k < 200; ++k) {
      const double level_m = 0.5 * (low + high);
      double outflow = seconds_per_day * 1.7 * lid.perimeter_m *
                       std::pow(std::max(level_m - lid.level_m, 0.0), 1.5);
      for (std::size_t j = 0; j < box.outlets.size(); ++j) outflow += flow_at(j, level_m);
      (outflow < inflow ? low : high) = level_m;
    }
    const Result result = split(box.outlets, inflow, box.tailwater, box.dt_day);
    CAPTURE(i, inflow, low, result.box.level_m);
    CHECK(std::abs(sum(result) - inflow) <= 1e-14 * gross(result, inflow));
    for (std::size_t j = 0; j < box.outlets.size(); ++j) {
      // A pit as near as 1e-7 m to the box counts as level with it: within that the flow is open.
      const double open = std::abs(flow_at(j, high + 2e-7) - flow_at(j, low - 2e-7));
      CHECK(std::abs(result.flows[j] - flow_at(j, low)) <=
            1e-6 * gross(result, inflow) + 2.0 * open + 1e-12);
    }
  }
}

TEST_CASE("more inflow lowers neither the level nor any outlet's flow") {
  Draw draw;
  for (int i = 0; i < 300; ++i) {
    const RandomBox box = random_box(draw, i % 2 == 0);
    Result last = split(box.outlets, 1e-3, box.tailwater, box.dt_day);
    for (double inflow = 2e-3; inflow < 1e3; inflow *= 1.7) {
      const Result next = split(box.outlets, inflow, box.tailwater, box.dt_day);
      // The levels are those of a search to 1e-9 m.
      CHECK(next.box.level_m >= last.box.level_m - 1e-9);
      for (std::size_t j = 0; j < next.flows.size(); ++j) {
        CHECK(next.flows[j] >= last.flows[j] - 1e-6 * gross(next, inflow));
      }
      last = next;
    }
  }
}

TEST_CASE("equal outlets share equally") {
  for (const double inflow : {1e-6, 0.3, 5.76, 60.0, 900.0}) {
    for (const double level_m : {-1.0, 0.004, 0.09}) {
      const std::vector<Tailwater> tailwater(3, Tailwater{level_m, 2.6, 0.4});
      const std::vector<BoxOutlet> outlets(3);
      for (const double dt_day : {0.0, 0.01}) {
        const Result result = split(outlets, inflow, tailwater, dt_day);
        for (const double flow : result.flows) {
          CHECK(flow == Approx((inflow - result.box.lid_m3_per_day) / 3.0).epsilon(1e-12));
        }
      }
    }
  }
}

TEST_CASE("flow is continuous where an outlet's crown drowns and where a pit reaches the lip") {
  std::vector<BoxOutlet> outlets(2);
  outlets[1].lip_m = 0.01;
  const BoxLid high_lid{1.0, 1.2};
  const double crown = free_flow_m3_per_day({}, 0.1016) + free_flow_m3_per_day({}, 0.0916);
  const std::vector<Tailwater> free_fall(2);
  const Result below = split(outlets, crown * (1.0 - 1e-9), free_fall, 0.0, high_lid);
  const Result above = split(outlets, crown * (1.0 + 1e-9), free_fall, 0.0, high_lid);
  CHECK(below.box.level_m == Approx(0.1016).epsilon(1e-8));
  CHECK(above.flows[0] == Approx(below.flows[0]).epsilon(1e-8));
  // Free fall is solved by Newton, tailwater by bracketing: both meet at the lip.
  std::vector<Tailwater> at_lip(2), over_lip(2);
  at_lip[0].level_m = 0.0;
  over_lip[0].level_m = 1e-9;
  const Result newton = split(outlets, 20.0, at_lip);
  const Result bracketed = split(outlets, 20.0, over_lip);
  CHECK(bracketed.box.level_m == Approx(newton.box.level_m).margin(1e-9));
  CHECK(bracketed.flows[0] == Approx(newton.flows[0]).epsilon(1e-8));
  CHECK(bracketed.flows[1] == Approx(newton.flows[1]).epsilon(1e-8));
}

TEST_CASE("nothing in, nothing behind: nothing moves") {
  std::vector<BoxOutlet> outlets(2);
  outlets[0].lip_m = 0.03;
  outlets[1].lip_m = 0.02;
  const Result result = split(outlets, 0.0, std::vector<Tailwater>(2), 0.1);
  CHECK(result.flows == std::vector<double>{0.0, 0.0});
  CHECK(result.box.level_m == 0.02);
  CHECK(result.box.lid_m3_per_day == 0.0);
}

TEST_CASE("without inflow a high pit feeds the other over the box") {
  const std::vector<BoxOutlet> outlets(2);
  std::vector<Tailwater> tailwater(2);
  tailwater[0].level_m = 0.02;
  const Result result = split(outlets, 0.0, tailwater);
  CHECK(result.flows[0] < 0.0);
  CHECK(result.flows[1] == Approx(-result.flows[0]).epsilon(1e-14));
  CHECK(result.box.level_m > 0.0);
  CHECK(result.box.level_m < 0.02);

  std::vector<BoxOutlet> valved = outlets;
  valved[0].check_valve = true;
  CHECK(split(valved, 0.0, tailwater).flows == std::vector<double>{0.0, 0.0});
  const Result fed = split(valved, 5.76, tailwater);
  CHECK(fed.flows[0] == 0.0);
  CHECK(fed.flows[1] == Approx(5.76).epsilon(1e-14));
  // The valve lets pass what the box pushes out.
  CHECK(split(valved, 200.0, tailwater).flows[0] > 0.0);
}

TEST_CASE("with nowhere to go the box rises over its lid") {
  const BoxLid lid{0.2, 1.2};
  // Pits far above the lid behind check valves.
  std::vector<BoxOutlet> outlets(2);
  for (BoxOutlet& outlet : outlets) outlet.check_valve = true;
  std::vector<Tailwater> tailwater(2);
  for (Tailwater& behind : tailwater) behind.level_m = 1.0;
  const double inflow = 20.0 * m3_per_day_per_l_per_min;
  const Result full = split(outlets, inflow, tailwater, 0.0, lid);
  CHECK(full.box.lid_m3_per_day == Approx(inflow).epsilon(1e-14));
  // 20 L/min over 1.2 m of gap, by the weir's own equation.
  CHECK(full.box.level_m ==
        Approx(0.2 + std::pow(20.0 / 60000.0 / (1.7 * 1.2), 2.0 / 3.0)).margin(1e-9));
  // Free outlets overwhelmed: the lid takes a part, outlets the rest.
  const Result flood = split(std::vector<BoxOutlet>(2), 2500.0, std::vector<Tailwater>(2));
  CHECK(flood.box.level_m > 0.2);
  CHECK(flood.box.lid_m3_per_day > 0.0);
  CHECK(sum(flood) == Approx(2500.0).epsilon(1e-14));
  CHECK(flood.box.lid_m3_per_day ==
        Approx(seconds_per_day * 1.7 * 1.2 * std::pow(flood.box.level_m - 0.2, 1.5)).epsilon(1e-6));
}

TEST_CASE("a pit above the box drains down to it in one long step and no further") {
  const double dt_day = 1.0 / 24.0;
  const double inflow = 4.0 * m3_per_day_per_l_per_min;
  const std::vector<BoxOutlet> outlets(2);
  for (const double intake : {0.0, 0.3, 5.0}) {
    for (const double area_m2 : {0.2, 2.6}) {
      std::vector<Tailwater> tailwater(2);
      tailwater[0] = {0.0275, area_m2, intake};  // 20 mm over the box at 4 L/min
      const auto level_after = [&](const Result& result) {
        return tailwater[0].level_m + dt_day * (result.flows[0] - intake) / area_m2;
      };
      // What the bound prevents: the instantaneous flow held for an hour.
      const Result unbounded = split(outlets, inflow, tailwater, 0.0);
      CHECK(level_after(unbounded) < unbounded.box.level_m - 0.02);
      for (int hour = 0; hour < 48; ++hour) {
        const Result result = split(outlets, inflow, tailwater, dt_day);
        const double target_m = std::max(result.box.level_m, outlets[0].lip_m);
        const double by_intake_m = tailwater[0].level_m - dt_day * intake / area_m2;
        const double after_m = level_after(result);
        if (tailwater[0].level_m > result.box.level_m) {
          // Only the intake may take it below the box.
          CHECK(after_m >= std::min(target_m, by_intake_m) - 1e-9);
        } else {
          CHECK(after_m <= target_m + 1e-9);
        }
        CHECK(std::abs(sum(result) - inflow) <= 1e-14 * gross(result, inflow));
        tailwater[0].level_m = after_m;
      }
    }
  }
}

TEST_CASE("filling in one long step stops at the box's level") {
  const double dt_day = 1.0 / 24.0;
  std::vector<BoxOutlet> outlets(2);
  outlets[1].lip_m = 0.03;
  std::vector<Tailwater> tailwater(2);
  tailwater[0] = {-0.005, 0.3, 0.5};
  const double inflow = 30.0 * m3_per_day_per_l_per_min;
  const Result result = split(outlets, inflow, tailwater, dt_day);
  const double after_m = tailwater[0].level_m + dt_day * (result.flows[0] - 0.5) / 0.3;
  CHECK(after_m == Approx(result.box.level_m).margin(1e-9));
  CHECK(result.flows[1] > 0.0);
  // A pit with room for the whole step stays in free fall, bit for bit.
  tailwater[0] = {-2.0, 3.0, 0.5};
  CHECK(split(outlets, inflow, tailwater, dt_day).flows ==
        split(outlets, inflow, std::vector<Tailwater>(2)).flows);
  // Water rising from the ground does not pass through an outlet above it.
  tailwater[0] = {-0.001, 0.3, -5.0};
  CHECK(split(outlets, inflow, tailwater, dt_day).flows[0] == 0.0);
}

TEST_CASE("flows scale with the lengths to the power 2.5") {
  std::vector<BoxOutlet> outlets(3);
  outlets[1].lip_m = 0.004;
  outlets[2].lip_m = 0.009;
  std::vector<Tailwater> tailwater(3);
  tailwater[0] = {0.012, 2.0, 0.4};
  const BoxLid lid{0.03, 1.2};
  for (const double a : {0.5, 3.0}) {
    auto scaled_outlets = outlets;
    for (BoxOutlet& outlet : scaled_outlets) {
      outlet.opening.diameter_m *= a;
      outlet.lip_m *= a;
    }
    const double factor = std::pow(a, 2.5);
    auto scaled_tailwater = tailwater;
    // Time scales with a^0.5 as gravity stays, so a volume's rate does with a^2.5.
    scaled_tailwater[0] = {a * 0.012, a * a * 2.0, factor * 0.4};
    for (const double dt_day : {0.0, 1e-3}) {
      for (const double inflow : {0.0, 3.0, 30.0, 300.0, 1500.0}) {
        const Result plain = split(outlets, inflow, tailwater, dt_day, lid);
        const Result scaled = split(scaled_outlets, factor * inflow, scaled_tailwater,
                                    std::sqrt(a) * dt_day, {a * 0.03, a * 1.2});
        CHECK(scaled.box.level_m == Approx(a * plain.box.level_m).margin(4e-9));
        for (std::size_t j = 0; j < 3; ++j) {
          CHECK(scaled.flows[j] ==
                Approx(factor * plain.flows[j]).margin(1e-6 * factor * gross(plain, inflow)));
        }
      }
    }
  }
}

TEST_CASE("trickles far below the smallest head are still shared out whole") {
  std::vector<BoxOutlet> outlets(2);
  for (BoxOutlet& outlet : outlets) outlet.lip_m = 0.05;
  for (const double inflow : {1e-12, 1e-30, 1e-200}) {
    const Result result = split(outlets, inflow, std::vector<Tailwater>(2));
    CHECK(result.flows[0] == Approx(0.5 * inflow).epsilon(1e-12).margin(0.0));
    CHECK(sum(result) == Approx(inflow).epsilon(1e-14).margin(0.0));
  }
}

TEST_CASE("a closed form for two outlets in the low-head limit") {
  // Heads of 2 to 4 % of the diameter: the full law stays within 1 % of the limit.
  const double k = low_head_coefficient_m_per_day({});
  const double inflow = 2.0 * k * 0.003 * 0.003;
  for (const double level_error_m : {0.0, 0.0005, 0.001, 0.002}) {
    std::vector<BoxOutlet> outlets(2);
    outlets[1].lip_m = level_error_m;
    const Result result = split(outlets, inflow, std::vector<Tailwater>(2));
    CHECK(result.flows[0] / inflow ==
          Approx(low_outlet_share(inflow, level_error_m, k)).epsilon(0.01));
  }
  CHECK(low_outlet_share(0.0, 0.0, k) == 0.5);
  CHECK(low_outlet_share(0.0, 0.001, k) == 1.0);
}

TEST_CASE("effective lip adds invert, tilt, leveler and growth") {
  LipPlacement placement;
  placement.invert_m = 0.05;
  placement.lip_growth_m = 0.002;
  CHECK(effective_lip_m(placement, 0.3, 0.3) == Approx(0.052).epsilon(1e-14));
  placement.x_m = 0.2;
  placement.y_m = -0.1;
  CHECK(effective_lip_m(placement, std::atan(0.01), std::atan(0.02)) ==
        Approx(0.052 + 0.002 - 0.002).epsilon(1e-14));
  // A leveler turned from its lowest to its highest setting lifts the lip by twice its radius.
  placement.leveler_eccentricity_m = 0.012;
  placement.leveler_angle_rad = std::acos(-1.0);
  CHECK(effective_lip_m(placement, 0.0, 0.0) == Approx(0.052 + 0.024).epsilon(1e-14));
  placement.leveler_angle_rad = std::acos(0.0);
  CHECK(effective_lip_m(placement, 0.0, 0.0) == Approx(0.052 + 0.012).epsilon(1e-14));
}

TEST_CASE("inflow that is no flow is refused") {
  const std::vector<BoxOutlet> outlets(1);
  const std::vector<Tailwater> tailwater(1);
  for (const double inflow :
       {-1.0, std::numeric_limits<double>::infinity(), std::numeric_limits<double>::quiet_NaN()}) {
    CHECK_THROWS_AS(split(outlets, inflow, tailwater), std::domain_error);
  }
  // A coefficient that is no number must not keep the search going for ever.
  std::vector<BoxOutlet> no_number(1);
  no_number[0].opening.discharge_coefficient = std::numeric_limits<double>::quiet_NaN();
  CHECK_THROWS_AS(split(no_number, 1.0, {Tailwater{0.01}}), std::domain_error);
}

TEST_CASE("splitting allocates nothing") {
  const std::vector<BoxOutlet> outlets(2);
  std::vector<Tailwater> tailwater(2);
  std::vector<double> flows(2);
  const std::size_t before = allocations;
  split_flow(outlets, {}, 5.0, tailwater, 0.0, flows);
  tailwater[0] = {0.02, 2.6, 0.3};
  split_flow(outlets, {}, 5.0, tailwater, 0.01, flows);
  CHECK(allocations == before);
}
