#include "sim/cli.hpp"

#include <unistd.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <charconv>
#include <cstdint>
#include <functional>
#include <iostream>
#include <new>
#include <string>
#include <utility>
#include <vector>

#include "sim/command_parts.hpp"
#include "sim/command_tree.hpp"
#include "sim/commands.hpp"
#include "sim/diagnostic.hpp"
#include "sim/help_texts.hpp"
#include "sim/readings.hpp"
#include "sim/version.hpp"
#include "sim/words.hpp"

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

// An unset variable of a shell gives "": taken for no option, the results would not be written.
std::string not_empty(const std::string& text) {
  return text.empty() ? "must be a name, got an empty text (a shell variable not set?)" : "";
}

// A command as it stands on the command line, and what it does once the line is read.
struct Command {
  CLI::App* app;
  std::function<int(const Console&)> work;
};

// One of some words, each with its value.
template <typename T>
void add_words_option(CLI::App& app, const std::string& name, T& value,
                      const std::vector<std::pair<std::string, T>>& of,
                      const std::string& description) {
  std::vector<std::string> words;
  std::string type;
  for (const auto& [word, meaning] : of) {
    words.push_back(word);
    type += (type.empty() ? "" : "|") + word;
  }
  app.add_option_function<std::string>(
         name,
         [&value, of](const std::string& said) {
           for (const auto& [word, meaning] : of)
             if (word == said) value = meaning;
         },
         description)
      ->check(CLI::IsMember(words).description(""))
      ->type_name(type);
}

void add_chance_options(CLI::App& app, SiteArguments& site) {
  add_words_option(app, "--mode", site.mode, {{"steady", Mode::steady}, {"random", Mode::random}},
                   "the same typical week, or chance by the seed");
  app.add_option("--seed", site.seed, "seed of the random mode")
      ->check(whole_number)
      ->type_name("NUMBER");
}

void add_units_option(CLI::App& app, OutputArguments& output) {
  add_words_option(app, "--units", output.units,
                   {{"us", UnitSystem::us}, {"metric", UnitSystem::metric}},
                   "units of the output: us or metric");
}

void add_output_options(CLI::App& app, OutputArguments& output) {
  add_units_option(app, output);
  app.add_flag("--json", output.json, "the same content as JSON");
  app.add_option("--out", output.out, "also write CSV files and figures to this folder")
      ->check(not_empty)
      ->type_name("DIR");
}

void add_time_options(CLI::App& app, SiteArguments& site) {
  app.add_option("site", site.site, "the scenario file (YAML)")->required();
  app.add_option("--years", site.years, "years to look ahead, 1 to 100")
      ->check(years_range)
      ->type_name("YEARS");
  add_chance_options(app, site);
}

void add_site_options(CLI::App& app, SiteArguments& site) {
  add_time_options(app, site);
  add_output_options(app, site.output);
}

void add_case_options(CLI::App& app, WhatIfArguments& whatif) {
  app.add_option("--set", whatif.sets,
                 "another value, list or range of values for a field of the file; repeatable")
      ->allow_extra_args(false)
      ->type_name("PATH=VALUE");
  app.add_option("--cases", whatif.cases, "a file of named cases (YAML)")
      ->check(not_empty)
      ->type_name("FILE");
}

void add_page_options(CLI::App& app, PageArguments& page) {
  add_time_options(app, page.question.site);
  add_units_option(app, page.question.site.output);
  add_case_options(app, page.question);
  app.add_option("-o,--html", page.html, "the page to write, one HTML file")
      ->check(not_empty)
      ->type_name("FILE");
  app.add_option("--pdf", page.pdf, "the page as PDF, printed by an installed browser")
      ->check(not_empty)
      ->type_name("FILE");
}

void add_perc_options(CLI::App& app, PercArguments& perc) {
  app.add_option("file", perc.file, "holes and readings (YAML), instead of the options");
  PercOptions& r = perc.readings;
  app.add_option("--hole", r.hole, "diameter of the hole, \"6 in\"")->type_name("LENGTH");
  app.add_option("--water", r.water, "depth of water as each reading starts, \"6 in\"")
      ->type_name("LENGTH");
  app.add_option("--presoak", r.presoak, "how long the hole was soaked, \"24 hours\"")
      ->type_name("TIME");
  app.add_option("--interval", r.interval, "time of each reading, \"30 min\"")->type_name("TIME");
  app.add_option("--drop", r.drops, "fall of the water in an interval, \"7/8 in\"; once for each")
      ->type_name("LENGTH")
      ->expected(1)
      ->take_all();
  app.add_option("--structure", r.structure, "gravelly, structured, unstructured or compacted soil")
      ->type_name("CLASS");
  app.add_option("--temperature", r.temperature, "of the water in the hole, \"50 degF\"")
      ->type_name("DEGREES");
  add_output_options(app, perc.output);
}

void add_rest_options(CLI::App& app, RestArguments& rest) {
  add_site_options(app, rest.site);
  app.add_option("--pit", rest.pit, "the pit that rests")->required()->type_name("NAME");
  app.add_option("--from", rest.from, "first day out of service; else the start of the file")
      ->type_name("DATE");
  app.add_option("--service", rest.service, "what the rest is to buy")
      ->type_name("DURATION")
      ->capture_default_str();
  app.add_option("--longest", rest.longest, "the longest rest to look at")
      ->type_name("DURATION")
      ->capture_default_str();
  app.add_option("--flow-to", rest.flow_to,
                 "where its water goes: others, haul or a pit; else as the file says")
      ->type_name("others|haul|PIT");
}

void add_size_options(CLI::App& app, SizeArguments& a) {
  app.add_option("site", a.site.site, "the scenario file (YAML)")->required();
  app.add_option("--diameters", a.diameters,
                 "allowed, outside of the gravel (\"5 ft, 6 ft, 8 ft, 10 ft\")")
      ->type_name("LENGTHS");
  app.add_option("--depths", a.depths, "allowed, below the inlet (\"6 ft..20 ft by 1 ft\")")
      ->type_name("LENGTHS");
  app.add_option("--pits", a.pits, "how many new ones (1..3)")->type_name("NUMBERS");
  app.add_option("--life", a.life, "how long they must last (20 years)")->type_name("YEARS");
  add_words_option(app, "--by", a.by, {{"early", LifeBy::early}, {"expected", LifeBy::expected}},
                   "case of clogging that must last so long (expected)");
  add_words_option(
      app, "--basis", a.basis,
      {{"both", Basis::both}, {"code", Basis::code}, {"household", Basis::household}},
      "flow: the household's, the codes', or by the first with the other shown (both)");
  add_words_option(app, "--old", a.old_pits, {{"leave", OldPits::leave}, {"keep", OldPits::keep}},
                   "old pits: left out of service, or kept on the box (keep, if there is a box)");
  app.add_option("--service", a.service,
                 "an old pit put back must last so long to count as recovered (3 years)")
      ->type_name("YEARS");
  app.add_option("--cost-per-pit", a.cost_per_pit, "your cost of each pit, a bare number")
      ->type_name("NUMBER");
  app.add_option("--cost-per-volume", a.cost_per_volume, "your cost of digging (\"30 /yd3\")")
      ->type_name("NUMBER");
  add_chance_options(app, a.site);
  add_output_options(app, a.site.output);
}

// The arguments of all commands; they must outlive the parsing.
struct Arguments {
  SiteArguments run;
  PumpArguments pump;
  WhatIfArguments whatif;
  PageArguments report;
  RestArguments rest;
  SizeArguments size;
  std::string check;
  PercArguments perc;
};

std::vector<Command> add_commands(CLI::App& app, Arguments& a) {
  std::vector<Command> commands;
  CLI::App* run = app.add_subcommand("run", "Run one site through the years and give the answer");
  run->footer(help::run);
  add_site_options(*run, a.run);
  commands.push_back({run, [&a](const Console& c) { return run_command(a.run, c); }});

  CLI::App* pump = app.add_subcommand(
      "pump", "When to pump, corrected by what was measured; what skipping costs");
  pump->footer(help::pump);
  add_site_options(*pump, a.pump.site);
  pump->add_option("--reading", a.pump.readings,
                   "measured through the inlet lid: DATE sludge=14in scum=3in; may be repeated")
      ->allow_extra_args(false)
      ->type_name("READING");
  pump->add_option("--pumped", a.pump.pumped, "a pump-out known; overrules the file's; repeatable")
      ->allow_extra_args(false)
      ->type_name("DATE");
  commands.push_back({pump, [&a](const Console& c) { return pump_command(a.pump, c); }});
  CLI::App* whatif =
      app.add_subcommand("whatif", "Run one site under other values and compare the cases");
  whatif->footer(help::whatif);
  add_site_options(*whatif, a.whatif.site);
  add_case_options(*whatif, a.whatif);
  commands.push_back({whatif, [&a](const Console& c) { return whatif_command(a.whatif, c); }});

  CLI::App* report = app.add_subcommand(
      "report", "Write a page for the homeowner: one HTML file, to mail or print");
  report->footer(help::report);
  add_page_options(*report, a.report);
  commands.push_back({report, [&a](const Console& c) { return report_command(a.report, c); }});

  CLI::App* rest = app.add_subcommand("rest", "How long must a pit rest, how long does that last");
  rest->footer(help::rest);
  add_rest_options(*rest, a.rest);
  commands.push_back({rest, [&a](const Console& c) { return rest_command(a.rest, c); }});

  CLI::App* perc = app.add_subcommand(
      "perc", "Turn percolation readings into a rate, conductivity and the codes' areas");
  perc->footer(help::perc);
  add_perc_options(*perc, a.perc);
  commands.push_back({perc, [&a](const Console& c) { return perc_command(a.perc, c); }});

  CLI::App* size =
      app.add_subcommand("size", "Find new pits that last, what codes ask for, a plan");
  size->footer(help::size);
  add_size_options(*size, a.size);
  commands.push_back({size, [&a](const Console& c) { return size_command(a.size, c); }});

  CLI::App* check = app.add_subcommand("check", "Check a scenario file, run nothing");
  check->footer(help::check);
  check->add_option("site", a.check, "the scenario file (YAML)")->required();
  commands.push_back({check, [&a](const Console& c) { return check_command(a.check, c); }});

  CLI::App* schema = app.add_subcommand("schema", "Print the JSON Schema of scenario files");
  schema->footer(help::schema);
  commands.push_back({schema, [](const Console& c) { return schema_command(c); }});
  return commands;
}

// What is wrong with what was given for an option.
void check_option(CLI::Option& option, std::vector<std::string>& problems) {
  const std::vector<std::string>& given = option.results();
  if (given.empty()) {
    if (option.get_required()) problems.push_back(option.get_name() + " is required");
    return;
  }
  const auto most = static_cast<std::size_t>(option.get_items_expected_max());
  if (option.get_multi_option_policy() == CLI::MultiOptionPolicy::Throw && given.size() > most) {
    problems.push_back(option.get_name() + " is given more than once");
    return;
  }
  const auto check_of = [&](int i) -> CLI::Validator* {
    try {
      return option.get_validator(i);
    } catch (const CLI::OptionNotFound&) {
      return nullptr;
    }
  };
  for (std::string text : given) {
    for (int i = 0; CLI::Validator* check = check_of(i); ++i) {
      const std::string wrong = (*check)(text);
      if (!wrong.empty()) problems.push_back(option.get_name() + ": " + wrong);
    }
  }
}

// CLI11 stops at the first thing wrong with a line.
int wrong_line(CLI::App& app, const CLI::ParseError& e, const std::string& first_word,
               const std::vector<std::string>& names) {
  if (app.get_subcommands().empty()) {
    const bool word = !first_word.empty() && first_word[0] != '-';
    const std::string near = word ? nearest(first_word, names) : "";
    std::cerr << "restwell: "
              << (word ? "there is no command '" + printable(first_word) + "'" : e.what())
              << "\nhint: " << (near.empty() ? "restwell help" : "did you mean " + near + "?")
              << "\n";
    return wrong_command_line;
  }
  CLI::App& command = *app.get_subcommands().front();
  std::vector<std::string> problems;
  for (CLI::Option* option : command.get_options()) check_option(*option, problems);
  const std::vector<std::string> more = app.remaining(true);
  if (!more.empty()) {
    std::vector<std::string> words;
    for (const std::string& word : more) words.push_back("'" + printable(word) + "'");
    problems.push_back("not expected: " + list_words(words));
  }
  if (problems.empty()) problems.emplace_back(e.what());
  for (const std::string& problem : problems) std::cerr << "restwell: " << problem << "\n";
  std::cerr << "hint: restwell help " << command.get_name() << "\n";
  return wrong_command_line;
}

std::vector<ShownOption> shown_options(const CLI::App& app) {
  std::vector<ShownOption> all;
  for (const CLI::Option* o : app.get_options()) {
    ShownOption shown;
    for (const std::string& name : o->get_snames()) shown.names.push_back("-" + name);
    for (const std::string& name : o->get_lnames()) shown.names.push_back("--" + name);
    const bool flag = o->get_expected_max() == 0;
    if (!flag) shown.value = shown.names.empty() ? o->get_single_name() : o->get_type_name();
    // "us|metric", but not "others|haul|PIT"
    const std::string& value = shown.value;
    if (value.find('|') != std::string::npos &&
        std::none_of(value.begin(), value.end(), [](char c) { return c >= 'A' && c <= 'Z'; }))
      shown.choices = CLI::detail::split(value, '|');
    shown.says = o->get_description();
    shown.required = o->get_required();
    all.push_back(std::move(shown));
  }
  return all;
}

CommandTree shown_tree(const CLI::App& app) {
  CommandTree tree{app.get_description(), app.get_footer(), shown_options(app), {}};
  for (const CLI::App* c : app.get_subcommands([](const CLI::App*) { return true; }))
    tree.commands.push_back(
        {c->get_name(), c->get_description(), c->get_footer(), shown_options(*c)});
  for (ShownCommand& c : tree.commands)
    for (ShownOption& o : c.options) {
      if (!o.names.empty()) continue;
      if (c.name == "completion") o.choices = completed_shells;
      if (c.name == "help")
        for (const ShownCommand& other : tree.commands) o.choices.push_back(other.name);
    }
  return tree;
}

int run_command_line(int argc, char** argv) {
  CLI::App app{
      "restwell: what an old septic system with dry wells will do.\n"
      "From a household and the system found to pump-out dates, box shares, pit levels, overflow."};
  app.name("restwell");
  app.footer(help::program);
  app.set_version_flag("--version", "restwell " RESTWELL_VERSION "\n" + build_facts());
  app.require_subcommand(0, 1);

  Arguments arguments;
  const std::vector<Command> commands = add_commands(app, arguments);
  std::vector<std::string> names;
  for (const Command& c : commands) names.push_back(c.app->get_name());
  std::string help_on;
  CLI::App* help = app.add_subcommand("help", "Explain a command");
  help->add_option("command", help_on, list_words(names));
  CLI::App* man = app.add_subcommand("man", "Print the manual page");
  man->footer(help::man);
  std::string shell;
  CLI::App* complete =
      app.add_subcommand("completion", "Print what a shell reads to complete a line by Tab");
  complete->footer(help::completion);
  complete->add_option("shell", shell, list_words(completed_shells))
      ->required()
      ->check(CLI::IsMember(completed_shells).description(""));

  try {
    // CLI11 takes the words from the last to the first.
    std::vector<std::string> words = join_reading_words({argv + 1, argv + argc});
    std::reverse(words.begin(), words.end());
    app.parse(std::move(words));
  } catch (const CLI::ParseError& e) {
    if (e.get_exit_code() == static_cast<int>(CLI::ExitCodes::Success)) {
      return app.exit(e, std::cout, std::cerr);
    }
    names.insert(names.end(), {"help", "man", "completion"});
    return wrong_line(app, e, argc > 1 ? argv[1] : "", names);
  }

  const Console console = {std::cout, std::cerr, ::isatty(STDERR_FILENO) != 0};
  for (const Command& c : commands) {
    if (*c.app) return c.work(console);
  }
  if (*man || *complete) {
    const CommandTree tree = shown_tree(app);
    std::cout << (*man ? man_page(tree, RESTWELL_VERSION) : completion(tree, shell));
    return ok;
  }
  if (*help && !help_on.empty()) {
    for (const CLI::App* c : app.get_subcommands([](const CLI::App*) { return true; })) {
      if (c->get_name() != help_on) continue;
      std::cout << c->help("restwell");
      return ok;
    }
    std::cerr << "restwell: there is no command '" << help_on << "'\nhint: the commands are "
              << list_words(names) << "\n";
    return wrong_command_line;
  }
  std::cout << app.get_formatter()->make_help(&app, "restwell", CLI::AppFormatMode::Normal);
  return ok;
}

}  // namespace

int command_line(int argc, char** argv) {
  int code = run_failed;
  try {
    code = run_command_line(argc, argv);
  } catch (const std::bad_alloc&) {  // while the line is read; commands say so themselves
    return no_memory({std::cout, std::cerr});
  }
  std::cout.flush();
  if (std::cout || code != ok) return code;
  std::cerr << "restwell: cannot write the result (disk full, or output closed)\n";
  return run_failed;
}

}  // namespace restwell
