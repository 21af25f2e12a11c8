#pragma once

#include <valve/core/findings.hpp>

namespace valve::motion::detail {

/// What the options of a cycle and of a ride share; of the samples, the least number that means something.
template <class Options>
Findings check_run(const Options& options, long least_samples) {
    constexpr long most_steps_of_all = 1'000'000'000'000;
    Findings findings;
    require(findings, "relative_error", options.relative_error, above_zero_to(0.1, ""));
    require(findings, "pressure_error", options.pressure_error, above_zero_to(1.0, "bar"));
    require(findings, "energy_error", options.energy_error, above_zero_to(1.0, ""));
    require_count(findings, "most_steps", options.most_steps, 1, most_steps_of_all);
    require_count(findings, "samples", options.samples, least_samples, 1'000'000);
    return findings;
}

} // namespace valve::motion::detail
