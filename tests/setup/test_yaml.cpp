#include <setup/parse.hpp>
#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/setup/detail/node.hpp>
#include <valve/setup/detail/yaml.hpp>

#include <memory>
#include <string>

using namespace valve;
using setup::Node;
using setup::testing::parse;

TEST_CASE("a tree keeps kinds, texts, order and places", "[setup][yaml]") {
    const Node root = parse("b: 0.15 mm\na:\n  - x\n  - {k: \"1\", e: }\n");
    REQUIRE(root.kind == Node::Kind::map);
    REQUIRE(root.members.size() == 2);
    CHECK(root.members[0].key == "b");
    CHECK(root.members[0].value.text == "0.15 mm");
    CHECK(root.members[0].value.place.line == 1);
    CHECK(root.members[0].value.place.column == 4);
    const Node& list = root.members[1].value;
    REQUIRE(list.kind == Node::Kind::list);
    REQUIRE(list.items.size() == 2);
    const setup::Member* quoted = list.items[1].find("k");
    REQUIRE(quoted != nullptr);
    CHECK(quoted->value.quoted);
    CHECK(quoted->place.line == 4);
    CHECK(quoted->place.column == 6);
    CHECK(list.items[1].find("e")->value.kind == Node::Kind::null);
}

TEST_CASE("columns count characters, and line ends may be of either kind", "[setup][yaml]") {
    const Node root = parse("{\"é日\": 1, b: 2}\r\n");
    CHECK(root.find("b")->place.column == 11);
    const Node second = parse("a: 1\r\nb: 2\r\n");
    CHECK(second.find("b")->place.line == 2);
    CHECK(second.find("b")->value.text == "2");
}

TEST_CASE("plain YAML of every ordinary form is read", "[setup][yaml]") {
    CHECK(parse("").kind == Node::Kind::null);
    CHECK(parse("# only a comment\n").kind == Node::Kind::null);
    CHECK(parse("---\na: 1\n...\n").find("a")->value.text == "1");
    CHECK(parse("%YAML 1.2\n---\na: 1\n").find("a")->value.text == "1");
    CHECK(parse("a: |\n  two\n  lines\n").find("a")->value.text == "two\nlines\n");
    CHECK(parse("a: >\n  one\n  line").find("a")->value.text == "one line\n");
    CHECK(parse("a: 'it''s'\n").find("a")->value.text == "it's");
    CHECK(parse("a: ~\n").find("a")->value.kind == Node::Kind::null);
    CHECK(parse("a: \"~\"\n").find("a")->value.kind == Node::Kind::scalar);
    CHECK(parse("- 6 * 24 x 0.15\n").items[0].text == "6 * 24 x 0.15");
}

TEST_CASE("an open quote is found where it begins", "[setup][yaml]") {
    CHECK_THROWS_WITH(parse("a: 1\nb: \"open\nc: 3\n"), contains_text("test.yaml:2:4: error: a quote"));
    CHECK_THROWS_WITH(parse("a: 'closed'\nb: [1, 'open]\n"), contains_text("test.yaml:2:8: error: a quote"));
    CHECK_THROWS_WITH(parse("\"open: 1\n"), contains_text("test.yaml:1:1: error: a quote"));
}

TEST_CASE("nesting up to the limit is read", "[setup][yaml]") {
    const std::string open(setup::deepest_nesting, '[');
    const std::string close(setup::deepest_nesting, ']');
    CHECK(parse(open + close).kind == Node::Kind::list);
    CHECK_THROWS_AS(parse("[" + open + close + "]"), InputError);
}
