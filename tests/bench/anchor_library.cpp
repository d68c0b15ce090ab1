// The anchor's equations for other languages: the same code, so that only the solvers differ.
#include "tests/bench/anchor_pit.hpp"

namespace {
const restwell::bench::AnchorPit& pit() {
  static const restwell::bench::AnchorPit one;
  return one;
}
}  // namespace

extern "C" {
int anchor_unknowns() { return static_cast<int>(pit().unknowns()); }
int anchor_bins() { return static_cast<int>(pit().bin_share.size()); }
void anchor_start(double* y) {
  const std::vector<double> start = pit().start();
  std::copy(start.begin(), start.end(), y);
}
void anchor_rate(int bin, const double* y, double* dy) {
  pit().rate(pit().inflow_m3_per_day(static_cast<std::size_t>(bin)), y, dy);
}
}
