#include <valve/flow/leak.hpp>

#include <numbers>

namespace valve::flow {

double leak_conductance(const AnnularGap& gap, double dynamic_viscosity) {
    return std::numbers::pi * gap.diameter * gap.gap * gap.gap * gap.gap *
           (1.0 + 1.5 * gap.eccentricity * gap.eccentricity) / (12.0 * dynamic_viscosity * gap.length);
}

} // namespace valve::flow
