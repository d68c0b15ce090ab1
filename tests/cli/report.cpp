// restwell report through the real program: the page is whole, says what run says, asks for
// nothing from elsewhere, and never costs the user a file.
#include <stdlib.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <regex>
#include <set>

#include "sim/page_html.hpp"
#include "tests/support/process.hpp"

using namespace restwell::test;
using restwell::has_page_engine;
using Json = nlohmann::ordered_json;
namespace fs = std::filesystem;

namespace {

Finished report(const std::string& site, std::vector<std::string> more) {
  std::vector<std::string> arguments = {"report", site, "--years", "2"};
  arguments.insert(arguments.end(), more.begin(), more.end());
  return restwell_program(arguments);
}

std::string page_of(const std::string& site, const std::vector<std::string>& more = {}) {
  const TemporaryFolder folder;
  const fs::path file = folder.path / "page.html";
  std::vector<std::string> arguments = more;
  arguments.insert(arguments.end(), {"-o", file.string()});
  const Finished f = report(site, arguments);
  INFO(f.err);
  REQUIRE(f.code == 0);
  CHECK(f.err.empty() == has_page_engine());  // without it: that nothing can be tried
  CHECK(f.out.find("page.html written") != std::string::npos);
  CHECK(std::distance(fs::directory_iterator(folder.path), fs::directory_iterator()) == 1);
  return read_text(file);
}

std::size_t count_of(const std::string& text, const std::string& part) {
  std::size_t count = 0;
  for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++count;
  return count;
}

// Elements closed in order, attributes quoted and not twice; void elements and scripts as in HTML.
std::string ill_formed(const std::string& html) {
  static const std::set<std::string> without_end = {"meta", "br", "img", "link", "input", "hr"};
  static const std::regex attribute("^\\s+([a-zA-Z-]+)(?:=\"[^\"<>]*\")?");
  std::vector<std::string> open;
  for (std::size_t at = 0; (at = html.find('<', at)) != std::string::npos;) {
    const std::size_t end = html.find('>', at);
    if (end == std::string::npos) return "no end of a tag";
    std::string tag = html.substr(at + 1, end - at - 1);
    at = end + 1;
    if (tag.starts_with("!")) continue;
    const bool closes = tag.starts_with("/"), closed = tag.ends_with("/");
    if (closes) tag.erase(0, 1);
    if (closed) tag.pop_back();
    const std::size_t name_end = std::min(tag.find_first_of(" \n"), tag.size());
    const std::string name = tag.substr(0, name_end);
    if (closes) {
      if (open.empty() || open.back() != name)
        return "</" + name + "> within <" + (open.empty() ? "" : open.back()) + ">";
      open.pop_back();
      continue;
    }
    std::set<std::string> seen;
    std::string rest = tag.substr(name_end);
    std::smatch m;
    while (std::regex_search(rest, m, attribute)) {
      if (!seen.insert(m[1]).second) return "attribute twice: " + tag;
      rest = m.suffix();
    }
    if (rest.find_first_not_of(" \n") != std::string::npos) return "attributes of <" + tag + ">";
    if (closed || without_end.contains(name)) continue;
    open.push_back(name);
    if (name == "script" || name == "style") at = html.find("</" + name, at);
  }
  return open.empty() ? "" : "not closed: " + open.back();
}

Json data_of(const std::string& html) {
  const std::string start = "<script type=\"application/json\" id=\"result\">";
  const std::size_t from = html.find(start) + start.size();
  return Json::parse(html.substr(from, html.find("</script>", from) - from));
}

// Without tags, entities of the page's own escapes undone.
std::string text_of(const std::string& html) {
  std::string text = html;
  for (const std::string name : {"script", "style"})  // too long for std::regex
    for (std::size_t at; (at = text.find("<" + name)) != std::string::npos;)
      text.replace(at, text.find("</" + name + ">", at) + name.size() + 3 - at, " ");
  text = std::regex_replace(text, std::regex("<[^>]*>"), " ");
  for (const auto& [entity, sign] :
       std::vector<std::pair<std::string, std::string>>{{"&lt;", "<"},
                                                        {"&gt;", ">"},
                                                        {"&quot;", "\""},
                                                        {"&apos;", "'"},
                                                        {"&#39;", "'"},
                                                        {"&amp;", "&"}}) {
    for (auto at = text.find(entity); at != std::string::npos; at = text.find(entity, at + 1))
      text.replace(at, entity.size(), sign);
  }
  return unwrapped(text);
}

const std::string hostile = R"(name: "</title><script>alert(1)</script>"
question: "<img src=x onerror=alert(2)> & \"quotes\" ]]> <!--"
start: 2026-05-01
years: 2
household: {occupants: 4}
tank: {volume: 1000 gal, liquid_depth: 48 in, pumped: 2025-05-01, pump_out: never}
box:
  lid: 8 in
  outlets:
    - {name: "</script>", to: "<script>", invert: 0 in}
    - {name: "{{site}}", to: "\" onload=\"x", invert: 0 in}
pits:
  - {name: "<script>", diameter: 6 ft, depth: 8 ft, in_service: 2 years}
  - {name: "\" onload=\"x", diameter: 6 ft, depth: 8 ft, new: yes}
soil: {perc: 15 min/inch}
)";

// PATH set for as long as it lives.
class PathAs {
 public:
  explicit PathAs(const std::string& path) : before_(getenv("PATH")) {
    setenv("PATH", path.c_str(), 1);
  }
  ~PathAs() { setenv("PATH", before_.c_str(), 1); }
  PathAs(const PathAs&) = delete;
  PathAs& operator=(const PathAs&) = delete;

 private:
  std::string before_;
};

std::set<std::string> names_in(const fs::path& folder) {
  std::set<std::string> names;
  for (const auto& entry : fs::directory_iterator(folder))
    names.insert(entry.path().filename().string());
  return names;
}

}  // namespace

// With all its years and the engine: what a phone must load and a mail must carry.
TEST_CASE("pages of the shipped sites stay under 400 kB") {
  const TemporaryFolder folder;
  const std::string page = (folder.path / "page.html").string();
  for (const char* site : {"two_old_pits", "high_water_table", "pits_and_field"}) {
    INFO(site);
    const Finished f =
        restwell_program({"report", "scenarios/" + std::string(site) + ".yaml", "-o", page});
    INFO(f.err);
    REQUIRE(f.code == 0);
    CHECK((read_text(page).find("id=\"engine\"") != std::string::npos) == has_page_engine());
    CHECK(fs::file_size(page) <= 400'000);
  }
}

TEST_CASE("the page is whole, small and asks for nothing from elsewhere") {
  const std::string html = page_of("scenarios/two_old_pits.yaml");
  CHECK(ill_formed(html) == "");
  const auto engine = html.find("<script type=\"application/octet-stream\"");
  CHECK(std::min(engine, html.size()) <= 200'000);  // all but the engine
  CHECK(html.starts_with("<!doctype html>\n<html lang=\"en\">"));
  CHECK(html.find("default-src 'none'") != std::string::npos);
  CHECK(count_of(html, "http://") == count_of(html, "xmlns=\"http://www.w3.org/2000/svg\""));
  CHECK(count_of(html, "https://") == 0);
  for (const char* asks : {"<link", "<img", "<iframe", "@import", "url(", " src=", "//cdn"}) {
    INFO(asks);
    CHECK(html.find(asks) == std::string::npos);
  }
  // Each id once, every link leads to one.
  std::set<std::string> ids;
  const std::regex id(" id=\"([^\"]*)\""), link("href=\"#([^\"]*)\"");
  for (std::sregex_iterator i(html.begin(), html.end(), id), end; i != end; ++i) {
    INFO((*i)[1]);
    CHECK(ids.insert((*i)[1]).second);
  }
  for (std::sregex_iterator i(html.begin(), html.end(), link), end; i != end; ++i)
    CHECK(ids.contains((*i)[1]));
}

TEST_CASE("the parts stand in their order, headings one step at a time, pictures with words") {
  const std::string html = page_of("scenarios/pits_and_field.yaml");
  std::size_t last = 0;
  for (const char* id : {"what-you-have", "what-will-happen", "why", "what-changes-it",
                         "what-to-do", "how-sure", "cautions", "professional"}) {
    INFO(id);
    const std::size_t at = html.find("<section id=\"" + std::string(id) + "\"");
    REQUIRE(at != std::string::npos);
    CHECK(at > last);
    last = at;
  }
  int level = 0;
  const std::regex heading("<h([1-6])");
  for (std::sregex_iterator i(html.begin(), html.end(), heading), end; i != end; ++i) {
    const int here = std::stoi((*i)[1]);
    CHECK(here <= level + 1);
    level = here;
  }
  CHECK(count_of(html, "<h1") == 1);
  const std::size_t pictures = count_of(html, "<svg ");
  CHECK(pictures >= 12);
  CHECK(count_of(html, "role=\"img\"") == pictures);
  CHECK(count_of(html, "</title>") == pictures + 1);
  CHECK(count_of(html, "</desc>") == pictures);
  CHECK(count_of(html, "<div class=\"wide\"><svg") == count_of(html, "<div class=\"narrow\"><svg"));
  CHECK(count_of(html, "<th>") == 0);  // all with a scope
  const std::string text = text_of(html);
  CHECK(text.find("Nothing is done at the box") != std::string::npos);  // the file has a plan
  CHECK(text.find("Never enter one or lean into it") != std::string::npos);
  CHECK(text.find("as planned") != std::string::npos);
}

TEST_CASE("the page says what run says") {
  for (const char* units : {"us", "metric"}) {
    const std::string html = page_of("scenarios/never_pumped.yaml", {"--units", units});
    const Finished run = restwell_program(
        {"run", "scenarios/never_pumped.yaml", "--years", "2", "--json", "--units", units});
    REQUIRE(run.code == 0);
    const Json expected = Json::parse(run.out);
    CHECK(data_of(html) == expected);
    // And in words: every line of the answer, every date of the first full pits and overflow.
    const std::string text = text_of(html);
    for (const Json& line : expected["answer"]) {
      INFO(line);
      CHECK(text.find(unwrapped(line["text"])) != std::string::npos);
    }
    static const char* const months[] = {"January",   "February", "March",    "April",
                                         "May",       "June",     "July",     "August",
                                         "September", "October",  "November", "December"};
    int dates = 0;
    for (const Json& row : expected["tables"]["overflow"]["rows"]) {
      if (row["overflow"]["date"].is_null()) continue;
      const std::string iso = row["overflow"]["date"];
      const double years = row["overflow"]["years"];
      const std::string in_words =
          std::string(months[std::stoi(iso.substr(5, 2)) - 1]) + " " + iso.substr(0, 4);
      INFO(iso);
      CHECK((years * 365.25 < 0.5 || text.find(iso) != std::string::npos ||
             text.find(in_words) != std::string::npos));
      ++dates;
    }
    CHECK(expected["tables"]["overflow"]["rows"].size() == 3);
    (void)dates;
    // The water of a typical week, by the run's own words.
    const std::string setting = expected["setting"];
    const std::size_t comma = setting.find(", ") + 2;
    const std::string flow = setting.substr(comma, setting.find(' ', comma) - comma);
    CHECK(text.find(flow + (units == std::string("us") ? " gallons a day" : " liters a day")) !=
          std::string::npos);
  }
}

TEST_CASE("the same input gives the same bytes") {
  const bool same =
      page_of("scenarios/growing_family.yaml") == page_of("scenarios/growing_family.yaml");
  CHECK(same);  // not shown: it is long
}

TEST_CASE("names from the file are text wherever they stand") {
  const TemporaryFolder folder;
  const fs::path site = folder.path / "hostile.yaml";
  write_text(site, hostile);
  const std::string html = page_of(site.string());
  CHECK(ill_formed(html) == "");
  // The data; with the engine what it needs, itself, and the page's own.
  const std::size_t scripts = has_page_engine() ? 4 : 1;
  CHECK(count_of(html, "<script") == scripts);
  CHECK(count_of(html, "</script") == scripts);
  CHECK(count_of(html, "<script>") == scripts / 4);
  CHECK(html.find("<img") == std::string::npos);
  CHECK(html.find("<!--") == std::string::npos);
  CHECK(html.find("\" onload=\"x") == std::string::npos);
  const std::string text = text_of(html);
  CHECK(text.find("</title><script>alert(1)</script>") != std::string::npos);
  CHECK(text.find("<script> pit") != std::string::npos);
  CHECK(html.find(">&lt;script&gt; pit") != std::string::npos);  // in a picture
  CHECK(text.find("{{site}}") != std::string::npos);
  CHECK(data_of(html)["site"] == "</title><script>alert(1)</script>");
}

TEST_CASE("asked cases stand in the place of the page's own") {
  const std::string text =
      text_of(page_of("scenarios/two_old_pits.yaml", {"--set", "household.leak=200 gal/day",
                                                      "--cases", "scenarios/what_if_cases.yaml"}));
  CHECK(text.find("Pits 2 ft deeper") != std::string::npos);
  CHECK(text.find("Leak 200 gal/day") != std::string::npos);
  CHECK(text.find("Two more people 6 people instead") == std::string::npos);
}

TEST_CASE("what cannot be asked or written is refused and leaves nothing") {
  const TemporaryFolder folder;
  const fs::path out = folder.path / "page.html";
  write_text(folder.path / "bad.yaml", "name: x\n");
  write_text(folder.path / "mine.html", "my own page");
  fs::create_directory(folder.path / "folder");
  const std::set<std::string> before = names_in(folder.path);
  const std::string site = "scenarios/two_old_pits.yaml";
  const auto refused = [&](const std::string& of, const std::vector<std::string>& more, int code,
                           const std::string& says) {
    const Finished f = report(of, more);
    INFO(f.err);
    CHECK(f.code == code);
    CHECK(f.out.empty());
    CHECK(f.err.find(says) != std::string::npos);
    CHECK(names_in(folder.path) == before);
  };
  refused((folder.path / "bad.yaml").string(), {"-o", out.string()}, 3, "household");
  refused(site, {}, 2, "-o FILE.html");
  refused(site, {"-o", out.string(), "--pdf", out.string()}, 2, "same file");
  refused(site, {"-o", out.string(), "--set", "household.ocupants=3"}, 2, "did you mean");
  refused(site, {"-o", (folder.path / "folder").string()}, 4, "it is a folder");
  refused(site, {"-o", (folder.path / "mine.html").string()}, 4, "no earlier report wrote");
  refused(site, {"-o", (folder.path / "bad.yaml" / "x.html").string()}, 4, "is not a folder");
  refused(site, {"-o", "/dev/null"}, 4, "not a plain file");
  CHECK(read_text(folder.path / "mine.html") == "my own page");
  // A page of an earlier run is replaced.
  REQUIRE(report(site, {"-o", out.string()}).code == 0);
  CHECK(report(site, {"-o", out.string(), "--units", "metric"}).code == 0);
}

TEST_CASE("without a browser --pdf says so, and writes nothing") {
  const TemporaryFolder folder;
  const PathAs none((folder.path / "empty").string());
  const Finished f =
      report("scenarios/two_old_pits.yaml",
             {"--pdf", (folder.path / "p.pdf").string(), "-o", (folder.path / "p.html").string()});
  CHECK(f.code == 4);
  CHECK(f.out.empty());
  CHECK(f.err.find("needs a browser") != std::string::npos);
  CHECK(f.err.find("print it") != std::string::npos);
  CHECK(names_in(folder.path).empty());
}

TEST_CASE("a browser that fails, or prints no PDF, leaves nothing; one that prints is believed") {
  const TemporaryFolder folder;
  const fs::path bin = folder.path / "bin";
  fs::create_directory(bin);
  const PathAs mine(bin.string() + ":/usr/bin:/bin");
  const auto with_browser = [&](const std::string& script) {
    write_text(bin / "chromium", "#!/bin/sh\n" + script + "\n");
    fs::permissions(bin / "chromium", fs::perms::owner_all);
    return report("scenarios/two_old_pits.yaml", {"--pdf", (folder.path / "p.pdf").string()});
  };
  for (const char* script : {"exit 3", "exit 0"}) {
    const Finished f = with_browser(script);
    CHECK(f.code == 4);
    CHECK(f.err.find("chromium could not print the page") != std::string::npos);
    CHECK(names_in(folder.path) == std::set<std::string>{"bin"});
  }
  const Finished f = with_browser(
      "for a in \"$@\"; do case $a in --print-to-pdf=*) echo '%PDF-1.4 x' > ${a#*=};; esac; done");
  INFO(f.err);
  CHECK(f.code == 0);
  CHECK(read_text(folder.path / "p.pdf") == "%PDF-1.4 x\n");
}

TEST_CASE("a folder that may not be written to is refused") {
  if (geteuid() == 0) return;  // root may
  const TemporaryFolder folder;
  const fs::path closed = folder.path / "closed";
  fs::create_directory(closed);
  fs::permissions(closed, fs::perms::owner_read | fs::perms::owner_exec);
  const Finished f = report("scenarios/two_old_pits.yaml", {"-o", (closed / "page.html").string()});
  fs::permissions(closed, fs::perms::owner_all);
  CHECK(f.code == 4);
  CHECK(names_in(closed).empty());
}
