// The gnuplot script of one figure, with its data inside.
#pragma once

#include <map>
#include <string>

#include "plots/csv.hpp"
#include "plots/figure.hpp"

namespace restwell::plots {

// A gnuplot string that says text as it is: single quotes, inside which gnuplot replaces nothing.
// Control characters become blanks.
[[nodiscard]] std::string as_gnuplot_string(const std::string& text);

// The script that makes NAME.svg and NAME.png where it is run. tables: by Series::csv_file. Throws
// std::runtime_error for what cannot be drawn: a missing file or column, a cell that is no number
// or date, a mark where no bars are, a figure name that is no plain word.
[[nodiscard]] std::string gnuplot_script(const Figure& figure,
                                         const std::map<std::string, CsvTable>& tables);

}  // namespace restwell::plots
