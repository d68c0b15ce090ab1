#include "sim/alternatives.hpp"

namespace restwell {

const std::vector<Alternative>& alternatives() {
  static const std::vector<Alternative> all = [] {
    std::vector<Alternative> list{
        {"pits", "in_service", "", {"new", "measured"}},
        {"pits", "measured", "", {"new", "in_service"}},
        {"pits", "new", "yes", {"in_service", "measured"}},
        {"trenches", "in_service", "", {"new", "measured"}},
        {"trenches", "measured", "", {"new", "in_service"}},
        {"trenches", "new", "yes", {"in_service", "measured"}},
        {"tank", "volume", "", {"length", "width", "diameter"}},
        {"tank", "length", "", {"volume", "diameter"}},
        {"tank", "width", "", {"volume", "diameter"}},
        {"tank", "diameter", "", {"volume", "length", "width"}},
        {"tank", "new", "yes", {"found", "pumped"}},
        {"tank", "found", "", {"new"}},
        {"tank", "pumped", "", {"new", "found"}},  // a reading would overrule the pump-out
        {"tank", "outlet_baffle", "missing", {"outlet_baffle_depth"}},
        {"tank.pump_out", "every", "", {"when"}},
        {"tank.pump_out", "when", "", {"every"}},
    };
    for (const std::string_view soil : {"soil", "pits.soil", "trenches.soil", "soil.layers",
                                        "pits.soil.layers", "trenches.soil.layers"}) {
      list.push_back({soil, "perc", "", {"conductivity", "texture", "layers"}});
      list.push_back({soil,
                      "conductivity",
                      "",
                      {"perc", "hole_diameter", "water_depth", "texture", "layers"}});
      list.push_back({soil,
                      "texture",
                      "",
                      {"perc", "hole_diameter", "water_depth", "conductivity", "layers"}});
      list.push_back({soil, "structure", "", {"alpha"}});
      list.push_back({soil, "alpha", "", {"structure"}});
      list.push_back({soil,
                      "layers",
                      "",
                      {"perc", "hole_diameter", "water_depth", "conductivity", "texture",
                       "structure", "alpha"}});
    }
    return list;
  }();
  return all;
}

}  // namespace restwell
