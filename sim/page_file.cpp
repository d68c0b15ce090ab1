#include "sim/page_file.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <signal.h>
#include <spawn.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <cstring>
#include <fstream>
#include <new>
#include <stdexcept>
#include <system_error>
#include <thread>
#include <vector>

#include "sim/put_in_place.hpp"

extern char** environ;

namespace restwell {
namespace {

namespace fs = std::filesystem;

constexpr const char* browsers[] = {
    "chromium",       "chromium-browser",     "google-chrome", "chrome", "google-chrome-stable",
    "microsoft-edge", "microsoft-edge-stable"};
constexpr auto longest_print = std::chrono::seconds(120);

[[noreturn]] void cannot_write(const fs::path& file, const std::string& why) {
  throw std::runtime_error(fmt::format("cannot write {}: {}", file.string(), why));
}

std::string start_of(const fs::path& file) {
  std::string text(4096, '\0');
  std::ifstream in(file, std::ios::binary);
  in.read(text.data(), static_cast<std::streamsize>(text.size()));
  text.resize(static_cast<std::size_t>(in.gcount()));
  return text;
}

// A folder of its own, removed at the end: page, print and the browser's files.
class WorkFolder {
 public:
  WorkFolder() {
    std::string pattern = (fs::temp_directory_path() / "restwell_XXXXXX").string();
    if (mkdtemp(pattern.data()) == nullptr)
      throw std::runtime_error(fmt::format("no temporary folder: {}", std::strerror(errno)));
    path = pattern;
  }
  ~WorkFolder() {
    std::error_code ignored;
    fs::remove_all(path, ignored);
  }
  WorkFolder(const WorkFolder&) = delete;
  WorkFolder& operator=(const WorkFolder&) = delete;
  fs::path path;
};

// Runs a program without input and output in a process group of its own; what went wrong, or
// nothing.
std::string run_quietly(std::vector<std::string> arguments) {
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
  posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
  posix_spawnattr_t attributes;
  posix_spawnattr_init(&attributes);
  posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETPGROUP);
  std::vector<char*> argv;
  for (std::string& a : arguments) argv.push_back(a.data());
  argv.push_back(nullptr);
  pid_t child = 0;
  const int problem = posix_spawn(&child, argv[0], &actions, &attributes, argv.data(), environ);
  posix_spawn_file_actions_destroy(&actions);
  posix_spawnattr_destroy(&attributes);
  if (problem != 0) return std::strerror(problem);
  const auto until = std::chrono::steady_clock::now() + longest_print;
  int status = 0;
  for (;;) {
    const pid_t done = waitpid(child, &status, WNOHANG);
    if (done == child) break;
    if (done < 0 && errno != EINTR) return std::strerror(errno);
    if (std::chrono::steady_clock::now() > until) {
      kill(-child, SIGKILL);
      waitpid(child, &status, 0);
      return fmt::format("it did not end within {} seconds", longest_print.count());
    }
    std::this_thread::sleep_for(std::chrono::milliseconds(50));
  }
  return WIFEXITED(status) && WEXITSTATUS(status) == 0 ? "" : "it failed";
}

}  // namespace

void refuse_output_file(const fs::path& file_as_given, const std::string& mark) {
  const fs::path file = place_of(file_as_given);
  std::error_code ignored;
  if (!file_as_given.has_filename() || fs::is_directory(file, ignored))
    cannot_write(file_as_given, "it is a folder");
  if (fs::exists(file, ignored)) {
    if (!fs::is_regular_file(file, ignored)) cannot_write(file_as_given, "it is not a plain file");
    if (start_of(file).find(mark) == std::string::npos)
      cannot_write(file_as_given, "a file stands there that no earlier report wrote");
  }
  fs::path folder = file.parent_path();
  while (!fs::exists(folder, ignored) && folder.has_relative_path()) folder = folder.parent_path();
  if (!fs::is_directory(folder, ignored))
    cannot_write(file_as_given, folder.string() + " is not a folder");
  if (::access(folder.c_str(), W_OK | X_OK) != 0)
    cannot_write(file_as_given, fmt::format("{}: {}", folder.string(), std::strerror(errno)));
}

void write_whole_file(const fs::path& file_as_given, const std::string& text) {
  const fs::path file = place_of(file_as_given), part = part_of(file);
  try {
    fs::create_directories(file.parent_path());
    clear_leftovers(file);
    std::ofstream out(part, std::ios::binary);
    out << text;
    out.close();
    if (!out) throw std::runtime_error(std::strerror(errno));
    fs::rename(part, file);
  } catch (const std::exception& e) {
    std::error_code ignored;
    fs::remove(part, ignored);
    if (dynamic_cast<const std::bad_alloc*>(&e) != nullptr) throw;  // not the file's fault
    cannot_write(file_as_given, e.what());
  }
}

fs::path find_browser() {
  const char* path = std::getenv("PATH");
  if (path == nullptr) return {};
  const std::string folders = path;
  for (const char* name : browsers) {
    for (std::size_t from = 0; from <= folders.size();) {
      const std::size_t end = std::min(folders.find(':', from), folders.size());
      const std::string folder = folders.substr(from, end - from);
      from = end + 1;
      if (folder.empty()) continue;  // the current folder: nothing there is run unasked
      const fs::path program = fs::path(folder) / name;
      std::error_code ignored;
      if (fs::is_regular_file(program, ignored) && ::access(program.c_str(), X_OK) == 0)
        return program;
    }
  }
  return {};
}

void write_pdf(const fs::path& browser, const std::string& html, const fs::path& file) {
  const WorkFolder work;
  const fs::path page = work.path / "page.html", print = work.path / "page.pdf";
  write_whole_file(page, html);
  std::vector<std::string> arguments = {browser.string(),
                                        "--headless",
                                        "--disable-gpu",
                                        "--no-first-run",
                                        "--no-default-browser-check",
                                        "--disable-extensions",
                                        "--disable-background-networking",
                                        "--disable-component-update",
                                        "--disable-sync",
                                        "--host-resolver-rules=MAP * ~NOTFOUND",  // no network
                                        "--user-data-dir=" + (work.path / "browser").string(),
                                        "--no-pdf-header-footer",
                                        "--print-to-pdf-no-header",
                                        "--print-to-pdf=" + print.string()};
  if (::geteuid() == 0) arguments.push_back("--no-sandbox");  // it does not start otherwise
  arguments.push_back("file://" + page.string());
  const std::string problem = run_quietly(std::move(arguments));
  std::error_code ignored;
  if (!problem.empty() || !fs::is_regular_file(print, ignored) ||
      start_of(print).find(pdf_mark) != 0) {
    throw std::runtime_error(fmt::format(
        "{} could not print the page{}. Open the HTML file in any browser and print it from there",
        browser.filename().string(), problem.empty() ? std::string() : ": " + problem));
  }
  std::ifstream in(print, std::ios::binary);
  write_whole_file(file, std::string(std::istreambuf_iterator<char>(in), {}));
}

}  // namespace restwell
