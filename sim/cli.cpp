#include "sim/cli.hpp"

#include <unistd.h>

#include <CLI/CLI.hpp>
#include <charconv>
#include <cstdint>
#include <iostream>
#include <string>

#include "sim/commands.hpp"
#include "sim/diagnostic.hpp"

namespace restwell {
namespace {

// CLI11's own conversions let "nan" and "-1" pass. A check returns what is wrong, or nothing.
std::string years_range(const std::string& text) {
  double years = 0.0;
  const char* end = text.data() + text.size();
  const auto [stop, error] = std::from_chars(text.data(), end, years);
  const bool good = error == std::errc{} && stop == end && years >= 1.0 && years <= 100.0;
  return good ? "" : "must be a number from 1 to 100, got " + printable(text, 40);
}
std::string whole_number(const std::string& text) {
  std::uint64_t seed = 0;
  const char* end = text.data() + text.size();
  const auto [stop, error] = std::from_chars(text.data(), end, seed);
  const bool good = error == std::errc{} && stop == end;
  return good ? "" : "must be a whole number from 0 up, got " + printable(text, 40);
}

constexpr const char* main_footer =
    R"(Examples:
  restwell run scenarios/two_old_pits.yaml
  restwell run scenarios/two_old_pits.yaml --units metric --out results
  restwell check scenarios/two_old_pits.yaml
  restwell schema > scenario.schema.json
  restwell help run

Exit codes: 0 good, 2 wrong command line, 3 the scenario file has problems, 4 the run failed.
A system that overflows is an answer, not a failure.

Open tanks, boxes and pits kill: gas, collapse, falls. Never enter one. The local code, the health
department and licensed practitioners decide; this is a calculation on assumptions.)";

constexpr const char* run_footer =
    R"(The answer comes first, then a table for each part, then what is assumed, then cautions.
Dates that hang on clogging stand as early | expected | late.

To begin, copy a file of scenarios/ and put in what you found; restwell schema lists every key. What
an option does not say, the file says; what the file does not say has a default that is listed.

Examples:
  restwell run scenarios/two_old_pits.yaml
  restwell run scenarios/two_old_pits.yaml --years 30 --mode random --seed 7
  restwell run scenarios/two_old_pits.yaml --json > answer.json
  restwell run scenarios/two_old_pits.yaml --units metric --out results

--out writes report.txt, report.json, CSV files (tank, pits, pit_months, events, yearly_balance,
outlet_shares, typical_day, clogging) and figures (SVG and PNG, drawn by gnuplot).)";

constexpr const char* check_footer =
    R"(Reads the file, reports every problem with its line and a hint, and runs nothing.

Example:
  restwell check scenarios/two_old_pits.yaml)";

constexpr const char* schema_footer =
    R"(Point your editor's YAML support at the printed file to get completion and checks while typing.

Example:
  restwell schema > scenario.schema.json)";

int run_command_line(int argc, char** argv) {
  CLI::App app{
      "restwell: what an old septic system with dry wells will do.\n"
      "From a household and the system found to pump-out dates, box shares, pit levels, overflow."};
  app.name("restwell");
  app.footer(main_footer);
  app.set_version_flag("--version", "restwell " RESTWELL_VERSION);
  app.require_subcommand(0, 1);

  RunArguments arguments;
  std::string help_on, units, mode;

  CLI::App* run = app.add_subcommand("run", "Run one site through the years and give the answer");
  run->footer(run_footer);
  run->add_option("site", arguments.site, "the scenario file (YAML)")->required();
  run->add_option("--units", units, "units of the output: us or metric")
      ->check(CLI::IsMember({"us", "metric"}).description(""))
      ->type_name("us|metric");
  run->add_option("--years", arguments.years, "years to look ahead, 1 to 100")
      ->check(years_range)
      ->type_name("YEARS");
  run->add_option("--mode", mode, "the same typical week, or chance by the seed")
      ->check(CLI::IsMember({"steady", "random"}).description(""))
      ->type_name("steady|random");
  run->add_option("--seed", arguments.seed, "seed of the random mode")
      ->check(whole_number)
      ->type_name("NUMBER");
  run->add_flag("--json", arguments.json, "the same content as JSON");
  run->add_option("--out", arguments.out, "also write CSV files and figures to this folder")
      ->type_name("DIR");

  CLI::App* check = app.add_subcommand("check", "Check a scenario file, run nothing");
  check->footer(check_footer);
  check->add_option("site", arguments.site, "the scenario file (YAML)")->required();

  CLI::App* schema = app.add_subcommand("schema", "Print the JSON Schema of scenario files");
  schema->footer(schema_footer);

  CLI::App* help = app.add_subcommand("help", "Explain a command");
  help->add_option("command", help_on, "run, check or schema");

  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& e) {
    if (e.get_exit_code() == static_cast<int>(CLI::ExitCodes::Success)) {
      return app.exit(e, std::cout, std::cerr);
    }
    const std::string word = argc > 1 ? argv[1] : "";
    if (app.get_subcommands().empty() && !word.empty() && word[0] != '-') {
      const std::string near = nearest(word, {"run", "check", "schema", "help"});
      std::cerr << "restwell: there is no command '" << word
                << "'\nhint: " << (near.empty() ? "restwell help" : "did you mean " + near + "?")
                << "\n";
      return wrong_command_line;
    }
    std::cerr << "restwell: " << e.what() << "\nhint: restwell help"
              << (app.get_subcommands().empty() ? ""
                                                : " " + app.get_subcommands().front()->get_name())
              << "\n";
    return wrong_command_line;
  }

  if (!units.empty()) arguments.units = units == "us" ? UnitSystem::us : UnitSystem::metric;
  if (!mode.empty()) arguments.mode = mode == "steady" ? Mode::steady : Mode::random;
  if (*run) {
    const bool terminal = ::isatty(STDERR_FILENO) != 0;
    return run_command(arguments, terminal, std::cout, std::cerr);
  }
  if (*check) return check_command(arguments.site, std::cout, std::cerr);
  if (*schema) return schema_command(std::cout);
  if (*help && !help_on.empty()) {
    for (const CLI::App* command : {run, check, schema}) {
      if (command->get_name() != help_on) continue;
      std::cout << command->help("restwell");
      return ok;
    }
    std::cerr << "restwell: there is no command '" << help_on
              << "'\nhint: the commands are run, check and schema\n";
    return wrong_command_line;
  }
  std::cout << app.get_formatter()->make_help(&app, "restwell", CLI::AppFormatMode::Normal);
  return ok;
}

}  // namespace

int command_line(int argc, char** argv) {
  const int code = run_command_line(argc, argv);
  std::cout.flush();
  if (std::cout || code != ok) return code;
  std::cerr << "restwell: cannot write the result (disk full, or output closed)\n";
  return run_failed;
}

}  // namespace restwell
