#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/core/number.hpp>

#include <cmath>
#include <random>

using namespace valve;

TEST_CASE("numbers are read as written", "[core][number]") {
    CHECK(parse_number("0") == 0.0);
    CHECK(parse_number("-0.15") == -0.15);
    CHECK(parse_number("1.4e9") == 1.4e9);
    CHECK(parse_number(".5") == 0.5);
    CHECK(parse_number("0.05") == 0.05);
    CHECK_FALSE(std::signbit(parse_number("-0")));
}

TEST_CASE("text that is no number, or easily misread, is refused with advice", "[core][number]") {
    const auto refuses = [](const std::string& text, const std::string& advice) {
        INFO("text: '" << text << "'");
        CHECK_THROWS_AS(parse_number(text), InputError);
        CHECK_THROWS_WITH(parse_number(text), contains_text(advice));
    };
    refuses("", "nothing is written");
    for (const char* text :
         {"nan", "-nan", "inf", "-inf", "infinity", "NAN", "thick", "-", ".", "e5", "1e", "1 2"})
        refuses(text, "is not a number");
    refuses("1e400", "too large or too small");
    refuses("-1e400", "too large or too small");
    refuses("1e-400", "too large or too small");
    refuses("010", "leading zero");
    refuses("-00.5", "leading zero");
    refuses("0x10", "in decimal");
    refuses("-0X1F", "in decimal");
    refuses("1,5", "use a point");
    for (const char* text :
         {"1,05", "1050,125", "0,125", ",125", "1,050,12", "12,5.0", "1,0x5", "1,", "1,050,", "1,050.5.2"})
        refuses(text, "use a point for decimals, as in 1.5");
    refuses("1,050", "write 1050 without a comma for thousands, or a point for decimals");
    refuses("-12,000,000.5", "write -12000000.5 without");
    refuses("1_000", "digit separators");
    refuses("1'000", "digit separators");
    refuses("+3", "plus sign");
    refuses("1.5.2", "expected digits");
}

TEST_CASE("a number is formatted as the shortest text that reads back", "[core][number]") {
    CHECK(format_number(0.15) == "0.15");
    CHECK(format_number(1000.0) == "1000");
    std::mt19937_64 random(1);
    std::uniform_real_distribution<double> exponent(-300.0, 300.0);
    for (int i = 0; i < 1000; ++i) {
        const double value = std::pow(10.0, exponent(random));
        CHECK(parse_number(format_number(value)) == value);
    }
}
