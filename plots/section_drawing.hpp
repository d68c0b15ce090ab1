// A cut through house, tank, box and pits as SVG text: widths of the parts, depths and water to one
// scale, the distances between them not. Neutral data: knows no physics.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "plots/axis.hpp"
#include "plots/svg.hpp"

namespace restwell::plots {

// Depths are below ground, heights over the part's own bottom.
struct SectionPart {
  enum class Kind { house, tank, box, pit, trenches } kind = Kind::pit;
  std::string name;
  std::vector<std::string> notes;  // under the name
  double width_m = 1.0;            // of one trench, if trenches
  int count = 1;                   // trenches
  double top_m = 0.0, inlet_m = 0.0, bottom_m = 1.0;
  double water_m = 0.0;
  std::optional<double> stain_m;                      // highest water seen
  double lining_inner_m = 0.0, lining_outer_m = 0.0;  // widths; 0: no lining
  bool filled_with_stone = false;                     // inside of the lining, too
  double sludge_m = 0.0, scum_m = 0.0;                // tank
  bool inlet_baffle = true, outlet_baffle = true;     // tank
  double baffle_m = 0.0;                              // tank: depth of its mouth in the water
  int compartments = 1;                               // tank
};

struct Section {
  PictureWords words;
  std::vector<SectionPart> parts;  // from left to right, as the water goes
  std::vector<Tick> depths;        // scale at the left: depth below ground [m]
  double pipe_m = 0.3;             // depth of the pipes that lead on from the box
  std::optional<double> water_table_m;
  std::string water_table_label;
};

// Parts stand in one row of width_px if there is room at a legible scale, else in more.
[[nodiscard]] std::string section_drawing(const Section& section, double width_px);

}  // namespace restwell::plots
