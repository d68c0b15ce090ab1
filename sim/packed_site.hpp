// A site as bytes that go along with a page, for the engine in it: every field of the scenario as
// it was read, so that the engine needs neither the file nor what reads it.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "sim/scenario.hpp"
#include "sim/whatif.hpp"

namespace restwell {

struct LiveSite {
  Scenario scenario;
  // Of it only: flow, typical week, interval and load of the tank, first full pit, overflow.
  CaseOutcome as_it_is;
};

[[nodiscard]] std::string packed_site(LiveSite site);
// Nothing for what is shorter or longer than what packed_site writes.
[[nodiscard]] std::optional<LiveSite> unpacked_site(std::string_view bytes);

// What house and tank hang on, as bytes: of the same bytes, they run alike.
[[nodiscard]] std::string packed_house_and_tank(Scenario scenario);

}  // namespace restwell
