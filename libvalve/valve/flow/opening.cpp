#include <valve/flow/opening.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace valve::flow {

namespace {

using std::numbers::pi;

double circle_diameter(double area) {
    return std::sqrt(4.0 * area / pi);
}

Opening shape(const Needle& needle) {
    const double d = needle.seat_diameter;
    const double cosine = std::cos(needle.cone_angle / 2.0);
    const double gap = needle.per_click * needle.clicks * std::sin(needle.cone_angle / 2.0);
    // The frustum grows to its maximum at this gap and is larger than the seat there: from the seat's area on
    // the seat throttles, not the needle.
    const double widest = d / (2.0 * cosine);
    const double frustum = gap < widest ? pi * gap * (d - gap * cosine) : circle_area(d);
    return {std::min(frustum, circle_area(d)), std::min(2.0 * gap, d)};
}

Opening shape(const Hole& hole) {
    return {hole.count * circle_area(hole.diameter), hole.diameter};
}

Opening shape(const Notch& notch) {
    const double round = circle_diameter(notch.area);
    return {notch.area, notch.depth ? std::min(2.0 * *notch.depth, round) : round};
}

} // namespace

double circle_area(double diameter) {
    return pi * diameter * diameter / 4.0;
}

Opening opening(const Ports& ports) {
    return {ports.count * ports.area_each, circle_diameter(ports.area_each)};
}

double port_length(const Valve& valve) {
    constexpr double usual = 10e-3;
    return valve.ports.length.value_or(valve.stack.disc ? 0.0 : usual);
}

double curtain_length(const Valve& valve) {
    return valve.curtain_length.value_or(2.0 * pi * valve.stack.seat.inner_radius);
}

bool opens_over_ports(const Valve& valve) {
    return valve.curtain_length && valve.stack.windows > 0 && !valve.stack.disc;
}

Opening curtain_gap(double length, double lift) {
    return {length * lift, 2.0 * lift};
}

std::optional<Opening> opening(const Bleed& bleed) {
    const Opening result = std::visit([](const auto& kind) { return shape(kind); }, bleed);
    if (result.area <= 0.0) return std::nullopt;
    return result;
}

} // namespace valve::flow
