// Runs a program as a user would and catches what it says.
#pragma once

#include <fcntl.h>
#include <spawn.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include "tests/support/temporary_folder.hpp"

extern char** environ;

namespace restwell::test {

struct Finished {
  int code = -1;  // exit code; 128 + signal if a signal ended it
  std::string out, err;
  long most_kb = 0;  // resident memory
};

struct RunIn {
  std::filesystem::path folder = RESTWELL_SOURCE_DIR;  // working directory
  std::optional<std::string> out_to;                   // a file or device instead of catching
};

// arguments[0] is the program: a path, or a name looked up as a shell does.
inline Finished run_program(std::vector<std::string> arguments, const RunIn& in = {}) {
  const TemporaryFolder caught;
  const std::string out = in.out_to.value_or((caught.path / "out").string());
  const std::string err = (caught.path / "err").string();
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addchdir_np(&actions, in.folder.c_str());
  posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, out.c_str(), O_WRONLY | O_CREAT, 0600);
  posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, err.c_str(), O_WRONLY | O_CREAT, 0600);
  std::vector<char*> argv;
  for (std::string& a : arguments) argv.push_back(a.data());
  argv.push_back(nullptr);
  pid_t child = 0;
  const int problem = posix_spawnp(&child, argv[0], &actions, nullptr, argv.data(), environ);
  posix_spawn_file_actions_destroy(&actions);
  if (problem != 0) throw std::runtime_error(arguments[0] + ": " + std::strerror(problem));
  int status = 0;
  rusage used{};
  while (wait4(child, &status, 0, &used) < 0 && errno == EINTR) {
  }
  Finished f;
  f.most_kb = used.ru_maxrss;
  f.code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  if (!in.out_to) f.out = read_text(out);
  f.err = read_text(err);
  return f;
}

// Where the program under test is: objects of tests may serve several builds
// (RESTWELL_TEST_OBJECTS).
inline std::string build_folder() {
  const char* const other = std::getenv("RESTWELL_BUILD_FOLDER");
  return other != nullptr ? other : RESTWELL_BINARY_DIR;
}

inline Finished restwell_program(std::vector<std::string> arguments, const RunIn& in = {}) {
  arguments.insert(arguments.begin(), build_folder() + "/restwell");
  return run_program(std::move(arguments), in);
}

// Whether a file of scenarios/ is a site: it has a household. Others hold cases or readings.
inline bool is_site(const std::filesystem::path& file) {
  return file.extension() == ".yaml" &&
         ("\n" + read_text(file)).find("\nhousehold:") != std::string::npos;
}

// The shipped scenarios, by name.
inline std::vector<std::filesystem::path> shipped_scenarios() {
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(RESTWELL_SOURCE_DIR "/scenarios")) {
    if (is_site(entry.path())) files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end());
  return files;
}

// Text with every run of blanks and line ends as one blank: undoes wrapping.
inline std::string unwrapped(const std::string& text) {
  std::string out;
  for (const char c : text) {
    const bool blank = c == ' ' || c == '\n';
    if (!blank) {
      out += c;
    } else if (!out.empty() && out.back() != ' ') {
      out += ' ';
    }
  }
  return out;
}

}  // namespace restwell::test
