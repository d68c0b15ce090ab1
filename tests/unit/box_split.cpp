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
    split.add_volume(std::sqrt(flow), flow * 0.5, volume, over);
    split_flow(outlets, lid, flow, none, 0.0, exact);
    INFO("flow " << flow << " m3/day");
    for (std::size_t i = 0; i < 3; ++i) {
      CHECK(volume[i] / (flow * 0.5) == Approx(exact[i] / flow).margin(2e-4));
    }
    CHECK(volume[0] + volume[1] + volume[2] + over == Approx(flow * 0.5).epsilon(1e-12));
    CHECK(over == 0.0);
  }
}

TEST_CASE("a step leaves as its two points do") {
  const BoxLid lid{0.2, 1.2};
  const FreeSplit split(three_outlets(), lid);
  const EffluentStep step{0.01, 5.0, {1.5, 3.0}, 0.4};
  std::vector<double> whole(4, 0.0), points(4, 0.0);
  split.add_step(step, 0.008, std::span(whole).first(3), whole[3]);  // the rest is another bin's
  split.add_volume(1.5, 0.016, std::span(points).first(3), points[3]);
  split.add_volume(3.0, 0.024, std::span(points).first(3), points[3]);
  for (std::size_t i = 0; i < 4; ++i) CHECK(whole[i] == Approx(points[i]).epsilon(1e-12));
  CHECK(whole[0] + whole[1] + whole[2] + whole[3] == Approx(0.04).epsilon(1e-12));
  // One point beyond the table.
  std::vector<double> high(4, 0.0);
  split.add_step({0.01, 400.0, {10.0, 55.0}, 0.5}, 0.01, std::span(high).first(3), high[3]);
  CHECK(high[3] > 0.0);
  CHECK(high[0] + high[1] + high[2] + high[3] == Approx(4.0).epsilon(1e-9));
}

TEST_CASE("more than the table holds is solved directly, the lid included") {
  const std::vector<BoxOutlet> outlets(1);
  const BoxLid lid{0.15, 1.2};
  const FreeSplit split(outlets, lid);
  std::vector<double> volume(1, 0.0);
  double over = 0.0;
  split.add_volume(std::sqrt(3000.0), 30.0, volume, over);  // 2080 L/min
  CHECK(over > 0.0);
  CHECK(volume[0] + over == Approx(30.0).epsilon(1e-9));
}

TEST_CASE("phases with equal boxes share one table, others do not") {
  Phase as_found, raised;
  as_found.site.outlets = raised.site.outlets = three_outlets();
  raised.site.outlets[0].lip_m = 0.01;
  const FreeSplits first = free_splits({as_found, raised, as_found});
  CHECK(first[0] == first[2]);
  CHECK(first[0] != first[1]);
  const FreeSplits second = free_splits({raised}, first);
  CHECK(second[0] == first[1]);
  Phase other_lid = as_found;
  other_lid.site.lid.level_m += 0.1;
  CHECK(free_splits({other_lid}, first)[0] != first[0]);
  Phase no_box = as_found;
  no_box.site.box_present = false;
  CHECK(free_splits({no_box, as_found}, first)[0] == nullptr);
}
