// A process that writes numbers with a decimal comma (1.000,5) reads the same files and says the
// same words: neither C++'s nor C's locale is listened to.
#include <catch2/catch.hpp>
#include <clocale>
#include <cstdio>
#include <cstdlib>
#include <locale>
#include <set>
#include <sstream>
#include <string>

#include "sim/commands.hpp"
#include "tests/support/comma_locale.hpp"
#include "tests/support/temporary_folder.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

const std::string site = RESTWELL_SOURCE_DIR "/scenarios/two_old_pits.yaml";

class CommaNumbers : public std::numpunct<char> {
 protected:
  char do_decimal_point() const override { return ','; }
  char do_thousands_sep() const override { return '.'; }
  std::string do_grouping() const override { return "\3"; }
};

struct CommaEverywhere {
  CommaEverywhere() : before(std::locale::global({std::locale::classic(), new CommaNumbers})) {
    make_comma_locale(folder.path);
    made = setenv("LOCPATH", folder.path.c_str(), 1) == 0 &&
           std::setlocale(LC_ALL, comma_locale) != nullptr;
  }
  ~CommaEverywhere() {
    std::locale::global(before);
    std::setlocale(LC_ALL, "C");
    unsetenv("LOCPATH");
  }
  CommaEverywhere(const CommaEverywhere&) = delete;
  CommaEverywhere& operator=(const CommaEverywhere&) = delete;
  TemporaryFolder folder;
  std::locale before;
  bool made = false;
};

// Everything the commands say, and every file of a results folder and a page.
std::string all_said() {
  const TemporaryFolder folder;
  std::ostringstream out, err;
  const Console console{out, err};
  SiteArguments one;
  one.site = site;
  one.years = 2;
  one.output.out = (folder.path / "results").string();
  CHECK(run_command(one, console) == ok);
  one.output.out.clear();
  one.output.json = true;
  one.mode = Mode::random;
  one.output.units = UnitSystem::metric;
  CHECK(run_command(one, console) == ok);
  one.output.json = false;
  CHECK(whatif_command({.site = one,
                        .sets = {"household.leak=0 gal/day..1500.5 gal/day by 1500.5 gal/day"},
                        .cases = {}},
                       console) == ok);
  CHECK(pump_command(
            {.site = one, .readings = {"2027-05-01 sludge=14.5in scum=3.25in"}, .pumped = {}},
            console) == ok);
  CHECK(report_command({.question = {.site = one, .sets = {}, .cases = {}},
                        .html = (folder.path / "page.html").string(),
                        .pdf = {}},
                       console) == ok);
  CHECK(check_command(site, console) == ok);
  CHECK(schema_command(console) == ok);
  std::string all = out.str() + err.str();
  std::set<std::filesystem::path> written{folder.path / "page.html"};
  for (const auto& entry : std::filesystem::directory_iterator(folder.path / "results"))
    if (entry.path().extension() != ".png" && entry.path().extension() != ".svg")
      written.insert(entry.path());
  CHECK(written.size() > 8);
  for (const auto& file : written) all += read_text(file);
  for (std::size_t at; (at = all.find(folder.path.string())) != std::string::npos;)
    all.replace(at, folder.path.string().size(), "FOLDER");
  return all;
}

}  // namespace

TEST_CASE("a decimal comma in the process's locale changes no byte") {
  if (!can_make_locales()) return;
  const std::string plain = all_said();
  REQUIRE(plain.size() > 100'000);
  const CommaEverywhere comma;
  REQUIRE(comma.made);
  {  // the comma is there
    std::ostringstream words;
    words << 1234.5;
    CHECK(words.str() == "1.234,5");
    char text[16];
    std::snprintf(text, sizeof text, "%.1f", 0.5);
    CHECK(std::string(text) == "0,5");
  }
  const std::string with_comma = all_said();
  std::size_t at = 0;
  while (at < plain.size() && at < with_comma.size() && plain[at] == with_comma[at]) ++at;
  INFO("from byte " << at << ": " << plain.substr(at > 40 ? at - 40 : 0, 120) << "\n"
                    << with_comma.substr(at > 40 ? at - 40 : 0, 120));
  CHECK((with_comma == plain));
}
