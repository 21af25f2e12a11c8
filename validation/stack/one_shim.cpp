#include <stack/one_shim.hpp>
#include <valve/plate/detail/element.hpp>
#include <valve/stack/detail/load.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace valve::validation {
namespace {

using stack::RestsOn;

constexpr double two_pi = 2.0 * std::numbers::pi;

double stiffness(const OneShim& shim) {
    return plate::bending_stiffness(plate::Material{}, shim.thickness);
}

bool on_hub(const RoarkSupports& held) {
    return held.inner == EdgeSupport::simple || held.inner == EdgeSupport::fixed;
}

bool at_rim(const RoarkSupports& held) {
    return held.outer == EdgeSupport::simple;
}

/// The shim with its inner edge, without load or float.
stack::Stack bare(const OneShim& shim) {
    const RoarkSupports& held = supports(shim.letter);
    if (held.outer != EdgeSupport::simple && held.outer != EdgeSupport::free)
        throw std::invalid_argument("no valve holds the outer edge of a shim so");
    const bool level = held.inner == EdgeSupport::fixed || held.inner == EdgeSupport::guided;
    stack::Stack stack;
    stack.shims = {{shim.rim, shim.thickness, {}}};
    stack.clamp_radius = stack.bore_radius = shim.inner_ratio * shim.rim;
    stack.edge = level ? stack::InnerEdge::guided : stack::InnerEdge::free;
    return stack;
}

/// Deflections of the shim's nodes [m].
const std::vector<double>& lifts(const stack::StackShape& shape) {
    return shape.shims.front().lift;
}

std::vector<double> ratios(const stack::StackShape& shape, double rim) {
    std::vector<double> ratios;
    for (const double radius : shape.shims.front().radius)
        ratios.push_back(radius / rim);
    return ratios;
}

} // namespace

std::vector<stack::StackShape> solved(const stack::Stack& stack, std::span<const double> pressures,
                                      stack::Theory theory) {
    const double end = std::max(1.0, *std::max_element(pressures.begin(), pressures.end()));
    const stack::Solution solution(stack, {.theory = theory, .max_pressure = end});
    std::vector<stack::StackShape> shapes;
    for (const double pressure : pressures)
        shapes.push_back(solution.shape(pressure));
    return shapes;
}

stack::Float soft_float(double preload, double ring_radius, double spring_radius, RestsOn rests_on) {
    return {.travel = 1.0,
            .spring_rate = 1e-3,
            .preload = preload,
            .ring_radius = ring_radius,
            .spring_radius = spring_radius,
            .stop_radius = ring_radius,
            .rests_on = rests_on};
}

ShimCoefficients under_ring(const OneShim& shim, double from) {
    const RoarkSupports& held = supports(shim.letter);
    const double a = shim.rim;
    const double b = shim.inner_ratio * a;
    stack::Stack stack = bare(shim);
    stack.zone = {b, a};
    stack.seat = {a, a, at_rim(held) ? 0.0 : far_below};
    stack.floating = soft_float(100.0, b, from * a, on_hub(held) ? RestsOn::hub : RestsOn::seat);

    const stack::StackShape shape = solved(stack, std::array{0.0}, stack::Theory::linear).front();
    ShimCoefficients k;
    k.radius = ratios(shape, a);
    double at_spring = 0.0;
    for (std::size_t n = 0; n < k.radius.size(); ++n)
        if (std::abs(k.radius[n] - from) < 1e-9) at_spring = lifts(shape)[n];
    const double force = stack.floating->preload + stack::closing_rate(stack) * at_spring;
    const double w = force / (two_pi * from * a);
    for (const double lift : lifts(shape))
        k.deflection.push_back(lift * stiffness(shim) / (w * a * a * a));
    k.inner_shear = shape.state.hub_force / (two_pi * b * w);
    k.outer_shear = -shape.state.seat_force / (two_pi * a * w);
    k.stress = shape.state.peak.stress * shim.thickness * shim.thickness / (6.0 * w * a);
    k.stress_radius = shape.state.peak.radius / a;
    k.load_parts = {{RoarkLoad::ring, from, 1.0}};
    return k;
}

ShimCoefficients under_pressure(const OneShim& shim, double from, double full, double end) {
    constexpr double pressure = 1e7; // so high that every shim here meets its stop [Pa]
    const RoarkSupports& held = supports(shim.letter);
    const double a = shim.rim;
    const double b = shim.inner_ratio * a;
    stack::Stack stack = bare(shim);
    stack.zone = {from * a, full * a};
    stack.seat = {full * a, end * a, 0.0};
    if (shim.letter == 'l') {
        stack.edge = stack::InnerEdge::clamped;
    } else {
        // On the hub a preload that no pressure here overcomes; else a spring that pushes on the stop.
        const double preload = on_hub(held) ? 4.0 * pressure * stack::load_area(stack) : 0.0;
        stack.floating = soft_float(preload, b, at_rim(held) && !on_hub(held) ? a : b,
                                    on_hub(held) ? RestsOn::hub : RestsOn::seat);
        if (at_rim(held)) {
            stack.floating->stop_radius = a;
            stack.floating->travel = 1e-7;
        }
    }

    // What a second pressure adds to a first one under which stop or hub hold the shim already.
    const std::vector<stack::StackShape> shapes =
        solved(stack, std::array{pressure, 2.0 * pressure}, stack::Theory::linear);
    const auto added = [&](double stack::LiftPoint::*force) {
        return shapes[1].state.*force - shapes[0].state.*force;
    };
    ShimCoefficients k;
    k.radius = ratios(shapes.front(), a);
    for (std::size_t n = 0; n < k.radius.size(); ++n)
        k.deflection.push_back((lifts(shapes[0])[n] - lifts(shapes[1])[n]) * stiffness(shim) /
                               (pressure * std::pow(a, 4)));
    k.inner_shear = -added(&stack::LiftPoint::hub_force) / (two_pi * b * pressure * a);
    k.outer_shear = -added(&stack::LiftPoint::stop_force) / (two_pi * a * pressure * a);
    k.stress = (shapes[1].state.peak.stress - shapes[0].state.peak.stress) * shim.thickness * shim.thickness /
               (6.0 * pressure * a * a);
    k.stress_radius = shapes[1].state.peak.radius / a;

    // A pressure that falls from `full` to `end` is an even one less one that rises as fast, up to `end`.
    k.load_parts = {{RoarkLoad::pressure, from, 1.0}};
    const double slope = end > full ? 1.0 / (end - full) : 0.0;
    if (end > full) k.load_parts.push_back({RoarkLoad::rising, full, -slope * (1.0 - full)});
    if (end > full && end < 1.0) k.load_parts.push_back({RoarkLoad::rising, end, slope * (1.0 - end)});
    if (end == full && end < 1.0) k.load_parts.push_back({RoarkLoad::pressure, end, -1.0});
    return k;
}

EdgeCoefficients expected_at(double radius, const OneShim& shim, std::span<const LoadPart> parts) {
    EdgeCoefficients sum;
    for (const LoadPart& part : parts) {
        const EdgeCoefficients k =
            roark_at(static_cast<long double>(radius), part.load, supports(shim.letter),
                     static_cast<long double>(shim.inner_ratio), static_cast<long double>(part.from),
                     static_cast<long double>(plate::Material{}.poisson_ratio));
        sum.deflection += part.factor * k.deflection;
        sum.slope += part.factor * k.slope;
        sum.moment += part.factor * k.moment;
        sum.hoop_moment += part.factor * k.hoop_moment;
        sum.shear += part.factor * k.shear;
    }
    return sum;
}

double mises(const EdgeCoefficients& k) {
    return std::sqrt(k.moment * k.moment - k.moment * k.hoop_moment + k.hoop_moment * k.hoop_moment);
}

} // namespace valve::validation
