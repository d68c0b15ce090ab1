#include "sim/commands.hpp"

#include <fmt/core.h>

#include <cmath>
#include <exception>
#include <ostream>

#include "sim/cases.hpp"
#include "sim/diagnostic.hpp"
#include "sim/report.hpp"
#include "sim/results_folder.hpp"
#include "sim/run.hpp"
#include "sim/scenario_yaml.hpp"
#include "sim/schema.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

// Runs work and turns what it throws into a message and an exit code.
template <typename Work>
int guarded(std::ostream& err, const Work& work) {
  try {
    return work();
  } catch (const ScenarioError& e) {
    err << e.report();
    return scenario_invalid;
  } catch (const std::exception& e) {
    err << "restwell: " << e.what() << "\n";
    return run_failed;
  }
}

}  // namespace

int run_command(const RunArguments& arguments, bool show_progress, std::ostream& out,
                std::ostream& err) {
  return guarded(err, [&] {
    LoadedScenario loaded = load_scenario(arguments.site, arguments.years);
    Scenario& scenario = loaded.scenario;
    scenario.units = arguments.units.value_or(scenario.units);
    scenario.seed = arguments.seed.value_or(scenario.seed);
    scenario.mode = arguments.mode.value_or(scenario.mode);
    if (!arguments.out.empty()) refuse_results_folder(arguments.out);

    Progress progress;
    int shown = -1;
    if (show_progress) {
      progress.report = [&](double part) {
        const int percent = static_cast<int>(std::floor(100.0 * part));
        if (percent == shown) return;
        shown = percent;
        err << fmt::format("\rrunning {:.3g} years: {:3d} %", scenario.years, percent)
            << std::flush;
      };
    }
    const RunResult result = run(scenario, clogging_cases(scenario.biomat), progress);
    if (show_progress) err << "\r" << std::string(40, ' ') << "\r" << std::flush;
    const Report report = run_report(result, loaded.warnings);
    std::string closing;
    if (!arguments.out.empty()) {
      const WrittenFolder written = write_results(result, report, arguments.out);
      if (!written.problem.empty()) err << "restwell: " << written.problem << "\n";
      closing = fmt::format("\n{} files written to {}\n", written.files.size(), arguments.out);
    }
    if (arguments.json) {
      out << report_json(report);
      err << closing;
    } else {
      out << report_text(report) << closing;
    }
    out.flush();
    return static_cast<int>(ok);
  });
}

int check_command(const std::string& site, std::ostream& out, std::ostream& err) {
  return guarded(err, [&] {
    const LoadedScenario loaded = load_scenario(site);
    for (const std::string& warning : loaded.warnings) out << "note: " << warning << "\n";
    const Scenario& s = loaded.scenario;
    out << fmt::format("{}: good. {}: {}, {} {}, {:.3g} years from {}.\n", site, s.name,
                       people_words(s.household.occupants), s.pits.size(),
                       s.pits.size() == 1 ? "pit" : "pits", s.years, iso_date(s.start));
    return static_cast<int>(ok);
  });
}

int schema_command(std::ostream& out) {
  out << scenario_schema_json();
  return ok;
}

}  // namespace restwell
