#pragma once

#include <valve/motion/moment.hpp>
#include <valve/study/figure.hpp>
#include <valve/study/ride_event.hpp>

#include <optional>
#include <string>
#include <vector>

#include "options.hpp"

namespace program {

/// Events that set-ups are asked to ride, beside what they are asked at rest and at steady speed.
struct RideOptions {
    std::vector<std::string> events; ///< files
    std::string valves;              ///< as given

    /// Reads the files and says their warnings.
    std::vector<valve::study::RideEvent> load() const;

    /// Throws UsageError where `--valves` is given and nothing is ridden: no event, nor one of `figures`.
    void require_ridden(const std::vector<valve::study::FigureRequest>& figures) const;

    /// None: moving where every valve can.
    std::optional<valve::motion::Valves> how() const;
};

/// `--event`, which `description` describes, and `--valves`.
void add_rides(const Command& command, RideOptions& options, const std::string& description);

/// `--valves` alone, of rides and cycles.
void add_valves_in_time(const Command& command, std::string& valves);

/// What `--valves` says; none where it is not given.
std::optional<valve::motion::Valves> valves_in_time(const std::string& valves);

} // namespace program
