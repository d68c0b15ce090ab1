#include "sim/page_html.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <kainjow/mustache.hpp>
#include <stdexcept>

#include "sim/words.hpp"

namespace restwell {

// The templates sim/page*.html.mustache, put into the program by CMake.
extern const char* const page_template;
extern const char* const page_block_template;
extern const char* const page_table_template;
extern const char* const page_live_template;
extern const char* const page_live_script;
extern const char* const page_live_script_sha256;  // hexadecimal
// The module of sim/live_module.cpp, gzipped; no bytes: the program was built without.
extern const unsigned char page_engine[];
extern const std::size_t page_engine_bytes;

namespace {

using kainjow::mustache::data;
using kainjow::mustache::mustache;
using kainjow::mustache::partial;

data texts(const std::vector<std::string>& all) {
  data list{data::type::list};
  for (const std::string& text : all) list.push_back(data{"text", text});
  return list;
}

data flag(bool yes) { return yes ? data{data::type::bool_true} : data{data::type::bool_false}; }

// Empty text is false: what stands around it is left out.
void set_text(data& object, const char* key, const std::string& text) {
  object.set(key, text.empty() ? flag(false) : data{text});
}

bool has_long_word(const std::string& text) {
  constexpr std::ptrdiff_t longest = 14;
  std::ptrdiff_t length = 0;
  return std::ranges::any_of(text, [&](char c) {
    length = c == ' ' ? 0 : length + 1;
    return length > longest;
  });
}

// RFC 4648.
std::string base64(std::string_view bytes) {
  constexpr std::string_view digits =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  for (std::size_t at = 0; at < bytes.size(); at += 3) {
    const std::string_view three = bytes.substr(at, 3);
    unsigned long group = 0;
    for (std::size_t i = 0; i < 3; ++i)
      group = group * 256 + (i < three.size() ? static_cast<unsigned char>(three[i]) : 0);
    for (std::size_t i = 0; i < 4; ++i)
      text += i <= three.size() ? digits[(group >> (18 - 6 * i)) & 63] : '=';
  }
  return text;
}

std::string bytes_of_hex(std::string_view hex) {
  std::string bytes;
  for (std::size_t at = 0; at + 1 < hex.size(); at += 2)
    bytes += static_cast<char>(std::stoi(std::string(hex.substr(at, 2)), nullptr, 16));
  return bytes;
}

data live_data(const PageLive& live) {
  const LiveControls& c = live.controls;
  data object{data::type::object};
  object.set("people", fmt::format("{}", c.people));
  object.set("people_now", people_words(c.people));
  object.set("least", fmt::format("{}", c.least));
  object.set("most", fmt::format("{}", c.most));
  data steps{data::type::list};
  for (double people = c.least; people <= c.most; people += 1.0) {
    data step{"value", fmt::format("{}", people)};
    step.set("words", people_words(people));
    steps.push_back(step);
  }
  object.set("steps", steps);
  data changes{data::type::list};
  for (const PageCase& change : c.changes) {
    data one{"key", change.key};
    one.set("name", change.name);
    one.set("says", change.says);
    changes.push_back(one);
  }
  object.set("changes", changes);
  return object;
}

data table_data(const PageTable& t) {
  // More columns, or a long name like clogging_per_load, do not fit on a phone: there every row
  // becomes a block.
  constexpr std::size_t most_side_by_side = 3;
  data object{data::type::object};
  const bool stacks =
      t.headings.size() > most_side_by_side || std::ranges::any_of(t.rows, [](const auto& row) {
        return !row.empty() && has_long_word(row.front());
      });
  object.set("stacks", flag(stacks));
  object.set("caption", t.caption);
  set_text(object, "note", t.note);
  const auto number = [&](std::size_t c) { return flag(c < t.numbers.size() && t.numbers[c]); };
  data headings{data::type::list};
  for (std::size_t c = 0; c < t.headings.size(); ++c) {
    data heading{"text", t.headings[c]};
    heading.set("number", flag(c > 0 && c < t.numbers.size() && t.numbers[c]));
    headings.push_back(heading);
  }
  object.set("headings", headings);
  data rows{data::type::list};
  for (const auto& row : t.rows) {
    data line{data::type::object};
    line.set("head", row.empty() ? std::string() : row.front());
    // "1" alone says nothing once the headings are gone.
    set_text(
        line, "head_is",
        stacks && !t.numbers.empty() && t.numbers.front() ? t.headings.front() : std::string());
    data cells{data::type::list};
    for (std::size_t c = 1; c < row.size(); ++c) {
      data cell{"text", row[c]};
      cell.set("number", number(c));
      set_text(cell, "is", stacks && c < t.headings.size() ? t.headings[c] : std::string());
      cells.push_back(cell);
    }
    line.set("cells", cells);
    rows.push_back(line);
  }
  object.set("rows", rows);
  return object;
}

data figure_data(const PageFigure& f) {
  data object{data::type::object};
  object.set("wide", f.wide);
  object.set("narrow", f.narrow);
  set_text(object, "caption", f.caption);
  object.set("data", f.data ? table_data(*f.data) : flag(false));
  return object;
}

data block_data(const PageBlock& b) {
  data object{data::type::object};
  object.set("id", b.id);
  object.set("has_heading", flag(!b.heading.empty()));
  object.set("heading", b.heading);
  set_text(object, "answer", b.answer);
  object.set("paragraphs", texts(b.paragraphs));
  object.set("after", texts(b.after));
  object.set("figure", b.figure ? figure_data(*b.figure) : flag(false));
  object.set("table", b.table ? table_data(*b.table) : flag(false));
  data items{data::type::list};
  for (const PageItem& item : b.items) {
    data one{"lead", item.lead};
    one.set("text", item.text);
    items.push_back(one);
  }
  object.set("has_items", flag(!b.items.empty()));
  object.set("items", items);
  return object;
}

data sections_data(const std::vector<PageSection>& sections, const std::optional<PageLive>& live) {
  data list{data::type::list};
  for (const PageSection& s : sections) {
    data section{data::type::object};
    section.set("id", s.id);
    section.set("heading", s.heading);
    data blocks{data::type::list};
    for (const PageBlock& b : s.blocks) blocks.push_back(block_data(b));
    section.set("blocks", blocks);
    section.set("live", live && s.id == what_changes_it ? live_data(*live) : flag(false));
    list.push_back(section);
  }
  return list;
}

}  // namespace

bool has_page_engine() { return page_engine_bytes > 0; }

std::string page_html(const PageContent& content, const std::string& site_file,
                      const std::string& result_json, const std::optional<PageLive>& live) {
  data page{data::type::object};
  page.set("site", content.site);
  set_text(page, "question", content.question);
  page.set("setting", content.setting);
  page.set("warning", content.warning);
  page.set("owner", sections_data(content.owner, live));
  page.set("professional", sections_data(content.professional, {}));
  page.set("site_file", site_file);
  page.set("data_json", result_json);
  page.set("program", "restwell " RESTWELL_VERSION);
  data scripts = flag(false);
  if (live) {
    const std::string engine(reinterpret_cast<const char*>(page_engine), page_engine_bytes);
    scripts = data{"script", std::string(page_live_script)};
    scripts.set("sha256", base64(bytes_of_hex(page_live_script_sha256)));
    scripts.set("engine", base64(engine));
    scripts.set("site", base64(live->site));
  }
  page.set("scripts", scripts);
  page.set("live_part", data{partial([] { return std::string(page_live_template); })});
  page.set("block_part", data{partial([] { return std::string(page_block_template); })});
  page.set("table_part", data{partial([] { return std::string(page_table_template); })});
  mustache whole{std::string(page_template)};
  if (!whole.is_valid()) throw std::logic_error("page.html.mustache: " + whole.error_message());
  return whole.render(page);
}

}  // namespace restwell
