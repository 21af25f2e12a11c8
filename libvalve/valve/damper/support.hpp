#pragma once

#include <valve/damper/reservoir.hpp>
#include <valve/damper/spec.hpp>

#include <optional>
#include <vector>

namespace valve::damper {

/// Static support at one travel. Forces push out and are of all legs together; so are slope and energy.
struct SupportPoint {
    double travel = 0.0;    ///< from full extension [m]
    double force = 0.0;     ///< the sum of the parts, without friction [N]
    double slope = 0.0;     ///< dF/dx [N/m]; at a kink that of the travel beyond
    double spring = 0.0;    ///< coil [N]
    double gas = 0.0;       ///< leg air on the leg, (p − p_atm) A_leg [N]
    double reservoir = 0.0; ///< reservoir on the rod, A_r (p_S0 − p_ext) [N]
    double top_out = 0.0;   ///< not above zero [N]
    double stop = 0.0;      ///< [N]
    double energy = 0.0;    ///< taken up since full extension, ∫ F dx, without friction [J]
    double p_S = 0.0;       ///< reservoir at rest, absolute [Pa]
    std::optional<double> p_leg = std::nullopt; ///< leg air, absolute [Pa]
};

/// What the springs outside the cartridge do at one travel, all legs together: coil, leg air on the leg,
/// top-out and stop.
struct SpringPoint {
    double force = 0.0;  ///< [N]
    double slope = 0.0;  ///< [N/m]
    double energy = 0.0; ///< since full extension [J]
};

/// Coil, leg air, reservoir, top-out spring and stop of a fork or a shock.
///
/// Why leg air acts on A_leg and the reservoir on A_r (p_S0 − p_leg): the leg telescopes by x against the
/// atmosphere, which does the work p_atm A_leg x. The rod takes A_r x of it into the closed cartridge, so the
/// leg's air loses (A_leg − A_r) x and the reservoir takes A_r x. By virtual work
///   F = p_leg (A_leg − A_r) + p_S0 A_r − p_atm A_leg = (p_leg − p_atm) A_leg + A_r (p_S0 − p_leg),
/// the second term being what the cartridge's rod gives at rest with p_ext = p_leg. Around an open cartridge
/// p_S0 is p_leg and the air loses A_leg x: the second term is null. A shock has no leg: A_r (p_S0 − p_atm).
class SupportLaw {
public:
    /// Throws InputError where check(setup) errs on tube, rod, reservoir or support, or it has no support.
    explicit SupportLaw(const SetUp& setup);

    /// Throws InputError for a travel outside the damper's.
    SupportPoint at(double travel) const;

    /// Without the reservoir, which is the cartridge's; a little beyond the ends of the travel too.
    SpringPoint springs(double travel) const;

    /// Travels at which the slope jumps [m].
    std::vector<double> kinks() const;

    double travel() const { return m_cartridge.travel; } ///< full [m]
    int legs() const { return m_support.legs; }

    /// Half the band between going in and coming out: seals, bushings and reservoir piston [N].
    double friction() const { return m_support.legs * (m_support.friction + m_reservoir_friction); }

    /// The same at rest: what has to be overcome before anything moves [N].
    double breakaway() const { return m_support.legs * (m_support.breakaway + m_reservoir_friction); }

    /// Of bushings and seals alone, sliding and at rest [N].
    double bushing_friction() const { return m_support.legs * m_support.friction; }
    double bushing_breakaway() const { return m_support.legs * m_support.breakaway; }

    /// The reservoir piston's part of both, A_r F_f/A_s [N].
    double reservoir_friction() const { return m_support.legs * m_reservoir_friction; }

    /// F_f/A_s: half the band of the reservoir's pressure [Pa].
    double reservoir_friction_pressure() const { return m_reservoir.friction_pressure(); }

private:
    Support m_support;
    Cartridge m_cartridge;
    ReservoirLaw m_reservoir;
    double m_rod_area = 0.0;           // [m²]
    double m_reservoir_friction = 0.0; // of one leg [N]
};

} // namespace valve::damper
