// The command line as plain data, taken from the parser itself (sim/cli.cpp): what the manual page
// and the shells' completion are written from, so that neither can lag behind.
#pragma once

#include <string>
#include <vector>

namespace restwell {

struct ShownOption {
  std::vector<std::string> names;    // "-o", "--html"; none: stands by its place on the line
  std::string value;                 // "YEARS", "us|metric", a place's "site"; empty: a flag
  std::vector<std::string> choices;  // all it may be, if that is a list
  std::string says;
  bool required = false;
  [[nodiscard]] bool takes_file() const {  // that is there, or is to be written
    return value == "FILE" || (names.empty() && (value == "site" || value == "file"));
  }
  [[nodiscard]] bool takes_folder() const { return value == "DIR"; }
};
struct ShownCommand {
  std::string name, says, more;  // more: what to know, and examples
  std::vector<ShownOption> options;
};
struct CommandTree {
  std::string says, more;
  std::vector<ShownOption> options;  // of the program without a command
  std::vector<ShownCommand> commands;
};

// The manual page, section 1, in the man macros.
[[nodiscard]] std::string man_page(const CommandTree& tree, const std::string& version);

inline const std::vector<std::string> completed_shells = {"bash", "zsh", "fish"};
// What such a shell reads to complete a line. One of completed_shells.
[[nodiscard]] std::string completion(const CommandTree& tree, const std::string& shell);

}  // namespace restwell
