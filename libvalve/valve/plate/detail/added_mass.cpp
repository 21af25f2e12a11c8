#include <valve/plate/detail/added_mass.hpp>
#include <valve/plate/detail/fourier_element.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace valve::plate {
namespace {

/// Jacobi's P_0 … P_(count−1) with parameters `a` and `b` at x by their three-term recurrence.
/// Source: abramowitz_stegun_1964, table 22.7.
Eigen::VectorXd jacobi(double a, double b, double x, Eigen::Index count) {
    Eigen::VectorXd p(count);
    p[0] = 1.0;
    if (count > 1) p[1] = 0.5 * (a - b + (a + b + 2.0) * x);
    for (Eigen::Index i = 2; i < count; ++i) {
        const auto k = static_cast<double>(i);
        const double c = 2.0 * k + a + b;
        const double next = (c - 1.0) * (c * (c - 2.0) * x + a * a - b * b);
        const double last = 2.0 * (k + a - 1.0) * (k + b - 1.0) * c;
        p[i] = (next * p[i - 1] - last * p[i - 2]) / (2.0 * k * (k + a + b) * (c - 2.0));
    }
    return p;
}

} // namespace

// With β = ±1/2, ∫ s^(n+1) (1−s²)^β P_j(1−2s²) J_n(ks) ds = 2^β Γ(j+β+1)/j! k^(−β−1) J_(n+2j+β+1)(k), and
// ∫ J_μ J_ν dk/k is 1/(2μ) for μ = ν and nothing for orders that differ by an even number.
//
// Open: with the jump of the potential μ(r), M(k) its transform, the velocity of the disc is −½ ∫ k² M J_n
// dk. Galerkin's method on the ψ_j gives H_jj = ½ ∫ k² M_j² dk = a c_j²/(4n + 8j + 6), c_j = √2 Γ(j+3/2)/j!.
// Baffled: T = ρ ∫ W² dk over both sides. w = (1−s²)^(−1/2) Σ a_j ψ_j has a_j = ∫ψ_j w s ds/h_j, h_j the norm
// of P_j, and c_j = Γ(j+1/2)/(√2 j!).
AddedMass::AddedMass(double radius, int nodal_diameters, Surround surround, int terms)
    : m_radius(radius), m_n(nodal_diameters), m_surround(surround), m_weights(terms > 0 ? terms : 0) {
    if (!(radius > 0.0) || nodal_diameters < 0 || terms < 1)
        throw std::invalid_argument("AddedMass: a disc needs a radius, nodal diameters and terms");
    const double n = nodal_diameters;
    double c2 = 0.5 * std::numbers::pi; // c_0², the same in both cases
    double norm = 1.0;                  // h_j (2j + n + ½) 2; for j = 0: n! Γ(½)/Γ(n+½)
    for (int i = 1; i <= nodal_diameters; ++i)
        norm *= i / (i - 0.5);
    for (int i = 0; i < terms; ++i) {
        const double j = i;
        if (surround == Surround::open) {
            m_weights[i] = (4.0 * n + 8.0 * j + 6.0) / (c2 * radius);
            c2 *= std::pow((j + 1.5) / (j + 1.0), 2);
        } else {
            const double order = 2.0 * j + n + 0.5;
            const double h = 0.5 * norm / order;
            m_weights[i] = c2 / (order * h * h * radius);
            c2 *= std::pow((j + 0.5) / (j + 1.0), 2);
            norm *= (j + n + 1.0) * (j + 0.5) / ((j + 1.0) * (j + n + 0.5));
        }
    }
    m_weights *= angular_integral(nodal_diameters);
}

Eigen::VectorXd AddedMass::shapes(double r) const {
    const double s = r / m_radius;
    const bool open = m_surround == Surround::open;
    const double factor = std::pow(s, m_n) * (open ? std::sqrt(std::max(0.0, 1.0 - s * s)) : 1.0);
    return factor * jacobi(m_n, open ? 0.5 : -0.5, 1.0 - 2.0 * s * s, m_weights.size());
}

} // namespace valve::plate
