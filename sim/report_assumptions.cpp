#include <fmt/core.h>

#include "sim/assumptions.hpp"
#include "sim/report_tables.hpp"
#include "sim/words.hpp"

namespace restwell {

ReportTable assumptions_table(const RunResult& r) {
  ReportTable t{
      "parameters", "Assumed parameters (set them under `assumptions:` in the file)", {}, {}, ""};
  t.columns = {
      {"parameter", "parameter"}, {"value", "value"}, {"meaning", "meaning, range, basis"}};
  for (const AssumptionInfo& a : assumption_list(r.scenario)) {
    t.rows.push_back({a.key, a.value_text, a.note});
  }
  if (!r.scenario.assumptions_set.empty()) {
    t.note = "Set in this file: " + list_words(r.scenario.assumptions_set) + ".";
  }
  return t;
}

}  // namespace restwell
