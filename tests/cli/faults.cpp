// What the world does to a program: full disks, closed pipes, kills at any moment, other clocks and
// other ways to write numbers.
#include <linux/filter.h>
#include <linux/seccomp.h>
#include <signal.h>
#include <stdio.h>
#include <sys/prctl.h>
#include <sys/syscall.h>

#include <catch2/catch.hpp>
#include <chrono>
#include <cstddef>
#include <random>
#include <set>
#include <thread>

#include "tests/support/comma_locale.hpp"
#include "tests/support/process.hpp"

using namespace restwell;
using namespace restwell::test;
namespace fs = std::filesystem;

namespace {

const std::string program = build_folder() + "/restwell";
const std::string site = "scenarios/two_old_pits.yaml";

// Every command that writes a folder, none of them long.
const std::vector<std::string> studies{
    "run " + site + " --years 1",
    "whatif " + site + " --years 1 --set household.occupants=2..3",
    "size scenarios/metric_cottage.yaml --pits 1 --diameters '1.8 m'",
    "rest scenarios/failing_pit.yaml --pit east --years 2 --service '30 days' --longest '60 days'",
    "pump " + site,
    "perc scenarios/perc_test.yaml"};

Finished shell(const std::string& script) { return run_program({"bash", "-c", script}); }

std::set<std::string> files_in(const fs::path& folder) {
  std::set<std::string> names;
  for (const auto& entry : fs::recursive_directory_iterator(folder))
    names.insert(fs::relative(entry.path(), folder).string());
  return names;
}

pid_t start(std::vector<std::string> arguments) {
  std::vector<char*> argv;
  for (std::string& a : arguments) argv.push_back(a.data());
  argv.push_back(nullptr);
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addchdir_np(&actions, RESTWELL_SOURCE_DIR);
  for (const int stream : {STDOUT_FILENO, STDERR_FILENO})
    posix_spawn_file_actions_addopen(&actions, stream, "/dev/null", O_WRONLY, 0);
  pid_t child = 0;
  const int problem = posix_spawn(&child, argv[0], &actions, nullptr, argv.data(), environ);
  posix_spawn_file_actions_destroy(&actions);
  REQUIRE(problem == 0);
  return child;
}

// Runs a program to its end, or to where it asks the system to swap two names: there happens what
// the filter says. As waitpid gives it.
int run_to_swap(std::vector<std::string> arguments, std::uint32_t at_swap) {
  sock_filter steps[] = {
      BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(seccomp_data, nr)),
      BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, SYS_renameat2, 0, 3),
      BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(seccomp_data, args[4])),
      BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, RENAME_EXCHANGE, 0, 1),
      BPF_STMT(BPF_RET | BPF_K, at_swap),
      BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ALLOW),
  };
  const sock_fprog filter = {std::size(steps), steps};
  std::vector<char*> argv;
  for (std::string& a : arguments) argv.push_back(a.data());
  argv.push_back(nullptr);
  const pid_t child = fork();
  if (child == 0) {
    const int nowhere = open("/dev/null", O_WRONLY);
    dup2(nowhere, STDOUT_FILENO);
    dup2(nowhere, STDERR_FILENO);
    if (chdir(RESTWELL_SOURCE_DIR) == 0 && prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) == 0 &&
        prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &filter) == 0)
      execv(argv[0], argv.data());
    _exit(125);
  }
  int status = 0;
  while (waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  return status;
}

// Without pictures: most of a run's time.
std::vector<std::string> short_run(const fs::path& out, const std::string& years = "1") {
  return {"/usr/bin/env", "PATH=/nonexistent", program, "run", site, "--years", years,
          "--out",        out.string()};
}

// That stand in the folder beside the results, but for the results.
std::vector<fs::path> left_beside(const fs::path& out) {
  std::vector<fs::path> left;
  for (const auto& entry : fs::directory_iterator(out.parent_path()))
    if (entry.path() != out) left.push_back(entry.path());
  return left;
}

}  // namespace

TEST_CASE(
    "killed before it swaps old results for new ones it leaves the old, and the next run clears") {
  const TemporaryFolder folder;
  const fs::path out = folder.path / "results";
  REQUIRE(run_program(short_run(out)).code == 0);
  const std::string old = read_text(out / "report.json");
  const int status = run_to_swap(short_run(out, "2"), SECCOMP_RET_KILL_PROCESS);
  REQUIRE(WIFSIGNALED(status));  // it does swap
  CHECK(read_text(out / "report.json") == old);
  CHECK(left_beside(out).size() == 1);
  REQUIRE(run_program(short_run(out, "2")).code == 0);
  CHECK(read_text(out / "report.json") != old);
  CHECK(left_beside(out).empty());
}

TEST_CASE("where the system cannot swap two names, results are replaced all the same") {
  const TemporaryFolder folder;
  const fs::path out = folder.path / "results";
  REQUIRE(run_program(short_run(out)).code == 0);
  const std::string old = read_text(out / "report.json");
  const std::set<std::string> all = files_in(out);
  const int status = run_to_swap(short_run(out, "2"), SECCOMP_RET_ERRNO | EINVAL);
  REQUIRE(WIFEXITED(status));
  CHECK(WEXITSTATUS(status) == 0);
  CHECK(read_text(out / "report.json") != old);
  CHECK(files_in(out) == all);
  CHECK(left_beside(out).empty());
}

TEST_CASE("kills about the moment when results are put in their place lose nothing") {
  const TemporaryFolder folder;
  const fs::path out = folder.path / "results";
  REQUIRE(run_program(short_run(out)).code == 0);
  const std::set<std::string> all = files_in(out);
  std::mt19937 random(20261130);
  int killed = 0;
  for (int i = 0; i < 30; ++i) {
    const pid_t child = start(short_run(out));
    // The list of files is written last.
    const fs::path last = folder.path / (".results.part-" + std::to_string(child)) / "files.txt";
    int status = 0;
    pid_t ended = 0;
    while (!fs::exists(last) && (ended = waitpid(child, &status, WNOHANG)) == 0)
      std::this_thread::sleep_for(std::chrono::microseconds(20));
    if (ended == 0) {
      std::this_thread::sleep_for(std::chrono::microseconds(random() % 1000));
      ::kill(child, SIGKILL);
      waitpid(child, &status, 0);
    }
    if (WIFSIGNALED(status)) ++killed;
    // Where names cannot be swapped the old ones may stand aside.
    const fs::path aside = folder.path / (".results.old-" + std::to_string(child));
    CHECK(files_in(fs::exists(out) ? out : aside) == all);
    CHECK(left_beside(out).size() <= 2);  // nothing gathers
  }
  CHECK(killed > 0);
  CHECK(run_program(short_run(out)).code == 0);
  CHECK(files_in(out) == all);
  CHECK(left_beside(out).empty());
}

TEST_CASE("a page's file cut off by a kill is cleared by the next page") {
  const TemporaryFolder folder;
  const pid_t child = start({"/bin/true"});
  waitpid(child, nullptr, 0);
  const fs::path left = folder.path / (".page.html.part-" + std::to_string(child));
  write_text(left, "half");
  const fs::path page = folder.path / "page.html";
  REQUIRE(restwell_program({"report", site, "--years", "1", "-o", page.string()}).code == 0);
  CHECK(files_in(folder.path) == std::set<std::string>{"page.html"});
}

TEST_CASE("a results folder is whole or absent, whenever the program is killed") {
  using Clock = std::chrono::steady_clock;
  const TemporaryFolder whole;
  const std::vector<std::string> command{program, "run", site, "--years", "1", "--out"};
  const auto with_out = [&](const fs::path& out) {
    std::vector<std::string> all = command;
    all.push_back(out.string());
    return all;
  };
  const auto from = Clock::now();
  REQUIRE(run_program(with_out(whole.path / "results")).code == 0);
  const double lasts_s = std::chrono::duration<double>(Clock::now() - from).count();
  const std::set<std::string> all = files_in(whole.path / "results");
  REQUIRE(all.size() > 5);

  std::mt19937 random(20261128);
  const TemporaryFolder folder;
  const fs::path out = folder.path / "results";
  int killed = 0;
  for (int i = 0; i < 8; ++i) {
    const pid_t child = start(with_out(out));
    const double wait_s = lasts_s * 1.1 * static_cast<double>(random()) / 4294967296.0;
    std::this_thread::sleep_for(std::chrono::duration<double>(wait_s));
    ::kill(child, SIGKILL);
    int status = 0;
    waitpid(child, &status, 0);
    if (WIFSIGNALED(status)) ++killed;
    if (fs::exists(out)) CHECK(files_in(out) == all);
    // What was cut off does not stand in the way of the next run; an older result that a kill meets
    // is whole too, or gone.
    if (i % 2 == 0 && !fs::exists(out)) fs::copy(whole.path / "results", out);
  }
  CHECK(killed > 0);
  CHECK(run_program(with_out(out)).code == 0);
  CHECK(files_in(out) == all);
  CHECK(left_beside(out).empty());
}

TEST_CASE("a disk that fills while results are written leaves no results, and says so") {
  const TemporaryFolder folder;
  // A limit on the size of a file is felt as a full disk is: the write fails.
  const auto fails_within = [&](const std::string& study, int blocks) {
    const fs::path out = folder.path / "results";
    const Finished f =
        shell("set -o pipefail; (trap '' XFSZ; ulimit -f " + std::to_string(blocks) + "; " +
              program + " " + study + " --out '" + out.string() + "' 2>&1 > /dev/null) | cat");
    INFO(study << " in " << blocks << " blocks\n" << f.out);
    CHECK(f.code == 4);
    CHECK(f.out.find("cannot write the results to") != std::string::npos);
    CHECK(f.out.find("cannot be written: File too large") != std::string::npos);
    CHECK(files_in(folder.path).empty());  // nor half-written ones beside
  };
  for (const int blocks : {1, 8, 64}) fails_within("run " + site + " --years 5", blocks);
  for (const std::string& study : studies) fails_within(study, 0);
}

TEST_CASE("a reader that closes the pipe ends the program without a word") {
  std::vector<std::string> commands = studies;
  commands.push_back("run " + site + " --json");
  commands.push_back("schema");
  for (const std::string& command : commands) {
    const Finished f = shell(program + " " + command + " | true; echo ${PIPESTATUS[0]}");
    INFO(command << "\n" << f.err);
    CHECK(f.err.empty());
    CHECK((f.out == "0\n" || f.out == "141\n"));  // had written all of it, or SIGPIPE
  }
}

TEST_CASE("neither time zone nor language changes a byte") {
  if (!can_make_locales()) return;
  const TemporaryFolder folder;
  make_comma_locale(folder.path);
  const std::string path = "LOCPATH='" + folder.path.string() + "' ", name = comma_locale;
  const std::string comma = path + "LC_ALL=" + name;
  REQUIRE(shell(comma + " locale decimal_point").out == ",\n");  // it is there
  const std::string command = program + " run " + site + " --years 3 --json";
  const Finished plain = shell("TZ=UTC LC_ALL=C " + command);
  REQUIRE(plain.code == 0);
  REQUIRE(plain.out.size() > 1000);
  for (const std::string& setting :
       {std::string("TZ=Pacific/Kiritimati"), std::string("TZ=America/New_York"),
        std::string("TZ=:/nonexistent"), comma, path + "LANG=" + name + " LC_NUMERIC=" + name,
        std::string("LC_ALL=C.UTF-8")}) {
    INFO(setting);
    CHECK(shell(setting + " " + command).out == plain.out);
  }
}

TEST_CASE("without gnuplot the results are whole but for the pictures, and say so") {
  for (const std::string& study : studies) {
    const TemporaryFolder folder;
    const fs::path out = folder.path / "results";
    const Finished f =
        shell("PATH=/nonexistent " + program + " " + study + " --out '" + out.string() + "'");
    INFO(study << "\n" << f.err);
    CHECK(f.code == 0);
    bool scripts = false;
    for (const std::string& name : files_in(out)) {
      const fs::path kind = fs::path(name).extension();
      scripts = scripts || kind == ".gp";
      CHECK(kind != ".png");
      CHECK(kind != ".svg");
    }
    CHECK((f.err.find("gnuplot is not installed") != std::string::npos) == scripts);
    CHECK(fs::exists(out / "report.txt"));
  }
}

TEST_CASE("without a browser a report is made, its PDF is not, and that is said") {
  const TemporaryFolder folder;
  const auto report = [&](const std::string& options) {
    return shell("PATH=/nonexistent " + program + " report " + site + " --years 2 " + options);
  };
  const fs::path page = folder.path / "page.html", pdf = folder.path / "page.pdf";
  CHECK(report("--html '" + page.string() + "'").code == 0);
  CHECK(fs::exists(page));
  const Finished f = report("--pdf '" + pdf.string() + "'");
  INFO(f.err);
  CHECK(f.code != 0);
  CHECK(f.err.find("browser") != std::string::npos);
  CHECK_FALSE(fs::exists(pdf));
}

TEST_CASE("a home that cannot be written to changes nothing") {
  // /proc takes no new file from anybody, the superuser included.
  REQUIRE(::access("/proc/self", F_OK) == 0);
  for (const std::string& study : studies) {
    const TemporaryFolder folder;
    const fs::path out = folder.path / "results";
    std::string plain;
    for (const std::string& home : {folder.path.string(), std::string("/proc/self")}) {
      const Finished f =
          shell("HOME='" + home + "' XDG_CONFIG_HOME='" + home + "' XDG_CACHE_HOME='" + home +
                "' " + program + " " + study + " --out '" + out.string() + "'");
      INFO(study << "\nhome " << home << "\n" << f.err);
      CHECK(f.code == 0);
      CHECK(f.err.empty());
      const std::string report = read_text(out / "report.json");
      REQUIRE_FALSE(report.empty());
      if (plain.empty()) plain = report;
      CHECK(report == plain);
      fs::remove_all(out);
    }
    CHECK(files_in(folder.path).empty());
  }
}
