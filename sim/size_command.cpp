#include "sim/command_parts.hpp"
#include "sim/commands.hpp"
#include "sim/size.hpp"
#include "sim/size_report.hpp"

namespace restwell {

int size_command(const SizeArguments& arguments, const Console& console) {
  return guarded(console, [&] {
    const LoadedScenario loaded = load_site(arguments.site);
    const SizeQuestion question = size_question(arguments, loaded.scenario);
    ProgressLine line(console, "sizing pits");
    const SizeResult result = size_pits(loaded, question, line.progress());
    const ResultFiles files = {
        [&](const std::filesystem::path& folder) { write_size_files(result, folder); },
        size_figures(result)};
    return deliver(size_report(result, loaded.warnings), files, arguments.site.output, console);
  });
}

}  // namespace restwell
