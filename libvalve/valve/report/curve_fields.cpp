#include <valve/report/curve_fields.hpp>

#include <array>
#include <cmath>

namespace valve::report {

namespace {

using damper::Deviation;
using damper::PortControl;
using damper::SteadyPoint;
using damper::ThroughValves;
using damper::VoidOnset;

/// Of a point that was solved; none else.
template <auto Member>
Value solved(const SteadyPoint& point) {
    return point.error ? Value{} : value_of(point.*Member);
}

template <auto Member, class Row>
Value of(const Row& row) {
    return value_of(row.*Member);
}

template <auto Valve, auto Member>
Value through(const ThroughValves& valves) {
    return valves.*Valve ? value_of((*(valves.*Valve)).*Member) : Value{};
}

Value cavitated(const SteadyPoint& point) {
    if (!point.cavitated) return {};
    return std::string(*point.cavitated == damper::Chamber::C ? "C" : "R");
}

constexpr auto piston = &ThroughValves::piston;
constexpr auto base = &ThroughValves::base;

using F = Field<SteadyPoint>;
constexpr std::array steady{
    F{{"speed_m_s", "rod speed", "speed", Magnitude::speed, 3, true}, of<&SteadyPoint::speed>},
    F{{"force_N", "total force", "force", Magnitude::force}, solved<&SteadyPoint::force>},
    F{{"damping_force_N", "damping force", "damping", Magnitude::force}, solved<&SteadyPoint::damping_force>},
    F{{"static_force_N", "static force", "static", Magnitude::force}, solved<&SteadyPoint::static_force>},
    F{{"p_C_Pa", "C, behind the piston", "p C", Magnitude::gauge, 2}, solved<&SteadyPoint::p_C>},
    F{{"p_R_Pa", "R, rod side", "p R", Magnitude::gauge, 2}, solved<&SteadyPoint::p_R>},
    F{{"p_S_Pa", "S, reservoir", "p S", Magnitude::gauge, 2}, solved<&SteadyPoint::p_S>},
    F{{"dp_base_Pa", "loss in the base", "base", Magnitude::pressure, 2}, solved<&SteadyPoint::dp_base>},
    F{{"dp_piston_Pa", "loss in the piston", "piston", Magnitude::pressure, 2},
      solved<&SteadyPoint::dp_piston>},
    F{{"refill_deficit_Pa", "refill deficit", "deficit", Magnitude::pressure, 2},
      of<&SteadyPoint::refill_deficit>},
    F{{"balance_margin_Pa", "balance margin", "margin", Magnitude::pressure, 2},
      of<&SteadyPoint::balance_margin>},
    F{{"share_base", "share of the base valve", "base share", Magnitude::share},
      of<&SteadyPoint::share_base>},
    F{{"void_growth_m3_s", "growth of the void", "void grows", Magnitude::flow, 1},
      solved<&SteadyPoint::void_growth>},
    F{{"cavitated", "chamber with a void", "void in"}, cavitated},
    F{{"headroom_C_Pa", "headroom of C", "headroom C", Magnitude::pressure, 2},
      solved<&SteadyPoint::headroom_C>},
    F{{"headroom_R_Pa", "headroom of R", "headroom R", Magnitude::pressure, 2},
      solved<&SteadyPoint::headroom_R>},
    F{{"reservoir_friction_Pa", "reservoir friction", "friction", Magnitude::pressure, 2},
      solved<&SteadyPoint::reservoir_friction>},
    F{{"error", "why there is none", ""}, of<&SteadyPoint::error>},
    F{{"end_force_N", "force of the cup", "cup", Magnitude::force}, of<&SteadyPoint::end_force>},
    F{{"end_pressure_Pa", "pressure in the cup", "in the cup", Magnitude::pressure, 2},
      of<&SteadyPoint::end_pressure>},
    F{{"cup_empty", "a cup is empty as its plug leaves", "cup empty"},
      [](const SteadyPoint& point) {
          return point.error || !point.end_force ? Value{} : Value{point.is_cup_empty};
      }},
    F{{"flow_piston_m3_s", "oil through the piston", "piston flow", Magnitude::flow, 1},
      [](const SteadyPoint& point) { return point.error ? Value{} : value_of(std::abs(point.piston.flow)); }},
    F{{"flow_base_m3_s", "oil through the base", "base flow", Magnitude::flow, 1},
      [](const SteadyPoint& point) { return point.error ? Value{} : value_of(std::abs(point.intake)); }},
    F{{"lift_piston_m", "lift in the piston", "piston lift", Magnitude::length, 3},
      [](const SteadyPoint& point) { return point.error ? Value{} : value_of(point.piston.lift); }},
    F{{"lift_base_m", "lift in the base", "base lift", Magnitude::length, 3},
      [](const SteadyPoint& point) {
          return point.error || !point.base ? Value{} : value_of(point.base->lift);
      }},
};

using T = Field<ThroughValves>;
using flow::Through;
constexpr std::array through_valves{
    T{{"piston_port_velocity_m_s", "oil speed in the piston's ports", "port speed", Magnitude::speed, 1},
      through<piston, &Through::port_velocity>},
    T{{"piston_port_reynolds", "Reynolds number in the piston's ports", "Re", Magnitude::count},
      through<piston, &Through::port_reynolds>},
    T{{"piston_port_loss_Pa", "piston, ports", "ports", Magnitude::pressure, 2},
      through<piston, &Through::port_loss>},
    T{{"piston_curtain_velocity_m_s", "oil speed under the piston's face shim", "curtain speed",
       Magnitude::speed, 1},
      through<piston, &Through::curtain_velocity>},
    T{{"piston_curtain_reynolds", "Reynolds number under the piston's face shim", "Re", Magnitude::count},
      through<piston, &Through::curtain_reynolds>},
    T{{"piston_curtain_loss_Pa", "piston, under the face shim", "curtain", Magnitude::pressure, 2},
      through<piston, &Through::curtain_loss>},
    T{{"base_port_velocity_m_s", "oil speed in the base's ports", "port speed", Magnitude::speed, 1},
      through<base, &Through::port_velocity>},
    T{{"base_port_reynolds", "Reynolds number in the base's ports", "Re", Magnitude::count},
      through<base, &Through::port_reynolds>},
    T{{"base_port_loss_Pa", "base, ports", "ports", Magnitude::pressure, 2},
      through<base, &Through::port_loss>},
    T{{"base_curtain_velocity_m_s", "oil speed under the base's face shim", "curtain speed", Magnitude::speed,
       1},
      through<base, &Through::curtain_velocity>},
    T{{"base_curtain_reynolds", "Reynolds number under the base's face shim", "Re", Magnitude::count},
      through<base, &Through::curtain_reynolds>},
    T{{"base_curtain_loss_Pa", "base, under the face shim", "curtain", Magnitude::pressure, 2},
      through<base, &Through::curtain_loss>},
};

Value ended(const std::optional<VoidOnset::End>& end) {
    return end ? value_of(end->speed) : Value{};
}

using V = Field<VoidOnset>;
constexpr std::array onsets{
    V{{"compression_m_s", "voids on compression from", "compression", Magnitude::speed, 2},
      of<&VoidOnset::compression>},
    V{{"rebound_m_s", "voids on rebound from", "rebound", Magnitude::speed, 2}, of<&VoidOnset::rebound>},
    V{{"compression_searched_to_m_s", "search on compression broke off at", "", Magnitude::speed, 2},
      [](const VoidOnset& onset) { return ended(onset.compression_end); }},
    V{{"rebound_searched_to_m_s", "search on rebound broke off at", "", Magnitude::speed, 2},
      [](const VoidOnset& onset) { return ended(onset.rebound_end); }},
    V{{"error", "why a search broke off", ""},
      [](const VoidOnset& onset) { return value_of(onset.error()); }},
};

using P = Field<PortControl>;
constexpr std::array ports{
    P{{"valve", "valve", "valve"},
      [](const PortControl& port) { return value_of(damper::name(port.place)); }},
    P{{"ports_lead_from_m_s", "chokes from", "chokes from", Magnitude::speed, 2}, of<&PortControl::from>},
    P{{"error", "why the search broke off", ""}, of<&PortControl::error>},
};

using D = Field<Deviation>;
constexpr std::array deviations{
    D{{"speed_m_s", "rod speed", "speed", Magnitude::speed, 3, true},
      [](const Deviation& point) { return value_of(point.measured.speed); }},
    D{{"measured_N", "measured force", "measured", Magnitude::force},
      [](const Deviation& point) { return value_of(point.measured.force); }},
    D{{"measured_count", "times measured", "times", Magnitude::count},
      [](const Deviation& point) { return value_of(point.measured.count); }},
    D{{"measured_way", "gaining or losing speed, on a loop", "way"},
      [](const Deviation& point) {
          return point.measured.way ? value_of(damper::name(*point.measured.way)) : Value{};
      }},
    D{{"predicted_N", "predicted force", "predicted", Magnitude::force}, of<&Deviation::predicted>},
    D{{"difference_N", "measured less predicted", "difference", Magnitude::force},
      [](const Deviation& point) { return value_of(point.difference()); }},
    D{{"error", "why there is none", ""}, of<&Deviation::error>},
};

} // namespace

Fields<SteadyPoint> steady_fields() {
    return steady;
}
Fields<ThroughValves> through_fields() {
    return through_valves;
}
Fields<VoidOnset> onset_fields() {
    return onsets;
}
Fields<PortControl> port_fields() {
    return ports;
}
Fields<Deviation> deviation_fields() {
    return deviations;
}

} // namespace valve::report
