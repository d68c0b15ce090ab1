// An odd distribution box and the dated work on it: outlets at odd heights, capped, spare, with
// levelers; a plan that caps, opens, raises, turns and leads elsewhere, and hauls.
#pragma once

#include <fmt/core.h>

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "tests/support/odd_draws.hpp"

namespace restwell::test {

class OddBox {
 public:
  // pits: all there are; on_box: those that need an outlet.
  OddBox(OddDraws& draw, std::vector<std::string> pits, const std::vector<std::string>& on_box)
      : draw_(draw), pits_(std::move(pits)) {
    for (const std::string& pit : on_box) outlets_.push_back({pit, false, false});
    // One stays open; a capped one may be opened by the plan, a spare one led somewhere first.
    for (std::size_t i = 1; i < outlets_.size(); ++i) outlets_[i].capped = draw_.chance(0.15);
    if (outlets_.size() < 8 && draw_.chance(0.15)) outlets_.push_back({"", true, false});
    for (Outlet& o : outlets_) o.leveler = draw_.chance(0.25);
  }

  std::string text() {
    std::string s = "box:\n";
    if (draw_.chance(0.5)) s += fmt::format("  lid: {:.3g} in\n", draw_.even(4, 16));
    if (draw_.chance(0.2)) s += fmt::format("  lid_perimeter: {:.3g} ft\n", draw_.log_even(0.2, 8));
    if (draw_.chance(0.2)) s += "  over_lid: house\n";
    if (draw_.chance(0.2))
      s += fmt::format("  tilt: {{x: {:.3g} deg, y: {:.3g} deg}}\n", draw_.even(-2, 2),
                       draw_.even(-2, 2));
    s += "  outlets:\n";
    for (std::size_t i = 0; i < outlets_.size(); ++i) s += outlet(i);
    return s;
  }

  // Valid on every day as drawn here; from this month on.
  std::string plan(int month) {
    if (!draw_.chance(0.4)) return "";
    std::string s;
    for (int works = draw_.whole(1, 8); works > 0; --works) {
      const std::string day = odd_date(month, draw_.whole(1, 28));
      s += work(day);
      month += draw_.whole(1, 3);
    }
    return s.empty() ? s : "plan:\n" + s;
  }

 private:
  struct Outlet {
    std::string to;
    bool capped, leveler;
  };

  std::string outlet(std::size_t i) {
    const Outlet& o = outlets_[i];
    std::string s = fmt::format("    - {{name: o{}", i + 1);
    if (!o.to.empty()) s += ", to: " + o.to;
    if (o.capped) s += ", capped: yes";
    s += fmt::format(", invert: {:.3g} in", draw_.chance(0.5) ? 0.0 : draw_.even(0, 2));
    if (draw_.chance(0.2))
      s += fmt::format(", x: {:.3g} in, y: {:.3g} in", draw_.even(-12, 12), draw_.even(-12, 12));
    if (o.leveler)
      s += fmt::format(", leveler: {{eccentricity: {:.3g} in, angle: {} deg}}", draw_.even(0.1, 1),
                       draw_.whole(-360, 360));
    if (draw_.chance(0.2)) s += fmt::format(", raised: {:.3g} in", draw_.even(-1, 1));
    if (draw_.chance(0.2)) s += fmt::format(", diameter: {:.3g} in", draw_.log_even(0.5, 6));
    if (draw_.chance(0.1)) s += fmt::format(", lip_growth: {:.3g} in", draw_.even(0, 0.5));
    if (draw_.chance(0.1)) s += ", check_valve: yes";
    return s + "}\n";
  }

  [[nodiscard]] long open() const {
    return std::count_if(outlets_.begin(), outlets_.end(),
                         [](const Outlet& o) { return !o.capped; });
  }
  [[nodiscard]] bool fed_by_another(const std::string& pit, const Outlet& than) const {
    return std::any_of(outlets_.begin(), outlets_.end(),
                       [&](const Outlet& o) { return &o != &than && !o.capped && o.to == pit; });
  }

  // One line or two of one day, or nothing where what was drawn cannot be done.
  std::string work(const std::string& day) {
    const std::size_t i =
        static_cast<std::size_t>(draw_.whole(0, static_cast<int>(outlets_.size()) - 1));
    Outlet& o = outlets_[i];
    const std::string at = fmt::format("  - {{date: {}, outlet: o{}, ", day, i + 1);
    const std::string haul = fmt::format("  - {{date: {}, haul: ", day);
    switch (draw_.whole(0, 5)) {
      case 0:
        if (o.capped) return "";
        o.capped = true;
        if (open() > 0 || hauled_) return at + "capped: yes}\n";
        hauled_ = true;
        return at + "capped: yes}\n" + haul + "yes}\n";
      case 1:
        if (!o.capped || o.to.empty() || fed_by_another(o.to, o)) return "";
        o.capped = false;
        return at + "capped: no}\n";
      case 2:
        return at + fmt::format("raised: {:.3g} in}}\n", draw_.even(-1, 2));
      case 3:
        return o.leveler ? at + fmt::format("leveler_angle: {} deg}}\n", draw_.whole(-360, 360))
                         : "";
      case 4: {
        const std::string pit = draw_.one_of(pits_);
        if (fed_by_another(pit, o)) return "";
        o.to = pit;
        return at + "to: " + pit + "}\n";
      }
      default:
        if (hauled_ && open() == 0) return "";
        hauled_ = !hauled_;
        return haul + (hauled_ ? "yes}\n" : "no}\n");
    }
  }

  OddDraws& draw_;
  std::vector<std::string> pits_;
  std::vector<Outlet> outlets_;
  bool hauled_ = false;
};

// The plan of a site without a box.
inline std::string odd_plan_without_box(OddDraws& draw, const std::vector<std::string>& pits,
                                        int month) {
  if (!draw.chance(0.3)) return "";
  return fmt::format(
      "plan:\n  - {{date: {}, haul: yes}}\n  - {{date: {}, haul: no}}\n"
      "  - {{date: {}, to: {}}}\n",
      odd_date(month + 1, draw.whole(1, 28)), odd_date(month + 3, 1),
      odd_date(month + draw.whole(4, 8), 1), draw.one_of(pits));
}

}  // namespace restwell::test
