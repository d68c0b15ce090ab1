#include "sim/whatif_links.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "models/constants.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

constexpr const char* weekday_names[] = {"Monday", "Tuesday",  "Wednesday", "Thursday",
                                         "Friday", "Saturday", "Sunday"};
// Lips nearer to each other than this stand alike: 0.1 mm.
constexpr double same_lip_m = 1e-4;

bool differ(double a, double b, double part = WorthTelling::part) {
  return std::abs(b - a) > part * std::max(std::abs(a), std::abs(b));
}
int direction(double a, double b) { return !differ(a, b) ? 0 : b > a ? 1 : -1; }

// "2.4 times", "+8 %", "-62 %".
std::string ratio_words(double before, double after) {
  if (!(before > 0.0)) return "from nothing";
  const double ratio = after / before;
  if (ratio >= 1.5) return fmt::format("{:.2g} times", ratio);
  return fmt::format("{:+.0f} %", 100.0 * (ratio - 1.0));
}

double mean(const Weekdays& week) { return std::accumulate(week.begin(), week.end(), 0.0) / 7.0; }
std::size_t highest(const Weekdays& week) {
  return static_cast<std::size_t>(std::max_element(week.begin(), week.end()) - week.begin());
}
double highest_value(const Weekdays& week) { return week[highest(week)]; }
double lowest_value(const Weekdays& week) { return *std::min_element(week.begin(), week.end()); }

bool same_layers(const std::vector<SoilLayer>& a, const std::vector<SoilLayer>& b) {
  return std::equal(
      a.begin(), a.end(), b.begin(), b.end(), [](const SoilLayer& x, const SoilLayer& y) {
        return x.to_depth_m == y.to_depth_m && x.soil.kfs_m_per_day == y.soil.kfs_m_per_day &&
               x.soil.alpha_per_m == y.soil.alpha_per_m;
      });
}

bool same_soil(const Scenario& a, const Scenario& b) {
  if (!same_layers(a.soil.layers, b.soil.layers)) return false;
  const std::vector<SoilLayer> none;
  return std::equal(a.pits.begin(), a.pits.end(), b.pits.begin(), b.pits.end(),
                    [&](const PitConfig& x, const PitConfig& y) {
                      return x.layers.has_value() == y.layers.has_value() &&
                             same_layers(x.layers.value_or(none), y.layers.value_or(none));
                    });
}

bool same_pits(const Scenario& a, const Scenario& b) {
  return std::equal(a.pits.begin(), a.pits.end(), b.pits.begin(), b.pits.end(),
                    [](const PitConfig& x, const PitConfig& y) {
                      const PitGeometry &g = x.geometry, &h = y.geometry;
                      return g.trench == h.trench && g.radius_m == h.radius_m &&
                             g.depth_m == h.depth_m &&
                             g.cover_above_inlet_m == h.cover_above_inlet_m &&
                             g.lining_inner_radius_m == h.lining_inner_radius_m &&
                             g.lining_outer_radius_m == h.lining_outer_radius_m &&
                             g.gravel_porosity == h.gravel_porosity &&
                             g.inside_open_share == h.inside_open_share;
                    });
}

// The chain from house to soil, told link by link. Collects on the way what speaks for sooner and
// for later dates.
class Chain {
 public:
  Chain(const CaseOutcome& before, const CaseOutcome& after, UnitSystem units)
      : a_(before), b_(after), units_(units) {}

  Explanation told() {
    water();
    busiest_day();
    solids();
    tank_size();
    pump_out();
    strength();
    shares();
    capacity();
    levels();
    dates();
    return std::move(result_);
  }

 private:
  void add(std::string what, Cell before, Cell after, std::string why = "", bool outcome = false) {
    result_.links.push_back(
        {std::move(what), std::move(before), std::move(after), std::move(why), outcome});
  }
  void unchanged(std::string what) { result_.unchanged.push_back(std::move(what)); }
  [[nodiscard]] std::string small(double m) const {
    return show_text(m, Quantity::small_length, units_);
  }
  // A difference of levels, to the inch or the centimetre.
  [[nodiscard]] std::string rise(double m) const {
    return units_ == UnitSystem::us ? fmt::format("{:.0f} in", m / 0.0254)
                                    : fmt::format("{:.0f} cm", 100.0 * m);
  }

  // What moves dates: for_sooner if sign > 0, for_later if sign < 0.
  void cause(int sign, const char* for_sooner, const char* for_later) {
    if (sign > 0) for_sooner_.emplace_back(for_sooner);
    if (sign < 0) for_later_.emplace_back(for_later);
  }
  [[nodiscard]] std::string by(int sign) const {
    const std::vector<std::string>& causes = sign > 0 ? for_sooner_ : for_later_;
    if (!causes.empty()) return "by " + list_words(causes);
    if (a_.scenario.assumptions_set != b_.scenario.assumptions_set) return "by the assumptions set";
    if (a_.scenario.seed != b_.scenario.seed || a_.scenario.mode != b_.scenario.mode)
      return "by chance";
    return "";
  }

  void water() {
    if (!differ(a_.flow_m3_per_day, b_.flow_m3_per_day)) return unchanged("water a day");
    add("water a day", Amount{a_.flow_m3_per_day, Quantity::flow},
        Amount{b_.flow_m3_per_day, Quantity::flow},
        ratio_words(a_.flow_m3_per_day, b_.flow_m3_per_day));
    cause(direction(a_.flow_m3_per_day, b_.flow_m3_per_day), "more water", "less water");
  }

  void busiest_day() {
    const double mean_a = mean(a_.week_m3), mean_b = mean(b_.week_m3);
    if (!(mean_a > 0.0) || !(mean_b > 0.0)) return;
    const double over_a = highest_value(a_.week_m3) / mean_a;
    const double over_b = highest_value(b_.week_m3) / mean_b;
    if (!differ(over_a, over_b, WorthTelling::busiest_day))
      return unchanged("how the week's water falls on its days");
    const std::size_t day = highest(b_.week_m3);
    std::string why =
        fmt::format("{}: {}", weekday_names[day], ratio_words(a_.week_m3[day], b_.week_m3[day]));
    bool others_less = true;
    for (std::size_t w = 0; w < 7; ++w)
      others_less = others_less && (w == day || direction(a_.week_m3[w], b_.week_m3[w]) < 0);
    if (others_less) why += "; every other day brings less";
    add("water on the week's busiest day", Amount{highest_value(a_.week_m3), Quantity::flow},
        Amount{highest_value(b_.week_m3), Quantity::flow}, why);
    cause(over_b > over_a ? 1 : -1, "a busier day in the week", "a more even week");
  }

  void solids() {
    solids_ = direction(a_.solids_kg_per_day, b_.solids_kg_per_day);
    if (solids_ == 0) return unchanged("solids into the tank");
    add("solids into the tank", Amount{a_.solids_kg_per_day, Quantity::mass_per_year},
        Amount{b_.solids_kg_per_day, Quantity::mass_per_year},
        ratio_words(a_.solids_kg_per_day, b_.solids_kg_per_day));
  }

  void tank_size() {
    size_ = direction(a_.tank_m3, b_.tank_m3);
    if (size_ == 0) return;
    add("the tank's liquid", Amount{a_.tank_m3, Quantity::volume},
        Amount{b_.tank_m3, Quantity::volume}, ratio_words(a_.tank_m3, b_.tank_m3));
  }

  void pump_out() {
    const int often = more_often(a_.pump_interval_day, b_.pump_interval_day);
    if (often == 0) return unchanged("how often the tank needs pumping");
    std::vector<std::string> causes;
    if (solids_ == often) causes.push_back(often > 0 ? "more solids" : "fewer solids");
    if (size_ == -often) causes.push_back(often > 0 ? "a smaller tank" : "a bigger tank");
    std::string why = causes.empty() ? "" : "by " + list_words(causes);
    if (causes.empty() && solids_ == 0 && size_ == 0 &&
        direction(a_.flow_m3_per_day, b_.flow_m3_per_day) != 0)
      why = "as much settles otherwise at the other flow";
    add("pump-out every", interval_words(a_.pump_interval_day),
        interval_words(b_.pump_interval_day), why, true);
  }

  void strength() {
    const int load = direction(a_.bod_kg_per_day, b_.bod_kg_per_day);
    const int strong = direction(a_.bod_kg_per_m3, b_.bod_kg_per_m3);
    if (load == 0 && strong == 0) return unchanged("BOD to the pits");
    std::string why = ratio_words(a_.bod_kg_per_day, b_.bod_kg_per_day);
    if (load == 0) why = "as much";
    if (strong != 0) {
      why += fmt::format(", {} instead of {}",
                         show_text(b_.bod_kg_per_m3, Quantity::concentration, units_),
                         show_text(a_.bod_kg_per_m3, Quantity::concentration, units_));
    } else {
      why += ", of the same strength";
    }
    add("BOD to the pits (it clogs)", Amount{a_.bod_kg_per_day, Quantity::mass_per_year},
        Amount{b_.bod_kg_per_day, Quantity::mass_per_year}, why);
    cause(load, "more BOD", "less BOD");
  }

  [[nodiscard]] bool shares_compared() const {
    return a_.scenario.box.present && b_.scenario.box.present && a_.pits.size() == b_.pits.size() &&
           std::max(a_.lip_m.size(), b_.lip_m.size()) > 1;
  }

  // Height of a pit's lip over the lowest one.
  static std::optional<double> lip_of(const CaseOutcome& o, std::size_t pit) {
    for (std::size_t i = 0; i < o.lip_pit.size(); ++i)
      if (o.lip_pit[i] == pit) return o.lip_m[i];
    return std::nullopt;
  }

  [[nodiscard]] std::string share_cause(std::size_t pit) const {
    if (a_.lip_m.size() != b_.lip_m.size()) return "another number of outlets is open";
    const auto lip_a = lip_of(a_, pit), lip_b = lip_of(b_, pit);
    if (lip_a && lip_b && std::abs(*lip_a - *lip_b) > same_lip_m)
      return *lip_b <= same_lip_m
                 ? fmt::format("its lip is the lowest, before {} higher", small(*lip_a))
                 : fmt::format("its lip stands {} over the lowest, before {}", small(*lip_b),
                               *lip_a <= same_lip_m ? "it was the lowest" : small(*lip_a));
    bool moved = false, uneven = false;
    for (std::size_t i = 0; i < a_.lip_m.size(); ++i) {
      moved = moved || std::abs(a_.lip_m[i] - b_.lip_m[i]) > same_lip_m;
      uneven = uneven || b_.lip_m[i] > same_lip_m;
    }
    if (moved) return "the lips stand otherwise to each other";
    const bool faster = b_.outflow_m3_per_day > a_.outflow_m3_per_day;
    if (uneven && differ(a_.outflow_m3_per_day, b_.outflow_m3_per_day) && faster == more_even())
      return faster ? "a faster flow is shared more evenly over uneven lips"
                    : "a slower flow is shared less evenly over uneven lips";
    return "";
  }

  [[nodiscard]] bool more_even() const {
    const auto most = [](const CaseOutcome& o) {
      double share = 0.0;
      for (const PitOutcome& p : o.pits) share = std::max(share, p.share.value_or(0.0));
      return share;
    };
    return most(b_) < most(a_);
  }

  void shares() {
    if (!shares_compared()) return;
    bool any = false;
    for (std::size_t p = 0; p < a_.pits.size(); ++p) {
      const double share_a = a_.pits[p].share.value_or(0.0),
                   share_b = b_.pits[p].share.value_or(0.0);
      if (std::abs(share_b - share_a) < WorthTelling::share) continue;
      if (!any && differ(a_.outflow_m3_per_day, b_.outflow_m3_per_day))
        add("flow from tank to box, mean by volume",
            Amount{a_.outflow_m3_per_day, Quantity::minute_flow},
            Amount{b_.outflow_m3_per_day, Quantity::minute_flow},
            ratio_words(a_.outflow_m3_per_day, b_.outflow_m3_per_day));
      any = true;
      add(fmt::format("the {}'s share", pit_label(b_.scenario, b_.pits[p].name)), Share{share_a},
          Share{share_b}, share_cause(p));
    }
    if (!any) return unchanged("the box's shares");
    cause(more_even() ? -1 : 1, "a greater share for one pit", "more even shares");
  }

  void capacity() {
    const double clean_a = a_.clean_m3_per_day(), clean_b = b_.clean_m3_per_day();
    if (differ(clean_a, clean_b)) {
      std::vector<std::string> causes;
      if (!same_soil(a_.scenario, b_.scenario)) causes.emplace_back("soil");
      if (a_.scenario.soil.water_table != b_.scenario.soil.water_table)
        causes.emplace_back("water table");
      if (!same_pits(a_.scenario, b_.scenario)) causes.emplace_back("pits' size");
      add("all pits take, if clean", Amount{clean_a, Quantity::flow},
          Amount{clean_b, Quantity::flow},
          ratio_words(clean_a, clean_b) + (causes.empty() ? "" : ", by the " + list_words(causes)));
    } else {
      unchanged("what clean pits take");
    }
    const double now_a = a_.now_m3_per_day(), now_b = b_.now_m3_per_day();
    const int takes = direction(now_a, now_b);
    if (takes != 0)
      add("all pits take, as clogged at the start", Amount{now_a, Quantity::flow},
          Amount{now_b, Quantity::flow}, ratio_words(now_a, now_b));
    cause(-takes, "pits that take less", "pits that take more");
  }

  void levels() {
    bool any = false;
    for (std::size_t p = 0; p < std::min(a_.pits.size(), b_.pits.size()); ++p)
      any = level(a_.pits[p], b_.pits[p]) || any;
    if (!any) unchanged("water levels in the first year");
  }

  bool level(const PitOutcome& a, const PitOutcome& b) {
    Weekdays rises{};
    for (std::size_t w = 0; w < 7; ++w) rises[w] = b.highest_m[w] - a.highest_m[w];
    const double most = highest_value(rises), least = lowest_value(rises), rose = mean(rises);
    const std::string pit = pit_label(b_.scenario, b.name);
    const bool uneven = most - least >= WorthTelling::uneven_rise * std::abs(rose);
    if (most >= WorthTelling::level_m && most - least >= WorthTelling::level_m && uneven) {
      std::vector<std::string> days;
      for (std::size_t w = 0; w < 7; ++w)
        if (rises[w] >= WorthTelling::level_m && rises[w] > 0.5 * most)
          days.push_back(std::string(weekday_names[w]) + "s");
      const std::size_t day = highest(rises);
      const double above = b.highest_m[day] - highest_value(a.highest_m);
      std::string why =
          above >= WorthTelling::level_m
              ? fmt::format("wets the wall {} higher up than on any day before", rise(above))
              : fmt::format("{} higher", rise(most));
      if (least <= -WorthTelling::level_m) why += "; lower on other days";
      add(fmt::format("water in the {} on {}", pit, list_words(days)),
          Amount{a.highest_m[day], Quantity::level}, Amount{b.highest_m[day], Quantity::level},
          why);
      return true;
    }
    if (std::abs(rose) < WorthTelling::level_m) return false;
    add(fmt::format("water in the {}", pit), Amount{mean(a.highest_m), Quantity::level},
        Amount{mean(b.highest_m), Quantity::level},
        fmt::format("{} {}", rise(std::abs(rose)), rose > 0.0 ? "higher" : "lower"));
    return true;
  }

  void dates() {
    date("first full pit", a_.first_full, b_.first_full);
    date("overflow", a_.overflow, b_.overflow);
  }

  void date(const char* what, const DaySpread& a, const DaySpread& b) {
    const int sign = sooner(a, b);
    if (sign == 0) return unchanged(std::string("date of ") + what);
    const std::string reason = by(sign);
    add(std::string(what) + ", years", a, b,
        (sign > 0 ? "sooner" : "later") + (reason.empty() ? "" : ", " + reason), true);
  }

  const CaseOutcome& a_;
  const CaseOutcome& b_;
  UnitSystem units_;
  Explanation result_;
  int solids_ = 0, size_ = 0;
  std::vector<std::string> for_sooner_, for_later_;
};

}  // namespace

int sooner(const DaySpread& before, const DaySpread& after) {
  const auto one = [](int a, int b) {
    if (a == b) return 0;
    if (a == never) return 1;
    if (b == never) return -1;
    const double least = std::max(WorthTelling::days, WorthTelling::part * std::max(a, b));
    if (std::abs(a - b) < least || years_as_shown(a) == years_as_shown(b)) return 0;
    return b < a ? 1 : -1;
  };
  for (const auto& [a, b] :
       {std::pair{before.expected, after.expected}, std::pair{before.early, after.early},
        std::pair{before.late, after.late}})
    if (const int sign = one(a, b); sign != 0) return sign;
  return 0;
}

int more_often(int before, int after) {
  if (before == after) return 0;
  if (before == never) return 1;
  if (after == never) return -1;
  return -direction(before, after);
}

std::string interval_words(int day) {
  if (day == never) return fmt::format("over {} years", longest_pump_interval_year);
  return fmt::format("{:.1f} years", day / days_per_year);
}

Explanation explain(const CaseOutcome& before, const CaseOutcome& after, UnitSystem units) {
  return Chain(before, after, units).told();
}

}  // namespace restwell
