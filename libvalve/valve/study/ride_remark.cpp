#include <valve/study/ride_remark.hpp>

#include <algorithm>

namespace valve::study {

namespace {

using motion::Event;
using motion::EventKind;
using motion::RideMetrics;
using RideRemarks = std::vector<RideRemark>;

/// One of two, by whether the value keeps to its limit.
void judge(RideRemarks& said, RideRule kept, RideRule broken, double value, double limit,
           std::optional<double> amount = std::nullopt) {
    said.push_back({value <= limit ? kept : broken, value, limit, amount});
}

/// Whether what is met near the level is small; the ruts of braking are not. Roads have no height of bumps.
bool is_small(const Event& event) {
    return event.kind != EventKind::braking && event.height <= small_height;
}

/// The stop, or, of what comes near it, what is left before it.
void add_end(RideRemarks& said, const RideMetrics& metrics, bool is_hit) {
    const double reserve = reserve_share * metrics.full_travel;
    const double left = metrics.full_travel - metrics.peak_travel;
    if (metrics.metal_speed)
        said.push_back({RideRule::bottoms_out, *metrics.metal_speed, 0.0});
    else if (left >= reserve) { // into a long stop a wheel goes on every bump
        if (is_hit) said.push_back({RideRule::has_reserve, left, reserve});
    } else if (metrics.closing_speed)
        judge(said, RideRule::meets_stop, RideRule::bottoms_out, *metrics.closing_speed, soft_closing, left);
    else
        said.push_back({RideRule::uses_nearly_all, left, reserve});
}

} // namespace

std::vector<RideRemark> for_the_rider(const RideFigures& ride, const motion::Event& event) {
    RideRemarks said;
    if (ride.error) return said;
    const RideMetrics& metrics = ride.ride.metrics;
    const bool on_ground = event.kind != EventKind::landing && ride.ride.begin.has_value();
    if (on_ground && metrics.small_bumps && is_small(event))
        judge(said, RideRule::swallows, RideRule::passes_on, *metrics.small_bumps, calm_acceleration);
    if (on_ground)
        judge(said, RideRule::grips, RideRule::skips, metrics.wheel_load_variation, even_load,
              metrics.off_ground_share);
    if (const std::optional<double> packing = ride.packing())
        judge(said, RideRule::holds_up, RideRule::packs_down, *packing, ready_travel);
    if (event.kind == EventKind::braking)
        judge(said, RideRule::stays_up, RideRule::dives, metrics.mean_travel - metrics.start_travel,
              dive_share * metrics.full_travel);
    add_end(said, metrics, event.kind == EventKind::landing);
    if (metrics.extension_speed && *metrics.extension_speed > soft_extension)
        said.push_back({RideRule::tops_out, *metrics.extension_speed, soft_extension});
    return said;
}

} // namespace valve::study
