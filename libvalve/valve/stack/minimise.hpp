#pragma once

#include <valve/stack/problem.hpp>

#include <string>
#include <vector>

namespace valve::stack {

/// Where an unknown stands within its bounds.
enum class Hold : char { free, lower, upper };

/// A state of the stack: unknowns, which of them lie on a bound, and the forces there.
struct State {
    double pressure = 0.0; ///< [Pa]
    Eigen::VectorXd x;
    std::vector<Hold> hold;
    Eigen::VectorXd gradient; ///< of the energy: contact forces at held unknowns, zero at free ones
};

/// How a solve went.
struct Outcome {
    bool converged = false;
    int newton_steps = 0;
    int factorisations = 0;
    double last_step = 0.0; ///< largest change of a deflection in the last step [m]
    std::string reason;     ///< of a failure
};

/// Finds the minimum of the energy within the bounds.
///
/// Sequential quadratic programming: each step minimises the second-order model within the bounds, then a
/// backtracking line search on the energy itself (the segment stays within the bounds, which are convex)
/// makes it descend. Linear theory is one step. The quadratic programmes are solved by the primal-dual active
/// set method (M. Hintermüller, K. Ito and K. Kunisch, SIAM J. Optim. 13 (2002) 865), which changes all
/// contacts at once; where that cycles, by the primal active set method (J. Nocedal and S. J. Wright,
/// Numerical Optimization, 2nd ed., alg. 16.3), which changes one at a time and always ends.
class Minimiser {
public:
    explicit Minimiser(const Problem& problem);

    /// State of the stack at rest in its rest positions: where a first solve starts.
    State start() const;

    /// Moves `state` to the equilibrium at `pressure` [Pa], from wherever it is. On failure `state` is left
    /// as it was given.
    Outcome solve(double pressure, State& state);

private:
    bool active_set(State& state, Outcome& outcome);
    bool one_at_a_time(State& state, Outcome& outcome);
    bool equality_minimum(const std::vector<Hold>& hold, const Eigen::VectorXd& base, Eigen::VectorXd& x,
                          Outcome& outcome);
    void model_gradient(const Eigen::VectorXd& x, Eigen::VectorXd& gradient);
    void set_force_tolerances(const Eigen::VectorXd& x, double force_scale);
    double gap_tolerance(const Eigen::VectorXd& x) const;
    double largest_deflection(const Eigen::VectorXd& x) const;

    const Problem& m_problem;
    plate::BlockTridiagonal m_tangent;
    plate::BlockCholesky m_cholesky;
    std::vector<char> m_bounded; ///< held by the problem itself are not: they never change
    std::vector<char> m_free;
    Eigen::VectorXd m_force_tolerance; ///< of each unknown [N]
    Eigen::VectorXd m_origin;          ///< of the model: gradient = that at the origin + K (x − origin)
    Eigen::VectorXd m_origin_gradient;
    Eigen::VectorXd m_step;
    Eigen::VectorXd m_trial;
    Eigen::VectorXd m_work;
    Eigen::VectorXd m_gradient;
};

} // namespace valve::stack
