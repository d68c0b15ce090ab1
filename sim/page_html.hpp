// The page's content set into one HTML file that needs nothing else.
#pragma once

#include <string>

#include "sim/page.hpp"

namespace restwell {

// What a file must hold near its start to be one of ours.
inline constexpr const char* page_mark = "<meta name=\"generator\" content=\"restwell\">";

// site_file: the text of the scenario file, shown at the end. result_json: as it stands in a
// script element, from report_json_for_html.
[[nodiscard]] std::string page_html(const PageContent& content, const std::string& site_file,
                                    const std::string& result_json);

}  // namespace restwell
