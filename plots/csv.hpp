// CSV files: comma-separated, one header row, UTF-8, lines end with \n.
#pragma once

#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace restwell::plots {

using Cell = std::variant<double, long long, std::string>;

// Writes rows into PATH.part and renames it to PATH on close, so that a reader never meets half a
// file. Destroyed without close (an error on the way): the part file is removed, an older PATH
// stays. Every failure throws std::runtime_error that names the file.
class CsvWriter {
 public:
  CsvWriter(std::filesystem::path path, const std::vector<std::string>& columns);
  ~CsvWriter();
  CsvWriter(const CsvWriter&) = delete;
  CsvWriter& operator=(const CsvWriter&) = delete;
  CsvWriter(CsvWriter&&) noexcept;
  CsvWriter& operator=(CsvWriter&&) = delete;

  // One cell per column. Numbers in the shortest form that reads back to the same value; a number
  // that is not finite becomes an empty cell; text is quoted only where it must be.
  void row(const std::vector<Cell>& cells);
  void close();

 private:
  std::filesystem::path path_;
  std::filesystem::path part_;
  std::ofstream out_;
  std::size_t columns_ = 0;
  std::string line_;
  bool open_ = false;
};

struct CsvTable {
  std::string name;  // of the file, for messages
  std::vector<std::string> columns;
  std::vector<std::vector<std::string>> rows;

  // Throws std::runtime_error that names the file and the columns it has.
  [[nodiscard]] std::size_t column(std::string_view heading) const;
};

// Reads a whole file, quoted cells included. Throws std::runtime_error if it cannot be read, has no
// header row, or a row has another number of cells than the header.
[[nodiscard]] CsvTable read_csv(const std::filesystem::path& path);

}  // namespace restwell::plots
