// Exit codes and where messages go: 0 good, 2 wrong command line, 3 bad scenario, 4 failed run.
#include <catch2/catch.hpp>

#include "tests/support/process.hpp"

using namespace restwell::test;

namespace {

const std::string site = "scenarios/two_old_pits.yaml";

// A failure says why on stderr, in the program's name, and nothing on stdout.
void check_refused(const std::vector<std::string>& arguments, int code) {
  std::string line = "restwell";
  for (const std::string& a : arguments) line += " " + a;
  const Finished f = restwell_program(arguments);
  INFO(line << "\nstderr: " << f.err);
  CHECK(f.code == code);
  CHECK(f.out.empty());
  CHECK(f.err.size() > 10);
  CHECK(f.err.back() == '\n');
}

}  // namespace

TEST_CASE("a wrong command line exits with 2") {
  const std::vector<std::vector<std::string>> wrong = {
      {"frobnicate"},
      {"run"},
      {"check"},
      {"run", site, "--frobnicate"},
      {"run", site, "--units", "imperial"},
      {"run", site, "--units", "0"},
      {"run", site, "--units"},
      {"run", site, "--years", "0"},
      {"run", site, "--years", "0.5"},
      {"run", site, "--years", "-3"},
      {"run", site, "--years", "101"},
      {"run", site, "--years", "two"},
      {"run", site, "--years", "nan"},
      {"run", site, "--years", "3 weeks"},
      {"run", site, "--seed", "x"},
      {"run", site, "--seed", "-1"},
      {"run", site, "--seed", "1.5"},
      {"run", site, "--seed", "18446744073709551616"},
      {"run", site, "--mode", "wild"},
      {"run", site, "another.yaml"},
      {"run", "check", site},
      {"run", site, "--out="},
      {"schema", "extra"},
      {"help", "frobnicate"},
      {"--frobnicate"},
  };
  for (const auto& arguments : wrong) check_refused(arguments, 2);
  const Finished units = restwell_program({"run", site, "--units", "imperial"});
  CHECK(units.err.find("restwell: --units: ") == 0);
  CHECK(units.err.find("imperial") != std::string::npos);
  CHECK(units.err.find("\nhint: restwell help run\n") != std::string::npos);
}

// As from a shell variable that is not set: never taken for an option that was not given.
TEST_CASE("an empty name of a file or folder is a wrong command line") {
  const std::vector<std::pair<std::string, std::vector<std::string>>> commands = {
      {"--out", {"run", site, "--years", "1"}},
      {"--out", {"pump", site}},
      {"--out", {"whatif", site, "--set", "household.occupants=2..3"}},
      {"--out", {"rest", site, "--pit", "east"}},
      {"--out", {"size", site}},
      {"--out", {"perc", "scenarios/perc_test.yaml"}},
      {"--cases", {"whatif", site}},
      {"--html", {"report", site}},
      {"-o", {"report", site}},
      {"--pdf", {"report", site}}};
  for (const auto& [option, command] : commands) {
    std::vector<std::string> arguments = command;
    arguments.insert(arguments.end(), {option, ""});
    check_refused(arguments, 2);
    const Finished f = restwell_program(arguments);
    INFO(command.front() << " " << option << ": " << f.err);
    CHECK(f.err.find("must be a name, got an empty text") != std::string::npos);
    CHECK(f.err.find(option == "-o" ? "--html" : option) != std::string::npos);
  }
}

TEST_CASE("a bad scenario or none exits with 3") {
  const TemporaryFolder folder;
  const std::string bad = (folder.path / "bad.yaml").string();
  write_text(bad, "name: x\nstart: 2026-13-01\n");
  for (const char* command : {"run", "check"}) {
    check_refused({command, bad}, 3);
    check_refused({command, (folder.path / "none.yaml").string()}, 3);
    check_refused({command, folder.path.string()}, 3);
    check_refused({command, ""}, 3);
  }
  CHECK(restwell_program({"check", bad}).err.find("bad.yaml:2:8: start: ") != std::string::npos);
}

TEST_CASE("help is good and shows an example") {
  const Finished alone = restwell_program({});
  CHECK(alone.code == 0);
  CHECK(alone.err.empty());
  CHECK(alone.out == restwell_program({"--help"}).out);
  CHECK(alone.out.find("Exit codes") != std::string::npos);
  for (const std::string command : {"", "run", "check", "schema", "help"}) {
    INFO(command);
    std::vector<std::string> arguments{"--help"};
    if (!command.empty()) arguments.insert(arguments.begin(), command);
    const Finished f = restwell_program(arguments);
    CHECK(f.code == 0);
    CHECK(f.err.empty());
    CHECK(f.out.find("Usage: restwell") != std::string::npos);
    if (command != "help") {
      CHECK(f.out.find("\n  restwell ") != std::string::npos);
    }
  }
  for (const std::string command : {"run", "check", "schema"}) {
    CHECK(restwell_program({"help", command}).out == restwell_program({command, "--help"}).out);
  }
  const Finished version = restwell_program({"--version"});
  CHECK(version.code == 0);
  CHECK(version.out.find("restwell ") == 0);
}

TEST_CASE("a result that cannot be written is an error, not a silent success") {
  if (!std::filesystem::exists("/dev/full")) {
    WARN("there is no /dev/full here");
    return;
  }
  const std::vector<std::vector<std::string>> all = {
      {"schema"}, {"--help"}, {"check", site}, {"run", site, "--years", "1"}};
  for (const auto& arguments : all) {
    const Finished f = restwell_program(arguments, {.out_to = "/dev/full"});
    INFO(arguments.front());
    CHECK(f.code == 4);
    CHECK(f.err.find("cannot write the result") != std::string::npos);
  }
}

TEST_CASE("a part of a year runs too") {
  const Finished f = restwell_program({"run", site, "--years", "1.3", "--json"});
  INFO(f.err);
  CHECK(f.code == 0);
}

TEST_CASE("all that is wrong with a command line is said at once") {
  const auto said = [](const std::vector<std::string>& arguments) {
    const Finished f = restwell_program(arguments);
    CHECK(f.code == 2);
    return f.err;
  };
  CHECK(said({"run", site, "--years", "0", "--mode", "wild", "--units", "q", "more"}) ==
        "restwell: --years: must be a number from 1 to 100, got 0\n"
        "restwell: --mode: wild not in {steady,random}\n"
        "restwell: --units: q not in {us,metric}\n"
        "restwell: not expected: 'more'\n"
        "hint: restwell help run\n");
  CHECK(said({"run", site, "--years", "3", "--years", "4"}) ==
        "restwell: --years is given more than once\nhint: restwell help run\n");
  CHECK(said({"rest"}) ==
        "restwell: site is required\nrestwell: --pit is required\nhint: restwell help rest\n");
  CHECK(said({"rest", site, "--pit", "nope", "--flow-to", "no one", "--from", "2000-01-01"}) ==
        "restwell: --from must lie from the start, 2026-05-01, to the end of the run, 2046-05-01, "
        "got 2000-01-01\n"
        "restwell: there is no pit 'nope'\nhint: pits: east and west\n"
        "restwell: there is no pit 'no one'\nhint: pits: east and west\n"
        "hint: restwell help rest\n");
}
