// One text that stands for several values of a field.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "sim/diagnostic.hpp"
#include "sim/fields.hpp"

namespace restwell {

// A range of more is refused.
inline constexpr std::size_t most_values = 200;

// The values a text stands for: "6"; "2, 4, 6"; "2..8", by 1; "2..8 by 2"; "6 ft..10 ft by 6 in";
// "6..10 by 2 ft". Commas in brackets part nothing: "[sat, sun], [mon]". Or what is wrong.
[[nodiscard]] std::variant<std::vector<std::string>, Diagnostic> values_of(const Field& field,
                                                                           const std::string& text);

struct NumberText {
  double number = 0.0;
  std::string unit;  // empty: bare
};
// A text of one decimal number, with unit or without, taken apart; nothing for anything else.
[[nodiscard]] std::optional<NumberText> number_text(const Field& field, const std::string& text);

}  // namespace restwell
