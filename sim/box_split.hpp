// Shares of the box's outlets under free fall, tabulated once: no pit's water reaches a lip.
#pragma once

#include <memory>
#include <span>
#include <vector>

#include "models/box.hpp"
#include "sim/layout.hpp"
#include "sim/upstream.hpp"

namespace restwell {

class FreeSplit {
 public:
  FreeSplit(std::vector<BoxOutlet> outlets, const BoxLid& lid);

  [[nodiscard]] bool is_of(const SiteLayout& site) const {
    return site.box_present && site.outlets == outlets_ && site.lid == lid_;
  }

  // Adds to every outlet's volume and to the lid's what leaves at a flow, given by its root (of
  // m3/day); the added volumes sum to volume_m3 to rounding. Shares are interpolated linearly in
  // the root, in which they are smooth.
  void add_volume(double root_flow, double volume_m3, std::span<double> outlet_m3,
                  double& lid_m3) const;
  // The same for dt_day of a step.
  void add_step(const EffluentStep& step, double dt_day, std::span<double> outlet_m3,
                double& lid_m3) const;

 private:
  // Between two flows of the table: the shares at the lower one, a row further at the upper one.
  struct Between {
    const double* share;
    double low_m3, high_m3;
  };
  [[nodiscard]] Between between(double root_flow, double volume_m3) const;
  void add_beyond_table(double root_flow, double volume_m3, std::span<double> outlet_m3,
                        double& lid_m3) const;

  std::vector<BoxOutlet> outlets_;
  BoxLid lid_;
  double per_root_;            // nodes per root of flow
  std::vector<double> share_;  // flow after flow: every outlet, then the lid
  double dry_lid_root_ = 0.0;  // up to this one nothing leaves over the lid
};

// Of the site's open outlets; null if there is no box or no open outlet.
[[nodiscard]] std::unique_ptr<FreeSplit> free_split(const SiteLayout& site);

// One for each phase; equal boxes share theirs, with those made before too.
using FreeSplits = std::vector<std::shared_ptr<const FreeSplit>>;
[[nodiscard]] FreeSplits free_splits(const std::vector<Phase>& phases, const FreeSplits& made = {});

}  // namespace restwell
