// What cmake --install puts down is whole and runs from there; manual page and completions are what
// the program says of itself.
#include <stdlib.h>

#include <catch2/catch.hpp>
#include <iostream>

#include "tests/support/process.hpp"

using namespace restwell::test;
namespace fs = std::filesystem;

namespace {

bool has_program(const std::string& name) {
  try {
    return run_program({name, "--version"}).code == 0;
  } catch (const std::runtime_error&) {
    return false;
  }
}

// CTest shows such a test as skipped.
bool skipped_without(const std::string& name) {
  if (has_program(name)) return false;
  std::cout << "skipped: " << name << " is not installed\n";
  return true;
}

// What bash offers for a line that ends where the cursor stands.
std::string offered(const std::string& completion, const std::string& words) {
  const Finished f = run_program({"bash", "-c",
                                  "source " + completion + "; COMP_WORDS=(" + words +
                                      "); COMP_CWORD=$((${#COMP_WORDS[@]} - 1)); _restwell; printf "
                                      "'%s\n' \"${COMPREPLY[@]}\""});
  INFO(f.err);
  CHECK(f.err.empty());
  return f.out;
}

}  // namespace

TEST_CASE("what is installed runs from where it is put, without a home") {
  const TemporaryFolder folder;
  const fs::path prefix = folder.path / "a place";
  const Finished made =
      run_program({"cmake", "--install", build_folder(), "--prefix", prefix.string()});
  INFO(made.out << made.err);
  REQUIRE(made.code == 0);
  const std::string program = (prefix / "bin/restwell").string();
  const fs::path doc = prefix / "share/doc/restwell", share = prefix / "share";
  CHECK(fs::exists(doc / "README.md"));
  const Finished run = run_program(
      {"env", "-i", program, "run", (doc / "scenarios/two_old_pits.yaml").string(), "--years", "1"},
      {.folder = folder.path, .out_to = {}});
  INFO(run.err);
  CHECK(run.code == 0);
  CHECK(run.out.find("ANSWER") != std::string::npos);
  CHECK(read_text(share / "man/man1/restwell.1") == run_program({program, "man"}).out);
  for (const auto& [shell, file] : {std::pair{"bash", "bash-completion/completions/restwell"},
                                    {"zsh", "zsh/vendor-completions/_restwell"},
                                    {"zsh", "zsh/site-functions/_restwell"},
                                    {"fish", "fish/vendor_completions.d/restwell.fish"}})
    CHECK(read_text(share / file) == run_program({program, "completion", shell}).out);
}

TEST_CASE("the manual page has every command and option, and no fault") {
  const std::string page = restwell_program({"man"}).out;
  for (const char* part :
       {".TH RESTWELL 1", ".SH NAME", ".SH SYNOPSIS", ".SH EXIT STATUS", ".SS restwell run",
        ".SS restwell completion", "\\-\\-years", "Never enter one", "NO_COLOR"}) {
    INFO(part);
    CHECK(page.find(part) != std::string::npos);
  }
}

TEST_CASE("man sets the manual page without a warning") {
  if (skipped_without("man")) return;
  const TemporaryFolder folder;
  const std::string file = (folder.path / "restwell.1").string();
  write_text(file, restwell_program({"man"}).out);
  const Finished set =
      run_program({"man", "--warnings", "-E", "UTF-8", "-l", "-Tutf8", "-Z", file});
  CHECK(set.code == 0);
  CHECK(set.err == "");
  CHECK(set.out.size() > 1000);
}

TEST_CASE("bash completes commands, options, their words and files") {
  const TemporaryFolder folder;
  const std::string file = (folder.path / "completion").string();
  write_text(file, restwell_program({"completion", "bash"}).out);
  CHECK(offered(file, "restwell ru") == "run\n");
  CHECK(offered(file, "restwell run --mo") == "--mode\n");
  CHECK(offered(file, "restwell run --mode ''") == "steady\nrandom\n");
  CHECK(offered(file, "restwell size --units m") == "metric\n");
  CHECK(offered(file, "restwell run scenarios/two_old") == "scenarios/two_old_pits.yaml\n");
  CHECK(offered(file, "restwell whatif site.yaml --cases scenarios/what") ==
        "scenarios/what_if_cases.yaml\n");
  CHECK(offered(file, "restwell completion f") == "fish\n");
  CHECK(offered(file, "restwell help si") == "size\n");
  CHECK(offered(file, "restwell run site.yaml --years 1") == "\n");  // nobody can guess a number
}

TEST_CASE("zsh takes its completion") {
  if (skipped_without("zsh")) return;
  const TemporaryFolder folder;
  const std::string file = (folder.path / "_restwell").string();
  write_text(file, restwell_program({"completion", "zsh"}).out);
  const Finished read = run_program({"zsh", "-n", file});
  CHECK(read.code == 0);
  CHECK(read.err.empty());
}

TEST_CASE("fish completes commands, options and their words") {
  if (skipped_without("fish")) return;
  const TemporaryFolder folder;
  const std::string file = (folder.path / "restwell.fish").string();
  write_text(file, restwell_program({"completion", "fish"}).out);
  const auto offered_by_fish = [&](const std::string& line) {
    // fish must find the command before it completes its options.
    return run_program({"env", "HOME=" + folder.path.string(),
                        "PATH=" + build_folder() + ":" + getenv("PATH"), "fish", "-c",
                        "source " + file + "; complete -C \"" + line + "\""})
        .out;
  };
  CHECK(offered_by_fish("restwell si").starts_with("size\t"));
  const std::string modes = offered_by_fish("restwell run --mode ");
  CHECK(modes.find("random") != std::string::npos);
  CHECK(modes.find("steady") != std::string::npos);
  CHECK(offered_by_fish("restwell whatif site.yaml --ca").starts_with("--cases\t"));
}

TEST_CASE("a shell that is not known is refused") {
  CHECK(restwell_program({"completion", "tcsh"}).code == 2);
}

TEST_CASE("the version says how the program was built, and where no path of the machine") {
  const std::string said = restwell_program({"--version"}).out;
  CHECK(said.starts_with("restwell "));
  CHECK(said.find("\nbuilt by ") != std::string::npos);
  CHECK(said.find("CLI11 ") != std::string::npos);
  CHECK(said.find('/') == std::string::npos);
}

TEST_CASE("nothing is ever coloured, on a terminal neither") {
  if (skipped_without("script")) return;
  const Finished f = run_program(
      {"script", "-qec", build_folder() + "/restwell run scenarios/two_old_pits.yaml --years 1",
       "/dev/null"});
  CHECK(f.code == 0);
  CHECK(f.out.find("ANSWER") != std::string::npos);
  // The progress line may clear itself; colour is a sequence that ends in m.
  for (std::size_t at = 0; (at = f.out.find("\x1b[", at)) != std::string::npos; ++at)
    CHECK(f.out[f.out.find_first_not_of("0123456789;", at + 2)] != 'm');
}
