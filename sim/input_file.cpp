#include "sim/input_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstdint>
#include <cstring>
#include <fstream>
#include <string_view>
#include <utility>

#include "sim/diagnostic.hpp"

namespace restwell {
namespace {

constexpr std::uintmax_t most_bytes = 1'000'000;

[[noreturn]] void refuse_file(const std::string& name, std::string message, std::string hint = "") {
  throw ScenarioError(name, "", {{0, 0, "", std::move(message), std::move(hint)}});
}

void refuse_size(const std::string& name, std::uintmax_t bytes) {
  if (bytes > most_bytes)
    refuse_file(name,
                fmt::format("is larger than 1 MB, the limit for a scenario ({} bytes)", bytes));
}

// Without byte-order mark, with \n line ends.
std::string plain_text(std::string_view given) {
  if (given.starts_with("\xef\xbb\xbf")) given.remove_prefix(3);
  std::string text;
  text.reserve(given.size());
  for (std::size_t i = 0; i < given.size(); ++i) {
    if (given[i] != '\r')
      text += given[i];
    else if (i + 1 == given.size() || given[i + 1] != '\n')
      text += '\n';
  }
  return text;
}

void refuse_binary(const std::string& name, const std::string& text) {
  if (const auto bad = first_non_text_byte(text)) {
    const std::string_view before = std::string_view(text).substr(0, *bad);
    const std::string_view in_line = before.substr(before.find_last_of('\n') + 1);  // npos: all
    const auto line = 1 + std::count(before.begin(), before.end(), '\n');
    const auto column = 1 + std::ranges::count_if(in_line, [](char c) {
                          return (static_cast<unsigned char>(c) & 0xc0) != 0x80;
                        });
    throw ScenarioError(
        name, "",
        {{static_cast<int>(line), static_cast<int>(column), "",
          fmt::format("is not a text file: byte 0x{:02x}", static_cast<unsigned char>(text[*bad])),
          "a scenario is UTF-8 text in YAML"}});
  }
}

bool has_key(const YamlNode& root, std::string_view key) {
  return std::ranges::find(root.entries, key, &YamlEntry::key) != root.entries.end();
}
bool has_holes(const YamlNode& root) { return has_key(root, "holes"); }
bool has_site_keys(const YamlNode& root) {
  return has_key(root, "household") || has_key(root, "tank") || has_key(root, "pits") ||
         has_key(root, "trenches");
}

}  // namespace

std::string read_input_file(const std::filesystem::path& file) {
  namespace fs = std::filesystem;
  const std::string name = file.string();
  std::error_code error;
  const fs::file_status status = fs::status(file, error);
  if (status.type() == fs::file_type::not_found) refuse_file(name, "there is no such file");
  if (error) refuse_file(name, "cannot be read: " + error.message());
  if (status.type() == fs::file_type::directory) refuse_file(name, "is a directory, not a file");
  if (status.type() != fs::file_type::regular) refuse_file(name, "is not a regular file");
  const std::uintmax_t bytes = fs::file_size(file, error);
  if (error) refuse_file(name, "cannot be read: " + error.message());
  refuse_size(name, bytes);
  errno = 0;
  std::ifstream stream(file, std::ios::binary);
  if (!stream) refuse_file(name, fmt::format("cannot be read: {}", std::strerror(errno)));
  // One byte more than allowed: the file may have grown since.
  std::string text(most_bytes + 1, '\0');
  stream.read(text.data(), static_cast<std::streamsize>(text.size()));
  if (stream.bad()) refuse_file(name, "cannot be read");
  text.resize(static_cast<std::size_t>(stream.gcount()));
  return text;
}

InputTree input_tree(const std::string& given, const std::string& name) {
  refuse_size(name, given.size());
  std::string text = plain_text(given);
  refuse_binary(name, text);
  auto tree = read_yaml_tree(text);
  if (const auto* problem = std::get_if<Diagnostic>(&tree))
    throw ScenarioError(name, text, {*problem});
  YamlNode& root = std::get<YamlNode>(tree);
  if (root.kind == YamlNode::Kind::empty) refuse_file(name, "is empty");
  return {std::move(text), std::move(root)};
}

bool is_percolation_test(const YamlNode& root) { return has_holes(root) && !has_site_keys(root); }
bool is_site(const YamlNode& root) { return !has_holes(root) && has_site_keys(root); }

}  // namespace restwell
