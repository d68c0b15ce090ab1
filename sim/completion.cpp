#include <fmt/core.h>

#include <algorithm>
#include <stdexcept>

#include "sim/command_tree.hpp"

namespace restwell {
namespace {

std::string joined(const std::vector<std::string>& words, const char* between = " ") {
  std::string all;
  for (const std::string& word : words) all += (all.empty() ? "" : between) + word;
  return all;
}

// In single quotes of a shell; every shell here ends and begins them anew for one.
std::string quoted(const std::string& text) {
  std::string out = "'";
  for (const char c : text) out += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return out + "'";
}

std::vector<std::string> names_of(const std::vector<ShownOption>& options) {
  std::vector<std::string> names;
  for (const ShownOption& o : options) names.insert(names.end(), o.names.begin(), o.names.end());
  return names;
}

bool reads_file(const ShownCommand& c) {
  return std::ranges::any_of(
      c.options, [](const ShownOption& o) { return o.names.empty() && o.takes_file(); });
}

// The words that may follow a command by place: other commands' names, shells.
std::vector<std::string> words_by_place(const ShownCommand& c) {
  for (const ShownOption& o : c.options)
    if (o.names.empty()) return o.choices;
  return {};
}

// ---- bash --------------------------------------------------------------------------------------

std::string bash(const CommandTree& tree) {
  std::vector<std::string> commands;
  for (const ShownCommand& c : tree.commands) commands.push_back(c.name);
  std::string out = fmt::format(
      "# bash completion of restwell, made by: restwell completion bash\n"
      "_restwell() {{\n"
      "  local word=${{COMP_WORDS[COMP_CWORD]}} before=${{COMP_WORDS[COMP_CWORD-1]}} command= i\n"
      "  COMPREPLY=()\n"
      "  for ((i = 1; i < COMP_CWORD; i++)); do\n"
      "    [[ ${{COMP_WORDS[i]}} == -* ]] || {{ command=${{COMP_WORDS[i]}}; break; }}\n"
      "  done\n"
      "  local words=\n"
      "  case $command in\n"
      "    '') words={} ;;\n",
      quoted(joined(commands) + " " + joined(names_of(tree.options))));
  for (const ShownCommand& c : tree.commands) {
    out += fmt::format("    {})\n      case $before in\n", c.name);
    for (const ShownOption& o : c.options) {
      if (o.names.empty() || o.value.empty()) continue;
      std::string reply = "return";  // a value that nobody can guess
      if (!o.choices.empty())
        reply = fmt::format("COMPREPLY=($(compgen -W {} -- \"$word\")); return",
                            quoted(joined(o.choices)));
      else if (o.takes_folder())
        reply = "COMPREPLY=($(compgen -d -- \"$word\")); return";
      else if (o.takes_file())
        reply = "COMPREPLY=($(compgen -f -- \"$word\")); return";
      out += fmt::format("        {}) {} ;;\n", joined(o.names, "|"), reply);
    }
    std::vector<std::string> words = names_of(c.options);
    const std::vector<std::string> places = words_by_place(c);
    words.insert(words.begin(), places.begin(), places.end());
    out += fmt::format("      esac\n      words={}\n", quoted(joined(words)));
    if (reads_file(c))
      out += "      [[ $word == -* ]] || { COMPREPLY=($(compgen -f -- \"$word\")); return; }\n";
    out += "      ;;\n";
  }
  return out +
         "  esac\n"
         "  COMPREPLY=($(compgen -W \"$words\" -- \"$word\"))\n"
         "}\n"
         "complete -o filenames -F _restwell restwell\n";
}

// ---- zsh ---------------------------------------------------------------------------------------

// Inside a specification a colon and brackets have a meaning.
std::string zsh_text(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (c == ':' || c == '[' || c == ']' || c == '\\') out += '\\';
    out += c;
  }
  return out;
}

std::string zsh_action(const ShownOption& o) {
  if (!o.choices.empty()) return "(" + joined(o.choices) + ")";
  if (o.takes_folder()) return "_files -/";
  return o.takes_file() ? "_files" : " ";
}

std::string zsh(const CommandTree& tree) {
  std::string out =
      "#compdef restwell\n"
      "# zsh completion of restwell, made by: restwell completion zsh\n"
      "_restwell() {\n"
      "  local -a commands=(\n";
  for (const ShownCommand& c : tree.commands)
    out += "    " + quoted(zsh_text(c.name) + ":" + zsh_text(c.says)) + "\n";
  out += "  )\n  if (( CURRENT == 2 )); then\n    _describe command commands\n";
  out += fmt::format("    compadd -- {}\n", joined(names_of(tree.options)));
  out +=
      "    return\n  fi\n  local command=${words[2]}\n  shift words\n  (( CURRENT-- ))\n"
      "  case $command in\n";
  for (const ShownCommand& c : tree.commands) {
    out += fmt::format("    {})\n      _arguments", c.name);
    for (const ShownOption& o : c.options) {
      if (o.names.empty())
        out +=
            fmt::format(" \\\n        {}", quoted(":" + zsh_text(o.value) + ":" + zsh_action(o)));
      for (const std::string& name : o.names)
        out +=
            fmt::format(" \\\n        {}",
                        quoted("*" + name + "[" + zsh_text(o.says) + "]" +
                               (o.value.empty() ? std::string()
                                                : ":" + zsh_text(o.value) + ":" + zsh_action(o))));
    }
    out += "\n      ;;\n";
  }
  return out + "  esac\n}\n_restwell \"$@\"\n";
}

// ---- fish --------------------------------------------------------------------------------------

std::string fish_text(const std::string& text) {
  std::string out = "'";
  for (const char c : text) {
    if (c == '\'' || c == '\\') out += '\\';
    out += c;
  }
  return out + "'";
}

std::string fish_option(const std::string& when, const ShownOption& o) {
  std::string line = "complete -c restwell -n " + fish_text(when);
  for (const std::string& name : o.names)
    line += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
  if (!o.choices.empty())
    line += " -x -a " + fish_text(joined(o.choices));
  else if (o.takes_folder())
    line += " -x -a '(__fish_complete_directories)'";
  else if (!o.value.empty())
    line += o.takes_file() ? " -r -F" : " -x";
  return line + " -d " + fish_text(o.says) + "\n";
}

std::string fish(const CommandTree& tree) {
  std::string out =
      "# fish completion of restwell, made by: restwell completion fish\n"
      "complete -c restwell -f\n";
  for (const ShownOption& o : tree.options) out += fish_option("__fish_use_subcommand", o);
  for (const ShownCommand& c : tree.commands) {
    out += fmt::format("complete -c restwell -n __fish_use_subcommand -a {} -d {}\n", c.name,
                       fish_text(c.says));
    const std::string when = "__fish_seen_subcommand_from " + c.name;
    for (const ShownOption& o : c.options) {
      if (!o.names.empty())
        out += fish_option(when, o);
      else if (!o.choices.empty())
        out += fmt::format("complete -c restwell -n {} -a {}\n", fish_text(when),
                           fish_text(joined(o.choices)));
      else if (o.takes_file())
        out += fmt::format("complete -c restwell -n {} -F\n", fish_text(when));
    }
  }
  return out;
}

}  // namespace

std::string completion(const CommandTree& tree, const std::string& shell) {
  if (shell == "bash") return bash(tree);
  if (shell == "zsh") return zsh(tree);
  if (shell == "fish") return fish(tree);
  throw std::invalid_argument("no such shell: " + shell);
}

}  // namespace restwell
