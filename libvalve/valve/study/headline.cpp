#include <valve/study/headline.hpp>
#include <valve/study/lead.hpp>

#include <algorithm>
#include <set>

namespace valve::study {

bool Headline::failed() const {
    return std::any_of(figures.begin(), figures.end(),
                       [](const Figure& figure) { return !figure.error.empty(); });
}

HeadlineParts parts_of(const std::vector<const setup::Reading*>& readings) {
    const auto all = [&](const auto& has) {
        return std::all_of(readings.begin(), readings.end(),
                           [&](const setup::Reading* reading) { return has(*reading->unit); });
    };
    HeadlineParts parts;
    parts.margin = all([](const damper::SetUp& unit) { return margin_decides(unit); });
    parts.end_cups = !all(
        [](const damper::SetUp& unit) { return !unit.cartridge.end_of_stroke && !unit.cartridge.top_out; });
    parts.stress = std::all_of(readings.begin(), readings.end(),
                               [](const setup::Reading* reading) { return states_limits(*reading); });
    parts.support = all([](const damper::SetUp& unit) { return unit.support.has_value(); });
    parts.sag =
        parts.support && all([](const damper::SetUp& unit) { return unit.support->load.has_value(); });
    return parts;
}

std::vector<FigureRequest> ride_requests(const RideEvent& event) {
    using motion::EventKind;
    const EventKind kind = event->event.kind;
    const bool is_row = kind == EventKind::bumps || kind == EventKind::braking;
    std::vector<FigureRequest> list;
    const auto add = [&](std::initializer_list<Quantity> quantities) {
        for (const Quantity quantity : quantities)
            list.push_back({quantity, std::nullopt, std::nullopt, std::nullopt, event});
    };
    add({Quantity::peak_travel, Quantity::residual_travel});
    if (is_row) add({Quantity::packing});
    if (is_row || kind == EventKind::rough || kind == EventKind::profile) add({Quantity::mean_travel});
    add({Quantity::closing_speed, Quantity::metal_speed, Quantity::extension_speed,
         Quantity::peak_speed_compression, Quantity::peak_speed_rebound,
         Quantity::ride_dead_travel_compression, Quantity::ride_dead_travel_rebound,
         Quantity::rms_acceleration, Quantity::peak_acceleration});
    if (motion::has_small_bumps(kind)) add({Quantity::small_bump_acceleration});
    add({Quantity::stuck_share, Quantity::wheel_load_variation, Quantity::low_load_share,
         Quantity::off_ground_share, Quantity::largest_void_C, Quantity::largest_void_R});
    return list;
}

std::vector<FigureRequest> cycle_requests(double frequency) {
    std::vector<FigureRequest> list;
    for (const Quantity quantity :
         {Quantity::dead_travel_compression, Quantity::dead_travel_rebound, Quantity::largest_void,
          Quantity::peak_force_compression, Quantity::peak_force_rebound})
        list.push_back({quantity, std::nullopt, std::nullopt, frequency});
    return list;
}

std::vector<FigureRequest> headline_requests(const HeadlineParts& parts,
                                             const std::vector<double>& frequencies,
                                             const std::vector<RideEvent>& events) {
    std::vector<FigureRequest> list;
    const auto plain = [&](std::initializer_list<Quantity> quantities) {
        for (const Quantity quantity : quantities)
            list.push_back({quantity});
    };
    const auto at_speeds = [&](Quantity quantity, std::initializer_list<double> speeds) {
        for (const double speed : speeds)
            list.push_back({quantity, speed});
    };
    plain({Quantity::void_onset_rebound, Quantity::void_onset_compression,
           Quantity::void_onset_near_extension_rebound, Quantity::void_onset_near_extension_compression});
    at_speeds(Quantity::refill_deficit, {-0.3, -1.0, -2.0, -3.0});
    if (parts.margin) {
        plain({Quantity::balance_negative_from});
        at_speeds(Quantity::balance_margin, {1.0, 2.0, 3.0});
    } else {
        at_speeds(Quantity::headroom_R, {1.0, 2.0, 3.0});
    }
    at_speeds(Quantity::damping_force, {0.1, 1.0, 3.0, -0.1, -1.0, -3.0});
    plain({Quantity::static_force, Quantity::reservoir_friction, Quantity::felt_reservoir_friction});
    if (parts.end_cups)
        for (const auto& [speed, share] : {std::pair{1.0, 0.98}, {3.0, 0.98}, {-1.0, 0.02}})
            list.push_back({Quantity::end_force, speed, share});
    plain({Quantity::ports_lead_base_compression, Quantity::ports_lead_piston_compression,
           Quantity::ports_lead_piston_rebound});
    if (parts.stress) plain({Quantity::shims_set_from, Quantity::shims_life_from});
    if (parts.sag) plain({Quantity::rider_sag, Quantity::free_sag});
    if (parts.support) {
        plain({Quantity::friction, Quantity::breakaway});
        for (const double share : {0.1, 0.5, 0.9, 1.0})
            list.push_back({Quantity::support_force, std::nullopt, share});
        plain({Quantity::hit_travel, Quantity::heavy_load_travel, Quantity::support_energy});
    }
    for (const double frequency : frequencies)
        for (const FigureRequest& request : cycle_requests(frequency))
            list.push_back(request);
    for (const RideEvent& event : events)
        for (const FigureRequest& request : ride_requests(event))
            list.push_back(request);
    return list;
}

Headline headline(Evaluation& of, const std::vector<FigureRequest>& requests) {
    Headline result{of.travel(), of.options().top_speed, of.model().theory(), of.model().bends()};
    const auto asks = [&](Quantity quantity) {
        return std::any_of(requests.begin(), requests.end(),
                           [&](const FigureRequest& request) { return request.quantity == quantity; });
    };
    if (asks(Quantity::hit_travel)) result.hit = of.hit();
    if (asks(Quantity::heavy_load_travel)) result.heavy_load = of.heavy_load();
    for (const FigureRequest& request : requests)
        result.figures.push_back(evaluate(of, request));
    for (std::size_t i = 0; i < requests.size() && !result.ride_valves; ++i)
        if (requests[i].event && result.figures[i].error.empty())
            result.ride_valves = of.ride(requests[i].event).valves;
    std::set<double> frequencies;
    for (std::size_t i = 0; i < requests.size(); ++i)
        if (requests[i].frequency && result.figures[i].error.empty())
            frequencies.insert(*requests[i].frequency);
    for (const double frequency : frequencies) {
        const CycleStudy& cycle = of.cycles(frequency);
        if (!result.cycle_valves) result.cycle_valves = cycle.valves;
        if (cycle.cycles.front().swings_tell()) result.swinging.push_back(frequency);
    }
    return result;
}

} // namespace valve::study
