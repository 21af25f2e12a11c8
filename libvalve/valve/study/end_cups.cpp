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

} // namespace

std::vector<Warning> end_cup_warnings(const damper::Model& model, const damper::Curve& curve) {
    constexpr double turbulent = 2000.0; // flow between plates, by twice the gap (from memory)
    std::vector<Warning> warnings;
    for (const Stroke stroke : {Stroke::compression, Stroke::rebound}) {
        const damper::EndCupLaw* cup = model.end_cup(stroke);
        const damper::SteadyPoint* point = fastest_in(curve, stroke);
        if (cup == nullptr || point == nullptr || point->end_pressure.value_or(0.0) <= 0.0) continue;
        const double depth = model.end_depth(stroke, curve.travel);
        if (const double reynolds = cup->reynolds(depth, *point->end_pressure); reynolds > turbulent)
            warnings.push_back(
                {.kind = WarningKind::cup_turbulent,
                 .place = stroke == Stroke::compression ? "damper.end_of_stroke" : "damper.top_out",
                 .speed = std::abs(point->speed),
                 .value = reynolds});
    }
    return warnings;
}

} // namespace valve::study
