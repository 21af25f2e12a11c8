#pragma once

#include <string>
#include <string_view>

namespace valve {

/// What a quantity measures.
enum class Dimension {
    ratio,
    length,
    area,
    volume,
    angle,
    mass,
    temperature,
    pressure,
    force,
    spring_rate,
    density,
    kinematic_viscosity,
    speed,
    thermal_expansion,
    time,
    frequency,
    damping,
    acceleration,
    energy
};

/// "pressure", as in a message.
std::string_view name(Dimension dimension);

/// A unit: value in SI = value · numerator / denominator + zero. Two factors, so that 30 mm is exactly 0.03
/// m.
struct Unit {
    std::string_view symbol;
    Dimension dimension = Dimension::ratio;
    double numerator = 1.0;
    double denominator = 1.0;
    double zero = 0.0; ///< of a temperature scale [K]
};

/// The unit written as `symbol` ("mm2/s", "mm²/s", "°C"; "" is a plain number).
/// Throws std::invalid_argument for one that is not known.
const Unit& unit(std::string_view symbol);

double to_si(double value, const Unit& in);
double from_si(double value, const Unit& in);

/// "a pressure, e.g. 1.5 bar", for a message that says what is expected; in the unit `unit_symbol`.
std::string quantity_example(std::string_view unit_symbol);

/// Reads "0.15 mm" or a bare number, which is in `bare_unit`, and returns it in SI.
/// Throws InputError where the number is not one (see parse_number), the unit is not known, or it does not
/// measure what `bare_unit` does; the caller adds the place.
double parse_quantity(std::string_view text, std::string_view bare_unit);

/// `si` to `digits` of them in the unit `unit_symbol`, as it is read again from a file that is written so
/// [SI].
double rounded(double si, int digits, std::string_view unit_symbol);

/// The same to `decimals` behind the point.
double rounded_to(double si, int decimals, std::string_view unit_symbol);

/// `si` as it can be written in a file: the shortest "0.15 mm" that parse_quantity() reads back as the same
/// value, or, where rounding allows none, one within 1e-15 of it.
std::string format_quantity(double si, std::string_view unit_symbol);

/// `si` as it is told to somebody: to six digits where these say it, as numbers in the unit do, else, as one
/// that was written in another unit, to five.
std::string told_quantity(double si, std::string_view unit_symbol);

} // namespace valve
