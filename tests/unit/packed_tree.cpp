#include "sim/packed_tree.hpp"

#include <catch2/catch.hpp>

#include "sim/live.hpp"

using namespace restwell;

namespace {

void check_same(const YamlNode& a, const YamlNode& b) {
  CHECK(a.kind == b.kind);
  CHECK(a.scalar == b.scalar);
  REQUIRE(a.items.size() == b.items.size());
  for (std::size_t i = 0; i < a.items.size(); ++i) check_same(a.items[i], b.items[i]);
  REQUIRE(a.entries.size() == b.entries.size());
  for (std::size_t i = 0; i < a.entries.size(); ++i) {
    CHECK(a.entries[i].key == b.entries[i].key);
    check_same(a.entries[i].value, b.entries[i].value);
  }
}

}  // namespace

TEST_CASE("a tree comes back from its text as it was, but for the places") {
  const auto tree = read_yaml_tree(
      "name: \"5:é <b> {l}\"\nempty:\nlist: [a, [], {}, {b: 'two words'}]\nnested:\n  x: 1\n");
  const auto& root = std::get<YamlNode>(tree);
  const std::string text = packed_tree(root);
  const auto back = unpacked_tree(text);
  REQUIRE(back);
  check_same(root, *back);
  CHECK(packed_tree(*back) == text);
}

TEST_CASE("text that is no packed tree is refused") {
  for (const char* text : {"", "x", "5:abc", "d", "d1:a", "d1:ae", "l1:a", "3:abcx", ":", "-1:a",
                           "99999999999999999999:a", "dlee"}) {
    INFO(text);
    CHECK_FALSE(unpacked_tree(text));
    CHECK_FALSE(unpacked_site(text));
  }
  CHECK_FALSE(unpacked_tree(std::string(1000, 'l')));
  CHECK_FALSE(unpacked_site("le"));
  // One part too few or too many, or a site that is none.
  std::string site = "ln";
  for (int i = 0; i < 16; ++i) site += "1:1";
  CHECK_FALSE(unpacked_site(site + "e"));
}

TEST_CASE("a page's question is a number of people and keys") {
  const auto q = live_question("2.5;leak,pumping");
  REQUIRE(q);
  CHECK(q->people == 2.5);
  CHECK(q->changes == std::vector<std::string>{"leak", "pumping"});
  CHECK(live_question("4;")->changes.empty());
  for (const char* text : {"", ";", "4", "x;", "-1;", "inf;", "4 ;"}) {
    INFO(text);
    CHECK_FALSE(live_question(text));
  }
}

TEST_CASE("people come and go with the later changes of the household") {
  HouseholdConfig h;
  h.occupants = 4;
  h.home_by_day = 3.0;
  h.changes.resize(2);
  h.changes[0].occupants = 1.0;
  h.changes[1].home_by_day = 2.0;
  add_people(h, -2.0);
  CHECK(h.occupants == 2.0);
  CHECK(*h.home_by_day == 2.0);
  CHECK(*h.changes[0].occupants == 0.0);
  CHECK(*h.changes[1].home_by_day == 0.0);
}
