#pragma once

#include <valve/stack/detail/box_quadratic.hpp>
#include <valve/stack/detail/potential.hpp>
#include <valve/stack/detail/problem.hpp>

#include <string>
#include <vector>

namespace valve::stack {

/// A state of the stack: unknowns, which of them lie on a bound, and the forces there.
struct State {
    double pressure = 0.0; ///< [Pa]
    Eigen::VectorXd x;
    std::vector<Hold> hold;
    Eigen::VectorXd gradient;      ///< of the energy: contact forces at held unknowns, zero at free ones
    bool solved = false;           ///< an equilibrium with its contacts on their bounds, fit to extrapolate
    Eigen::VectorXd rate;          ///< of x along the pressure, as long as the contacts stay [per Pa];
                                   ///< in large deflection to extrapolate by, see Minimiser::find_rates()
    Eigen::VectorXd gradient_rate; ///< of the gradient [per Pa]
};

/// How a solve went.
struct Outcome {
    bool converged = false;
    bool is_minimum = false; ///< it withstands small motions that leave its contacts; else it may be a saddle
    int newton_steps = 0;
    int factorisations = 0;
    double last_step = 0.0; ///< largest change of a deflection in the last step [m]
    std::string reason;     ///< of a failure
};

/// Finds the minimum of the energy within the bounds.
///
/// A solve starts on the tangent of the state that it is given. Sequential quadratic programming: each step
/// minimises the second-order model within the bounds (BoxQuadratic). Where simplified Newton corrections
/// with that step's tangent shrink, the step is good and they finish the work (natural monotonicity,
/// deuflhard_2004, 3.3); else a backtracking line search on the energy itself (the segment stays within the
/// bounds, which are convex) makes it descend. Linear theory is one step, and none where the tangent's
/// contacts hold.
class Minimiser {
public:
    explicit Minimiser(const Potential& problem);
    Minimiser(const Minimiser&) = delete; // refers into itself
    Minimiser& operator=(const Minimiser&) = delete;

    /// Flat shims on the hub: where a first solve starts, though a proud seat reaches into them.
    State start() const;

    /// Newton steps after which a solve is given up: from a near start five are many.
    static constexpr int usual_steps = 40;

    /// Moves `state` to the equilibrium at `pressure` [Pa], from wherever it is. On failure `state` is left
    /// as it was given.
    Outcome solve(double pressure, State& state, int most_steps = usual_steps);

    /// Finds the rates of the equilibrium `state` by its own tangent. A solve leaves them by the tangent of
    /// its last step but one, which is good enough to extrapolate by (in the large, some per cent off).
    void find_rates(State& state);

    /// The same to 1e-5, of the state that the last solve has found: by the factorisation that this has left
    /// and differences of gradients, for a fifth of the work where a tangent costs much.
    void refine_rates(State& state);

private:
    /// What simplified Newton corrections come to.
    enum class Ending { settled, better, useless };

    void predict(double pressure_step);
    bool iterate(int most_steps, Outcome& outcome);
    bool minimise_model(Outcome& outcome);
    double find_correction();
    void correct_once();
    double unbalanced(const Eigen::VectorXd& gradient) const;
    Ending correct();
    bool search_along_step();
    void set_rates();
    void set_force_tolerances(const Eigen::VectorXd& x, double pressure);
    bool within_bounds(const Eigen::VectorXd& x) const;

    const Potential& m_problem;
    bool m_was_convex = true;          ///< the model at hand needed nothing taken off its tangent
    plate::BlockTridiagonal m_tangent; ///< in linear theory always the same
    Eigen::VectorXd m_preload;         ///< gradient of flat shims without pressure
    BoxQuadratic m_quadratic;
    Eigen::VectorXd m_force_tolerance; ///< of each unknown [N]
    State m_now;                       ///< scratch, as the following: a solve takes no memory
    State m_next;
    Eigen::VectorXd m_step;
    Eigen::VectorXd m_correction;
};

} // namespace valve::stack
