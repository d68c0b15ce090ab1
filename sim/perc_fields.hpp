// Every key of a file of percolation readings.
#pragma once

#include "sim/fields.hpp"

namespace restwell {

// The file as one field of kind map.
[[nodiscard]] const Field& perc_file_field();

}  // namespace restwell
