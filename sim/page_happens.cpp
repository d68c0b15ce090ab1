#include <fmt/core.h>

#include <algorithm>

#include "models/constants.hpp"
#include "sim/answer.hpp"
#include "sim/page.hpp"
#include "sim/words.hpp"

namespace restwell {

namespace {

std::string pumping_words(const PageStudy& s) {
  const RunResult& r = s.result;
  const int due = pump_due_day(r);
  std::string text = r.pumped.empty()
                         ? "No mark for pumping is reached in these years."
                         : "No mark is reached as long as the tank is pumped as planned.";
  for (const CriterionDates& c : r.criteria) {
    if (due == never || c.met.empty() || c.met.front() != due) continue;
    text = fmt::format("Due for pumping {}: {}.", due == 0 ? "now" : when_words(s.report, due),
                       criterion_reached(r.scenario, c.criterion));
    break;
  }
  if (const int sooner = due_if_scum_stays(r); sooner != never)
    text +=
        fmt::format(" If the scum stays as thick as it is now: {}.", when_words(s.report, sooner));
  if (r.pump_interval_day != never)
    text += fmt::format(" At today's use it takes about {:.1f} years from a pump-out to the mark.",
                        r.pump_interval_day / days_per_year);
  if (r.pumped.empty()) return text + " The file has the tank never pumped.";
  text +=
      fmt::format(" The file plans {} {}",
                  r.pumped.size() == 1 ? "one pump-out,"
                                       : fmt::format("{} pump-outs, the first", r.pumped.size()),
                  when_words(s.report, r.pumped.front()));
  constexpr int worth_saying_day = 60;
  const int late = due == never ? 0 : r.pumped.front() - due;
  return text + (late > worth_saying_day ? fmt::format(": {:.1f} years late.", late / days_per_year)
                                         : std::string("."));
}

}  // namespace

std::string happens_answer(const PageStudy& s, const std::string& lead) {
  const RunResult& r = s.result;
  const DaySpread overflow = overflow_spread(r);
  std::string place;
  for (const std::size_t f : {Cases::expected, Cases::early, Cases::late})
    if (place.empty()) place = r.cases[f].leaves_at;
  if (overflow.expected == never && overflow.early == never) {
    return fmt::format("{}, nothing overflows within the next {}.", lead, years_words(r.days()));
  }
  if (overflow.expected == never) {
    return fmt::format(
        "{}, an overflow is not likely within the next {}. In the early case it comes {}, {}.",
        lead, years_words(r.days()), when_words(s.report, overflow.early), place);
  }
  return fmt::format("{}, sewage overflows {}: {}.", lead, place,
                     range_sentence(s.report, overflow));
}

std::vector<PageItem> happens_items(const PageStudy& s) {
  const RunResult& r = s.result;
  std::vector<PageItem> items = {{"Tank", pumping_words(s)}};
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    const AnswerLine line = pit_line(r, s.report, p);
    const DaySpread full = pit_full_spread(r, p);
    items.push_back({line.topic, full == DaySpread{}
                                     ? sentence_case(line.text)
                                     : "Full " + range_sentence(s.report, full) + "."});
  }
  return items;
}

PageSection page_what_will_happen(const PageStudy& s) {
  PageBlock block;
  block.id = "happens";
  block.answer = happens_answer(s, as_it_stays);
  block.paragraphs.push_back(
      "Overflow means that sewage leaves other than into the ground: into the yard, or back "
      "towards "
      "the house. A pit is full when its water stands at the inlet pipe.");
  block.figure = dates_figure(s);
  block.items = happens_items(s);
  block.items.push_back(
      {"Early, late",
       "Nobody can measure how fast a wall clogs. The early case has it clog fast, "
       "the late case slowly; most likely is in between."});
  return {"what-will-happen", "What will happen, and when", {std::move(block)}};
}

}  // namespace restwell
