#include <valve/core/findings.hpp>
#include <valve/damper/gas.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/leg_air.hpp>
#include <valve/damper/support.hpp>
#include <valve/damper/support_check.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace valve::damper {

namespace {

const Support& support_of(const SetUp& setup) {
    if (!setup.support)
        throw InputError("support: missing: the springs, leg air and friction of the vehicle");
    refuse_errors<InputError>(check_static(setup), "");
    return *setup.support;
}

/// One part of the force of one leg, with its derivative and its integral over the travel.
struct Part {
    double force = 0.0;
    double slope = 0.0;
    double energy = 0.0;
};

Part coil(const MainSpring& spring, double x) {
    Part part{spring.rate * (spring.preload + x), spring.rate, spring.rate * (spring.preload + 0.5 * x) * x};
    if (spring.second && x >= spring.second->from) {
        const double beyond = x - spring.second->from;
        const double more = spring.second->rate - spring.rate;
        part.force += more * beyond;
        part.slope += more;
        part.energy += 0.5 * more * beyond * beyond;
    }
    return part;
}

Part top_out(const EndSpring& spring, double x) {
    const double passed = std::min(x, spring.length);
    const double left = spring.length - passed;
    return {-spring.rate * left, left > 0.0 ? spring.rate : 0.0,
            -spring.rate * (spring.length - 0.5 * passed) * passed};
}

Part stop(const EndSpring& spring, double travel, double x) {
    const double into = x - (travel - spring.length);
    if (into < 0.0) return {};
    return {spring.rate * into, spring.rate, 0.5 * spring.rate * into * into};
}

/// Leg air on the area of one square metre.
Part air(const Leg& leg, const Cartridge& cartridge, double x) {
    const double area = air_area(leg, cartridge);
    const double volume = air_volume(leg);
    return {gas_pressure(leg.pressure, volume, leg.exponent, area * x),
            gas_stiffness(leg.pressure, volume, leg.exponent, area * x) * area, leg_work(leg, cartridge, x)};
}

/// The parts outside the cartridge, of all legs; null where a unit has none.
struct Parts {
    Part spring;
    Part gas;
    Part top_out;
    Part stop;
    Part outside; ///< around one rod, on the area of one square metre
};

Part times(double legs, const Part& part) {
    return {legs * part.force, legs * part.slope, legs * part.energy};
}

Parts parts_at(double x, const Support& support, const Cartridge& cartridge) {
    Parts parts;
    const double legs = support.legs;
    if (support.spring) parts.spring = times(legs, coil(*support.spring, x));
    parts.outside = {p_atm, 0.0, p_atm * x};
    if (support.leg) {
        const double area = circle_area(support.leg->diameter);
        parts.outside = air(*support.leg, cartridge, x);
        parts.gas = times(legs, {(parts.outside.force - p_atm) * area, parts.outside.slope * area,
                                 (parts.outside.energy - p_atm * x) * area});
    }
    if (support.top_out) parts.top_out = times(legs, top_out(*support.top_out, x));
    if (support.stop) parts.stop = times(legs, stop(*support.stop, cartridge.travel, x));
    return parts;
}

/// Adds `part` to the sum of a point.
template <class Point>
void add(Point& point, const Part& part) {
    point.force += part.force;
    point.slope += part.slope;
    point.energy += part.energy;
}

} // namespace

SupportLaw::SupportLaw(const SetUp& setup)
    : m_support(support_of(setup)), m_cartridge(setup.cartridge), m_reservoir(setup),
      m_rod_area(rod_area(setup.cartridge)),
      m_reservoir_friction(m_rod_area * m_reservoir.friction_pressure()) {}

SpringPoint SupportLaw::springs(double travel) const {
    const Parts parts = parts_at(travel, m_support, m_cartridge);
    SpringPoint point;
    for (const Part& part : {parts.spring, parts.gas, parts.top_out, parts.stop})
        add(point, part);
    return point;
}

std::vector<double> SupportLaw::kinks() const {
    std::vector<double> travels;
    if (m_support.spring && m_support.spring->second) travels.push_back(m_support.spring->second->from);
    if (m_support.top_out) travels.push_back(m_support.top_out->length);
    if (m_support.stop) travels.push_back(m_cartridge.travel - m_support.stop->length);
    return travels;
}

SupportPoint SupportLaw::at(double travel) const {
    if (!(travel >= 0.0 && travel <= m_cartridge.travel))
        throw InputError(fmt::format("a travel of {:.4g} mm lies outside the damper's, 0 to {:.4g} mm",
                                     travel * 1e3, m_cartridge.travel * 1e3));
    const Parts parts = parts_at(travel, m_support, m_cartridge);
    SupportPoint point;
    point.travel = travel;
    if (m_support.leg) point.p_leg = parts.outside.force;
    const double taken = m_rod_area * travel;
    point.p_S = m_reservoir.pressure(travel, taken);
    Part reservoir;
    if (m_cartridge.layout != Layout::open_cartridge)
        reservoir = times(m_support.legs,
                          {m_rod_area * (point.p_S - parts.outside.force),
                           m_rod_area * (m_rod_area * m_reservoir.stiffness(taken) - parts.outside.slope),
                           m_reservoir.work(taken) - m_rod_area * parts.outside.energy});
    for (const Part& part : {parts.spring, parts.gas, reservoir, parts.top_out, parts.stop})
        add(point, part);
    point.spring = parts.spring.force;
    point.gas = parts.gas.force;
    point.reservoir = reservoir.force;
    point.top_out = parts.top_out.force;
    point.stop = parts.stop.force;
    return point;
}

} // namespace valve::damper
