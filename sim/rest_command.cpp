#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "models/constants.hpp"
#include "sim/command_parts.hpp"
#include "sim/record.hpp"
#include "sim/rest_report.hpp"
#include "sim/units.hpp"

namespace restwell {
namespace {

constexpr double longest_service_day = 100.0 * days_per_year;
constexpr double longest_rest_day = 10.0 * days_per_year;

using Problems = std::vector<std::string>;

double duration(const std::string& option, const std::string& text, double longest_day,
                Problems& problems) {
  const auto parsed = parse_quantity(text, Dimension::duration);
  if (const UnitError* e = std::get_if<UnitError>(&parsed)) {
    problems.push_back(fmt::format("{} '{}': {}", option, printable(text), e->message));
    return 1.0;
  }
  const double day = std::get<double>(parsed);
  if (!(day >= 1.0 && day <= longest_day)) {
    problems.push_back(fmt::format("{} must be from 1 day to {:.0f} years, got {}", option,
                                   longest_day / days_per_year, printable(text)));
    return 1.0;
  }
  return day;
}

RestQuestion question_of(const Scenario& scenario, const RestArguments& a) {
  Problems problems;
  RestQuestion q;
  std::vector<QuestionError> unknown;  // with a hint each
  const auto pit_named = [&](const std::string& name) -> std::size_t {
    try {
      return pit_of_name(scenario, name);
    } catch (const QuestionError& e) {
      unknown.push_back(e);
      return 0;
    }
  };
  q.pit = pit_named(a.pit);
  const bool to_pit = !a.flow_to.empty() && a.flow_to != "others" && a.flow_to != "haul";
  if (to_pit) static_cast<void>(pit_named(a.flow_to));
  q.from = scenario.start;
  if (!a.from.empty()) {
    const auto parsed = parse_date(a.from);
    if (const std::string* e = std::get_if<std::string>(&parsed)) {
      problems.push_back("--from: " + *e);
    } else {
      q.from = std::get<Date>(parsed);
      const Date last = date_of(scenario.start, days_of_years(scenario.years));
      if (q.from < scenario.start || q.from > last) {
        problems.push_back(
            fmt::format("--from must lie from the start, {}, to the end of the run, {}, got {}",
                        iso_date(scenario.start), iso_date(last), a.from));
      }
    }
  }
  q.service_day = duration("--service", a.service, longest_service_day, problems);
  q.longest_rest_day =
      static_cast<int>(std::lround(duration("--longest", a.longest, longest_rest_day, problems)));
  if (a.site.years) q.look_ahead_day = days_of_years(*a.site.years);
  q.look_ahead_day = std::max(q.look_ahead_day, static_cast<int>(std::ceil(q.service_day)) + 1);
  if (unknown.size() == 1 && problems.empty()) throw unknown.front();
  for (const QuestionError& e : unknown) problems.emplace_back(e.what());
  if (!problems.empty()) refuse_question(problems, "restwell help rest");
  std::optional<WhileResting> wish;
  if (a.flow_to == "others") {
    wish = WhileResting{WhileResting::Kind::others, ""};
  } else if (a.flow_to == "haul") {
    wish = WhileResting{WhileResting::Kind::haul, ""};
  } else if (to_pit) {
    wish = WhileResting{WhileResting::Kind::pit, a.flow_to};
  }
  q.flow_to = where_water_goes(scenario, q.pit, q.from, wish);
  return q;
}

}  // namespace

int rest_command(const RestArguments& arguments, const Console& console) {
  return guarded(console, [&] {
    const LoadedScenario loaded = load_site(arguments.site);
    const RestQuestion question = question_of(loaded.scenario, arguments);
    ProgressLine line(console, "resting");
    const RestResult result = rest(loaded.scenario, question, line.progress());
    return deliver(rest_report(result, loaded.warnings), rest_files(result), arguments.site.output,
                   console);
  });
}

}  // namespace restwell
