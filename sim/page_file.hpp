// The page as a file, and as a PDF through a browser that is installed.
#pragma once

#include <filesystem>
#include <string>

namespace restwell {

// Throws std::runtime_error if a file cannot be written there: a folder in the way, a file that an
// earlier run did not write (it does not hold `mark` near its start), no right to write. To be
// asked before a long run.
void refuse_output_file(const std::filesystem::path& file, const std::string& mark);
inline constexpr const char* pdf_mark = "%PDF-";

// Writes beside the file and renames it at the end, so that it is whole or not there. Folders above
// it are made. Throws std::runtime_error.
void write_whole_file(const std::filesystem::path& file, const std::string& text);

// The browser that can print to PDF, on PATH; empty: none.
[[nodiscard]] std::filesystem::path find_browser();
// Prints the text of a page. Throws std::runtime_error that says why; the file is whole or not
// there.
void write_pdf(const std::filesystem::path& browser, const std::string& html,
               const std::filesystem::path& file);

}  // namespace restwell
