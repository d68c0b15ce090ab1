#include "sim/box_split.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

using namespace restwell;

namespace {

std::vector<BoxOutlet> three_outlets() {
  std::vector<BoxOutlet> outlets(3);
  outlets[1].lip_m = 0.003175;
  outlets[2].lip_m = 0.00635;
  return outlets;
}

}  // namespace

TEST_CASE("the tabulated shares follow the box's own solution") {
  const std::vector<BoxOutlet> outlets = three_outlets();
  const BoxLid lid{0.2, 1.2};
  const FreeSplit split(outlets, lid);
  const std::vector<Tailwater> none(3);
  std::vector<double> exact(3);
  for (double flow = 0.01; flow < 140.0; flow *= 1.13) {
    std::vector<double> volume(3, 0.0);
    double over = 0.0;
    split.add_volume(flow, 0.0, 0.5, volume, over);
    split_flow(outlets, lid, flow, none, 0.0, exact);
    INFO("flow " << flow << " m3/day");
    for (std::size_t i = 0; i < 3; ++i) {
      CHECK(volume[i] / (flow * 0.5) == Approx(exact[i] / flow).margin(2e-4));
    }
    CHECK(volume[0] + volume[1] + volume[2] + over == Approx(flow * 0.5).epsilon(1e-12));
    CHECK(over == 0.0);
  }
}

TEST_CASE("a step whose flow runs along a straight line is shared as its parts are") {
  const BoxLid lid{0.2, 1.2};
  const FreeSplit split(three_outlets(), lid);
  const double mean = GENERATE(0.5, 2.0, 8.0, 40.0);
  const double change = 0.6 * mean;  // a surge head changes by 30 % in a step
  const auto volumes = [&](int parts, double deviation_of_part) {
    std::vector<double> volume(4, 0.0);
    for (int k = 0; k < parts; ++k) {
      const double flow = mean + change * ((k + 0.5) / parts - 0.5);
      split.add_volume(flow, deviation_of_part, 1.0 / parts, std::span(volume).first(3), volume[3]);
    }
    return volume;
  };
  const std::vector<double> fine = volumes(1000, 0.0), plain = volumes(1, 0.0),
                            bent = volumes(1, change / std::sqrt(12.0));
  double plain_error = 0.0, bent_error = 0.0;
  for (std::size_t i = 0; i < 4; ++i) {
    plain_error = std::max(plain_error, std::abs(plain[i] - fine[i]));
    bent_error = std::max(bent_error, std::abs(bent[i] - fine[i]));
    CHECK(bent[i] >= 0.0);
  }
  INFO("flow " << mean << " m3/day, error " << plain_error << " without, " << bent_error);
  CHECK(bent_error < 2e-3 * mean);
  // At .5 m3/day the second outlet begins within the step: there the second order says nothing.
  if (mean > 1.0) CHECK(bent_error < std::max(0.5 * plain_error, 1e-4 * mean));
  CHECK(bent[0] + bent[1] + bent[2] + bent[3] == Approx(mean).epsilon(1e-12));
}

TEST_CASE("more than the table holds is solved directly, the lid included") {
  const std::vector<BoxOutlet> outlets(1);
  const BoxLid lid{0.15, 1.2};
  const FreeSplit split(outlets, lid);
  std::vector<double> volume(1, 0.0);
  double over = 0.0;
  split.add_volume(3000.0, 0.0, 0.01, volume, over);  // 2080 L/min
  CHECK(over > 0.0);
  CHECK(volume[0] + over == Approx(30.0).epsilon(1e-9));
}
