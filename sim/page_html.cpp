#include "sim/page_html.hpp"

#include <algorithm>
#include <kainjow/mustache.hpp>
#include <stdexcept>

namespace restwell {

// The templates sim/page*.html.mustache, put into the program by CMake.
extern const char* const page_template;
extern const char* const page_block_template;
extern const char* const page_table_template;

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

data table_data(const PageTable& t) {
  // More columns, or a long name like clogging_per_load, do not fit on a phone: there every row
  // becomes a block.
  constexpr std::size_t most_side_by_side = 3;
  data object{data::type::object};
  const bool stacks = t.headings.size() > most_side_by_side ||
                      std::ranges::any_of(t.rows, [](const auto& row) {
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

data sections_data(const std::vector<PageSection>& sections) {
  data list{data::type::list};
  for (const PageSection& s : sections) {
    data section{data::type::object};
    section.set("id", s.id);
    section.set("heading", s.heading);
    data blocks{data::type::list};
    for (const PageBlock& b : s.blocks) blocks.push_back(block_data(b));
    section.set("blocks", blocks);
    list.push_back(section);
  }
  return list;
}

}  // namespace

std::string page_html(const PageContent& content, const std::string& site_file,
                      const std::string& result_json) {
  data page{data::type::object};
  page.set("site", content.site);
  set_text(page, "question", content.question);
  page.set("setting", content.setting);
  page.set("warning", content.warning);
  page.set("owner", sections_data(content.owner));
  page.set("professional", sections_data(content.professional));
  page.set("site_file", site_file);
  page.set("data_json", result_json);
  page.set("program", "restwell " RESTWELL_VERSION);
  page.set("block_part", data{partial([] { return std::string(page_block_template); })});
  page.set("table_part", data{partial([] { return std::string(page_table_template); })});
  mustache whole{std::string(page_template)};
  if (!whole.is_valid()) throw std::logic_error("page.html.mustache: " + whole.error_message());
  return whole.render(page);
}

}  // namespace restwell
