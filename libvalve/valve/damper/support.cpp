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

} // namespace

SupportLaw::SupportLaw(const SetUp& setup)
    : m_support(support_of(setup)), m_cartridge(setup.cartridge), m_reservoir(setup),
      m_rod_area(rod_area(setup.cartridge)),
      m_reservoir_friction(m_rod_area * m_reservoir.friction_pressure()) {}

SpringPoint SupportLaw::springs(double travel) const {
    SpringPoint point;
    const double legs = m_support.legs;
    const auto add = [&](const Part& part) {
        point.force += legs * part.force;
        point.slope += legs * part.slope;
        point.energy += legs * part.energy;
    };
    if (m_support.spring) add(coil(*m_support.spring, travel));
    if (m_support.leg) {
        const double area = circle_area(m_support.leg->diameter);
        const Part gas = air(*m_support.leg, m_cartridge, travel);
        add({(gas.force - p_atm) * area, gas.slope * area, (gas.energy - p_atm * travel) * area});
    }
    if (m_support.top_out) add(top_out(*m_support.top_out, travel));
    if (m_support.stop) add(stop(*m_support.stop, m_cartridge.travel, travel));
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
    SupportPoint point;
    point.travel = travel;
    const double legs = m_support.legs;
    const auto add = [&](double& share, const Part& part) {
        share = legs * part.force;
        point.force += legs * part.force;
        point.slope += legs * part.slope;
        point.energy += legs * part.energy;
    };

    if (m_support.spring) add(point.spring, coil(*m_support.spring, travel));
    Part outside{p_atm, 0.0, p_atm * travel};
    if (m_support.leg) {
        const double area = circle_area(m_support.leg->diameter);
        outside = air(*m_support.leg, m_cartridge, travel);
        point.p_leg = outside.force;
        add(point.gas,
            {(outside.force - p_atm) * area, outside.slope * area, (outside.energy - p_atm * travel) * area});
    }
    const double taken = m_rod_area * travel;
    point.p_S = m_reservoir.pressure(travel, taken);
    if (m_cartridge.layout != Layout::open_cartridge)
        add(point.reservoir, {m_rod_area * (point.p_S - outside.force),
                              m_rod_area * (m_rod_area * m_reservoir.stiffness(taken) - outside.slope),
                              m_reservoir.work(taken) - m_rod_area * outside.energy});
    if (m_support.top_out) add(point.top_out, top_out(*m_support.top_out, travel));
    if (m_support.stop) add(point.stop, stop(*m_support.stop, m_cartridge.travel, travel));
    return point;
}

} // namespace valve::damper
