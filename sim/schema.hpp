// JSON Schema (draft 2020-12) of scenario files, for editors.
#pragma once

#include <string>

namespace restwell {

[[nodiscard]] std::string scenario_schema_json();

}  // namespace restwell
