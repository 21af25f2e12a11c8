#pragma once

#include <valve/damper/leg_air.hpp>
#include <valve/damper/support.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/choose.hpp>
#include <valve/study/evaluation.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::study {

struct SupportOptions {
    std::vector<double> travels = {}; ///< [m]; empty: evenly over the travel, and where springs begin and end
    std::optional<double> hit = std::nullopt; ///< energy that a hit from full extension brings [J]
};

/// Static support of a set-up, with the figures that a tuner asks for.
struct SupportResult {
    std::string file;
    setup::Reading reading;
    damper::SupportLaw law;
    std::vector<damper::SupportPoint> points = {};
    damper::SupportPoint start = {};               ///< at full extension
    damper::SupportPoint end = {};                 ///< at full travel
    damper::Position half_energy = {};             ///< where half the energy to full travel is taken
    damper::Position unloaded = {};                ///< where it rests without any load
    double rod_start = 0.0;                        ///< starts the rod of one damper, alone in the open [N]
    double hit = 0.0;                              ///< [J]
    bool hit_is_stated = false;                    ///< else it is usual_hit
    damper::Position hit_used = {};                ///< with sliding friction
    damper::Position hit_unrubbed = {};            ///< without
    std::optional<damper::Sag> sag = std::nullopt; ///< with the rider
    std::optional<damper::Sag> free_sag = std::nullopt; ///< without
    std::optional<double> frequency = std::nullopt;     ///< of the ride, with the rider [Hz]
    std::optional<SupportChoice> chosen = std::nullopt;

    const damper::Support& support() const { return *reading.unit->support; }
};

/// The support of a file. Throws InputError for a file with one valve alone or without support, and for
/// travels outside the damper's.
SupportResult support_result(std::string file, setup::Reading reading, const SupportOptions& options);

/// What a hit of `energy` [J] uses of the travel.
void set_hit(SupportResult& result, double energy);

/// Whether two results are a fork and a shock: the two ends of one vehicle.
bool are_two_ends(const std::vector<SupportResult>& results);

/// Makes several results ready to be put side by side: of one end, with the hit of the first; two ends keep
/// their own. Throws InputError for other mixtures of forks and shocks, and for one leg beside a pair.
void align(std::vector<SupportResult>& results);

/// Frequencies of two ends, and front by rear; none where an end does not rest within its travel [Hz].
struct Ride {
    std::optional<double> front, rear, ratio;
};

/// Of two ends, in either order.
Ride ride_of(const std::vector<SupportResult>& ends);

} // namespace valve::study
