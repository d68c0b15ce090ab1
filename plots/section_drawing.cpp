#include "plots/section_drawing.hpp"

#include <fmt/core.h>

#include <algorithm>

namespace restwell::plots {
namespace {

using Kind = SectionPart::Kind;

constexpr double house_px = 72.0, house_height_px = 62.0, least_px = 92.0, least_box_px = 62.0;
constexpr double most_px_per_m = 56.0, least_px_per_m = 28.0;
constexpr double narrow_px = 500.0;
constexpr double trench_gap_m = 0.5;
constexpr int most_trenches_drawn = 3;
constexpr const char *water_fill = "#b5dcf3", *sludge_fill = "#8a6a3a", *scum_fill = "#e0c07a",
                     *earth = "#8a7a66", *wall = "#555";

double drawn_width_m(const SectionPart& p) {
  if (p.kind != Kind::trenches) return p.width_m;
  const int n = std::min(p.count, most_trenches_drawn);
  return n * p.width_m + (n - 1) * trench_gap_m;
}

struct Place {
  const SectionPart* part;
  double x, width;  // of the column that the part stands in the middle of
};
using Row = std::vector<Place>;

double column_px(const SectionPart& p, double scale) {
  if (p.kind == Kind::house) return house_px;
  return std::max(p.kind == Kind::box ? least_box_px : least_px, scale * drawn_width_m(p));
}

double gap_px(double width_px) { return width_px < narrow_px ? 10.0 : 22.0; }

std::vector<Row> packed(const Section& s, double scale, double left, double right) {
  std::vector<Row> rows;
  double x = left;
  for (const SectionPart& p : s.parts) {
    const double width = column_px(p, scale);
    if (rows.empty() || (x + width > right && x > left)) {
      rows.emplace_back();
      x = left;
    }
    rows.back().push_back({&p, x, width});
    x += width + gap_px(right);
  }
  return rows;
}

class Drawing {
 public:
  Drawing(const Section& section, double width_px)
      : s_(section), svg_(section.words, width_px), width_(width_px) {
    for (const Tick& t : s_.depths) left_ = std::max(left_, words_px(t.label) + 14.0);
    // The greatest scale at which everything stands in one row; else the greatest one that takes no
    // more rows than the least scale does.
    const std::size_t fewest = packed(s_, least_px_per_m, left_, width_).size();
    for (scale_ = most_px_per_m; scale_ > least_px_per_m; scale_ -= 1.0)
      if (packed(s_, scale_, left_, width_).size() <= fewest) break;
    rows_ = packed(s_, scale_, left_, width_);
  }

  std::string drawn() {
    double y = 0.0;
    for (std::size_t i = 0; i < rows_.size(); ++i) y = row(i, y) + 14.0;
    return svg_.done(key(y));
  }

 private:
  [[nodiscard]] double row(std::size_t index, double y) {
    const Row& row = rows_[index];
    double deepest = 0.6;
    bool house = false;
    for (const Place& place : row) {
      deepest = std::max(deepest, place.part->bottom_m);
      house = house || place.part->kind == Kind::house;
    }
    deepest += 0.35;
    const double ground = y + (house ? house_height_px : 10.0);
    const double bottom = ground + scale_ * deepest;
    pipes(index, ground);
    soil(ground);
    for (const Tick& t : s_.depths) {
      if (t.at > deepest) continue;
      const double at = ground + scale_ * t.at;
      svg_.line(left_ - 8.0, at, left_, at, ink::soft, 1.0);
      svg_.text(left_ - 10.0, at + 4.5, t.label, Anchor::end);
    }
    svg_.line(left_, ground, left_, bottom, ink::soft, 1.0);
    double end = bottom;
    for (const Place& place : row) {
      part(place, ground);
      end = std::max(end, labels(place, bottom));
    }
    if (s_.water_table_m && *s_.water_table_m < deepest) {
      const double at = ground + scale_ * *s_.water_table_m;
      svg_.line(left_, at, width_, at, ink::blue, 1.8, "9 4");
      if (index + 1 == rows_.size())
        svg_.text(left_ + 4.0, at - 5.0, s_.water_table_label, Anchor::start, "", true);
    }
    return end;
  }

  void soil(double ground) {
    svg_.line(left_, ground, width_, ground, earth, 2.0);
    svg_.path(hatching(left_, ground, width_ - left_, 7.0, 9.0),
              fmt::format("stroke=\"{}\" stroke-width=\"1\"", earth));
  }

  // Where the middle of a part stands; a pipe runs from one to the next behind the parts.
  void pipes(std::size_t index, double ground) {
    const Row& row = rows_[index];
    const auto pipe = [&](double x1, double depth1, double x2, double depth2) {
      svg_.line(x1, ground + scale_ * depth1, x2, ground + scale_ * depth2, wall, 4.0);
    };
    const bool goes_on = index + 1 < rows_.size();
    double x = left_;
    bool open = index > 0;
    double depth = s_.pipe_m;
    for (const Place& place : row) {
      const SectionPart& p = *place.part;
      const double middle = place.x + 0.5 * place.width;
      const double half = 0.5 * scale_ * drawn_width_m(p);
      if (p.kind == Kind::house) {
        x = middle;
        depth = 0.2;
        open = true;
        continue;
      }
      if (open) {
        if (p.kind == Kind::pit || p.kind == Kind::trenches) {
          pipe(x, s_.pipe_m, middle - half, s_.pipe_m);
          pipe(middle - half, s_.pipe_m, middle - half, p.inlet_m);
          x = middle - half;
          continue;
        }
        pipe(x, depth, middle - half, p.inlet_m);
      }
      x = middle + half;
      depth = p.inlet_m;
      open = true;
    }
    if (goes_on && open) {
      pipe(x, s_.pipe_m, width_, s_.pipe_m);
      const double y = ground + scale_ * s_.pipe_m;  // goes on in the next row
      svg_.path(polyline({{width_ - 11.0, y - 8.0}, {width_, y}, {width_ - 11.0, y + 8.0}}),
                fmt::format("stroke=\"{}\" stroke-width=\"2.5\"", wall));
    }
  }

  void part(const Place& place, double ground) {
    const double middle = place.x + 0.5 * place.width;
    switch (place.part->kind) {
      case Kind::house:
        return house(middle, ground);
      case Kind::tank:
        return tank(*place.part, middle, ground);
      case Kind::box:
        return box(*place.part, middle, ground);
      case Kind::pit:
        return pit(*place.part, middle, ground);
      case Kind::trenches:
        return trenches(*place.part, middle, ground);
    }
  }

  void house(double middle, double ground) {
    const double half = 0.5 * house_px - 6.0, eaves = ground - 36.0;
    svg_.path(polyline({{middle - half + 6.0, ground},
                        {middle - half + 6.0, eaves},
                        {middle - half, eaves},
                        {middle, ground - house_height_px + 3.0},
                        {middle + half, eaves},
                        {middle + half - 6.0, eaves},
                        {middle + half - 6.0, ground}}) +
                  "z",
              fmt::format("fill=\"#f4f1ea\" stroke=\"{}\" stroke-width=\"1.5\"", wall));
    svg_.box(middle - 5.0, ground - 22.0, 10.0, 22.0,
             fmt::format("fill=\"#fff\" stroke=\"{}\"", wall));
  }

  void tank(const SectionPart& p, double middle, double ground) {
    const double w = scale_ * p.width_m, x = middle - 0.5 * w;
    const double top = ground + scale_ * p.top_m, surface = ground + scale_ * p.inlet_m,
                 bottom = ground + scale_ * p.bottom_m;
    svg_.box(x, top, w, bottom - top, "fill=\"#fff\"");
    svg_.box(x, surface, w, bottom - surface, fmt::format("fill=\"{}\"", water_fill));
    const double sludge = scale_ * p.sludge_m, scum = scale_ * p.scum_m;
    svg_.box(x, bottom - sludge, w, sludge, fmt::format("fill=\"{}\"", sludge_fill));
    svg_.path(hatching(x, bottom - sludge, w, sludge, 7.0),
              "stroke=\"#fff\" stroke-width=\"0.8\" opacity=\"0.6\"");
    svg_.box(x, surface, w, scum, fmt::format("fill=\"{}\"", scum_fill));
    svg_.path(hatching(x, surface, w, scum, 6.0, false), "stroke=\"#6b4f16\" stroke-width=\"0.8\"");
    if (p.compartments > 1) svg_.line(x + w * 2.0 / 3.0, top, x + w * 2.0 / 3.0, bottom, wall, 2.0);
    const double mouth = surface + scale_ * p.baffle_m;
    svg_.line(x + 10.0, surface - 8.0, x + 10.0, mouth, wall, 2.0, p.inlet_baffle ? "" : "2 4");
    svg_.line(x + w - 10.0, surface - 8.0, x + w - 10.0, mouth, wall, 2.0,
              p.outlet_baffle ? "" : "2 4");
    svg_.box(x, top, w, bottom - top,
             fmt::format("fill=\"none\" stroke=\"{}\" stroke-width=\"3\"", wall));
  }

  void box(const SectionPart& p, double middle, double ground) {
    const double w = std::max(16.0, scale_ * p.width_m), x = middle - 0.5 * w;
    const double top = ground + scale_ * p.top_m, bottom = ground + scale_ * p.bottom_m;
    svg_.box(x, top, w, bottom - top,
             fmt::format("fill=\"#fff\" stroke=\"{}\" stroke-width=\"2\"", wall));
    const double water = std::min(bottom - top, scale_ * p.water_m);
    svg_.box(x + 1.0, bottom - water - 1.0, w - 2.0, water, fmt::format("fill=\"{}\"", water_fill));
  }

  void stones(double x, double y, double width, double height) {
    svg_.path(hatching(x, y, width, height, 8.0) + hatching(x, y, width, height, 8.0, false),
              "stroke=\"#999\" stroke-width=\"0.8\"");
  }

  void water_line(double x1, double x2, double y) { svg_.line(x1, y, x2, y, ink::blue, 2.0); }

  void pit(const SectionPart& p, double middle, double ground) {
    const double w = scale_ * p.width_m, x = middle - 0.5 * w;
    const double inlet = ground + scale_ * p.inlet_m, bottom = ground + scale_ * p.bottom_m,
                 top = ground + scale_ * p.top_m;
    const double water = bottom - scale_ * p.water_m;
    // The shaft above the inlet is as wide as the lining, the stones reach up to the inlet.
    const double inside = p.lining_inner_m > 0.0 ? scale_ * p.lining_inner_m : w;
    const double shaft = p.lining_outer_m > 0.0 ? scale_ * p.lining_outer_m : w;
    svg_.box(middle - 0.5 * shaft, top, shaft, inlet - top, "fill=\"#fff\"");
    svg_.box(x, inlet, w, bottom - inlet, "fill=\"#fff\"");
    svg_.box(x, std::max(water, top), w, bottom - std::max(water, top),
             fmt::format("fill=\"{}\"", water_fill));
    const double ring = 0.5 * (w - shaft);
    stones(x, inlet, ring, bottom - inlet);
    stones(x + w - ring, inlet, ring, bottom - inlet);
    if (p.filled_with_stone) stones(middle - 0.5 * inside, inlet, inside, bottom - inlet);
    if (p.lining_outer_m > 0.0) {
      for (const double side : {-1.0, 1.0}) {
        const double at = middle + side * 0.25 * (inside + shaft);
        svg_.line(at, top, at, bottom, wall, std::max(2.0, 0.5 * (shaft - inside)), "9 2");
      }
    }
    outline(x, w, inlet, bottom);
    svg_.line(middle - 0.5 * shaft - 4.0, top, middle + 0.5 * shaft + 4.0, top, wall, 4.0);
    water_line(x, x + w, water);
    if (p.stain_m) {
      const double stain = bottom - scale_ * *p.stain_m;
      svg_.line(x, stain, x + w, stain, ink::vermilion, 1.6, "3 3");
    }
    svg_.line(x - 6.0, inlet, x + w + 6.0, inlet, ink::dark, 1.2, "5 3");
  }

  void outline(double x, double w, double top, double bottom) {
    svg_.path(polyline({{x, top}, {x, bottom}, {x + w, bottom}, {x + w, top}}),
              fmt::format("stroke=\"{}\" stroke-width=\"1.5\"", earth));
  }

  void trenches(const SectionPart& p, double middle, double ground) {
    const double w = scale_ * p.width_m, inlet = ground + scale_ * p.inlet_m,
                 bottom = ground + scale_ * p.bottom_m;
    double x = middle - 0.5 * scale_ * drawn_width_m(p);
    for (int i = 0; i < std::min(p.count, most_trenches_drawn); ++i) {
      const double water = bottom - scale_ * p.water_m;
      svg_.box(x, inlet, w, bottom - inlet, "fill=\"#fff\"");
      svg_.box(x, water, w, bottom - water, fmt::format("fill=\"{}\"", water_fill));
      stones(x, inlet, w, bottom - inlet);
      outline(x, w, inlet, bottom);
      water_line(x, x + w, water);
      svg_.line(x - 4.0, inlet, x + w + 4.0, inlet, ink::dark, 1.2, "5 3");
      x += w + scale_ * trench_gap_m;
    }
  }

  // Name and notes under a part; returns where they end.
  double labels(const Place& place, double y) {
    const double middle = place.x + 0.5 * place.width;
    y += 2.0;
    for (const std::string& line : lines_of(place.part->name, place.width + 0.6 * gap_px(width_))) {
      y += line_height_px;
      svg_.text(middle, y, line, Anchor::middle, "font-weight=\"bold\"");
    }
    for (const std::string& note : place.part->notes) {
      for (const std::string& line : lines_of(note, place.width + 0.6 * gap_px(width_))) {
        y += line_height_px;
        svg_.text(middle, y, line, Anchor::middle);
      }
    }
    return y + 4.0;
  }

  // What the fillings mean; returns the picture's height.
  double key(double y) {
    double x = 0.0;
    const auto sample = [&](const char* words, const auto& draw) {
      const double needed = 24.0 + words_px(words) + 14.0;
      if (x > 0.0 && x + needed > width_) {
        x = 0.0;
        y += 20.0;
      }
      draw(x, y);
      svg_.text(x + 24.0, y + 11.0, words);
      x += needed;
    };
    const auto filled = [&](const char* fill) {
      return [this, fill](double at, double top) {
        svg_.box(at, top, 18.0, 13.0, fmt::format("fill=\"{}\" stroke=\"{}\"", fill, ink::soft));
      };
    };
    const auto dashed = [&](const char* colour, const char* dash) {
      return [this, colour, dash](double at, double top) {
        svg_.line(at, top + 7.0, at + 18.0, top + 7.0, colour, 1.6, dash);
      };
    };
    bool tank = false, stain = false, soaks = false;
    for (const SectionPart& p : s_.parts) {
      tank = tank || p.kind == Kind::tank;
      stain = stain || p.stain_m.has_value();
      soaks = soaks || p.kind == Kind::pit || p.kind == Kind::trenches;
    }
    sample("water", filled(water_fill));
    if (tank) {
      sample("scum, floats", filled(scum_fill));
      sample("sludge, sinks", filled(sludge_fill));
    }
    if (soaks) {
      sample("stones", [this](double at, double top) {
        stones(at, top, 18.0, 13.0);
        svg_.box(at, top, 18.0, 13.0, fmt::format("fill=\"none\" stroke=\"{}\"", ink::soft));
      });
      sample("inlet: full is up to here", dashed(ink::dark, "5 3"));
    }
    if (stain) sample("highest water mark seen", dashed(ink::vermilion, "3 3"));
    return y + 22.0;
  }

  const Section& s_;
  Svg svg_;
  double width_, left_ = 20.0, scale_ = most_px_per_m;
  std::vector<Row> rows_;
};

}  // namespace

std::string section_drawing(const Section& section, double width_px) {
  return Drawing(section, width_px).drawn();
}

}  // namespace restwell::plots
