#include "sim/version.hpp"

#include <fmt/core.h>

#include "sim/page_html.hpp"

namespace restwell {

std::string build_facts() {
#if defined(__clang__)
  const std::string compiler = fmt::format("clang {}", __clang_version__);
#else
  const std::string compiler = fmt::format("g++ {}", __VERSION__);
#endif
  std::string facts = fmt::format("built by {}, {}", compiler, RESTWELL_BUILD);
#ifdef RESTWELL_SANITIZED
  facts += ", with sanitizers";
#endif
  facts += has_page_engine() ? ", pages can be tried" : ", pages are static";
  return facts + "\nwith " RESTWELL_LIBRARIES;
}

}  // namespace restwell
