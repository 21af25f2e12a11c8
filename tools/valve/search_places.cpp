#include "search_places.hpp"

#include <valve/core/error.hpp>
#include <valve/core/text.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "usage.hpp"

namespace program {

using valve::damper::Place;

std::vector<Place> places_of(const std::vector<std::string>& names) {
    std::vector<Place> places;
    std::vector<std::string> known;
    for (const Place place : valve::damper::all_places)
        known.emplace_back(valve::damper::name(place));
    for (const std::string& name : names) {
        bool found = false;
        for (const Place place : valve::damper::all_places) {
            if (valve::damper::name(place) != name) continue;
            found = true;
            if (std::find(places.begin(), places.end(), place) == places.end()) places.push_back(place);
        }
        if (!found)
            throw UsageError(fmt::format("--valve: no valve {}{}; there are {}", valve::in_quotes(name),
                                         valve::did_you_mean(name, known), fmt::join(known, ", ")));
    }
    return places;
}

void check_numbers(const valve::study::SearchOptions& options) {
    try {
        valve::study::check(options);
    } catch (const valve::InputError& error) {
        throw UsageError(std::string("--") + error.what()); // members and options have the same names
    }
}

} // namespace program
