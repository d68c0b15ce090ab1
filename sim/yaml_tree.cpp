#include "sim/yaml_tree.hpp"

#include <fmt/format.h>
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/mark.h>
#include <yaml-cpp/parser.h>

#include <algorithm>
#include <sstream>
#include <string_view>
#include <utility>

namespace restwell {
namespace {

constexpr std::size_t deepest = 20;

struct Refusal {
  Diagnostic problem;
};

class PlaceFinder {
 public:
  explicit PlaceFinder(std::string_view text) : text_(text) {
    starts_.push_back(0);
    for (std::size_t i = 0; i < text.size(); ++i)
      if (text[i] == '\n') starts_.push_back(i + 1);
  }
  // yaml-cpp counts from 0 and in bytes.
  [[nodiscard]] Place at(const YAML::Mark& mark) {
    if (mark.is_null()) return {};
    const auto line = static_cast<std::size_t>(mark.line);
    if (line >= starts_.size()) return {mark.line + 1, 1};
    // Marks mostly move forward: count on from the last one, or a long line costs its square.
    const auto bytes =
        std::min(static_cast<std::size_t>(mark.column), text_.size() - starts_[line]);
    if (line != last_line_ || bytes < last_bytes_) {
      last_line_ = line;
      last_bytes_ = 0;
      last_column_ = 1;
    }
    for (; last_bytes_ < bytes; ++last_bytes_)
      if ((static_cast<unsigned char>(text_[starts_[line] + last_bytes_]) & 0xc0) != 0x80)
        ++last_column_;
    return {mark.line + 1, last_column_};
  }
  // yaml-cpp takes the end of the text for the end of a quote.
  [[nodiscard]] bool opens_quote_never_closed(const YAML::Mark& mark) const {
    const auto line = static_cast<std::size_t>(mark.line);
    if (mark.is_null() || line >= starts_.size()) return false;
    std::size_t i = starts_[line] + static_cast<std::size_t>(mark.column);
    if (i >= text_.size() || (text_[i] != '"' && text_[i] != '\'')) return false;
    const char quote = text_[i];
    for (++i; i < text_.size(); ++i) {
      if (quote == '"' && text_[i] == '\\') {
        ++i;
      } else if (text_[i] == quote) {
        if (quote == '"' || i + 1 == text_.size() || text_[i + 1] != quote) return false;
        ++i;  // '' stands for one
      }
    }
    return true;
  }
  // line counted from 1; empty if there is none.
  [[nodiscard]] std::string_view line(int number) const {
    if (number < 1 || static_cast<std::size_t>(number) > starts_.size()) return "";
    const std::string_view rest = text_.substr(starts_[static_cast<std::size_t>(number) - 1]);
    return rest.substr(0, rest.find('\n'));
  }

 private:
  std::string_view text_;
  std::vector<std::size_t> starts_;
  std::size_t last_line_ = 0, last_bytes_ = 0;
  int last_column_ = 1;
};

// Column of the first tab among the blanks a line starts with; 0: none.
int tab_in_indentation(std::string_view line) {
  const std::size_t at = line.find_first_not_of(' ');
  return at != std::string_view::npos && line[at] == '\t' ? static_cast<int>(at) + 1 : 0;
}

[[noreturn]] void refuse(Place place, std::string message, std::string hint) {
  throw Refusal{{place.line, place.column, "", std::move(message), std::move(hint)}};
}

// Builds the tree from yaml-cpp's events, which come before it descends: so the limit on nesting
// also bounds its recursion.
class TreeBuilder final : public YAML::EventHandler {
 public:
  explicit TreeBuilder(PlaceFinder& places) : places_(places) {}

  [[nodiscard]] YamlNode take() { return std::move(root_); }

  void OnDocumentStart(const YAML::Mark&) override {}
  void OnDocumentEnd() override {}
  void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
    refuse_anchor(mark, anchor);
    add({YamlNode::Kind::empty, places_.at(mark), {}, {}, {}});
  }
  void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override { refuse_anchor(mark, 1); }
  void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                const std::string& value) override {
    refuse_anchor(mark, anchor);
    refuse_tag(mark, tag);
    if (places_.opens_quote_never_closed(mark))
      refuse(places_.at(mark), "the quote that opens here is never closed",
             "put the same quote at the end of the text");
    add({YamlNode::Kind::scalar, places_.at(mark), value, {}, {}});
  }
  void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                       YAML::EmitterStyle::value) override {
    open(mark, tag, anchor, YamlNode::Kind::list);
  }
  void OnSequenceEnd() override { close(); }
  void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  YAML::EmitterStyle::value) override {
    open(mark, tag, anchor, YamlNode::Kind::map);
  }
  void OnMapEnd() override { close(); }

 private:
  struct Open {
    YamlNode node;
    bool key_read = false;  // of a map: the next node is the value of the last entry
  };

  void refuse_anchor(const YAML::Mark& mark, YAML::anchor_t anchor) const {
    if (anchor != 0)
      refuse(places_.at(mark), "anchors (&) and aliases (*) are not read",
             "write the value out in each place, or put text that starts with & or * in quotes");
  }
  void refuse_tag(const YAML::Mark& mark, const std::string& tag) const {
    if (!tag.empty() && tag != "?" && tag != "!")
      refuse(places_.at(mark), fmt::format("tags such as {} are not read", printable(tag)),
             "leave the tag out, or put text that starts with ! in quotes");
  }
  void open(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
            YamlNode::Kind kind) {
    refuse_anchor(mark, anchor);
    refuse_tag(mark, tag);
    if (stack_.size() == deepest)
      refuse(places_.at(mark), fmt::format("is nested deeper than {} levels", deepest), "");
    if (awaits_key()) refuse_key(places_.at(mark));
    stack_.push_back({{kind, places_.at(mark), {}, {}, {}}, false});
  }
  void close() {
    YamlNode node = std::move(stack_.back().node);
    stack_.pop_back();
    add(std::move(node));
  }
  [[nodiscard]] bool awaits_key() const {
    return !stack_.empty() && stack_.back().node.kind == YamlNode::Kind::map &&
           !stack_.back().key_read;
  }
  [[noreturn]] static void refuse_key(Place place) {
    refuse(place, "a key must be a single word",
           "write key: value, and check that every bracket is closed");
  }
  void add(YamlNode node) {
    if (stack_.empty()) {
      root_ = std::move(node);
      return;
    }
    Open& parent = stack_.back();
    if (parent.node.kind == YamlNode::Kind::list) {
      parent.node.items.push_back(std::move(node));
    } else if (parent.key_read) {
      YamlEntry& entry = parent.node.entries.back();
      // The mark of an empty value lies after it, often on a later line.
      if (node.kind == YamlNode::Kind::empty) node.place = entry.key_place;
      entry.value = std::move(node);
      parent.key_read = false;
    } else {
      if (node.kind != YamlNode::Kind::scalar) refuse_key(node.place);
      parent.node.entries.push_back({std::move(node.scalar), node.place, {}});
      parent.key_read = true;
    }
  }

  PlaceFinder& places_;
  YamlNode root_;
  std::vector<Open> stack_;
};

}  // namespace

std::variant<YamlNode, Diagnostic> read_yaml_tree(const std::string& text) {
  PlaceFinder places(text);
  TreeBuilder builder(places);
  try {
    std::istringstream stream(text);
    YAML::Parser parser(stream);
    if (!parser.HandleNextDocument(builder)) return YamlNode{};
    YamlNode root = builder.take();
    TreeBuilder rest(places);
    if (parser.HandleNextDocument(rest)) {
      const Place place = rest.take().place;
      return Diagnostic{place.line, place.column, "", "a second YAML document starts here",
                        "one file holds one scenario: take out the line ---"};
    }
    return root;
  } catch (const Refusal& r) {
    return r.problem;
  } catch (const YAML::Exception& e) {
    const Place place = places.at(e.mark);
    if (const int tab = tab_in_indentation(places.line(place.line)); tab > 0)
      return Diagnostic{place.line, tab, "", "a tab stands in the indentation",
                        "indent with spaces"};
    return Diagnostic{place.line, place.column, "", "is not valid YAML: " + e.msg,
                      "check the indentation (spaces, no tabs), the brackets and the quotes; text "
                      "with ': ' or ' #' inside needs quotes"};
  }
}

}  // namespace restwell
