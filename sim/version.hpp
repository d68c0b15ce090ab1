// What this program was built from and how; no date and no path, so that builds compare.
#pragma once

#include <string>

namespace restwell {

[[nodiscard]] std::string build_facts();

}  // namespace restwell
