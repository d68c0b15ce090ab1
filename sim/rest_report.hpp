// The answer to a question of rest: report, CSV files, figures.
#pragma once

#include "sim/report.hpp"
#include "sim/rest.hpp"
#include "sim/results_folder.hpp"

namespace restwell {

[[nodiscard]] Report rest_report(const RestResult& r, const std::vector<std::string>& warnings);

// rest.csv: every length of rest and case. rest_days.csv: the resting pit, day by day. turns.csv.
[[nodiscard]] ResultFiles rest_files(const RestResult& r);

// ---- its parts, and what words and tables share (rest_tables.cpp) ------------------------------

[[nodiscard]] std::vector<ReportTable> rest_tables(const RestResult& r);

// "east pit", "40 gal/day", "3 years": a pit, a flow, the service asked for.
[[nodiscard]] std::string pit_words(const RestResult& r, std::size_t pit);
[[nodiscard]] std::string flow_words(const RestResult& r, double m3_per_day);
[[nodiscard]] std::string service_words(const RestResult& r);
// "84 days", "none", "over 2 years": the shortest rest that buys the service.
[[nodiscard]] std::string shortest_words(const RestResult& r, const RestCurve& curve);
// "1 month", "9 months".
[[nodiscard]] std::string months_words(double months);
// A day index to compare with others: never is longer than all.
[[nodiscard]] int never_as_longest(int day);
[[nodiscard]] Lasting lasting(const RestResult& r, const RestPoint& point);

// The rest whose cost is told: the shortest that does, else the longest. Days.
[[nodiscard]] int told_rest_day(const RestResult& r, const RestCurve& c);

// Index into turns of the best one: the longest without overflow, then without a full pit, in the
// expected, early and late case, then the lowest water. Precondition: there are turns.
[[nodiscard]] std::size_t best_turns(const RestResult& r);

}  // namespace restwell
