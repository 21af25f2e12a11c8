#pragma once

#include <valve/stack/friction.hpp>
#include <valve/stack/lift_curve.hpp>
#include <valve/stack/lift_law.hpp>
#include <valve/stack/linear_error.hpp>
#include <valve/stack/modes.hpp>
#include <valve/stack/motion.hpp>
#include <valve/stack/ring.hpp>
#include <valve/stack/shapes.hpp>
#include <valve/stack/spec.hpp>
#include <valve/stack/uneven.hpp>
#include <valve/stack/waves.hpp>

#include <memory>
#include <optional>
#include <vector>

namespace valve::stack {

/// One stack under one theory, solved, and what can be asked of it.
///
/// Every answer is computed when it is first asked for, from the states of the lift curve, which are kept;
/// it does not depend on what was asked before. Threads may ask at the same time. References stay valid as
/// long as the solution. A failure is remembered and thrown again.
///
/// Pressures are those on the face shim, p_eff [Pa]. They are finite and not below zero, else
/// std::invalid_argument is thrown. SolveError is thrown, with the pressure, where the stack has no lift
/// curve, or no state at a pressure. A rigid disc answers too.
class Solution {
public:
    /// Solves nothing yet. Throws std::invalid_argument where check(stack) has an error, or the greatest
    /// pressure is not above zero.
    explicit Solution(const Stack& stack, const FollowOptions& options = {});
    ~Solution();
    Solution(const Solution&) = delete;
    Solution& operator=(const Solution&) = delete;

    const Stack& stack() const;
    const FollowOptions& options() const;

    /// Lift from zero to the greatest pressure of the options, with every change of contact and the
    /// pressures from which a shim keeps a set, or breaks in time.
    const LiftCurve& curve() const;

    /// The lift as a function of the pressure. Throws SolveError where it falls.
    const LiftLaw& law() const;

    /// Mass, area and static pressure as the stack moves along its curve, round. Throws SolveError as law(),
    /// and where the stack does not open; std::invalid_argument for a disc without mass.
    const Motion& motion() const;

    /// The state at a pressure, beyond the end of the curve too; at a point of the curve that point.
    LiftPoint at(double pressure) const;

    /// How the shims lie at a pressure.
    StackShape shape(double pressure) const;

    /// What friction of the coefficient `coefficient` [-] between the shims makes of a pressure above zero.
    /// Throws std::invalid_argument for a coefficient below zero.
    FrictionEstimate friction(double pressure, double coefficient) const;

    /// The lowest pressure from which 2 to 5 waves round the ring buckle out of the round shape, to 1e-3;
    /// none up to `pressure`, beyond which nothing is looked at, or up to the curve's end. Linear plates, and
    /// a disc, never buckle.
    std::optional<Waves> waves_up_to(double pressure) const;

    /// What windows change along the curve. Throws std::invalid_argument for a stack without windows, as do
    /// the next two.
    const RingCurve& ring() const;

    /// The lift law over the ports. Throws SolveError where the harmonics do not hold as the stack opens.
    const ArcsLaw& law_over_ports() const;

    /// What windows make of the lift at a pressure; none where the harmonics do not hold.
    std::optional<RingLift> ring_lift(double pressure) const;

    /// The stack as it bends round the ring at a pressure, over windows or beyond buckling into waves; none
    /// where it is round, and for linear plates, a rigid disc and a guided float, which are taken for round.
    /// Throws SolveError, with the pressure, where there is no equilibrium or it is beyond the theory.
    std::optional<UnevenLift> uneven(double pressure) const;

    /// Where the land lets go of a stack over windows, looked for up to the end of the curve; none where
    /// uneven() has no lifts over windows.
    std::optional<UnevenCrack> uneven_crack() const;

    /// Where the flow law of the shape that is not round takes over from law() [Pa]: where the round shape
    /// buckles, over windows where the shim opens at mid-port. None up to `pressure`, beyond which nothing is
    /// looked at, where uneven() is none, and where no such shape is found.
    std::optional<double> uneven_from(double pressure) const;

    /// That law at a pressure, followed no further: equal to uneven() within 1e-3 of the lift or 0.1 µm, and
    /// monotone. It begins at the lift of law(), over windows closed. Throws std::invalid_argument below its
    /// beginning, or where there is none.
    UnevenLawValue uneven_law(double pressure) const;

    /// The next pressure above `pressure` at which that law stands on a state of its own [Pa], its end among
    /// them; infinite from there on. Throws as uneven_law().
    double uneven_next(double pressure) const;

    /// Where that law ends, since theory or strip do [Pa]. Throws std::invalid_argument where there is none.
    double uneven_end() const;

    /// How the stack moves along that law on its interval that begins at `pressure`, at the beginning of the
    /// law or one of its uneven_next(): points at both ends and between, so that cubics through them are the
    /// law within 1e-5 of the lift. Lifts are means over the arcs of the ports where `over_ports`, else round
    /// the ring; mass and area are those of the states at both ends, in between along the lift. The last is
    /// the first where the lift stands still; empty from the end of the law on. Throws as uneven_law().
    std::vector<MotionPoint> uneven_motion(double pressure, bool over_ports) const;

    /// From where the stack as it bends passes limits of its strip, looked for up to `pressure` where it is
    /// not round.
    StressLimits limits(double pressure) const;

    /// Natural frequencies.
    ///
    /// Shims that touch in the state move as one: they share w. Land, hub and stop hold what lies on them.
    /// There is no friction. Without a pressure the stack has just lifted and is flat: shims touch wherever
    /// they lie on one another, and only the clamp, or the float's spring, holds them. At a pressure contact
    /// and shape are those of the equilibrium. Linear plates count its contact alone, for bending does not
    /// stiffen them. A guided edge stays level, so that with nodal diameters it does not move. The float's
    /// spring is an even bed under its ring, without mass.
    ///
    /// A rigid disc has its bounce alone, in oil with the 8/3 ρ a³ of a disc in unbounded fluid (lamb_1932,
    /// art. 102). It has no mode while seat or stop holds it.
    ///
    /// Throws std::invalid_argument for options that mean nothing or a disc without mass, SolveError where no
    /// frequencies are found.
    Modes modes(const ModesOptions& options = {}) const;

    /// The same stack by linear plates, up to the end of this curve; of a linear solution itself.
    const Solution& linear() const;

    /// What linear plates would make of it.
    const LinearError& linear_error() const;

    /// Factorisations of the stack's stiffness so far, which is what a solution costs: none before it is
    /// asked, and none again for what is known. Natural frequencies and waves are not counted.
    int factorisations() const;

private:
    class Answers;
    std::unique_ptr<Answers> m_answers;
};

} // namespace valve::stack
