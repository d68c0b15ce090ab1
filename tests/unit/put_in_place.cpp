// Whatever killed runs left beside a place: nothing of the user's is lost, what was set aside comes
// back, what only was begun goes.
#include "sim/put_in_place.hpp"

#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <set>

#include "tests/support/temporary_folder.hpp"

using namespace restwell;
using namespace restwell::test;
namespace fs = std::filesystem;

namespace {

// Of a process that was, and of one that is: this one's parent.
pid_t dead_process() {
  const pid_t child = ::fork();
  if (child == 0) ::_exit(0);
  int status = 0;
  REQUIRE(::waitpid(child, &status, 0) == child);
  return child;
}

void make(const fs::path& folder, const std::string& text) {
  fs::create_directories(folder);
  write_text(folder / "report.txt", text);
}

std::set<std::string> names_in(const fs::path& folder) {
  std::set<std::string> names;
  for (const auto& entry : fs::directory_iterator(folder))
    names.insert(entry.path().filename().string());
  return names;
}

std::string named(const char* what, pid_t process) {
  return std::string(".res.") + what + "-" + std::to_string(process);
}

}  // namespace

TEST_CASE("what killed runs left is cleared, and what they set aside is put back") {
  const pid_t dead = dead_process(), living = ::getppid(), own = ::getpid();
  REQUIRE(living > 1);
  // Bits: the place is filled; a part or an old folder of a dead, this (by number) or a living
  // process.
  for (unsigned state = 0; state < 128; ++state) {
    const TemporaryFolder folder;
    const fs::path place = folder.path / "res";
    std::set<std::string> stays;
    const bool filled = (state & 1U) != 0;
    if (filled) make(place, "whole");
    bool set_aside = false;
    for (const auto& [bit, what, process] : {std::tuple{2U, "part", dead},
                                             {4U, "old", dead},
                                             {8U, "part", own},
                                             {16U, "old", own},
                                             {32U, "part", living},
                                             {64U, "old", living}}) {
      if ((state & bit) == 0) continue;
      make(folder.path / named(what, process), what);
      if (process == living) stays.insert(named(what, process));
      set_aside = set_aside || (process != living && std::string(what) == "old");
    }
    if (filled || set_aside) stays.insert("res");
    clear_leftovers(place);
    INFO("state " << state);
    CHECK(names_in(folder.path) == stays);
    if (filled || set_aside) {
      CHECK(read_text(place / "report.txt") == (filled ? "whole" : "old"));
    }
    clear_leftovers(place);
    CHECK(names_in(folder.path) == stays);
  }
}

TEST_CASE("of several folders set aside the last one is put back") {
  const pid_t first = dead_process(), second = dead_process();
  for (const pid_t later : {first, second}) {
    const TemporaryFolder folder;
    for (const pid_t process : {first, second}) {
      const fs::path old = folder.path / named("old", process);
      make(old, process == later ? "later" : "earlier");
      fs::last_write_time(old, fs::file_time_type() + std::chrono::hours(process == later ? 2 : 1));
    }
    clear_leftovers(folder.path / "res");
    CHECK(names_in(folder.path) == std::set<std::string>{"res"});
    CHECK(read_text(folder.path / "res" / "report.txt") == "later");
  }
}

TEST_CASE("names that are not quite ours are left alone") {
  const std::string dead = std::to_string(dead_process());
  const TemporaryFolder folder;
  const std::vector<std::string> others{"res.part-" + dead,
                                        ".res.part-",
                                        ".res.part-0" + dead,
                                        ".res.part-" + dead + "x",
                                        ".res.part-" + dead + ".txt",
                                        ".res.part--" + dead,
                                        ".res.part-0",
                                        ".res.part-x",
                                        ".res2.part-" + dead,
                                        ".re.old-" + dead,
                                        ".res.older-" + dead,
                                        ".Res.part-" + dead,
                                        ".res.part-99999999999",
                                        ".res.part- " + dead,
                                        ".res"};
  for (const std::string& name : others) make(folder.path / name, "mine");
  write_text(folder.path / (".res.old-" + dead), "a file was never set aside");
  const std::set<std::string> before = names_in(folder.path);
  REQUIRE(before.size() == others.size() + 1);
  clear_leftovers(folder.path / "res");
  CHECK(names_in(folder.path) == before);
  make(folder.path / "res", "whole");
  make(folder.path / (".res.part-" + dead), "begun");  // the same number, quite ours
  clear_leftovers(folder.path / "res");
  CHECK_FALSE(fs::exists(folder.path / (".res.part-" + dead)));
  for (const std::string& name : others)
    CHECK(read_text(folder.path / name / "report.txt") == "mine");
}

TEST_CASE("a link among the leftovers goes, what it points to stays") {
  const TemporaryFolder folder;
  make(folder.path / "photos", "mine");
  fs::create_symlink(folder.path / "photos", folder.path / named("part", dead_process()));
  clear_leftovers(folder.path / "res");
  CHECK(names_in(folder.path) == std::set<std::string>{"photos"});
  CHECK(read_text(folder.path / "photos" / "report.txt") == "mine");
}

TEST_CASE("a folder is put in an empty place and over another one") {
  const TemporaryFolder folder;
  const fs::path place = folder.path / "res";
  for (const std::string text : {"first", "second"}) {
    make(part_of(place), text);
    put_folder_in_place(place);
    CHECK(names_in(folder.path) == std::set<std::string>{"res"});
    CHECK(read_text(place / "report.txt") == text);
  }
}

TEST_CASE("a place is what a link points to") {
  const TemporaryFolder folder;
  const fs::path real = fs::canonical(folder.path);
  make(real / "there", "");
  fs::create_symlink("there", real / "link");
  fs::create_symlink("link", real / "second");
  fs::create_symlink("nowhere", real / "dangling");
  fs::create_symlink("circle", real / "circle");
  CHECK(place_of(real / "there" / "") == real / "there");
  CHECK(place_of(real / "new" / "") == real / "new");
  CHECK(place_of(real / "link" / "") == real / "there");
  CHECK(place_of(real / "second") == real / "there");
  CHECK(place_of("some") == fs::current_path() / "some");
  CHECK_THROWS_WITH(place_of(real / "dangling"),
                    (real / "dangling").string() + " is a link to nowhere, which is not there");
  CHECK_THROWS_WITH(place_of(real / "circle"),
                    (real / "circle").string() + " is a link to circle, which is not there");
}
