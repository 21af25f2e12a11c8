#include <single_plate/single_plate.hpp>
#include <valve/core/detail/infinity.hpp>
#include <valve/plate/detail/block_cholesky.hpp>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace valve::validation {
namespace {

using plate::BlockCholesky;
using plate::BlockTridiagonal;
using plate::Element;
using plate::ElementMatrix;
using plate::ElementVector;

constexpr int unknowns = 3; // w, w', u at each node

/// The discretised plate.
struct Discrete {
    explicit Discrete(const PlateProblem& given)
        : problem(given), D(plate::bending_stiffness(given.material, given.thickness)),
          C(given.theory == PlateTheory::von_karman
                ? plate::membrane_stiffness(given.material, given.thickness)
                : 0.0) {
        std::vector<double> edges{given.inner_radius, given.outer_radius};
        for (const PressureLoad& p : given.pressures)
            edges.insert(edges.end(), {p.inner_radius, p.outer_radius});
        for (const RingLoad& ring : given.rings)
            edges.push_back(ring.radius);
        for (const double edge : edges)
            if (edge < given.inner_radius || edge > given.outer_radius)
                throw std::invalid_argument("PlateProblem: a load lies outside the plate");
        nodes = plate::graded_nodes(std::move(edges), given.grading);

        for (std::size_t e = 0; e + 1 < nodes.size(); ++e)
            elements.emplace_back(nodes[e], nodes[e + 1], given.material.poisson_ratio);

        pressure_on.assign(elements.size(), Eigen::Vector4d::Zero());
        for (const PressureLoad& p : given.pressures) {
            const int first = plate::node_at(nodes, p.inner_radius);
            const int last = plate::node_at(nodes, p.outer_radius);
            const double per_metre =
                last > first ? (p.outer_pressure - p.inner_pressure) / (p.outer_radius - p.inner_radius)
                             : 0.0;
            for (int e = first; e < last; ++e) {
                const Element& element = elements[static_cast<std::size_t>(e)];
                pressure_on[static_cast<std::size_t>(e)] +=
                    element.pressure_load(p.inner_pressure + per_metre * (element.inner() - p.inner_radius),
                                          p.inner_pressure + per_metre * (element.outer() - p.inner_radius));
            }
        }
        load.setZero(unknowns * static_cast<Eigen::Index>(nodes.size()));
        for (std::size_t e = 0; e < elements.size(); ++e) {
            const Eigen::Index at = unknowns * static_cast<Eigen::Index>(e);
            load.segment<2>(at) += pressure_on[e].head<2>();
            load.segment<2>(at + unknowns) += pressure_on[e].tail<2>();
        }
        for (const RingLoad& ring : given.rings)
            load[unknowns * plate::node_at(nodes, ring.radius)] += ring.force;

        free.assign(unknowns * nodes.size(), 1);
        hold(given.inner, 0);
        hold(given.outer, unknowns * (nodes.size() - 1));
        if (given.theory == PlateTheory::linear)
            for (std::size_t n = 0; n < nodes.size(); ++n)
                free[unknowns * n + 2] = 0;
    }

    void hold(EdgeSupport support, std::size_t at) {
        const bool w = support == EdgeSupport::simple || support == EdgeSupport::fixed;
        const bool edge = support == EdgeSupport::guided || support == EdgeSupport::fixed;
        if (w) free[at] = 0;
        if (edge) free[at + 1] = free[at + 2] = 0;
    }

    /// Energy of the plate less the work of `scale` times the loads.
    double potential(const Eigen::VectorXd& x, double scale) const {
        double energy = -scale * load.dot(x);
        for (std::size_t e = 0; e < elements.size(); ++e) {
            const ElementVector q = x.segment<6>(unknowns * static_cast<Eigen::Index>(e));
            energy += elements[e].bending_energy(D, q);
            if (C > 0.0) energy += elements[e].membrane_energy(C, q);
        }
        return energy;
    }

    ElementVector nodal_force(std::size_t e, const Eigen::VectorXd& x, double squeeze,
                              ElementMatrix& stiffness) const {
        const ElementVector q = x.segment<6>(unknowns * static_cast<Eigen::Index>(e));
        ElementVector force = ElementVector::Zero();
        stiffness.setZero();
        elements[e].add_bending(D, q, force, stiffness);
        if (C > 0.0) elements[e].add_membrane(C, q, squeeze, force, stiffness);
        return force;
    }

    void assemble(const Eigen::VectorXd& x, double squeeze, Eigen::VectorXd& force,
                  BlockTridiagonal& tangent) const {
        force.setZero();
        tangent.set_zero();
        ElementMatrix k;
        for (std::size_t e = 0; e < elements.size(); ++e) {
            const int n = static_cast<int>(e);
            force.segment<6>(unknowns * n) += nodal_force(e, x, squeeze, k);
            tangent.diagonal(n) += k.topLeftCorner<3, 3>();
            tangent.diagonal(n + 1) += k.bottomRightCorner<3, 3>();
            tangent.upper(n) += k.topRightCorner<3, 3>();
        }
    }

    const PlateProblem& problem;
    double D;
    double C; ///< zero: linear theory
    std::vector<double> nodes;
    std::vector<Element> elements;
    std::vector<Eigen::Vector4d> pressure_on; ///< work-equivalent loads of each element
    Eigen::VectorXd load;
    std::vector<char> free;
};

/// Newton's method on the potential, with a backtracking line search, at one load level.
bool newton(const Discrete& plate, double scale, Eigen::VectorXd& x, PlateSolution& solution) {
    BlockTridiagonal tangent(std::vector<int>(plate.nodes.size(), unknowns));
    BlockCholesky cholesky(tangent);
    Eigen::VectorXd force(x.size());
    Eigen::VectorXd step(x.size());
    Eigen::VectorXd trial(x.size());
    constexpr int most_iterations = 60;
    constexpr double tolerance = 1e-11; // of the thickness, or of the deflection where that is more
    constexpr double near = 1e-9;       // likewise
    solution.last_step = infinity;

    for (int iteration = 0; iteration < most_iterations; ++iteration) {
        plate.assemble(x, 1.0, force, tangent);
        if (!cholesky.factor(tangent, plate.free)) {
            plate.assemble(x, 0.0, force, tangent);
            if (!cholesky.factor(tangent, plate.free)) return false;
        }
        step = scale * plate.load - force;
        for (Eigen::Index i = 0; i < step.size(); ++i)
            if (!plate.free[static_cast<std::size_t>(i)]) step[i] = 0.0;
        const Eigen::VectorXd residual = step;
        cholesky.solve(step);

        double length = 1.0;
        if (plate.C > 0.0) {
            const double start = plate.potential(x, scale);
            const double gain = residual.dot(step);
            // So near the minimum the potential is rounding alone, and the whole step is good.
            constexpr double least_gain = 1e-11;
            while (gain > least_gain * std::abs(start) && length > 1e-6) {
                trial = x + length * step;
                if (plate.potential(trial, scale) <= start - 1e-4 * length * gain) break;
                length *= 0.5;
            }
        }
        x += length * step;
        ++solution.iterations;
        // The whole step is judged: one that the line search has cut is no sign of the end.
        const double before = std::exchange(solution.last_step, 0.0);
        double largest = 0.0;
        for (Eigen::Index n = 0; n < x.size(); n += unknowns) {
            solution.last_step = std::max(solution.last_step, std::abs(step[n]));
            largest = std::max(largest, std::abs(x[n]));
        }
        const double scale_of_w = std::max(plate.problem.thickness, largest);
        // Steps go down by squares until rounding holds them.
        const bool is_held = before <= near * scale_of_w && solution.last_step >= 0.5 * before;
        if (plate.C == 0.0 || is_held || solution.last_step <= tolerance * scale_of_w) return true;
    }
    return false;
}

} // namespace

PlateSolution solve(const PlateProblem& problem) {
    if (!(problem.thickness > 0.0)) throw std::invalid_argument("PlateProblem: thickness is not positive");
    const bool held = problem.inner == EdgeSupport::simple || problem.inner == EdgeSupport::fixed ||
                      problem.outer == EdgeSupport::simple || problem.outer == EdgeSupport::fixed;
    if (!held) throw std::invalid_argument("PlateProblem: no edge holds the plate");
    const Discrete plate(problem);

    PlateSolution solution;
    Eigen::VectorXd x = Eigen::VectorXd::Zero(plate.load.size());
    // Newton needs only a start inside its basin: a few equal load steps, more of them when one fails.
    for (int steps = plate.C > 0.0 ? 4 : 1; steps <= 256 && !solution.converged; steps *= 4) {
        x.setZero();
        solution.converged = true;
        for (int k = 1; k <= steps && solution.converged; ++k)
            solution.converged = newton(plate, static_cast<double>(k) / steps, x, solution);
    }

    const std::size_t count = plate.nodes.size();
    solution.radius = plate.nodes;
    solution.resultants.resize(count);
    for (std::size_t n = 0; n < count; ++n) {
        const Eigen::Index at = unknowns * static_cast<Eigen::Index>(n);
        solution.deflection.push_back(x[at]);
        solution.slope.push_back(x[at + 1]);
        solution.radial.push_back(x[at + 2]);
    }
    ElementMatrix unused;
    for (std::size_t e = 0; e + 1 < count; ++e) {
        ElementVector force = plate.nodal_force(e, x, false, unused);
        force.segment<2>(0) -= plate.pressure_on[e].head<2>();
        force.segment<2>(3) -= plate.pressure_on[e].tail<2>();
        const ElementVector q = x.segment<6>(unknowns * static_cast<Eigen::Index>(e));
        const plate::ElementResultants ends =
            plate::resultants(plate.elements[e], problem.material, problem.thickness, q, force);
        solution.resultants[e] = ends.inner;
        solution.resultants[e + 1] = ends.outer;
        if (e == 0) solution.inner_reaction = force[0];
        if (e + 2 == count) solution.outer_reaction = force[3];
    }
    for (const RingLoad& ring : problem.rings) { // a ring load on a held edge goes straight into the support
        if (plate::node_at(plate.nodes, ring.radius) == 0) solution.inner_reaction -= ring.force;
        if (plate::node_at(plate.nodes, ring.radius) + 1 == static_cast<int>(count))
            solution.outer_reaction -= ring.force;
    }
    return solution;
}

plate::Vibration vibration_of(const PlateProblem& problem, const PlateSolution* state, int nodal_diameters) {
    plate::Vibration vibration;
    vibration.nodal_diameters = nodal_diameters;
    vibration.nodes =
        state != nullptr ? state->radius
                         : plate::graded_nodes({problem.inner_radius, problem.outer_radius}, problem.grading);
    plate::VibratingPlate moving{problem.thickness, problem.material, 1, {}, {}};
    const auto holds_plane = [](EdgeSupport support) {
        return support == EdgeSupport::guided || support == EdgeSupport::fixed;
    };
    const bool drifts = !holds_plane(problem.inner) && !holds_plane(problem.outer);
    const std::size_t last = vibration.nodes.size() - 1;
    for (std::size_t k = 0; k <= last; ++k) {
        const EdgeSupport support = k == 0 ? problem.inner : k == last ? problem.outer : EdgeSupport::free;
        const bool w = support == EdgeSupport::simple || support == EdgeSupport::fixed;
        const bool edge = holds_plane(support);
        const bool flat = state == nullptr;
        // Without nodal diameters v is a turning on its own; with one, a plate may drift in its plane.
        const bool v = edge || flat || nodal_diameters == 0 || (nodal_diameters == 1 && drifts && k == 0);
        const auto number = [&](bool held) { return held ? -1 : vibration.unknowns++; };
        moving.unknowns.push_back({number(w), number(edge), number(edge || flat), number(v)});
        if (!flat) moving.bent.push_back({state->deflection[k], state->slope[k], state->radial[k]});
    }
    vibration.plates.push_back(std::move(moving));
    return vibration;
}

} // namespace valve::validation
