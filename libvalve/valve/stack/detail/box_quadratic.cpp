#include <valve/core/detail/index.hpp>
#include <valve/core/detail/infinity.hpp>
#include <valve/stack/detail/box_quadratic.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

namespace valve::stack {

BoxQuadratic::BoxQuadratic(const plate::BlockTridiagonal& pattern, const Eigen::VectorXd& lower,
                           const Eigen::VectorXd& upper)
    : m_lower(lower), m_upper(upper), m_cholesky(pattern), m_bounded(at(lower.size()), 0),
      m_free(at(lower.size()), 0), m_step(lower.size()), m_trial(lower.size()), m_gradient(lower.size()),
      m_diagonal(lower.size()), m_interior_x(lower.size()), m_interior_hold(at(lower.size())) {
    for (Eigen::Index i = 0; i < lower.size(); ++i) {
        if (!(lower[i] < upper[i])) continue;
        if (std::isfinite(lower[i])) m_bounds.push_back({.index = i, .side = 1.0, .at = lower[i]});
        if (std::isfinite(upper[i])) m_bounds.push_back({.index = i, .side = -1.0, .at = upper[i]});
    }
    for (const Bound& bound : m_bounds)
        m_bounded[at(bound.index)] = 1;
}

bool BoxQuadratic::solve(const Model& model, Eigen::VectorXd& x, std::vector<Hold>& hold, Method method) {
    m_on_bounds = true;
    if (method == Method::either && active_set(model, x, hold)) return true;
    if (!interior_point(model, x, hold)) return false;
    if (method == Method::either) {
        m_interior_x = x;
        m_interior_hold = hold;
        if (active_set(model, x, hold)) return true;
        // Contacts whose force and distance are both nothing may go on changing places; the interior point
        // meets every condition.
        x = m_interior_x;
        hold = m_interior_hold;
    }
    m_on_bounds = false;
    return factor_free(model, hold, false);
}

double BoxQuadratic::gap_tolerance(const Eigen::VectorXd& x) const {
    double largest = 0.0;
    for (const Bound& bound : m_bounds)
        largest = std::max(largest, std::abs(x[bound.index]));
    return 1e-9 * largest;
}

void BoxQuadratic::set_gradient(const Model& model, const Eigen::VectorXd& x) {
    m_step = x - model.origin;
    model.K.multiply(m_step, m_gradient);
    m_gradient += model.gradient;
}

bool BoxQuadratic::factor_free(const Model& model, const std::vector<Hold>& hold, bool same_K) {
    for (std::size_t i = 0; i < hold.size(); ++i)
        m_free[i] = static_cast<char>(hold[i] == Hold::free);
    if (same_K && m_cholesky.follow(m_free)) return true;
    ++m_factorisations;
    return m_cholesky.factor(model.K, m_free);
}

void BoxQuadratic::solve_free(Eigen::VectorXd& v) const {
    for (Eigen::Index i = 0; i < v.size(); ++i)
        if (!m_free[at(i)]) v[i] = 0.0;
    m_cholesky.solve(v);
}

/// Moves the held unknowns of `x` to their bounds, and the gradient at hand along.
void BoxQuadratic::move_held(const Model& model, const std::vector<Hold>& hold, Eigen::VectorXd& x) {
    m_step.setZero();
    for (Eigen::Index i = 0; i < x.size(); ++i) {
        if (hold[at(i)] == Hold::free) continue;
        const double bound = hold[at(i)] == Hold::lower ? m_lower[i] : m_upper[i];
        m_step[i] = bound - x[i];
        x[i] = bound;
    }
    model.K.multiply(m_step, m_trial); // few have moved, and still columns cost nothing
    m_gradient += m_trial;
}

/// Newton's step of the free unknowns from the gradient at hand, with the factorisation at hand.
void BoxQuadratic::move_free(Eigen::VectorXd& x) {
    m_cholesky.solve(m_gradient);
    for (Eigen::Index i = 0; i < x.size(); ++i)
        if (m_free[at(i)]) x[i] -= m_gradient[i];
}

int BoxQuadratic::mend(const Eigen::VectorXd& x, const Eigen::VectorXd& gradient,
                       const Eigen::VectorXd& force_tolerance, std::vector<Hold>& hold) const {
    const double gap = gap_tolerance(x);
    int wrong = 0;
    for (Eigen::Index i = 0; i < x.size(); ++i) {
        if (!m_bounded[at(i)]) continue;
        const double force = force_tolerance[i];
        Hold next = hold[at(i)];
        switch (hold[at(i)]) {
        case Hold::lower:
            if (gradient[i] < -force) next = Hold::free;
            break;
        case Hold::upper:
            if (gradient[i] > force) next = Hold::free;
            break;
        case Hold::free:
            if (x[i] < m_lower[i] - gap) next = Hold::lower;
            if (x[i] > m_upper[i] + gap) next = Hold::upper;
            break;
        }
        if (next == hold[at(i)]) continue;
        ++wrong;
        hold[at(i)] = next;
    }
    return wrong;
}

bool BoxQuadratic::active_set(const Model& model, Eigen::VectorXd& x, std::vector<Hold>& hold) {
    constexpr int patience = 12; // rounds without fewer contacts wrong: it cycles
    int fewest_wrong = std::numeric_limits<int>::max();
    bool same_K = false;
    set_gradient(model, x);
    for (int rounds_left = patience; rounds_left > 0; --rounds_left) {
        move_held(model, hold, x);
        if (!factor_free(model, hold, same_K)) return false;
        same_K = true;
        move_free(x);
        set_gradient(model, x);
        int wrong = mend(x, m_gradient, model.force_tolerance, hold);
        if (wrong == 0 && model.exact) {
            // Short elements cost the factorisation digits: one step of iterative refinement, then the
            // verdict.
            move_free(x);
            set_gradient(model, x);
            wrong = mend(x, m_gradient, model.force_tolerance, hold);
        }
        if (wrong == 0) return true;
        if (wrong < fewest_wrong) {
            fewest_wrong = wrong;
            rounds_left = patience + 1;
        }
    }
    return false;
}

/// Direction of one Newton step on the perturbed optimality conditions, eliminated to the unknowns; the
/// factorisation is at hand. `m_step` becomes the step of x. With `corrected`, the products of the
/// predictor's steps are taken out (Mehrotra).
void BoxQuadratic::newton_step(double centre, bool corrected) {
    auto complementarity = [&](const Bound& b) {
        const double second = corrected ? b.distance_step * b.force_step : 0.0;
        return b.distance * b.force + second - centre;
    };
    m_step = -m_gradient;
    for (const Bound& b : m_bounds) {
        const double gap = b.side * (m_trial[b.index] - b.at) - b.distance;
        m_step[b.index] -= b.side * (complementarity(b) + b.force * gap) / b.distance;
    }
    m_cholesky.solve(m_step);
    for (Bound& b : m_bounds) {
        const double gap = b.side * (m_trial[b.index] - b.at) - b.distance;
        const double product = complementarity(b);
        b.distance_step = b.side * m_step[b.index] + gap;
        b.force_step = -(product + b.force * b.distance_step) / b.distance;
    }
}

/// Length of the step along the directions at hand that leaves distances and forces positive, at most 1.
double BoxQuadratic::longest_step() const {
    double length = 1.0;
    for (const Bound& b : m_bounds) {
        if (b.distance_step < 0.0) length = std::min(length, -b.distance / b.distance_step);
        if (b.force_step < 0.0) length = std::min(length, -b.force / b.force_step);
    }
    return length;
}

/// Factors K with force/distance of each bound added to its diagonal.
bool BoxQuadratic::factor_barrier(plate::BlockTridiagonal& K) {
    for (int k = 0; k < K.stations(); ++k)
        m_diagonal.segment(K.offset(k), K.size(k)) = K.diagonal(k).diagonal();
    m_step.setZero();
    for (const Bound& b : m_bounds)
        m_step[b.index] += b.force / b.distance;
    for (int k = 0; k < K.stations(); ++k)
        K.diagonal(k).diagonal() += m_step.segment(K.offset(k), K.size(k));
    ++m_factorisations;
    const bool factored = m_cholesky.factor(K, m_free);
    for (int k = 0; k < K.stations(); ++k)
        K.diagonal(k).diagonal() = m_diagonal.segment(K.offset(k), K.size(k));
    return factored;
}

bool BoxQuadratic::interior_point(const Model& model, Eigen::VectorXd& x, std::vector<Hold>& hold) {
    for (Eigen::Index i = 0; i < x.size(); ++i) {
        m_free[at(i)] = static_cast<char>(m_lower[i] < m_upper[i]);
        x[i] = std::clamp(model.origin[i], m_lower[i], m_upper[i]);
    }

    // The way to the minimum without bounds says how large distances are.
    m_trial = x;
    set_gradient(model, x);
    double first_force = model.force_scale;
    for (const Bound& b : m_bounds)
        first_force = std::max(first_force, std::abs(m_gradient[b.index]));
    ++m_factorisations;
    if (!m_cholesky.factor(model.K, m_free)) return false;
    m_cholesky.solve(m_gradient);
    double reach = 0.0;
    for (const Bound& b : m_bounds)
        reach = std::max(reach, std::abs(m_gradient[b.index]));
    const double count = static_cast<double>(m_bounds.size());
    for (Bound& b : m_bounds) {
        b.distance = std::max(b.side * (x[b.index] - b.at), 0.1 * reach);
        b.force = first_force / count;
    }

    constexpr int most_iterations = 100; // some 20 are usual
    double mean_before = infinity;
    for (int iteration = 0;; ++iteration) {
        if (iteration == most_iterations) return false;
        double product = 0.0;
        double mismatch = 0.0;
        double length_scale = 1e-4 * reach;
        double force_scale = model.force_scale;
        for (const Bound& b : m_bounds) {
            product += b.distance * b.force;
            mismatch = std::max(mismatch, std::abs(b.side * (m_trial[b.index] - b.at) - b.distance));
            length_scale = std::max(length_scale, std::abs(m_trial[b.index]));
            force_scale = std::max(force_scale, b.force);
        }
        const double mean = product / count;
        // At the end the mean product falls at least to a third in a step, until rounding holds it up.
        const double scale = force_scale * length_scale;
        const bool held_up = mean <= 1e-12 * scale && mean > 0.5 * mean_before;
        if ((mean <= 1e-15 * scale || held_up) && mismatch <= 1e-9 * length_scale) break;
        mean_before = mean;

        set_gradient(model, m_trial);
        for (const Bound& b : m_bounds)
            m_gradient[b.index] -= b.side * b.force;
        if (!factor_barrier(model.K)) return false;
        newton_step(0.0, false);
        const double predicted = longest_step();
        double left = 0.0;
        for (const Bound& b : m_bounds)
            left += (b.distance + predicted * b.distance_step) * (b.force + predicted * b.force_step);
        const double centring = std::pow(left / product, 3);
        newton_step(centring * mean, true);
        const double length = std::min(1.0, 0.995 * longest_step());
        for (Eigen::Index i = 0; i < x.size(); ++i)
            if (m_free[at(i)]) m_trial[i] += length * m_step[i];
        for (Bound& b : m_bounds) {
            b.distance += length * b.distance_step;
            b.force += length * b.force_step;
        }
    }

    x = m_trial;
    for (Eigen::Index i = 0; i < x.size(); ++i)
        hold[at(i)] = m_free[at(i)] ? Hold::free : Hold::lower;
    // A contact is closed where its force is a larger share of all forces than its distance of all distances.
    double farthest = 0.0;
    double strongest = model.force_scale;
    for (const Bound& b : m_bounds) {
        farthest = std::max(farthest, b.distance);
        strongest = std::max(strongest, b.force);
    }
    for (const Bound& b : m_bounds)
        if (b.force * farthest > b.distance * strongest)
            hold[at(b.index)] = b.side > 0.0 ? Hold::lower : Hold::upper;
    return true;
}

} // namespace valve::stack
