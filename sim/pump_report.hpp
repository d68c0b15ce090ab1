// The answer of `restwell pump`: words, tables, CSV files and figures of a PumpStudy.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "plots/figure.hpp"
#include "sim/pump_study.hpp"
#include "sim/report.hpp"

namespace restwell {

[[nodiscard]] Report pump_report(const PumpStudy& s, const std::vector<std::string>& warnings);

// The lines of the answer; report gives start, days and units. (pump_words.cpp)
[[nodiscard]] std::vector<AnswerLine> pump_answer(const PumpStudy& s, const Report& report);

// tank_course.csv, readings.csv, pump_dates.csv, pit_life.csv, leaving_tank.csv (pump_output.cpp)
void write_pump_csv(const PumpStudy& s, const std::filesystem::path& folder);
[[nodiscard]] std::vector<plots::Figure> pump_figures(const PumpStudy& s);

// ---- what words, tables and files share (pump_facts.cpp) --------------------------------------

// "7 in", "4.5 in", "180 mm": as people say a stick's reading.
[[nodiscard]] std::string stick_words(const PumpStudy& s, double m);
// "solids", "sludge clearance": a criterion in a table.
[[nodiscard]] std::string short_name(Criterion c);

// Suspended solids of one person without a disposer's part, at a factor.
[[nodiscard]] double solids_kg_per_person_day(const PumpStudy& s, double factor);
// As many people of the published average, with or without disposer as the household.
[[nodiscard]] double like_people(const PumpStudy& s, double factor);

// The marks a reading meets by itself, of those a clean tank keeps.
[[nodiscard]] std::vector<Criterion> marks_met_by(const PumpStudy& s, const TankReading& reading);

// The reading the words are about, and the stretch it lies in: the last one with a stretch before
// it. Null if nothing is fitted.
struct LastReading {
  const TankReading* reading = nullptr;
  const Stretch* stretch = nullptr;
  bool pumped_after = false;  // another stretch follows
};
[[nodiscard]] LastReading last_reading(const PumpStudy& s);

// Where a reading and the story do not agree, in sentences. Empty: they agree.
[[nodiscard]] std::vector<std::string> disagreements(const PumpStudy& s);

// Suspended solids that leave the tank on the days from..to-1 of a run, and the part of them torn
// from sludge and scum.
struct SolidsLeaving {
  double all_kg = 0.0, scoured_kg = 0.0;
};
[[nodiscard]] SolidsLeaving solids_leaving(const RunResult& run, int from, int to);

// What all pits take in with water at their inlets, at the end of the run, m3/day.
[[nodiscard]] double capacity_at_end(const CaseRun& c);
// Life lost between two day indices, in words: "3.2 years", "at least 5.1 years", "" if none.
[[nodiscard]] std::string lost_words(int kept, int neglected, int days);

}  // namespace restwell
