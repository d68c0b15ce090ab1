// The product's mound (models/groundwater) and the intake it leaves, against the reference: water
// standing in a pit over an aquifer for a year.
//
// The aquifer has the product's default thickness h0 and a tight base. After t the flow near a
// source is that of a steady state whose table is not disturbed at (Cooper & Jacob 1946)
//     R = 1.5 sqrt(K h0 t/epsilon)                                                          (1)
// so the reference is solved for a steady state with its far side there. Whether that is fair shows
// where the year itself is run: pond from day 0, soil hydrostatic over the table before, far side
// at 3 R, and between full and residual content what makes the table's specific yield the product's
// epsilon. The solver does not get through the year with every pit.
#pragma once

#include "tests/reference/comparison/cases.hpp"

namespace restwell::comparison {

struct Mound {
  double reference_m3_per_day = 0;
  double law_m3_per_day = 0;  // with the product's mound of the law's own intake, as in the product
  double law_edge_m3_per_day = 0;  // with Dupuit's mound at the pit's edge, to R
  double law_no_mound_m3_per_day = 0;
  // Over the undisturbed table: the reference's head under the pit's middle, at the aquifer's base
  // and at the height of that table.
  double base_rise_m = 0, table_rise_m = 0;
  double product_rise_m = 0;  // the product's mound for the reference's intake
  double theory_rise_m = 0;   // (2) for the same
};
// Below: the case must have a water table. Throw std::runtime_error where the reference finds no
// solution.
[[nodiscard]] Mound mound_of(const Case& c, double resolution = 1.0);

// The reference's intake [m3/day] at the end of the year itself.
[[nodiscard]] double intake_after_a_year_m3_per_day(const Case& c, double resolution = 0.5,
                                                    int most_iterations = 1200);

// What theory says of the head at the aquifer's base under a small pit (derived here). Images of a
// point source on top of a layer of thickness b with a tight base add up, at the base under it, to
// level flow from a well of radius b/e^C, C = .5772 (Euler). With the fringe above the table, which
// carries water as 1/alpha of full soil does, b = h0 + 1/alpha:
//     (b + m)^2 - b^2 = Q/(pi K) ln(R e^C/(b + m))                                        (2)
[[nodiscard]] double base_rise_by_theory_m(const Case& c, double intake_m3_per_day);
// The same of the product's mound: Hantush's at the middle of a disc is Dupuit's from a well of
// radius a/e^(1/2), without a fringe.
[[nodiscard]] double product_rise_by_theory_m(const Case& c, double intake_m3_per_day);

}  // namespace restwell::comparison
