#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "sim/occupancy.hpp"
#include "sim/scenario_parts.hpp"

namespace restwell {
namespace {

constexpr std::array<std::string_view, 7> weekdays{"mon", "tue", "wed", "thu", "fri", "sat", "sun"};

// A span of days is noted if it is the wrong way round, or has no effect on the run.
void check_span(const Record& span, const RunDates& run, Findings& findings) {
  const auto from = date(span, "from");
  const auto to = date(span, "to");
  if (from && to && *to < *from) {
    add_problem(findings, *find(span, "to"),
                fmt::format("must not be before from ({}), got {}", find(span, "from")->text,
                            find(span, "to")->text));
    return;
  }
  if (to && run.start && *to < *run.start)
    add_warning(findings, *find(span, "to"), "is before the start: it has no effect");
  if (from && run.end && *from > *run.end)
    add_warning(findings, *find(span, "from"), "is after the end of the run: it has no effect");
}

FixtureSetName set_name(const std::string& name) {
  if (name == "efficient") return FixtureSetName::efficient;
  if (name == "old") return FixtureSetName::old;
  return FixtureSetName::typical;
}

void read_single_fixtures(const Record& map, FixtureSet& set) {
  const Record* single = find(map, "fixture");
  if (single == nullptr) return;
  for (std::size_t i = 0; i < set.size(); ++i) {
    const Record* use = find(*single, fixture_name(static_cast<Fixture>(i)));
    if (use == nullptr || !use->sound) continue;
    set[i].volume_m3 = number_or(*use, "volume", set[i].volume_m3);
    set[i].events_per_person_day =
        number_or(*use, "per_person_per_day", set[i].events_per_person_day);
    set[i].flow_m3_per_day = number_or(*use, "flow", set[i].flow_m3_per_day);
  }
}

std::optional<double> laundry_loads(const Record& map) {
  const Record* laundry = find(map, "laundry");
  return laundry == nullptr ? std::nullopt : number(*laundry, "loads_per_week");
}

std::optional<std::vector<unsigned>> laundry_days(const Record& map) {
  const Record* laundry = find(map, "laundry");
  if (laundry == nullptr || find(*laundry, "days") == nullptr) return std::nullopt;
  std::vector<unsigned> days;
  for (const Record& r : entries(*laundry, "days")) {
    const auto it = std::ranges::find(weekdays, r.text);
    if (it != weekdays.end()) days.push_back(static_cast<unsigned>(it - weekdays.begin()));
  }
  std::ranges::sort(days);
  return days;
}

void check_home_by_day(const Record& at, double home_by_day, double occupants, Findings& findings) {
  if (home_by_day > occupants)
    add_problem(findings, at,
                fmt::format("must be at most the number of occupants, {:g}, got {:g}", occupants,
                            home_by_day));
}

std::vector<Stay> read_guests(const Record& map, const RunDates& run, Findings& findings) {
  std::vector<Stay> stays;
  for (const Record& r : entries(map, "guests")) {
    check_span(r, run, findings);
    if (find(r, "overnight") == nullptr && find(r, "day_visitors") == nullptr && r.sound)
      add_problem(findings, r, "needs overnight or day_visitors");
    stays.push_back({date(r, "from").value_or(Date{}), date(r, "to").value_or(Date{}),
                     number_or(r, "overnight", 0), number_or(r, "day_visitors", 0)});
  }
  return stays;
}

std::vector<ExtraWater> read_other_water(const Record& map, const RunDates& run,
                                         Findings& findings) {
  std::vector<ExtraWater> waters;
  for (const Record& r : entries(map, "other_water")) {
    ExtraWater w;
    w.name = word(r, "name").value_or("");
    w.flow_m3_per_day = number_or(r, "flow", 0);
    w.from = date(r, "from");
    w.to = date(r, "to");
    check_span(r, run, findings);
    for (const Record& day : entries(r, "dates")) {
      const Date* d = std::get_if<Date>(&day.data);
      if (d == nullptr) continue;
      w.dates.push_back(*d);
      if ((run.start && *d < *run.start) || (run.end && *d > *run.end))
        add_warning(findings, day, "is outside of the run: it has no effect");
    }
    const Record* dates = find(r, "dates");
    if (dates != nullptr && (find(r, "from") != nullptr || find(r, "to") != nullptr))
      add_problem(findings, *dates, "cannot stand beside from or to",
                  "give either single dates or from and to");
    waters.push_back(std::move(w));
  }
  return waters;
}

// Changes by date; the state they build on is carried along for the checks and for single fixtures.
std::vector<HouseholdChange> read_changes(const Record& map, const HouseholdConfig& at_start,
                                          const RunDates& run, Findings& findings) {
  struct Dated {
    Date from;
    const Record* record;
  };
  std::vector<Dated> order;
  for (const Record& r : entries(map, "changes"))
    if (const auto from = date(r, "from")) order.push_back({*from, &r});
  std::ranges::stable_sort(order, {}, &Dated::from);

  std::vector<HouseholdChange> changes;
  double occupants = at_start.occupants;
  std::optional<double> home_by_day = at_start.home_by_day;
  FixtureSet fixtures = at_start.fixtures;
  for (const auto& [from, record] : order) {
    const Record& r = *record;
    if (run.start && from <= *run.start)
      add_problem(findings, *find(r, "from"),
                  fmt::format("must be after the start, got {}", find(r, "from")->text),
                  "what holds at the start stands in household itself");
    if (run.end && from > *run.end)
      add_warning(findings, *find(r, "from"), "is after the end of the run: it has no effect");
    if (!changes.empty() && changes.back().from == from)
      add_problem(findings, *find(r, "from"),
                  fmt::format("two changes on the same day, {}", find(r, "from")->text),
                  "put them into one");
    if (r.items.size() == 1) add_problem(findings, r, "says nothing that changes");

    HouseholdChange c;
    c.from = from;
    c.occupants = number(r, "occupants");
    c.home_by_day = number(r, "home_by_day");
    c.leak_m3_per_day = number(r, "leak");
    c.laundry_loads_per_week = laundry_loads(r);
    c.laundry_days = laundry_days(r);
    c.disposer = yes(r, "disposer");
    if (const auto name = word(r, "fixtures")) c.fixtures = fixture_set(set_name(*name));
    if (find(r, "fixture") != nullptr) {
      if (!c.fixtures) c.fixtures = fixtures;
      read_single_fixtures(r, *c.fixtures);
    }
    fixtures = c.fixtures.value_or(fixtures);
    occupants = c.occupants.value_or(occupants);
    if (c.home_by_day) home_by_day = c.home_by_day;
    if ((c.home_by_day || c.occupants) && home_by_day) {
      const Record* at = find(r, c.home_by_day ? "home_by_day" : "occupants");
      check_home_by_day(*at, *home_by_day, occupants, findings);
    }
    changes.push_back(std::move(c));
  }
  return changes;
}

// Every use takes as much more or less as makes the week's mean the meter's, later fixtures too.
void scale_to_meter(const Record& metered, const HouseholdParameters& p, HouseholdConfig& h,
                    Findings& findings) {
  const double softener = h.softener && h.softener->every_day > 0.0
                              ? h.softener->volume_m3 / h.softener->every_day
                              : 0.0;
  const double used = std::get<double>(metered.data) - h.leak_m3_per_day - softener;
  const double expected = mean_use_m3_per_day(h, p);
  if (used <= 0.0) {
    add_problem(findings, metered,
                softener > 0.0
                    ? "must be more than leak and softener, which it includes, got " + metered.text
                    : "must be more than the leak, which it includes, got " + metered.text);
  } else if (expected <= 0.0) {
    add_problem(findings, metered, "needs occupants who use the water",
                "or give it as other_water");
  } else {
    const auto scale = [&](FixtureSet& set) {
      for (FixtureUse& use : set) use.volume_m3 *= used / expected;
    };
    scale(h.fixtures);
    for (HouseholdChange& change : h.changes)
      if (change.fixtures) scale(*change.fixtures);
  }
}

}  // namespace

HouseholdConfig read_household(const Record& top, const HouseholdParameters& p, const RunDates& run,
                               Findings& findings) {
  HouseholdConfig h;
  const Record* given = find(top, "household");
  if (given == nullptr || !given->sound) return h;
  const Record& map = *given;
  h.occupants = number_or(map, "occupants", h.occupants);
  h.home_by_day = number(map, "home_by_day");
  if (h.home_by_day && number(map, "occupants"))
    check_home_by_day(*find(map, "home_by_day"), *h.home_by_day, h.occupants, findings);
  h.bedrooms = static_cast<int>(number_or(map, "bedrooms", 0));
  h.fixtures = fixture_set(set_name(word(map, "fixtures").value_or("typical")));
  read_single_fixtures(map, h.fixtures);
  h.laundry = {laundry_loads(map), laundry_days(map).value_or(std::vector<unsigned>{})};
  h.leak_m3_per_day = number_or(map, "leak", 0);
  h.disposer = yes(map, "disposer").value_or(false);
  if (const Record* s = find(map, "softener"); s != nullptr && s->sound)
    h.softener = Softener{number_or(*s, "volume", 0), number_or(*s, "every", 1)};
  h.guests = read_guests(map, run, findings);
  for (const Record& r : entries(map, "away")) {
    check_span(r, run, findings);
    h.away.push_back({date(r, "from").value_or(Date{}), date(r, "to").value_or(Date{})});
  }
  if (const Record* s = find(map, "season"); s != nullptr && s->sound)
    h.season = Season{month_day(*s, "from").value_or(MonthDay{}),
                      month_day(*s, "to").value_or(MonthDay{})};
  h.other_water = read_other_water(map, run, findings);
  h.changes = read_changes(map, h, run, findings);
  if (const Record* metered = find(map, "metered"); metered != nullptr && metered->sound)
    scale_to_meter(*metered, p, h, findings);
  return h;
}

}  // namespace restwell
