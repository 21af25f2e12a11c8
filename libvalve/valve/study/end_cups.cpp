#include <valve/study/end_cups.hpp>

namespace valve::study {

std::vector<Warning> end_cup_warnings(damper::OnsetSearch& search) {
    using damper::Stroke;
    constexpr double turbulent = 2000.0; // flow between plates, by twice the gap (from memory)
    std::vector<Warning> warnings;
    for (const Stroke stroke : {Stroke::compression, Stroke::rebound}) {
        const char* place = stroke == Stroke::compression ? "damper.end_of_stroke" : "damper.top_out";
        if (const std::optional<double> speed = search.cup_empty(stroke).from())
            warnings.push_back({.kind = WarningKind::cup_empty, .place = place, .speed = speed});
        if (const std::optional<double> speed = search.cup_reynolds_above(stroke, turbulent).from())
            warnings.push_back(
                {.kind = WarningKind::cup_turbulent, .place = place, .speed = speed, .value = turbulent});
    }
    return warnings;
}

} // namespace valve::study
