// Small steps in taking a user's text apart.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace restwell {

// Without blanks and ends of line at both ends.
[[nodiscard]] std::string trimmed(std::string_view text);

// The decimal number that a text starts with; nothing if there is none, or a double cannot hold it.
struct LeadingNumber {
  double value = 0.0;
  std::size_t length = 0;
};
[[nodiscard]] std::optional<LeadingNumber> leading_number(std::string_view text);

// A finite number and nothing else: "-3.5", "1e3"; no unit, fraction or plus sign.
[[nodiscard]] std::optional<double> bare_number(std::string_view text);

}  // namespace restwell
