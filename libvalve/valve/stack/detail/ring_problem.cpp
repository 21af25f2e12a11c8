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
    lay_links();
    set_bounds();
    lay_load(0.0);
    m_push.setZero(size());
    const Eigen::MatrixXd& coefficients = m_basis.coefficients();
    m_bed = 0.5 *
            (coefficients.transpose() * coefficients + coefficients.row(0).transpose() * coefficients.row(0));
    m_deflections.setZero(size());
    m_load_at.setZero(size());
    m_tilt.setZero(m_basis.nodes());
    m_slope.setZero(m_basis.nodes());
    m_push_apart.setZero(m_basis.nodes());
    m_carry.setZero(m_basis.nodes(), m_basis.nodes());
    m_turned.setZero(m_basis.nodes(), m_basis.nodes());
    const int most = round.leaves() * per_leaf;
    m_rows.setZero(m_basis.nodes(), most);
    m_columns.setZero(most, m_basis.nodes());
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

/// From the lowest shim up, or down from the last one where a stop bounds that.
void RingProblem::lay_links() {
    const auto thickness = [this](int leaf) { return m_round.shim_of(leaf).thickness; };
    for (int k = 0; k < m_round.stations(); ++k) {
        const std::vector<int>& here = m_round.present(k);
        const int count = count_at(k);
        const bool down = counts_from_top(k);
        std::vector<Link>& links = m_links.emplace_back();
        const int base = down ? count - 1 : 0;
        const int more = m_round.shims_in(here[at(base)]) - 1;
        if (more > 0)
            links.push_back({base, base, 0, down ? -1.0 : 1.0, 0.5 * more * thickness(here[at(base)])});
        for (int i = 1; i < count; ++i) {
            Link link{i - 1, i, i, 1.0, 0.0};
            if (down) link = {count - i, count - i - 1, count - i, -1.0, 0.0};
            for (const int place : {link.from, link.of})
                link.apart += 0.5 * m_round.shims_in(here[at(place)]) * thickness(here[at(place)]);
            links.push_back(link);
        }
    }
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
}

void RingProblem::lay_load(double unevenness) {
    const Stack& stack = m_round.stack();
    m_shares = stack.windows > 0 ? Eigen::VectorXd(m_basis.shares(stack.coverage) / stack.coverage)
                                 : m_basis.shares(1.0);
    m_shares += 0.5 * unevenness * m_basis.coefficients().row(1).transpose(); // the mean of cos² Nθ
    m_load.setZero(size());
    m_load_under_stop.setZero(size());
    const int n = m_basis.nodes();
    for (int e = 0; e < m_leaves.front().last_station; ++e)
        for (int side = 0; side < 2; ++side) { // w and w' of the lowest leaf
            const Eigen::Vector4d& forces = m_round.unit_load(e);
            Eigen::VectorXd& load = counts_from_top(e + side) ? m_load_under_stop : m_load;
            load.segment(opening(e + side, 0, 0), n) += forces[2 * side] * m_shares;
            m_load.segment(slope_at(e + side, 0), n) += forces[2 * side + 1] * m_shares;
        }
}

/// What a link makes of w' and of w_θ/r of what it counts from, as shares that w of its leaf gains.
void RingProblem::turn_to(int station, const Link& link, const Eigen::VectorXd& x,
                          const Eigen::VectorXd& y) const {
    const int n = m_basis.nodes();
    const Eigen::MatrixXd& round = m_basis.slopes_at_nodes();
    const double r = m_round.radius(station);
    const double apart = link.side * link.apart;
    const Eigen::VectorXd& of = link.in_leaf() ? x : y;
    m_tilt = round.lazyProduct(of.segment(opening(station, link.in_leaf() ? 0 : link.from, 0), n)) / r;
    m_slope = apart * x.segment(slope_at(station, link.from), n);
    m_carry = (apart / r) * m_tilt.asDiagonal() * round;
}

void RingProblem::to_deflections(const Eigen::VectorXd& x, Eigen::VectorXd& y) const {
    const int n = m_basis.nodes();
    const Eigen::MatrixXd& round = m_basis.slopes_at_nodes();
    y = x;
    for (int k = 0; k < m_round.stations(); ++k) {
        if (counts_from_top(k)) y.segment(opening(k, count_at(k) - 1, 0), n) = x.segment(opening(k, 0, 0), n);
        for (const Link& link : m_links[at(k)]) {
            auto w = y.segment(opening(k, link.of, 0), n);
            if (!link.in_leaf())
                w = y.segment(opening(k, link.from, 0), n) +
                    link.side * x.segment(opening(k, link.opening, 0), n);
            const Eigen::VectorXd& of = link.in_leaf() ? x : y;
            m_tilt = round.lazyProduct(of.segment(opening(k, link.in_leaf() ? 0 : link.from, 0), n)) /
                     m_round.radius(k);
            w += 0.5 * link.side * link.apart *
                 (x.segment(slope_at(k, link.from), n).cwiseAbs2() + m_tilt.cwiseAbs2());
        }
    }
}

void RingProblem::to_rates(const Eigen::VectorXd& x, const Eigen::VectorXd& rate,
                           Eigen::VectorXd& y_rate) const {
    const int n = m_basis.nodes();
    Eigen::VectorXd& y = m_deflections;
    to_deflections(x, y);
    y_rate = rate;
    for (int k = 0; k < m_round.stations(); ++k) {
        if (counts_from_top(k))
            y_rate.segment(opening(k, count_at(k) - 1, 0), n) = rate.segment(opening(k, 0, 0), n);
        for (const Link& link : m_links[at(k)]) {
            turn_to(k, link, x, y);
            const auto from = y_rate.segment(opening(k, link.from, 0), n);
            m_tilt = from + m_carry.lazyProduct(from) +
                     m_slope.cwiseProduct(rate.segment(slope_at(k, link.from), n));
            if (!link.in_leaf()) m_tilt += link.side * rate.segment(opening(k, link.opening, 0), n);
            y_rate.segment(opening(k, link.of, 0), n) = m_tilt;
        }
    }
}

/// Puts what belongs to w of the leaves of a station, each with all that is counted from it, where the
/// openings are.
template <class Rows>
void RingProblem::put_openings(int station, Rows&& rows) const {
    if (!counts_from_top(station)) return;
    const int n = m_basis.nodes();
    for (int p = count_at(station) - 1; p > 0; --p) {
        rows.middleRows(p * n, n).swap(rows.middleRows((p - 1) * n, n));
        rows.middleRows(p * n, n) *= -1.0;
    }
}

/// Adds the force on w of a link's leaf to those on what it counts from; the link is that turned to.
void RingProblem::pass_on(int station, const Link& link, Eigen::VectorXd& forces) const {
    const int n = m_basis.nodes();
    const auto force = forces.segment(opening(station, link.of, 0), n);
    auto from = forces.segment(opening(station, link.from, 0), n);
    forces.segment(slope_at(station, link.from), n) += m_slope.cwiseProduct(force);
    m_tilt = m_carry.transpose().lazyProduct(force);
    if (!link.in_leaf()) from += force;
    from += m_tilt;
}

void RingProblem::to_opening_forces(const Eigen::VectorXd& x, const Eigen::VectorXd& y,
                                    Eigen::VectorXd& forces) const {
    for (int k = 0; k < m_round.stations(); ++k) {
        const std::vector<Link>& links = m_links[at(k)];
        for (auto link = links.rbegin(); link != links.rend(); ++link) {
            turn_to(k, *link, x, y);
            pass_on(k, *link, forces);
        }
        put_openings(k, forces.segment(m_offsets[at(k)], m_offsets[at(k + 1)] - m_offsets[at(k)]));
    }
}

void RingProblem::to_openings(const Eigen::VectorXd& x, const Eigen::VectorXd& y, double squeeze,
                              Eigen::VectorXd& gradient, plate::BlockTridiagonal& tangent) const {
    const int n = m_basis.nodes();
    const Eigen::MatrixXd& round = m_basis.slopes_at_nodes();
    for (int k = 0; k < m_round.stations(); ++k) {
        const std::vector<Link>& links = m_links[at(k)];
        Eigen::MatrixXd& diagonal = tangent.diagonal(k);
        Eigen::MatrixXd* outer = k + 1 < m_round.stations() ? &tangent.upper(k) : nullptr;
        Eigen::MatrixXd* inner = k > 0 ? &tangent.upper(k - 1) : nullptr;
        const double r = m_round.radius(k);
        for (auto link = links.rbegin(); link != links.rend(); ++link) {
            turn_to(k, *link, x, y);
            const int of = link->of * n;
            const int from = link->from * n;
            const int slope = count_at(k) * n + from;
            const auto add_rows = [&](Eigen::MatrixXd& block) {
                auto gained = m_rows.leftCols(block.cols());
                gained = m_carry.transpose().lazyProduct(block.middleRows(of, n));
                block.middleRows(slope, n) += m_slope.asDiagonal() * block.middleRows(of, n);
                if (from != of) block.middleRows(from, n) += block.middleRows(of, n);
                block.middleRows(from, n) += gained;
            };
            const auto add_columns = [&](Eigen::MatrixXd& block) {
                auto gained = m_columns.topRows(block.rows());
                gained = block.middleCols(of, n).lazyProduct(m_carry);
                block.middleCols(slope, n) += block.middleCols(of, n) * m_slope.asDiagonal();
                if (from != of) block.middleCols(from, n) += block.middleCols(of, n);
                block.middleCols(from, n) += gained;
            };
            add_rows(diagonal);
            add_columns(diagonal);
            if (outer != nullptr) add_rows(*outer);
            if (inner != nullptr) add_columns(*inner);

            // What turns the leaf out of the way of what pushes on it.
            m_push_apart = (link->side * link->apart) * gradient.segment(m_offsets[at(k)] + of, n);
            if (squeeze < 1.0) m_push_apart = m_push_apart.cwiseMax(0.0);
            diagonal.block(slope, slope, n, n).diagonal() += m_push_apart;
            m_turned = (m_push_apart / (r * r)).asDiagonal() * round;
            diagonal.block(from, from, n, n) += round.transpose().lazyProduct(m_turned);
            pass_on(k, *link, gradient);
        }
        put_openings(k, gradient.segment(m_offsets[at(k)], m_offsets[at(k + 1)] - m_offsets[at(k)]));
        put_openings(k, diagonal);
        put_openings(k, diagonal.transpose());
        if (outer != nullptr) put_openings(k, *outer);
        if (inner != nullptr) put_openings(k, inner->transpose());
    }
}

const Eigen::VectorXd& RingProblem::load(const Eigen::VectorXd& x) const {
    if (m_load_under_stop.isZero(0.0)) return m_load;
    to_deflections(x, m_deflections);
    m_load_at = m_load_under_stop;
    to_opening_forces(x, m_deflections, m_load_at);
    m_load_at += m_load;
    return m_load_at;
}

double RingProblem::swept(const Eigen::VectorXd& x) const {
    to_deflections(x, m_deflections);
    return m_load.dot(x) + m_load_under_stop.dot(m_deflections);
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
    double energy = add_spring(y, nullptr, nullptr) - pressure * (m_load.dot(x) + m_load_under_stop.dot(y)) -
                    m_push.dot(y);
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
    gradient -= pressure * m_load_under_stop;
    gradient -= m_push;
    to_opening_forces(x, y, gradient);
    gradient -= pressure * m_load;
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
    gradient -= pressure * m_load_under_stop;
    gradient -= m_push;
    to_openings(x, y, squeeze, gradient, tangent);
    gradient -= pressure * m_load;
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
    if (!counts_from_top(station)) return x.segment(opening(station, 0, 0), m_basis.nodes());
    to_deflections(x, m_deflections);
    return m_deflections.segment(opening(station, 0, 0), m_basis.nodes());
}

Eigen::VectorXd RingProblem::face_rate(const Eigen::VectorXd& x, const Eigen::VectorXd& rate,
                                       int station) const {
    if (!counts_from_top(station)) return rate.segment(opening(station, 0, 0), m_basis.nodes());
    Eigen::VectorXd y_rate;
    to_rates(x, rate, y_rate);
    return y_rate.segment(opening(station, 0, 0), m_basis.nodes());
}

RingProblem::LeafAt RingProblem::leaf_in(const Eigen::VectorXd& y, int leaf, int station) const {
    const int place = place_of(station, leaf);
    return {y.segment(opening(station, place, 0), m_basis.nodes()),
            y.segment(slope_at(station, place), m_basis.nodes())};
}

RingProblem::LeafAt RingProblem::leaf_at(const Eigen::VectorXd& x, int leaf, int station) const {
    to_deflections(x, m_deflections);
    return leaf_in(m_deflections, leaf, station);
}

RingProblem::LeafAt RingProblem::leaf_rate(const Eigen::VectorXd& x, const Eigen::VectorXd& rate, int leaf,
                                           int station) const {
    Eigen::VectorXd y_rate;
    to_rates(x, rate, y_rate);
    return leaf_in(y_rate, leaf, station);
}

} // namespace valve::stack
