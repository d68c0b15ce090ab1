#include "sim/command_parts.hpp"
#include "sim/commands.hpp"
#include "sim/pump_report.hpp"
#include "sim/readings.hpp"
#include "sim/record.hpp"
#include "sim/tank_story.hpp"

namespace restwell {
namespace {

// Command line words as readings and dates; throws QuestionError with all that is wrong.
struct Asked {
  std::vector<TankReading> readings;
  std::vector<Date> pumped;
};
Asked asked_of(const PumpArguments& arguments) {
  Asked asked;
  std::vector<std::string> problems;
  for (const std::string& text : arguments.readings) {
    const auto parsed = parse_reading(text);
    if (const auto* reading = std::get_if<TankReading>(&parsed)) {
      asked.readings.push_back(*reading);
    } else {
      const auto& wrong = std::get<std::vector<std::string>>(parsed);
      problems.insert(problems.end(), wrong.begin(), wrong.end());
    }
  }
  for (const std::string& text : arguments.pumped) {
    const auto parsed = parse_date(text);
    if (const auto* day = std::get_if<Date>(&parsed)) {
      asked.pumped.push_back(*day);
    } else {
      problems.push_back("--pumped " + std::get<std::string>(parsed));
    }
  }
  if (!problems.empty()) refuse_question(problems, accepted_readings);
  return asked;
}

}  // namespace

int pump_command(const PumpArguments& arguments, const Console& console) {
  return guarded(console, [&] {
    const LoadedScenario loaded = load_site(arguments.site);
    const Asked asked = asked_of(arguments);
    const TankStory story = tank_story(loaded.scenario, asked.readings, asked.pumped);
    ProgressLine line(console, "looking ahead");
    const PumpStudy study = study_pumping(loaded.scenario, story, line.progress());
    const ResultFiles files = {
        [&](const std::filesystem::path& folder) { write_pump_csv(study, folder); },
        pump_figures(study)};
    return deliver(pump_report(study, loaded.warnings), files, arguments.site.output, console);
  });
}

}  // namespace restwell
