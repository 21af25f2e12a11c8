#include <valve/core/detail/index.hpp>
#include <valve/core/detail/infinity.hpp>
#include <valve/plate/detail/element.hpp>
#include <valve/stack/detail/ring_problem.hpp>

#include <algorithm>
#include <array>
#include <optional>
#include <stdexcept>
#include <utility>

namespace valve::stack {

RingProblem::RingProblem(const Problem& round, const plate::RingBasis& basis)
    : m_round(round), m_basis(basis), m_work(basis) {
    const Stack& stack = round.stack();
    if (round.theory() != Theory::large_deflection)
        throw std::invalid_argument("stack::RingProblem: linear plates do not buckle");
    if (stack.floating && stack.edge == InnerEdge::guided)
        throw std::invalid_argument("stack::RingProblem: a guided float stays level");
    for (int i = 0; i < round.leaves(); ++i) {
        const Shim& shim = round.shim_of(i);
        std::vector<plate::RingElement>& elements = m_elements[shim.material.poisson_ratio];
        if (elements.empty())
            for (int e = 0; e + 1 < round.stations(); ++e)
                elements.emplace_back(round.radius(e), round.radius(e + 1), shim.material.poisson_ratio,
                                      m_basis);
        Leaf leaf;
        leaf.last_station = round.last_station(i);
        leaf.D = round.shims_in(i) * plate::bending_stiffness(shim.material, shim.thickness);
        leaf.C = round.shims_in(i) * plate::membrane_stiffness(shim.material, shim.thickness);
        leaf.elements = &elements;
        m_leaves.push_back(leaf);
    }
    m_offsets.push_back(0);
    const int per_leaf = 2 * m_basis.nodes() + m_basis.in_plane();
    for (int k = 0; k < round.stations(); ++k)
        m_offsets.push_back(m_offsets.back() + per_leaf * count_at(k));
    set_bounds();
    lay_load(0.0);
    m_push.setZero(size());
    const Eigen::MatrixXd& coefficients = m_basis.coefficients();
    m_bed = 0.5 *
            (coefficients.transpose() * coefficients + coefficients.row(0).transpose() * coefficients.row(0));
    m_deflections.setZero(size());
    m_q.setZero(2 * per_leaf);
    m_force.setZero(2 * per_leaf);
    m_stiffness.setZero(2 * per_leaf, 2 * per_leaf);
}

int RingProblem::opening(int station, int place, int node) const {
    return m_offsets[at(station)] + place * m_basis.nodes() + node;
}

int RingProblem::slope_at(int station, int place) const {
    return m_offsets[at(station)] + (count_at(station) + place) * m_basis.nodes();
}

int RingProblem::in_plane_at(int station, int place) const {
    return m_offsets[at(station)] + 2 * count_at(station) * m_basis.nodes() + place * m_basis.in_plane();
}

int RingProblem::place_of(int station, int leaf) const {
    const std::vector<int>& here = m_round.present(station);
    return static_cast<int>(std::lower_bound(here.begin(), here.end(), leaf) - here.begin());
}

void RingProblem::set_bounds() {
    m_lower.setConstant(size(), -infinity);
    m_upper.setConstant(size(), infinity);
    const auto hold = [this](int first, int length) {
        m_lower.segment(first, length).setZero();
        m_upper.segment(first, length).setZero();
    };
    for (int k = 0; k < m_round.stations(); ++k) {
        const int count = count_at(k);
        for (int p = 0; p < count; ++p) {
            const int there = m_round.opening(k, p);
            m_lower.segment(opening(k, p, 0), m_basis.nodes()).setConstant(m_round.lower()[there]);
            m_upper.segment(opening(k, p, 0), m_basis.nodes()).setConstant(m_round.upper()[there]);
            const auto hold_like = [&](int round_index, int first, int length) {
                if (!(m_round.lower()[round_index] < m_round.upper()[round_index])) hold(first, length);
            };
            hold_like(there + count, slope_at(k, p), m_basis.nodes());
            hold_like(there + 2 * count, in_plane_at(k, p), m_basis.in_plane());
            // With one wave a free shim may drift in its plane.
            if (k == 0 && m_basis.waves() == 1 && m_round.stack().edge == InnerEdge::free)
                hold(in_plane_at(k, p) + m_basis.harmonics() + 1, 1);
        }
    }
}

void RingProblem::press_unevenly(double share) {
    lay_load(share);
}

void RingProblem::push_in_waves(int harmonic, double force) {
    m_push.setZero();
    const Eigen::VectorXd shares = 0.5 * m_basis.coefficients().row(harmonic).transpose(); // as for the load
    for (int i = 0; i < m_round.leaves(); ++i) {
        const int rim = m_leaves[at(i)].last_station;
        m_push.segment(opening(rim, place_of(rim, i), 0), m_basis.nodes()) += force * shares;
    }
    to_opening_forces(m_push);
}

void RingProblem::lay_load(double unevenness) {
    const Stack& stack = m_round.stack();
    m_shares = stack.windows > 0 ? Eigen::VectorXd(m_basis.shares(stack.coverage) / stack.coverage)
                                 : m_basis.shares(1.0);
    m_shares += 0.5 * unevenness * m_basis.coefficients().row(1).transpose(); // the mean of cos² Nθ
    m_load.setZero(size());
    const int n = m_basis.nodes();
    for (int e = 0; e < m_leaves.front().last_station; ++e)
        for (int side = 0; side < 2; ++side) { // w and w' of the lowest leaf
            const Eigen::Vector4d& forces = m_round.unit_load(e);
            m_load.segment(opening(e + side, 0, 0), n) += forces[2 * side] * m_shares;
            m_load.segment(slope_at(e + side, 0), n) += forces[2 * side + 1] * m_shares;
        }
    to_opening_forces(m_load);
}

void RingProblem::to_deflections(const Eigen::VectorXd& x, Eigen::VectorXd& y) const {
    const int n = m_basis.nodes();
    y = x;
    for (int k = 0; k < m_round.stations(); ++k) {
        const int o = m_offsets[at(k)];
        const int count = count_at(k);
        if (m_round.counts_from_top(k)) {
            y.segment(o + (count - 1) * n, n) = x.segment(o, n);
            for (int p = count - 2; p >= 0; --p)
                y.segment(o + p * n, n) = y.segment(o + (p + 1) * n, n) - x.segment(o + (p + 1) * n, n);
        } else {
            for (int p = 1; p < count; ++p)
                y.segment(o + p * n, n) += y.segment(o + (p - 1) * n, n);
        }
    }
}

void RingProblem::to_opening_forces(Eigen::VectorXd& forces) const {
    for (int k = 0; k < m_round.stations(); ++k)
        to_opening_rows(k, forces.segment(m_offsets[at(k)], m_offsets[at(k + 1)] - m_offsets[at(k)]));
}

// As in Problem, for all nodes of the basis at once.
template <class Rows>
void RingProblem::to_opening_rows(int station, Rows&& rows) const {
    const int n = m_basis.nodes();
    const int count = count_at(station);
    if (!m_round.counts_from_top(station)) {
        for (int p = count - 2; p >= 0; --p)
            rows.middleRows(p * n, n) += rows.middleRows((p + 1) * n, n);
        return;
    }
    for (int p = 1; p < count; ++p)
        rows.middleRows(p * n, n) += rows.middleRows((p - 1) * n, n);
    for (int p = count - 1; p > 0; --p) {
        rows.middleRows(p * n, n).swap(rows.middleRows((p - 1) * n, n));
        rows.middleRows(p * n, n) *= -1.0;
    }
}

void RingProblem::gather(const Eigen::VectorXd& y, int leaf, int element) const {
    const int n = m_basis.nodes();
    const int per_node = 2 * n + m_basis.in_plane();
    for (int side = 0; side < 2; ++side) {
        const int station = element + side;
        const int place = place_of(station, leaf);
        m_q.segment(side * per_node, n) = y.segment(opening(station, place, 0), n);
        m_q.segment(side * per_node + n, n) = y.segment(slope_at(station, place), n);
        m_q.segment(side * per_node + 2 * n, m_basis.in_plane()) =
            y.segment(in_plane_at(station, place), m_basis.in_plane());
    }
}

double RingProblem::add_spring(const Eigen::VectorXd& y, Eigen::VectorXd* gradient,
                               plate::BlockTridiagonal* tangent) const {
    const std::optional<Float>& floating = m_round.stack().floating;
    if (!floating) return 0.0;
    const int station = m_round.spring_station();
    const int place = count_at(station) - 1;
    const int first = opening(station, place, 0);
    const int n = m_basis.nodes();
    const auto w = y.segment(first, n);
    const Eigen::VectorXd preload = floating->preload * m_basis.coefficients().row(0).transpose();
    const Eigen::VectorXd bed = m_round.closing_rate() * (m_bed * w);
    if (gradient != nullptr) gradient->segment(first, n) += preload + bed;
    if (tangent != nullptr)
        tangent->diagonal(station).block(place * n, place * n, n, n) += m_round.closing_rate() * m_bed;
    return preload.dot(w) + 0.5 * bed.dot(w);
}

double RingProblem::energy(const Eigen::VectorXd& x, double pressure) const {
    Eigen::VectorXd& y = m_deflections;
    to_deflections(x, y);
    double energy = add_spring(y, nullptr, nullptr) - pressure * m_load.dot(x) - m_push.dot(x);
    for (int i = 0; i < m_round.leaves(); ++i) {
        const Leaf& leaf = m_leaves[at(i)];
        for (int e = 0; e < leaf.last_station; ++e) {
            gather(y, i, e);
            energy += (*leaf.elements)[at(e)].energy(leaf.D, leaf.C, m_q, m_work);
        }
    }
    return energy;
}

void RingProblem::differentiate(const Eigen::VectorXd& x, double pressure, Eigen::VectorXd& gradient) const {
    Eigen::VectorXd& y = m_deflections;
    to_deflections(x, y);
    gradient.setZero();
    const int n = m_basis.nodes();
    const int per_node = 2 * n + m_basis.in_plane();
    for (int i = 0; i < m_round.leaves(); ++i) {
        const Leaf& leaf = m_leaves[at(i)];
        for (int e = 0; e < leaf.last_station; ++e) {
            gather(y, i, e);
            (*leaf.elements)[at(e)].differentiate(leaf.D, leaf.C, m_q, m_work, m_force);
            for (int side = 0; side < 2; ++side) {
                const int place = place_of(e + side, i);
                const int from = side * per_node;
                gradient.segment(opening(e + side, place, 0), n) += m_force.segment(from, n);
                gradient.segment(slope_at(e + side, place), n) += m_force.segment(from + n, n);
                gradient.segment(in_plane_at(e + side, place), m_basis.in_plane()) +=
                    m_force.segment(from + 2 * n, m_basis.in_plane());
            }
        }
    }
    add_spring(y, &gradient, nullptr);
    to_opening_forces(gradient);
    gradient -= pressure * m_load;
    gradient -= m_push;
}

void RingProblem::assemble(const Eigen::VectorXd& x, double pressure, double squeeze,
                           Eigen::VectorXd& gradient, plate::BlockTridiagonal& tangent) const {
    Eigen::VectorXd& y = m_deflections;
    to_deflections(x, y);
    gradient.setZero();
    tangent.set_zero();
    const int n = m_basis.nodes();
    const int in_plane = m_basis.in_plane();
    const int per_node = 2 * n + in_plane;
    const std::array<int, 3> from{0, n, 2 * n};
    const std::array<int, 3> length{n, n, in_plane};
    for (int i = 0; i < m_round.leaves(); ++i) {
        const Leaf& leaf = m_leaves[at(i)];
        for (int e = 0; e < leaf.last_station; ++e) {
            gather(y, i, e);
            (*leaf.elements)[at(e)].assemble(leaf.D, leaf.C, m_q, squeeze, m_work, m_force, m_stiffness);
            std::array<std::array<int, 3>, 2> to{};
            for (int side = 0; side < 2; ++side) {
                const int place = place_of(e + side, i);
                to[at(side)] = {opening(e + side, place, 0), slope_at(e + side, place),
                                in_plane_at(e + side, place)};
                for (std::size_t part = 0; part < 3; ++part) {
                    gradient.segment(to[at(side)][part], length[part]) +=
                        m_force.segment(side * per_node + from[part], length[part]);
                    to[at(side)][part] -= m_offsets[at(e + side)];
                }
            }
            for (std::size_t a = 0; a < 3; ++a)
                for (std::size_t b = 0; b < 3; ++b) {
                    const auto block = [&](int row_side, int column_side) {
                        return m_stiffness.block(row_side * per_node + from[a],
                                                 column_side * per_node + from[b], length[a], length[b]);
                    };
                    tangent.diagonal(e).block(to[0][a], to[0][b], length[a], length[b]) += block(0, 0);
                    tangent.diagonal(e + 1).block(to[1][a], to[1][b], length[a], length[b]) += block(1, 1);
                    tangent.upper(e).block(to[0][a], to[1][b], length[a], length[b]) += block(0, 1);
                }
        }
    }
    add_spring(y, &gradient, &tangent);
    to_opening_forces(gradient);
    gradient -= pressure * m_load;
    gradient -= m_push;
    for (int s = 0; s < m_round.stations(); ++s) {
        to_opening_rows(s, tangent.diagonal(s));
        to_opening_rows(s, tangent.diagonal(s).transpose());
        if (s + 1 == m_round.stations()) break;
        to_opening_rows(s, tangent.upper(s));
        to_opening_rows(s + 1, tangent.upper(s).transpose());
    }
}

plate::BlockTridiagonal RingProblem::make_tangent() const {
    std::vector<int> sizes;
    for (int k = 0; k < m_round.stations(); ++k)
        sizes.push_back(m_offsets[at(k + 1)] - m_offsets[at(k)]);
    return plate::BlockTridiagonal(std::move(sizes));
}

double RingProblem::largest_deflection(const Eigen::VectorXd& x) const {
    double largest = 0.0;
    for (int k = 0; k < m_round.stations(); ++k)
        largest = std::max(largest,
                           x.segment(m_offsets[at(k)], count_at(k) * m_basis.nodes()).cwiseAbs().maxCoeff());
    return largest;
}

Eigen::VectorXd RingProblem::from_round(const Eigen::VectorXd& x) const {
    Eigen::VectorXd ring = Eigen::VectorXd::Zero(size());
    for (int k = 0; k < m_round.stations(); ++k)
        for (int p = 0; p < count_at(k); ++p) {
            const int there = m_round.opening(k, p);
            ring.segment(opening(k, p, 0), m_basis.nodes()).setConstant(x[there]);
            ring.segment(slope_at(k, p), m_basis.nodes()).setConstant(x[there + count_at(k)]);
            ring[in_plane_at(k, p)] = x[there + 2 * count_at(k)];
        }
    return ring;
}

Eigen::VectorXd RingProblem::face_lift(const Eigen::VectorXd& x, int station) const {
    Eigen::VectorXd& y = m_deflections;
    to_deflections(x, y);
    return y.segment(opening(station, 0, 0), m_basis.nodes());
}

RingProblem::LeafAt RingProblem::leaf_at(const Eigen::VectorXd& x, int leaf, int station) const {
    Eigen::VectorXd& y = m_deflections;
    to_deflections(x, y);
    const int place = place_of(station, leaf);
    return {y.segment(opening(station, place, 0), m_basis.nodes()),
            y.segment(slope_at(station, place), m_basis.nodes())};
}

} // namespace valve::stack
