// Every bad file beside this one gives exactly the report in the .txt of the same name; files that
// are no scenario at all are made here.
#include <fmt/format.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "sim/diagnostic.hpp"
#include "sim/scenario_yaml.hpp"

namespace fs = std::filesystem;
using namespace restwell;

namespace {

const fs::path folder = fs::path(RESTWELL_SOURCE_DIR) / "tests" / "errors";

std::string text_of(const fs::path& file) {
  std::ifstream stream(file, std::ios::binary);
  REQUIRE(stream);
  std::ostringstream text;
  text << stream.rdbuf();
  return text.str();
}

std::string report_of_text(const std::string& text, const std::string& name) {
  try {
    static_cast<void>(parse_scenario(text, name));
  } catch (const ScenarioError& e) {
    return e.report();
  }
  return "accepted";
}

std::string report_of_file(const fs::path& file) {
  try {
    static_cast<void>(load_scenario(file));
  } catch (const ScenarioError& e) {
    return e.report();
  }
  return "accepted";
}

std::string repeated(const std::string& part, std::size_t times) {
  std::string text;
  for (std::size_t i = 0; i < times; ++i) text += part;
  return text;
}

class TemporaryFolder {
 public:
  TemporaryFolder()
      : path_(fs::temp_directory_path() / ("restwell_bad_files_" + std::to_string(getpid()))) {
    fs::create_directory(path_);
  }
  ~TemporaryFolder() { fs::remove_all(path_); }
  TemporaryFolder(const TemporaryFolder&) = delete;
  TemporaryFolder& operator=(const TemporaryFolder&) = delete;
  [[nodiscard]] fs::path write(const std::string& name, const std::string& text) const {
    std::ofstream(path_ / name, std::ios::binary) << text;
    return path_ / name;
  }
  [[nodiscard]] const fs::path& path() const { return path_; }

 private:
  fs::path path_;
};

}  // namespace

TEST_CASE("each bad file gives its whole report") {
  int count = 0;
  for (const auto& entry : fs::directory_iterator(folder)) {
    if (entry.path().extension() != ".yaml") continue;
    ++count;
    fs::path expected = entry.path();
    expected.replace_extension(".txt");
    const std::string name = entry.path().filename().string();
    INFO(name);
    CHECK(report_of_text(text_of(entry.path()), name) == text_of(expected));
  }
  CHECK(count >= 45);
}

TEST_CASE("a quote that is closed in its own way is no problem") {
  const auto says_open = [](const std::string& value) {
    const std::string text = "name: A\nquestion: " + value + "\nyears: 0\n";
    return report_of_text(text, "site").find("never closed") != std::string::npos;
  };
  for (const std::string closed : {R"("say \"when\"")", R"('it''s full')", "\"over\n  two lines\"",
                                   "''", R"("ends in \\")", "it's", R"(5 " wide)"}) {
    CAPTURE(closed);
    CHECK_FALSE(says_open(closed));
  }
  for (const std::string open :
       {R"("say when)", R"('it''s full)", R"('it''s full'')", R"("ends in \")", R"("over)", "'"}) {
    CAPTURE(open);
    CHECK(says_open(open));
  }
}

TEST_CASE("what is not a text file of a sensible size is refused before it is read as YAML") {
  const TemporaryFolder temporary;
  const std::string end = "1 problem; nothing was run.\n";

  SECTION("no such file") {
    const fs::path file = temporary.path() / "absent.yaml";
    CHECK(report_of_file(file) == file.string() + ": there is no such file\n" + end);
  }
  SECTION("directory") {
    CHECK(report_of_file(temporary.path()) ==
          temporary.path().string() + ": is a directory, not a file\n" + end);
  }
  SECTION("50 MB") {
    const fs::path file = temporary.write("big.yaml", "");
    fs::resize_file(file, 50'000'000);
    CHECK(report_of_file(file) ==
          file.string() + ": is larger than 1 MB, the limit for a scenario (50000000 bytes)\n" +
              end);
  }
  SECTION("binary") {
    const fs::path file = temporary.write("binary.yaml", std::string("name: A\n\x7f"
                                                                     "ELF\0\1",
                                                                     14));
    CHECK(report_of_file(file) == file.string() +
                                      ":2:1: is not a text file: byte 0x7f\n"
                                      "  hint: a scenario is UTF-8 text in YAML\n" +
                                      end);
  }
  SECTION("UTF-16") {
    const fs::path file = temporary.write("utf16.yaml", std::string("\xff\xfen\0a\0", 6));
    CHECK(report_of_file(file) == file.string() +
                                      ":1:1: is not a text file: byte 0xff\n"
                                      "  hint: a scenario is UTF-8 text in YAML\n" +
                                      end);
  }
  SECTION("not readable") {
    const fs::path file = temporary.path() / "loop.yaml";
    fs::create_symlink(file, file);
    CHECK(report_of_file(file) ==
          file.string() + ": cannot be read: Too many levels of symbolic links\n" + end);
  }
  SECTION("no permission") {
    const fs::path file = temporary.write("locked.yaml", "name: A\n");
    fs::permissions(file, fs::perms::none);
    if (geteuid() == 0) {
      WARN("root reads everything: not tested");
    } else {
      CHECK(report_of_file(file) == file.string() + ": cannot be read: Permission denied\n" + end);
    }
  }
  SECTION("not a regular file") {
    CHECK(report_of_file("/dev/zero") == "/dev/zero: is not a regular file\n" + end);
  }
}

TEST_CASE("deep nesting is refused in every notation, fast") {
  const std::string refusal = "is nested deeper than 20 levels";
  for (const std::string& text :
       {repeated("[", 400'000) + repeated("]", 400'000), repeated("- ", 400'000),
        repeated("{a: ", 200'000) + repeated("}", 200'000)}) {
    const std::string report = report_of_text(text, "deep.yaml");
    INFO(text.substr(0, 20));
    CHECK(report.find(refusal) != std::string::npos);
  }
  std::string steps;
  for (std::size_t depth = 0; depth < 1000; ++depth) steps += std::string(depth, ' ') + "a:\n";
  CHECK(report_of_text(steps, "deep.yaml") ==
        "deep.yaml:21:21: is nested deeper than 20 levels\n"
        "  21 |                     a:\n"
        "     |                     ^\n"
        "1 problem; nothing was run.\n");
}

TEST_CASE("hostile text ends in a report") {
  const std::string laughs =
      "a: &a [x,x,x,x,x,x,x,x,x]\nb: &b [*a,*a,*a,*a,*a,*a,*a,*a,*a]\nc: [*b,*b,*b,*b,*b,*b,*b]\n";
  CHECK(report_of_text(laughs, "x").find("x:1:4: anchors (&) and aliases (*) are not read") == 0);
  for (const std::string& text :
       {repeated("[", 900'000), repeated("{", 900'000), repeated("\"", 900'000),
        repeated(":", 900'000), repeated("? ", 400'000), repeated("*a ", 300'000),
        fmt::format("pits: [{}]", repeated("a,", 400'000)),
        fmt::format("[{}]", repeated(",", 900'000)), repeated("a", 900'000) + ": 1",
        repeated("name: a\n", 100'000)})
    CHECK(report_of_text(text, "x").find("nothing was run.\n") != std::string::npos);
}

TEST_CASE("many problems are counted, the first 50 shown") {
  std::string text = "name: A\n";
  for (int i = 0; i < 500; ++i) text += "zzzzzzzzz" + std::to_string(i) + ": 1\n";
  const std::string report = report_of_text(text, "x.yaml");
  // 500 unknown keys, 5 missing sections, neither box nor single_outlet
  CHECK(report.ends_with("506 problems, the first 50 shown; nothing was run.\n"));
}

TEST_CASE("places hold with a byte-order mark and any line ends") {
  const std::string expected =
      "x.yaml:2:8: start: must be a date as 2026-05-01, got soon\n"
      "   2 | start: soon\n"
      "     |        ^\n";
  for (const std::string line_end : {"\n", "\r\n", "\r"})
    for (const std::string mark : {"", "\xef\xbb\xbf"}) {
      const std::string report =
          report_of_text(mark + "name: A" + line_end + "start: soon" + line_end, "x.yaml");
      CHECK(report.find(expected) != std::string::npos);
    }
}

TEST_CASE("control characters never reach the screen") {
  const std::string report =
      report_of_text("name: \"a\"\n\"k\\e[31m\": \"\\u202e\"\n", "x\n\x1b.yaml");
  for (const char c : report) CHECK((c == '\n' || static_cast<unsigned char>(c) >= 0x20));
  CHECK(report.find("x\\n\\x1b.yaml:2:1: k\\x1b[31m: unknown key") != std::string::npos);
}
