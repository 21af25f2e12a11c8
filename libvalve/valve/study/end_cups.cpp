#include <valve/study/end_cups.hpp>

#include <cmath>

namespace valve::study {

namespace {

using damper::Stroke;

/// The fastest point that was solved with the plug going in.
const damper::SteadyPoint* fastest_in(const damper::Curve& curve, Stroke stroke) {
    const damper::SteadyPoint* fastest = nullptr;
    for (const damper::SteadyPoint& point : curve.points) {
        const bool goes_in = (point.speed > 0.0) == (stroke == Stroke::compression) && point.speed != 0.0;
        if (point.error || !goes_in) continue;
        if (fastest == nullptr || std::abs(point.speed) > std::abs(fastest->speed)) fastest = &point;
    }
    return fastest;
}

/// The slowest point at which the cup at the end of `stroke` has run empty.
const damper::SteadyPoint* slowest_empty(const damper::Curve& curve, Stroke stroke) {
    const damper::SteadyPoint* slowest = nullptr;
    for (const damper::SteadyPoint& point : curve.points) {
        const bool leaves = (point.speed < 0.0) == (stroke == Stroke::compression) && point.speed != 0.0;
        if (point.error || !leaves || !point.is_cup_empty) continue;
        if (slowest == nullptr || std::abs(point.speed) < std::abs(slowest->speed)) slowest = &point;
    }
    return slowest;
}

} // namespace

std::vector<Warning> end_cup_warnings(const damper::Model& model, const damper::Curve& curve) {
    constexpr double turbulent = 2000.0; // flow between plates, by twice the gap (from memory)
    std::vector<Warning> warnings;
    for (const Stroke stroke : {Stroke::compression, Stroke::rebound}) {
        const damper::EndCupLaw* cup = model.end_cup(stroke);
        const char* place = stroke == Stroke::compression ? "damper.end_of_stroke" : "damper.top_out";
        if (const damper::SteadyPoint* empty = slowest_empty(curve, stroke))
            warnings.push_back(
                {.kind = WarningKind::cup_empty, .place = place, .speed = std::abs(empty->speed)});
        const damper::SteadyPoint* point = fastest_in(curve, stroke);
        if (cup == nullptr || point == nullptr || point->end_pressure.value_or(0.0) <= 0.0) continue;
        const double depth = model.end_depth(stroke, curve.travel);
        if (const double reynolds = cup->reynolds(depth, *point->end_pressure); reynolds > turbulent)
            warnings.push_back({.kind = WarningKind::cup_turbulent,
                                .place = place,
                                .speed = std::abs(point->speed),
                                .value = reynolds});
    }
    return warnings;
}

} // namespace valve::study
