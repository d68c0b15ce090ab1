#include <fmt/core.h>

#include <sstream>

#include "sim/command_tree.hpp"

namespace restwell {
namespace {

// A backslash, a hyphen that must not become a dash, and a line that would be a request.
std::string escaped(const std::string& text) {
  std::string out;
  bool line_start = true;
  for (const char c : text) {
    if (line_start && (c == '.' || c == '\'')) out += "\\&";
    if (c == '\\')
      out += "\\e";
    else if (c == '-')
      out += "\\-";
    else
      out += c;
    line_start = c == '\n';
  }
  return out;
}

// Paragraphs flow; indented lines (examples) stand as they are.
std::string body(const std::string& text) {
  std::string out;
  std::istringstream lines(text);
  bool verbatim = false;
  for (std::string line; std::getline(lines, line);) {
    const bool indented = line.starts_with("  ");
    if (indented != verbatim) out += indented ? ".PP\n.nf\n" : ".fi\n";
    verbatim = indented;
    if (line.empty())
      out += out.ends_with(".PP\n") || out.empty() ? "" : ".PP\n";
    else
      out += escaped(indented ? line.substr(2) : line) + "\n";
  }
  if (verbatim) out += ".fi\n";
  // A paragraph that nothing follows is none.
  while (out.ends_with(".PP\n")) out.erase(out.size() - 4);
  return out;
}

std::string option(const ShownOption& o) {
  std::string head;
  for (const std::string& name : o.names)
    head += (head.empty() ? "" : ", ") + fmt::format("\\fB{}\\fR", escaped(name));
  if (!o.value.empty())
    head += fmt::format("{}\\fI{}\\fR", head.empty() ? "" : " ", escaped(o.value));
  return fmt::format(".TP\n{}\n{}{}\n", head, escaped(o.says), o.required ? " (required)" : "");
}

std::string synopsis(const ShownCommand& c) {
  std::string line = fmt::format("\\fBrestwell {}\\fR", escaped(c.name));
  for (const ShownOption& o : c.options) {
    if (o.names.empty())
      line += o.required ? fmt::format(" \\fI{}\\fR", escaped(o.value))
                         : fmt::format(" [\\fI{}\\fR]", escaped(o.value));
    else if (o.required)
      line += fmt::format(" \\fB{}\\fR \\fI{}\\fR", escaped(o.names.back()), escaped(o.value));
  }
  return line + " [\\fIoptions\\fR]\n";
}

}  // namespace

std::string man_page(const CommandTree& tree, const std::string& version) {
  std::string page = fmt::format(
      ".TH RESTWELL 1 \"\" \"restwell {}\" \"User Commands\"\n"
      ".SH NAME\nrestwell \\- {}\n.SH SYNOPSIS\n",
      version,
      escaped(tree.says.substr(tree.says.find(": ") + 2,
                               tree.says.find('\n') - tree.says.find(": ") - 3)));
  for (const ShownCommand& c : tree.commands)
    page += (c.name == tree.commands.front().name ? "" : ".br\n") + synopsis(c);
  page += ".SH DESCRIPTION\n" + body(tree.says);
  page += ".SH OPTIONS\n";
  for (const ShownOption& o : tree.options) page += option(o);
  page += ".SH COMMANDS\n";
  for (const ShownCommand& c : tree.commands) {
    page += fmt::format(".SS restwell {}\n{}.\n", escaped(c.name), escaped(c.says));
    for (const ShownOption& o : c.options) page += option(o);
    if (!c.more.empty()) page += ".PP\n" + body(c.more);
  }
  page +=
      ".SH EXIT STATUS\n.TP\n0\ngood; a system that overflows is an answer, not a failure\n"
      ".TP\n2\nwrong command line\n.TP\n3\nthe file has problems\n.TP\n4\nthe run failed, or its "
      "result could not be written\n"
      ".SH ENVIRONMENT\nPATH is searched for gnuplot and, for \\-\\-pdf, a browser. The output has "
      "no "
      "colours to switch off with NO_COLOR, and neither locale nor time zone changes it. Progress "
      "is shown on standard error only if that "
      "is a terminal.\n"
      ".SH EXAMPLES AND CAUTIONS\n";
  return page + body(tree.more);
}

}  // namespace restwell
