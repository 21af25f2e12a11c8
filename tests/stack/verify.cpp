#include <stack/verify.hpp>
#include <valve/plate/detail/element.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>
#include <vector>

namespace valve::stack::testing {
namespace {

/// Nodal forces of one leaf: on w, w' and u at each of its stations; and what the rounding of the deflections
/// they are computed from can make of each, Σ |K| ε |w|. Elements between edges 0.01 mm apart are so stiff
/// that this counts.
struct NodalForces {
    explicit NodalForces(std::size_t count)
        : w(count), slope(count), radial(count), w_doubt(count), slope_doubt(count), radial_doubt(count) {}

    std::vector<double> w, slope, radial;
    std::vector<double> w_doubt, slope_doubt, radial_doubt;
};

/// What of a force is beyond doubt.
double beyond(double force, double doubt) {
    return std::copysign(std::max(0.0, std::abs(force) - doubt), force);
}

/// Largest deflection at a station among a leaf and those under it: a state stores openings, counted up from
/// the lowest leaf, so that this is what a deflection is rounded to.
double largest_up_to(const Problem::Shapes& shapes, std::size_t leaf, std::size_t station) {
    double largest = 0.0;
    for (std::size_t i = 0; i <= leaf; ++i)
        if (station < shapes.w[i].size()) largest = std::max(largest, std::abs(shapes.w[i][station]));
    return largest;
}

NodalForces forces_of(const Problem& problem, const Problem::Shapes& shapes, int leaf, double pressure) {
    const Stack& stack = problem.stack();
    const Shim& cut = problem.shim_of(leaf);
    const double shims = problem.shims_in(leaf);
    const std::size_t i = static_cast<std::size_t>(leaf);
    const std::size_t count = shapes.w[i].size();
    NodalForces f(count);
    auto share = [&stack](double r) { // of the pressure that acts at a radius
        const double in = stack.seat.inner_radius;
        const double out = stack.seat.outer_radius;
        if (r < std::max(stack.zone.inner_radius, 0.0) - 1e-9 || r > out) return 0.0;
        return r <= in ? 1.0 : (out - r) / (out - in);
    };
    for (std::size_t e = 0; e + 1 < count; ++e) {
        const int s = static_cast<int>(e);
        const plate::Element element(problem.radius(s), problem.radius(s + 1), cut.material.poisson_ratio);
        plate::ElementVector q;
        q << 0.0, shapes.slope[i][e], shapes.radial[i][e], shapes.w[i][e + 1] - shapes.w[i][e],
            shapes.slope[i][e + 1], shapes.radial[i][e + 1];
        plate::ElementVector force = plate::ElementVector::Zero();
        plate::ElementMatrix stiffness = plate::ElementMatrix::Zero();
        element.add_bending(shims * plate::bending_stiffness(cut.material, cut.thickness), q, force,
                            stiffness);
        if (problem.theory() == Theory::large_deflection)
            element.add_membrane(shims * plate::membrane_stiffness(cut.material, cut.thickness), q, 1.0,
                                 force, stiffness);
        plate::ElementVector stored;
        stored << largest_up_to(shapes, i, e), shapes.slope[i][e], shapes.radial[i][e],
            largest_up_to(shapes, i, e + 1), shapes.slope[i][e + 1], shapes.radial[i][e + 1];
        // Some sixteen roundings meet in one force: openings added up, differences, products.
        const plate::ElementVector doubt =
            16.0 * std::numeric_limits<double>::epsilon() * (stiffness.cwiseAbs() * stored.cwiseAbs()).eval();
        const bool pressed = element.inner() >= stack.zone.inner_radius - 1e-9 &&
                             element.outer() <= stack.seat.outer_radius + 1e-9;
        if (leaf == 0 && pressed) {
            const Eigen::Vector4d load =
                pressure * stack.coverage *
                element.pressure_load(share(element.inner()), share(element.outer()));
            force.segment<2>(0) -= load.head<2>();
            force.segment<2>(3) -= load.tail<2>();
        }
        f.w[e] += force[0];
        f.slope[e] += force[1];
        f.radial[e] += force[2];
        f.w[e + 1] += force[3];
        f.slope[e + 1] += force[4];
        f.radial[e + 1] += force[5];
        f.w_doubt[e] += doubt[0];
        f.slope_doubt[e] += doubt[1];
        f.radial_doubt[e] += doubt[2];
        f.w_doubt[e + 1] += doubt[3];
        f.slope_doubt[e + 1] += doubt[4];
        f.radial_doubt[e + 1] += doubt[5];
    }
    return f;
}

} // namespace

double pressed(const Problem& problem, double pressure) {
    const Stack& stack = problem.stack();
    const double a = std::max(stack.zone.inner_radius, problem.radius(0));
    const double b = stack.seat.inner_radius;
    const double c = stack.seat.outer_radius;
    return pressure * stack.coverage * std::numbers::pi * (b * b - a * a + (c - b) * (2.0 * b + c) / 3.0);
}

Verdict verify(const Problem& problem, const State& state) {
    const Stack& stack = problem.stack();
    const Problem::Shapes shapes = problem.shapes(state.x);
    std::vector<NodalForces> forces;
    for (int i = 0; i < problem.leaves(); ++i)
        forces.push_back(forces_of(problem, shapes, i, state.pressure));

    Verdict verdict;
    std::vector<std::pair<double, double>> contacts; // force and gap
    const double applied = pressed(problem, state.pressure);
    verdict.load = applied + (stack.floating ? stack.floating->preload : 0.0);
    double from_below = 0.0; // all that pushes the shims away from the piston
    double from_above = 0.0;
    double all_doubt = 0.0;

    for (int k = 0; k < problem.stations(); ++k) {
        const std::size_t s = static_cast<std::size_t>(k);
        const std::vector<int>& here = problem.present(k);
        const bool ring = k == problem.ring_station();
        for (std::size_t p = 0; p < here.size(); ++p) {
            const std::size_t i = static_cast<std::size_t>(here[p]);
            verdict.highest = std::max(verdict.highest, std::abs(shapes.w[i][s]));
            if (ring && stack.edge != InnerEdge::free) continue;
            const double moment = beyond(forces[i].slope[s], forces[i].slope_doubt[s]);
            const double radial = beyond(forces[i].radial[s], forces[i].radial_doubt[s]);
            verdict.imbalance =
                std::max({verdict.imbalance, std::abs(moment) / problem.radius(k), std::abs(radial)});
        }
        // From the last leaf down: what holds leaf p up is what it and all above it weigh on p − 1.
        double weight = 0.0;
        double doubt = 0.0;
        for (std::size_t p = here.size(); p-- > 0;) {
            const std::size_t i = static_cast<std::size_t>(here[p]);
            double own = forces[i].w[s];
            doubt += forces[i].w_doubt[s];
            all_doubt += forces[i].w_doubt[s];
            if (stack.floating && p + 1 == here.size() &&
                std::abs(problem.radius(k) - stack.floating->spring_radius) < 1e-6) {
                const double push = stack.floating->preload + stack.floating->spring_rate * shapes.w[i][s];
                own += push;
                from_above += push;
            }
            if (stack.floating && p + 1 == here.size() && k == problem.stop_station() && !ring) {
                // The stop may take what the shims below do not hold.
                const double clearance = stack.floating->travel - shapes.w[i][s];
                verdict.overlap = std::max(verdict.overlap, -clearance);
                double rest = own;
                for (std::size_t below = 0; below < p; ++below) {
                    rest += forces[static_cast<std::size_t>(here[below])].w[s];
                    doubt += forces[static_cast<std::size_t>(here[below])].w_doubt[s];
                }
                const double stop = -beyond(rest, doubt);
                verdict.pull = std::max(verdict.pull, -stop);
                contacts.push_back({stop, clearance});
                from_above += stop;
                own += stop;
            }
            weight += own;
            if (p == 0) break;
            if (ring) continue;
            const std::size_t j = static_cast<std::size_t>(here[p - 1]);
            double gap = shapes.w[i][s] - shapes.w[j][s];
            for (int n = problem.last_shim(here[p - 1]) + 1; n < problem.first_shim(here[p]); ++n)
                gap += stack.shims[static_cast<std::size_t>(n - 1)].thickness;
            const double force = beyond(weight, doubt);
            verdict.overlap = std::max(verdict.overlap, -gap);
            verdict.pull = std::max(verdict.pull, -force);
            contacts.push_back({force, gap});
        }
        const double force = beyond(weight, doubt);
        if (problem.on_land(k)) {
            const double gap = shapes.w[0][s] - stack.seat.height;
            verdict.overlap = std::max(verdict.overlap, -gap);
            verdict.pull = std::max(verdict.pull, -force);
            contacts.push_back({force, gap});
            from_below += weight;
        } else if (ring) {
            const double w = shapes.w[0][s];
            from_below += weight; // clamp, hub or stop: of either sign in a clamp
            if (stack.floating) {
                const bool stopped = k == problem.stop_station() && w > 0.5 * stack.floating->travel;
                const bool hub = stack.floating->rests_on == RestsOn::hub;
                if (hub) verdict.overlap = std::max(verdict.overlap, -w);
                if (stopped) {
                    verdict.overlap = std::max(verdict.overlap, w - stack.floating->travel);
                    verdict.pull = std::max(verdict.pull, force);
                    contacts.push_back({force, (stack.floating->travel - w)});
                } else if (hub) {
                    verdict.pull = std::max(verdict.pull, -force);
                    contacts.push_back({force, w});
                } else {
                    verdict.imbalance = std::max(verdict.imbalance, std::abs(force));
                }
            }
        } else {
            verdict.imbalance = std::max(verdict.imbalance, std::abs(force));
        }
        verdict.load = std::max(verdict.load, std::abs(weight));
    }
    verdict.imbalance =
        std::max(verdict.imbalance, std::abs(beyond(applied + from_below - from_above, all_doubt)));
    for (const auto& [force, gap] : contacts)
        verdict.product =
            std::max(verdict.product, std::abs(force) / verdict.load * std::abs(gap) / verdict.highest);
    return verdict;
}

} // namespace valve::stack::testing
