#include "sim/readings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/tools/minima.hpp>
#include <cmath>
#include <cstdint>
#include <map>
#include <optional>
#include <sstream>
#include <stdexcept>
#include <utility>

#include "models/root.hpp"
#include "sim/diagnostic.hpp"
#include "sim/record.hpp"
#include "sim/units.hpp"

namespace restwell {
namespace {

std::vector<std::string> split_words(std::string_view text) {
  std::vector<std::string> words;
  std::istringstream in{std::string(text)};
  for (std::string word; in >> word;) {
    if (word.back() == ',' || word.back() == ';') word.pop_back();  // "sludge=14in, scum=3in"
    if (!word.empty()) words.push_back(std::move(word));
  }
  return words;
}

const std::vector<std::string> reading_keys = {"sludge", "scum"};

bool looks_like_part(const std::string& word) {
  if (word.empty() || word[0] == '-') return false;
  if (word.find('=') != std::string::npos) return true;
  const auto is_length = [](const std::string& text) {
    return std::holds_alternative<double>(parse_quantity(text, Dimension::length));
  };
  return is_length(word) || is_length(word + " in") || is_length("1 " + word);
}

// Sum of sludge and scum on the mornings of the stretch's readings.
std::vector<ModelledReading> modelled_of_stretch(const Scenario& scenario, const Stretch& stretch) {
  std::vector<ModelledReading> modelled;
  if (stretch.readings.empty()) return modelled;
  TankCourse course(scenario, stretch);
  for (const TankReading& reading : stretch.readings) {
    while (course.next_date() < reading.date) course.next_day();
    const Layers l = course.layers();
    modelled.push_back({reading, l.sludge_first_m, l.scum_first_m});
  }
  return modelled;
}

// Where one rising misfit is zero, over the factor's logarithm; the end of the range if nowhere.
template <typename Misfit>
double root_of(const Misfit& misfit, double guess) {
  const double least = std::log(SolidsFit::least), most = std::log(SolidsFit::most);
  double a = guess, fa = misfit(a);
  if (fa == 0.0) return a;
  double step = (fa < 0.0 ? 1.0 : -1.0) * std::log(1.5);
  double b = a, fb = fa;
  while ((fb < 0.0) == (fa < 0.0)) {
    a = b;
    fa = fb;
    b = std::clamp(b + step, least, most);
    if (b == a) return b;
    fb = misfit(b);
    if (fb == 0.0) return b;
    step *= 1.5;
  }
  if (b < a) {
    std::swap(a, b);
    std::swap(fa, fb);
  }
  constexpr double exact = 1e-5;  // of the factor, relative
  return root_between(misfit, {a, fa}, {b, fb}, {.absolute = exact});
}

}  // namespace

std::variant<TankReading, std::vector<std::string>> parse_reading(std::string_view text) {
  const std::string shown = printable(text, 60);
  const auto say = [&](const std::string& what) {
    return fmt::format("reading \"{}\": {}", shown, what);
  };
  std::vector<std::string> problems;
  TankReading reading;
  const std::vector<std::string> words = split_words(text);
  std::size_t i = 0;
  if (words.empty() || words[0].find('=') != std::string::npos) {
    problems.push_back(say("must begin with its date, as 2026-05-01"));
  } else {
    const auto day = parse_date(words[i++]);
    if (const auto* error = std::get_if<std::string>(&day)) {
      problems.push_back(say((error->starts_with("must") ? "the date " : "") + *error));
    } else {
      reading.date = std::get<Date>(day);
    }
  }
  std::optional<double> value[2];
  while (i < words.size()) {
    const std::size_t equals = words[i].find('=');
    if (equals == std::string::npos) {
      problems.push_back(say(fmt::format("{} is not understood; accepted: sludge=14in scum=3in",
                                         printable(words[i], 40))));
      ++i;
      continue;
    }
    const std::string key = words[i].substr(0, equals);
    std::string quantity = words[i++].substr(equals + 1);
    while (i < words.size() && words[i].find('=') == std::string::npos)
      quantity += " " + words[i++];
    const auto known = std::find(reading_keys.begin(), reading_keys.end(), key);
    if (known == reading_keys.end()) {
      const std::string near = nearest(key, reading_keys);
      problems.push_back(say(
          fmt::format("unknown key {}; accepted: sludge, scum{}", printable(key, 40),
                      near.empty() ? std::string() : fmt::format(" (did you mean {}?)", near))));
      continue;
    }
    std::optional<double>& slot = value[known - reading_keys.begin()];
    if (slot) problems.push_back(say(key + " stands twice"));
    const auto parsed = parse_quantity(quantity, Dimension::length);
    if (const auto* error = std::get_if<UnitError>(&parsed)) {
      problems.push_back(say(fmt::format("{} {}, got {}", key, error->message,
                                         quantity.empty() ? "nothing" : printable(quantity, 40))));
      slot = 0.0;
    } else if (std::get<double>(parsed) < 0.0) {
      problems.push_back(
          say(fmt::format("{} must be at least 0 in, got {}", key, printable(quantity, 40))));
      slot = 0.0;
    } else {
      slot = std::get<double>(parsed);
    }
  }
  for (std::size_t k = 0; k < reading_keys.size(); ++k) {
    if (!value[k]) {
      problems.push_back(say(
          fmt::format("needs {0}=..., as {0}=3in ({0}=0in if there is none)", reading_keys[k])));
    }
  }
  if (!problems.empty()) return problems;
  reading.sludge_m = *value[0];
  reading.scum_m = *value[1];
  return reading;
}

std::vector<std::string> join_reading_words(const std::vector<std::string>& words) {
  std::vector<std::string> joined;
  for (std::size_t i = 0; i < words.size(); ++i) {
    joined.push_back(words[i]);
    const bool equals_form = words[i].rfind("--reading=", 0) == 0;
    if (words[i] != "--reading" && !equals_form) continue;
    if (!equals_form) {
      if (i + 1 == words.size()) break;
      joined.push_back(words[++i]);
    }
    while (i + 1 < words.size() && looks_like_part(words[i + 1])) joined.back() += " " + words[++i];
  }
  return joined;
}

std::vector<ModelledReading> modelled_readings(const Scenario& scenario,
                                               const std::vector<Stretch>& stretches,
                                               double factor) {
  const Scenario fitted = with_solids(scenario, factor);
  std::vector<ModelledReading> all;
  for (const Stretch& stretch : stretches) {
    for (ModelledReading& m : modelled_of_stretch(fitted, stretch)) all.push_back(m);
  }
  return all;
}

bool tells_rate(const std::vector<Stretch>& stretches) {
  return std::any_of(stretches.begin(), stretches.end(),
                     [](const Stretch& s) { return !s.readings.empty(); });
}

double SolidsFit::worst_misfit_m() const {
  double worst = 0.0;
  for (const ModelledReading& m : fitted) {
    worst = std::max(worst, std::abs(m.total_m() - m.measured.total_m()));
  }
  return worst;
}

SolidsFit fit_solids(const Scenario& scenario, const std::vector<Stretch>& stretches,
                     double error_m, double guess) {
  if (!tells_rate(stretches)) throw std::logic_error("no reading to fit to");
  // Every factor tried is a calculation of years: none is done twice.
  std::map<double, std::vector<ModelledReading>> tried;
  const auto modelled = [&](double log_factor) -> const std::vector<ModelledReading>& {
    auto at = tried.find(log_factor);
    if (at == tried.end()) {
      at = tried.emplace(log_factor, modelled_readings(scenario, stretches, std::exp(log_factor)))
               .first;
    }
    return at->second;
  };
  const auto misfit = [&](const ModelledReading& m) {
    return m.total_m() - std::max(0.0, m.measured.total_m() + error_m);
  };
  // Each reading alone, and between the lowest and the highest of their factors the best for all:
  // outside, every misfit grows.
  const double begin = std::log(guess);
  const std::size_t count = modelled(begin).size();
  double low = 0.0, high = 0.0;
  for (std::size_t i = 0; i < count; ++i) {
    const double root = root_of([&](double x) { return misfit(modelled(x)[i]); }, begin);
    low = i == 0 ? root : std::min(low, root);
    high = i == 0 ? root : std::max(high, root);
  }
  double best = 0.5 * (low + high);
  constexpr double alike = 1e-4;
  if (high - low > alike) {
    const auto squares = [&](double x) {
      double sum = 0.0;
      for (const ModelledReading& m : modelled(x)) sum += misfit(m) * misfit(m);
      return sum;
    };
    std::uintmax_t most_calls = 40;
    constexpr int bits = 14;  // of the logarithm: finer than any reading
    best = boost::math::tools::brent_find_minima(squares, low, high, bits, most_calls).first;
  }
  SolidsFit fit;
  fit.factor = std::exp(best);
  fit.at_least = fit.factor <= SolidsFit::least * (1.0 + 1e-9);
  fit.at_most = fit.factor >= SolidsFit::most * (1.0 - 1e-9);
  fit.as_given = modelled(0.0);
  fit.fitted = modelled(best);
  return fit;
}

}  // namespace restwell
