// The product's mound (models/groundwater) and the intake it leaves, against the reference: a year
// of water standing in a pit over an aquifer.
//
// The reference: the case's pond from day 0, the soil hydrostatic over the table before, an aquifer
// of the product's default thickness h0 with a tight base, its far side three times as far away as
// a year's water reaches, R = 1.5 sqrt(K h0 t/epsilon) (Cooper & Jacob 1946). Between full and
// residual content lies what makes the table's specific yield the product's epsilon.
#pragma once

#include "tests/reference/comparison/cases.hpp"

namespace restwell::comparison {

struct MoundOptions {
  double resolution = 0.5;
  int most_iterations = 3000;
};

struct Mound {
  double reference_m3_per_day = 0;  // at the year's end
  double law_m3_per_day = 0;        // the law with the mound of its own intake, as in the product
  double law_no_mound_m3_per_day = 0;
  double law_edge_m3_per_day = 0;  // the law with Thiem's mound at the pit's edge, to R
  // Over the undisturbed table: the reference's head under the pit's middle, at the aquifer's base
  // and at the height of that table.
  double base_rise_m = 0, table_rise_m = 0;
  double product_rise_m = 0;  // the product's mound for the reference's mean intake
  double theory_rise_m = 0;   // (1) for the same
  double seconds = 0;
  int iterations = 0;
};
// The case must have a water table. Throws std::runtime_error where the reference does not get to
// the end.
[[nodiscard]] Mound mound_after_a_year(const Case& c, const MoundOptions& options = {});

// What theory says of the head at the aquifer's base under a small pit (derived here). Images of a
// point source on top of a layer of thickness b with a tight base add up, at the base under it, to
// level flow from a well of radius b/e^C, C = .5772 (Euler). With the fringe above the table, which
// carries water as 1/alpha of full soil does, b = h0 + 1/alpha:
//     (b + m)^2 - b^2 = Q/(pi K) ln(R e^C/(b + m))                                        (1)
[[nodiscard]] double base_rise_by_theory_m(const Case& c, double intake_m3_per_day);

}  // namespace restwell::comparison
