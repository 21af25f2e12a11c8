#pragma once

#include <valve/study/goal.hpp>
#include <valve/study/ride_event.hpp>

#include <string>
#include <vector>

namespace program {

/// What a command reads.
struct Inputs {
    std::vector<std::string> setups;                  ///< those that their `from:` names count as well
    std::vector<valve::study::RideEvent> events = {}; ///< the profiles that they name count as well
    std::vector<std::string> others = {};             ///< drawer, words, measured run, parts of a search

    /// The goal's file and the events of its lines.
    void add(const valve::study::Goal& goal);
};

/// Every file that is read for `inputs`. Throws InputError for a set-up that cannot be read.
std::vector<std::string> files_read(const Inputs& inputs);

} // namespace program
