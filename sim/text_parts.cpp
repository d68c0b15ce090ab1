#include "sim/text_parts.hpp"

#include <charconv>
#include <cmath>

namespace restwell {

std::string trimmed(std::string_view text) {
  constexpr std::string_view blanks = " \n";
  const auto first = text.find_first_not_of(blanks);
  if (first == std::string_view::npos) return {};
  return std::string(text.substr(first, text.find_last_not_of(blanks) - first + 1));
}

std::optional<double> bare_number(std::string_view text) {
  double value = 0.0;
  const char* end = text.data() + text.size();
  const auto [stop, error] = std::from_chars(text.data(), end, value);
  if (error != std::errc{} || stop != end || !std::isfinite(value)) return std::nullopt;
  return value;
}

}  // namespace restwell
