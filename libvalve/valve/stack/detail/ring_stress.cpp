#include <valve/core/detail/index.hpp>
#include <valve/plate/detail/element.hpp>
#include <valve/plate/detail/fourier_element.hpp>
#include <valve/stack/detail/ring_problem.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace valve::stack {

/// Displacements of a leaf at a station, and what acts across the circle there, as harmonics.
struct RingProblem::Node {
    double radius = 0.0;
    Eigen::VectorXd w, slope, moment;    ///< M_r; cosines
    Eigen::VectorXd u, v, radial, shear; ///< N_r; v and N_rθ of sines

    /// From the unknowns and forces of an element on one of its sides; `side` 1: on its outer one.
    Node(const plate::RingBasis& basis, double r, const Eigen::VectorXd& q, const Eigen::VectorXd& force,
         int side)
        : radius(r) {
        const int n = basis.nodes();
        const int K = basis.harmonics();
        const int first = side * (2 * n + basis.in_plane());
        w = basis.coefficients() * q.segment(first, n);
        slope = basis.coefficients() * q.segment(first + n, n);
        u = q.segment(first + 2 * n, K + 1);
        v = radial = shear = Eigen::VectorXd::Zero(K + 1);
        v.tail(K) = q.segment(first + 2 * n + K + 1, K);
        moment.setZero(n);
        const double outwards = side == 1 ? 1.0 : -1.0;
        for (int k = 0; k < n; ++k) {
            double work = 0.0; // of the forces on w', by cos kNθ
            for (int j = 0; j < n; ++j)
                work += std::cos(std::numbers::pi * k * j / basis.intervals()) * force[first + n + j];
            moment[k] = -outwards * work / (plate::angular_integral(k) * r);
        }
        for (int k = 0; k <= K; ++k) {
            radial[k] = outwards * force[first + 2 * n + k] / (plate::angular_integral(k) * r);
            if (k > 0) shear[k] = outwards * force[first + 2 * n + K + k] / (plate::angular_integral(k) * r);
        }
    }

    /// The larger von Mises stress of both faces at an angle.
    std::pair<double, Face> mises(const Shim& shim, int waves, double angle) const {
        const double r = radius;
        const double t = shim.thickness;
        const double nu = shim.material.poisson_ratio;
        const double E = shim.material.youngs_modulus;
        double M_r = 0.0, N_r = 0.0, N_rt = 0.0, bent = 0.0, twist = 0.0, stretch = 0.0, round = 0.0;
        for (Eigen::Index k = 0; k < u.size(); ++k) {
            const double n = static_cast<double>(k) * waves;
            const double c = std::cos(n * angle);
            const double s = std::sin(n * angle);
            N_r += radial[k] * c;
            N_rt += shear[k] * s;
            stretch += (u[k] + n * v[k]) * c / r;
            if (k >= w.size()) continue;
            M_r += moment[k] * c;
            bent += (n * n / r * w[k] - slope[k]) * c / r;
            twist += n * (slope[k] - w[k] / r) * s / r;
            round -= n * w[k] * s / r;
        }
        const double bending = E * t * t * t / 12.0; // D (1 − ν²)
        const double M_t = bending * bent + nu * M_r;
        const double M_rt = bending / (1.0 + nu) * twist;
        const double N_t = E * t * (stretch + 0.5 * round * round) + nu * N_r;
        std::pair<double, Face> largest{0.0, Face::far};
        for (const Face face : {Face::piston, Face::far}) {
            const double across = (face == Face::far ? 6.0 : -6.0) / (t * t);
            const double s_r = N_r / t + across * M_r;
            const double s_t = N_t / t + across * M_t;
            const double tau = N_rt / t + across * M_rt;
            const double stress = std::sqrt(s_r * s_r - s_r * s_t + s_t * s_t + 3.0 * tau * tau);
            if (stress > largest.first) largest = {stress, face};
        }
        return largest;
    }
};

std::vector<StressPeak> RingProblem::peak_stresses(const Eigen::VectorXd& x, double pressure) const {
    Eigen::VectorXd& y = m_deflections;
    to_deflections(x, y);
    const int n = m_basis.nodes();
    const int per_node = 2 * n + m_basis.in_plane();
    const int angles = 2 * m_basis.intervals();
    std::vector<StressPeak> peaks;
    for (int i = 0; i < m_round.leaves(); ++i) {
        const Leaf& leaf = m_leaves[at(i)];
        const Shim& shim = m_round.shim_of(i);
        StressPeak peak{0.0, m_round.first_shim(i), m_round.radius(0), Face::far};
        for (int e = 0; e < leaf.last_station; ++e) {
            gather(y, i, e);
            (*leaf.elements)[at(e)].differentiate(leaf.D, leaf.C, m_q, m_work, m_force);
            if (i == 0)
                for (int side = 0; side < 2; ++side)
                    m_force.segment(side * per_node + n, n) -=
                        pressure * m_round.unit_load(e)[2 * side + 1] * m_shares;
            m_force /= m_round.shims_in(i);
            for (int side = e == 0 ? 0 : 1; side < 2; ++side) {
                const Node node(m_basis, m_round.radius(e + side), m_q, m_force, side);
                for (int a = 0; a <= angles; ++a) {
                    const auto [stress, face] =
                        node.mises(shim, m_basis.waves(), std::numbers::pi * a / (angles * m_basis.waves()));
                    if (stress > peak.stress) peak = {stress, peak.shim, node.radius, face};
                }
            }
        }
        peaks.push_back(peak);
    }
    return peaks;
}

double RingProblem::steepest(const Eigen::VectorXd& x) const {
    Eigen::VectorXd& y = m_deflections;
    to_deflections(x, y);
    double steepest = 0.0;
    for (int k = 0; k < m_round.stations(); ++k)
        for (int p = 0; p < count_at(k); ++p) {
            const auto slopes = y.segment(slope_at(k, p), m_basis.nodes());
            const Eigen::VectorXd round =
                m_basis.slopes() * y.segment(opening(k, p, 0), m_basis.nodes()) / m_round.radius(k);
            steepest = std::max({steepest, slopes.cwiseAbs().maxCoeff(), round.cwiseAbs().maxCoeff()});
        }
    return steepest;
}

} // namespace valve::stack
