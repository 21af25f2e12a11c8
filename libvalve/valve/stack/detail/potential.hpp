#pragma once

#include <valve/plate/detail/block_cholesky.hpp>
#include <valve/stack/lift_curve.hpp>

namespace valve::stack {

/// A discretised stack as the minimiser sees it: potential energy under a pressure, as a function of unknowns
/// that are bounded one by one.
class Potential {
public:
    Potential() = default;
    Potential(const Potential&) = delete;
    Potential& operator=(const Potential&) = delete;
    virtual ~Potential() = default;

    virtual Theory theory() const = 0;
    virtual int size() const = 0;

    /// Bounds of the unknowns; equal where an unknown is held.
    virtual const Eigen::VectorXd& lower() const = 0;
    virtual const Eigen::VectorXd& upper() const = 0;

    /// Energy [J] under the pressure [Pa]: bending, membrane, spring, less the work of the pressure.
    virtual double energy(const Eigen::VectorXd& x, double pressure) const = 0;

    /// Derivatives of the energy by the unknowns.
    virtual void differentiate(const Eigen::VectorXd& x, double pressure,
                               Eigen::VectorXd& gradient) const = 0;

    /// What one unit of pressure takes off the gradient at `x` [m², m³]; good until the next call.
    virtual const Eigen::VectorXd& load(const Eigen::VectorXd& x) const = 0;

    /// First and second derivatives of the energy. The tangent keeps the share `squeeze` of what compressive
    /// membrane forces take off it: with 1 it is exact, with 0 positive semi-definite.
    virtual void assemble(const Eigen::VectorXd& x, double pressure, double squeeze,
                          Eigen::VectorXd& gradient, plate::BlockTridiagonal& tangent) const = 0;

    /// A matrix of the tangent's pattern.
    virtual plate::BlockTridiagonal make_tangent() const = 0;

    /// All forces from outside together [N].
    virtual double force_scale(double pressure) const = 0;

    /// Smallest thickness of the bending shims [m].
    virtual double thinnest() const = 0;

    /// The largest deflection, and opening, in unknowns or a step of them [m].
    virtual double largest_deflection(const Eigen::VectorXd& x) const = 0;

    /// How far the seat bends the flat shims [m].
    virtual double seat_height() const = 0;
};

} // namespace valve::stack
