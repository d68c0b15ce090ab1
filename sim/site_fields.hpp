// The keys of what lies below the tank: box, soil, pits, and the work planned on them.
#pragma once

#include "sim/fields.hpp"

namespace restwell {

[[nodiscard]] Field box_field();
[[nodiscard]] Field soil_field(bool of_site);  // else of one pit
[[nodiscard]] Field pits_field();
[[nodiscard]] Field trenches_field();
[[nodiscard]] Field plan_field();

}  // namespace restwell
