#include <valve/core/findings.hpp>
#include <valve/damper/check.hpp>
#include <valve/damper/limits.hpp>

#include <fmt/format.h>

#include <string>

namespace valve::damper {

Findings check(const CurveOptions& options) {
    Findings findings;
    for (const double speed : options.speeds)
        require(findings, "speeds", speed, {-fastest_rod, fastest_rod, "m/s"});
    if (options.travel) require(findings, "travel", *options.travel, or_none(lengths));
    require(findings, "top_speed", options.top_speed, above_zero_to(fastest_rod, "m/s"));
    return findings;
}

Findings check(const SupportGoal& goal) {
    Findings findings;
    if (goal.sag) require(findings, "sag", *goal.sag, lengths);
    if (goal.free_sag) require(findings, "free_sag", *goal.free_sag, lengths);
    if (goal.end_force) require(findings, "end_force", *goal.end_force, forces);
    return findings;
}

Findings check(const Buildable& limits) {
    Findings findings;
    const auto both = [&](const std::string& key, const Bounds& bounds, const Limits& each) {
        const bool has_low = require(findings, key + ".low", bounds.low, each);
        if (require(findings, key + ".high", bounds.high, each) && has_low && bounds.low > bounds.high)
            add_error(findings, key + ".low",
                      fmt::format("{:.6g} is more than the high end, {:.6g}", bounds.low, bounds.high),
                      key + ".high");
    };
    both("rate", limits.rate, spring_rates);
    both("preload", limits.preload, or_none(lengths));
    both("oil", limits.oil, or_none(volumes));
    return findings;
}

Findings check(const MeasuredRun& run) {
    Findings findings;
    for (const MeasuredPoint& point : run.points) {
        require(findings, "speed", point.speed, {-fastest_rod, fastest_rod, "m/s"});
        require(findings, "force", point.force, {-largest_force, largest_force, "N"});
        require_count(findings, "count", point.count, 1, 1'000'000'000);
    }
    return findings;
}

} // namespace valve::damper
