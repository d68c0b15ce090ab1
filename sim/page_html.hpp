// The page's content set into one HTML file that needs nothing else.
#pragma once

#include <optional>
#include <string>

#include "sim/live.hpp"
#include "sim/page.hpp"

namespace restwell {

// What a file must hold near its start to be one of ours.
inline constexpr const char* page_mark = "<meta name=\"generator\" content=\"restwell\">";

// What lets a page answer by itself.
struct PageLive {
  LiveControls controls;
  std::string site;  // from packed_site
};
// Whether this program was built with the engine that a page needs for it.
[[nodiscard]] bool has_page_engine();

// site_file: the text of the scenario file, shown at the end. result_json: as it stands in a
// script element, from report_json_for_html. live: only with has_page_engine; else the page runs no
// script.
[[nodiscard]] std::string page_html(const PageContent& content, const std::string& site_file,
                                    const std::string& result_json,
                                    const std::optional<PageLive>& live = {});

}  // namespace restwell
