#include <valve/core/detail/index.hpp>
#include <valve/stack/detail/minimise.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

namespace valve::stack {
namespace {

/// Shares of compressive membrane forces that a tangent keeps, tried until it is convex on what is free.
/// Where a stack is about to buckle, or just has, a little less than all will do, and steps stay near those
/// of Newton; without any they shrink by a tenth each and forty do not settle.
constexpr std::array<double, 4> squeezes{1.0, 0.9, 0.6, 0.0};

} // namespace

Minimiser::Minimiser(const Potential& problem)
    : m_problem(problem), m_tangent(problem.make_tangent()),
      m_quadratic(m_tangent, problem.lower(), problem.upper()), m_force_tolerance(problem.size()),
      m_now(start()), m_next(m_now), m_step(problem.size()), m_correction(problem.size()) {
    m_preload.resize(problem.size());
    m_problem.assemble(Eigen::VectorXd::Zero(problem.size()), 0.0, 1.0, m_preload, m_tangent);
}

State Minimiser::start() const {
    State state;
    state.x.setZero(m_problem.size());
    state.hold.assign(at(m_problem.size()), Hold::free);
    for (Eigen::Index i = 0; i < m_problem.size(); ++i)
        if (!(m_problem.lower()[i] < m_problem.upper()[i]) || state.x[i] <= m_problem.lower()[i])
            state.hold[at(i)] = Hold::lower; // what lies together at rest touches, until forces part it
    for (Eigen::VectorXd* still : {&state.gradient, &state.rate, &state.gradient_rate})
        still->setZero(m_problem.size());
    return state;
}

void Minimiser::set_force_tolerances(const Eigen::VectorXd& x, double pressure) {
    // A force is a difference of large elastic terms: what it can resolve is the rounding of stiffness times
    // deflection. A contact is decided by no less, else equal shims, whose share of the load is any share,
    // would never settle.
    const double deflection = std::max(m_problem.largest_deflection(x), m_problem.seat_height());
    for (int k = 0; k < m_tangent.stations(); ++k)
        for (int i = 0; i < m_tangent.size(k); ++i)
            m_force_tolerance[m_tangent.offset(k) + i] =
                1e-9 * m_problem.force_scale(pressure) +
                0.1 * std::numeric_limits<double>::epsilon() * m_tangent.diagonal(k)(i, i) * deflection;
}

bool Minimiser::within_bounds(const Eigen::VectorXd& x) const {
    // Unpolished contacts, and overlaps of rounding, are within.
    const double slack = 1e-6 * m_problem.thinnest();
    return ((x - m_problem.lower()).array() >= -slack).all() &&
           ((m_problem.upper() - x).array() >= -slack).all();
}

Outcome Minimiser::solve(double pressure, State& state, int most_steps) {
    Outcome outcome;
    m_now = state;
    m_now.pressure = pressure;
    if (state.solved) predict(pressure - state.pressure);
    bool converged = iterate(most_steps, outcome);
    // The tangent may lead astray. In linear theory, where no further step mends it, the interior point's end
    // is only taken from the state itself.
    const bool doubtful =
        m_problem.theory() == Theory::linear && outcome.factorisations > 0 && !m_quadratic.on_bounds();
    if (state.solved && (!converged || doubtful)) {
        m_now = state;
        m_now.pressure = pressure;
        m_now.solved = false;
        converged = iterate(most_steps, outcome);
    }
    if (!converged) return outcome;
    outcome.converged = true;
    outcome.reason.clear();
    std::swap(state, m_now);
    return outcome;
}

void Minimiser::find_rates(State& state) {
    if (m_problem.theory() == Theory::linear) return;
    m_now = state;
    Outcome unused;
    if (!minimise_model(unused) || m_next.hold != state.hold) return; // degenerate: what there was stays
    set_rates();
    state.rate = m_now.rate;
    state.gradient_rate = m_now.gradient_rate;
}

void Minimiser::refine_rates(State& state) {
    constexpr int most_rounds = 10;   // three are usual
    constexpr double accuracy = 1e-4; // of the last step: of what is then left, a tenth and less
    if (!state.solved || m_problem.theory() == Theory::linear) return find_rates(state);
    // Conjugate gradients (golub_van_loan_2013, 11.5.2), the factorisation at hand their preconditioner.
    // `m_step` is the direction, `gradient_rate` what is left of the load, less the forces of contact.
    state.rate.setZero();
    state.gradient_rate = -m_problem.load(state.x);
    double left = 0.0;
    for (int round = 0; round < most_rounds; ++round) {
        m_correction = state.gradient_rate;
        m_quadratic.solve_free(m_correction);
        const double before = left;
        left = m_correction.dot(state.gradient_rate);
        if (!(left > 0.0)) return; // nothing moves
        if (round == 0)
            m_step = -m_correction;
        else
            m_step = left / before * m_step - m_correction;
        // The gradient is a cubic: differences over so little err by some 1e-6, and no more by rounding.
        const double size = m_problem.largest_deflection(m_step);
        if (!(size > 0.0)) break;
        const double reach = 1e-5 * m_problem.thinnest() / size;
        m_next.x = state.x + reach * m_step;
        m_problem.differentiate(m_next.x, state.pressure, m_correction);
        m_correction = (m_correction - state.gradient) / reach;
        const double stiffness = m_step.dot(m_correction);
        if (!(stiffness > 0.0)) break;
        const double length = left / stiffness;
        state.rate += length * m_step;
        state.gradient_rate += length * m_correction;
        if (round > 0 && length * size <= accuracy * m_problem.largest_deflection(state.rate)) return;
    }
    find_rates(state);
}

/// Moves `m_now` along its tangent, and its contacts to what they then are.
void Minimiser::predict(double pressure_step) {
    m_now.x += pressure_step * m_now.rate;
    m_now.gradient += pressure_step * m_now.gradient_rate;
    set_force_tolerances(m_now.x, m_now.pressure);
    m_now.solved = m_quadratic.mend(m_now.x, m_now.gradient, m_force_tolerance, m_now.hold) == 0 &&
                   m_problem.theory() == Theory::linear;
}

/// Brings `m_now` to equilibrium.
bool Minimiser::iterate(int most_steps, Outcome& outcome) {
    outcome.is_minimum = m_now.solved;
    if (m_now.solved) return true; // linear, and no contact has changed
    for (int step = 0; step < most_steps; ++step) {
        ++outcome.newton_steps;
        if (!minimise_model(outcome)) {
            outcome.reason = "no set of contacts was found that carries the load";
            return false;
        }
        m_step = m_next.x - m_now.x;
        outcome.last_step = m_problem.largest_deflection(m_step);
        Ending ending = Ending::settled;
        if (m_problem.theory() == Theory::linear)
            correct_once();
        else
            ending = correct();
        if (ending == Ending::useless && !search_along_step()) {
            outcome.reason = "no part of the next step lowers the energy";
            return false;
        }
        std::swap(m_now.x, m_next.x);
        std::swap(m_now.hold, m_next.hold);
        if (ending != Ending::settled) continue;
        std::swap(m_now.gradient, m_next.gradient);
        set_rates();
        m_now.solved = m_quadratic.on_bounds();
        outcome.is_minimum = m_was_convex;
        return true;
    }
    outcome.reason = "Newton's method did not settle";
    return false;
}

/// The minimum of the second-order model about `m_now`, in `m_next`.
bool Minimiser::minimise_model(Outcome& outcome) {
    const int before = m_quadratic.factorisations();
    bool solved = false;
    for (const double squeeze : squeezes) {
        if (m_problem.theory() == Theory::linear)
            m_problem.differentiate(m_now.x, m_now.pressure, m_now.gradient);
        else
            m_problem.assemble(m_now.x, m_now.pressure, squeeze, m_now.gradient, m_tangent);
        set_force_tolerances(m_now.x, m_now.pressure);
        m_next.x = m_now.x;
        m_next.hold = m_now.hold;
        m_was_convex = squeeze == 1.0;
        solved =
            m_quadratic.solve({m_tangent, m_now.x, m_now.gradient, m_force_tolerance,
                               m_problem.force_scale(m_now.pressure), m_problem.theory() == Theory::linear},
                              m_next.x, m_next.hold);
        if (solved || m_problem.theory() == Theory::linear) break;
    }
    outcome.factorisations += m_quadratic.factorisations() - before;
    return solved;
}

/// The simplified Newton correction of `m_next`, by the factorisation at hand; its largest deflection.
double Minimiser::find_correction() {
    m_problem.differentiate(m_next.x, m_now.pressure, m_next.gradient);
    m_correction = m_next.gradient;
    m_quadratic.solve_free(m_correction);
    return m_problem.largest_deflection(m_correction);
}

/// Takes what the rounding of the tangent left from `m_next`, and finds its gradient.
void Minimiser::correct_once() {
    find_correction();
    if (!m_quadratic.on_bounds()) return; // what the interior point leaves open belongs to its end
    m_next.x -= m_correction;
    m_problem.differentiate(m_next.x, m_now.pressure, m_next.gradient);
}

/// The largest force of a gradient on what is free in `m_next`, in units of what decides a contact.
double Minimiser::unbalanced(const Eigen::VectorXd& gradient) const {
    double largest = 0.0;
    for (Eigen::Index i = 0; i < gradient.size(); ++i)
        if (m_next.hold[at(i)] == Hold::free)
            largest = std::max(largest, std::abs(gradient[i]) / m_force_tolerance[i]);
    return largest;
}

/// Improves `m_next` by simplified Newton corrections, for as long as they shrink fast.
Minimiser::Ending Minimiser::correct() {
    constexpr double fast = 0.25;
    constexpr double monotone = 0.5;
    // A smaller step than this changes no contact, but may move a degenerate one to and fro.
    const bool still = m_problem.largest_deflection(m_step) <= 1e-6 * m_problem.thinnest();
    const auto settle = [&] {
        const bool changes =
            !still && m_quadratic.mend(m_next.x, m_next.gradient, m_force_tolerance, m_next.hold) > 0;
        return changes ? Ending::better : Ending::settled;
    };
    // Or its gain is nothing against the energy, and it is rounding: a floated stack's soft spring turns that
    // of stiff elements into a step of its own. Where waves grow or die the gain is nothing long before the
    // end; there the step still leaves less.
    if (m_problem.largest_deflection(m_step) <= 1e-2 * m_problem.thinnest() && within_bounds(m_now.x) &&
        std::abs(m_now.gradient.dot(m_step)) <= 1e-11 * std::abs(m_problem.energy(m_now.x, m_now.pressure))) {
        const double before = unbalanced(m_now.gradient);
        correct_once();
        const double after = unbalanced(m_next.gradient);
        if (m_quadratic.on_bounds() && after > 1.0 && (after < 0.5 * before || !m_was_convex))
            return Ending::better;
        return settle();
    }
    if (!m_quadratic.on_bounds()) return Ending::useless;
    double size = m_problem.largest_deflection(m_step);
    for (bool first = true;; first = false) {
        const double next_size = find_correction();
        if (next_size <= 1e-10 * std::min(m_problem.thinnest(), m_problem.largest_deflection(m_next.x))) {
            m_next.x -= m_correction;
            m_problem.differentiate(m_next.x, m_now.pressure, m_next.gradient);
            return settle();
        }
        if (next_size > fast * size)
            return first && next_size > monotone * size ? Ending::useless : Ending::better;
        m_next.x -= m_correction;
        size = next_size;
    }
}

/// Shortens the step of the model until it lowers the energy; false where no part of it does.
bool Minimiser::search_along_step() {
    m_next.x = m_now.x + m_step;
    // A proud seat bends flat shims, and the tangent may leave the bounds: the first step only goes there.
    if (within_bounds(m_next.x) && !within_bounds(m_now.x)) return true;
    const double from = m_problem.energy(m_now.x, m_now.pressure);
    const double slope = m_now.gradient.dot(m_step);
    constexpr double shortest = 1e-4;
    double length = 1.0;
    const auto descends = [&] {
        m_next.x = m_now.x + length * m_step;
        return m_problem.energy(m_next.x, m_now.pressure) <=
               from + 1e-4 * length * slope + 1e-13 * std::abs(from);
    };
    while (!descends() && length > shortest)
        length *= 0.5;
    if (length < 1.0) m_next.hold = m_now.hold;
    return length > shortest;
}

/// Rates of `m_now` with its contacts as they stand, by the factorisation at hand; refined once, as short
/// elements cost it digits.
void Minimiser::set_rates() {
    m_now.rate.setZero();
    m_now.gradient_rate = -m_problem.load(m_now.x);
    // What other theories extrapolate they correct.
    const int rounds = m_problem.theory() == Theory::linear ? 2 : 1;
    for (int round = 0; round < rounds; ++round) {
        m_correction = m_now.gradient_rate;
        m_quadratic.solve_free(m_correction);
        m_now.rate -= m_correction;
        if (m_problem.theory() == Theory::linear) {
            m_problem.differentiate(m_now.rate, 1.0, m_now.gradient_rate);
            m_now.gradient_rate -= m_preload;
        } else {
            m_tangent.multiply(m_now.rate, m_now.gradient_rate);
            m_now.gradient_rate -= m_problem.load(m_now.x);
        }
    }
}

} // namespace valve::stack
