#include "sim/results_folder.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <new>
#include <set>
#include <stdexcept>
#include <system_error>

#include "plots/gnuplot.hpp"
#include "sim/put_in_place.hpp"

namespace restwell {
namespace {

namespace fs = std::filesystem;

// Names every file of the folder, itself included: only these may a later run replace.
constexpr const char* list_file = "files.txt";

void write_text(const fs::path& file, const std::string& text) {
  std::ofstream out(file, std::ios::binary);
  out << text;
  out.close();
  if (!out) {
    throw std::runtime_error(
        fmt::format("{}: cannot be written: {}", file.filename().string(), std::strerror(errno)));
  }
}

bool is_mount_point(const fs::path& folder) {
  struct statx found {};
  return ::statx(AT_FDCWD, folder.c_str(), 0, 0, &found) == 0 &&
         (found.stx_attributes & STATX_ATTR_MOUNT_ROOT) != 0;
}

// The results are written beside the folder and put in its place: that needs the folder above it.
void refuse_without_place_beside(const fs::path& folder) {
  std::error_code ignored;
  const bool there = fs::exists(folder, ignored);
  const std::string instead =
      there && ::access(folder.c_str(), W_OK | X_OK) == 0
          ? fmt::format("; give a folder in it, such as {}", (folder / "results").string())
          : "";
  if (there && is_mount_point(folder)) {
    throw std::runtime_error(fmt::format("{} is a mount point and cannot be replaced as a whole{}",
                                         folder.string(), instead));
  }
  fs::path above = folder.parent_path();
  while (!fs::exists(above, ignored) && above.has_relative_path()) above = above.parent_path();
  if (::access(above.c_str(), W_OK | X_OK) != 0) {
    throw std::runtime_error(fmt::format(
        "{} cannot be written to ({}), but results are made beside {} and put in its place whole{}",
        above.string(), std::strerror(errno), folder.string(), instead));
  }
}

// What the earlier run wrote, by its own list.
std::set<std::string> written_before(const fs::path& folder) {
  std::set<std::string> names;
  std::ifstream list(folder / list_file);
  for (std::string name; std::getline(list, name);) names.insert(name);
  return names;
}

}  // namespace

void refuse_results_folder(const fs::path& folder_as_given) {
  const fs::path folder = place_of(folder_as_given);
  std::error_code ignored;
  for (fs::path above = folder; !above.empty(); above = above.parent_path()) {
    if (fs::exists(above, ignored)) {
      if (fs::is_directory(above, ignored)) break;
      throw std::runtime_error(fmt::format("{} is in the way and is not a folder", above.string()));
    }
    if (above == above.root_path()) break;
  }
  refuse_without_place_beside(folder);
  if (!fs::exists(folder, ignored)) return;
  const std::set<std::string> ours = written_before(folder);
  bool replaceable = true;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder)) {
    replaceable = replaceable && entry.is_regular_file(ignored) && !entry.is_symlink(ignored) &&
                  ours.count(entry.path().filename().string()) > 0;
  }
  if (!replaceable) {
    throw std::runtime_error(
        fmt::format("{} holds other files; give a new folder, or one that an earlier run wrote",
                    folder.string()));
  }
}

WrittenFolder write_results(const Report& report, const ResultFiles& files,
                            const fs::path& folder_as_given) {
  const fs::path folder = place_of(folder_as_given), part = part_of(folder);
  clear_leftovers(folder);
  refuse_results_folder(folder);
  WrittenFolder written;
  try {
    fs::create_directories(folder.parent_path());
    fs::create_directory(part);
    files.write_csv(part);
    const plots::DrawResult drawn = plots::draw(files.figures, part);
    written.problem = drawn.problem;
    write_text(part / "report.txt", report_text(report));
    write_text(part / "report.json", report_json(report));
    for (const auto& entry : fs::directory_iterator(part)) {
      written.files.push_back(entry.path().filename().string());
    }
    written.files.push_back(list_file);
    std::sort(written.files.begin(), written.files.end());
    std::string list;
    for (const std::string& name : written.files) list += name + "\n";
    write_text(part / list_file, list);
    put_folder_in_place(folder);
  } catch (const std::exception& e) {
    std::error_code ignored;
    fs::remove_all(part, ignored);
    if (dynamic_cast<const std::bad_alloc*>(&e) != nullptr) throw;  // not the folder's fault
    const auto* of_files = dynamic_cast<const fs::filesystem_error*>(&e);
    throw std::runtime_error(
        fmt::format("cannot write the results to {}: {}", folder_as_given.string(),
                    of_files != nullptr ? of_files->code().message() : std::string(e.what())));
  }
  return written;
}

}  // namespace restwell
