#pragma once

#include <valve/setup/document.hpp>

#include <span>
#include <string_view>

namespace valve::study {

/// Which answers may rest on a key.
enum class CountsIn {
    all,  ///< those at steady speed and at rest, too
    time, ///< motion in time alone: cycles and rides
    rides ///< rides alone
};

/// Of a dotted key of a set-up with a damper.
CountsIn counts_in(std::string_view key);

/// Of what differs: of a map what all keys that differ in it have in common.
CountsIn counts_in(const setup::Difference& difference);

/// The keys that count in time alone; those of valves, which come last, below the valve.
std::span<const std::string_view> keys_in_time();

} // namespace valve::study
