// What this thread has used of a core so far [s]: whatever else the machine does.
#pragma once

#include <ctime>

namespace restwell::reference {

[[nodiscard]] inline double thread_seconds() {
  timespec now{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

}  // namespace restwell::reference
