#include "plots/gnuplot.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <map>
#include <stdexcept>
#include <system_error>

#include "plots/csv.hpp"
#include "plots/gnuplot_script.hpp"

extern char** environ;

namespace restwell::plots {
namespace {

constexpr const char* missing =
    "gnuplot is not installed: the pictures were not drawn; the scripts (*.gp) are in the folder";

void write_script(const std::filesystem::path& path, const std::string& script) {
  std::ofstream out(path, std::ios::binary | std::ios::trunc);
  out << script;
  out.close();
  if (!out) {
    throw std::runtime_error(
        fmt::format("{}: cannot be written: {}", path.filename().string(), std::strerror(errno)));
  }
}

// Reads until the other end closes.
std::string read_all(int file) {
  std::string text;
  std::array<char, 4096> buffer{};
  for (;;) {
    const ssize_t got = read(file, buffer.data(), buffer.size());
    if (got > 0) text.append(buffer.data(), static_cast<std::size_t>(got));
    if (got == 0 || (got < 0 && errno != EINTR)) return text;
  }
}

struct Outcome {
  int error = 0;   // errno if it could not be started
  int status = 0;  // as waitpid gives it
  std::string said;
};

// No shell: the folder is the child's working directory, the script an argument.
Outcome run_gnuplot(const std::filesystem::path& folder, const std::string& script) {
  std::array<int, 2> ends{};
  if (pipe2(ends.data(), O_CLOEXEC) != 0) {
    throw std::system_error(errno, std::generic_category(), "pipe");
  }
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addchdir_np(&actions, folder.c_str());
  posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_adddup2(&actions, ends[1], STDOUT_FILENO);
  posix_spawn_file_actions_adddup2(&actions, ends[1], STDERR_FILENO);
  // -d: a user's start-up file must not change the picture.
  std::string name = "gnuplot", plain = "-d", file = script;
  const std::array<char*, 4> arguments{name.data(), plain.data(), file.data(), nullptr};
  pid_t child = 0;
  Outcome outcome;
  outcome.error = posix_spawnp(&child, name.c_str(), &actions, nullptr, arguments.data(), environ);
  posix_spawn_file_actions_destroy(&actions);
  close(ends[1]);
  if (outcome.error == 0) {
    outcome.said = read_all(ends[0]);
    while (waitpid(child, &outcome.status, 0) < 0 && errno == EINTR) {
    }
  }
  close(ends[0]);
  return outcome;
}

std::string what_went_wrong(const Outcome& outcome, const std::string& script) {
  if (outcome.error == ENOENT) return missing;
  if (outcome.error != 0) {
    return fmt::format("gnuplot cannot be run: {}", std::strerror(outcome.error));
  }
  if (WIFEXITED(outcome.status) && WEXITSTATUS(outcome.status) == 0) return {};
  // gnuplot repeats the command above the message; the message is the last line.
  std::string said = outcome.said;
  said.erase(said.find_last_not_of(" \n") + 1);
  said = said.substr(said.rfind('\n') + 1);
  return fmt::format("gnuplot failed on {}: {}", script, said.empty() ? "no message" : said);
}

bool is_filled(const std::filesystem::path& path) {
  std::error_code error;
  const auto size = std::filesystem::file_size(path, error);
  return !error && size > 0;
}

}  // namespace

DrawResult draw(const std::vector<Figure>& figures, const std::filesystem::path& folder) {
  std::map<std::string, CsvTable> tables;
  for (const Figure& figure : figures) {
    for (const Series& series : figure.series) {
      if (!tables.contains(series.csv_file)) {
        tables.emplace(series.csv_file, read_csv(folder / series.csv_file));
      }
    }
  }
  DrawResult result;
  bool installed = true;
  for (const Figure& figure : figures) {
    const std::string script = figure.name + ".gp";
    write_script(folder / script, gnuplot_script(figure, tables));
    result.files.push_back(script);
    const std::array pictures{figure.name + ".svg", figure.name + ".png"};
    // A picture of an earlier run must not pass for this one's.
    for (const std::string& picture : pictures) std::filesystem::remove(folder / picture);
    if (!installed) continue;
    const Outcome outcome = run_gnuplot(folder, script);
    installed = outcome.error != ENOENT;
    std::string problem = what_went_wrong(outcome, script);
    for (const std::string& picture : pictures) {
      if (problem.empty() && !is_filled(folder / picture)) {
        problem = fmt::format("gnuplot did not make {}", picture);
      }
      if (problem.empty()) {
        result.files.push_back(picture);
      } else {
        std::filesystem::remove(folder / picture);
      }
    }
    if (result.problem.empty()) result.problem = problem;
  }
  return result;
}

}  // namespace restwell::plots
