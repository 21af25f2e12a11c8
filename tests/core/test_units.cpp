#include <support/catch.hpp>
#include <valve/core/constants.hpp>
#include <valve/core/error.hpp>
#include <valve/core/units.hpp>

#include <cmath>
#include <numbers>
#include <random>
#include <stdexcept>

using namespace valve;

namespace {

// Two roundings of a factor and one of the expected value.
constexpr double rounding = 1e-15;

} // namespace

TEST_CASE("quantities are read in SI", "[core][units]") {
    const auto reads = [](const char* text, const char* bare_unit, double expected) {
        INFO("text: '" << text << "'");
        CHECK_THAT(parse_quantity(text, bare_unit), WithinRel(expected, rounding));
    };
    reads("0.15 mm", "mm", 0.15e-3);
    reads("0.15mm", "mm", 0.15e-3);
    reads("  0.15\tmm ", "mm", 0.15e-3);
    reads("0.15", "mm", 0.15e-3);
    reads("15 um", "mm", 15e-6);
    reads("15 µm", "mm", 15e-6);
    reads("1.4e9 Pa", "GPa", 1.4e9);
    reads("1.4 GPa", "GPa", 1.4e9);
    reads("1e3mm", "mm", 1.0);
    reads("13 mm²", "mm2", 13e-6);
    reads("13 mm^2", "mm2", 13e-6);
    reads("350 ml", "ml", 350e-6);
    reads("350 cc", "ml", 350e-6);
    reads("350 cm³", "ml", 350e-6);
    reads("0.35 l", "ml", 350e-6);
    reads("850 kg/m³", "kg/m3", 850.0);
    reads("0.85 g / cm3", "kg/m3", 850.0);
    reads("16 cSt", "mm2/s", 16e-6);
    reads("16 mm²/s", "mm2/s", 16e-6);
    reads("12 g", "kg", 0.012);
    reads("0.5 %", "%", 0.005);
    reads("0.5", "%", 0.005);
    reads("0.005", "", 0.005);
    reads("50 %", "", 0.5);
    reads("180 deg", "deg", std::numbers::pi);
    reads("180 °", "deg", std::numbers::pi);
    reads("180°", "deg", std::numbers::pi);
    reads("4.8 N/mm", "N/mm", 4800.0);
    reads("150 kPa", "bar", 1.5e5);
    reads("-0.5 bar", "bar", -0.5e5);
    reads("2 m/s", "m/s", 2.0);
    reads("7.5e-4 1/K", "1/K", 7.5e-4);
    reads("400", "J", 400.0);
    reads("400 J", "J", 400.0);
    reads("0.4 kJ", "J", 400.0);
}

TEST_CASE("customary units have their defined size", "[core][units]") {
    // NIST SP 811 (2008), appendix B.8: the inch, the pound and the standard acceleration are exact; the
    // others are given there to seven digits.
    CHECK_THAT(parse_quantity("1 in", "mm"), WithinRel(0.0254, rounding));
    CHECK_THAT(parse_quantity("0.006 in", "mm"), WithinRel(0.1524e-3, rounding));
    CHECK_THAT(parse_quantity("1 lbf", "N"), WithinAbs(4.448222, 0.5e-6));
    CHECK_THAT(parse_quantity("1 psi", "bar"), WithinAbs(6894.757, 0.5e-3));
    CHECK_THAT(parse_quantity("1 lbf/in", "N/mm"), WithinAbs(175.1268, 0.5e-4));
    CHECK_THAT(parse_quantity("1 kgf/mm", "N/mm"), WithinRel(9806.65, rounding));
    CHECK_THAT(parse_quantity("1 lb", "kg"), WithinRel(0.45359237, rounding));
    CHECK_THAT(parse_quantity("1 ft", "mm"), WithinRel(0.3048, rounding));
    CHECK_THAT(parse_quantity("1 ft/s", "m/s"), WithinRel(0.3048, rounding));
    CHECK_THAT(parse_quantity("1 mph", "m/s"), WithinRel(0.44704, rounding));
    CHECK(parse_quantity("600 lb/in", "N/mm") == parse_quantity("600 lbf/in", "N/mm"));
    CHECK(parse_quantity("36 km/h", "m/s") == 10.0); // by the definition of the hour
}

TEST_CASE("temperatures are read on three scales", "[core][units]") {
    for (const char* text : {"40 C", "40", "40 °C", "40°C", "104 F", "104 °F", "313.15 K"}) {
        INFO("text: '" << text << "'");
        CHECK_THAT(parse_quantity(text, "C"), WithinRel(313.15, rounding));
    }
    CHECK_THAT(parse_quantity("-459.67 F", "C"), WithinAbs(0.0, 1e-12)); // rounding of 255 K
    CHECK_THROWS_WITH(parse_quantity("-300 C", "C"), "'-300 C' is below absolute zero");
}

TEST_CASE("a quantity that is none says what is expected", "[core][units]") {
    CHECK_THROWS_WITH(parse_quantity("15 mm", "bar"),
                      "'15 mm' is a length; expected a pressure, e.g. 1.5 bar");
    CHECK_THROWS_WITH(parse_quantity("15 bar", ""),
                      "'15 bar' is a pressure; expected a plain number, e.g. 0.5");
    CHECK_THROWS_WITH(parse_quantity("15 PSI", "bar"),
                      "'15 PSI' has no unit that is known; expected a pressure, "
                      "e.g. 1.5 bar; known: Pa, kPa, MPa, GPa, mbar, bar, psi, N/mm2; did you mean 'psi'?");
    CHECK_THROWS_WITH(
        parse_quantity("3 knots", "m/s"),
        "'3 knots' has no unit that is known; expected a speed, e.g. 0.5 m/s; known: m/s, mm/s, "
        "km/h, in/s, ft/s, mph");
    CHECK_THROWS_WITH(parse_quantity("mm", "mm"), "'mm' is not a number; expected a length, e.g. 20 mm");
    CHECK_THROWS_WITH(parse_quantity(" ", "mm"), "nothing is written; expected a length, e.g. 20 mm");
    for (const char* text : {"1,5 mm", "1e400 mm", "010 mm", "0x10", "0x10 mm", "1_000 mm", "nan", "inf mm",
                             "--5 mm", "1e308 GPa", "5 mm mm", "5 °", "5 /mm", "1 e3 mm"}) {
        INFO("text: '" << text << "'");
        CHECK_THROWS_AS(parse_quantity(text, "mm"), InputError);
    }
    CHECK_THROWS_AS(parse_quantity("1e308 GPa", "GPa"), InputError); // beyond a double in SI
    CHECK_THROWS_AS(unit("furlong"), std::invalid_argument);
}

TEST_CASE("a formatted quantity reads back as the same value", "[core][units]") {
    CHECK(format_quantity(0.15e-3, "mm") == "0.15 mm");
    CHECK(format_quantity(0.030, "mm") == "30 mm");
    CHECK(format_quantity(206e9, "GPa") == "206 GPa");
    CHECK(format_quantity(313.15, "C") == "40 C");
    CHECK(format_quantity(7850.0, "kg/m3") == "7850 kg/m3");
    CHECK(format_quantity(0.005, "%") == "0.5 %");
    CHECK(format_quantity(0.0, "bar") == "0 bar");
    CHECK(format_quantity(0.7, "") == "0.7");

    std::mt19937_64 random(2);
    std::uniform_real_distribution<double> exponent(-6.0, 6.0);
    for (const char* symbol : {"mm", "in", "deg", "ml", "psi", "GPa", "N/mm", "mm2/s", "%", "F", ""}) {
        for (int i = 0; i < 200; ++i) {
            const double si = std::pow(10.0, exponent(random));
            // A scale with another zero loses what is small beside that zero.
            const bool is_shifted = unit(symbol).zero != 0.0;
            const double back = parse_quantity(format_quantity(si, symbol), symbol);
            CHECK_THAT(back, WithinAbs(si, is_shifted ? 1e-15 * (si + 300.0) : 1e-15 * si));
        }
    }
}

TEST_CASE("a quantity is rounded in its unit and carries no digits of another", "[core][units]") {
    CHECK(rounded_to(363.6e-6, 0, "ml") == parse_quantity("364 ml", "ml"));
    CHECK(format_quantity(rounded_to(363.6e-6, 0, "ml"), "ml") == "364 ml");
    CHECK(format_quantity(rounded_to(11.94e-3, 1, "mm"), "mm") == "11.9 mm");
    for (int ml = 1; ml <= 999; ++ml) {
        const std::string text = std::to_string(ml) + " ml";
        CHECK(format_quantity(rounded_to(ml * 1e-6 + 0.3e-6, 0, "ml"), "ml") == text);
    }
    // 25 lbf/in are 4.37817088... N/mm (NIST SP 811).
    CHECK(told_quantity(parse_quantity("25 lbf/in", "N/mm"), "N/mm") == "4.3782 N/mm");
    CHECK(told_quantity(parse_quantity("5 lbf", "N"), "N") == "22.241 N");
    CHECK(told_quantity(1234.56e-6, "ml") == "1234.56 ml");
    CHECK(told_quantity(0.0, "mm") == "0 mm");
    CHECK(told_quantity(parse_quantity("40 C", "C"), "C") == "40 C");
}
