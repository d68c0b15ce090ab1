#include <fmt/core.h>

#include "sim/command_parts.hpp"
#include "sim/page_file.hpp"
#include "sim/page_html.hpp"
#include "sim/whatif_ask.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

// The site for the page's engine; nothing if there is no engine.
std::optional<PageLive> live_page(const PageStudy& study, const Console& console) {
  if (!has_page_engine()) {
    console.err << "note: this restwell was built without the engine for pages: the page is "
                   "complete, but nothing can be tried in it\n";
    return {};
  }
  const Scenario& scenario = study.result.scenario;
  return PageLive{live_controls(scenario), packed_site({scenario, study.cases.outcomes.front()})};
}

PageStudy study_asked(const PageArguments& a, std::string& text, const Console& console) {
  const auto line_for = [&](const Scenario& s) {
    return fmt::format("running {:.3g} years, case by case", s.years);
  };
  if (a.question.sets.empty() && a.question.cases.empty()) {
    const LoadedScenario loaded = load_site(a.question.site);
    text = loaded.text;
    ProgressLine line(console, line_for(loaded.scenario));
    return page_study(loaded.scenario, loaded.warnings, line.progress());
  }
  AskedSite asked = ask_site(a.question);
  text = asked.base.text;
  ProgressLine line(console, line_for(asked.base.scenario));
  PageStudy study = page_study(asked.base.scenario, asked.base.warnings, std::move(asked.what_if),
                               std::move(asked.runs), line.progress());
  add_outcome_notes(study.cases);
  return study;
}

std::filesystem::path browser_or_refuse() {
  const std::filesystem::path browser = find_browser();
  if (!browser.empty()) return browser;
  throw std::runtime_error(
      "--pdf needs a browser such as chromium on PATH, and there is none. Write the page with -o "
      "report.html, open it in any browser and print it to PDF from there");
}

}  // namespace

int report_command(const PageArguments& a, const Console& console) {
  return guarded(console, [&] {
    if (a.html.empty() && a.pdf.empty())
      throw QuestionError("where to write? give -o FILE.html, or --pdf FILE.pdf, or both",
                          "restwell report SITE.yaml -o report.html");
    if (!a.html.empty() && a.html == a.pdf)
      throw QuestionError("-o and --pdf name the same file", "give each a name of its own");
    if (!a.html.empty()) refuse_output_file(a.html, page_mark);
    if (!a.pdf.empty()) refuse_output_file(a.pdf, pdf_mark);
    const std::filesystem::path browser =
        a.pdf.empty() ? std::filesystem::path() : browser_or_refuse();
    std::string text;
    const PageStudy study = study_asked(a, text, console);
    const PageContent content = page_content(study);
    const std::string json = report_json_for_html(study.report);
    // The PDF first: if it fails nothing is written.
    if (!a.pdf.empty()) write_pdf(browser, page_html(content, text, json), a.pdf);
    std::string html;
    if (!a.html.empty()) {
      html = page_html(content, text, json, live_page(study, console));
      write_whole_file(a.html, html);
    }
    const std::string name = printable(study.report.site, 80);
    if (!a.html.empty())
      console.out << fmt::format("{}: {} written ({:.0f} kB). It opens in any browser, offline.\n",
                                 name, printable(a.html, 200),
                                 std::max(1.0, static_cast<double>(html.size()) / 1000.0));
    if (!a.pdf.empty())
      console.out << fmt::format("{}: {} written.\n", name, printable(a.pdf, 200));
    console.out.flush();
    return static_cast<int>(ok);
  });
}

}  // namespace restwell
