#pragma once

#include <valve/setup/read.hpp>
#include <valve/study/cycle.hpp>
#include <valve/study/evaluation.hpp>

#include <optional>
#include <vector>

namespace valve::study {

/// The figures of one set-up; the same requests in the same order for every set-up that is compared.
struct Headline {
    double travel = 0.0;    ///< [m]
    double top_speed = 0.0; ///< to which onsets were sought [m/s]
    stack::Theory theory = stack::Theory::linear;
    bool bends = false;                              ///< stacks are followed as they bend round the ring
    std::optional<double> hit = std::nullopt;        ///< behind `hit_travel` [J]
    std::optional<double> heavy_load = std::nullopt; ///< behind `heavy_load_travel` [N]
    std::vector<Figure> figures = {};
    std::optional<ValvesInTime> ride_valves = std::nullopt; ///< how they moved in rides, where one was ridden
    std::optional<ValvesInTime> cycle_valves = std::nullopt; ///< in cycles, likewise
    std::vector<double> swinging = {}; ///< frequencies at which CycleFigures::swings_tell() [Hz]

    /// Some figure could not be solved.
    bool failed() const;
};

/// What can be said of every one of several set-ups.
struct HeadlineParts {
    bool margin = true; ///< the balance margin decides; else the headroom of the rod side
    bool end_cups = false;
    bool stress = false;  ///< strips state what they bear
    bool support = false; ///< springs and gas
    bool sag = false;     ///< the wheel's load
};

/// Cups where one set-up at least has them; the others where all have them. All readings hold a damper.
HeadlineParts parts_of(const std::vector<const setup::Reading*>& readings);

/// The figures that sum up a damper, in the order of a headline; last those of dynamometer cycles at
/// `frequencies` [Hz] and of rides over `events`.
std::vector<FigureRequest> headline_requests(const HeadlineParts& parts,
                                             const std::vector<double>& frequencies = {},
                                             const std::vector<RideEvent>& events = {});

/// The figures that sum up a cycle at `frequency` [Hz].
std::vector<FigureRequest> cycle_requests(double frequency);

/// The figures that sum up a ride over `event`: what is no news there is left out.
std::vector<FigureRequest> ride_requests(const RideEvent& event);

Headline headline(Evaluation& of, const std::vector<FigureRequest>& requests);

} // namespace valve::study
