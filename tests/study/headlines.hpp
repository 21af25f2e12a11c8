#pragma once

#include <valve/study/causes.hpp>

/// Headlines made by hand, so that what is made of them can be tested without a solver. The numbers are
/// invented.
namespace valve::samples {

/// Every figure of a damper without support: 100 N for each m/s, a deficit of 0.4 bar, no onset.
inline study::Headline headline() {
    study::Headline result{0.15, 4.0};
    for (const study::FigureRequest& request : study::headline_requests({})) {
        study::Figure figure{request.quantity, request.speed, std::nullopt, "", request.travel_share};
        const study::FigureKind& kind = study::kind_of(request.quantity);
        if (request.quantity == study::Quantity::damping_force)
            figure.value = 100.0 * *request.speed;
        else if (kind.measure == study::Measure::pressure)
            figure.value = 0.4e5;
        else if (!kind.is_onset)
            figure.value = 8.0;
        result.figures.push_back(figure);
    }
    return result;
}

inline study::Figure& figure(study::Headline& headline, study::Quantity quantity,
                             std::optional<double> speed = std::nullopt) {
    for (study::Figure& one : headline.figures)
        if (one.quantity == quantity && one.speed == speed) return one;
    throw std::invalid_argument("no such figure");
}

/// With a deficit at 1 m/s [Pa] and an onset of voids on rebound [m/s].
inline study::Headline headline(double deficit_at_1, std::optional<double> onset = std::nullopt) {
    study::Headline result = headline();
    figure(result, study::Quantity::refill_deficit, -1.0).value = deficit_at_1;
    figure(result, study::Quantity::void_onset_rebound).value = onset;
    return result;
}

inline setup::Difference difference(const std::string& key) {
    return {key, "1", "2"};
}

} // namespace valve::samples
