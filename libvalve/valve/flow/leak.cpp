#include <valve/flow/leak.hpp>

#include <numbers>

namespace valve::flow {

double leak_conductance(const AnnularGap& gap, double dynamic_viscosity) {
    return std::numbers::pi * gap.diameter * gap.gap * gap.gap * gap.gap *
           (1.0 + 1.5 * gap.eccentricity * gap.eccentricity) / (12.0 * dynamic_viscosity * gap.length);
}

double leak_conductance(const TaperedGap& gap, double dynamic_viscosity) {
    const double product = gap.gap_from * gap.gap_to;
    return std::numbers::pi * gap.diameter * product * product /
           (6.0 * dynamic_viscosity * gap.length * (gap.gap_from + gap.gap_to));
}

} // namespace valve::flow
