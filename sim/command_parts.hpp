// What the commands share: loading a site, showing progress, giving the answer, turning what is
// thrown into a message and an exit code.
#pragma once

#include <exception>
#include <new>
#include <string>

#include "plots/figure.hpp"
#include "sim/commands.hpp"
#include "sim/diagnostic.hpp"
#include "sim/report.hpp"
#include "sim/results_folder.hpp"
#include "sim/scenario_yaml.hpp"

namespace restwell {

// Says so without asking for any.
int no_memory(const Console& console);

// Runs work and turns what it throws into a message and an exit code.
template <typename Work>
int guarded(const Console& console, const Work& work) {
  try {
    return work();
  } catch (const ScenarioError& e) {
    console.err << e.report();
    return scenario_invalid;
  } catch (const QuestionError& e) {
    console.err << "restwell: " << e.what() << "\n";
    return wrong_command_line;
  } catch (const std::bad_alloc&) {
    return no_memory(console);
  } catch (const std::exception& e) {
    console.err << "restwell: " << e.what() << "\n";
    return run_failed;
  }
}

// The scenario with what the command line overrules. Refuses an output folder that cannot be
// written before any long work.
[[nodiscard]] LoadedScenario load_site(const SiteArguments& arguments);

// One line on the console that counts up: "resting: 40 %". Erased at its end.
class ProgressLine {
 public:
  ProgressLine(const Console& console, std::string what);
  ~ProgressLine();
  ProgressLine(const ProgressLine&) = delete;
  ProgressLine& operator=(const ProgressLine&) = delete;
  void show(double part);  // 0..1; may be called from one thread at a time
  [[nodiscard]] Progress progress();

 private:
  const Console& console_;
  std::string what_;
  int shown_ = -1;
};

// Prints the report as text or JSON and writes the results folder if one is asked for.
int deliver(const Report& report, const ResultFiles& files, const OutputArguments& output,
            const Console& console);

}  // namespace restwell
