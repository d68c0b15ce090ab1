// Every command line that the help and the README show, run as shown.
#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>
#include <map>
#include <set>
#include <sstream>

#include "tests/support/process.hpp"

using namespace restwell::test;

namespace {

struct Shown {
  std::string line;                    // as it stands in the document
  bool script = false;                 // through .ci/restwell
  std::vector<std::string> arguments;  // of restwell
};

// The words of a line as a shell would split it, up to a redirection, a pipe or a comment.
std::vector<std::string> words_of(const std::string& line) {
  std::vector<std::string> words;
  std::string word;
  bool open = false;
  char quote = 0;
  const auto close = [&] {
    if (open) words.push_back(word);
    word.clear();
    open = false;
  };
  for (const char c : line) {
    if (quote != 0) {
      if (c == quote) {
        quote = 0;
      } else {
        word += c;
      }
    } else if (c == '\'' || c == '"') {
      quote = c;
      open = true;
    } else if (c == ' ') {
      close();
    } else if (c == '>' || c == '|' || c == ';' || c == '&' || (c == '#' && !open)) {
      break;
    } else {
      word += c;
      open = true;
    }
  }
  close();
  return words;
}

// Command lines of a text that call the program. Lines that go on after a backslash are joined.
std::vector<Shown> commands_in(const std::string& text) {
  std::vector<Shown> found;
  std::istringstream lines(text);
  std::string line;
  while (std::getline(lines, line)) {
    std::string more;
    while (!line.empty() && line.back() == '\\' && std::getline(lines, more)) {
      line.pop_back();
      line += more;
    }
    std::vector<std::string> words = words_of(line);
    if (!words.empty() && words.front() == "$") words.erase(words.begin());
    if (words.size() > 1 && words.front() == "bash") words.erase(words.begin());
    if (words.empty()) continue;
    const bool script = words.front() == ".ci/restwell" || words.front() == "./.ci/restwell";
    const bool binary = words.front() == "restwell" || words.front() == "build/restwell" ||
                        words.front() == "./build/restwell";
    if (!script && !binary) continue;
    words.erase(words.begin());
    found.push_back({line, script, words});
  }
  return found;
}

// Help shows commands indented below "Example".
std::string examples_of(const std::string& help) {
  const auto at = help.find("Example");
  return at == std::string::npos ? "" : help.substr(at);
}

// The text of a document's fenced blocks.
std::string fenced(const std::string& markdown) {
  std::istringstream lines(markdown);
  std::string line, blocks;
  bool inside = false;
  while (std::getline(lines, line)) {
    if (line.find("```") != std::string::npos && line.find_first_not_of(' ') == line.find("```")) {
      inside = !inside;
    } else if (inside) {
      blocks += line + "\n";
    }
  }
  return blocks;
}

// Options that make a command short without changing what is shown: how long is looked at.
const std::map<std::string, std::vector<std::pair<std::string, std::string>>> short_forms = {
    {"run", {{"--years", "1"}}},
    {"whatif", {{"--years", "1"}}},
    {"pump", {{"--years", "1"}}},
    {"report", {{"--years", "1"}}},
    {"rest", {{"--years", "1"}, {"--service", "60 days"}, {"--longest", "30 days"}}},
    {"size", {{"--life", "2 years"}, {"--service", "1 years"}}}};

// The commands the help page lists.
std::vector<std::string> command_names() {
  std::istringstream lines(restwell_program({"--help"}).out);
  std::vector<std::string> names;
  std::string line;
  bool inside = false;
  while (std::getline(lines, line)) {
    if (line == "Subcommands:") {
      inside = true;
    } else if (line.empty()) {
      inside = false;
    } else if (inside) {
      std::istringstream words(line);
      std::string name;
      words >> name;
      if (name != "help") names.push_back(name);
    }
  }
  return names;
}

// Runs one shown command from the source folder, in its short form, with a results folder below
// `folder`.
Finished run_shown(const Shown& shown, const std::filesystem::path& folder) {
  std::vector<std::string> arguments = shown.arguments;
  const auto value_of = [&](const std::string& option) {
    const auto at = std::find(arguments.begin(), arguments.end(), option);
    return at == arguments.end() ? at : at + 1;
  };
  for (const char* option : {"--out", "-o"})
    if (const auto out = value_of(option); out != arguments.end()) *out = (folder / *out).string();
  const auto form = arguments.empty() ? short_forms.end() : short_forms.find(arguments.front());
  if (form != short_forms.end() && value_of("--help") == arguments.end()) {
    for (const auto& [option, value] : form->second) {
      if (const auto given = value_of(option); given != arguments.end()) {
        *given = value;
      } else {
        arguments.insert(arguments.end(), {option, value});
      }
    }
  }
  // The script builds into the source folder's build: from another build it would build it all.
  if (shown.script && std::filesystem::equivalent(build_folder(), RESTWELL_SOURCE_DIR "/build")) {
    arguments.insert(arguments.begin(), {"bash", RESTWELL_SOURCE_DIR "/.ci/restwell"});
    return run_program(arguments);
  }
  return restwell_program(arguments);
}

int run_all(const std::vector<Shown>& commands) {
  const TemporaryFolder folder;
  for (const Shown& shown : commands) {
    const Finished f = run_shown(shown, folder.path);
    INFO("command: " << shown.line << "\nstderr: " << f.err);
    CHECK(f.code == 0);
    CHECK_FALSE(f.out.empty());
  }
  return static_cast<int>(commands.size());
}

std::vector<Shown> examples_of_commands() {
  std::vector<Shown> all;
  const std::vector<std::string> names = command_names();
  REQUIRE(names.size() >= 3);
  for (const std::string& command : names) {
    INFO(command);
    const Finished help = restwell_program({command, "--help"});
    REQUIRE(help.code == 0);
    const std::vector<Shown> shown = commands_in(examples_of(help.out));
    CHECK_FALSE(shown.empty());
    all.insert(all.end(), shown.begin(), shown.end());
  }
  return all;
}

int run_every_other(std::size_t first) {
  const std::vector<Shown> all = examples_of_commands();
  std::vector<Shown> mine;
  for (std::size_t i = first; i < all.size(); i += 2) mine.push_back(all[i]);
  return run_all(mine);
}

}  // namespace

TEST_CASE("command lines are found and split as a shell would") {
  const auto found = commands_in(
      "  restwell run \"a b.yaml\" --json > x.json\n"
      "  $ bash .ci/restwell check a.yaml   # why\n"
      "restwell is a program\n"
      "other run x\n"
      "restwell run a.yaml \\\n    --years 3 | head\n");
  REQUIRE(found.size() == 4);
  CHECK(found[0].arguments == std::vector<std::string>{"run", "a b.yaml", "--json"});
  CHECK(found[1].script);
  CHECK(found[1].arguments == std::vector<std::string>{"check", "a.yaml"});
  CHECK(found[3].arguments == std::vector<std::string>{"run", "a.yaml", "--years", "3"});
  CHECK(fenced("a\n```sh\nb\n```\nc\n```\nd\n```\n") == "b\nd\n");
}

TEST_CASE("every example of the commands' help runs (1 of 2)") { CHECK(run_every_other(0) >= 3); }

TEST_CASE("every example of the commands' help runs (2 of 2)") { CHECK(run_every_other(1) >= 3); }

TEST_CASE("every command of the README and of the program's help runs") {
  const Finished help = restwell_program({"--help"});
  REQUIRE(help.code == 0);
  std::vector<Shown> shown = commands_in(examples_of(help.out));
  CHECK(shown.size() >= 3);
  const std::vector<Shown> readme =
      commands_in(fenced(read_text(RESTWELL_SOURCE_DIR "/README.md")));
  CHECK(readme.size() >= 3);
  shown.insert(shown.end(), readme.begin(), readme.end());
  // What a command's help shows too has its own test.
  const std::vector<Shown> elsewhere = examples_of_commands();
  std::set<std::vector<std::string>> seen;
  for (const Shown& s : elsewhere) seen.insert(s.arguments);
  std::erase_if(shown, [&](const Shown& s) { return !seen.insert(s.arguments).second; });
  CHECK(run_all(shown) >= 1);
}

TEST_CASE("the site file of the README is accepted") {
  const std::string readme = read_text(RESTWELL_SOURCE_DIR "/README.md");
  const std::string fence = "```yaml\n";
  const std::size_t from = readme.find(fence);
  REQUIRE(from != std::string::npos);
  const std::size_t to = readme.find("```", from + fence.size());
  REQUIRE(to != std::string::npos);
  const TemporaryFolder folder;
  const std::filesystem::path site = folder.path / "site.yaml";
  std::ofstream(site) << readme.substr(from + fence.size(), to - from - fence.size());
  const Finished f = restwell_program({"check", site.string()});
  INFO(f.err);
  CHECK(f.code == 0);
}

TEST_CASE("the script that builds and runs is sound") {
  const Finished f = run_program({"bash", "-n", RESTWELL_SOURCE_DIR "/.ci/restwell"});
  INFO(f.err);
  CHECK(f.code == 0);
}
