#pragma once

#include <valve/damper/spec.hpp>
#include <valve/flow/link.hpp>

#include <array>
#include <optional>

namespace valve::damper {

/// Direction in which the rod moves.
enum class Stroke { compression, rebound };

/// The direction in which the rod drives oil through the links of a network.
constexpr flow::Direction direction_of(Stroke stroke) {
    return stroke == Stroke::compression ? flow::Direction::forward : flow::Direction::backward;
}

/// C between base valve and piston, R on the rod side of the piston, S the reservoir.
enum class Chamber { C, R, S };

/// A value for each chamber.
struct ByChamber {
    double C = 0.0;
    double R = 0.0;
    double S = 0.0;
};

/// Chambers and links at one moment, the rod moving at `speed`.
struct NetworkState {
    double speed = 0.0;                  ///< positive in compression [m/s]
    ByChamber pressure = {};             ///< absolute [Pa]
    flow::LinkState piston = {};         ///< from C to R
    std::optional<flow::LinkState> base; ///< from C to S; none where these are one chamber
    ByChamber void_growth = {};          ///< [m³/s]
    std::optional<Chamber> cavitated;    ///< held at the cavitation pressure

    double dp_base() const { return base ? base->dp : 0.0; } ///< p_C − p_S [Pa]
};

/// What becomes of the power that the rod puts into a network [W].
struct NetworkPower {
    double in = 0.0;        ///< of the pressures on the piston
    double links = 0.0;     ///< turned to heat in the links
    double reservoir = 0.0; ///< of the oil that S takes in, at the pressure of S
    double voids = 0.0;     ///< that growing voids give off, at the pressure of their chamber
};

/// The chambers C, R and S of a damper, joined by the piston (C to R) and the base (C to S; without one, C
/// and S are one chamber). Oil gives way nowhere but in voids: what a chamber's walls take in is what flows
/// in and what a void in it grows.
class Network {
public:
    /// The chambers of a cartridge, one that check() finds no errors in, and the links between them.
    Network(const Cartridge& cartridge, flow::Link piston, std::optional<flow::Link> base);

    const flow::Link& piston() const { return m_piston; }                  ///< from C to R
    const flow::Link* base() const { return m_base ? &*m_base : nullptr; } ///< from C to S, or null

    double piston_area() const { return m_piston_area; }               ///< A_p [m²]
    double rod_area() const { return m_rod_area; }                     ///< A_r [m²]
    double annulus_area() const { return m_piston_area - m_rod_area; } ///< A_a [m²]

    /// dV/dx of the space inside the walls of C or R [m²]: −A_p and A_a. That of S is moved by oil, not by
    /// the rod: 0.
    double growth_area(Chamber chamber) const;

    /// Space in C and R at rod travel `travel` [m³]: A_p (travel left + dead length), A_a (x + dead length);
    /// and the oil A_r x that the rod has displaced into S since full extension.
    ByChamber volumes(double travel) const;

    /// The links between chambers at `pressures`, no void growing. Without a base, C has the pressure of S.
    /// Throws std::invalid_argument unless they are finite and, without a base, agree.
    NetworkState at(double speed, const ByChamber& pressures) const;

    /// The state that lasts at constant `speed`, S at `p_S` > `p_cav`: R in compression, C on rebound, is
    /// held at the cavitation pressure `p_cav` where it would fall below it, and a void grows there. Total
    /// beyond the ends of lift curves, which the links flag. Throws SolveError where nothing lets the oil
    /// through.
    NetworkState equilibrium(double speed, double p_S, double p_cav) const;

    /// Oil that S takes in [m³/s]: through the base, or without one what C and S together do not keep.
    double intake(const NetworkState& state) const;

    /// What flows into `chamber`, or grows there as a void, and has no room [m³/s]; zero in equilibrium, and
    /// in S, which takes what comes.
    double excess(const NetworkState& state, Chamber chamber) const;

    /// A_p p_C − A_a p_R, of the oil on the piston, outwards [N].
    double force(const ByChamber& pressures) const;

    /// In equilibrium in = links + reservoir − voids.
    NetworkPower power(const NetworkState& state) const;

private:
    NetworkState compressed(double speed, double p_S, double p_cav) const;
    NetworkState extended(double speed, double p_S, double p_cav) const;
    double base_drop_with_void(double speed, double above_void, double least) const;

    flow::Link m_piston;
    std::optional<flow::Link> m_base;
    double m_piston_area = 0.0; // [m²]
    double m_rod_area = 0.0;    // [m²]
    double m_travel = 0.0;      // [m]
    double m_dead_C = 0.0;      // [m]
    double m_dead_R = 0.0;      // [m]
};

} // namespace valve::damper
