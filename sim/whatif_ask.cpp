#include "sim/whatif_ask.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "sim/command_parts.hpp"
#include "sim/input_file.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

// What the command line overrules stands in the way of no case that sets it too.
std::vector<PathValue> overruled(const SiteArguments& site) {
  std::vector<PathValue> values;
  if (site.seed) values.push_back({"seed", std::to_string(*site.seed)});
  if (site.mode) values.push_back({"mode", *site.mode == Mode::steady ? "steady" : "random"});
  return values;
}

// Tank and pits have the same past as long as nothing is set that shapes their state on the first
// day.
bool keeps_past(const std::vector<PathValue>& set) {
  return std::all_of(set.begin(), set.end(), [](const PathValue& v) {
    for (const char* section :
         {"household", "box", "plan", "mode", "seed", "tank.pump_out", "tank.marks"})
      if (v.path.starts_with(section)) return true;
    return false;
  });
}

// A warning without file and place; one about a set value has no place in the file.
std::string without_file(const std::string& site, const std::string& warning) {
  const std::string file = printable(site, 1000) + ": ";
  return warning.starts_with(file) ? warning.substr(file.size()) : without_place(warning);
}

// A value set from the start on holds only until the file itself changes it.
void note_later_changes(const WhatIf& w, const Scenario& scenario,
                        std::vector<std::string>& notes) {
  std::set<std::string> seen;
  for (const WhatIf::Case& c : w.cases) {
    for (const PathValue& v : c.asked.set) {
      const auto changes = [&](const HouseholdChange& h) {
        return (v.path == "household.occupants" && h.occupants) ||
               (v.path == "household.home_by_day" && h.home_by_day) ||
               (v.path == "household.leak" && h.leak_m3_per_day) ||
               (v.path == "household.disposer" && h.disposer) ||
               (v.path.starts_with("household.fixture") && h.fixtures) ||
               (v.path == "household.laundry.days" && h.laundry_days) ||
               (v.path == "household.laundry.loads_per_week" && h.laundry_loads_per_week);
      };
      const auto& list = scenario.household.changes;
      const auto change = std::find_if(list.begin(), list.end(), changes);
      if (change == list.end() || !seen.insert(v.path).second) continue;
      notes.push_back(fmt::format("{} holds until {}: then the file itself changes it.", v.path,
                                  iso_date(change->from)));
    }
  }
}

class Asker {
 public:
  explicit Asker(const WhatIfArguments& arguments) : arguments_(arguments) {}

  AskedSite asked() {
    const SiteArguments& site = arguments_.site;
    LoadedScenario base = load_site(site);
    text_ = read_input_file(site.site);
    const YamlNode root = input_tree(text_, site.site).root;
    what_if_.cases.push_back({{base_name, {}, {}}, {}, {}, false});
    runs_.push_back({base_name, base.scenario, false, false});
    for (const std::string& warning : base.warnings) note(without_file(site.site, warning));
    ask(root);
    for (std::size_t i = 1; i < what_if_.cases.size(); ++i) load(what_if_.cases[i], root);
    refuse_problems();
    name_apart();

    what_if_.days = days_of_years(base.scenario.years);
    note_later_changes(what_if_, base.scenario, what_if_.notes);
    return {std::move(base), std::move(what_if_), std::move(runs_)};
  }

 private:
  void note(const std::string& text) {
    if (noted_.insert(text).second) what_if_.notes.push_back(text);
  }
  // The cases of --set, then those of the file.
  void ask(const YamlNode& root) {
    if (arguments_.sets.empty() && arguments_.cases.empty())
      throw QuestionError("there is nothing to ask: give --set PATH=VALUE or --cases FILE",
                          "restwell whatif " + printable(arguments_.site.site, 200) +
                              " --set household.occupants=2..8");
    AskedCases asked = cases_of_sets(root, arguments_.sets);
    for (std::string& p : asked.problems) problem(std::move(p));
    for (WhatIfCase& c : asked.cases) what_if_.cases.push_back({std::move(c), {}, {}, false});
    what_if_.axis = std::move(asked.axis);
    if (arguments_.cases.empty()) return;
    what_if_.axis.clear();
    try {
      file_ = read_cases_file(root, arguments_.cases);
    } catch (const ScenarioError& e) {
      if (problems_.empty()) throw;
      problem(e.report());
    }
    for (WhatIfCase& c : file_.cases) what_if_.cases.push_back({std::move(c), {}, {}, false});
    if (what_if_.cases.size() > most_cases + 1)
      problem(fmt::format("--set and --cases ask for {} cases together, at most {} are run",
                          what_if_.cases.size() - 1, most_cases));
  }

  void load(WhatIf::Case& c, const YamlNode& root) {
    const SiteArguments& site = arguments_.site;
    std::vector<PathValue> set = overruled(site);
    const std::size_t overruling = set.size();
    set.insert(set.end(), c.asked.set.begin(), c.asked.set.end());
    c.same_as_file = true;
    for (const PathValue& v : c.asked.set) {
      const auto target = find_path(root, v.path);
      const auto* found = std::get_if<PathTarget>(&target);
      std::string was = found == nullptr ? "" : found->was;
      if (!was.empty() && !found->in_file) was += " (default)";
      c.was.push_back(std::move(was));
      const bool of_one = v.path.find('*') == std::string::npos;
      c.same_as_file =
          c.same_as_file && of_one && found != nullptr && found->in_file && found->was == v.text;
    }
    try {
      LoadedScenario loaded = parse_scenario(text_, site.site, site.years, set);
      loaded.scenario.units = runs_.front().scenario.units;
      c.dropped = std::move(loaded.dropped);
      c.same_as_file = c.same_as_file && c.dropped.empty();
      for (const std::string& warning : loaded.warnings) {
        const std::string plain = without_file(site.site, warning);
        if (noted_.insert(plain).second)
          what_if_.notes.push_back(fmt::format("{}: {}", c.asked.name, plain));
      }
      runs_.push_back(
          {c.asked.name, std::move(loaded.scenario), keeps_past(c.asked.set), c.same_as_file});
    } catch (const ScenarioError& e) {
      for (const Diagnostic& d : e.problems()) tell(c.asked, d, overruling);
    }
  }

  // A problem that a case causes, by what was asked for and not by a place in the site's file.
  void tell(const WhatIfCase& c, const Diagnostic& d, std::size_t overruling) {
    const auto index = set_value_of_line(d.line);
    const bool by_value = index && *index >= overruling && *index - overruling < c.set.size();
    const std::size_t i = by_value ? *index - overruling : 0;
    const PathValue& v = c.set[i];
    const std::string at = d.field == v.path || d.field.empty() ? "" : d.field + ": ";
    // What only shows together with the rest of the site is told with its place there.
    const std::string message = by_value ? at + d.message : headline(arguments_.site.site, d);
    if (c.places[i].line > 0) {
      const Diagnostic in_file{c.places[i].line, c.places[i].column,
                               by_value ? v.path : "case " + c.name, message, d.hint};
      if (told_.insert(headline("", in_file)).second) file_problems_.push_back(in_file);
      return;
    }
    std::string text = by_value ? fmt::format("--set {}={}: ", v.path, v.text)
                                : fmt::format("case \"{}\": ", c.name);
    text += message;
    problem(d.hint.empty() ? text : text + "\n  hint: " + d.hint);
  }

  // Many cases may have the same one.
  void problem(std::string text) {
    while (text.ends_with('\n')) text.pop_back();
    if (told_.insert(text).second) problems_.push_back(std::move(text));
  }

  void refuse_problems() const {
    if (problems_.empty() && file_problems_.empty()) return;
    const ScenarioError of_file(file_.name, file_.text, file_problems_);
    if (problems_.empty()) throw of_file;
    std::string text;
    for (std::size_t i = 0; i < std::min(problems_.size(), most_problems_shown); ++i)
      text += (text.empty() ? "" : "\n") + problems_[i];
    if (problems_.size() > most_problems_shown)
      text += fmt::format("\nand {} problems more", problems_.size() - most_problems_shown);
    if (!file_problems_.empty()) text += "\n" + of_file.report();
    throw QuestionError(text);
  }

  // Two cases of one name would share one bar.
  void name_apart() {
    std::set<std::string> names;
    for (std::size_t i = 0; i < what_if_.cases.size(); ++i) {
      std::string& name = what_if_.cases[i].asked.name;
      while (!names.insert(name).second) name += fmt::format(" ({})", i);
    }
  }

  const WhatIfArguments& arguments_;
  std::string text_;  // of the site's file
  CasesFile file_;
  WhatIf what_if_;
  std::vector<CaseToRun> runs_;
  std::set<std::string> noted_;
  std::set<std::string> told_;
  std::vector<std::string> problems_;      // of the command line
  std::vector<Diagnostic> file_problems_;  // of the file of cases
};

}  // namespace

AskedSite ask_site(const WhatIfArguments& arguments) { return Asker(arguments).asked(); }

void add_outcome_notes(WhatIf& w) {
  const auto noted = [&](const std::string& text) {
    return std::ranges::any_of(
        w.notes, [&](const std::string& n) { return n == text || n.ends_with(": " + text); });
  };
  for (std::size_t i = 0; i < w.outcomes.size(); ++i) {
    for (const std::string& text : w.outcomes[i].notes) {
      if (noted(text)) continue;
      w.notes.push_back(i == 0 ? text : w.cases[i].asked.name + ": " + text);
    }
  }
}

}  // namespace restwell
