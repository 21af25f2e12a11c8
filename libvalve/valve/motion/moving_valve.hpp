#pragma once

#include <valve/flow/oil.hpp>
#include <valve/flow/restriction.hpp>
#include <valve/flow/spec.hpp>
#include <valve/motion/profile.hpp>

#include <limits>

namespace valve::motion {

/// A value and its derivatives by the pressure drop across the valve, its seat lift, its impulse and, where
/// that has inertia, the flow of its ports.
struct Partials {
    double value = 0.0;
    double by_drop = 0.0;
    double by_lift = 0.0;
    double by_impulse = 0.0;
    double by_flow = 0.0;
};

/// A valve off its seat at one moment. The impulse is η = √m ẏ.
struct ValveMotion {
    Partials port_flow;        ///< Q_c + V̇, through its ports from one chamber to the other [m³/s]
    double curtain_flow = 0.0; ///< Q_c, under the shim [m³/s]
    Partials p_eff;            ///< [Pa]
    Partials lift_rate;        ///< ẏ [m/s]
    Partials impulse_rate;     ///< η̇ [kg^½ m/s²]
    Partials flow_rate;        ///< of the ports' flow, where the oil in them has inertia [m³/s²]
    double force = 0.0;        ///< A (p_eff − p_stat) − c ẏ − f, on the coordinate y [N]
    /// A p_eff ẏ − c ẏ² − f ẏ + I Q Q̇, what goes into motion of metal and oil, plates and spring [W]
    double work_rate = 0.0;
};

/// What the ports of a valve take of a pressure drop, with its derivatives, and where. None found yet: no
/// number.
struct PortDrop {
    double dp = 0.0;
    double lift = 0.0;
    double impulse = 0.0;
    Partials drop{std::numeric_limits<double>::quiet_NaN()};
};

/// One valve that moves through the states of its lift curve: m ÿ + ½ m' ẏ² + c ẏ + f = A (p_eff − p_stat), c
/// the squeeze film under the land, f = A μ p_f ẏ/√(ẏ² + v²) the friction between shims that slide, with p_f
/// of the profile. It is Coulomb's, but for rates below v = `creep`, where it rises in proportion: held, a
/// stack creeps, so that at rest it finds its static lift. What it sweeps, V̇ = A ẏ, passes the ports beside
/// the flow of its curtain: Δp = Δp_port(Q) + Δp_curtain(Q_c, y) + I Q̇, Q = Q_c + V̇, with I = ρ l/A_port of
/// the oil in ports of length l, which moves as one (Bernoulli's equation for unsteady flow). That oil has to
/// be sped up before more can pass, while the shim rises: the force falls behind the lift's rate, which damps
/// (transient flow force: merritt_1967, from memory). The ports' jet loads it, in the direction in which it
/// opens. On its seat, and a disc on its stop, it keeps a share e of its speed.
class MovingValve {
public:
    /// `load_area` A_load of the static law [m²]. Of a valve without errors.
    MovingValve(const flow::Valve& valve, Profile profile, double load_area, const flow::OilState& oil);

    /// At the pressure drop `dp` [Pa] in the direction in which it opens, lift `y` [m], impulse η [kg^½ m/s].
    /// What its ports take of `dp` is looked for from `near`, and left there.
    /// The oil in its ports follows at once, whatever its inertia.
    ValveMotion at(double dp, double y, double impulse, PortDrop& near) const;
    ValveMotion at(double dp, double y, double impulse) const;

    /// The same while `flow` [m³/s] passes its ports, whose oil has inertia.
    ValveMotion at_flow(double dp, double y, double impulse, double flow) const;

    /// I of the oil in its ports [kg/m⁴]; 0: it has none.
    double inertance() const { return m_inertance; }

    /// What its ports pass as it leaves its seat at the pressure drop `dp` [Pa], no longer held back by it.
    double opening_flow(double dp) const;

    /// On its seat nothing flows, and this opens it: Δp above it [Pa].
    double opening_pressure() const { return m_profile.crack_pressure(); }

    /// Share of its speed that it keeps as it meets its seat or stop [-].
    double restitution() const { return m_restitution; }

    /// What it sweeps at lift `y` [m] and impulse η [kg^½ m/s], V̇ [m³/s].
    double swept(double y, double impulse) const;

    /// Whether it rests where it has been met, `motion` being how it leaves there again at impulse η
    /// [kg^½ m/s]: under the force that then presses it back it would go less than `least_rebound`. Rebounds
    /// under a constant force get shorter as the powers of e², so that they end.
    static bool rests(const ValveMotion& motion, double impulse);

    const Profile& profile() const { return m_profile; }

    /// The same valve, its shims sliding without friction.
    MovingValve without_friction() const;

    /// Rate of the lift below which friction is not developed [m/s]: our choice, no source.
    static constexpr double creep = 1e-2;

    /// Height of a rebound below which there is none [m]: our choice, no source. A hundred times what a valve
    /// goes beyond its seat before it is found to have met it, which adds to the speed of each blow.
    static constexpr double least_rebound = 1e-8;

private:
    /// What a pressure drop is spent on.
    struct Shared {
        double drop = 0.0; // of the ports [Pa]
        ValueSlope port;   // flow through them
        ValueSlope under;  // and under the shim
    };
    ValueSlope film(double lift) const;
    struct Friction {
        double value = 0.0;   // [N]
        double by_lift = 0.0; // [N/m]
        double by_rate = 0.0; // [N s/m]
    };
    Friction friction(const Profile::Value& profile, double rate) const;
    Shared share(double dp, double sweep, const flow::Restriction& curtain, double guess) const;
    flow::Restriction curtain(double gap) const { return m_curtain.widened(gap); }
    struct Sweep;
    Sweep sweep(double y, double impulse) const;
    ValveMotion moved(const Sweep& sweep, double y, double impulse, const Partials& port_flow,
                      const Partials& over_curtain) const;

    Profile m_profile;
    flow::Restriction m_ports;
    flow::Restriction m_curtain; // of a gap of 1 m
    double m_jet = 0.0;          // c_j ρ/(A_port A_load) [Pa s²/m⁶]
    double m_inertance = 0.0;    // ρ l/A_port [kg/m⁴]
    double m_film = 0.0;         // 2 π R μ b³ [N s m²]
    double m_friction = 0.0;     // μ between shims [-]
    double m_restitution = 0.0;  // e [-]
};

} // namespace valve::motion
