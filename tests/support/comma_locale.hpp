// A locale that writes numbers with a decimal comma, made for one test: needs no root.
#pragma once

#include <iostream>
#include <stdexcept>
#include <string>

#include "tests/support/process.hpp"

namespace restwell::test {

inline constexpr const char* comma_locale = "de_DE.UTF-8";

// Says so where not, for ctest to report the test as skipped.
inline bool can_make_locales() {
  const Finished f = run_program({"sh", "-c", "command -v localedef"});
  if (f.code != 0) std::cout << "skipped: localedef is not installed\n";
  return f.code == 0;
}

// For LOCPATH. Throws where localedef is but fails; Debian's package locales has what it reads.
inline void make_comma_locale(const std::filesystem::path& folder) {
  const Finished made =
      run_program({"localedef", "-i", "de_DE", "-f", "UTF-8", (folder / comma_locale).string()});
  if (made.code != 0) throw std::runtime_error("localedef made no locale: " + made.err);
}

}  // namespace restwell::test
