#include <valve/study/side_effect.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace valve::study {

int better_way(Quantity quantity) {
    switch (quantity) {
    case Quantity::void_onset_rebound:
    case Quantity::void_onset_compression:
    case Quantity::void_onset_near_extension_rebound:
    case Quantity::void_onset_near_extension_compression:
    case Quantity::balance_negative_from:
    case Quantity::balance_margin:
    case Quantity::headroom_R:
    case Quantity::ports_lead_base_compression:
    case Quantity::ports_lead_piston_compression:
    case Quantity::ports_lead_piston_rebound:
    case Quantity::shims_set_from:
    case Quantity::shims_life_from:
        return 1;
    case Quantity::dead_travel_compression:
    case Quantity::dead_travel_rebound:
    case Quantity::largest_void:
    case Quantity::refill_deficit:
    case Quantity::reservoir_friction:
    case Quantity::felt_reservoir_friction:
    case Quantity::friction:
    case Quantity::breakaway:
    case Quantity::packing:
    case Quantity::closing_speed:
    case Quantity::metal_speed:
    case Quantity::extension_speed:
    case Quantity::ride_dead_travel_compression:
    case Quantity::ride_dead_travel_rebound:
    case Quantity::rms_acceleration:
    case Quantity::peak_acceleration:
    case Quantity::small_bump_acceleration:
    case Quantity::stuck_share:
    case Quantity::wheel_load_variation:
    case Quantity::low_load_share:
    case Quantity::off_ground_share:
    case Quantity::largest_void_C:
    case Quantity::largest_void_R:
    case Quantity::temperature_rise:
        return -1;
    default:
        return 0;
    }
}

SideEffect side_effect(const std::vector<Figure>& from, const std::vector<Figure>& to,
                       const std::vector<FigureRequest>& asked, double top_speed) {
    SideEffect effect;
    std::map<std::pair<Quantity, bool>, double> largest; // by quantity and stroke
    for (std::size_t i = 0; i < from.size(); ++i) {
        const FigureRequest request = from[i].request();
        if (!from[i].error.empty() || std::find(asked.begin(), asked.end(), request) != asked.end()) continue;
        if (!to.at(i).error.empty()) {
            effect.unsolved.push_back(to[i]);
            continue;
        }
        const double before = number(from[i], top_speed);
        const double move = number(to[i], top_speed) - before;
        if (move == 0.0) continue;
        const double steps = move / noticeable_step(request.quantity, before);
        const bool is_gain = move * better_way(request.quantity) > 0.0;
        effect.moves.push_back({from[i], to[i], steps, is_gain});
        if (is_gain) continue;
        double& most = largest[{request.quantity, request.speed.value_or(0.0) < 0.0}];
        most = std::max(most, std::abs(steps));
    }
    for (const auto& [what, steps] : largest)
        effect.steps += steps;
    if (!effect.unsolved.empty()) effect.steps += steps_of_unsolved;
    std::stable_sort(effect.moves.begin(), effect.moves.end(),
                     [](const Move& a, const Move& b) { return std::abs(a.steps) > std::abs(b.steps); });
    return effect;
}

} // namespace valve::study
