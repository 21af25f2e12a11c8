#include <stack/verify_ring.hpp>
#include <valve/plate/detail/element.hpp>
#include <valve/plate/detail/ring_element.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <map>
#include <numbers>
#include <utility>
#include <vector>

namespace valve::stack::testing {
namespace {

using Eigen::VectorXd;
using std::size_t;

/// Unknowns, or forces, or doubts, of one leaf at one station: w and w' at the nodes, the plane's harmonics.
struct AtStation {
    VectorXd w, slope, plane;
};
using Leaf = std::vector<AtStation>;

/// C_j at an angle.
VectorXd functions(const plate::RingBasis& basis, double angle) {
    VectorXd cosines(basis.coefficients().rows());
    for (int k = 0; k < cosines.size(); ++k)
        cosines[k] = std::cos(k * basis.waves() * angle);
    return basis.coefficients().transpose() * cosines;
}

/// Means round the ring over an arc of `share` of each pitch, by Simpson's rule.
VectorXd shares_over(const plate::RingBasis& basis, double share) {
    constexpr int intervals = 400;
    const double end = share * std::numbers::pi / basis.waves();
    VectorXd sum = VectorXd::Zero(basis.nodes());
    for (int i = 0; i <= intervals; ++i) {
        const double weight = i == 0 || i == intervals ? 1.0 : i % 2 == 1 ? 4.0 : 2.0;
        sum += weight / (3.0 * intervals) * functions(basis, end * i / intervals);
    }
    return share * sum;
}

/// Means of products of the functions, which even steps give exactly.
Eigen::MatrixXd bed_of(const plate::RingBasis& basis) {
    const int steps = 8 * basis.nodes();
    Eigen::MatrixXd bed = Eigen::MatrixXd::Zero(basis.nodes(), basis.nodes());
    for (int i = 0; i < steps; ++i) {
        const VectorXd c = functions(basis, 2.0 * std::numbers::pi / basis.waves() * i / steps);
        bed += c * c.transpose() / steps;
    }
    return bed;
}

/// Shapes of the leaves out of the openings that a state holds.
std::vector<Leaf> shapes_of(const RingProblem& problem, const VectorXd& x) {
    const Problem& round = problem.round();
    const int n = problem.basis().nodes();
    const int in_plane = problem.basis().in_plane();
    std::vector<Leaf> leaves(static_cast<size_t>(round.leaves()));
    for (int k = 0; k < round.stations(); ++k) {
        const std::vector<int>& here = round.present(k);
        const int count = static_cast<int>(here.size());
        const int first = problem.opening(k, 0, 0);
        std::vector<VectorXd> w(here.size());
        const auto opening = [&](int p) { return x.segment(first + p * n, n); };
        if (round.counts_from_top(k)) {
            w.back() = opening(0);
            for (int p = count - 1; p > 0; --p)
                w[static_cast<size_t>(p - 1)] = w[static_cast<size_t>(p)] - opening(p);
        } else {
            w.front() = opening(0);
            for (int p = 1; p < count; ++p)
                w[static_cast<size_t>(p)] = w[static_cast<size_t>(p - 1)] + opening(p);
        }
        for (int p = 0; p < count; ++p)
            leaves[static_cast<size_t>(here[static_cast<size_t>(p)])].push_back(
                {w[static_cast<size_t>(p)], x.segment(first + (count + p) * n, n),
                 x.segment(first + 2 * count * n + p * in_plane, in_plane)});
    }
    return leaves;
}

/// What of a force is beyond doubt.
double beyond(double force, double doubt) {
    return std::copysign(std::max(0.0, std::abs(force) - doubt), force);
}

double largest_beyond(const VectorXd& forces, const VectorXd& doubts) {
    double largest = 0.0;
    for (Eigen::Index i = 0; i < forces.size(); ++i)
        largest = std::max(largest, std::abs(beyond(forces[i], doubts[i])));
    return largest;
}

/// Elements of a problem, made once for its leaves of one Poisson's ratio.
class Elements {
public:
    explicit Elements(const RingProblem& problem) : m_problem(problem) {}

    const plate::RingElement& at(int element, double poisson_ratio) {
        std::vector<plate::RingElement>& made = m_made[poisson_ratio];
        while (static_cast<int>(made.size()) <= element) {
            const int s = static_cast<int>(made.size());
            made.emplace_back(m_problem.round().radius(s), m_problem.round().radius(s + 1), poisson_ratio,
                              m_problem.basis());
        }
        return made[static_cast<size_t>(element)];
    }

private:
    const RingProblem& m_problem;
    std::map<double, std::vector<plate::RingElement>> m_made;
};

struct Forces {
    Leaf of;
    Leaf doubt; ///< what rounding of the deflections may make of them, Σ |K| ε |w|
};

Forces forces_of(const RingProblem& problem, const std::vector<Leaf>& shapes, int leaf, double pressure,
                 const VectorXd& shares, Elements& elements) {
    const Problem& round = problem.round();
    const Stack& stack = round.stack();
    const Shim& cut = round.shim_of(leaf);
    const double shims = round.shims_in(leaf);
    const Leaf& shape = shapes[static_cast<size_t>(leaf)];
    const int n = problem.basis().nodes();
    const int in_plane = problem.basis().in_plane();
    const AtStation none{VectorXd::Zero(n), VectorXd::Zero(n), VectorXd::Zero(in_plane)};
    Forces f{Leaf(shape.size(), none), Leaf(shape.size(), none)};
    const auto share = [&stack](double r) { // of the pressure that acts at a radius
        const double in = stack.seat.inner_radius;
        const double out = stack.seat.outer_radius;
        if (r < stack.zone.inner_radius - 1e-9 || r > out) return 0.0;
        return r <= in ? 1.0 : (out - r) / (out - in);
    };
    plate::RingElement::Work work(problem.basis());
    const int per_node = 2 * n + in_plane;
    VectorXd q(2 * per_node);
    VectorXd stored(2 * per_node);
    VectorXd force(2 * per_node);
    Eigen::MatrixXd stiffness(2 * per_node, 2 * per_node);
    for (size_t e = 0; e + 1 < shape.size(); ++e) {
        const int s = static_cast<int>(e);
        const plate::RingElement& element = elements.at(s, cut.material.poisson_ratio);
        for (size_t side = 0; side < 2; ++side) {
            const AtStation& here = shape[e + side];
            // Openings are counted up: a deflection is rounded to the largest of the leaves under it.
            VectorXd largest = here.w.cwiseAbs();
            for (const Leaf& other : shapes)
                if (e + side < other.size()) largest = largest.cwiseMax(other[e + side].w.cwiseAbs());
            const auto from = static_cast<Eigen::Index>(side) * per_node;
            q.segment(from, n) = here.w;
            q.segment(from + n, n) = here.slope;
            q.segment(from + 2 * n, in_plane) = here.plane;
            stored.segment(from, per_node) = q.segment(from, per_node).cwiseAbs();
            stored.segment(from, n) = largest;
        }
        element.assemble(shims * plate::bending_stiffness(cut.material, cut.thickness),
                         shims * plate::membrane_stiffness(cut.material, cut.thickness), q, 1.0, work, force,
                         stiffness);
        const VectorXd doubt =
            16.0 * std::numeric_limits<double>::epsilon() * (stiffness.cwiseAbs() * stored).eval();
        const plate::Element round_element(element.inner(), element.outer(), cut.material.poisson_ratio);
        const bool pressed = element.inner() >= stack.zone.inner_radius - 1e-9 &&
                             element.outer() <= stack.seat.outer_radius + 1e-9;
        Eigen::Vector4d load = Eigen::Vector4d::Zero();
        if (leaf == 0 && pressed)
            load = pressure * round_element.pressure_load(share(element.inner()), share(element.outer()));
        for (size_t side = 0; side < 2; ++side) {
            const auto from = static_cast<Eigen::Index>(side) * per_node;
            const auto at_side = static_cast<Eigen::Index>(2 * side);
            AtStation& of = f.of[e + side];
            AtStation& in_doubt = f.doubt[e + side];
            of.w += force.segment(from, n) - load[at_side] * shares;
            of.slope += force.segment(from + n, n) - load[at_side + 1] * shares;
            of.plane += force.segment(from + 2 * n, in_plane);
            in_doubt.w += doubt.segment(from, n);
            in_doubt.slope += doubt.segment(from + n, n);
            in_doubt.plane += doubt.segment(from + 2 * n, in_plane);
        }
    }
    return f;
}

} // namespace

Verdict verify(const RingProblem& problem, const State& state) {
    const Problem& round = problem.round();
    const Stack& stack = round.stack();
    const plate::RingBasis& basis = problem.basis();
    const int n = basis.nodes();
    const VectorXd shares = shares_over(basis, stack.windows > 0 ? stack.coverage : 1.0) *
                            (stack.windows > 0 ? 1.0 : stack.coverage);
    const VectorXd even = shares_over(basis, 1.0);
    const Eigen::MatrixXd bed = bed_of(basis);
    const std::vector<Leaf> shapes = shapes_of(problem, state.x);
    Elements elements(problem);
    std::vector<Forces> forces;
    for (int i = 0; i < round.leaves(); ++i)
        forces.push_back(forces_of(problem, shapes, i, state.pressure, shares, elements));

    Verdict verdict;
    std::vector<std::pair<double, double>> contacts; // force and gap
    const double applied = pressed(round, state.pressure);
    verdict.load = applied + (stack.floating ? stack.floating->preload : 0.0);
    const auto touch = [&](double force, double gap) {
        verdict.overlap = std::max(verdict.overlap, -gap);
        verdict.pull = std::max(verdict.pull, -force);
        contacts.emplace_back(force, gap);
    };
    double reactions = 0.0;
    double all_doubt = 0.0;
    for (int k = 0; k < round.stations(); ++k) {
        const size_t s = static_cast<size_t>(k);
        const std::vector<int>& here = round.present(k);
        const bool ring = k == round.ring_station();
        for (const int leaf : here) {
            const size_t i = static_cast<size_t>(leaf);
            verdict.highest = std::max(verdict.highest, shapes[i][s].w.cwiseAbs().maxCoeff());
            if (ring && stack.edge != InnerEdge::free) continue;
            verdict.imbalance =
                std::max({verdict.imbalance,
                          largest_beyond(forces[i].of[s].slope, forces[i].doubt[s].slope) / round.radius(k),
                          largest_beyond(forces[i].of[s].plane, forces[i].doubt[s].plane)});
        }
        VectorXd spring = VectorXd::Zero(n);
        if (stack.floating && k == round.spring_station()) {
            const VectorXd& w = shapes[static_cast<size_t>(here.back())][s].w;
            spring = stack.floating->preload * even + stack.floating->spring_rate * (bed * w);
            reactions += spring.sum();
        }
        for (int j = 0; j < n; ++j) {
            // From the last leaf down: what holds leaf p up is what it and all above it weigh on p − 1.
            double weight = 0.0;
            double doubt = 0.0;
            for (size_t p = here.size(); p-- > 0;) {
                const size_t i = static_cast<size_t>(here[p]);
                const double w = shapes[i][s].w[j];
                double own = forces[i].of[s].w[j];
                doubt += forces[i].doubt[s].w[j];
                all_doubt += forces[i].doubt[s].w[j];
                if (p + 1 == here.size()) own += spring[j];
                if (stack.floating && p + 1 == here.size() && k == round.stop_station() && !ring) {
                    // The stop may take what the shims below do not hold.
                    double rest = own;
                    for (size_t below = 0; below < p; ++below) {
                        const Forces& other = forces[static_cast<size_t>(here[below])];
                        rest += other.of[s].w[j];
                        doubt += other.doubt[s].w[j];
                    }
                    const double stop = -beyond(rest, doubt);
                    touch(stop, stack.floating->travel - w);
                    reactions += stop;
                    own += stop;
                }
                weight += own;
                if (p == 0) break;
                if (ring) continue;
                double gap = w - shapes[static_cast<size_t>(here[p - 1])][s].w[j];
                for (int shim = round.last_shim(here[p - 1]) + 1; shim < round.first_shim(here[p]); ++shim)
                    gap += stack.shims[static_cast<size_t>(shim - 1)].thickness;
                touch(beyond(weight, doubt), gap);
            }
            const double force = beyond(weight, doubt);
            reactions -= round.on_land(k) || ring ? weight : 0.0;
            if (round.on_land(k)) {
                touch(force, shapes[0][s].w[j] - stack.seat.height);
            } else if (ring) {
                const double w = shapes[0][s].w[j];
                const bool hub = stack.floating && stack.floating->rests_on == RestsOn::hub;
                if (stack.floating && k == round.stop_station() && w > 0.5 * stack.floating->travel)
                    touch(-force, stack.floating->travel - w);
                else if (hub)
                    touch(force, w);
                else if (stack.floating)
                    verdict.imbalance = std::max(verdict.imbalance, std::abs(force));
            } else {
                verdict.imbalance = std::max(verdict.imbalance, std::abs(force));
            }
            verdict.load = std::max(verdict.load, std::abs(weight));
        }
    }
    verdict.imbalance = std::max(verdict.imbalance, std::abs(beyond(applied - reactions, all_doubt)));
    for (const auto& [force, gap] : contacts)
        verdict.product =
            std::max(verdict.product, std::abs(force) / verdict.load * std::abs(gap) / verdict.highest);
    return verdict;
}

} // namespace valve::stack::testing
