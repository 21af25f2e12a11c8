#include <valve/report/ride_fields.hpp>

#include <algorithm>
#include <array>

namespace valve::report {

namespace {

using motion::RideMetrics;
using motion::UnitInRide;
using study::RideFigures;
using F = Field<RideFigures>;

template <auto Member>
Value metric(const RideFigures& of) {
    return value_of(of.ride.metrics.*Member);
}

/// Means and shares, which a ride that meets nothing has none of.
template <auto Member>
Value counted(const RideFigures& of) {
    return of.ride.begin ? value_of(of.ride.metrics.*Member) : Value{};
}

/// Of the unit where it is least, or greatest.
template <auto Member>
Value least(const RideFigures& of) {
    const std::vector<UnitInRide>& units = of.ride.metrics.units;
    if (units.empty()) return {};
    double value = units.front().*Member;
    for (const UnitInRide& unit : units)
        value = std::min(value, unit.*Member);
    return value_of(value);
}
template <auto Member>
Value greatest(const RideFigures& of) {
    const std::vector<UnitInRide>& units = of.ride.metrics.units;
    if (units.empty()) return {};
    double value = units.front().*Member;
    for (const UnitInRide& unit : units)
        value = std::max(value, unit.*Member);
    return value_of(value);
}

constexpr std::array ride{
    F{{"start_travel_m", "travel at the start", "start", Magnitude::length, 1},
      metric<&RideMetrics::start_travel>},
    F{{"peak_travel_m", "largest travel", "largest", Magnitude::length, 1},
      metric<&RideMetrics::peak_travel>},
    F{{"travel_left_m", "travel left", "left", Magnitude::length, 1},
      [](const RideFigures& of) {
          return value_of(of.ride.metrics.full_travel - of.ride.metrics.peak_travel);
      }},
    F{{"residual_travel_m", "travel at the end", "end", Magnitude::length, 1},
      metric<&RideMetrics::residual_travel>},
    F{{"packing_m", "deeper at later bumps", "packing", Magnitude::length, 1},
      [](const RideFigures& of) { return value_of(of.packing()); }},
    F{{"mean_travel_m", "mean travel", "mean", Magnitude::length, 1}, counted<&RideMetrics::mean_travel>},
    F{{"travel_drift_m", "drift of the mean travel", "drift", Magnitude::length, 1},
      counted<&RideMetrics::travel_drift>},
    F{{"closing_speed_m_s", "speed as the stop is met", "at stop", Magnitude::speed, 2},
      metric<&RideMetrics::closing_speed>},
    F{{"metal_speed_m_s", "speed as metal is met", "at metal", Magnitude::speed, 2},
      metric<&RideMetrics::metal_speed>},
    F{{"extension_speed_m_s", "speed at full extension", "topped out", Magnitude::speed, 2},
      metric<&RideMetrics::extension_speed>},
    F{{"peak_speed_compression_m_s", "fastest in", "in", Magnitude::speed, 2},
      metric<&RideMetrics::peak_speed_compression>},
    F{{"peak_speed_rebound_m_s", "fastest out", "out", Magnitude::speed, 2},
      metric<&RideMetrics::peak_speed_rebound>},
    F{{"dead_travel_compression_m", "dead travel into compression", "dead in", Magnitude::length, 2},
      [](const RideFigures& of) { return value_of(of.compression.dead_travel); }},
    F{{"dead_travel_rebound_m", "dead travel into rebound", "dead out", Magnitude::length, 2},
      [](const RideFigures& of) { return value_of(of.rebound.dead_travel); }},
    F{{"rms_acceleration_m_s2", "harshness, r.m.s.", "harsh", Magnitude::acceleration, 2},
      counted<&RideMetrics::rms_acceleration>},
    F{{"peak_acceleration_m_s2", "harshness, peak", "peak", Magnitude::acceleration, 1},
      counted<&RideMetrics::peak_acceleration>},
    F{{"small_bump_acceleration_m_s2", "small bumps, r.m.s.", "small", Magnitude::acceleration, 2},
      counted<&RideMetrics::small_bumps>},
    F{{"stuck_share", "time that it sticks", "sticks", Magnitude::share, 1},
      counted<&RideMetrics::stuck_share>},
    F{{"wheel_load_variation", "grip: variation of the load", "load", Magnitude::share, 1},
      counted<&RideMetrics::wheel_load_variation>},
    F{{"low_load_share", "grip: time below a fifth of the load", "light", Magnitude::share, 1},
      counted<&RideMetrics::low_load_share>},
    F{{"off_ground_share", "grip: time off the ground", "off", Magnitude::share, 1},
      counted<&RideMetrics::off_ground_share>},
    F{{"lowest_p_C_Pa", "lowest pressure in C", "lowest C", Magnitude::gauge, 2},
      least<&UnitInRide::lowest_p_C>},
    F{{"lowest_p_R_Pa", "lowest pressure in R", "lowest R", Magnitude::gauge, 2},
      least<&UnitInRide::lowest_p_R>},
    F{{"highest_p_C_Pa", "highest pressure in C", "highest C", Magnitude::gauge, 1},
      greatest<&UnitInRide::highest_p_C>},
    F{{"highest_p_R_Pa", "highest pressure in R", "highest R", Magnitude::gauge, 1},
      greatest<&UnitInRide::highest_p_R>},
    F{{"largest_void_C_m3", "largest void in C", "void C", Magnitude::volume, 2},
      greatest<&UnitInRide::largest_void_C>},
    F{{"largest_void_R_m3", "largest void in R", "void R", Magnitude::volume, 2},
      greatest<&UnitInRide::largest_void_R>},
    F{{"temperature_rise_K", "the oil warms by", "warms", Magnitude::warming, 2},
      [](const RideFigures& of) { return value_of(of.temperature_rise); }},
};

using motion::RideLosses;
template <std::size_t Place>
double valve(const RideFigures& of) {
    return of.ride.losses.valves[Place];
}
template <auto Member>
double lost(const RideFigures& of) {
    return of.ride.losses.*Member;
}

constexpr std::array parts{
    EnergyPart{"base.compression", valve<0>},
    EnergyPart{"base.refill", valve<1>},
    EnergyPart{"piston.compression", valve<2>},
    EnergyPart{"piston.rebound", valve<3>},
    EnergyPart{"base bleeds", lost<&RideLosses::base_bleeds>},
    EnergyPart{"piston bleeds and leak", lost<&RideLosses::piston_bleeds>},
    EnergyPart{"cups", lost<&RideLosses::cups>},
    EnergyPart{"reservoir friction", lost<&RideLosses::reservoir_friction>},
    EnergyPart{"friction", lost<&RideLosses::friction>},
    EnergyPart{"tyre", lost<&RideLosses::tyre>},
    EnergyPart{"metal", lost<&RideLosses::metal>},
};

} // namespace

Fields<RideFigures> ride_fields() {
    return ride;
}

std::span<const EnergyPart> energy_parts() {
    return parts;
}

} // namespace valve::report
