#include <valve/core/detail/index.hpp>
#include <valve/core/detail/infinity.hpp>
#include <valve/plate/detail/resultants.hpp>
#include <valve/stack/detail/load.hpp>
#include <valve/stack/detail/problem.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <utility>

namespace valve::stack {

Problem::Problem(const Stack& stack, Theory theory, const plate::Grading& grading)
    : m_stack(stack), m_theory(theory) {
    for (const Finding& finding : check(stack))
        if (finding.severity == Finding::Severity::error)
            throw std::invalid_argument("stack::Problem: " + finding.key + ": " + finding.message);
    if (stack.disc) throw std::invalid_argument("stack::Problem: a rigid disc has no plates");
    lay_mesh(grading);
    lay_leaves();
    lay_stations();
    set_bounds();
    lay_load();
    m_load_area = valve::stack::load_area(m_stack);
    if (stack.floating) m_closing_rate = valve::stack::closing_rate(stack);
    m_deflections.setZero(size());
}

void Problem::lay_mesh(const plate::Grading& grading) {
    const double inner = m_stack.floating ? m_stack.bore_radius : m_stack.clamp_radius;
    std::vector<double> edges{inner, m_stack.clamp_radius, m_stack.zone.inner_radius,
                              m_stack.seat.inner_radius, m_stack.seat.outer_radius};
    if (m_stack.floating) {
        const Float& floating = *m_stack.floating;
        edges.insert(edges.end(), {floating.ring_radius, floating.spring_radius, floating.stop_radius});
    }
    for (const Shim& shim : m_stack.shims)
        edges.push_back(shim.outer_radius);
    std::erase_if(edges, [inner](double edge) { return edge < inner; });
    m_nodes = plate::graded_nodes(std::move(edges), grading);

    // Edges a few µm apart share a node: load and supports begin where the node is.
    for (double* radius :
         {&m_stack.zone.inner_radius, &m_stack.seat.inner_radius, &m_stack.seat.outer_radius})
        if (*radius > m_nodes.front()) *radius = m_nodes[at(plate::node_at(m_nodes, *radius))];

    m_seat_station = plate::node_at(m_nodes, m_stack.seat.inner_radius);
    m_ring_station = 0;
    if (m_stack.floating) {
        m_ring_station = plate::node_at(m_nodes, m_stack.floating->ring_radius);
        m_spring_station = plate::node_at(m_nodes, m_stack.floating->spring_radius);
        m_stop_station = plate::node_at(m_nodes, m_stack.floating->stop_radius);
    }
}

void Problem::lay_leaves() {
    m_thinnest = infinity;
    for (std::size_t i = 0; i < m_stack.shims.size(); ++i) {
        const Shim& shim = m_stack.shims[i];
        if (is_spacer(m_stack, shim)) continue;
        const int number = static_cast<int>(i) + 1;
        m_thinnest = std::min(m_thinnest, shim.thickness);
        const bool like_the_last =
            !m_leaves.empty() && m_leaves.back().last_shim == number - 1 && shim == m_stack.shims[i - 1];
        if (!like_the_last) {
            std::vector<plate::Element>& elements = m_elements[shim.material.poisson_ratio];
            if (elements.empty())
                for (std::size_t e = 0; e + 1 < m_nodes.size(); ++e)
                    elements.emplace_back(m_nodes[e], m_nodes[e + 1], shim.material.poisson_ratio);
            m_leaves.push_back({.first_shim = number,
                                .last_station = plate::node_at(m_nodes, shim.outer_radius),
                                .elements = &elements,
                                .w = {}});
        }
        Leaf& leaf = m_leaves.back();
        leaf.last_shim = number;
        leaf.D += plate::bending_stiffness(shim.material, shim.thickness);
        if (m_theory == Theory::large_deflection)
            leaf.C += plate::membrane_stiffness(shim.material, shim.thickness);
    }
}

void Problem::lay_stations() {
    const int seat_end = plate::node_at(m_nodes, m_stack.seat.outer_radius);
    m_offsets.push_back(0);
    for (int k = 0; k < stations(); ++k) {
        Station station;
        station.land = k >= m_seat_station && k <= seat_end;
        // Off the ring, where the leaves are not tied together, the stop bounds the last one: its clearance
        // is the first unknown there, since one station then has no support below (check() sees to that).
        station.from_top = k == m_stop_station && k != m_ring_station;
        for (int i = 0; i < leaves(); ++i)
            if (m_leaves[at(i)].last_station >= k) station.leaves.push_back(i);

        m_offsets.push_back(m_offsets.back() + unknowns_per_leaf() * static_cast<int>(station.leaves.size()));
        for (std::size_t place = 0; place < station.leaves.size(); ++place)
            m_leaves[at(station.leaves[place])].w.push_back(m_offsets[at(k)] + static_cast<int>(place));
        m_stations.push_back(std::move(station));
    }
}

double Problem::clear_at_rest(int station, int place) const {
    const std::vector<int>& here = present(station);
    double clear = 0.0;
    for (int n = last_shim(here[at(place - 1)]) + 1; n < first_shim(here[at(place)]); ++n)
        clear += m_stack.shims[at(n - 1)].thickness;
    return clear;
}

void Problem::set_bounds() {
    m_lower.setConstant(size(), -infinity);
    m_upper.setConstant(size(), infinity);
    auto hold = [this](int index) { m_lower[index] = m_upper[index] = 0.0; };

    for (int k = 0; k < stations(); ++k) {
        const Station& station = m_stations[at(k)];
        const int count = static_cast<int>(count_at(k));
        for (int p = 1; p < count; ++p)
            m_lower[opening(k, p)] = -clear_at_rest(k, p);
        if (station.land) m_lower[opening(k, 0)] = m_stack.seat.height;
        if (station.from_top) m_upper[opening(k, 0)] = m_stack.floating->travel;
        if (k != m_ring_station) continue;

        for (int p = 1; p < count; ++p)
            hold(opening(k, p)); // the leaves are pressed together on the ring
        if (m_stack.floating) {
            if (m_stack.floating->rests_on == RestsOn::hub) m_lower[opening(k, 0)] = 0.0;
            if (k == m_stop_station) m_upper[opening(k, 0)] = m_stack.floating->travel;
        } else {
            hold(opening(k, 0));
        }
        if (m_stack.edge != InnerEdge::free)
            for (int p = count; p < unknowns_per_leaf() * count; ++p)
                hold(opening(k, p));
    }
}

void Problem::lay_load() {
    const double inner = std::max(m_stack.zone.inner_radius, m_nodes.front());
    const double full = m_stack.seat.inner_radius;
    const double end = m_stack.seat.outer_radius;
    auto share = [&](double r) { return r <= full ? 1.0 : (end - r) / (end - full); };
    const std::vector<plate::Element>& elements = *m_leaves.front().elements;
    const int first = plate::node_at(m_nodes, inner);
    const int last = plate::node_at(m_nodes, end);
    m_unit_load.assign(elements.size(), Eigen::Vector4d::Zero());
    for (int e = first; e < last; ++e) {
        const plate::Element& element = elements[at(e)];
        m_unit_load[at(e)] =
            m_stack.coverage * element.pressure_load(share(element.inner()), share(element.outer()));
    }

    m_load.setZero(size());
    for (int e = first; e < last; ++e)
        for (int side = 0; side < 2; ++side) { // w and w' of the lowest leaf
            const int w = m_offsets[at(e + side)];
            m_load[w] += m_unit_load[at(e)][2 * side];
            m_load[w + static_cast<int>(count_at(e + side))] += m_unit_load[at(e)][2 * side + 1];
        }
    to_opening_forces(m_load);
}

int Problem::spring_index() const {
    return m_offsets[at(m_spring_station)] + static_cast<int>(count_at(m_spring_station)) - 1;
}

const Shim& Problem::shim_of(int leaf) const {
    return m_stack.shims[at(first_shim(leaf) - 1)];
}

void Problem::to_deflections(const Eigen::VectorXd& x, Eigen::VectorXd& y) const {
    y = x;
    for (int k = 0; k < stations(); ++k) {
        const int o = m_offsets[at(k)];
        const int count = static_cast<int>(count_at(k));
        if (m_stations[at(k)].from_top) {
            y[o + count - 1] = x[o];
            for (int p = count - 2; p >= 0; --p)
                y[o + p] = y[o + p + 1] - x[o + p + 1];
        } else {
            for (int p = 1; p < count; ++p)
                y[o + p] = y[o + p - 1] + x[o + p];
        }
    }
}

void Problem::to_opening_forces(Eigen::VectorXd& forces) const {
    for (int k = 0; k < stations(); ++k)
        to_opening_rows(k, forces.segment(m_offsets[at(k)], m_offsets[at(k + 1)] - m_offsets[at(k)]));
}

// An opening moves every leaf above it, so its force is the sum over those. Under the stop's ring the first
// unknown moves all leaves, the others those below the opening, downwards.
template <class Rows>
void Problem::to_opening_rows(int station, Rows&& rows) const {
    const int count = static_cast<int>(count_at(station));
    if (!m_stations[at(station)].from_top) {
        for (int p = count - 2; p >= 0; --p)
            rows.row(p) += rows.row(p + 1);
        return;
    }
    for (int p = 1; p < count; ++p)
        rows.row(p) += rows.row(p - 1);
    for (int p = count - 1; p > 0; --p) { // the whole sum to the front, the others one place on
        rows.row(p).swap(rows.row(p - 1));
        rows.row(p) *= -1.0;
    }
}

plate::ElementVector Problem::gather(const Eigen::VectorXd& y, const Leaf& leaf, int element) const {
    plate::ElementVector q;
    for (int side = 0; side < 2; ++side) {
        const int station = element + side;
        const int count = static_cast<int>(count_at(station));
        const int index = leaf.w[at(station)];
        q[3 * side] = y[index];
        q[3 * side + 1] = y[index + count];
        q[3 * side + 2] = unknowns_per_leaf() == 3 ? y[index + 2 * count] : 0.0;
    }
    // A plate feels only differences of w. Taking the common part out first keeps the rounding of a floated
    // stack's forces, which a soft spring balances, from growing with its lift.
    q[3] -= q[0];
    q[0] = 0.0;
    return q;
}

double Problem::energy(const Eigen::VectorXd& x, double pressure) const {
    Eigen::VectorXd& y = m_deflections;
    to_deflections(x, y);
    double energy = 0.0;
    for (int i = 0; i < leaves(); ++i) {
        const Leaf& leaf = m_leaves[at(i)];
        for (int e = 0; e < leaf.last_station; ++e) {
            const plate::ElementVector q = gather(y, leaf, e);
            energy += (*leaf.elements)[at(e)].bending_energy(leaf.D, q);
            if (leaf.C > 0.0) energy += (*leaf.elements)[at(e)].membrane_energy(leaf.C, q);
            if (i == 0) {
                const double w = y[m_offsets[at(e)]];
                energy -= pressure * m_unit_load[at(e)].dot(Eigen::Vector4d(w, q[1], w + q[3], q[4]));
            }
        }
    }
    if (m_stack.floating) {
        const double w = y[spring_index()];
        energy += m_stack.floating->preload * w + 0.5 * m_closing_rate * w * w;
    }
    return energy;
}

void Problem::differentiate(const Eigen::VectorXd& x, double pressure, Eigen::VectorXd& gradient) const {
    Eigen::VectorXd& y = m_deflections;
    to_deflections(x, y);
    gradient.setZero();
    const int per_leaf = unknowns_per_leaf();
    for (int i = 0; i < leaves(); ++i) {
        const Leaf& leaf = m_leaves[at(i)];
        for (int e = 0; e < leaf.last_station; ++e) {
            const plate::ElementVector f = (*leaf.elements)[at(e)].force(leaf.D, leaf.C, gather(y, leaf, e));
            const int a = leaf.w[at(e)];
            const int b = leaf.w[at(e + 1)];
            for (int r = 0; r < per_leaf; ++r) {
                gradient[a + r * static_cast<int>(count_at(e))] += f[r];
                gradient[b + r * static_cast<int>(count_at(e + 1))] += f[3 + r];
            }
        }
    }
    if (m_stack.floating) {
        const int index = spring_index();
        gradient[index] += spring_force(y[index]);
    }
    to_opening_forces(gradient);
    gradient -= pressure * m_load;
}

void Problem::assemble(const Eigen::VectorXd& x, double pressure, double squeeze, Eigen::VectorXd& gradient,
                       plate::BlockTridiagonal& tangent) const {
    Eigen::VectorXd& y = m_deflections;
    to_deflections(x, y);
    gradient.setZero();
    tangent.set_zero();

    const int per_leaf = unknowns_per_leaf();
    plate::ElementMatrix k;
    for (int i = 0; i < leaves(); ++i) {
        const Leaf& leaf = m_leaves[at(i)];
        for (int e = 0; e < leaf.last_station; ++e) {
            const plate::ElementVector q = gather(y, leaf, e);
            const plate::Element& element = (*leaf.elements)[at(e)];
            plate::ElementVector f = plate::ElementVector::Zero();
            k.setZero();
            element.add_bending(leaf.D, q, f, k);
            if (leaf.C > 0.0) element.add_membrane(leaf.C, q, squeeze, f, k);
            const int a = leaf.w[at(e)] - m_offsets[at(e)];
            const int b = leaf.w[at(e + 1)] - m_offsets[at(e + 1)];
            const int na = static_cast<int>(count_at(e));
            const int nb = static_cast<int>(count_at(e + 1));
            Eigen::MatrixXd& inner = tangent.diagonal(e);
            Eigen::MatrixXd& outer = tangent.diagonal(e + 1);
            Eigen::MatrixXd& across = tangent.upper(e);
            for (int r = 0; r < per_leaf; ++r) {
                gradient[m_offsets[at(e)] + a + r * na] += f[r];
                gradient[m_offsets[at(e + 1)] + b + r * nb] += f[3 + r];
                for (int c = 0; c < per_leaf; ++c) {
                    inner(a + r * na, a + c * na) += k(r, c);
                    outer(b + r * nb, b + c * nb) += k(3 + r, 3 + c);
                    across(a + r * na, b + c * nb) += k(r, 3 + c);
                }
            }
        }
    }
    if (m_stack.floating) {
        const int last = static_cast<int>(count_at(m_spring_station)) - 1;
        const int index = spring_index();
        gradient[index] += spring_force(y[index]);
        tangent.diagonal(m_spring_station)(last, last) += m_closing_rate;
    }

    to_opening_forces(gradient);
    gradient -= pressure * m_load;
    for (int s = 0; s < stations(); ++s) {
        to_opening_rows(s, tangent.diagonal(s));
        to_opening_rows(s, tangent.diagonal(s).transpose());
        if (s + 1 == stations()) break;
        to_opening_rows(s, tangent.upper(s));
        to_opening_rows(s + 1, tangent.upper(s).transpose());
    }
}

double Problem::force_scale(double pressure) const {
    return pressure * m_load_area + (m_stack.floating ? m_stack.floating->preload : 0.0);
}

double Problem::largest_deflection(const Eigen::VectorXd& x) const {
    double largest = 0.0;
    for (int k = 0; k < stations(); ++k)
        for (std::size_t p = 0; p < count_at(k); ++p)
            largest = std::max(largest, std::abs(x[opening(k, static_cast<int>(p))]));
    return largest;
}

plate::BlockTridiagonal Problem::make_tangent() const {
    std::vector<int> sizes;
    for (int k = 0; k < stations(); ++k)
        sizes.push_back(m_offsets[at(k + 1)] - m_offsets[at(k)]);
    return plate::BlockTridiagonal(std::move(sizes));
}

Problem::Shapes Problem::shapes(const Eigen::VectorXd& x) const {
    Eigen::VectorXd y;
    to_deflections(x, y);
    Shapes shapes;
    for (int i = 0; i < leaves(); ++i) {
        std::vector<double> w;
        std::vector<double> slope;
        std::vector<double> radial;
        for (int s = 0; s <= m_leaves[at(i)].last_station; ++s) {
            const int index = m_leaves[at(i)].w[at(s)];
            const int count = static_cast<int>(count_at(s));
            w.push_back(y[index]);
            slope.push_back(y[index + count]);
            radial.push_back(unknowns_per_leaf() == 3 ? y[index + 2 * count] : 0.0);
        }
        shapes.w.push_back(std::move(w));
        shapes.slope.push_back(std::move(slope));
        shapes.radial.push_back(std::move(radial));
    }
    return shapes;
}

std::vector<StressPeak> Problem::peak_stresses(const Eigen::VectorXd& x, double pressure) const {
    Eigen::VectorXd& y = m_deflections;
    to_deflections(x, y);
    std::vector<StressPeak> peaks;
    for (int i = 0; i < leaves(); ++i) {
        const Leaf& leaf = m_leaves[at(i)];
        const Shim& shim = shim_of(i);
        StressPeak peak{0.0, leaf.first_shim, m_nodes.front(), Face::far};
        auto weigh = [&](const plate::Resultants& node, double radius) {
            const double t = shim.thickness;
            for (const Face face : {Face::piston, Face::far}) {
                const double side = face == Face::far ? 1.0 : -1.0;
                const double radial = node.N_r / t + side * 6.0 * node.M_r / (t * t);
                const double hoop = node.N_t / t + side * 6.0 * node.M_t / (t * t);
                const double mises = std::sqrt(radial * radial - radial * hoop + hoop * hoop);
                if (mises > peak.stress) peak = {mises, leaf.first_shim, radius, face};
            }
        };
        for (int e = 0; e < leaf.last_station; ++e) {
            const plate::Element& element = (*leaf.elements)[at(e)];
            const plate::ElementVector q = gather(y, leaf, e);
            plate::ElementVector f = element.force(leaf.D, leaf.C, q);
            if (i == 0) {
                f.segment<2>(0) -= pressure * m_unit_load[at(e)].head<2>();
                f.segment<2>(3) -= pressure * m_unit_load[at(e)].tail<2>();
            }
            f /= shims_in(i);
            const plate::ElementResultants ends =
                plate::resultants(element, shim.material, shim.thickness, q, f);
            if (e == 0) weigh(ends.inner, element.inner());
            weigh(ends.outer, element.outer());
        }
        peaks.push_back(peak);
    }
    return peaks;
}

} // namespace valve::stack
