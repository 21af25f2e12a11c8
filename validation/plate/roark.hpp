#pragma once

#include <single_plate/single_plate.hpp>

#include <array>

namespace valve::validation {

/// Loads of Roark's Table 11.2, by the number of the case.
enum class RoarkLoad {
    ring = 1,     ///< w per metre at r_o
    pressure = 2, ///< q from r_o to the rim
    rising = 3    ///< pressure from 0 at r_o to q at the rim
};

/// Supports of Roark's Table 11.2, by the letter of the case.
struct RoarkSupports {
    char letter;
    EdgeSupport inner;
    EdgeSupport outer;
};
inline constexpr std::array<RoarkSupports, 12> roark_supports{{
    {'a', EdgeSupport::free, EdgeSupport::simple},
    {'b', EdgeSupport::guided, EdgeSupport::simple},
    {'c', EdgeSupport::simple, EdgeSupport::simple},
    {'d', EdgeSupport::fixed, EdgeSupport::simple},
    {'e', EdgeSupport::free, EdgeSupport::fixed},
    {'f', EdgeSupport::guided, EdgeSupport::fixed},
    {'g', EdgeSupport::simple, EdgeSupport::fixed},
    {'h', EdgeSupport::fixed, EdgeSupport::fixed},
    {'i', EdgeSupport::simple, EdgeSupport::guided},
    {'j', EdgeSupport::fixed, EdgeSupport::guided},
    {'k', EdgeSupport::simple, EdgeSupport::free},
    {'l', EdgeSupport::fixed, EdgeSupport::free},
}};

/// The supports of a letter. Throws std::invalid_argument where the table has none.
const RoarkSupports& supports(char letter);

/// Coefficients K at one edge for a = D = w = q = 1, with the table's signs: load downwards, deflection
/// upwards.
struct EdgeCoefficients {
    double deflection = 0.0;  ///< K_y
    double slope = 0.0;       ///< K_θ
    double moment = 0.0;      ///< K_Mr
    double hoop_moment = 0.0; ///< K_Mt
    double shear = 0.0;       ///< K_Q
};
struct PlateCoefficients {
    EdgeCoefficients inner; ///< at b
    EdgeCoefficients outer; ///< at a
};

/// The closed forms of young_budynas_2002, Table 11.2, in extended precision: near b/a = 0.9 they lose
/// several digits to cancellation. What an edge holds at zero is exactly 0.
PlateCoefficients roark(RoarkLoad load, const RoarkSupports& supports, long double inner,
                        long double load_radius, long double poisson_ratio);

/// The same at the radius r, between b and a.
EdgeCoefficients roark_at(long double radius, RoarkLoad load, const RoarkSupports& supports,
                          long double inner, long double load_radius, long double poisson_ratio);

} // namespace valve::validation
