#include <setup/parse.hpp>
#include <support/catch.hpp>
#include <valve/setup/detail/node.hpp>
#include <valve/setup/detail/yaml.hpp>

#include <memory>
#include <string>
#include <vector>

using namespace valve;
using setup::Node;
using setup::testing::parse;

TEST_CASE("dotted keys are split, names with a point kept whole", "[setup][node]") {
    using Parts = std::vector<std::string>;
    CHECK(setup::split_key("title") == Parts{"title"});
    CHECK(setup::split_key("damper.ring_leak.gap") == Parts{"damper", "ring_leak", "gap"});
    CHECK(setup::split_key("valves.base.refill.float.rate") ==
          Parts{"valves", "base.refill", "float", "rate"});
    CHECK(setup::split_key("valves.base.refill") == Parts{"valves", "base.refill"});
    CHECK(setup::split_key("valves.base") == Parts{"valves", "base"});
    CHECK(setup::split_key("oil.viscosity.37.8 C") == Parts{"oil", "viscosity", "37.8 C"});
    CHECK(setup::split_key("a..b") == Parts{"a", "", "b"});
    CHECK(setup::split_key("a.") == Parts{"a", ""});
    CHECK(setup::split_key("") == Parts{""});
}

TEST_CASE("flow text parses to the same value", "[setup][node]") {
    const char* texts[] = {
        "{a: 1, b: [x, {c: null}], d: {}, e: []}",
        "[6 * 24 x 0.15, 22 × 0.15]",
        "{40 C: 16 mm2/s, \"a: b\": \"c: d\"}",
        "[\"null\", \"~\", \"\", \" x \", \"a, b\", \"[\", \"#\", \"it's\", \"- a\", \"a:\"]",
        "\"two\\nlines \\\\ and \\\"quotes\\\" \\t\\e\"",
        "-5 C",
        "16 mm²/s"};
    for (const char* text : texts) {
        INFO("text: " << text);
        const Node node = parse(text);
        CHECK(same_value(node, parse(setup::flow_text(node))));
    }
    CHECK(setup::flow_text(parse("shims:\n  - 6 * 24 x 0.15\n  - 22 x 0.15\n")) ==
          "{shims: [6 * 24 x 0.15, 22 x 0.15]}");
}

TEST_CASE("values are the same in any order of keys, not of items", "[setup][node]") {
    CHECK(same_value(parse("{a: 1, b: 2}"), parse("b: 2\na: 1\n")));
    CHECK_FALSE(same_value(parse("[1, 2]"), parse("[2, 1]")));
    CHECK_FALSE(same_value(parse("[1, 2]"), parse("[1, 2, 3]")));
    CHECK_FALSE(same_value(parse("{a: 1}"), parse("{b: 1}")));
    CHECK_FALSE(same_value(parse("null"), parse("\"null\"")));
}

TEST_CASE("the place of a key is its own, or that of the nearest map", "[setup][node]") {
    const Node root = parse("damper:\n  bore: 25 mm\nvalves:\n  base.refill: {clamp: 9 mm}\n");
    CHECK(place_of(root, "damper.bore").line == 2);
    CHECK(place_of(root, "damper.bore").column == 9);
    CHECK(place_of(root, "damper.rod").line == 1);
    CHECK(place_of(root, "valves.base.refill.clamp").column == 24);
    CHECK(place_of(root, "valves.base.refill.seat.inner").line == 4);
    CHECK(place_of(root, "nothing").line == 1);
    CHECK(find_at(root, "valves.base.refill.clamp") != nullptr);
    CHECK(find_at(root, "valves.base.refill.seat") == nullptr);
}
