#include "sim/flow_histogram.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>

namespace restwell {
namespace {

// Lower ends of the histogram's bins; the first and the last one are open.
const std::array<double, FlowHistogram::bins + 1> bin_edge = [] {
  std::array<double, FlowHistogram::bins + 1> lower{};
  for (int b = 1; b < FlowHistogram::bins; ++b) {
    lower[static_cast<std::size_t>(b)] =
        FlowHistogram::lowest_m3_per_day *
        std::pow(10.0, static_cast<double>(b) / FlowHistogram::per_decade);
  }
  lower.back() = std::numeric_limits<double>::infinity();
  return lower;
}();
// A number's bits begin with its doublings and their 64ths. By those, the bin in which they begin:
// each is narrower than a bin, so that the number itself is there or in the next one.
constexpr std::uint64_t leading(double x) { return std::bit_cast<std::uint64_t>(x) >> 46; }
constexpr std::uint64_t lowest_leading = leading(FlowHistogram::lowest_m3_per_day);
constexpr std::size_t doublings = 18;  // 60 bins are 16.6 doublings
const std::array<std::uint8_t, 64 * doublings> bin_by_leading = [] {
  std::array<std::uint8_t, 64 * doublings> bins{};
  for (std::size_t i = 0; i < bins.size(); ++i) {
    const double from = std::bit_cast<double>((lowest_leading + i) << 46);
    while (bins[i] + 1 < FlowHistogram::bins && from >= bin_edge[bins[i] + 1u]) ++bins[i];
  }
  return bins;
}();

}  // namespace

void FlowHistogram::add(const EffluentStep& step) {
  if (!(step.flow_m3_per_day > 0.0)) return;
  const double a = step.root_flow[0] * step.root_flow[0], b = step.root_flow[1] * step.root_flow[1];
  // Volume over flow is time.
  const double first = step.first_share * b, second = (1.0 - step.first_share) * a;
  const double first_day = step.dt_day * first / (first + second);
  add(a, first_day);
  add(b, step.dt_day - first_day);
}

void FlowHistogram::add(double flow_m3_per_day, double dt_day) {
  const std::uint64_t over = std::max(leading(flow_m3_per_day), lowest_leading) - lowest_leading;
  std::size_t bin = bin_by_leading[std::min<std::uint64_t>(over, bin_by_leading.size() - 1)];
  bin += flow_m3_per_day >= bin_edge[bin + 1] ? 1 : 0;
  day[bin] += dt_day;
}

void FlowHistogram::add(const FlowHistogram& other) {
  for (std::size_t b = 0; b < bins; ++b) day[b] += other.day[b];
}

double FlowHistogram::bin_middle_m3_per_day(int bin) const {
  return lowest_m3_per_day * std::pow(10.0, (bin + 0.5) / per_decade);
}

}  // namespace restwell
