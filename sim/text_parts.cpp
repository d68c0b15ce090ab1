#include "sim/text_parts.hpp"

#include <charconv>
#include <cmath>
#include <cstdlib>

namespace restwell {

std::string trimmed(std::string_view text) {
  constexpr std::string_view blanks = " \n";
  const auto first = text.find_first_not_of(blanks);
  if (first == std::string_view::npos) return {};
  return std::string(text.substr(first, text.find_last_not_of(blanks) - first + 1));
}

std::optional<LeadingNumber> leading_number(std::string_view text) {
  LeadingNumber number;
#ifdef __cpp_lib_to_chars
  const char* end = text.data() + text.size();
  const auto [stop, error] = std::from_chars(text.data(), end, number.value);
  if (error != std::errc{}) return std::nullopt;
  number.length = static_cast<std::size_t>(stop - text.data());
#else  // libc++ 19, which compiles the page's engine; what it reads the program has accepted before
  const std::string terminated(text);
  char* stop = nullptr;
  number.value = std::strtod(terminated.c_str(), &stop);
  number.length = static_cast<std::size_t>(stop - terminated.c_str());
  if (number.length == 0) return std::nullopt;
#endif
  if (!std::isfinite(number.value)) return std::nullopt;
  return number;
}

std::optional<double> bare_number(std::string_view text) {
  const auto number = leading_number(text);
  if (!number || number->length != text.size()) return std::nullopt;
  return number->value;
}

}  // namespace restwell
