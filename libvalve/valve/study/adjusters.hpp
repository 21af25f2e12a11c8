#pragma once

#include <valve/setup/read.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace valve::study {

/// What a rider sets from outside, counted out from closed (a needle) or from fully in (a float's spring).
struct Adjuster {
    std::string name; ///< the valve's; where it has both, that of the spring ends in ".float"
    std::string key;  ///< dotted, of the setting
    double setting = 0.0;
    double range = 0.0;
    std::string_view steps; ///< "clicks", "turns"
};

/// Every adjuster of a file, in the order of its valves.
std::vector<Adjuster> adjusters(const setup::Reading& reading);

} // namespace valve::study
