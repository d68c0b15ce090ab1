// What a page for a homeowner says of a site: words, numbers, drawings and tables as text, free of
// how the page is laid out. Only the standard library and fmt: no files, so that a page can ask for
// the same blocks again wherever the engine runs.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/page_cases.hpp"
#include "sim/report.hpp"

namespace restwell {

struct PageTable {
  std::string caption;
  std::vector<std::string> headings;  // the first column's cells head their rows
  std::vector<bool> numbers;          // by column: stands to the right
  std::vector<std::vector<std::string>> rows;
  std::string note;
};

// One picture, drawn for a sheet of paper and for a phone, and the numbers behind it.
struct PageFigure {
  std::string wide, narrow;  // SVG
  std::string caption;       // what to see
  std::optional<PageTable> data;
};

struct PageItem {
  std::string lead, text;  // "June 2028", "Pump the tank."
};

// A heading and what stands under it; what is empty is left out. ids are unique in the page.
struct PageBlock {
  std::string id;
  std::string heading;
  std::string answer;                   // set large
  std::vector<std::string> paragraphs;  // before the figure
  std::vector<PageItem> items;
  std::optional<PageFigure> figure;
  std::vector<std::string> after;  // paragraphs after the figure
  std::optional<PageTable> table;
};
struct PageSection {
  std::string id, heading;
  std::vector<PageBlock> blocks;
};

struct PageContent {
  std::string site, question;
  std::string setting;  // "4 people, 159 gal/day, looked at from 2026-05-01 over 20 years"
  std::string warning;  // one line before all else
  std::vector<PageSection> owner, professional;
};

// Everything that has to be run for a page.
struct PageStudy {
  RunResult result;
  Report report;  // of the result
  WhatIf cases;   // the first is the site as it is
  // Of the same cases, if the page chose them; empty: as asked on the command line.
  std::vector<PageCase> chosen;
  std::optional<Recovery> recovery;  // of one pit, at rest
};

// Throws std::runtime_error if an integration fails. asked: cases to run instead of the default
// ones, outcomes still to come, with their scenarios.
[[nodiscard]] PageStudy page_study(const Scenario& scenario,
                                   const std::vector<std::string>& warnings,
                                   const Progress& progress = {});
[[nodiscard]] PageStudy page_study(const Scenario& scenario,
                                   const std::vector<std::string>& warnings, WhatIf asked,
                                   std::vector<CaseToRun> runs, const Progress& progress = {});

[[nodiscard]] PageContent page_content(const PageStudy& study);

// ---- its parts -----------------------------------------------------------------------------

// What a wide and a narrow picture measure: a column of print, a phone of 360 pixels.
inline constexpr double wide_px = 680.0, narrow_px = 324.0;

// page_words: when, in words that go on a sentence.
// "in May 2036", "on 2026-06-12", "right away", "not within the next 20 years".
[[nodiscard]] std::string when_words(const Report& report, int day);
// "May 2036", "2026-06-12", "now", "after May 2046": for lists and tables.
[[nodiscard]] std::string when_short(const Report& report, int day);
// "most likely in May 2036; in the early case in December 2026, in the late case not within the
// next 20 years": the three cases of clogging.
[[nodiscard]] std::string range_sentence(const Report& report, const DaySpread& spread);
// "most likely May 2036 (from December 2026 to after May 2046)", "not likely before May 2046 (early
// case December 2026)".
[[nodiscard]] std::string range_short(const Report& report, const DaySpread& spread);
// "pits", or "pits and field".
[[nodiscard]] std::string pits_word(const Scenario& scenario);
[[nodiscard]] DaySpread overflow_spread(const RunResult& r);
[[nodiscard]] DaySpread pit_full_spread(const RunResult& r, std::size_t pit);

// "If all stays as it is, sewage overflows at the box lid: most likely in May 2036 ...": lead is
// what stands before the comma.
inline constexpr const char* as_it_stays = "If all stays as it is";
[[nodiscard]] std::string happens_answer(const PageStudy& s, const std::string& lead);
// What becomes of the tank and of every pit. Of the report it reads dates and units.
[[nodiscard]] std::vector<PageItem> happens_items(const PageStudy& s);
// What one case has other than another: water, pumping, dates. Of `before` it reads what
// LiveSite::as_it_is holds.
[[nodiscard]] std::string case_words(const Report& report, const CaseOutcome& before,
                                     const CaseOutcome& after);

// The sections, in the page's order.
[[nodiscard]] PageSection page_what_you_have(const PageStudy& s);
[[nodiscard]] PageSection page_what_will_happen(const PageStudy& s);
[[nodiscard]] PageSection page_why(const PageStudy& s);
inline constexpr const char* what_changes_it = "what-changes-it";  // its id
[[nodiscard]] PageSection page_what_changes_it(const PageStudy& s);
[[nodiscard]] PageSection page_what_to_do(const PageStudy& s);
[[nodiscard]] PageSection page_how_sure(const PageStudy& s);
[[nodiscard]] PageSection page_cautions(const PageStudy& s);
[[nodiscard]] std::vector<PageSection> page_for_professionals(const PageStudy& s);
[[nodiscard]] PageTable page_table(const Report& report, const ReportTable& table);

// The pictures.
[[nodiscard]] PageFigure section_figure(const PageStudy& s);
[[nodiscard]] PageFigure dates_figure(const PageStudy& s);
[[nodiscard]] PageFigure tank_figure(const PageStudy& s);
[[nodiscard]] PageFigure level_figure(const PageStudy& s);
[[nodiscard]] PageFigure clogging_figure(const PageStudy& s);
// The water in the pits through the years, most likely case.
[[nodiscard]] PageFigure level_course_figure(const RunResult& r);
[[nodiscard]] PageFigure recovery_figure(const PageStudy& s);
[[nodiscard]] PageFigure cases_figure(const PageStudy& s);

}  // namespace restwell
