#include <valve/core/cubic.hpp>
#include <valve/core/error.hpp>
#include <valve/core/monotone.hpp>
#include <valve/damper/linkage.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

namespace valve::damper {

namespace {

bool rises_from_zero(const std::vector<double>& values) {
    return !values.empty() && values.front() == 0.0 &&
           std::adjacent_find(values.begin(), values.end(), [](double a, double b) { return !(b > a); }) ==
               values.end() &&
           std::isfinite(values.back());
}

} // namespace

Findings check(const LinkageTable& table) {
    Findings findings;
    for (const auto& [key, values] :
         {std::pair{"wheel_travel", &table.wheel_travel}, std::pair{"travel", &table.travel}})
        if (values->size() < 2 || !rises_from_zero(*values))
            add_error(findings, key, "expected two travels or more, rising from 0");
    if (table.wheel_travel.size() != table.travel.size())
        add_error(findings, "travel",
                  fmt::format("expected as many travels as wheel_travel has, {}, got {}",
                              table.wheel_travel.size(), table.travel.size()),
                  "wheel_travel");
    return findings;
}

Linkage::Linkage(const Load& load) {
    if (load.rake.has_value() + load.motion_ratio.has_value() + load.linkage.has_value() != 1)
        throw InputError("support.load: give one of rake (fork), motion_ratio and vehicle.linkage (shock)");
    if (!load.linkage) {
        m_ratio = load.rake ? 1.0 / std::cos(*load.rake) : *load.motion_ratio;
        return;
    }
    refuse_errors<InputError>(check(*load.linkage), "vehicle.linkage.");
    m_wheel_travel = load.linkage->wheel_travel;
    m_travel = load.linkage->travel;
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
    const Cubic cubic(width, {m_travel[i], m_slope[i]}, {m_travel[i + 1], m_slope[i + 1]});
    const ValueSlope x = cubic.at(s);
    return {x.value, x.slope, cubic.bend(s)};
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
    if (!root.converged)
        throw SolveError(fmt::format("no wheel travel found at {:.4g} mm of the unit's", x * 1e3));
    return root.x;
}

} // namespace valve::damper
