// A pit's intake against its level, held over some days, and the pit's water on it.
//
// At a node the law's intake is moved by what the soil still carries (models/soil_lag.hpp), which
// is held over a bin.
//
// The clogging and the water table are given, so intake Q is a function of the level H alone. It is
// evaluated at nodes of level when the water first comes near them, and runs straight between them.
// There the balance A_s dH/dt = inflow - Q(H) is linear and solved exactly,
//     H(t) = H_0 + g t phi(lambda t),  phi(x) = (1 - exp(-x))/x,
// g the rate at H_0 and lambda the slope of Q/A_s. Every part of wall and bottom gets the share of
// its own straight line, so that the parts sum up to what the pit takes.
// Nodes stand at the rings' edges (at some of them where rings are thin against that) and 2 % of
// the height apart: a straight line lies at most 1e-4 above an intake that grows with the square of
// the level. Where a water table or its mound ends beside the pit the nearest node moves there: the
// intake turns from groundwater that comes in to nothing and to water that leaves, and no line may
// lie across.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "models/pit.hpp"
#include "models/soil_lag.hpp"

namespace restwell {

// Water in the soil on one day, over the pit's bottom.
struct GroundOfDay {
  double table_m = far_below_m;
  double mound_m = 0.0;  // on the table
  std::vector<HeldWater> perched = {};
};
// What the walls feel of it with the pit's water at level_m: what the pit itself has raised is felt
// only up to its own water. Refers to ground.
[[nodiscard]] WaterAround felt_at(const GroundOfDay& ground, double level_m);

class IntakeCurve {
 public:
  // Levels from the bottom to brim_m.
  IntakeCurve(const Pit& pit, double brim_m, const SoilLag& lag);

  // Another clogging or water around: everything known is forgotten. pit is the one of the
  // construction and stays until the next call; resistance_day: rings, then bottom.
  void renew(const Pit& pit, std::span<const double> resistance_day, const GroundOfDay& ground);
  // Forgets only what the parts took in. pit: the same, wherever it lies now.
  void start_day(const Pit& pit);
  // What the soil carries from now on, over a step of dt_day. Without it: what the law says, as if
  // the soil followed at once.
  void start_bin(double soil_flow_m3_per_day, double dt_day);

  struct Line {
    double intake_m3_per_day, slope_m2_per_day;  // of the cell over the level
  };
  // 0 <= level_m <= brim_m. Throws std::runtime_error if the intake is not finite.
  [[nodiscard]] Line at(double level_m);

  // What passed, m3.
  struct Passed {
    double intake = 0.0;    // into the soil
    double ground = 0.0;    // groundwater that came in
    double overflow = 0.0;  // over the brim
    double highest_m = 0.0;
    double soil_keeps = 0.0;  // what the soil keeps over the bin (models/soil_lag.hpp)
  };
  // Advances water_m3 >= 0 over dt_day with a constant inflow. At the brim the pit spills what it
  // does not take (at once what stands over it); empty, it lets through what comes. Throws as `at`.
  [[nodiscard]] Passed advance(double& water_m3, double storage_area_m2, double inflow_m3_per_day,
                               double dt_day);

  // Adds what each part (bottom last) took in since start_day [m3]; negative: groundwater.
  void add_taken(std::span<double> taken_m3) const;

 private:
  struct Node {
    double level_m, home_m;
    double per_width = 0.0;  // 1/m, of the cell over it
    double law_m3_per_day;   // NaN: not asked for yet, nor is what follows
    double lag_time_day = 0.0;
    double lagging = 0.0;     // s A of models/soil_lag.hpp
    double per_law = 0.0;     // 1/law_m3_per_day
    double steps = 0.0;       // a bin over lag_time_day
    double soil_keeps = 0.0;  // over a bin
    double weight_day = 0.0;  // time spent at the node's intake, as if by the law
  };
  struct AtLevel {
    PitAtLevel pit;
    std::vector<double> clean_m3_per_day;  // by part, of a clean pit far over the water table
  };
  struct Ends {                          // of the cell
    double low, high, slope_m2_per_day;  // intake, m3/day
  };
  void set_level(std::size_t k, double level_m);
  [[nodiscard]] std::size_t nearest_node(double level_m, std::size_t first, std::size_t last) const;
  void move_nodes_to(const GroundOfDay& ground);
  void set_bin(Node& n) const;
  void find_node(std::size_t k);
  double intake(std::size_t k);
  Ends ends();
  void spend(double low_day, double high_day, const Ends& at);
  void find_cell(double level_m);
  [[nodiscard]] double soil_keeps(double level_m);  // in the cell

  SoilLag lag_;
  double soil_flow_m3_per_day_ = 0.0;
  double bin_day_ = 0.0;  // 0: no lag
  const Pit* pit_ = nullptr;
  std::vector<double> resistance_day_;
  GroundOfDay ground_;
  std::vector<Node> nodes_;                 // from the bottom up
  std::vector<std::optional<AtLevel>> at_;  // by node, once asked for
  std::vector<double> clean_day_;           // resistances of a clean pit
  std::vector<std::size_t> known_;          // nodes asked for
  std::vector<double> flow_m3_per_day_;     // of these, by part
  double through_bottom_m3_ = 0.0;          // of an empty pit
  std::size_t cell_ = 0;                    // nodes_[cell_] to the next
  std::vector<std::size_t> moved_;          // nodes away from home
};

}  // namespace restwell
