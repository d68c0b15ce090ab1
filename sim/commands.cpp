#include "sim/commands.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "sim/cases.hpp"
#include "sim/command_parts.hpp"
#include "sim/csv_output.hpp"
#include "sim/figures.hpp"
#include "sim/run.hpp"
#include "sim/schema.hpp"
#include "sim/words.hpp"

namespace restwell {

int run_command(const SiteArguments& arguments, const Console& console) {
  return guarded(console, [&] {
    const LoadedScenario loaded = load_site(arguments);
    const Scenario& scenario = loaded.scenario;
    ProgressLine line(console, fmt::format("running {:.3g} years", scenario.years));
    const RunResult result = run(scenario, clogging_cases(scenario.biomat), line.progress());
    const ResultFiles files = {
        [&](const std::filesystem::path& folder) { write_csv_files(result, folder); },
        run_figures(result)};
    return deliver(run_report(result, loaded.warnings), files, arguments.output, console);
  });
}

int check_command(const std::string& site, const Console& console) {
  return guarded(console, [&] {
    const LoadedScenario loaded = load_scenario(site);
    for (const std::string& warning : loaded.warnings) console.out << "note: " << warning << "\n";
    const Scenario& s = loaded.scenario;
    const auto fields = static_cast<std::size_t>(std::ranges::count_if(
        s.pits, [](const PitConfig& p) { return p.geometry.trench.has_value(); }));
    std::vector<std::string> parts{people_words(s.household.occupants)};
    const auto add = [&](std::size_t count, const char* one) {
      if (count > 0) parts.push_back(fmt::format("{} {}{}", count, one, count == 1 ? "" : "s"));
    };
    add(s.pits.size() - fields, "pit");
    add(fields, "drain field");
    console.out << fmt::format("{}: good. {}: {}, {:.3g} {} from {}.\n", site, s.name,
                               fmt::join(parts, ", "), s.years, s.years == 1.0 ? "year" : "years",
                               iso_date(s.start));
    return static_cast<int>(ok);
  });
}

int schema_command(const Console& console) {
  console.out << scenario_schema_json();
  return ok;
}

}  // namespace restwell
