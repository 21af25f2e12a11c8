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
    : m_problem(problem), m_tangent(problem.make_tangent()), m_cholesky(m_tangent),
      m_bounded(at(problem.size()), 0), m_free(at(problem.size()), 0), m_force_tolerance(problem.size()),
      m_origin(problem.size()), m_origin_gradient(problem.size()), m_step(problem.size()),
      m_trial(problem.size()), m_work(problem.size()), m_gradient(problem.size()) {
    for (Eigen::Index i = 0; i < problem.size(); ++i)
        m_bounded[at(i)] =
            static_cast<char>(problem.lower()[i] < problem.upper()[i] &&
                              (std::isfinite(problem.lower()[i]) || std::isfinite(problem.upper()[i])));
}

State Minimiser::start() const {
    State state;
    state.x = m_problem.start();
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
    const double deflection = largest_deflection(x);
    for (int k = 0; k < m_tangent.stations(); ++k)
        for (int i = 0; i < m_tangent.size(k); ++i)
            m_force_tolerance[m_tangent.offset(k) + i] =
                1e-9 * force_scale +
                8.0 * std::numeric_limits<double>::epsilon() * m_tangent.diagonal(k)(i, i) * deflection;
}

double Minimiser::gap_tolerance(const Eigen::VectorXd& x) const {
    double largest = 0.0;
    for (Eigen::Index i = 0; i < x.size(); ++i)
        if (m_bounded[at(i)]) largest = std::max(largest, std::abs(x[i]));
    return 1e-9 * largest;
}

double Minimiser::largest_deflection(const Eigen::VectorXd& x) const {
    double largest = 0.0;
    for (int k = 0; k < m_problem.stations(); ++k)
        for (std::size_t p = 0; p < m_problem.present(k).size(); ++p)
            largest = std::max(largest, std::abs(x[m_problem.opening(k, static_cast<int>(p))]));
    return largest;
}

void Minimiser::model_gradient(const Eigen::VectorXd& x, Eigen::VectorXd& gradient) {
    m_step = x - m_origin;
    m_tangent.multiply(m_step, gradient);
    gradient += m_origin_gradient;
}

/// Minimum of the model with the held unknowns as in `base`.
bool Minimiser::equality_minimum(const std::vector<Hold>& hold, const Eigen::VectorXd& base,
                                 Eigen::VectorXd& x, Outcome& outcome) {
    x = base;
    for (Eigen::Index i = 0; i < x.size(); ++i)
        m_free[at(i)] = static_cast<char>(hold[at(i)] == Hold::free);
    model_gradient(x, m_work);
    ++outcome.factorisations;
    if (!m_cholesky.factor(m_tangent, m_free)) return false;
    m_cholesky.solve(m_work);
    for (Eigen::Index i = 0; i < x.size(); ++i)
        if (m_free[at(i)]) x[i] -= m_work[i];
    return true;
}

bool Minimiser::active_set(State& state, Outcome& outcome) {
    constexpr int most_rounds = 12; // it settles in a few rounds or not at all
    for (int round = 0; round < most_rounds; ++round) {
        m_trial = state.x;
        for (Eigen::Index i = 0; i < m_trial.size(); ++i) {
            if (state.hold[at(i)] == Hold::lower) m_trial[i] = m_problem.lower()[i];
            if (state.hold[at(i)] == Hold::upper) m_trial[i] = m_problem.upper()[i];
        }
        if (!equality_minimum(state.hold, m_trial, state.x, outcome)) return false;
        model_gradient(state.x, m_gradient);

        const double gap = gap_tolerance(state.x);
        bool changed = false;
        for (Eigen::Index i = 0; i < state.x.size(); ++i) {
            if (!m_bounded[at(i)]) continue;
            const double force = m_force_tolerance[i];
            Hold& hold = state.hold[at(i)];
            Hold next = hold;
            if (hold == Hold::lower && m_gradient[i] < -force) next = Hold::free;
            if (hold == Hold::upper && m_gradient[i] > force) next = Hold::free;
            if (hold == Hold::free && state.x[i] < m_problem.lower()[i] - gap) next = Hold::lower;
            if (hold == Hold::free && state.x[i] > m_problem.upper()[i] + gap) next = Hold::upper;
            changed = changed || next != hold;
            hold = next;
        }
        if (!changed) return true;
    }
    return false;
}

bool Minimiser::one_at_a_time(State& state, Outcome& outcome) {
    // Every round either takes one contact up (at most all of them in a row) or reaches a lower minimum.
    const int most_rounds = 20 * static_cast<int>(std::count(m_bounded.begin(), m_bounded.end(), 1)) + 100;
    for (int round = 0; round < most_rounds; ++round) {
        if (!equality_minimum(state.hold, state.x, m_trial, outcome)) return false;
        const double gap = gap_tolerance(m_trial);
        double length = 1.0;
        Eigen::Index blocking = -1;
        for (Eigen::Index i = 0; i < m_trial.size(); ++i) {
            if (!m_bounded[at(i)] || state.hold[at(i)] != Hold::free) continue;
            const double step = m_trial[i] - state.x[i];
            const bool below = m_trial[i] < m_problem.lower()[i] - gap;
            const bool above = m_trial[i] > m_problem.upper()[i] + gap;
            if (!below && !above) continue;
            const double bound = below ? m_problem.lower()[i] : m_problem.upper()[i];
            const double reach = std::max(0.0, (bound - state.x[i]) / step);
            if (reach < length) {
                length = reach;
                blocking = i;
            }
        }
        state.x += length * (m_trial - state.x);
        if (blocking >= 0) {
            const bool low = m_trial[blocking] < m_problem.lower()[blocking];
            state.hold[at(blocking)] = low ? Hold::lower : Hold::upper;
            state.x[blocking] = low ? m_problem.lower()[blocking] : m_problem.upper()[blocking];
            continue;
        }
        model_gradient(state.x, m_gradient);
        double worst = 0.0;
        Eigen::Index release = -1;
        for (Eigen::Index i = 0; i < state.x.size(); ++i) {
            if (!m_bounded[at(i)] || state.hold[at(i)] == Hold::free) continue;
            const double pull = state.hold[at(i)] == Hold::lower ? -m_gradient[i] : m_gradient[i];
            if (pull - m_force_tolerance[i] > worst) {
                worst = pull - m_force_tolerance[i];
                release = i;
            }
        }
        if (release < 0) return true;
        state.hold[at(release)] = Hold::free;
    }
    return false;
}

Outcome Minimiser::solve(double pressure, State& state) {
    Outcome outcome;
    State now = state;
    now.pressure = pressure;
    const std::optional<Float>& floating = m_problem.stack().floating;
    const double force_scale = pressure * m_problem.load_area() + (floating ? floating->preload : 0.0);

    constexpr int most_steps = 40;
    State next = now;
    for (outcome.newton_steps = 1; outcome.newton_steps <= most_steps; ++outcome.newton_steps) {
        bool solved = false;
        for (const bool convex : {false, true}) {
            m_problem.assemble(now.x, pressure, convex, now.gradient, m_tangent);
            m_origin = now.x;
            m_origin_gradient = now.gradient;
            set_force_tolerances(now.x, force_scale);
            next.x = now.x;
            next.hold = now.hold;
            solved = active_set(next, outcome);
            if (!solved) {
                next.x = now.x;
                next.hold = now.hold;
                solved = one_at_a_time(next, outcome);
            }
            if (solved) break;
        }
        if (!solved) {
            outcome.reason = "no set of contacts was found that carries the load";
            return outcome;
        }
        m_trial = next.x - now.x;
        outcome.last_step = largest_deflection(m_trial);
        if (m_problem.theory() == Theory::linear) {
            now.x = next.x;
            now.hold = next.hold;
            outcome.converged = true;
            break;
        }

        // Settled: the step is nothing against a thickness; or its gain is nothing against the energy, so
        // that, Newton's method converging quadratically, the next one would be rounding. The second test is
        // the one a floated stack meets: a soft spring turns the rounding of stiff elements into a step of
        // its own.
        const double from = m_problem.energy(now.x, pressure);
        const double slope = now.gradient.dot(m_trial);
        if (outcome.last_step <= 1e-9 * m_problem.thinnest() || std::abs(slope) <= 1e-11 * std::abs(from)) {
            now.x = next.x;
            now.hold = next.hold;
            outcome.converged = true;
            break;
        }
        double length = 1.0;
        while (length > 1e-4) {
            next.x = now.x + length * m_trial;
            if (m_problem.energy(next.x, pressure) <= from + 1e-4 * length * slope + 1e-13 * std::abs(from))
                break;
            length *= 0.5;
        }
        now.x = next.x;
        if (length == 1.0) now.hold = next.hold;
    }
    if (!outcome.converged) {
        outcome.reason = "Newton's method did not settle";
        return outcome;
    }
    m_problem.assemble(now.x, pressure, false, now.gradient, m_tangent);
    state = std::move(now);
    return outcome;
}

} // namespace valve::stack
