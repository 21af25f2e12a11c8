#pragma once

#include <valve/plate/detail/added_mass.hpp>
#include <valve/plate/detail/block_cholesky.hpp>
#include <valve/plate/detail/fourier_element.hpp>

#include <array>
#include <vector>

namespace valve::plate {

/// One of several plates, or several equal ones that move as one, in a vibration on one mesh. Numbers of
/// unknowns count from 0 over all plates; −1 stands for one that is held. Plates that touch at a node share
/// its w.
struct VibratingPlate {
    /// Numbers of w, w', u and v at a node.
    using NodeUnknowns = std::array<int, 4>;

    /// w [m], w' [-] and u [m] of the bent state at a node.
    using NodeState = std::array<double, 3>;

    double thickness = 0.0; ///< [m]
    Material material;
    int count = 1;                      ///< of equal plates that move as one
    std::vector<NodeUnknowns> unknowns; ///< from the innermost node to the plate's edge
    std::vector<NodeState> bent;        ///< at the same nodes; empty: flat, and u and v take no part
};

/// A spring that is spread evenly on a ring and carries no mass.
struct RingSpring {
    int unknown = 0;   ///< the w it stands on
    double rate = 0.0; ///< of the whole ring [N/m]
};

/// Small motion of plates with n nodal diameters about a state at rest.
///
/// Included: bending, and about a bent state the whole second derivative of the von Kármán energy
/// (BentFourierElement::tangent); the mass of the plates normal to their plane; the oil's, see AddedMass.
/// Each face moves half of the oil: the lowest plate at a radius the one, the topmost the other. Inside the
/// first node nothing moves and nothing flows through. Left out: rotary inertia and mass in the plane,
/// damping, flow, the films of oil between plates that have parted, the change of the pressure with the
/// motion.
struct Vibration {
    int nodal_diameters = 0;
    std::vector<double> nodes; ///< radii, rising [m]
    int unknowns = 0;
    std::vector<VibratingPlate> plates; ///< lowest first
    std::vector<RingSpring> springs;
    double oil_density = 0.0; ///< 0: none [kg/m³]
    Surround surround = Surround::open;
};

/// Lowest ω² [rad²/s²], rising, at most `count` of them. A negative one says that the state at rest is none
/// that stays: it buckles into these nodal diameters.
/// Throws std::invalid_argument for a description that does not fit together, SolveError as
/// lowest_eigenpairs().
std::vector<double> lowest_squares(const Vibration& vibration, int count);

/// Stiffness against the motion, one block a node. Numbers of unknowns must rise from node to node, and none
/// may occur at two. Throws std::invalid_argument otherwise, and as lowest_squares().
BlockTridiagonal stiffness(const Vibration& vibration);

/// The same by elements that others share. Throws std::invalid_argument, too, where `mesh` is another's.
BlockTridiagonal stiffness(const Vibration& vibration, FourierMesh& mesh);

/// A lower bound of the stiffness against w, by FourierElement::tangent_at_least(): where it is positive
/// definite, so is the stiffness. u and v must be held.
BlockTridiagonal stiffness_at_least(const Vibration& vibration, FourierMesh& mesh);

} // namespace valve::plate
