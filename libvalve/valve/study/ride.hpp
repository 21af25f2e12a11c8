#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/motion/ride.hpp>
#include <valve/study/cycle.hpp>
#include <valve/study/dead_travel.hpp>

#include <functional>
#include <optional>
#include <stop_token>
#include <string>
#include <vector>

namespace valve::study {

/// What is ridden: one end of a bike. The two legs of a fork may differ; they share springs' load and travel.
struct RideSide {
    damper::SetUp setup; ///< with its support and load
    std::optional<damper::SetUp> other_leg = std::nullopt;
    motion::Vehicle vehicle;
};

struct RideQuestion {
    std::vector<RideSide> sides;
    std::vector<motion::Event> events;                   ///< each side rides each
    std::optional<motion::Valves> valves = std::nullopt; ///< none: moving where every valve can
    motion::Accuracy accuracy = motion::Accuracy::fine;
    std::stop_token stop = {};
    std::function<void(std::size_t ride, double time)> progress = {}; ///< called by several threads
};

/// A valve that swings by itself.
struct SwingingValve {
    std::size_t unit = 0; ///< of the ride's
    damper::Place place = damper::Place::base_compression;
    int swings = 0; ///< in the stroke of the rod that has the most
};

/// One side over one event.
struct RideFigures {
    std::size_t side = 0; ///< of the question's
    std::size_t event = 0;
    ValvesInTime valves;
    motion::Accuracy accuracy = motion::Accuracy::fine;
    stack::Theory theory = stack::Theory::linear;
    motion::Ride ride;
    double temperature_rise =
        0.0;                   ///< of the oil of C and R, of the unit that warms most, nothing given off [K]
    ReversalsInto compression; ///< dead travel there, of the unit where it is largest
    ReversalsInto rebound;
    /// Those with ringing_swings or more, of units whose force is far above the steady one at its largest.
    std::vector<SwingingValve> swinging;
    std::optional<std::string> error; ///< then nothing else holds

    /// Largest start travel of a row of bumps after the first less that of the first [m]; none of fewer than
    /// two.
    std::optional<double> packing() const;
};

/// Every side over every event, sides first, as many at once as the machine has cores; the results do not
/// depend on how many. A ride that cannot be run carries its reason. Throws InputError for a side without
/// support or load, motion::Stopped, and as damper::LiftCache::model().
std::vector<RideFigures> ride_study(const RideQuestion& question, damper::LiftCache& cache);

} // namespace valve::study
