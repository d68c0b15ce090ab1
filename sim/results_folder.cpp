#include "sim/results_folder.hpp"

#include <fmt/core.h>
#include <unistd.h>

#include <fstream>
#include <stdexcept>
#include <system_error>

#include "plots/gnuplot.hpp"
#include "sim/csv_output.hpp"
#include "sim/figures.hpp"

namespace restwell {
namespace {

namespace fs = std::filesystem;

// An earlier result is known by this file.
constexpr const char* report_file = "report.json";

void write_text(const fs::path& file, const std::string& text) {
  std::ofstream out(file, std::ios::binary);
  out << text;
  out.close();
  if (!out) throw std::runtime_error(fmt::format("cannot write {}", file.string()));
}

void refuse_foreign(const fs::path& folder) {
  std::error_code ignored;
  if (!fs::exists(folder, ignored)) return;
  if (!fs::is_directory(folder, ignored)) {
    throw std::runtime_error(fmt::format("{} is in the way and is not a folder", folder.string()));
  }
  if (!fs::is_empty(folder, ignored) && !fs::exists(folder / report_file, ignored)) {
    throw std::runtime_error(
        fmt::format("{} holds other files; give a new folder, or one that an earlier run wrote",
                    folder.string()));
  }
}

}  // namespace

WrittenFolder write_results(const RunResult& result, const Report& report,
                            const fs::path& folder_as_given) {
  fs::path folder = fs::absolute(folder_as_given).lexically_normal();
  if (folder.filename().empty()) folder = folder.parent_path();  // "out/" means "out"
  refuse_foreign(folder);
  const fs::path part =
      folder.parent_path() / fmt::format(".{}.part-{}", folder.filename().string(), ::getpid());
  WrittenFolder written;
  try {
    fs::create_directories(folder.parent_path());
    fs::remove_all(part);
    fs::create_directory(part);
    write_csv_files(result, part);
    const plots::DrawResult drawn = plots::draw(run_figures(result), part);
    written.problem = drawn.problem;
    write_text(part / "report.txt", report_text(report));
    write_text(part / report_file, report_json(report));
    for (const auto& entry : fs::directory_iterator(part)) {
      written.files.push_back(entry.path().filename().string());
    }
    fs::remove_all(folder);
    fs::rename(part, folder);
  } catch (const std::exception& e) {
    std::error_code ignored;
    fs::remove_all(part, ignored);
    throw std::runtime_error(
        fmt::format("cannot write the results to {}: {}", folder_as_given.string(), e.what()));
  }
  return written;
}

}  // namespace restwell
