#include "sim/results_folder.hpp"

#include <fmt/core.h>
#include <unistd.h>

#include <algorithm>
#include <fstream>
#include <set>
#include <stdexcept>
#include <system_error>

#include "plots/gnuplot.hpp"

namespace restwell {
namespace {

namespace fs = std::filesystem;

// Names every file of the folder, itself included: only these may a later run replace.
constexpr const char* list_file = "files.txt";

void write_text(const fs::path& file, const std::string& text) {
  std::ofstream out(file, std::ios::binary);
  out << text;
  out.close();
  if (!out) throw std::runtime_error(fmt::format("cannot write {}", file.string()));
}

// "out/" means "out".
fs::path plain(const fs::path& folder_as_given) {
  const fs::path folder = fs::absolute(folder_as_given).lexically_normal();
  return folder.filename().empty() ? folder.parent_path() : folder;
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
  const fs::path folder = plain(folder_as_given);
  std::error_code ignored;
  for (fs::path above = folder; !above.empty(); above = above.parent_path()) {
    if (fs::exists(above, ignored)) {
      if (fs::is_directory(above, ignored)) break;
      throw std::runtime_error(fmt::format("{} is in the way and is not a folder", above.string()));
    }
    if (above == above.root_path()) break;
  }
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
  const fs::path folder = plain(folder_as_given);
  refuse_results_folder(folder);
  const auto beside = [&](const char* what) {
    return folder.parent_path() /
           fmt::format(".{}.{}-{}", folder.filename().string(), what, ::getpid());
  };
  const fs::path part = beside("part"), old = beside("old");
  WrittenFolder written;
  try {
    fs::create_directories(folder.parent_path());
    fs::remove_all(part);
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
    // Set aside first: removing file by file would leave a half one to whoever stops it.
    if (fs::exists(folder)) fs::rename(folder, old);
    fs::rename(part, folder);
    fs::remove_all(old);
  } catch (const std::exception& e) {
    std::error_code ignored;
    if (fs::exists(old, ignored) && !fs::exists(folder, ignored)) fs::rename(old, folder, ignored);
    fs::remove_all(part, ignored);
    throw std::runtime_error(
        fmt::format("cannot write the results to {}: {}", folder_as_given.string(), e.what()));
  }
  return written;
}

}  // namespace restwell
