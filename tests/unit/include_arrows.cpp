// The arrows between folders: sim -> models, sim -> plots; models and plots know nothing of each
// other; heavy libraries stay where they belong.
#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <regex>
#include <string>
#include <vector>

namespace {

struct Include {
  std::string file, target;
};

std::vector<Include> includes_of(const std::string& folder) {
  static const std::regex line_pattern("^\\s*#\\s*include\\s*[<\"]([^>\"]+)[>\"]");
  std::vector<Include> found;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(
           std::string(RESTWELL_SOURCE_DIR) + "/" + folder)) {
    const std::string extension = entry.path().extension().string();
    if (extension != ".hpp" && extension != ".cpp") continue;
    std::ifstream in(entry.path());
    for (std::string line; std::getline(in, line);) {
      std::smatch match;
      if (std::regex_search(line, match, line_pattern)) {
        found.push_back({folder + "/" + entry.path().filename().string(), match[1]});
      }
    }
  }
  return found;
}

bool starts_with(const std::string& text, const std::string& prefix) {
  return text.rfind(prefix, 0) == 0;
}

// Library and the only files that may include it.
struct Home {
  std::string library;
  std::vector<std::string> files;
};

}  // namespace

TEST_CASE("models include the standard library, Boost.Math and models only") {
  const std::vector<Include> all = includes_of("models");
  REQUIRE(all.size() > 20);
  for (const Include& i : all) {
    INFO(i.file << " includes " << i.target);
    const bool project = starts_with(i.target, "models/");
    const bool boost_math = starts_with(i.target, "boost/math/");
    const bool standard =
        i.target.find('/') == std::string::npos && i.target.find(".h") == std::string::npos;
    CHECK((project || boost_math || standard));
    // No files and no streams in the physics.
    CHECK(i.target != "fstream");
    CHECK(i.target != "iostream");
    CHECK(i.target != "filesystem");
  }
}

TEST_CASE("plots include neither models nor sim") {
  const std::vector<Include> all = includes_of("plots");
  REQUIRE(all.size() > 10);
  for (const Include& i : all) {
    INFO(i.file << " includes " << i.target);
    CHECK_FALSE(starts_with(i.target, "models/"));
    CHECK_FALSE(starts_with(i.target, "sim/"));
    CHECK_FALSE(starts_with(i.target, "boost/"));
  }
}

TEST_CASE("nothing outside of tests includes tests") {
  for (const char* folder : {"models", "plots", "sim"}) {
    for (const Include& i : includes_of(folder)) {
      INFO(i.file << " includes " << i.target);
      CHECK_FALSE(starts_with(i.target, "tests/"));
      CHECK_FALSE(starts_with(i.target, "../"));
    }
  }
}

TEST_CASE("one heavy library a source file") {
  const std::vector<Home> homes = {
      {"boost/math", {"sim/readings.cpp", "sim/engine_errors.cpp"}},
      {"boost/numeric/odeint", {"sim/integrate.cpp"}},
      {"CLI/", {"sim/cli.cpp"}},
      {"yaml-cpp", {"sim/yaml_tree.cpp"}},
      {"nlohmann/", {"sim/report_json.cpp", "sim/schema.cpp"}},
      {"kainjow/", {"sim/page_html.cpp"}},
      {"boost/random", {"sim/load.cpp"}},
  };
  // No other library comes in unseen.
  for (const Include& i : includes_of("sim")) {
    const bool library = i.target.find('/') != std::string::npos &&
                         !starts_with(i.target, "sim/") && !starts_with(i.target, "models/") &&
                         !starts_with(i.target, "plots/") && !starts_with(i.target, "fmt/") &&
                         !starts_with(i.target, "sys/");
    INFO(i.file << " includes " << i.target);
    CHECK((!library || std::any_of(homes.begin(), homes.end(), [&](const Home& h) {
      return starts_with(i.target, h.library);
    })));
  }
  for (const Home& home : homes) {
    int seen = 0;
    for (const Include& i : includes_of("sim")) {
      if (!starts_with(i.target, home.library)) continue;
      ++seen;
      INFO(i.file << " includes " << i.target);
      CHECK(std::find(home.files.begin(), home.files.end(), i.file) != home.files.end());
    }
    INFO(home.library);
    CHECK(seen > 0);
  }
}

TEST_CASE("what makes a page's words and drawings reads and writes nothing") {
  std::size_t seen = 0;
  for (const char* folder : {"sim", "plots"}) {
    for (const Include& i : includes_of(folder)) {
      const std::string stem = i.file.substr(i.file.find('/') + 1);
      const bool page = (starts_with(stem, "page") && !starts_with(stem, "page_html") &&
                         !starts_with(stem, "page_file") && !starts_with(stem, "page_command")) ||
                        starts_with(stem, "spoken") || starts_with(stem, "svg.") ||
                        starts_with(stem, "line_chart") || starts_with(stem, "span_chart") ||
                        starts_with(stem, "section_drawing") || starts_with(stem, "thin.");
      if (!page) continue;
      ++seen;
      INFO(i.file << " includes " << i.target);
      for (const char* outside : {"iostream", "fstream", "filesystem", "unistd.h"})
        CHECK(i.target != outside);
      for (const char* library : {"nlohmann/", "kainjow/", "yaml", "CLI/"})
        CHECK_FALSE(starts_with(i.target, library));
    }
  }
  CHECK(seen > 20);
}

// The same file and seed give the same answer on any day: nothing asks what time it is. The one
// exception gives a browser that hangs a limit.
TEST_CASE("nothing asks for the time of day or for chance from outside") {
  static const std::regex asks(
      "system_clock|steady_clock|high_resolution_clock|file_clock|\\btime\\s*\\(\\s*(0|NULL|"
      "nullptr|&)|"
      "clock_gettime|gettimeofday|localtime|\\bgmtime|\\bclock\\s*\\(\\)|random_device|\\bs?"
      "rand\\s*\\(|"
      "__DATE__|__TIME__");
  std::size_t files = 0, seen = 0;
  for (const char* folder : {"models", "plots", "sim"}) {
    for (const auto& entry : std::filesystem::recursive_directory_iterator(
             std::string(RESTWELL_SOURCE_DIR) + "/" + folder)) {
      if (!entry.is_regular_file()) continue;
      ++files;
      std::ifstream in(entry.path());
      for (std::string line; std::getline(in, line);) {
        if (!std::regex_search(line, asks)) continue;
        ++seen;
        INFO(entry.path().filename().string() << ": " << line);
        CHECK(entry.path().filename() == "page_file.cpp");
      }
    }
  }
  CHECK(files > 200);
  CHECK(seen == 2);  // the search does find what is there
}
