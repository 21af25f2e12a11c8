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

TEST_CASE("a table wider than a page goes on below; each part begins with the first column", "[report]") {
    std::vector<Table::Column> columns{{"speed", "m/s"}};
    std::vector<std::string> cells{"1"};
    for (int i = 10; i < 30; ++i) { // 7 columns a setting, 7 columns before them: 13 in a block of 100
        columns.push_back({"at " + std::to_string(i), "N"});
        cells.push_back(std::to_string(i * 100));
    }
    columns.push_back({"set-up", "", true});
    cells.emplace_back("a fork that is called by a name of more than thirty letters");
    Table table(columns);
    table.add(cells);
    const std::string text = table.text();
    for (std::size_t begin = 0; begin < text.size(); begin = text.find('\n', begin) + 1)
        CHECK(text.find('\n', begin) - begin <= 100);
    CHECK_THAT(text,
               contains_text("  speed  at 10  at 11") && contains_text("at 21  at 22\n") &&
                   contains_text("\n\n  speed  at 23  at 24") && contains_text("      1   1000") &&
                   contains_text("\n      1   2300   2400   2500   2600   2700   2800   2900  a fork "));
    columns.erase(columns.begin() + 14, columns.end()); // 98 columns wide: one block
    Table narrow(columns);
    narrow.add({cells.begin(), cells.begin() + 14});
    CHECK(narrow.text().find("\n\n") == std::string::npos);
}

TEST_CASE("a message keeps the line that it shows and the mark below it", "[report]") {
    CHECK(shown_message("B: a long reason\n  3 | value\n    | ^", 8, "  ") ==
          "B: a\n  long\n  reason\n    3 | value\n      | ^");
    CHECK(shown_message("one line", 80, "  ") == "one line");
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
