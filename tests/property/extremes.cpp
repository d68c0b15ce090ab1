// Every number of a scenario file at its limits, just outside of them, at nothing, tiny and huge:
// one at a time for a year, then in pairs drawn at random for a week. Each is refused in its place
// or gives a sound run. More pairs: EXTREME_PAIRS=5000 build/tests/property_extremes
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <random>
#include <regex>
#include <set>

#include "sim/cases.hpp"
#include "sim/diagnostic.hpp"
#include "sim/fields.hpp"
#include "sim/scenario_yaml.hpp"
#include "tests/support/sound_run.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

constexpr double year = 1.0, week = 0.02;
enum class Told { nothing, is_outside };

struct Extreme {
  PathValue value;
  Told told;
};

std::string file_text(const char* name) {
  std::ifstream file(fmt::format("{}/tests/support/{}", RESTWELL_SOURCE_DIR, name));
  return {std::istreambuf_iterator<char>(file), {}};
}

// What excludes the one, another has; the quick ones first.
const std::vector<std::string>& site_texts() {
  static const std::vector<std::string> all{file_text("other_ways.yaml"),
                                            file_text("own_soils.yaml"),
                                            file_text("other_soil.yaml"), file_text("full.yaml")};
  return all;
}

std::string unit_of(const std::string& quantity) { return quantity.substr(quantity.find(' ') + 1); }

// A limit moved by so much of itself, in its own unit.
std::string moved(const std::string& limit, const Field& f, double share) {
  const bool bare = f.kind == FieldKind::number || f.kind == FieldKind::whole;
  const double size =
      bare ? std::stod(limit) : std::get<double>(parse_quantity(limit, f.dimension));
  const double by = f.kind == FieldKind::whole ? std::copysign(1.0, share)
                    : size != 0.0              ? std::abs(size) * share
                                               : 1e-3 * share;
  return bare ? fmt::format("{:.12g}", size + by)
              : quantity_in_unit_of(size + by, f.dimension, limit);
}

void add_values(const std::string& path, const Field& f, std::vector<Extreme>& all) {
  const bool bare = f.kind == FieldKind::number || f.kind == FieldKind::whole;
  const auto add = [&](const std::string& text, Told told) { all.push_back({{path, text}, told}); };
  const Limits& l = f.limits;
  if (!l.above.empty()) {
    add(l.above, Told::is_outside);
    add(moved(l.above, f, 1e-3), Told::nothing);
  }
  if (!l.at_least.empty()) {
    add(l.at_least, Told::nothing);
    add(moved(l.at_least, f, -1e-3), Told::is_outside);
  }
  if (!l.at_most.empty()) {
    add(l.at_most, Told::nothing);
    add(moved(l.at_most, f, 1e-3), Told::is_outside);
  }
  for (const char* number : {"0", "0.000001", "1000000000", "-1"}) {
    if (f.kind == FieldKind::whole && std::string(number) == "0.000001") continue;
    add(bare ? number : fmt::format("{} {}", number, unit_of(quantity_example(f.dimension))),
        Told::nothing);
  }
}

void walk(const std::string& at, const std::vector<Field>& fields, std::vector<Extreme>& all) {
  for (const Field& f : fields) {
    const std::string path = at.empty() ? f.key : at + "." + f.key;
    if (path == "seed" || path == "years") continue;  // the run's own
    switch (f.kind) {
      case FieldKind::number:
      case FieldKind::whole:
      case FieldKind::quantity:
        add_values(path, f, all);
        break;
      case FieldKind::map:
        walk(path, f.fields, all);
        break;
      case FieldKind::maps:
        walk(path + "[1]", f.fields, all);
        break;
      default:
        break;
    }
  }
}

const std::vector<Extreme>& extremes() {
  static const std::vector<Extreme> all = [] {
    std::vector<Extreme> found;
    walk("", scenario_fields(), found);
    return found;
  }();
  return all;
}

// Whether it was run.
bool try_values(const std::string& text, const std::vector<Extreme>& tried, double years) {
  std::vector<PathValue> set;
  std::string said;
  bool outside = false;
  for (const Extreme& one : tried) {
    set.push_back(one.value);
    said += fmt::format("{} = {}  ", one.value.path, one.value.text);
    outside = outside || one.told == Told::is_outside;
  }
  INFO(said);
  Scenario scenario;
  try {
    scenario = parse_scenario(text, "extreme.yaml", years, set).scenario;
  } catch (const ScenarioError& e) {
    for (const Diagnostic& d : e.problems())
      if (d.line == 0 || d.field.empty() || d.message.empty())
        FAIL_CHECK("a problem without a place: " << e.what());
    return false;
  }
  if (outside) FAIL_CHECK("accepted");
  try {
    CHECK(what_is_unsound(run(scenario, main_cases(scenario.biomat))) == "");
  } catch (const std::exception& e) {
    FAIL_CHECK("threw " << e.what());
  }
  return true;
}

}  // namespace

TEST_CASE("any number at an extreme is refused in its place or gives a sound run") {
  REQUIRE(extremes().size() > 500);
  std::set<std::string> ran;
  for (const Extreme& one : extremes()) {
    bool one_ran = false;
    for (const std::string& text : site_texts()) one_ran = one_ran || try_values(text, {one}, year);
    if (one_ran) ran.insert(one.value.path);
  }
  // Their neighbours in the file leave these no room for an extreme.
  const std::regex bounded(
      R"(.*(lining\.outer_diameter|measured\.high_water|layers\[1\]\.(from|to)))");
  for (const Extreme& one : extremes())
    if (ran.count(one.value.path) == 0 && !std::regex_match(one.value.path, bounded))
      FAIL_CHECK("always refused: " << one.value.path);
}

TEST_CASE("any two numbers at extremes are refused in place or give a sound run") {
  const char* asked = std::getenv("EXTREME_PAIRS");
  std::mt19937_64 random(20261127);
  for (int i = 0; i < (asked != nullptr ? std::atoi(asked) : 1000); ++i) {
    const Extreme& a = extremes()[random() % extremes().size()];
    const Extreme& b = extremes()[random() % extremes().size()];
    if (a.value.path != b.value.path)
      (void)try_values(site_texts()[random() % site_texts().size()], {a, b}, week);
  }
}
