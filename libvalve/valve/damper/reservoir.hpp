#pragma once

#include <valve/damper/gas.hpp>
#include <valve/damper/spec.hpp>

namespace valve::damper {

/// Whether a piston, which can rub, parts the oil of the reservoir from what is behind it.
constexpr bool has_piston(ReservoirKind kind) {
    return kind == ReservoirKind::spring_piston || kind == ReservoirKind::gas_piston;
}

/// Rod travel at which the reservoir can take in no more oil (or the leg has no air left) [m]; infinite where
/// nothing limits it. `setup` has positive dimensions.
double reservoir_travel_limit(const SetUp& setup);

/// Pressure of the reservoir, by its kind.
/// spring_piston: p_back + (F_0 + k V_S/A_s)/A_s; bladder, gas_piston: the gas law with V_S; leg: the gas law
/// with A_leg x, since the telescoping leg sweeps its air.
class ReservoirLaw {
public:
    /// Of a set-up without errors.
    explicit ReservoirLaw(const SetUp& setup);

    /// p_S0 at rest, absolute [Pa], with the rod at `travel` x [m] and the oil `volume` V_S [m³] taken in
    /// since full extension. Throws SolveError outside the range that the geometry allows.
    double pressure(double travel, double volume) const;

    /// dp_S0/dV_S at the oil `volume` V_S [m³] [Pa/m³]. Not for the leg, whose air is no matter of V_S:
    /// throws std::invalid_argument, as does work().
    double stiffness(double volume) const;

    /// The same where its `pressure` [Pa] there is known.
    double stiffness(double volume, double pressure) const;

    /// Work done on the reservoir since full extension, ∫ p_S0 dV_S [J].
    double work(double volume) const;

    /// F_f/A_s, seal friction of the piston as a pressure [Pa].
    double friction_pressure() const { return m_friction_pressure; }

private:
    void refuse_leg() const;

    Reservoir m_reservoir;
    double m_piston_area = 0.0; // A_s [m²]
    double m_leg_area = 0.0;    // A_leg [m²]
    double m_rod_area = 0.0;    // [m²]
    double m_friction_pressure = 0.0;
    double m_travel_limit = 0.0; // [m]
};

} // namespace valve::damper
