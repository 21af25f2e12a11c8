#include <valve/core/root.hpp>
#include <valve/damper/sag.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace valve::damper {

namespace {

/// Throws SolveError where there is none.
template <class Function>
double root_between(const Function& function, double low, double high) {
    const Root root = find_root(function, low, high, 0.5 * (low + high));
    if (!root.converged) throw SolveError("no travel was found that gives the force or energy asked for");
    return root.x;
}

double weight_on_wheel(const Load& load, bool with_rider) {
    return mass_on_wheel(load, with_rider) * standard_gravity;
}

/// Where `rising(x)`, a ValueSlope that rises along the travel, passes zero.
template <class Function>
Position crossing(const SupportLaw& law, const Function& rising) {
    if (rising(0.0).value >= 0.0) return {0.0, AtEnd::extended};
    if (rising(law.travel()).value <= 0.0) return {law.travel(), AtEnd::compressed};
    return {root_between(rising, 0.0, law.travel()), AtEnd::no};
}

/// By springs, gas and `friction` together up to `travel` [J], and the force that takes it [N].
ValueSlope taken(const SupportLaw& law, double travel, double friction) {
    const SupportPoint point = law.at(travel);
    return {point.energy + friction * travel, point.force + friction};
}

} // namespace

double mass_on_wheel(const Load& load, bool with_rider) {
    return load.sprung_mass + (with_rider ? load.rider_share * load.rider_mass : 0.0);
}

double force_of(const Load& load, bool with_rider, double travel) {
    return weight_on_wheel(load, with_rider) / Linkage(load).at_travel(travel).slope;
}

Position position_under(const SupportLaw& law, double force) {
    return crossing(law, [&](double travel) {
        const SupportPoint point = law.at(travel);
        return ValueSlope{point.force - force, point.slope};
    });
}

Position travel_used(const SupportLaw& law, double energy, double friction) {
    return crossing(law, [&](double travel) {
        const ValueSlope up_to = taken(law, travel, friction);
        return ValueSlope{up_to.value - energy, up_to.slope};
    });
}

double energy_left(const SupportLaw& law, double energy, double friction) {
    return std::max(0.0, energy - taken(law, law.travel(), friction).value);
}

Position rest_under(const Linkage& linkage, double full, double weight,
                    const std::function<ValueSlope(double)>& force) {
    const double most = linkage.wheel_travel(full);
    const auto excess = [&](double w) {
        const Linkage::Value unit = linkage.at(w);
        const ValueSlope carried = at_wheel(unit, force(std::clamp(unit.travel, 0.0, full)));
        return ValueSlope{carried.value - weight, carried.slope};
    };
    if (excess(0.0).value >= 0.0) return {0.0, AtEnd::extended};
    const int steps = linkage.kinks().empty() ? 1 : 200; // by one ratio r F only rises
    double low = 0.0;
    for (int i = 1; i <= steps; ++i) {
        const double high = i == steps ? most : most * i / steps;
        if (excess(high).value > 0.0)
            return {std::clamp(linkage.at(root_between(excess, low, high)).travel, 0.0, full), AtEnd::no};
        low = high;
    }
    return {full, AtEnd::compressed};
}

Sag sag(const SupportLaw& law, const Load& load, bool with_rider) {
    const Linkage linkage(load);
    const double weight = weight_on_wheel(load, with_rider);
    const auto rest_with = [&](double friction) {
        return rest_under(linkage, law.travel(), weight, [&](double travel) {
            const SupportPoint point = law.at(travel);
            return ValueSlope{point.force + friction, point.slope};
        });
    };
    Sag result;
    result.rest = rest_with(0.0);
    result.least = rest_with(law.breakaway());
    result.most = rest_with(-law.breakaway());
    result.wheel_travel = linkage.wheel_travel(result.rest.travel);
    result.force = weight / linkage.at(result.wheel_travel).slope;
    return result;
}

std::optional<double> ride_frequency(const SupportLaw& law, const Load& load) {
    const Sag found = sag(law, load, true);
    if (found.rest.at_end != AtEnd::no) return std::nullopt;
    const SupportPoint point = law.at(found.rest.travel);
    const double rate = at_wheel(Linkage(load).at(found.wheel_travel), {point.force, point.slope}).slope;
    if (!(rate >= 0.0)) return std::nullopt; // only where r F turns within one step of the search
    return std::sqrt(rate / mass_on_wheel(load, true)) / (2.0 * std::numbers::pi);
}

} // namespace valve::damper
