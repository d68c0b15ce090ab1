// A percolation test: its readings from a file or from the command line, and what follows of them.
#pragma once

#include <array>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "models/percolation.hpp"
#include "sim/scenario.hpp"

namespace restwell {

struct PercHole {
  std::string name;
  HoleTest test;
  bool water_depth_given = true;
  std::string structure;  // class of models/soil.hpp; empty: not stated
  std::optional<double> water_temperature_c;
  std::optional<double> thickness_m;               // of the layer it stands for
  std::optional<double> from_depth_m, to_depth_m;  // of that layer, if its depths are known
};
struct PercInput {
  std::string name, question;
  UnitSystem units = UnitSystem::us;
  std::vector<PercHole> holes;  // at least one; thickness in all of them or in none
};

// Throw ScenarioError with all problems at once.
[[nodiscard]] PercInput load_perc(const std::filesystem::path& file);
// The same from text; name stands for the file in messages.
[[nodiscard]] PercInput parse_perc(const std::string& text, const std::string& name);

// One hole as written on the command line; empty: not given.
struct PercOptions {
  std::string hole, water, presoak, interval, structure, temperature;
  std::vector<std::string> drops;
};
// Throws ScenarioError whose problems name the options.
[[nodiscard]] PercInput perc_from_options(const PercOptions& options);

// Conductivity [m/day] if the soil were of each structure class, in the order of models/soil.hpp.
using KfsByClass = std::array<double, 4>;

struct KfsRange {
  double low_m_per_day, middle_m_per_day, high_m_per_day;
};
struct HoleResult {
  HoleRate rate;
  bool fast = false;  // by the ten-minute rule
  Drift drift = Drift::steady;
  std::vector<TestFault> faults;
  KfsByClass kfs_m_per_day{};
  // Middle: of the stated class, else structured. Range: the reading error, and over all classes if
  // none is stated.
  KfsRange kfs{};
};
// Holes of one layer, together.
struct PercLayer {
  std::string name;
  std::vector<std::size_t> holes;
  LayerRate rate;  // mean of its holes
  std::optional<double> from_depth_m, to_depth_m;
  bool counts = true;
  KfsRange kfs{};
};
struct PercResult {
  PercInput input;
  TestRules rules;
  std::vector<HoleResult> holes;
  std::vector<PercLayer> layers;  // empty: no hole stands for a layer
  bool no_layer_counts = false;   // all too slow; the results are then over all of them
  double counted_m = 0.0;         // thickness of the layers the results are over
  // Mean of the holes, or of the layers by thickness.
  double day_per_m = 0.0, fastest_day_per_m = 0.0, slowest_day_per_m = 0.0;  // by reading error
  bool at_least = false;  // some hole that counts showed no drop that could be read
  RateSpread spread;      // of the holes
  // Means of the holes' conductivities that go with the mean rate: harmonic, since conductivity
  // goes as one over the rate.
  KfsByClass kfs_m_per_day{};
  KfsRange kfs{};
};
[[nodiscard]] PercResult evaluate_perc(const PercInput& input);

}  // namespace restwell
