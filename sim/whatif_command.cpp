#include <fmt/core.h>

#include "sim/command_parts.hpp"
#include "sim/whatif_ask.hpp"
#include "sim/words.hpp"

namespace restwell {

int whatif_command(const WhatIfArguments& arguments, const Console& console) {
  return guarded(console, [&] {
    AskedSite asked = ask_site(arguments);
    WhatIf& w = asked.what_if;
    ProgressLine line(
        console, fmt::format("running {} cases of {}", asked.runs.size(), years_words(w.days)));
    w.outcomes = run_cases(asked.runs, line.progress());
    add_outcome_notes(w);
    const ResultFiles files = {
        [&](const std::filesystem::path& folder) { write_whatif_csv(w, folder); },
        whatif_figures(w)};
    return deliver(whatif_report(w), files, arguments.site.output, console);
  });
}

}  // namespace restwell
