#include "plots/csv.hpp"

#include <fmt/format.h>

#include <array>
#include <cerrno>
#include <charconv>
#include <cmath>
#include <cstring>
#include <iterator>
#include <stdexcept>
#include <system_error>
#include <utility>

namespace restwell::plots {
namespace {

void append_text(std::string& line, const std::string& text) {
  if (text.find_first_of(",\"\r\n") == std::string::npos) {
    line += text;
    return;
  }
  line += '"';
  for (const char c : text) {
    if (c == '"') line += '"';
    line += c;
  }
  line += '"';
}

template <class Number>
void append_number(std::string& line, Number value) {
  std::array<char, 32> buffer{};  // the longest double takes 24
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value).ptr;
  line.append(buffer.data(), end);
}

void append_cell(std::string& line, const Cell& cell) {
  if (const auto* text = std::get_if<std::string>(&cell)) {
    append_text(line, *text);
  } else if (const auto* whole = std::get_if<long long>(&cell)) {
    append_number(line, *whole);
  } else if (const double value = std::get<double>(cell); std::isfinite(value)) {
    append_number(line, value + 0.0);  // turns -0 into 0
  }
}

void end_line(std::string& line, std::size_t columns) {
  // A lone empty cell would be an empty line, which readers skip.
  if (columns == 1 && line.empty()) line = "\"\"";
  line += '\n';
}

[[noreturn]] void cannot_be_written(const std::filesystem::path& part) {
  throw std::runtime_error(
      fmt::format("{}: cannot be written: {}", part.stem().string(), std::strerror(errno)));
}

}  // namespace

CsvWriter::CsvWriter(std::filesystem::path path, const std::vector<std::string>& columns)
    : path_(std::move(path)), part_(path_), columns_(columns.size()) {
  part_ += ".part";
  if (columns.empty()) throw std::runtime_error(fmt::format("{}: no columns", path_.string()));
  out_.open(part_, std::ios::binary | std::ios::trunc);
  if (!out_) cannot_be_written(part_);
  open_ = true;
  for (std::size_t i = 0; i < columns.size(); ++i) {
    if (i > 0) line_ += ',';
    append_text(line_, columns[i]);
  }
  end_line(line_, columns_);
  out_ << line_;
}

CsvWriter::CsvWriter(CsvWriter&& other) noexcept
    : path_(std::move(other.path_)),
      part_(std::move(other.part_)),
      out_(std::move(other.out_)),
      columns_(other.columns_),
      line_(std::move(other.line_)),
      open_(std::exchange(other.open_, false)) {}

CsvWriter::~CsvWriter() {
  if (!open_) return;
  out_.close();
  std::error_code ignored;
  std::filesystem::remove(part_, ignored);
}

void CsvWriter::row(const std::vector<Cell>& cells) {
  if (!open_) throw std::runtime_error(fmt::format("{}: already closed", path_.string()));
  if (cells.size() != columns_) {
    throw std::runtime_error(
        fmt::format("{}: {} cells for {} columns", path_.string(), cells.size(), columns_));
  }
  line_.clear();
  for (std::size_t i = 0; i < cells.size(); ++i) {
    if (i > 0) line_ += ',';
    append_cell(line_, cells[i]);
  }
  end_line(line_, columns_);
  out_ << line_;
  if (!out_) cannot_be_written(part_);
}

void CsvWriter::close() {
  if (!open_) return;
  out_.close();
  if (!out_) cannot_be_written(part_);
  std::error_code error;
  std::filesystem::rename(part_, path_, error);
  if (error) {
    throw std::runtime_error(
        fmt::format("{}: cannot be put in place: {}", path_.string(), error.message()));
  }
  open_ = false;
}

std::size_t CsvTable::column(std::string_view heading) const {
  for (std::size_t i = 0; i < columns.size(); ++i) {
    if (columns[i] == heading) return i;
  }
  std::string known;
  for (const std::string& one : columns) known += (known.empty() ? "" : ", ") + one;
  throw std::runtime_error(fmt::format("{}: no column \"{}\"; it has: {}", name, heading, known));
}

CsvTable read_csv(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) throw std::runtime_error(fmt::format("{}: cannot be read", path.string()));
  const std::string text{std::istreambuf_iterator<char>(in), {}};
  if (in.bad()) throw std::runtime_error(fmt::format("{}: cannot be read", path.string()));

  CsvTable table;
  table.name = path.filename().string();
  std::vector<std::string> row;
  std::string cell;
  bool quoted = false, any = false;  // any: the line holds something
  std::size_t line = 1;
  const auto end_row = [&] {
    if (!any) return;
    row.push_back(std::exchange(cell, {}));
    if (table.columns.empty()) {
      table.columns = std::exchange(row, {});
    } else if (row.size() == table.columns.size()) {
      table.rows.push_back(std::exchange(row, {}));
    } else {
      throw std::runtime_error(fmt::format("{}: line {}: {} cells for {} columns", table.name, line,
                                           row.size(), table.columns.size()));
    }
    any = false;
  };
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (quoted) {
      if (c != '"') {
        cell += c;
      } else if (i + 1 < text.size() && text[i + 1] == '"') {
        cell += '"';
        ++i;
      } else {
        quoted = false;
      }
    } else if (c == '"') {
      quoted = any = true;
    } else if (c == ',') {
      row.push_back(std::exchange(cell, {}));
      any = true;
    } else if (c == '\n') {
      end_row();
    } else if (c != '\r') {
      cell += c;
      any = true;
    }
    if (c == '\n') ++line;
  }
  if (quoted) throw std::runtime_error(fmt::format("{}: a quote is not closed", table.name));
  end_row();
  if (table.columns.empty()) throw std::runtime_error(fmt::format("{}: is empty", table.name));
  return table;
}

}  // namespace restwell::plots
