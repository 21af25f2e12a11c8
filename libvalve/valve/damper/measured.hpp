#pragma once

#include <valve/damper/steady.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace valve::damper {

/// What a force of a run holds: the whole force on the rod, or, with the dynamometer set to zero at rest, the
/// damping force.
enum class MeasuredForce { rod, damping };

/// Whether the rod gains or loses speed within its stroke. On a loop, forces differ by the way.
enum class SpeedTrend { gaining, losing };

constexpr std::string_view name(SpeedTrend trend) {
    return trend == SpeedTrend::gaining ? "gaining" : "losing";
}

/// Forces measured at one speed.
struct MeasuredPoint {
    double speed = 0.0;                           ///< of the rod, positive in compression [m/s]
    double force = 0.0;                           ///< mean, positive outwards [N]
    int count = 0;                                ///< how many were measured
    std::optional<SpeedTrend> way = std::nullopt; ///< none: the run is no loop

    bool operator==(const MeasuredPoint&) const = default;
};

/// A dynamometer run: forces by rising speed, each speed once, of a loop once each way.
struct MeasuredRun {
    MeasuredForce kind = MeasuredForce::rod;
    std::vector<MeasuredPoint> points;
};

/// A measured force beside the predicted one.
struct Deviation {
    MeasuredPoint measured;
    std::optional<double> predicted;  ///< of the same kind [N]
    std::optional<std::string> error; ///< why there is none

    std::optional<double> difference() const; ///< measured less predicted [N]
};

/// A run beside the prediction, solved at the speeds of the run.
struct Deviations {
    std::vector<Deviation> points;    ///< by rising speed
    std::optional<double> mean;       ///< of the differences at the solved speeds [N]
    std::optional<double> rms;        ///< root of the mean of their squares [N]
    std::optional<double> rms_share;  ///< of the root mean square of the measured forces [-]
    std::optional<std::size_t> worst; ///< index of the largest difference
};

/// `run` beside `model` at `travel` [m]. Throws InputError for check(run).
Deviations deviations(const Model& model, const MeasuredRun& run, double travel, RodInto rod_into);

} // namespace valve::damper
