// Numbers, words and dates drawn from a source of any kind: random ones, a fuzzer's bytes.
#pragma once

#include <fmt/core.h>

#include <cmath>
#include <functional>
#include <string>
#include <utility>
#include <vector>

namespace restwell::test {

class OddDraws {
 public:
  // source: from 0 to below 1.
  explicit OddDraws(std::function<double()> source) : part_(std::move(source)) {}

  bool chance(double p) { return part_() < p; }
  int whole(int least, int most) {
    return least + static_cast<int>(part_() * static_cast<double>(most - least + 1));
  }
  double even(double least, double most) { return least + part_() * (most - least); }
  double log_even(double least, double most) { return least * std::pow(most / least, part_()); }
  std::string one_of(const std::vector<std::string>& words) {
    return words[static_cast<std::size_t>(whole(0, static_cast<int>(words.size()) - 1))];
  }

 private:
  std::function<double()> part_;
};

// Months count from January 2026.
inline std::string odd_date(int month, int day) {
  return fmt::format("{}-{:02}-{:02}", 2026 + month / 12, 1 + month % 12, day);
}

}  // namespace restwell::test
