#include <valve/stack/minimise.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

namespace valve::stack {
namespace {

std::size_t at(Eigen::Index index) {
    return static_cast<std::size_t>(index);
}

} // namespace

Minimiser::Minimiser(const Problem& problem)
    : m_problem(problem), m_tangent(problem.make_tangent()),
      m_quadratic(m_tangent, problem.lower(), problem.upper()), m_force_tolerance(problem.size()),
      m_now(start()), m_next(m_now), m_trial(problem.size()) {}

State Minimiser::start() const {
    State state;
    state.x.setZero(m_problem.size());
    state.hold.assign(at(m_problem.size()), Hold::free);
    for (Eigen::Index i = 0; i < m_problem.size(); ++i)
        if (!(m_problem.lower()[i] < m_problem.upper()[i]) || state.x[i] <= m_problem.lower()[i])
            state.hold[at(i)] = Hold::lower; // what lies together at rest touches, until forces part it
    state.gradient.setZero(m_problem.size());
    return state;
}

void Minimiser::set_force_tolerances(const Eigen::VectorXd& x, double force_scale) {
    // A force is a difference of large elastic terms: what it can resolve is the rounding of stiffness times
    // deflection. A contact is decided by no less, else equal shims, whose share of the load is any share,
    // would never settle.
    const double deflection = std::max(largest_deflection(x), m_problem.stack().seat.height);
    for (int k = 0; k < m_tangent.stations(); ++k)
        for (int i = 0; i < m_tangent.size(k); ++i)
            m_force_tolerance[m_tangent.offset(k) + i] =
                1e-9 * force_scale +
                0.1 * std::numeric_limits<double>::epsilon() * m_tangent.diagonal(k)(i, i) * deflection;
}

bool Minimiser::within_bounds(const Eigen::VectorXd& x) const {
    // Unpolished contacts, and overlaps of rounding, are within.
    const double slack = 1e-6 * m_problem.thinnest();
    return ((x - m_problem.lower()).array() >= -slack).all() &&
           ((m_problem.upper() - x).array() >= -slack).all();
}

double Minimiser::largest_deflection(const Eigen::VectorXd& x) const {
    double largest = 0.0;
    for (int k = 0; k < m_problem.stations(); ++k)
        for (std::size_t p = 0; p < m_problem.present(k).size(); ++p)
            largest = std::max(largest, std::abs(x[m_problem.opening(k, static_cast<int>(p))]));
    return largest;
}

Outcome Minimiser::solve(double pressure, State& state) {
    Outcome outcome;
    m_now = state;
    m_now.pressure = pressure;
    const std::optional<Float>& floating = m_problem.stack().floating;
    const double force_scale = pressure * m_problem.load_area() + (floating ? floating->preload : 0.0);

    constexpr int most_steps = 40;
    m_next = m_now;
    for (outcome.newton_steps = 1; outcome.newton_steps <= most_steps; ++outcome.newton_steps) {
        bool solved = false;
        for (const bool convex : {false, true}) {
            m_problem.assemble(m_now.x, pressure, convex, m_now.gradient, m_tangent);
            set_force_tolerances(m_now.x, force_scale);
            m_next.x = m_now.x;
            m_next.hold = m_now.hold;
            const int before = m_quadratic.factorisations();
            solved = m_quadratic.solve({m_tangent, m_now.x, m_now.gradient, m_force_tolerance, force_scale},
                                       m_next.x, m_next.hold);
            outcome.factorisations += m_quadratic.factorisations() - before;
            if (solved) break;
        }
        if (!solved) {
            outcome.reason = "no set of contacts was found that carries the load";
            return outcome;
        }
        m_trial = m_next.x - m_now.x;
        outcome.last_step = largest_deflection(m_trial);
        if (m_problem.theory() == Theory::linear) {
            m_now.x = m_next.x;
            m_now.hold = m_next.hold;
            outcome.converged = true;
            break;
        }

        // A proud seat bends flat shims: the first step, that of linear plates, only takes them there.
        if (within_bounds(m_next.x) && !within_bounds(m_now.x)) {
            m_now.x = m_next.x;
            m_now.hold = m_next.hold;
            continue;
        }

        // Settled: the step is nothing against a thickness; or its gain is nothing against the energy, so
        // that, Newton's method converging quadratically, the next one would be rounding. The second test is
        // the one a floated stack meets: a soft spring turns the rounding of stiff elements into a step of
        // its own.
        const double from = m_problem.energy(m_now.x, pressure);
        const double slope = m_now.gradient.dot(m_trial);
        if (outcome.last_step <= 1e-9 * m_problem.thinnest() || std::abs(slope) <= 1e-11 * std::abs(from)) {
            m_now.x = m_next.x;
            m_now.hold = m_next.hold;
            outcome.converged = true;
            break;
        }
        constexpr double shortest = 1e-4;
        double length = 1.0;
        const auto descends = [&] {
            m_next.x = m_now.x + length * m_trial;
            return m_problem.energy(m_next.x, pressure) <=
                   from + 1e-4 * length * slope + 1e-13 * std::abs(from);
        };
        while (!descends() && length > shortest)
            length *= 0.5;
        if (length <= shortest) {
            outcome.reason = "no part of the next step lowers the energy";
            return outcome;
        }
        m_now.x = m_next.x;
        if (length == 1.0) m_now.hold = m_next.hold;
    }
    if (!outcome.converged) {
        outcome.reason = "Newton's method did not settle";
        return outcome;
    }
    m_problem.assemble(m_now.x, pressure, false, m_now.gradient, m_tangent);
    std::swap(state, m_now);
    return outcome;
}

} // namespace valve::stack
