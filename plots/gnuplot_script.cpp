#include "plots/gnuplot_script.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <sstream>
#include <stdexcept>

#include "plots/layout.hpp"

namespace restwell::plots {
namespace {

// Told apart by dash and width in black and white, else by colours safe for the colour-blind
// (Okabe and Ito, Color Universal Design, 2008; the light ones darkened).
struct Pen {
  const char* colour;
  double width;
  const char* dash;
};
constexpr std::array<Pen, 6> pens{{{"#0b4f8a", 2.0, "solid"},
                                   {"#d55e00", 1.6, "(12,4)"},
                                   {"#007d5c", 2.6, "(3,3)"},
                                   {"#000000", 1.0, "solid"},
                                   {"#b0548a", 2.4, "(14,4,3,4)"},
                                   {"#b07a00", 1.3, "(5,3)"}}};
struct Fill {
  const char* colour;
  const char* style;
};
constexpr std::array<Fill, 6> fills{{{"#0b4f8a", "solid 1"},
                                     {"#9cc4e4", "solid 1"},
                                     {"#d55e00", "pattern 4"},
                                     {"#e8e2d0", "solid 1"},
                                     {"#007d5c", "pattern 2"},
                                     {"#777777", "solid 1"}}};

bool dated(const Figure& figure) { return figure.x_is_date && figure.kind != Kind::bars; }

std::string coordinate(const Figure& figure, const Layout& layout, double x) {
  return dated(figure) ? as_gnuplot_string(to_iso(x, layout.with_time)) : fmt::format("{:.10g}", x);
}

std::string as_gnuplot_lines(const std::vector<std::string>& lines) {
  std::string text;
  for (const std::string& line : lines)
    text += (text.empty() ? "" : ".\"\\n\".") + as_gnuplot_string(line);
  return text.empty() ? "''" : text;
}

void write_heading(std::string& out, const Layout& layout) {
  double top = 14.0;
  const auto line = [&](const std::string& text, double step, const char* look) {
    top += step;
    out += fmt::format("set label {} at screen {:.4f}, screen {:.4f} left {}\n",
                       as_gnuplot_string(text), Page::edge / Page::width,
                       1.0 - (top - 0.35 * step) / Page::height, look);
  };
  for (const std::string& text : layout.title) line(text, Page::title_line, "font ',16'");
  for (const std::string& text : layout.caption) {
    line(text, Page::caption_line, "font ',11' tc rgb '#666666'");
  }
}

void write_frame(std::string& out, const Figure& figure, const Layout& layout) {
  out += fmt::format(
      "set lmargin at screen {:.4f}\nset rmargin at screen {:.4f}\n"
      "set tmargin at screen {:.4f}\nset bmargin at screen {:.4f}\n"
      "set border 3 lw 0.8 lc rgb '#888888'\n",
      layout.left / Page::width, layout.right / Page::width, 1.0 - layout.top / Page::height,
      1.0 - layout.bottom / Page::height);
  out +=
      fmt::format("set xlabel {} font ',12' tc rgb '#333333'\n", as_gnuplot_string(figure.x_label));
  out +=
      fmt::format("set ylabel {} font ',12' tc rgb '#333333'\n", as_gnuplot_string(figure.y_label));
}

std::string tick_list(const Figure& figure, const Layout& layout, const Axis& axis) {
  std::string list;
  for (const Tick& tick : axis.ticks) {
    std::vector<std::string> lines;
    std::istringstream in(tick.label);
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    std::string label = as_gnuplot_lines(lines);
    // In the label of a tick % starts a number format.
    for (std::size_t at = 0; (at = label.find('%', at)) != std::string::npos; at += 2) {
      label.insert(at, 1, '%');
    }
    list += fmt::format(
        "{}{} {}", list.empty() ? "" : ", ", label,
        &axis == &layout.x ? coordinate(figure, layout, tick.at) : fmt::format("{:.10g}", tick.at));
  }
  return list;
}

void write_axes(std::string& out, const Figure& figure, const Layout& layout) {
  const Axis& x = layout.x;
  const Axis& y = layout.y;
  if (dated(figure)) {
    out += fmt::format("set xdata time\nset timefmt '{}'\n",
                       layout.with_time ? "%Y-%m-%dT%H:%M:%S" : "%Y-%m-%d");
  }
  if (figure.x_log && figure.kind != Kind::bars) out += "set logscale x\n";
  out += fmt::format("set xrange [{}:{}]\n", coordinate(figure, layout, x.low),
                     coordinate(figure, layout, x.high));
  out += fmt::format("set yrange [{:.10g}:{:.10g}]\n", figure.y_downward ? y.high : y.low,
                     figure.y_downward ? y.low : y.high);
  const char* look = "nomirror out scale 0.5 font ',11' tc rgb '#333333'";
  out += fmt::format("set xtics {} {} ({})\n", look, layout.slanted ? "rotate by 30 right" : "",
                     tick_list(figure, layout, x));
  out += fmt::format("set ytics {} ({})\n", look, tick_list(figure, layout, y));
  out += "set grid noxtics ytics back lt 1 lw 0.6 lc rgb '#d8d8d8'\n";
}

void write_levels(std::string& out, const Figure& figure, const Layout& layout) {
  constexpr double label_height = 15.0;
  const double key_end =
      layout.key_top + Page::key_line * static_cast<double>(layout.curves.size()) + label_height;
  const auto px = [&](const LevelLine& level) {  // below the top of the frame
    return layout.height() * (1.0 - y_fraction(figure, layout.y, level.y));
  };
  std::vector<LevelLine> levels = figure.levels;
  std::stable_sort(levels.begin(), levels.end(),
                   [&](const LevelLine& a, const LevelLine& b) { return px(a) < px(b); });
  for (std::size_t i = 0; i < levels.size(); ++i) {
    out += fmt::format(
        "set arrow from graph 0, first {0:.10g} to graph 1, first {0:.10g} nohead back lw 1.2 "
        "dt (14,8) lc rgb '#333333'\n",
        levels[i].y);
    if (levels[i].label.empty()) continue;
    // Bars would stand behind the label: beside them, if the key leaves room.
    const bool beside = figure.kind == Kind::bars && layout.key == Key::right &&
                        text_px(levels[i].label) < Page::width - layout.right - 12.0 &&
                        layout.top + px(levels[i]) > key_end;
    // Else above the line, but below it where the line before is too near.
    const bool near = i > 0 && px(levels[i]) - px(levels[i - 1]) < label_height;
    out += fmt::format(
        "set label {} at graph {}, first {:.10g} {} font ',11' tc rgb '#333333' boxed front\n",
        as_gnuplot_string(levels[i].label), beside ? 1.0 : 0.995, levels[i].y,
        beside ? "left offset character 0.8, 0"
               : fmt::format("right offset 0, character {}", near ? -0.65 : 0.65));
  }
}

void write_marks(std::string& out, const Figure& figure, const Layout& layout) {
  for (const double mark : layout.marks) {
    out += fmt::format(
        "set arrow from first {0}, graph 0 to first {0}, graph 1 nohead back lw 0.9 dt (4,6) "
        "lc rgb '#555555'\n",
        coordinate(figure, layout, mark));
  }
  const auto across = [&](double px) { return px / layout.width(); };
  const auto above = [&](double px) { return 1.0 + px / layout.height(); };
  for (const MarkLabel& label : layout.mark_labels) {
    if (std::abs(label.label_px - label.mark_px) > 1.0) {  // a leader
      out += fmt::format(
          "set arrow from graph {:.4f}, graph 1 to graph {:.4f}, graph {:.4f} nohead lw 0.7 "
          "lc rgb '#999999'\n",
          across(label.mark_px), across(label.label_px), above(11.0));
    }
    const double to_first_line =
        0.5 * Page::mark_line * (static_cast<double>(label.lines.size()) - 1.0);
    out += fmt::format(
        "set label {} at graph {:.4f}, graph {:.4f} left rotate by 90 font ',10' "
        "tc rgb '#444444'\n",
        as_gnuplot_lines(label.lines), across(label.label_px - to_first_line), above(14.0));
  }
}

void write_names(std::string& out, const Layout& layout) {
  for (std::size_t i = 0; i < layout.end_labels.size(); ++i) {
    out += fmt::format(
        "set label {} at graph 1, graph {:.4f} left offset character 0.8, 0 font ',11' "
        "tc rgb '{}'\n",
        as_gnuplot_string(layout.curves[i].label), layout.end_labels[i] / layout.height(),
        pens[i % pens.size()].colour);
  }
  if (layout.key == Key::none) {
    out += "unset key\n";
    return;
  }
  const double x = layout.key == Key::right ? layout.right + 8.0 : layout.left;
  out += fmt::format(
      "set key at screen {:.4f}, screen {:.4f} top left Left reverse samplen 2.5 spacing 1.25 "
      "nobox font ',11' tc rgb '#333333'\n",
      x / Page::width, 1.0 - layout.key_top / Page::height);
}

void write_bar_data(std::string& out, const Layout& layout, std::size_t series) {
  // The bars of a category fill 0.8 of its place.
  const double shift =
      0.8 * ((static_cast<double>(series) + 0.5) / static_cast<double>(layout.curves.size()) - 0.5);
  for (const Run& run : layout.curves[series].runs) {
    out += fmt::format("{:.10g} {:.7g}\n", run.front().x + shift, run.front().y);
  }
}

void write_line_data(std::string& out, const Figure& figure, const Layout& layout,
                     std::size_t series) {
  const auto line = [&](const Point& point) {
    return fmt::format(
        "{} {:.7g}\n",
        dated(figure) ? to_iso(point.x, layout.with_time) : fmt::format("{:.10g}", point.x),
        point.y);
  };
  std::string alone;  // a point between two breaks makes no line
  bool first = true;
  for (const Run& run : layout.curves[series].runs) {
    if (run.size() == 1 || layout.curves[series].points) {
      for (const Point& point : run) alone += line(point);
      continue;
    }
    if (!first) out += '\n';
    first = false;
    for (const Point& point : thinned(run, layout.x.low, layout.x.high, figure.x_log,
                                      static_cast<int>(layout.width()))) {
      out += line(point);
    }
  }
  if (!alone.empty()) out += fmt::format("EOD\n$points{} << EOD\n{}", series + 1, alone);
}

std::string bars_command(const Layout& layout, std::size_t series, const std::string& title) {
  const auto& fill = fills[series % fills.size()];
  const auto count = static_cast<double>(layout.categories.size() * layout.curves.size());
  const bool thin = layout.width() * 0.8 / count < 4.0;  // a border would be all there is
  return fmt::format("{} with boxes fs {} {} lc rgb '{}' {}",
                     layout.curves[series].runs.empty()
                         ? "keyentry"
                         : fmt::format("$series{} using 1:2", series + 1),
                     fill.style, thin ? "noborder" : "border lc rgb '#333333'", fill.colour, title);
}

std::vector<std::string> line_commands(const Figure& figure, const Layout& layout,
                                       std::size_t series, const std::string& title) {
  const auto& runs = layout.curves[series].runs;
  const auto is_alone = [](const Run& run) { return run.size() == 1; };
  const Pen& pen = pens[series % pens.size()];
  const std::string look = fmt::format("lw {} dt {} lc rgb '{}'", pen.width, pen.dash, pen.colour);
  std::vector<std::string> parts;
  if (layout.curves[series].points && !runs.empty()) {
    parts.push_back(fmt::format("$points{} using 1:2 with points pt 7 ps 1.1 lc rgb '{}' {}",
                                series + 1, pen.colour, title));
    return parts;
  }
  if (!std::all_of(runs.begin(), runs.end(), is_alone)) {
    parts.push_back(fmt::format("$series{} using 1:2 with {} {} {}", series + 1,
                                figure.kind == Kind::steps ? "steps" : "lines", look, title));
  } else if (layout.key != Key::none) {
    parts.push_back(fmt::format("keyentry with lines {} {}", look, title));
  }
  if (std::any_of(runs.begin(), runs.end(), is_alone)) {
    parts.push_back(fmt::format("$points{} using 1:2 with points pt 7 ps 0.4 lc rgb '{}' notitle",
                                series + 1, pen.colour));
  }
  return parts;
}

std::string plot_command(const Figure& figure, const Layout& layout) {
  std::vector<std::string> parts;
  for (std::size_t i = 0; i < layout.curves.size(); ++i) {
    const Curve& curve = layout.curves[i];
    const std::string label = curve.label + (curve.runs.empty() ? " (no data)" : "");
    const bool named = layout.key != Key::none && !curve.label.empty();
    const std::string title = named ? "title " + as_gnuplot_string(label) : "notitle";
    if (figure.kind == Kind::bars) {
      parts.push_back(bars_command(layout, i, title));
    } else {
      for (std::string& part : line_commands(figure, layout, i, title)) {
        parts.push_back(std::move(part));
      }
    }
  }
  return fmt::format("plot {}\n", fmt::join(parts, ", \\\n     "));
}

std::string one_line(std::string text) {
  for (char& c : text) {
    if (static_cast<unsigned char>(c) < 0x20U || c == 0x7F) c = ' ';
  }
  return text;
}

}  // namespace

std::string as_gnuplot_string(const std::string& text) {
  std::string out = "'";
  for (const char c : one_line(text)) {
    if (c == '\'') out += '\'';
    out += c;
  }
  return out + "'";
}

std::string gnuplot_script(const Figure& figure, const std::map<std::string, CsvTable>& tables) {
  if (figure.name.empty() ||
      figure.name.find_first_not_of("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
                                    "0123456789_") != std::string::npos) {
    throw std::runtime_error(
        fmt::format("figure name \"{}\": only letters, digits and _", figure.name));
  }
  const Layout layout = lay_out(figure, tables);
  std::string out = fmt::format(
      "# {0}\n"
      "# Draw again, in this folder: gnuplot {1}.gp\n"
      "# It makes {1}.svg and {1}.png. The data stand below, thinned to what the picture can "
      "show.\n"
      "reset\nset encoding utf8\nset style textbox opaque noborder margins 0.3,0.1\n",
      one_line(figure.title), figure.name);
  write_heading(out, layout);
  write_frame(out, figure, layout);
  if (layout.has_data) {
    write_axes(out, figure, layout);
    write_levels(out, figure, layout);
    write_marks(out, figure, layout);
    write_names(out, layout);
    if (figure.kind == Kind::bars) {
      out += fmt::format("set boxwidth {:.6g} absolute\n",
                         0.8 / static_cast<double>(layout.curves.size()));
    }
    for (std::size_t i = 0; i < layout.curves.size(); ++i) {
      // In brackets, for a backslash at the end of a line would hide the next one.
      out += fmt::format("\n# ({})\n$series{} << EOD\n", one_line(layout.curves[i].source), i + 1);
      if (figure.kind == Kind::bars) {
        write_bar_data(out, layout, i);
      } else {
        write_line_data(out, figure, layout, i);
      }
      out += "EOD\n";
    }
  } else {
    out +=
        "set xrange [0:1]\nset yrange [0:1]\nunset xtics\nunset ytics\nunset key\n"
        "set label 'no data' at graph 0.5, graph 0.5 center font ',14' tc rgb '#666666'\n";
  }
  out += fmt::format(
      "\nset terminal svg size {0:g},{1:g} dynamic noenhanced font 'sans-serif,12' "
      "background rgb '#ffffff'\n"
      "set output '{2}.svg'\n{3}"
      "\n# Twice as fine as the SVG's pixels; text in points, not in pixels.\n"
      "if (strstrt(GPVAL_TERMINALS, 'pngcairo')) {{\n"
      "  set terminal pngcairo size {4:g},{5:g} noenhanced font 'sans-serif,12' fontscale 1.5 "
      "linewidth 2 background rgb '#ffffff'\n"
      "}} else {{\n"
      "  set terminal png size {0:g},{1:g} truecolor noenhanced font 'sans,12' fontscale 0.75\n"
      "}}\n"
      "set output '{2}.png'\nreplot\nunset output\n",
      Page::width, Page::height, figure.name,
      layout.has_data ? plot_command(figure, layout) : "plot -1 notitle\n", 2.0 * Page::width,
      2.0 * Page::height);
  return out;
}

}  // namespace restwell::plots
