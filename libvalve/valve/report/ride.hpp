#pragma once

#include <valve/report/json.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/ride.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// What is known of the files behind a study of rides.
struct RideNames {
    struct Side {
        std::string title;
        std::string file;
        std::string other_leg = {}; ///< file of the leg that differs; empty: none does
        std::vector<setup::DefaultUsed> defaults = {};
    };
    struct Event {
        std::string title;
        std::string file;
        motion::Event event;
        std::vector<setup::DefaultUsed> defaults = {};
    };
    std::vector<Side> sides;
    std::vector<Event> events;
};

/// Rides as `valve ride` shows them: event by event, a row a metric, a column a set-up; below, what the
/// metrics mean and how the balances close.
std::string text(const std::vector<study::RideFigures>& rides, const RideNames& names);

/// That valves (`who`: "Valves", "A: valves") follow the pressure at once, and why.
std::string quasi_static_words(const std::string& who, const study::ValvesInTime& valves);

/// The rides as `rides[]` of the results, in the order given.
Json json(const std::vector<study::RideFigures>& rides, const RideNames& names);

/// What a page draws of the rides of one set-up: event, metrics in a sentence, series_to_draw(), the ground
/// itself by straight lines within 0.5 mm, or as near as 20,000 points come. `wheel_radius` [m].
Json rides_to_draw(const std::vector<study::RideFigures>& rides, const std::vector<RideNames::Event>& events,
                   double wheel_radius);

/// The series of all rides, one row a moment.
std::string series_csv(const std::vector<study::RideFigures>& rides, const RideNames& names);

} // namespace valve::report
