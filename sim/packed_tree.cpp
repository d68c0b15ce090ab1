#include "sim/packed_tree.hpp"

#include <charconv>

namespace restwell {
namespace {

void pack(const std::string& text, std::string& out) {
  out += std::to_string(text.size()) + ":" + text;
}

void pack(const YamlNode& node, std::string& out) {
  switch (node.kind) {
    case YamlNode::Kind::empty:
      out += 'n';
      return;
    case YamlNode::Kind::scalar:
      pack(node.scalar, out);
      return;
    case YamlNode::Kind::list:
      out += 'l';
      for (const YamlNode& item : node.items) pack(item, out);
      break;
    case YamlNode::Kind::map:
      out += 'd';
      for (const YamlEntry& entry : node.entries) {
        pack(entry.key, out);
        pack(entry.value, out);
      }
      break;
  }
  out += 'e';
}

constexpr int deepest = 25;  // read_yaml_tree allows 20

class Unpacker {
 public:
  explicit Unpacker(std::string_view text) : text_(text) {}
  [[nodiscard]] bool at_end() const { return at_ == text_.size(); }

  bool read(YamlNode& node, int depth = 0) {
    if (depth > deepest) return false;
    if (taken('n')) return true;
    if (taken('l')) {
      node.kind = YamlNode::Kind::list;
      while (!taken('e'))
        if (!read(node.items.emplace_back(), depth + 1)) return false;
      return true;
    }
    if (taken('d')) {
      node.kind = YamlNode::Kind::map;
      while (!taken('e')) {
        YamlEntry& entry = node.entries.emplace_back();
        if (!read(entry.key) || !read(entry.value, depth + 1)) return false;
      }
      return true;
    }
    node.kind = YamlNode::Kind::scalar;
    return read(node.scalar);
  }

 private:
  bool taken(char c) {
    if (at_end() || text_[at_] != c) return false;
    ++at_;
    return true;
  }
  bool read(std::string& text) {
    std::size_t size = 0;
    const auto [stop, error] =
        std::from_chars(text_.data() + at_, text_.data() + text_.size(), size);
    if (error != std::errc{}) return false;
    at_ = static_cast<std::size_t>(stop - text_.data());
    if (!taken(':') || size > text_.size() - at_) return false;
    text = text_.substr(at_, size);
    at_ += size;
    return true;
  }

  std::string_view text_;
  std::size_t at_ = 0;
};

}  // namespace

std::string packed_tree(const YamlNode& root) {
  std::string text;
  pack(root, text);
  return text;
}

std::optional<YamlNode> unpacked_tree(std::string_view text) {
  Unpacker unpacker(text);
  YamlNode root;
  if (!unpacker.read(root) || !unpacker.at_end()) return std::nullopt;
  return root;
}

}  // namespace restwell
