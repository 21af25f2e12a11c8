#pragma once

#include <valve/damper/network.hpp>
#include <valve/damper/spec.hpp>
#include <valve/flow/oil.hpp>
#include <valve/flow/restriction.hpp>

#include <optional>

namespace valve::damper {

/// The pressure that a plug builds up in its cup at steady speed, the oil following without giving:
/// A v = Q_gap(Δp) + Q_hole(Δp), A being the plug's section in the plane of the mouth, less that of a rod
/// through it. The gap, mean diameter D, is laminar and ends in a jet; w and D_m are those at the mouth:
///   Δp = 12 μ Q/(π D) ∫ds/h³ + ρ/2 (Q/(π D_m C))² (1/w² − 1/w_0²),
/// the integral over the depth that the plug is in. Before the plug is in, w is the distance from its edge to
/// that of the cup; at w_0, a quarter of the cup's bore, the slot is as large as the cup, and counts no more.
/// So Δp is continuous over the travel. The force is Δp A: pressure along the axis alone. Left out are the
/// drag on the plug's side and turbulence in the gap.
class EndCupLaw {
public:
    /// `rod` diameter of a rod through the plug, 0 for none [m]. Of a cup without errors.
    EndCupLaw(const EndCup& cup, double rod, const flow::OilState& oil);

    /// Δp over the chamber around the cup [Pa], the plug going in at `speed` ≥ 0 [m/s], `depth` [m] of it in
    /// the cup, below zero while it is still outside. Throws SolveError above max_pressure: the gap is
    /// closed, or as good as.
    double pressure(double depth, double speed) const;

    /// The same below the chamber around the cup, the plug leaving; up to `most` [Pa], where the cup is
    /// empty.
    double suction(double depth, double speed, double most) const;

    /// What the plug does at the end of `stroke`, the rod at `speed` [m/s], in the chamber's direction of
    /// that stroke or leaving, `depth` [m] of it in the cup. `headroom` of the chamber around it above a void
    /// [Pa]: the cup's pressure cannot fall below that either. Throws as pressure().
    struct Effect {
        double force = 0.0;    ///< outwards on the rod [N]
        double pressure = 0.0; ///< over the chamber around it [Pa]
        bool is_empty = false; ///< the cup, of oil
    };
    Effect effect(Stroke stroke, double speed, double depth, double headroom) const;

    /// Whether the plug is so near that it narrows the mouth.
    bool acts(double depth) const;

    /// Section of the plug that displaces oil, and that the pressure works on [m²].
    double area(double depth) const;

    /// Reynolds number of the gap, by twice its width, where `dp` [Pa] drives oil through it: 2 Q/(π D ν).
    double reynolds(double depth, double dp) const;

    /// Whether a check lets the plug leave without loss.
    bool leaves_freely() const { return m_cup.ways == flow::BleedWays::one; }

    double length() const { return m_cup.length; } ///< [m]

    static constexpr double max_pressure = 1000e5; ///< [Pa]

private:
    double width(double depth) const;
    double mean_diameter(double depth) const;
    ValueSlope gap_flow(double depth, double dp) const;
    std::optional<double> drop(double depth, double speed, double most) const;

    EndCup m_cup;
    double m_bore = 0.0;     // of the cup [m]
    double m_rod_area = 0.0; // [m²]
    flow::OilState m_oil;
    std::optional<flow::Restriction> m_hole;
};

} // namespace valve::damper
