#include <valve/core/root.hpp>
#include <valve/damper/sag.hpp>

#include <cmath>
#include <numbers>
#include <stdexcept>

namespace valve::damper {

namespace {

/// Where `rising(x)`, a ValueSlope that rises along the travel, passes zero.
template <class Function>
Position crossing(const SupportLaw& law, const Function& rising) {
    if (rising(0.0).value >= 0.0) return {0.0, AtEnd::extended};
    if (rising(law.travel()).value <= 0.0) return {law.travel(), AtEnd::compressed};
    const Root root = find_root(rising, 0.0, law.travel(), 0.5 * law.travel());
    if (!root.converged) throw SolveError("no travel was found that gives the force or energy asked for");
    return {root.x, AtEnd::no};
}

} // namespace

double travel_ratio(const Load& load) {
    if (load.rake.has_value() == load.motion_ratio.has_value())
        throw std::invalid_argument("travel_ratio: one of rake and motion ratio is needed");
    return load.rake ? 1.0 / std::cos(*load.rake) : *load.motion_ratio;
}

double mass_on_wheel(const Load& load, bool with_rider) {
    return load.sprung_mass + (with_rider ? load.rider_share * load.rider_mass : 0.0);
}

double force_of(const Load& load, bool with_rider) {
    return mass_on_wheel(load, with_rider) * standard_gravity / travel_ratio(load);
}

Position position_under(const SupportLaw& law, double force) {
    return crossing(law, [&](double travel) {
        const SupportPoint point = law.at(travel);
        return ValueSlope{point.force - force, point.slope};
    });
}

Position travel_used(const SupportLaw& law, double energy, double friction) {
    return crossing(law, [&](double travel) {
        const SupportPoint point = law.at(travel);
        return ValueSlope{point.energy + friction * travel - energy, point.force + friction};
    });
}

Sag sag(const SupportLaw& law, double force) {
    return {force, position_under(law, force), position_under(law, force - law.breakaway()),
            position_under(law, force + law.breakaway())};
}

std::optional<double> ride_frequency(const SupportLaw& law, const Load& load) {
    const Position rest = position_under(law, force_of(load, true));
    if (rest.at_end != AtEnd::no) return std::nullopt;
    const double rate = law.at(rest.travel).slope;
    const double ratio = travel_ratio(load);
    return ratio * std::sqrt(rate / mass_on_wheel(load, true)) / (2.0 * std::numbers::pi);
}

} // namespace valve::damper
