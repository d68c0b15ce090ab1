#include "sim/command_parts.hpp"
#include "sim/perc.hpp"
#include "sim/perc_report.hpp"

namespace restwell {
namespace {

bool any_given(const PercOptions& o) {
  return !(o.hole.empty() && o.water.empty() && o.presoak.empty() && o.interval.empty() &&
           o.structure.empty() && o.temperature.empty() && o.drops.empty());
}

}  // namespace

int perc_command(const PercArguments& arguments, const Console& console) {
  return guarded(console, [&] {
    PercInput input;
    if (arguments.file.empty()) {
      try {
        input = perc_from_options(arguments.readings);
      } catch (const ScenarioError& e) {
        console.err << e.report() << "hint: restwell help perc\n";
        return static_cast<int>(wrong_command_line);
      }
    } else {
      if (any_given(arguments.readings))
        throw QuestionError("give a file or readings on the command line, not both",
                            "several holes go into the file, see scenarios/perc_test.yaml");
      input = load_perc(arguments.file);
    }
    input.units = arguments.output.units.value_or(input.units);
    if (!arguments.output.out.empty()) refuse_results_folder(arguments.output.out);
    const PercResult result = evaluate_perc(input);
    const ResultFiles files = {
        [&](const std::filesystem::path& folder) { write_perc_csv(result, folder); },
        perc_figures(result)};
    return deliver(perc_report(result), files, arguments.output, console);
  });
}

}  // namespace restwell
