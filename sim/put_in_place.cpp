#include "sim/put_in_place.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <signal.h>
#include <stdio.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <stdexcept>
#include <string>
#include <system_error>
#include <vector>

namespace restwell {
namespace {

namespace fs = std::filesystem;

std::string beginning(const fs::path& place, const char* what) {
  return fmt::format(".{}.{}-", place.filename().string(), what);
}

fs::path beside(const fs::path& place, const char* what, pid_t process) {
  return place.parent_path() / fmt::format("{}{}", beginning(place, what), process);
}

// Of a name that we give, the process in it; 0: not such a name.
pid_t process_in(const std::string& name, const std::string& begins) {
  if (name.compare(0, begins.size(), begins) != 0) return 0;
  pid_t process = 0;
  const char* end = name.data() + name.size();
  const auto [stop, error] = std::from_chars(name.data() + begins.size(), end, process);
  const bool ours = error == std::errc{} && stop == end && process > 0 &&
                    name == fmt::format("{}{}", begins, process);  // no zeros before it
  return ours ? process : 0;
}

// This process begins anew: what bears its number is of an earlier one.
bool lives(pid_t process) {
  return process != ::getpid() && (::kill(process, 0) == 0 || errno == EPERM);
}

// Of dead processes, the last written first.
std::vector<pid_t> dead_beside(const fs::path& place, const char* what) {
  std::vector<pid_t> dead;
  std::error_code ignored;
  for (const fs::directory_entry& entry : fs::directory_iterator(place.parent_path(), ignored)) {
    const pid_t process = process_in(entry.path().filename().string(), beginning(place, what));
    if (process != 0 && !lives(process)) dead.push_back(process);
  }
  const auto written = [&](pid_t process) {
    return fs::last_write_time(beside(place, what, process), ignored);
  };
  std::sort(dead.begin(), dead.end(), [&](pid_t a, pid_t b) { return written(a) > written(b); });
  return dead;
}

}  // namespace

fs::path place_of(const fs::path& as_given) {
  fs::path place = fs::absolute(as_given).lexically_normal();
  if (place.filename().empty()) place = place.parent_path();
  std::error_code ignored;
  if (!fs::is_symlink(place, ignored)) return place;
  if (!fs::exists(place, ignored))
    throw std::runtime_error(fmt::format("{} is a link to {}, which is not there", place.string(),
                                         fs::read_symlink(place).string()));
  return fs::canonical(place);
}

fs::path part_of(const fs::path& place) { return beside(place, "part", ::getpid()); }

void clear_leftovers(const fs::path& place) {
  std::error_code ignored;  // what cannot be cleared is in nobody's way
  for (const pid_t process : dead_beside(place, "part"))
    fs::remove_all(beside(place, "part", process), ignored);
  for (const pid_t process : dead_beside(place, "old")) {
    const fs::path old = beside(place, "old", process), part = beside(place, "part", process);
    if (!fs::is_directory(fs::symlink_status(old, ignored)))
      continue;  // only folders are set aside
    if (!fs::exists(fs::symlink_status(place, ignored))) {
      fs::rename(old, place, ignored);
      continue;
    }
    // A kill in the middle of removing must not leave half of it under a name that is put back.
    fs::rename(old, part, ignored);
    fs::remove_all(part, ignored);
  }
}

void put_folder_in_place(const fs::path& place) {
  const fs::path part = part_of(place), old = beside(place, "old", ::getpid());
  std::error_code ignored;  // once the results stand: what is left is cleared by the next run
  if (!fs::exists(place)) return fs::rename(part, place);
  if (::renameat2(AT_FDCWD, part.c_str(), AT_FDCWD, place.c_str(), RENAME_EXCHANGE) != 0) {
    fs::rename(place, old);
    try {
      fs::rename(part, place);
    } catch (const fs::filesystem_error&) {
      fs::rename(old, place);
      throw;
    }
    fs::rename(old, part, ignored);
  }
  fs::remove_all(part, ignored);
}

}  // namespace restwell
