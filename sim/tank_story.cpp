#include "sim/tank_story.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <optional>

#include "sim/diagnostic.hpp"
#include "sim/readings.hpp"
#include "sim/units.hpp"

namespace restwell {
namespace {

// The readings of file and command line, by date, one a day.
std::vector<TankReading> all_readings(const Scenario& scenario,
                                      const std::vector<TankReading>& asked,
                                      std::vector<std::string>& problems) {
  std::vector<TankReading> all;
  const auto at = [&all](Date date) {
    return std::find_if(all.begin(), all.end(),
                        [date](const TankReading& r) { return r.date == date; });
  };
  for (const TankReading& r : asked) {
    if (at(r.date) != all.end()) {
      problems.push_back(fmt::format("there are two readings of {}; keep one", iso_date(r.date)));
    } else {
      all.push_back(r);
    }
  }
  std::vector<TankReading> of_file = scenario.tank.readings;
  if (scenario.tank.start.sludge_m) {
    of_file.push_back(
        {scenario.start, *scenario.tank.start.sludge_m, scenario.tank.start.scum_m.value_or(0.0)});
  }
  for (const TankReading& r : of_file) {
    if (at(r.date) == all.end()) all.push_back(r);
  }
  std::sort(all.begin(), all.end(),
            [](const TankReading& a, const TankReading& b) { return a.date < b.date; });
  return all;
}

void check_depths(const Scenario& scenario, const std::vector<TankReading>& readings,
                  std::vector<std::string>& problems) {
  const double depth = scenario.tank.tank.liquid_depth_m;
  for (const TankReading& r : readings) {
    if (r.total_m() <= depth * (1.0 + 1e-9)) continue;
    problems.push_back(fmt::format(
        "the reading of {} has {} of sludge and scum together; the tank's liquid depth is {}, the "
        "most that is accepted",
        iso_date(r.date), show_text(r.total_m(), Quantity::small_length, scenario.units),
        show_text(depth, Quantity::small_length, scenario.units)));
  }
}

// Cuts readings in order where one lies lower than the one before.
void add_stretches(Stretch first, const std::vector<TankReading>& readings, TankStory& story) {
  std::optional<TankReading> before;
  if (first.from == Stretch::From::reading) before = first.first;
  story.stretches.push_back(std::move(first));
  for (const TankReading& r : readings) {
    if (before && r.total_m() < before->total_m() - drop_means_pumped_m) {
      story.drops.emplace_back(*before, r);
      story.stretches.push_back({Stretch::From::reading, r.date, r, {}});
    } else {
      story.stretches.back().readings.push_back(r);
    }
    before = r;
  }
}

// Pump-outs of the past, and planned ones that a reading lies behind, by date.
std::vector<Date> known_pump_outs(const Scenario& scenario, const std::vector<Date>& asked,
                                  Date last_reading) {
  std::vector<Date> pumped = asked;
  if (asked.empty() && scenario.tank.start.pumped) pumped.push_back(*scenario.tank.start.pumped);
  for (const Date d : scenario.tank.pump_out.dates) {
    if (d < last_reading) pumped.push_back(d);
  }
  std::sort(pumped.begin(), pumped.end());
  pumped.erase(std::unique(pumped.begin(), pumped.end()), pumped.end());
  return pumped;
}

void check_dates(const Scenario& scenario, const TankStory& story,
                 const std::vector<TankReading>& readings, std::vector<std::string>& problems) {
  const bool brand_new = scenario.tank.start.brand_new;
  for (const Date d : story.pumped) {
    if (d > story.now) {
      problems.push_back(fmt::format(
          "the pump-out of {} lies after the start, {}, and after every reading; pump-outs to come "
          "stand in the file under pump_out: on",
          iso_date(d), iso_date(scenario.start)));
    }
    if (brand_new && d <= scenario.start) {
      problems.push_back(
          fmt::format("the pump-out of {} does not fit the file: its tank is new, first used on {}",
                      iso_date(d), iso_date(scenario.start)));
    }
  }
  for (const TankReading& r : readings) {
    if (brand_new && r.date <= scenario.start) {
      problems.push_back(
          fmt::format("the reading of {} is not after {}, when the file's new tank is first used",
                      iso_date(r.date), iso_date(scenario.start)));
    }
    if (!brand_new && !story.pumped.empty() && r.date <= story.pumped.front()) {
      problems.push_back(fmt::format(
          "the reading of {} is not after the first pump-out known, {}; if it was made on that "
          "day, before pumping, give the pump-out before it too: --pumped DATE --pumped {}",
          iso_date(r.date), iso_date(story.pumped.front()), iso_date(story.pumped.front())));
    }
  }
}

// From the first use or the first pump-out on, else from the first reading.
void tell_stretches(const Scenario& scenario, const std::vector<TankReading>& readings,
                    TankStory& story) {
  std::vector<Stretch> begins;
  if (scenario.tank.start.brand_new) {
    begins.push_back({Stretch::From::brand_new, scenario.start, {}, {}});
  }
  for (const Date d : story.pumped) begins.push_back({Stretch::From::pumped, d, {}, {}});
  if (begins.empty() && !readings.empty()) {
    begins.push_back({Stretch::From::reading, readings.front().date, readings.front(), {}});
  }
  if (begins.empty()) {
    story.taken_as_pumped = true;
    begins.push_back({Stretch::From::pumped, scenario.start, {}, {}});
  }
  for (std::size_t i = 0; i < begins.size(); ++i) {
    std::vector<TankReading> own;
    for (const TankReading& r : readings) {
      const bool before_next = i + 1 == begins.size() || r.date <= begins[i + 1].begin;
      if (r.date > begins[i].begin && before_next) own.push_back(r);
    }
    add_stretches(begins[i], own, story);
  }
}

void shorten_long_past(TankStory& story) {
  Stretch& first = story.stretches.front();
  if (first.from != Stretch::From::pumped ||
      days_between(first.begin, story.now) <= longest_story_day)
    return;
  const Date earliest = story.now - std::chrono::days(longest_story_day);
  if (story.stretches.size() > 1 && story.stretches[1].begin <= earliest) return;
  story.notes.push_back(fmt::format(
      "The pump-out of {} is taken as 30 years ago: by then a tank has long been in balance.",
      iso_date(first.begin)));
  first.begin = earliest;
  std::erase_if(first.readings, [&](const TankReading& r) { return r.date <= earliest; });
}

void refuse_untold_rate(const TankStory& story, const std::vector<TankReading>& readings) {
  if (!story.drops.empty()) {
    refuse_question(
        {fmt::format("the reading of {} is lower than that of {}: the tank was pumped between "
                     "the two, and neither tells how fast it fills",
                     iso_date(story.drops.front().second.date),
                     iso_date(story.drops.front().first.date))},
        "say when it was pumped: --pumped DATE (several may be given), or give two readings "
        "without a pump-out between");
  }
  refuse_question(
      {fmt::format("one reading alone, of {}, tells how full the tank is, not how fast it fills",
                   iso_date(readings.front().date))},
      "say when it was last pumped (--pumped DATE, or pumped: under tank: in the file), or "
      "give an earlier reading too");
}

}  // namespace

TankStory tank_story(const Scenario& scenario, const std::vector<TankReading>& asked,
                     const std::vector<Date>& asked_pumped) {
  TankStory story;
  std::vector<std::string> problems;
  const std::vector<TankReading> readings = all_readings(scenario, asked, problems);
  check_depths(scenario, readings, problems);
  const Date last_reading = readings.empty() ? scenario.start : readings.back().date;
  story.now = std::max(scenario.start, last_reading);
  story.pumped = known_pump_outs(scenario, asked_pumped, last_reading);
  check_dates(scenario, story, readings, problems);
  if (!problems.empty()) refuse_question(problems, accepted_readings);
  tell_stretches(scenario, readings, story);
  shorten_long_past(story);
  if (!tells_rate(story.stretches) && !readings.empty()) {
    const bool of_file_only = asked.empty() && scenario.tank.readings.empty();
    if (!of_file_only || !story.drops.empty()) refuse_untold_rate(story, readings);
    story.only_found = true;
  }
  return story;
}

}  // namespace restwell
