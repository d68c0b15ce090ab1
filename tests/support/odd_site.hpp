// Sites that are valid but odd, drawn from numbers of any source (random ones, a fuzzer's bytes):
// what a careless or a playful user might type in. Invented throughout.
#pragma once

#include <fmt/core.h>

#include <cmath>
#include <functional>
#include <string>
#include <utility>
#include <vector>

namespace restwell::test {

class OddSite {
 public:
  // source: from 0 to below 1.
  explicit OddSite(std::function<double()> source) : part(std::move(source)) {}

  std::string text() {
    const bool box = chance(0.8);
    pits_ = whole(1, box ? 4 : 1);
    std::string s = fmt::format("name: Odd site (invented)\nstart: {}\nyears: 1\n", date(2026));
    if (chance(0.3)) s += "mode: random\n";
    s += household() + tank();
    s += box ? outlets() : "single_outlet: {to: p1}\n";
    s += "pits:\n";
    for (int p = 1; p <= pits_; ++p) s += pit(p, box);
    return s + soil() + assumptions() + limits();
  }

 private:
  // ---- draws -----------------------------------------------------------------------------------
  std::function<double()> part;
  bool chance(double p) { return part() < p; }
  int whole(int least, int most) {
    return least + static_cast<int>(part() * static_cast<double>(most - least + 1));
  }
  double even(double least, double most) { return least + part() * (most - least); }
  double log_even(double least, double most) { return least * std::pow(most / least, part()); }
  std::string one_of(const std::vector<std::string>& words) {
    return words[static_cast<std::size_t>(whole(0, static_cast<int>(words.size()) - 1))];
  }
  std::string date(int year) {
    return fmt::format("{}-{:02}-{:02}", year, whole(1, 12), whole(1, 28));
  }
  std::string pit_name() { return fmt::format("p{}", whole(1, pits_)); }

  // ---- parts of the file -----------------------------------------------------------------------
  std::string household() {
    std::string s = fmt::format("household:\n  occupants: {}\n", whole(0, 12));
    if (chance(0.3)) s += fmt::format("  fixtures: {}\n", one_of({"efficient", "typical", "old"}));
    if (chance(0.3)) s += fmt::format("  leak: {:.4g} gal/day\n", log_even(0.01, 2000));
    if (chance(0.2)) s += "  laundry: {days: [sat]}\n";
    if (chance(0.2)) s += "  disposer: yes\n";
    if (chance(0.2)) s += "  season: {from: 05-15, to: 09-15}\n";
    if (chance(0.2))
      s += fmt::format("  softener: {{volume: {:.3g} gal, every: {} days}}\n", log_even(1, 500),
                       whole(1, 60));
    if (chance(0.2))
      s += fmt::format("  guests: [{{from: 2026-07-01, to: 2026-07-{:02}, overnight: {}}}]\n",
                       whole(1, 28), whole(1, 40));
    if (chance(0.2))
      s += fmt::format("  other_water: [{{name: sump, flow: {:.3g} gal/day, from: {}}}]\n",
                       log_even(1, 5000), date(2026));
    if (chance(0.2))
      s += fmt::format("  changes: [{{from: {}, occupants: {}}}]\n", date(2027), whole(0, 12));
    return s;
  }

  std::string tank() {
    std::string s = fmt::format("tank:\n  volume: {:.4g} gal\n", log_even(100, 20000));
    if (chance(0.7)) s += fmt::format("  liquid_depth: {:.3g} in\n", even(24, 90));
    if (chance(0.3)) s += "  compartments: 2\n";
    if (chance(0.2)) s += "  inlet_baffle: missing\n";
    if (chance(0.2)) s += "  outlet_baffle: missing\n";
    if (chance(0.3)) s += fmt::format("  outlet_diameter: {:.3g} in\n", even(2, 8));
    s += one_of({"  new: yes\n", "  pumped: 2024-05-01\n",
                 fmt::format("  found: {{sludge: {:.3g} in, scum: {:.3g} in}}\n", even(0, 12),
                             even(0, 6))});
    s += one_of({"", "  pump_out: {every: 1 year}\n", "  pump_out: {when: [solids]}\n",
                 "  pump_out: {when: [solids, retention, scum]}\n"});
    return s;
  }

  std::string outlets() {
    std::string s = "box:\n";
    if (chance(0.5)) s += fmt::format("  lid: {:.3g} in\n", even(3, 14));
    if (chance(0.2)) s += "  over_lid: house\n";
    if (chance(0.2)) s += fmt::format("  tilt: {{x: {:.3g} deg}}\n", even(-2, 2));
    s += "  outlets:\n";
    for (int p = 1; p <= pits_; ++p) {
      s += fmt::format("    - {{name: o{}, to: p{}, invert: {:.3g} in", p, p,
                       chance(0.5) ? 0.0 : even(0, 2));
      if (chance(0.2)) s += fmt::format(", diameter: {:.3g} in", even(2, 5));
      if (chance(0.1)) s += ", check_valve: yes";
      s += "}\n";
    }
    return s;
  }

  std::string pit(int p, bool box) {
    std::string s = fmt::format(
        "  - name: p{}\n    diameter: {:.4g} ft\n    depth: {:.4g} ft\n    inlet_depth: {:.3g} "
        "ft\n",
        p, log_even(2, 20), log_even(1, 30), even(1, 6));
    if (chance(0.2)) s += "    filled_with_stone: yes\n";
    s += one_of({"    new: yes\n", fmt::format("    in_service: {} years\n", whole(1, 8)),
                 fmt::format("    measured: {{level: {:.3g} in, drop: {:.3g} in/day}}\n",
                             even(1, 12), log_even(0.1, 20))});
    if (chance(0.5) || !box) s += "    when_full: surface\n";
    if (chance(0.2))
      s += fmt::format("    soil: {{conductivity: {:.3g} cm/day, structure: {}}}\n",
                       log_even(0.5, 1000), one_of({"gravelly", "structured", "compacted"}));
    return s;
  }

  std::string soil() {
    std::string s = "soil:\n";
    if (chance(0.5)) {
      s += fmt::format("  perc: {:.3g} min/inch\n", log_even(0.5, 120));
    } else {
      const double first = even(2, 10), second = first + even(1, 20);
      s += fmt::format(
          "  layers:\n    - {{to: {0:.2f} ft, perc: {2:.3g} min/inch}}\n"
          "    - {{from: {0:.2f} ft, to: {1:.2f} ft, conductivity: {3:.3g} cm/day, alpha: 12 "
          "1/m}}\n"
          "    - {{from: {1:.2f} ft, perc: {4:.3g} min/inch}}\n",
          first, second, log_even(0.5, 120), log_even(0.01, 500), log_even(0.5, 120));
    }
    if (chance(0.4))
      s += fmt::format("  water_table: {{mean: {:.3g} ft, amplitude: {:.3g} ft}}\n", even(6, 60),
                       even(0.1, 5));
    return s;
  }

  std::string assumptions() {
    if (chance(0.5)) return "";
    return fmt::format(
        "assumptions:\n  clogging_per_load: {:.3g} day m2/kg\n  submerged_decay_factor: {:.3g}\n"
        "  aeration_lag: {} days\n",
        log_even(0.5, 20), log_even(0.05, 0.45), whole(1, 30));
  }

  std::string limits() {
    if (chance(0.6)) return "";
    return fmt::format("limits: {{ring_height: {} in, intake_step: {} days}}\n", whole(1, 8),
                       whole(1, 14));
  }

  int pits_ = 1;
};

}  // namespace restwell::test
