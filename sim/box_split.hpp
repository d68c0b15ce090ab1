// Shares of the box's outlets under free fall, tabulated once: no pit's water reaches a lip.
#pragma once

#include <memory>
#include <span>
#include <vector>

#include "models/box.hpp"
#include "sim/layout.hpp"

namespace restwell {

class FreeSplit {
 public:
  FreeSplit(std::vector<BoxOutlet> outlets, const BoxLid& lid);

  // Adds what leaves over dt to every outlet's volume and to the lid's; the added volumes sum to
  // flow dt to rounding. flow: the mean over dt, about which it varies by the standard deviation:
  // an outlet's flow is taken to the second order about the mean. Shares are interpolated linearly
  // in sqrt(flow), in which they are smooth.
  void add_volume(double flow_m3_per_day, double deviation_m3_per_day, double dt_day,
                  std::span<double> outlet_m3, double& lid_m3) const;

 private:
  struct Node {
    double share;
    double half_bend_day_per_m3;  // half of the second derivative of an outlet's flow by the inflow
  };
  std::vector<BoxOutlet> outlets_;
  BoxLid lid_;
  double root_step_;        // of sqrt(flow)
  std::vector<Node> node_;  // flow after flow: every outlet, then the lid
};

// Of the site's open outlets; null if there is no box or no open outlet.
[[nodiscard]] std::unique_ptr<FreeSplit> free_split(const SiteLayout& site);

}  // namespace restwell
