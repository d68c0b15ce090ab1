// Sites that are valid but odd, drawn from numbers of any source (random ones, a fuzzer's bytes):
// what a careless or a playful user might type in. Invented throughout.
#pragma once

#include <fmt/core.h>

#include <algorithm>
#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "tests/support/odd_box.hpp"
#include "tests/support/odd_draws.hpp"

namespace restwell::test {

class OddSite {
 public:
  // source: from 0 to below 1.
  explicit OddSite(std::function<double()> source) : draw_(std::move(source)) {}

  std::string text() {
    box_ = draw_.chance(0.8);
    start_month_ = draw_.whole(0, 11);
    draw_works();
    std::string s = fmt::format("name: Odd site (invented)\nstart: {}\nyears: 1\n",
                                odd_date(start_month_, draw_.whole(1, 28)));
    if (draw_.chance(0.3)) s += "mode: random\n";
    s += household() + tank();
    std::vector<std::string> pits, on_box;
    for (const Works& w : works_) {
      pits.push_back(w.name);
      if (!w.fed_in_series) on_box.push_back(w.name);
    }
    if (box_) {
      OddBox box(draw_, pits, on_box);
      s += box.text();
      s += box.plan(start_month_ + 1);
    } else {
      s += "single_outlet: {to: w1}\n" + odd_plan_without_box(draw_, pits, start_month_ + 1);
    }
    std::string round, fields;
    for (const Works& w : works_) (w.trench ? fields : round) += w.trench ? trench(w) : pit(w);
    if (!round.empty()) s += "pits:\n" + round;
    if (!fields.empty()) s += "trenches:\n" + fields;
    return s + soil() + assumptions() + limits();
  }

 private:
  // A pit or a drain field, and how it hangs on the others.
  struct Works {
    std::string name;
    bool trench = false, fed_in_series = false;
    std::string spills_to;
  };

  // Water spills on to a later one only, so that none spill in a circle.
  void draw_works() {
    const int count = draw_.chance(0.8) ? draw_.whole(1, 4) : draw_.whole(5, 8);
    works_.resize(static_cast<std::size_t>(count));
    for (int i = 0; i < count; ++i) {
      Works& w = works_[static_cast<std::size_t>(i)];
      w.name = fmt::format("w{}", i + 1);
      w.trench = draw_.chance(0.3);
      w.fed_in_series = i > 0 && (!box_ || draw_.chance(0.2));
      if (w.fed_in_series) works_[static_cast<std::size_t>(i) - 1].spills_to = w.name;
    }
    for (int i = 0; i + 1 < count; ++i) {
      Works& w = works_[static_cast<std::size_t>(i)];
      if (w.spills_to.empty() && draw_.chance(0.2))
        w.spills_to = fmt::format("w{}", draw_.whole(i + 2, count));
    }
  }

  std::string date(int year) {
    return odd_date((year - 2026) * 12 + draw_.whole(0, 11), draw_.whole(1, 28));
  }

  // ---- parts of the file -----------------------------------------------------------------------
  std::string household() {
    std::string s = fmt::format("household:\n  occupants: {}\n", draw_.whole(0, 12));
    if (draw_.chance(0.3))
      s += fmt::format("  fixtures: {}\n", draw_.one_of({"efficient", "typical", "old"}));
    if (draw_.chance(0.3)) s += fmt::format("  leak: {:.4g} gal/day\n", draw_.log_even(0.01, 2000));
    if (draw_.chance(0.2)) s += "  laundry: {days: [sat]}\n";
    if (draw_.chance(0.2)) s += "  disposer: yes\n";
    if (draw_.chance(0.2)) s += "  season: {from: 05-15, to: 09-15}\n";
    if (draw_.chance(0.2))
      s += fmt::format("  softener: {{volume: {:.3g} gal, every: {} days}}\n",
                       draw_.log_even(1, 500), draw_.whole(1, 60));
    if (draw_.chance(0.2))
      s += fmt::format("  guests: [{{from: 2026-07-01, to: 2026-07-{:02}, overnight: {}}}]\n",
                       draw_.whole(1, 28), draw_.whole(1, 40));
    if (draw_.chance(0.2))
      s += fmt::format("  other_water: [{{name: sump, flow: {:.3g} gal/day, from: {}}}]\n",
                       draw_.log_even(1, 5000), date(2026));
    if (draw_.chance(0.2))
      s +=
          fmt::format("  changes: [{{from: {}, occupants: {}}}]\n", date(2027), draw_.whole(0, 12));
    return s;
  }

  std::string tank() {
    std::string s = fmt::format("tank:\n  volume: {:.4g} gal\n", draw_.log_even(100, 20000));
    if (draw_.chance(0.7)) s += fmt::format("  liquid_depth: {:.3g} in\n", draw_.even(24, 90));
    if (draw_.chance(0.3)) s += "  compartments: 2\n";
    if (draw_.chance(0.2)) s += "  inlet_baffle: missing\n";
    if (draw_.chance(0.2)) s += "  outlet_baffle: missing\n";
    if (draw_.chance(0.3)) s += fmt::format("  outlet_diameter: {:.3g} in\n", draw_.even(2, 8));
    s += draw_.one_of({"  new: yes\n", "  pumped: 2024-05-01\n",
                       fmt::format("  found: {{sludge: {:.3g} in, scum: {:.3g} in}}\n",
                                   draw_.even(0, 12), draw_.even(0, 6))});
    s += draw_.one_of({"", "  pump_out: {every: 1 year}\n", "  pump_out: {when: [solids]}\n",
                       "  pump_out: {when: [solids, retention, scum]}\n"});
    return s;
  }

  // How far on it is, and what it does with what it cannot take.
  std::string state(const Works& w, double deepest_in) {
    std::string s = draw_.one_of(
        {"    new: yes\n", fmt::format("    in_service: {} years\n", draw_.whole(1, 8)),
         fmt::format("    measured: {{level: {:.3g} in, drop: {:.3g} in/day}}\n",
                     draw_.even(0.1, 1) * deepest_in, draw_.log_even(0.1, 20))});
    if (!w.spills_to.empty())
      s += "    when_full: {to: " + w.spills_to + "}\n";
    else if (draw_.chance(0.5) || !box_)
      s += "    when_full: " + draw_.one_of({"surface", "house"}) + "\n";
    if (draw_.chance(0.2))
      s += fmt::format("    soil: {{conductivity: {:.3g} cm/day, structure: {}}}\n",
                       draw_.log_even(0.5, 1000),
                       draw_.one_of({"gravelly", "structured", "compacted"}));
    else if (draw_.chance(0.1))
      s += fmt::format(
          "    soil: {{layers: [{{to: {:.3g} ft, perc: {:.3g} min/inch}}, "
          "{{conductivity: {:.3g} cm/day}}]}}\n",
          draw_.even(1, 12), draw_.log_even(0.5, 120), draw_.log_even(0.5, 1000));
    return s;
  }

  std::string pit(const Works& w) {
    const double diameter_ft = draw_.log_even(2, 20);
    std::string s = fmt::format(
        "  - name: {}\n    diameter: {:.4g} ft\n    depth: {:.4g} ft\n    inlet_depth: {:.3g} "
        "ft\n",
        w.name, diameter_ft, draw_.log_even(1, 30), draw_.even(1, 6));
    if (draw_.chance(0.2))
      s += fmt::format("    cover_above_inlet: {:.3g} ft\n", draw_.even(0.1, 1));
    if (draw_.chance(0.2))
      s += fmt::format("    inlet_below_box: {:.3g} in\n", draw_.log_even(0.1, 60));
    if (draw_.chance(0.2))
      s += fmt::format("    lining: {{inner_diameter: {:.4g} ft, outer_diameter: {:.4g} ft}}\n",
                       0.5 * diameter_ft, draw_.even(0.6, 0.95) * diameter_ft);
    if (draw_.chance(0.2)) s += "    filled_with_stone: yes\n";
    return s + state(w, 12);
  }

  std::string trench(const Works& w) {
    const double gravel_in = draw_.log_even(2, 60);
    std::string s = fmt::format(
        "  - name: {}\n    length: {:.4g} ft\n    width: {:.3g} ft\n    gravel_depth: {:.3g} in\n"
        "    inlet_depth: {:.3g} ft\n",
        w.name, draw_.log_even(1, 500), draw_.log_even(0.3, 12), gravel_in, draw_.even(0.2, 5));
    if (draw_.chance(0.5)) s += fmt::format("    number: {}\n", draw_.whole(1, 12));
    if (draw_.chance(0.2))
      s += fmt::format("    inlet_below_box: {:.3g} in\n", draw_.log_even(0.1, 60));
    if (draw_.chance(0.2)) s += fmt::format("    gravel_porosity: {} %\n", draw_.whole(5, 90));
    return s + state(w, gravel_in);
  }

  std::string soil() {
    std::string s = "soil:\n";
    if (draw_.chance(0.5)) {
      s += fmt::format("  perc: {:.3g} min/inch\n", draw_.log_even(0.5, 120));
    } else {
      const double first = draw_.even(2, 10), second = first + draw_.even(1, 20);
      s += fmt::format(
          "  layers:\n    - {{to: {0:.2f} ft, perc: {2:.3g} min/inch}}\n"
          "    - {{from: {0:.2f} ft, to: {1:.2f} ft, conductivity: {3:.3g} cm/day, alpha: 12 "
          "1/m}}\n"
          "    - {{from: {1:.2f} ft, perc: {4:.3g} min/inch}}\n",
          first, second, draw_.log_even(0.5, 120), draw_.log_even(0.01, 500),
          draw_.log_even(0.5, 120));
    }
    return s + (draw_.chance(0.5) ? water_table() : "");
  }

  std::string water_table() {
    switch (draw_.whole(0, 2)) {
      case 0:
        return fmt::format("  water_table: {:.3g} ft\n", draw_.log_even(0.5, 100));
      case 1:
        return fmt::format("  water_table: {{mean: {:.3g} ft, amplitude: {:.3g} ft}}\n",
                           draw_.even(6, 60), draw_.even(0.1, 5));
      default: {
        std::string s = "  water_table:\n";
        int month = draw_.whole(0, start_month_ + 6);
        for (int readings = draw_.whole(1, 6); readings > 0; --readings) {
          s += fmt::format("    - {{date: {}, depth: {:.3g} ft}}\n",
                           odd_date(month, draw_.whole(1, 28)), draw_.log_even(0.5, 60));
          month += draw_.whole(1, 6);
        }
        return s;
      }
    }
  }

  std::string assumptions() {
    if (draw_.chance(0.5)) return "";
    return fmt::format(
        "assumptions:\n  clogging_per_load: {:.3g} day m2/kg\n  submerged_decay_factor: {:.3g}\n"
        "  aeration_lag: {} days\n",
        draw_.log_even(0.5, 20), draw_.log_even(0.05, 0.45), draw_.whole(1, 30));
  }

  std::string limits() {
    if (draw_.chance(0.6)) return "";
    return fmt::format("limits: {{ring_height: {} in, intake_step: {} days}}\n", draw_.whole(1, 8),
                       draw_.whole(1, 14));
  }

  OddDraws draw_;
  bool box_ = true;
  int start_month_ = 0;
  std::vector<Works> works_;
};

}  // namespace restwell::test
