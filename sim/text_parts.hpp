// Small steps in taking a user's text apart.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace restwell {

// Without blanks and ends of line at both ends.
[[nodiscard]] std::string trimmed(std::string_view text);

// A finite number and nothing else: "-3.5", "1e3"; no unit, fraction or plus sign.
[[nodiscard]] std::optional<double> bare_number(std::string_view text);

}  // namespace restwell
