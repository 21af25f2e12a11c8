#include <valve/report/lift_fields.hpp>

#include <array>

namespace valve::report {

namespace {

template <auto Member>
Value state(const LiftRowOf& of) {
    return of.row->state ? value_of((*of.row->state).*Member) : Value{};
}

/// Of the ring of a floated stack.
template <auto Member>
Value floated(const LiftRowOf& of) {
    return of.stack->floating ? state<Member>(of) : Value{};
}

/// Over windows: as the stack bends, else by the harmonics of a round shape.
template <auto Bent, auto Round>
Value ring(const LiftRowOf& of) {
    if (of.row->uneven) return value_of((*of.row->uneven).*Bent);
    return of.row->ring ? value_of((*of.row->ring).*Round) : Value{};
}

template <auto Member>
Value uneven(const LiftRowOf& of) {
    return of.row->uneven ? value_of((*of.row->uneven).*Member) : Value{};
}

template <auto Limit>
Value share(const LiftRowOf& of) {
    if (!of.row->state || !((*of.row->state).*Limit)) return {};
    return value_of((*((*of.row->state).*Limit)).share);
}

const stack::StressPeak* peak(const LiftRowOf& of) {
    return of.row->state && of.row->state->peak.shim > 0 ? &of.row->state->peak : nullptr;
}

template <auto Member>
Value at_peak(const LiftRowOf& of) {
    const stack::StressPeak* found = peak(of);
    return found != nullptr ? value_of(found->*Member) : Value{};
}

template <auto Member>
Value of_mode(const ModeRow& row) {
    return value_of(row.mode->*Member);
}

using stack::LiftPoint;
using F = Field<LiftRowOf>;
constexpr std::array lift{
    F{{"pressure_Pa", "pressure", "pressure", Magnitude::pressure, 2},
      [](const LiftRowOf& of) { return value_of(of.row->pressure); }},
    F{{"seat_lift_m", "lift at the seat", "seat lift", Magnitude::length, 3}, state<&LiftPoint::seat_lift>},
    F{{"seat_lift_mid_port_m", "mid-port", "mid-port", Magnitude::length, 3},
      ring<&stack::UnevenLift::mid_port, &stack::RingLift::mid_port>},
    F{{"seat_lift_mid_land_m", "mid-land", "mid-land", Magnitude::length, 3},
      ring<&stack::UnevenLift::mid_land, &stack::RingLift::mid_land>},
    F{{"seat_lift_open_arcs_m", "over the open arcs", "open arcs", Magnitude::length, 3},
      ring<&stack::UnevenLift::open_arcs, &stack::RingLift::open_arcs>},
    F{{"seat_lift_crest_m", "at the crest of the waves", "crest", Magnitude::length, 3},
      uneven<&stack::UnevenLift::crest>},
    F{{"seat_lift_trough_m", "in their trough", "trough", Magnitude::length, 3},
      uneven<&stack::UnevenLift::trough>},
    F{{"waves", "waves round the ring", "waves", Magnitude::count}, uneven<&stack::UnevenLift::waves>},
    F{{"linear_seat_lift_m", "lift, linear plates", "linear", Magnitude::length, 3},
      [](const LiftRowOf& of) { return value_of(of.row->linear_seat_lift); }},
    F{{"edge_lift_m", "lift of the outer edge", "edge lift", Magnitude::length, 3},
      state<&LiftPoint::edge_lift>},
    F{{"float_lift_m", "float", "float", Magnitude::length, 3}, floated<&LiftPoint::float_lift>},
    F{{"seat_force_N", "force of the seat", "seat force", Magnitude::force, 1},
      state<&LiftPoint::seat_force>},
    F{{"hub_force_N", "force of clamp or hub", "hub force", Magnitude::force, 1},
      state<&LiftPoint::hub_force>},
    F{{"stop_force_N", "force of the stop", "stop force", Magnitude::force, 1},
      floated<&LiftPoint::stop_force>},
    F{{"peak_stress_Pa", "largest stress (von Mises)", "peak stress", Magnitude::stress},
      at_peak<&stack::StressPeak::stress>},
    F{{"peak_stress_shim", "shim of the largest stress", "in shim", Magnitude::count},
      at_peak<&stack::StressPeak::shim>},
    F{{"peak_stress_radius_m", "radius of the largest stress", "at radius", Magnitude::length, 3, true},
      at_peak<&stack::StressPeak::radius>},
    F{{"peak_stress_face", "face of the largest stress", "face"},
      [](const LiftRowOf& of) {
          const stack::StressPeak* found = peak(of);
          return found != nullptr ? value_of(words(found->face)) : Value{};
      }},
    F{{"peak_stress_of_yield", "share of the yield strength", "of yield", Magnitude::share},
      share<&LiftPoint::of_yield>},
    F{{"peak_stress_of_fatigue", "share of endurance", "of fatigue", Magnitude::share},
      share<&LiftPoint::of_fatigue>},
    F{{"error", "why there is none", ""},
      [](const LiftRowOf& of) { return of.row->error.empty() ? Value{} : value_of(of.row->error); }},
};

using stack::WaveBranch;
using B = Field<WaveBranch>;
constexpr std::array wave_branches{
    B{{"pressure_Pa", "pressure", "pressure", Magnitude::pressure, 2},
      [](const WaveBranch& branch) { return value_of(branch.lift.state.pressure); }},
    B{{"waves", "waves round the ring", "waves", Magnitude::count},
      [](const WaveBranch& branch) { return value_of(branch.waves.count); }},
    B{{"buckles_from_Pa", "pressure from which the round shape buckles into them", "buckles",
       Magnitude::pressure, 2},
      [](const WaveBranch& branch) { return value_of(branch.waves.pressure); }},
    B{{"seat_lift_m", "lift at the seat", "seat lift", Magnitude::length, 3},
      [](const WaveBranch& branch) { return value_of(branch.lift.state.seat_lift); }},
    B{{"seat_lift_crest_m", "at the crest of the waves", "crest", Magnitude::length, 3},
      [](const WaveBranch& branch) { return value_of(branch.lift.crest); }},
    B{{"seat_lift_trough_m", "in their trough", "trough", Magnitude::length, 3},
      [](const WaveBranch& branch) { return value_of(branch.lift.trough); }},
    B{{"released_J", "energy released by buckling", "released", Magnitude::energy, 4},
      [](const WaveBranch& branch) { return value_of(branch.released); }},
};

using M = Field<ModeRow>;
constexpr std::array modes{
    M{{"nodal_diameters", "nodal diameters", "nodal", Magnitude::count},
      of_mode<&stack::Mode::nodal_diameters>},
    M{{"family", "family", "family", Magnitude::count}, of_mode<&stack::Mode::family>},
    M{{"frequency_air_Hz", "natural frequency in air", "in air", Magnitude::frequency},
      of_mode<&stack::Mode::frequency_air>},
    M{{"frequency_oil_Hz", "natural frequency in oil", "in oil", Magnitude::frequency},
      of_mode<&stack::Mode::frequency_oil>},
    M{{"buckles", "the round shape is not stable", "buckles"},
      [](const ModeRow& row) { return Value{!row.mode->frequency_air.has_value()}; }},
    M{{"near", "near to", "near"},
      [](const ModeRow& row) { return row.near != nullptr ? value_of(name(row.near->shaker)) : Value{}; }},
};

} // namespace

Fields<LiftRowOf> lift_fields() {
    return lift;
}

bool of_windows(const FieldWords& field) {
    return field.key == "seat_lift_mid_port_m" || field.key == "seat_lift_mid_land_m" ||
           field.key == "seat_lift_open_arcs_m";
}

Fields<WaveBranch> wave_branch_fields() {
    return wave_branches;
}

Fields<ModeRow> mode_fields() {
    return modes;
}

std::string_view words(stack::Face face) {
    return face == stack::Face::piston ? "piston side" : "far side";
}

std::string_view name(study::Shaker shaker) {
    switch (shaker) {
    case study::Shaker::rod_and_wheel:
        return "rod and wheel";
    case study::Shaker::engine_and_tyre:
        return "engine and tyre";
    case study::Shaker::flow:
        return "flow";
    }
    return "";
}

} // namespace valve::report
