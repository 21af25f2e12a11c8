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

/// dC_j/dθ at the nodes, by row.
Eigen::MatrixXd slopes_round(const plate::RingBasis& basis) {
    Eigen::MatrixXd slopes(basis.nodes(), basis.nodes());
    for (int i = 0; i < basis.nodes(); ++i) {
        VectorXd sines(basis.coefficients().rows());
        for (int k = 0; k < sines.size(); ++k)
            sines[k] = -k * basis.waves() * std::sin(k * basis.waves() * basis.angle(i));
        slopes.row(i) = (basis.coefficients().transpose() * sines).transpose();
    }
    return slopes;
}

/// From the middle of a leaf to its faces, flat [m].
double half_height(const Problem& round, int leaf) {
    double sum = 0.0;
    for (int shim = round.first_shim(leaf); shim <= round.last_shim(leaf); ++shim)
        sum += round.stack().shims[static_cast<size_t>(shim - 1)].thickness;
    return 0.5 * sum;
}

/// The leaf whose slope tells where two that touch do: under the stop the upper one, else the lower.
int turned_place(const Problem& round, int station, int upper) {
    return station == round.stop_station() ? upper : upper - 1;
}

/// What a slope takes from the gap between two leaves: faces are off their middles along the normal, so that
/// they are 1/cos of the slope as far above them, less 1 [m].
VectorXd taken_by(const RingProblem& problem, int station, int upper, const VectorXd& w,
                  const VectorXd& slope) {
    const Problem& round = problem.round();
    const std::vector<int>& here = round.present(station);
    const double apart = half_height(round, here[static_cast<size_t>(upper)]) +
                         half_height(round, here[static_cast<size_t>(upper - 1)]);
    const VectorXd tilt = slopes_round(problem.basis()) * w / round.radius(station);
    return 0.5 * apart * (slope.array().square() + tilt.array().square()).matrix();
}

/// The same of the middle of a leaf over, or under, its first shim that w is counted from.
VectorXd taken_within(const RingProblem& problem, int station, int leaf, const VectorXd& w,
                      const VectorXd& slope) {
    const Problem& round = problem.round();
    const double apart = half_height(round, leaf) - 0.5 * round.shim_of(leaf).thickness;
    const VectorXd tilt = slopes_round(problem.basis()) * w / round.radius(station);
    return 0.5 * apart * (slope.array().square() + tilt.array().square()).matrix();
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
        const auto slope = [&](int p) -> VectorXd { return x.segment(first + (count + p) * n, n); };
        const auto clear = [&](int p) -> VectorXd { // from the leaf below to p
            const int turned = turned_place(round, k, p);
            return opening(p) + taken_by(problem, k, p, w[static_cast<size_t>(turned)], slope(turned));
        };
        if (k == round.stop_station()) {
            w.back() = opening(0) - taken_within(problem, k, here.back(), opening(0), slope(count - 1));
            for (int p = count - 1; p > 0; --p)
                w[static_cast<size_t>(p - 1)] = w[static_cast<size_t>(p)] - clear(p);
        } else {
            w.front() = opening(0) + taken_within(problem, k, here.front(), opening(0), slope(0));
            for (int p = 1; p < count; ++p)
                w[static_cast<size_t>(p)] = w[static_cast<size_t>(p - 1)] + clear(p);
        }
        for (int p = 0; p < count; ++p)
            leaves[static_cast<size_t>(here[static_cast<size_t>(p)])].push_back(
                {w[static_cast<size_t>(p)], slope(p),
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
    Leaf doubt;                 ///< what rounding of the deflections may make of them, Σ |K| ε |w|
    std::vector<VectorXd> load; ///< of the pressure, on w of the lowest shim
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
    Forces f{Leaf(shape.size(), none), Leaf(shape.size(), none), {shape.size(), VectorXd::Zero(n)}};
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
            of.w += force.segment(from, n);
            f.load[e + side] += load[at_side] * shares;
            of.slope += force.segment(from + n, n) - load[at_side + 1] * shares;
            of.plane += force.segment(from + 2 * n, in_plane);
            in_doubt.w += doubt.segment(from, n);
            in_doubt.slope += doubt.segment(from + n, n);
            in_doubt.plane += doubt.segment(from + 2 * n, in_plane);
        }
    }
    return f;
}

/// What the leaves of a station push each other and their support with, at the nodes.
struct Pushes {
    std::vector<VectorXd> on; ///< between place p − 1 and p; none at 0
    std::vector<VectorXd> doubt;
    VectorXd base; ///< of the leaf that w is counted from, and all others: up from its support
    VectorXd base_doubt;
};

/// Out of the forces on w, `own`. What a push does besides, where its leaf is turned out of the way, goes to
/// forces on w' of that leaf.
Pushes pushes_at(const RingProblem& problem, const State& state, const std::vector<Leaf>& shapes, int station,
                 const std::vector<VectorXd>& own, const std::vector<VectorXd>& own_doubt,
                 std::vector<Forces>& forces) {
    const Problem& round = problem.round();
    const std::vector<int>& here = round.present(station);
    const auto k = static_cast<size_t>(station);
    const Eigen::MatrixXd slopes = slopes_round(problem.basis());
    const bool from_top = station == round.stop_station();
    Pushes pushes{std::vector<VectorXd>(here.size()), std::vector<VectorXd>(here.size()), {}, {}};
    const int count = static_cast<int>(here.size());
    VectorXd carried = own[from_top ? 0 : here.size() - 1];
    VectorXd doubt = own_doubt[from_top ? 0 : here.size() - 1];
    for (int i = 1; i < count; ++i) {
        const int p = from_top ? i : count - i;
        const auto turned = static_cast<size_t>(turned_place(round, station, p));
        const auto leaf = static_cast<size_t>(here[turned]);
        const AtStation& at = shapes[leaf][k];
        const double apart = half_height(round, here[static_cast<size_t>(p)]) +
                             half_height(round, here[static_cast<size_t>(p - 1)]);
        const VectorXd push = from_top ? VectorXd(-carried) : carried;
        pushes.on[static_cast<size_t>(p)] = push;
        pushes.doubt[static_cast<size_t>(p)] = doubt;
        forces[leaf].of[k].slope += apart * at.slope.cwiseProduct(push);
        forces[leaf].doubt[k].slope += apart * at.slope.cwiseAbs().cwiseProduct(doubt);
        // A push on w of the other leaf is one on w of this, and turns it by w_θ.
        const VectorXd tilt = slopes * at.w / (round.radius(station) * round.radius(station));
        const VectorXd turn = apart * slopes.transpose() * tilt.cwiseProduct(push);
        const VectorXd turn_doubt =
            apart * slopes.cwiseAbs().transpose() * tilt.cwiseAbs().cwiseProduct(doubt);
        carried += turn + own[turned];
        doubt += turn_doubt + own_doubt[turned];
    }
    // From the middle of its leaf to the shim that the support holds.
    const auto base = static_cast<size_t>(from_top ? here.back() : here.front());
    const double apart = (from_top ? -1.0 : 1.0) * (half_height(round, here[from_top ? here.size() - 1 : 0]) -
                                                    0.5 * round.shim_of(static_cast<int>(base)).thickness);
    const VectorXd held = state.x.segment(problem.opening(station, 0, 0), problem.basis().nodes());
    const VectorXd tilt = slopes * held / (round.radius(station) * round.radius(station));
    forces[base].of[k].slope += apart * shapes[base][k].slope.cwiseProduct(carried);
    forces[base].doubt[k].slope += std::abs(apart) * shapes[base][k].slope.cwiseAbs().cwiseProduct(doubt);
    pushes.base = carried + apart * slopes.transpose() * tilt.cwiseProduct(carried);
    pushes.base_doubt =
        doubt + std::abs(apart) * slopes.cwiseAbs().transpose() * tilt.cwiseAbs().cwiseProduct(doubt);
    if (!from_top && here.front() == 0) pushes.base -= forces[0].load[k];
    return pushes;
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
        const bool stop = k == round.stop_station();
        std::vector<VectorXd> own;
        std::vector<VectorXd> doubt;
        for (const int leaf : here) {
            own.push_back(forces[static_cast<size_t>(leaf)].of[s].w);
            doubt.push_back(forces[static_cast<size_t>(leaf)].doubt[s].w);
            all_doubt += doubt.back().sum();
        }
        if (stack.floating && k == round.spring_station()) {
            const VectorXd& w = shapes[static_cast<size_t>(here.back())][s].w;
            const VectorXd spring = stack.floating->preload * even + stack.floating->spring_rate * (bed * w);
            own.back() += spring;
            reactions += spring.sum();
        }
        if (stop && here.front() == 0) own[0] -= forces[0].load[s];
        const Pushes pushes = pushes_at(problem, state, shapes, k, own, doubt, forces);
        for (const int leaf : here) {
            const size_t i = static_cast<size_t>(leaf);
            verdict.highest = std::max(verdict.highest, shapes[i][s].w.cwiseAbs().maxCoeff());
            if (ring && stack.edge != InnerEdge::free) continue;
            verdict.imbalance =
                std::max({verdict.imbalance,
                          largest_beyond(forces[i].of[s].slope, forces[i].doubt[s].slope) / round.radius(k),
                          largest_beyond(forces[i].of[s].plane, forces[i].doubt[s].plane)});
        }
        for (size_t p = 1; p < here.size() && !ring; ++p) {
            const int upper = static_cast<int>(p);
            const AtStation& above = shapes[static_cast<size_t>(here[p])][s];
            const AtStation& below = shapes[static_cast<size_t>(here[p - 1])][s];
            const AtStation& turned = turned_place(round, k, upper) == upper ? above : below;
            VectorXd gap = above.w - below.w - taken_by(problem, k, upper, turned.w, turned.slope);
            for (int shim = round.last_shim(here[p - 1]) + 1; shim < round.first_shim(here[p]); ++shim)
                gap.array() += stack.shims[static_cast<size_t>(shim - 1)].thickness;
            for (int j = 0; j < n; ++j)
                touch(beyond(pushes.on[p][j], pushes.doubt[p][j]), gap[j]);
        }
        const VectorXd counted =
            state.x.segment(problem.opening(k, 0, 0), n); // of the first shim, or the last
        for (int j = 0; j < n; ++j) {
            const double w = counted[j];
            const double force = beyond(pushes.base[j], pushes.base_doubt[j]);
            if (round.on_land(k)) {
                touch(force, w - stack.seat.height);
            } else if (ring) {
                const bool hub = stack.floating && stack.floating->rests_on == RestsOn::hub;
                if (stack.floating && stop && w > 0.5 * stack.floating->travel)
                    touch(-force, stack.floating->travel - w);
                else if (hub)
                    touch(force, w);
                else if (stack.floating)
                    verdict.imbalance = std::max(verdict.imbalance, std::abs(force));
            } else if (stop) {
                touch(-force, stack.floating->travel - w);
            } else {
                verdict.imbalance = std::max(verdict.imbalance, std::abs(force));
            }
            if (round.on_land(k) || ring || stop) reactions -= pushes.base[j];
            verdict.load = std::max(verdict.load, std::abs(pushes.base[j]));
        }
    }
    verdict.imbalance = std::max(verdict.imbalance, std::abs(beyond(applied - reactions, all_doubt)));
    for (const auto& [force, gap] : contacts)
        verdict.product =
            std::max(verdict.product, std::abs(force) / verdict.load * std::abs(gap) / verdict.highest);
    return verdict;
}

} // namespace valve::stack::testing
