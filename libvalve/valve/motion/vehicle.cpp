#include <valve/core/error.hpp>
#include <valve/core/monotone.hpp>
#include <valve/damper/sag.hpp>
#include <valve/motion/vehicle.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>

namespace valve::motion {

namespace {

bool rises_from_zero(const std::vector<double>& values) {
    return !values.empty() && values.front() == 0.0 &&
           std::adjacent_find(values.begin(), values.end(), [](double a, double b) { return !(b > a); }) ==
               values.end() &&
           std::isfinite(values.back());
}

} // namespace

Findings check(const Vehicle& vehicle) {
    Findings findings;
    require(findings, "unsprung", vehicle.unsprung, above_zero_to(500.0, "kg"));
    require(findings, "tyre.rate", vehicle.tyre.rate, above_zero_to(5000.0, "N/mm"));
    require(findings, "tyre.damping", vehicle.tyre.damping, {0.0, 1e5, "N s/m"});
    require(findings, "tyre.radius", vehicle.tyre.radius, {0.0, 2.0, "m"});
    if (vehicle.linkage) {
        const LinkageTable& table = *vehicle.linkage;
        for (const auto& [key, values] : {std::pair{"linkage.wheel_travel", &table.wheel_travel},
                                          std::pair{"linkage.travel", &table.travel}})
            if (values->size() < 2 || !rises_from_zero(*values))
                add_error(findings, key, "expected two travels or more, rising from 0");
        if (table.wheel_travel.size() != table.travel.size())
            add_error(findings, "linkage.travel",
                      fmt::format("expected as many travels as wheel_travel has, {}, got {}",
                                  table.wheel_travel.size(), table.travel.size()),
                      "linkage.wheel_travel");
    }
    return findings;
}

Linkage::Linkage(const Vehicle& vehicle, const damper::Load& load) {
    if (!vehicle.linkage) {
        if (!load.rake && !load.motion_ratio)
            throw InputError("support.load: give rake (fork), motion_ratio (shock) or vehicle.linkage");
        m_ratio = damper::travel_ratio(load);
        return;
    }
    m_wheel_travel = vehicle.linkage->wheel_travel;
    m_travel = vehicle.linkage->travel;
    m_slope = monotone_slopes(m_wheel_travel, m_travel);
}

Linkage::Value Linkage::at(double w) const {
    if (m_travel.empty()) return {m_ratio * w, m_ratio, 0.0};
    if (w <= 0.0) return {m_slope.front() * w, m_slope.front(), 0.0};
    if (w >= m_wheel_travel.back())
        return {m_travel.back() + m_slope.back() * (w - m_wheel_travel.back()), m_slope.back(), 0.0};
    const auto above = std::upper_bound(m_wheel_travel.begin() + 1, m_wheel_travel.end() - 1, w);
    const auto i = static_cast<std::size_t>(above - m_wheel_travel.begin()) - 1;
    const double width = m_wheel_travel[i + 1] - m_wheel_travel[i];
    const double s = (w - m_wheel_travel[i]) / width;
    const ValueSlope x = hermite(width, s, {m_travel[i], m_slope[i]}, {m_travel[i + 1], m_slope[i + 1]});
    const double secant = (m_travel[i + 1] - m_travel[i]) / width;
    const double c2 = 3.0 * secant - 2.0 * m_slope[i] - m_slope[i + 1];
    const double c3 = m_slope[i] + m_slope[i + 1] - 2.0 * secant;
    return {x.value, x.slope, (2.0 * c2 + 6.0 * c3 * s) / width};
}

double Linkage::wheel_travel(double x) const {
    if (m_travel.empty()) return x / m_ratio;
    if (x <= 0.0) return x / m_slope.front();
    if (x >= m_travel.back()) return m_wheel_travel.back() + (x - m_travel.back()) / m_slope.back();
    const Root root = find_root(
        [&](double w) {
            const Value value = at(w);
            return ValueSlope{value.travel - x, value.slope};
        },
        0.0, m_wheel_travel.back(), m_wheel_travel.back() * x / m_travel.back());
    return root.x;
}

} // namespace valve::motion
