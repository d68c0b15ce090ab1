// The mound under a pit against its mean intake, reckoned once for each cell of intake.
//
// Cells are 5 % wide and the mound runs straight in them: within 1e-4 of it, for it grows between
// the square root and the first power of the intake.
#pragma once

#include <map>

#include "models/groundwater.hpp"

namespace restwell {

class MoundCurve {
 public:
  MoundCurve(const GroundwaterParameters& groundwater, double bottom_area_m2,
             double conductivity_m_per_day)
      : groundwater_(groundwater),
        bottom_area_m2_(bottom_area_m2),
        conductivity_m_per_day_(conductivity_m_per_day) {}

  // mound_height_m at a mean intake; 0 for none.
  [[nodiscard]] double height_m(double intake_m3_per_day);

 private:
  [[nodiscard]] double at_node_m(int k);

  GroundwaterParameters groundwater_;
  double bottom_area_m2_, conductivity_m_per_day_;
  std::map<int, double> known_m_;                        // mound at the nodes asked for
  double low_m3_per_day_ = 0.0, high_m3_per_day_ = 0.0;  // the cell last asked for
  double low_m_ = 0.0, high_m_ = 0.0;                    // mound at its ends
};

}  // namespace restwell
