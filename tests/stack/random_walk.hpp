#pragma once

#include <stack/verify.hpp>
#include <valve/stack/lift_curve.hpp>

#include <string>

namespace valve::stack::testing {

/// The worst of what the verifier finds in the states of one stack along the pressure, as shares.
struct Walk {
    double overlap = 0.0;   ///< of the largest deflection
    double pull = 0.0;      ///< of the largest force
    double product = 0.0;   ///< of force and gap at one contact, each as a share
    double imbalance = 0.0; ///< of the largest force
    std::string end;        ///< why it ended below the top pressure by rule; empty: it did not
    std::string failure;    ///< no state found

    /// A state was found everywhere up to the end, and every condition holds: deflections to 1e-7 of the
    /// largest, forces to 1e-6 of the load, products to 1e-10.
    bool holds() const;

    /// "overlap 1e-09, pull 2e-06, product 2e-12, imbalance 3e-06", or the failure.
    std::string words() const;

    void take_worse(const Walk& other);
    void take_worse(const Verdict& verdict);
};

/// Follows `stack` to `top_pressure` [Pa] through five pressures and verifies each state.
Walk walk(const Stack& stack, Theory theory, double top_pressure);

} // namespace valve::stack::testing
