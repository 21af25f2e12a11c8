#include <valve/core/constants.hpp>
#include <valve/core/error.hpp>
#include <valve/core/number.hpp>
#include <valve/core/text.hpp>
#include <valve/core/units.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <utility>
#include <vector>

namespace valve {
namespace {

// Exact by definition: NIST SP 811 (2008), appendix B.8.
constexpr double inch_um = 25400.0;             // [µm]
constexpr double foot_um = 12.0 * inch_um;      // [µm]
constexpr double mile_mm = 1609344.0;           // [mm]
constexpr double hour = 3600.0;                 // [s]
constexpr double pound = 0.45359237;            // [kg]
constexpr double gravity = standard_gravity;    // [m/s²]
constexpr double pound_force = pound * gravity; // [N]
constexpr double square_inch = 6.4516e-4;       // [m²]

constexpr std::array units{
    Unit{"", Dimension::ratio},
    Unit{"%", Dimension::ratio, 1.0, 100.0},
    Unit{"m", Dimension::length},
    Unit{"cm", Dimension::length, 1.0, 100.0},
    Unit{"mm", Dimension::length, 1.0, 1e3},
    Unit{"um", Dimension::length, 1.0, 1e6},
    Unit{"in", Dimension::length, inch_um, 1e6},
    Unit{"ft", Dimension::length, foot_um, 1e6},
    Unit{"m2", Dimension::area},
    Unit{"cm2", Dimension::area, 1.0, 1e4},
    Unit{"mm2", Dimension::area, 1.0, 1e6},
    Unit{"in2", Dimension::area, square_inch},
    Unit{"m3", Dimension::volume},
    Unit{"l", Dimension::volume, 1.0, 1e3},
    Unit{"L", Dimension::volume, 1.0, 1e3},
    Unit{"ml", Dimension::volume, 1.0, 1e6},
    Unit{"mL", Dimension::volume, 1.0, 1e6},
    Unit{"cc", Dimension::volume, 1.0, 1e6},
    Unit{"cm3", Dimension::volume, 1.0, 1e6},
    Unit{"mm3", Dimension::volume, 1.0, 1e9},
    Unit{"rad", Dimension::angle},
    Unit{"deg", Dimension::angle, std::numbers::pi, 180.0},
    Unit{"kg", Dimension::mass},
    Unit{"g", Dimension::mass, 1.0, 1e3},
    Unit{"lb", Dimension::mass, pound},
    Unit{"K", Dimension::temperature},
    Unit{"C", Dimension::temperature, 1.0, 1.0, zero_celsius},
    Unit{"F", Dimension::temperature, 5.0, 9.0, zero_celsius - 160.0 / 9.0},
    Unit{"Pa", Dimension::pressure},
    Unit{"kPa", Dimension::pressure, 1e3},
    Unit{"MPa", Dimension::pressure, 1e6},
    Unit{"GPa", Dimension::pressure, 1e9},
    Unit{"mbar", Dimension::pressure, 100.0},
    Unit{"bar", Dimension::pressure, 1e5},
    Unit{"psi", Dimension::pressure, pound_force, square_inch},
    Unit{"N/mm2", Dimension::pressure, 1e6},
    Unit{"N", Dimension::force},
    Unit{"kN", Dimension::force, 1e3},
    Unit{"lbf", Dimension::force, pound_force},
    Unit{"kgf", Dimension::force, gravity},
    Unit{"N/m", Dimension::spring_rate},
    Unit{"N/mm", Dimension::spring_rate, 1e3},
    Unit{"kN/m", Dimension::spring_rate, 1e3},
    Unit{"lbf/in", Dimension::spring_rate, pound_force * 1e6, inch_um},
    Unit{"lb/in", Dimension::spring_rate, pound_force * 1e6, inch_um}, // as springs are marked
    Unit{"kgf/mm", Dimension::spring_rate, gravity * 1e3},
    Unit{"kg/m3", Dimension::density},
    Unit{"g/cm3", Dimension::density, 1e3},
    Unit{"g/ml", Dimension::density, 1e3},
    Unit{"kg/l", Dimension::density, 1e3},
    Unit{"m2/s", Dimension::kinematic_viscosity},
    Unit{"mm2/s", Dimension::kinematic_viscosity, 1.0, 1e6},
    Unit{"cSt", Dimension::kinematic_viscosity, 1.0, 1e6},
    Unit{"m/s", Dimension::speed},
    Unit{"mm/s", Dimension::speed, 1.0, 1e3},
    Unit{"km/h", Dimension::speed, 1e3, hour},
    Unit{"in/s", Dimension::speed, inch_um, 1e6},
    Unit{"ft/s", Dimension::speed, foot_um, 1e6},
    Unit{"mph", Dimension::speed, mile_mm, 1e3 * hour},
    Unit{"1/K", Dimension::thermal_expansion},
    Unit{"1/C", Dimension::thermal_expansion},
    Unit{"s", Dimension::time},
    Unit{"ms", Dimension::time, 1.0, 1e3},
    Unit{"Hz", Dimension::frequency},
    Unit{"N s/m", Dimension::damping},
    Unit{"N s/mm", Dimension::damping, 1e3},
    Unit{"m/s2", Dimension::acceleration},
    Unit{"J", Dimension::energy},
    Unit{"kJ", Dimension::energy, 1e3},
};

struct DimensionText {
    std::string_view name;
    std::string_view with_article;
    double example; // a likely number in the unit that keys document
};

const DimensionText& text_of(Dimension dimension) {
    static constexpr std::array<DimensionText, 19> texts{{
        {"ratio", "a plain number", 0.5},
        {"length", "a length", 20.0},
        {"area", "an area", 13.0},
        {"volume", "a volume", 350.0},
        {"angle", "an angle", 20.0},
        {"mass", "a mass", 0.02},
        {"temperature", "a temperature", 40.0},
        {"pressure", "a pressure", 1.5},
        {"force", "a force", 20.0},
        {"spring rate", "a spring rate", 1.2},
        {"density", "a density", 850.0},
        {"kinematic viscosity", "a kinematic viscosity", 16.0},
        {"speed", "a speed", 0.5},
        {"thermal expansion", "a thermal expansion", 7.5e-4},
        {"time", "a time", 0.5},
        {"frequency", "a frequency", 4.0},
        {"damping", "a damping", 400.0},
        {"acceleration", "an acceleration", 9.8},
        {"energy", "an energy", 120.0},
    }};
    return texts.at(static_cast<std::size_t>(dimension));
}

/// One spelling for the many ways to write a unit: "mm²/s", "mm^2 / s" → "mm2/s"; "°C" → "C"; "°" → "deg".
std::string plain_symbol(std::string_view written) {
    static constexpr std::array<std::pair<std::string_view, std::string_view>, 8> spellings{
        {{"²", "2"}, {"³", "3"}, {"µ", "u"}, {"μ", "u"}, {"°", ""}, {"º", ""}, {"^", ""}, {" ", ""}}};
    std::string symbol;
    while (!written.empty()) {
        bool replaced = false;
        for (const auto& [from, to] : spellings) {
            if (!written.starts_with(from)) continue;
            symbol += to;
            written.remove_prefix(from.size());
            replaced = true;
            break;
        }
        if (replaced) continue;
        symbol += written.front();
        written.remove_prefix(1);
    }
    return symbol;
}

const Unit* find_unit(std::string_view written) {
    const std::string symbol = written == "°" ? std::string("deg") : plain_symbol(written);
    if (symbol.empty() && !written.empty()) return nullptr; // only signs that have no meaning alone
    const auto found = std::find_if(units.begin(), units.end(), [&](const Unit& candidate) {
        return plain_symbol(candidate.symbol) == symbol;
    });
    return found == units.end() ? nullptr : &*found;
}

std::vector<std::string> symbols_of(Dimension dimension) {
    std::vector<std::string> symbols;
    for (const Unit& candidate : units) {
        if (candidate.dimension == dimension && !candidate.symbol.empty()) {
            symbols.emplace_back(candidate.symbol);
        }
    }
    return symbols;
}

std::string with_unit(std::string_view number, std::string_view symbol) {
    return symbol.empty() ? std::string(number) : fmt::format("{} {}", number, symbol);
}

/// The number's text and the unit's, "0.15 mm" or "0.15mm".
std::pair<std::string_view, std::string_view> split(std::string_view text) {
    std::size_t end = text.find_first_of(" \t");
    if (end == std::string_view::npos) {
        // Without a blank the number ends at the last digit or point that only digits, points, signs,
        // separators and exponents precede.
        end = 0;
        for (std::size_t i = 0; i < text.size(); ++i) {
            const bool digit = text[i] >= '0' && text[i] <= '9';
            if (digit || text[i] == '.') {
                end = i + 1;
            } else if (std::string_view("+-,_'eE").find(text[i]) == std::string_view::npos) {
                break;
            }
        }
    }
    return {text.substr(0, end), trimmed(text.substr(end))};
}

} // namespace

std::string_view name(Dimension dimension) {
    return text_of(dimension).name;
}

const Unit& unit(std::string_view symbol) {
    if (const Unit* found = find_unit(symbol)) return *found;
    throw std::invalid_argument(fmt::format("no unit {}", in_quotes(symbol)));
}

std::string quantity_example(std::string_view unit_symbol) {
    const Unit& in = unit(unit_symbol);
    const DimensionText& text = text_of(in.dimension);
    return fmt::format("{}, e.g. {}", text.with_article, with_unit(format_number(text.example), in.symbol));
}

double to_si(double value, const Unit& in) {
    return value * in.numerator / in.denominator + in.zero;
}

double from_si(double value, const Unit& in) {
    return (value - in.zero) * in.denominator / in.numerator;
}

double rounded(double si, int digits, std::string_view unit_symbol) {
    const Unit& in = unit(unit_symbol);
    return to_si(parse_number(fmt::format("{:.{}g}", from_si(si, in), digits)), in);
}

double rounded_to(double si, int decimals, std::string_view unit_symbol) {
    const Unit& in = unit(unit_symbol);
    return to_si(parse_number(fmt::format("{:.{}f}", from_si(si, in), decimals)), in);
}

double parse_quantity(std::string_view text, std::string_view bare_unit) {
    const Unit& documented = unit(bare_unit);
    text = trimmed(text);
    if (text.empty())
        throw InputError(fmt::format("nothing is written; expected {}", quantity_example(bare_unit)));
    const auto [number, symbol] = split(text);
    if (number.empty()) {
        throw InputError(
            fmt::format("{} is not a number; expected {}", in_quotes(text), quantity_example(bare_unit)));
    }
    if (number == "0" && symbol.size() > 1 && (symbol[0] == 'x' || symbol[0] == 'X')) {
        return parse_number(text); // hexadecimal: says so
    }
    const double value = parse_number(number);
    const Unit* written = symbol.empty() ? &documented : find_unit(symbol);
    if (written == nullptr) {
        const std::vector<std::string> known = symbols_of(documented.dimension);
        throw InputError(fmt::format("{} has no unit that is known; expected {}{}{}", in_quotes(text),
                                     quantity_example(bare_unit),
                                     known.empty() ? "" : fmt::format("; known: {}", fmt::join(known, ", ")),
                                     did_you_mean(symbol, known)));
    }
    if (written->dimension != documented.dimension) {
        throw InputError(fmt::format("{} is {}; expected {}", in_quotes(text),
                                     text_of(written->dimension).with_article, quantity_example(bare_unit)));
    }
    const double si = to_si(value, *written);
    if (!std::isfinite(si)) throw InputError(fmt::format("{} is too large", in_quotes(text)));
    if (written->dimension == Dimension::temperature && si < 0.0) {
        throw InputError(fmt::format("{} is below absolute zero", in_quotes(text)));
    }
    return si;
}

std::string format_quantity(double si, std::string_view unit_symbol) {
    const Unit& in = unit(unit_symbol);
    const double value = from_si(si, in);
    for (int digits = 1; digits <= 17; ++digits) {
        const double rounded = parse_number(fmt::format("{:.{}g}", value, digits));
        if (to_si(rounded, in) == si) return with_unit(format_number(rounded), in.symbol);
    }
    return with_unit(format_number(value), in.symbol);
}

std::string told_quantity(double si, std::string_view unit_symbol) {
    constexpr double rounding = 1e-12;
    const double six = rounded(si, 6, unit_symbol);
    const bool says_it = std::abs(six - si) <= rounding * std::abs(si);
    return format_quantity(says_it ? six : rounded(si, 5, unit_symbol), unit_symbol);
}

} // namespace valve
