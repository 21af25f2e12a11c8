#pragma once

#include <valve/setup/read.hpp>
#include <valve/study/ride_event.hpp>

#include <string>
#include <vector>

namespace valve::study {

/// A valve under the name that the file gives it: "base.refill"; "valve" for one alone.
struct NamedValve {
    std::string name;
    const flow::Valve* valve; ///< part of the reading
};

std::vector<NamedValve> valves_of(const setup::Reading& reading);

/// The damper that `file` describes. Throws InputError for a file with one valve alone.
const damper::SetUp& unit_of(const std::string& file, const setup::Reading& reading);

/// Throws InputError where `file` does not say what a ride needs: a wheel, and the masses on it.
void require_wheel(const std::string& file, const setup::Reading& reading);

/// Throws InputError where the wheel of `vehicle` cannot ride the event of `file`.
void require_ground(const std::string& file, const motion::Event& event, const motion::Vehicle& vehicle);

/// Both, of all `events`; of none nothing is required.
void require_rides(const std::string& file, const setup::Reading& reading,
                   const std::vector<RideEvent>& events);

} // namespace valve::study
