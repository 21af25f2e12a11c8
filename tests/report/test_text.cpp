#include <support/catch.hpp>
#include <valve/core/constants.hpp>
#include <valve/report/text.hpp>

#include <stdexcept>

using namespace valve::report;

TEST_CASE("numbers for people have sensible digits and no negative zero", "[report]") {
    CHECK(newton(233.6) == "234");
    CHECK(newton(-0.4) == "0");
    CHECK(bar(1.234e5) == "1.23");
    CHECK(bar(-0.001e5) == "0.00");
    CHECK(bar(-0.006e5) == "-0.01");
    CHECK(gauge(valve::p_atm + 0.5e5) == "0.50");
    CHECK(mm(0.15e-3) == "0.150");
    CHECK(trim_mm(0.021) == "21");
    CHECK(trim_mm(0.0125) == "12.5");
    CHECK(metres_a_second(-3.0) == "-3");
    CHECK(metres_a_second(0.02) == "0.02");
    CHECK(metres_a_second(10.0) == "10");
}

TEST_CASE("the width of a text counts code points", "[report]") {
    CHECK(width("Ø 12") == 4);
    CHECK(width("1 → 2") == 5);
    CHECK(pad_left("Ø", 3) == "  Ø");
    CHECK(pad_right("Ø", 3) == "Ø  ");
    CHECK(pad_left("long", 2) == "long");
}

TEST_CASE("text wraps at blanks; line ends are blanks", "[report]") {
    CHECK(wrapped("aa bb cc", 5, "") == "aa bb\ncc");
    CHECK(wrapped("aa bb\ncc", 5, "  ") == "aa bb\n  cc");
    CHECK(wrapped("a-word-that-is-too-long b", 5, "") == "a-word-that-is-too-long\nb");
    CHECK(wrapped("", 5, "") == "");
}

TEST_CASE("words are listed with commas and an and", "[report]") {
    CHECK(listed({}) == "");
    CHECK(listed({"a"}) == "a");
    CHECK(listed({"a", "b"}) == "a and b");
    CHECK(listed({"a", "b", "c"}) == "a, b and c");
}

TEST_CASE("a table aligns numbers right and words left", "[report]") {
    Table table({{"speed", "m/s"}, {"name", "", true}});
    table.add({"1", "Ø"});
    table.add({"-10.5", "b"});
    CHECK(table.text() == "  speed  name\n"
                          "    m/s\n"
                          "      1  Ø\n"
                          "  -10.5  b\n");
    CHECK_THROWS_AS(table.add({"1"}), std::invalid_argument);
}

TEST_CASE("words in the last column are broken where the page ends", "[report]") {
    Table table({{"no.", ""}, {"change", "", true}});
    std::string words = "one";
    while (words.size() < 2 * page_columns)
        words += " more";
    table.add({"1", words});
    table.add({"2", "short"});
    const std::string text = table.text();
    for (std::size_t begin = 0; begin < text.size(); begin = text.find('\n', begin) + 1)
        CHECK(text.find('\n', begin) - begin <= page_columns);
    CHECK_THAT(text, contains_text("\n         more") && contains_text("\n    2  short\n"));
    // Columns of numbers stay whole, whatever the page.
    Table wide(std::vector<Table::Column>{{"a", ""}});
    wide.add({std::string(2 * page_columns, '1')});
    CHECK(wide.text().size() > 2 * page_columns);
}

TEST_CASE("a table without units has a head of one line", "[report]") {
    Table table(std::vector<Table::Column>{{"A", ""}});
    table.add({"1"});
    CHECK(table.text() == "  A\n  1\n");
}
