#include "sim/command_parts.hpp"

#include <fmt/core.h>

#include <cmath>

namespace restwell {

int no_memory(const Console& console) {
  console.err << "restwell: not enough memory\nhint: fewer years, or a larger ring_height in the "
                 "file's limits, need less\n";
  return run_failed;
}

LoadedScenario load_site(const SiteArguments& arguments) {
  LoadedScenario loaded = load_scenario(arguments.site, arguments.years);
  Scenario& scenario = loaded.scenario;
  scenario.units = arguments.output.units.value_or(scenario.units);
  scenario.seed = arguments.seed.value_or(scenario.seed);
  scenario.mode = arguments.mode.value_or(scenario.mode);
  if (!arguments.output.out.empty()) refuse_results_folder(arguments.output.out);
  return loaded;
}

ProgressLine::ProgressLine(const Console& console, std::string what)
    : console_(console), what_(std::move(what)) {}

ProgressLine::~ProgressLine() {
  if (shown_ < 0) return;
  console_.err << "\r" << std::string(what_.size() + 10, ' ') << "\r" << std::flush;
}

void ProgressLine::show(double part) {
  if (!console_.show_progress) return;
  const int percent = static_cast<int>(std::floor(100.0 * part));
  if (percent == shown_) return;
  shown_ = percent;
  console_.err << fmt::format("\r{}: {:3d} %", what_, percent) << std::flush;
}

Progress ProgressLine::progress() {
  Progress progress;
  if (console_.show_progress) progress.report = [this](double part) { show(part); };
  return progress;
}

int deliver(const Report& report, const ResultFiles& files, const OutputArguments& output,
            const Console& console) {
  std::string closing;
  if (!output.out.empty()) {
    const WrittenFolder written = write_results(report, files, output.out);
    if (!written.problem.empty()) console.err << "restwell: " << written.problem << "\n";
    closing = fmt::format("\n{} files written to {}\n", written.files.size(), output.out);
  }
  if (output.json) {
    console.out << report_json(report);
    console.err << closing;
  } else {
    console.out << report_text(report) << closing;
  }
  console.out.flush();
  return ok;
}

}  // namespace restwell
