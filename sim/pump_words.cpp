#include <fmt/core.h>

#include <algorithm>
#include <cctype>
#include <cmath>

#include "models/constants.hpp"
#include "sim/answer.hpp"
#include "sim/pump_report.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

// How far from the mark a reading still counts as on time.
constexpr double on_time_years = 0.5;
// Nobody should go by a calculation for longer than this without opening the lid (assumed).
constexpr double longest_advice_years = 10.0;

std::string joined(const std::vector<std::string>& parts) {
  std::string text;
  for (const std::string& p : parts) text += (text.empty() ? "" : "; ") + p;
  return text;
}

double years_between(Date from, Date to) { return days_between(from, to) / days_per_year; }

int day_index(const PumpStudy& s, Date date) { return days_between(s.scenario.start, date); }

std::string tank_years_words(const PumpStudy& s) { return years_words(day_index(s, s.tank_end())); }

// "by March 2029 (2.8 years)", "March 2024 (2.2 years ago)".
std::string date_words(const PumpStudy& s, const Report& report, std::optional<Date> date) {
  if (!date) return "not within " + tank_years_words(s);
  const int day = day_index(s, *date);
  if (day >= 0) return day_words(report, day);
  return fmt::format("{} ({:.1f} years ago)", month_and_year(*date), -day / days_per_year);
}

// Years to say as an interval: months below one, half years below four, whole years above; never
// rounded up.
std::string interval_years(double years) {
  if (years >= 1.0) years = std::round(10.0 * years) / 10.0;  // as it is shown beside
  if (years < 1.0) {
    const double months = std::max(1.0, std::floor(12.0 * years));
    return months == 1.0 ? "month" : fmt::format("{:.0f} months", months);
  }
  const double said = years < 4.0 ? std::floor(2.0 * years) / 2.0 : std::floor(years);
  if (said > longest_advice_years) return fmt::format("{:.0f} years", longest_advice_years);
  return said == 1.0 ? "year" : fmt::format("{:.3g} years", said);
}

std::string every_words(const std::optional<MarkMet>& interval) {
  if (!interval) {
    return fmt::format(
        "no mark comes within {} years, but open the lid and measure every {:.0f} years at the "
        "latest",
        longest_interval_day / 365, longest_advice_years);
  }
  const double years = interval->day / days_per_year;
  std::string text = fmt::format("every {}", interval_years(years));
  if (years > longest_advice_years + 1.0) text += " at the latest, measuring in between";
  return years < 1.0 ? text : text + fmt::format(" (the model says {:.1f})", years);
}

// Outside of what is published for a person.
bool unlikely_rate(const PumpStudy& s) {
  const double kg = solids_kg_per_person_day(s, s.corrected.factor);
  return s.from_reading || kg < published_least_kg_per_day || kg > published_most_kg_per_day;
}

// Whether an unlikely reading puts the pump-out off.
bool stick_says_later(const PumpStudy& s) {
  return s.fit && unlikely_rate(s) && s.prior.next &&
         (!s.corrected.next || *s.prior.next < *s.corrected.next);
}

AnswerLine date_line(const PumpStudy& s, const Report& report) {
  const Outlook& o = s.corrected;
  const LastReading last = last_reading(s);
  const bool now_by_reading =
      last.reading != nullptr && !last.pumped_after && !marks_met_by(s, *last.reading).empty();
  std::string text;
  if (now_by_reading && (!o.next || *o.next > s.story.now)) {
    text = fmt::format(
        "due now, by the reading itself: {}. The model, which parts sludge and scum "
        "its own way, meets its first mark {}.",
        criterion_reached(s.scenario, marks_met_by(s, *last.reading).front()),
        date_words(s, report, o.next));
  } else if (!o.next) {
    text = fmt::format("no mark is met within {}.", tank_years_words(s));
  } else if (*o.next == s.story.now) {
    text = fmt::format("due now: {}.", criterion_reached(s.scenario, o.by));
  } else if (*o.next < s.story.now) {
    text = fmt::format("due now, and since {}: {}.", date_words(s, report, o.next),
                       criterion_reached(s.scenario, o.by));
  } else {
    text = fmt::format("by {}: {}.", date_words(s, report, o.next),
                       criterion_reached(s.scenario, o.by));
  }
  if (s.fit) {
    const std::string before = date_words(s, report, s.prior.next);
    const std::string after = date_words(s, report, o.next);
    text += before == after ? " The reading leaves the date where the household as given puts it."
                            : fmt::format(" Without the reading it would be {}.", before);
    if (!s.from_reading) {
      text += fmt::format(" With the reading {} too low or too high: {} to {}.",
                          stick_words(s, reading_error_m), date_words(s, report, s.earliest.next),
                          date_words(s, report, s.latest.next));
    }
    // A stick that missed a layer must not talk anybody into waiting.
    if (stick_says_later(s)) {
      text += fmt::format(
          " But reading and story do not agree (see Check): until that is cleared up go by the "
          "household as given{}.",
          *s.prior.next <= s.story.now ? ", and pump now" : "");
    }
  }
  return {"Pump-out", text};
}

// What the reading says of the waiting, in plain words.
std::string waiting_words(const PumpStudy& s, const Report& report) {
  const LastReading last = last_reading(s);
  const TankReading& r = *last.reading;
  const double depth = s.scenario.tank.tank.liquid_depth_m;
  const double share = r.total_m() / depth;
  const double years = years_between(last.stretch->begin, r.date);
  const bool from_empty = last.stretch->from != Stretch::From::reading;
  std::string seen = fmt::format("{} of {} ({:.0f} %)", stick_words(s, r.total_m()),
                                 stick_words(s, depth), 100.0 * share);
  if (share > 0.45 && share < 0.55) seen = "Half full: " + seen;
  const std::string since = fmt::format("{} after {:.1f} years{}", seen, years,
                                        last.stretch->from == Stretch::From::brand_new ? " of use"
                                        : from_empty                                   ? ""
                                                                                       : " more");
  const std::string every = every_words(s.corrected.interval);

  // The day the mark was or will be met in the filling of the reading.
  std::optional<Date> met = s.corrected.next;
  if (last.pumped_after) {
    met.reset();
    if (from_empty && s.corrected.interval) {
      met = last.stretch->begin + std::chrono::days(s.corrected.interval->day);
    }
    if (!met) return fmt::format("{}. Next time {}.", since, every);
  }
  if (!met) return fmt::format("{}: it can wait; {}.", since, every);
  const double lead = years_between(r.date, *met);
  const bool reading_itself = !marks_met_by(s, r).empty();
  if (s.from_reading && reading_itself) {
    return fmt::format("{}: past the mark, nobody can tell since when. Pump now, then {}.", since,
                       every);
  }
  if (lead < -on_time_years) {
    return fmt::format("{}: you waited {:.1f} years too long. {} {}.", since, -lead,
                       last.pumped_after ? "From now on pump" : "Pump now, then", every);
  }
  if (lead <= on_time_years || reading_itself) {
    return fmt::format("{}: about the right time. {} {}.", since,
                       last.pumped_after ? "From now on pump" : "Pump now, then", every);
  }
  if (last.pumped_after) {
    return fmt::format("{}: it could have waited {:.1f} years more. From now on pump {}.", since,
                       lead, every);
  }
  const double whole = years_between(last.stretch->begin, *met);
  const std::string after =
      from_empty ? fmt::format(", {:.1f} years after the {}", whole,
                               last.stretch->from == Stretch::From::brand_new ? "first use"
                                                                              : "last pump-out")
                 : std::string();
  // The reading may be old.
  if (*met <= s.story.now) {
    return fmt::format("{}: the next pump-out was due by {}{}. Pump now, then {}.", since,
                       date_words(s, report, met), after, every);
  }
  return fmt::format("{}{}: {}it can wait until {}{}; then {}.", share < 0.15 ? "Only " : "", since,
                     lead > 1.0 ? "pumping now would be too early, " : "",
                     date_words(s, report, met), after, every);
}

AnswerLine interval_line(const PumpStudy& s, const Report& report) {
  if (s.fit) {
    std::string words = waiting_words(s, report);
    // Near full, a tank grows no deeper whatever comes in: an inch there is years of interval.
    if (unlikely_rate(s) && !stick_says_later(s) && !s.from_reading)
      words += " That is only as good as the reading (see Check).";
    if (!stick_says_later(s)) return {"Interval", words};
    words[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(words[0])));
    return {"Interval", "if the reading holds: " + words};
  }
  const std::string every = every_words(s.corrected.interval);
  return {"Interval", s.corrected.interval
                          ? fmt::format("{}, by the household as given.", sentence_case(every))
                          : sentence_case(every) + "."};
}

AnswerLine rate_line(const PumpStudy& s) {
  if (s.from_reading) {
    return {"Solids",
            fmt::format("no rate of solids gives what was measured. The dates go on from the "
                        "reading of {}, at {:.0f} g per person and day as before.",
                        iso_date(s.story.stretches.back().begin),
                        1e3 * solids_kg_per_person_day(s, 1.0))};
  }
  const double factor = s.fit->factor;
  const double per_person_g = 1e3 * solids_kg_per_person_day(s, factor);
  const double range[] = {1e3 * solids_kg_per_person_day(s, s.latest.factor),
                          1e3 * solids_kg_per_person_day(s, s.earliest.factor)};
  return {"Solids",
          fmt::format("the reading fits {:.0f} g per person and day ({:.0f} to {:.0f} with the "
                      "reading {} off), as if {} lived here that send the published average; the "
                      "file says {}. Published: {:.0f} to {:.0f} g.",
                      per_person_g, range[0], range[1], stick_words(s, reading_error_m),
                      people_words(std::round(10.0 * like_people(s, factor)) / 10.0),
                      people_words(s.today.household.occupants), 1e3 * published_least_kg_per_day,
                      1e3 * published_most_kg_per_day)};
}

// "with 5 people every 2.6 years, with 3 every 4.8".
AnswerLine people_line(const PumpStudy& s, const Report& report) {
  const OtherHousehold* own = nullptr;
  const OtherHousehold* more = nullptr;
  const OtherHousehold* fewer = nullptr;
  const OtherHousehold* other_disposer = nullptr;
  for (const OtherHousehold& o : s.others) {
    if (o.as_given) own = &o;
  }
  if (own == nullptr) return {"People", "nobody lives here now: nothing fills the tank."};
  for (const OtherHousehold& o : s.others) {
    if (o.people == own->people && o.disposer != own->disposer) other_disposer = &o;
    if (o.disposer != own->disposer) continue;
    if (o.people > own->people && more == nullptr) more = &o;
    if (o.people < own->people) fewer = &o;
  }
  const auto interval = [](const OtherHousehold& o) {
    return o.interval ? fmt::format("{:.1f} years", o.interval->day / days_per_year)
                      : fmt::format("more than {} years",
                                    (o.as_given ? longest_interval_day : longest_other_day) / 365);
  };
  const auto next = [&](const OtherHousehold& o) {
    if (!o.next_day) return std::string();
    if (*o.next_day == 0) return std::string();
    const int day = day_index(s, s.story.now) + *o.next_day;
    return fmt::format(" (next {})", month_and_year(date_of(report.start, day)));
  };
  std::string text = fmt::format("from a pump-out to the next mark {} with {} as now{}",
                                 interval(*own), people_words(own->people), next(*own));
  for (const OtherHousehold* o : {fewer, more}) {
    if (o != nullptr) {
      text += fmt::format("; {} with {}{}", interval(*o), people_words(o->people), next(*o));
    }
  }
  if (other_disposer != nullptr) {
    text += fmt::format("; {} {} a disposer{}", interval(*other_disposer),
                        other_disposer->disposer ? "with" : "without", next(*other_disposer));
  }
  return {"People", text + "."};
}

// The worst of what skipping does, by the first event that tells.
AnswerLine skipping_line(const PumpStudy& s, const Report& report) {
  const RunResult& kept = s.plans.front().run;
  const RunResult& neglected = s.plans.back().run;
  const auto overflow = [](const CaseRun& c) { return c.first_leaves; };
  bool overflows = false;
  for (const CaseRun& c : neglected.cases) overflows = overflows || c.first_leaves != never;
  const auto event = [&](const CaseRun& c) { return overflows ? overflow(c) : first_pit_full(c); };
  const char* what = overflows ? "overflow" : "have a full pit";
  const char* rate = s.fit && unlikely_rate(s) && !s.from_reading ? "at the fitted rate, " : "";
  std::vector<std::string> lost;
  for (const std::size_t k : {Cases::expected, Cases::early, Cases::late}) {
    const CaseRun& on_time = kept.cases[k];
    const std::string words = lost_words(event(on_time), event(neglected.cases[k]), report.days);
    if (words.empty()) continue;
    lost.push_back(fmt::format("{} case {} instead of {}, {} of pit life lost",
                               on_time.clog_case.name, day_words(report, event(neglected.cases[k])),
                               day_words(report, event(on_time)), words));
  }
  const auto out_in_last_year_kg = [](const RunResult& r) {
    return solids_leaving(r, std::max(0, r.days() - 365), r.days()).all_kg;
  };
  const auto shown = [&](double internal, Quantity q) {
    return show_text(internal, q, s.scenario.units);
  };
  const std::string leaves = fmt::format(
      "In the last year looked at {} of solids leave the tank for the pits instead of {}; when "
      "full "
      "the pits then take {} instead of {} (expected case).",
      shown(out_in_last_year_kg(neglected), Quantity::mass),
      shown(out_in_last_year_kg(kept), Quantity::mass),
      shown(capacity_at_end(neglected.cases[Cases::expected]), Quantity::flow),
      shown(capacity_at_end(kept.cases[Cases::expected]), Quantity::flow));
  // Nobody should take a pump-out for a cure of pits that are past taking the water.
  constexpr int at_once_day = 30;
  const int first = overflow(kept.cases[Cases::expected]);
  if (lost.empty() && first != never && first <= at_once_day) {
    return {"Skipping",
            fmt::format("the system overflows in the expected case {}, pumped or not: the pits are "
                        "the trouble, and pumping the tank only buys the days until it has "
                        "refilled. {}",
                        first == 0 ? std::string("from the start")
                                   : "by " + iso_date(date_of(report.start, first)),
                        leaves)};
  }
  if (lost.empty()) {
    return {"Skipping", fmt::format("{}never pumped again, no {} comes sooner within the {} looked "
                                    "at, in any of the three cases of clogging: no pit life is "
                                    "lost so far. {}",
                                    rate, overflows ? "overflow" : "full pit",
                                    years_words(report.days), leaves)};
  }
  return {"Skipping", fmt::format("{}never pumped again, instead of on time, the system would {} "
                                  "sooner: {}. {}",
                                  rate, what, joined(lost), leaves)};
}

// The plan of the file beside the date.
std::optional<AnswerLine> plan_line(const PumpStudy& s) {
  const PumpOutPolicy& policy = s.scenario.tank.pump_out;
  std::optional<Date> planned;
  for (const Date d : policy.dates) {
    if (d >= s.story.now && !planned) planned = d;
  }
  if (policy.kind == PumpOutPolicy::Kind::every) {
    const Date from = s.story.pumped.empty() ? s.scenario.start : s.story.pumped.back();
    const Date due =
        std::max(intervals_later(from, policy.every_day, 1), s.story.now + std::chrono::days(1));
    if (!planned || due < *planned) planned = due;
  }
  const std::optional<Date> mark = stick_says_later(s) ? s.prior.next : s.corrected.next;
  if (!planned || !mark) return std::nullopt;
  const double late = years_between(*mark, *planned);
  const char* by = stick_says_later(s) ? " of the household as given" : "";
  std::string text =
      fmt::format("the plan in the file pumps next in {}: ", month_and_year(*planned));
  if (late > on_time_years) {
    text += fmt::format("{:.1f} years after the mark{}, too late.", late, by);
  } else if (late < -on_time_years) {
    text += fmt::format("{:.1f} years before the mark{}, earlier than needed.", -late, by);
  } else {
    text += fmt::format("about when the mark is met{}.", by);
  }
  return AnswerLine{"Plan", text};
}

}  // namespace

std::vector<AnswerLine> pump_answer(const PumpStudy& s, const Report& report) {
  std::vector<AnswerLine> lines = {date_line(s, report), interval_line(s, report)};
  if (s.fit) lines.push_back(rate_line(s));
  const std::vector<std::string> against = disagreements(s);
  std::string text;
  for (const std::string& a : against) {
    text += (text.empty() ? "" : " ") + sentence_case(a) + (a.back() == '.' ? "" : ".");
  }
  if (!against.empty()) {
    lines.push_back({"Check", "the reading and the story do not agree. " + text});
  } else if (s.fit) {
    lines.push_back({"Check", "the reading and the story agree."});
  }
  lines.push_back(people_line(s, report));
  lines.push_back(skipping_line(s, report));
  if (const auto plan = plan_line(s)) lines.push_back(*plan);
  return lines;
}

}  // namespace restwell
