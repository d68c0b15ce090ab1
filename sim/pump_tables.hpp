// The tables of the pump report, one function a part.
#pragma once

#include "sim/pump_report.hpp"

namespace restwell {

[[nodiscard]] ReportTable next_table(const PumpStudy& s);
[[nodiscard]] ReportTable spread_table(const PumpStudy& s);
[[nodiscard]] ReportTable readings_table(const PumpStudy& s);
[[nodiscard]] ReportTable others_table(const PumpStudy& s);
[[nodiscard]] ReportTable pit_life_table(const PumpStudy& s);
[[nodiscard]] ReportTable leaving_table(const PumpStudy& s);
[[nodiscard]] ReportTable assumed_table(const PumpStudy& s);

}  // namespace restwell
