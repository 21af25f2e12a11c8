#pragma once

#include <valve/damper/spec.hpp>
#include <valve/motion/moment.hpp>
#include <valve/report/json.hpp>

#include <algorithm>
#include <cstddef>
#include <span>
#include <string>
#include <utility>

namespace valve::report {

/// `lift_m`: the seat lift of each valve over the moments of a run, by its name [m]. `at(moment)` is the
/// damper's motion::Moment.
template <class Moments, class At>
Json lifts_of(std::span<const damper::Place> valves, const Moments& moments, const At& at) {
    Json lifts = Json::object();
    for (const damper::Place place : valves) {
        Json list = Json::array();
        for (const auto& moment : moments)
            list.push_back(std::max(0.0, at(moment).valves[static_cast<std::size_t>(place)].lift));
        lifts[std::string(damper::name(place))] = std::move(list);
    }
    return lifts;
}

/// Puts what the columns of a series hold at one moment into a row of CSV; lifts as `lift_VALVE_m`.
void add_moment(Json& row, const Json& series, std::size_t moment);

} // namespace valve::report
