#include <support/catch.hpp>
#include <valve/plate/detail/fourier_element.hpp>
#include <valve/plate/detail/shape.hpp>

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>

#include <array>
#include <cmath>
#include <numbers>
#include <random>
#include <stdexcept>

using namespace valve::plate;

namespace {

const Material steel{};
constexpr double thickness = 0.2e-3;
constexpr double inner = 8e-3;
constexpr double size = 0.8e-3;

/// A bent state with membrane forces of the size of its bending.
ElementVector bent_sample(unsigned seed) {
    std::mt19937 random(seed);
    std::uniform_real_distribution<double> unit(-1.0, 1.0);
    ElementVector q;
    q << 1e-4 * unit(random), 0.1 * unit(random), 1e-6 * unit(random), 1e-4 * unit(random),
        0.1 * unit(random), 1e-6 * unit(random);
    return q;
}

BentFourierElement::Matrix tangent_of(int n, const ElementVector& bent) {
    const BentFourierElement element(inner, inner + size, n, steel.poisson_ratio);
    return element.tangent(bending_stiffness(steel, thickness), membrane_stiffness(steel, thickness),
                           element.bent(bent));
}

/// An annulus that moves as it likes: the whole von Kármán energy, integrated over radius and angle. Motion:
/// (w1, w1', w2, w2'), u and v at the ends, their bubbles; `bubbles` are those of the bent state.
class Annulus {
public:
    using Motion = Eigen::Matrix<double, 16, 1>;
    using Hessian = Eigen::Matrix<double, 16, 16>;

    Annulus(const ElementVector& bent, int diameters) : m_n(diameters) {
        m_deflection << bent[0], bent[1], bent[3], bent[4];
        m_in_plane << bent[2], bent[5], 0.0, 0.0, 0.0, 0.0;
        settle();
    }

    double energy(const Motion& q) const { return energy(q, m_in_plane); }

    /// Second derivatives by five points, exact for a quartic but for rounding.
    double curvature(const Motion& q) const {
        const auto at = [&](double step) { return energy(step * q); };
        return (-at(2.0) + 16.0 * at(1.0) - 30.0 * at(0.0) + 16.0 * at(-1.0) - at(-2.0)) / 12.0;
    }

    Hessian hessian(const Motion& steps) const {
        Hessian matrix;
        for (Eigen::Index i = 0; i < 16; ++i)
            for (Eigen::Index j = 0; j <= i; ++j) {
                Motion sum = Motion::Zero();
                Motion difference = Motion::Zero();
                sum[i] += steps[i];
                sum[j] += steps[j];
                difference[i] += steps[i];
                difference[j] -= steps[j];
                matrix(i, j) = matrix(j, i) =
                    (curvature(sum) - curvature(difference)) / (4.0 * steps[i] * steps[j]);
            }
        return matrix;
    }

private:
    double energy(const Motion& q, const Eigen::Matrix<double, 6, 1>& in_plane) const {
        constexpr int angles = 16; // more than 4 n of the highest harmonic
        const double nu = steel.poisson_ratio;
        const double C = membrane_stiffness(steel, thickness);
        const double D = bending_stiffness(steel, thickness);
        Eigen::Matrix<double, 6, 1> u;
        Eigen::Matrix<double, 6, 1> v;
        u << q.segment<2>(4), q.segment<4>(8);
        v << q.segment<2>(6), q.segment<4>(12);
        double sum = 0.0;
        for (std::size_t g = 0; g < gauss8_at.size(); ++g) {
            const double s = gauss8_at[g];
            const double r = inner + size * s;
            const InPlaneShape shape = in_plane_shape(s);
            const Eigen::Vector4d w = q.head<4>();
            for (int k = 0; k < angles; ++k) {
                const double angle = 2.0 * std::numbers::pi * k / angles;
                const double c = std::cos(m_n * angle);
                const double sn = std::sin(m_n * angle);
                const double w_r = hermite_slope(s, size).dot(m_deflection + c * w);
                const double w_rr = hermite_second(s, size).dot(m_deflection + c * w);
                const double w_t = -m_n * sn * hermite(s, size).dot(w);
                const double w_tt = -m_n * m_n * c * hermite(s, size).dot(w);
                const double w_rt = -m_n * sn * hermite_slope(s, size).dot(w);
                const double u_r = shape.slope.dot(in_plane + c * u) / size;
                const double u_0 = shape.value.dot(in_plane + c * u);
                const double u_t = -m_n * sn * shape.value.dot(u);
                const double v_r = sn * shape.slope.dot(v) / size;
                const double v_0 = sn * shape.value.dot(v);
                const double v_t = m_n * c * shape.value.dot(v);
                const double e_r = u_r + 0.5 * w_r * w_r;
                const double e_t = (u_0 + v_t) / r + 0.5 * w_t * w_t / (r * r);
                const double shear = v_r - v_0 / r + u_t / r + w_r * w_t / r;
                const double k_r = -w_rr;
                const double k_t = -w_r / r - w_tt / (r * r);
                const double k_rt = w_t / (r * r) - w_rt / r;
                const double membrane =
                    e_r * e_r + e_t * e_t + 2.0 * nu * e_r * e_t + 0.5 * (1.0 - nu) * shear * shear;
                const double bending =
                    k_r * k_r + k_t * k_t + 2.0 * nu * k_r * k_t + 2.0 * (1.0 - nu) * k_rt * k_rt;
                sum += gauss8_weight[g] * size * r * (2.0 * std::numbers::pi / angles) * 0.5 *
                       (C * membrane + D * bending);
            }
        }
        return sum;
    }

    /// The bent state's bubbles at the minimum of its energy, which is a quadratic of them.
    void settle() {
        constexpr double step = 1e-6;
        const auto at = [&](const Eigen::Vector4d& bubbles) {
            Eigen::Matrix<double, 6, 1> in_plane = m_in_plane;
            in_plane.tail<4>() = bubbles;
            return energy(Motion::Zero(), in_plane);
        };
        Eigen::Vector4d gradient;
        Eigen::Matrix4d second;
        for (Eigen::Index i = 0; i < 4; ++i) {
            const Eigen::Vector4d di = step * Eigen::Vector4d::Unit(i);
            gradient[i] = (at(di) - at(-di)) / (2.0 * step);
            for (Eigen::Index j = 0; j < 4; ++j) {
                const Eigen::Vector4d dj = step * Eigen::Vector4d::Unit(j);
                second(i, j) = (at(di + dj) - at(di - dj) - at(dj - di) + at(-di - dj)) / (4.0 * step * step);
            }
        }
        m_in_plane.tail<4>() = -second.llt().solve(gradient);
    }

    int m_n;
    Eigen::Vector4d m_deflection;
    Eigen::Matrix<double, 6, 1> m_in_plane;
};

} // namespace

TEST_CASE("without nodal diameters an element's matrices are those of the axisymmetric one", "[plate]") {
    const Element round(inner, inner + size, 0.3);
    const FourierElement element(inner, inner + size, 0, 0.3);
    const ElementVector q = bent_sample(1);
    ElementVector force = ElementVector::Zero();
    ElementMatrix bending = ElementMatrix::Zero();
    round.add_bending(1.0, q, force, bending);
    constexpr std::array<Eigen::Index, 4> deflections{0, 1, 3, 4};
    // The same integrals by the same rule: rounding only, on the scale of the diagonal.
    const Eigen::Matrix4d own = element.bending();
    for (std::size_t i = 0; i < 4; ++i)
        for (std::size_t j = 0; j < 4; ++j) {
            const double expected = bending(deflections[i], deflections[j]);
            const auto row = static_cast<Eigen::Index>(i);
            const auto column = static_cast<Eigen::Index>(j);
            CHECK_THAT(own(row, column),
                       WithinAbs(expected, 1e-13 * std::sqrt(own(row, row) * own(column, column))));
        }

    ElementMatrix tangent = ElementMatrix::Zero();
    round.add_bending(bending_stiffness(steel, thickness), q, force, tangent);
    round.add_membrane(membrane_stiffness(steel, thickness), q, 1.0, force, tangent);
    const BentFourierElement::Matrix whole = tangent_of(0, q);
    constexpr std::array<Eigen::Index, 6> shared{0, 1, 2, 4, 5, 6}; // all but v
    for (std::size_t i = 0; i < 6; ++i)
        for (std::size_t j = 0; j < 6; ++j) {
            const auto row = static_cast<Eigen::Index>(i);
            const auto column = static_cast<Eigen::Index>(j);
            const double scale = std::sqrt(tangent(row, row) * tangent(column, column));
            CHECK_THAT(whole(shared[i], shared[j]), WithinAbs(tangent(row, column), 1e-10 * scale));
        }
}

TEST_CASE("an element's tangent is the second derivative of the energy round the whole ring", "[plate]") {
    // Steps of the size of the bent state, so that no term drowns in the rounding of another.
    Annulus::Motion steps;
    steps << 1e-5, 0.02, 1e-5, 0.02, Eigen::Matrix<double, 12, 1>::Constant(1e-6);
    constexpr std::array<Eigen::Index, 8> order{0, 1, 4, 6, 2, 3, 5, 7};
    for (int n = 0; n <= 3; ++n) {
        CAPTURE(n);
        const ElementVector q = bent_sample(7);
        const BentFourierElement::Matrix own = tangent_of(n, q);
        Annulus::Hessian full = Annulus(q, n).hessian(steps);
        if (n == 0) { // v is sin 0: it has no energy, and the element's v stands apart
            for (const Eigen::Index i : {6, 7, 12, 13, 14, 15})
                full(i, i) = 1.0;
        }
        const Eigen::Matrix<double, 8, 8> coupling = full.bottomLeftCorner<8, 8>();
        const Eigen::Matrix<double, 8, 8> bubbles = full.bottomRightCorner<8, 8>();
        const Eigen::Matrix<double, 8, 8> kept =
            full.topLeftCorner<8, 8>() - coupling.transpose() * bubbles.llt().solve(coupling);
        for (Eigen::Index i = 0; i < 8; ++i)
            for (Eigen::Index j = 0; j < 8; ++j) {
                const bool turns = i % 4 == 3 || j % 4 == 3;
                if (n == 0 && turns) continue;
                CAPTURE(i, j);
                // Five-point differences keep some nine digits of the energy.
                CHECK_THAT(own(i, j), WithinAbs(kept(order[static_cast<std::size_t>(i)],
                                                     order[static_cast<std::size_t>(j)]),
                                                1e-6 * std::sqrt(own(i, i) * own(j, j))));
            }
    }
}

TEST_CASE("what bends an element apart from its tilt is all that bends it", "[plate]") {
    const double h = 0.8e-3;
    Eigen::Matrix4d apart = Eigen::Matrix4d::Identity(); // (w1, w1', w2 − w1 − h w1', w2' − w1')
    apart.row(2) << -1.0, -h, 1.0, 0.0;
    apart.row(3) << 0.0, -1.0, 0.0, 1.0;
    for (const int n : {0, 1, 5}) {
        const FourierElement element(8e-3, 8e-3 + h, n, 0.3);
        const Eigen::Matrix4d same = apart.transpose() * element.bending_apart() * apart;
        CHECK((same - element.bending()).cwiseAbs().maxCoeff() < 1e-12 * element.bending().maxCoeff());
    }
    CHECK(FourierElement(8e-3, 8e-3 + h, 0, 0.3).bending_apart().row(0).isZero(0.0)); // level, nothing bends
}

TEST_CASE("an element's mass is that of its metal", "[plate]") {
    Eigen::Vector4d lift;
    lift << 1.0, 0.0, 1.0, 0.0;
    const double area = std::numbers::pi * size * (2.0 * inner + size);
    // cos² has half the mean of 1; rounding of an exact rule.
    CHECK_THAT(lift.dot(FourierElement(inner, inner + size, 0, 0.3).mass() * lift), WithinRel(area, 1e-13));
    CHECK_THAT(lift.dot(FourierElement(inner, inner + size, 2, 0.3).mass() * lift),
               WithinRel(0.5 * area, 1e-13));
}

TEST_CASE("an element with nodal diameters refuses what makes no ring", "[plate]") {
    CHECK_THROWS_AS(FourierElement(0.0, 1e-3, 1, 0.3), std::invalid_argument);
    CHECK_THROWS_AS(FourierElement(2e-3, 1e-3, 1, 0.3), std::invalid_argument);
    CHECK_THROWS_AS(FourierElement(1e-3, 2e-3, -1, 0.3), std::invalid_argument);
}

TEST_CASE("what bends and is pressed alone is no stiffer than the whole element", "[plate]") {
    // The whole less the bound, with u and v free, is what motions stretch: positive semi-definite.
    const double D = bending_stiffness(steel, thickness);
    const double C = membrane_stiffness(steel, thickness);
    for (int n = 0; n <= 5; ++n)
        for (unsigned seed = 1; seed <= 5; ++seed) {
            CAPTURE(n, seed);
            const BentFourierElement element(inner, inner + size, n, steel.poisson_ratio);
            const BentElement::State bent = element.bent(bent_sample(seed));
            BentFourierElement::Matrix rest = element.tangent(D, C, bent);
            const Eigen::Matrix4d bound = element.tangent_at_least(D, C, bent);
            constexpr std::array<Eigen::Index, 4> deflections{0, 1, 4, 5};
            for (std::size_t i = 0; i < 4; ++i)
                for (std::size_t j = 0; j < 4; ++j)
                    rest(deflections[i], deflections[j]) -=
                        bound(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j));
            // In units of its diagonal, the least eigenvalue is rounding.
            const Eigen::Matrix<double, 8, 1> scale = rest.diagonal().cwiseAbs().cwiseSqrt();
            const BentFourierElement::Matrix scaled =
                scale.cwiseInverse().asDiagonal() * rest * scale.cwiseInverse().asDiagonal();
            const Eigen::SelfAdjointEigenSolver<BentFourierElement::Matrix> solver(scaled);
            CHECK(solver.eigenvalues()[0] > -1e-6);
        }
}
