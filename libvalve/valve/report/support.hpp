#pragma once

#include <valve/damper/choose.hpp>
#include <valve/damper/leg_air.hpp>
#include <valve/damper/support.hpp>
#include <valve/report/json.hpp>
#include <valve/setup/read.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::report {

struct SupportOptions {
    std::vector<double> travels = {};         ///< [m]; empty: evenly over the travel
    std::optional<double> hit = std::nullopt; ///< energy that a hit from full extension brings [J]
};

/// A support that is to be chosen, and the choice.
struct SupportChoice {
    damper::SupportGoal goal;
    damper::Buildable limits;
    damper::Choice choice;
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

/// A hit where none is stated, as a share of the energy to full travel.
inline constexpr double usual_hit = 0.7;

/// The support of a file. Throws InputError for a file with one valve alone or without support, and for
/// travels outside the damper's.
SupportResult support_result(std::string file, setup::Reading reading, const SupportOptions& options);

/// What a hit of `energy` [J] uses of the travel.
void set_hit(SupportResult& result, double energy);

Json json(const damper::SupportPoint& point, const damper::SupportLaw& law);
Json json(const SupportResult& result);

/// "1.88 Hz"; "none".
std::string hertz(const std::optional<double>& frequency);

/// "two legs, each: spring 4.8 N/mm, 6 mm of preload; …": what a file says, for a check by eye.
std::string summary(const damper::Support& support);

/// Title, file, and what a tuner reads first.
std::string headline(const SupportResult& result);

/// Forces, rate, energy and pressures over the travel.
std::string travel_table(const SupportResult& result);

/// Headline, choice and table.
std::string text(const SupportResult& result);

} // namespace valve::report
