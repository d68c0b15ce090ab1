// Any bytes as what is typed beside a scenario file: readings of sludge and scum, values put in
// place of the file's, cases of a what-if, percolation readings. Refused with a word or taken,
// never a crash. The first line says which. Not in ctest; see DEVELOPERS.md.
#include <cstdint>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "sim/diagnostic.hpp"
#include "sim/perc.hpp"
#include "sim/readings.hpp"
#include "sim/scenario_yaml.hpp"
#include "sim/whatif_cases.hpp"

using namespace restwell;

namespace {

constexpr std::size_t most_run = 3;  // cases of a what-if whose files are read

const std::string& site_text() {
  static const std::string text = [] {
    std::ifstream file(RESTWELL_SOURCE_DIR "/tests/support/full.yaml");
    return std::string{std::istreambuf_iterator<char>(file), {}};
  }();
  return text;
}

const YamlNode& site() {
  static const YamlNode root = std::get<YamlNode>(read_yaml_tree(site_text()));
  return root;
}

void must(bool holds) {
  if (!holds) std::abort();
}

// A refusal says something.
template <class Call>
void refused_or_taken(const Call& call) {
  try {
    call();
  } catch (const ScenarioError& e) {
    must(!e.problems().empty());
    for (const Diagnostic& d : e.problems()) must(!d.message.empty());
  }
}

void read_with(const std::vector<PathValue>& set) {
  refused_or_taken([&] { (void)parse_scenario(site_text(), "fuzz.yaml", {}, set); });
}

void read_cases(const std::vector<WhatIfCase>& cases) {
  for (std::size_t i = 0; i < cases.size() && i < most_run; ++i) read_with(cases[i].set);
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines(1);
  for (const char c : text)
    if (c == '\n') {
      lines.emplace_back();
    } else {
      lines.back() += c;
    }
  return lines;
}

void read_hole(const std::vector<std::string>& lines) {
  PercOptions hole;
  const std::vector<std::string*> options{&hole.hole,     &hole.water,     &hole.presoak,
                                          &hole.interval, &hole.structure, &hole.temperature};
  for (std::size_t i = 0; i < lines.size(); ++i)
    if (i < options.size()) {
      *options[i] = lines[i];
    } else {
      hole.drops.push_back(lines[i]);
    }
  (void)evaluate_perc(perc_from_options(hole));
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  const std::string all(reinterpret_cast<const char*>(bytes), size);
  const std::size_t end = all.find('\n');
  if (end == std::string::npos) return 0;
  const std::string kind = all.substr(0, end), text = all.substr(end + 1);
  if (kind == "reading") {
    const auto read = parse_reading(text);
    if (const auto* problems = std::get_if<std::vector<std::string>>(&read))
      must(!problems->empty() && !problems->front().empty());
    (void)join_reading_words(lines_of(text));
  } else if (kind == "set") {
    const AskedCases asked = cases_of_sets(site(), lines_of(text));
    must(!asked.cases.empty() || !asked.problems.empty());
    must(asked.cases.size() <= most_cases || !asked.problems.empty());
    read_cases(asked.cases);
  } else if (kind == "cases") {
    refused_or_taken([&] { read_cases(parse_cases(site(), text, "fuzz.yaml").cases); });
  } else if (kind == "perc") {
    refused_or_taken([&] { (void)evaluate_perc(parse_perc(text, "fuzz.yaml")); });
  } else if (kind == "hole") {
    refused_or_taken([&] { read_hole(lines_of(text)); });
  }
  return 0;
}
