#include <stack/parts.hpp>
#include <valve/stack/detail/path.hpp>
#include <valve/stack/detail/windows.hpp>

#include <Eigen/LU>
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <optional>
#include <stdexcept>
#include <utility>

namespace valve::validation {
namespace {

constexpr double clamp = 6e-3;     // b [m]
constexpr double zone = 8e-3;      // where the pressure begins [m]
constexpr double seat = 14e-3;     // where it ends, and a knife edge may hold the plate [m]
constexpr double rim = 15e-3;      // a [m]
constexpr double thickness = 2e-4; // [m]

using Real = long double;

/// Deflection, slope, bending moment and support's shear force of w = f(r) cos nθ; of a plate of D = 1.
struct Section {
    Real f, slope, moment, shear;
};

/// Of f, its derivatives up to the third and r.
Section section(Real f, Real f1, Real f2, Real f3, Real r, int n, Real nu) {
    const Real nn = static_cast<Real>(n) * n;
    const Real laplacian_slope = f3 + f2 / r - (1 + nn) * f1 / (r * r) + 2 * nn * f / (r * r * r);
    return {f, f1, -(f2 + nu * (f1 / r - nn * f / (r * r))),
            -(laplacian_slope - (1 - nu) * nn / (r * r) * (f1 - f / r))};
}

/// f = r^m.
Section power(int m, Real r, int n, Real nu) {
    const Real f = std::pow(r, static_cast<Real>(m));
    return section(f, m * f / r, m * (m - 1) * f / (r * r), m * (m - 1) * (m - 2) * f / (r * r * r), r, n,
                   nu);
}

/// f = r^4 ln r.
Section logarithm(Real r, int n, Real nu) {
    const Real ln = std::log(r);
    return section(r * r * r * r * ln, r * r * r * (4 * ln + 1), r * r * (12 * ln + 7), r * (24 * ln + 26), r,
                   n, nu);
}

/// A particular integral of ∇⁴(f cos nθ) = cos nθ: r⁴ over (16 − n²)(4 − n²), which vanishes for n of 2
/// and 4.
Section particular(Real r, int n, Real nu) {
    const auto scaled = [](Section s, Real by) {
        return Section{s.f / by, s.slope / by, s.moment / by, s.shear / by};
    };
    if (n == 2) return scaled(logarithm(r, n, nu), 48);
    if (n == 4) return scaled(logarithm(r, n, nu), -96);
    return scaled(power(4, r, n, nu), static_cast<Real>((16 - n * n) * (4 - n * n)));
}

/// An annular plate, clamped inside and free outside, under cos nθ from the zone to the seat, exactly: in
/// each of three rings A rⁿ + B r⁻ⁿ + C rⁿ⁺² + D r²⁻ⁿ, and a particular integral in the middle one. Lengths
/// per rim.
class ExactPlate {
public:
    ExactPlate(int n, bool seated) : m_n(n), m_seated(seated) {
        if (n < 2) throw std::invalid_argument("ExactPlate: one wave has a logarithm");
        Eigen::Matrix<Real, 12, 12> A = Eigen::Matrix<Real, 12, 12>::Zero();
        Eigen::Matrix<Real, 12, 1> b = Eigen::Matrix<Real, 12, 1>::Zero();
        int row = 0;
        const auto add = [&](int ring, Real r, Real Section::*value, Real sign) {
            for (int k = 0; k < 4; ++k)
                A(row, 4 * ring + k) += sign * (basis(k, r).*value);
            if (ring == 1) b[row] -= sign * (particular(r, m_n, m_nu).*value);
        };
        const auto joined = [&](int ring, Real r, Real Section::*value) {
            add(ring, r, value, 1);
            add(ring + 1, r, value, -1);
            ++row;
        };
        const auto zero = [&](int ring, Real r, Real Section::*value) {
            add(ring, r, value, 1);
            ++row;
        };
        zero(0, at_clamp, &Section::f);
        zero(0, at_clamp, &Section::slope);
        for (const auto value : {&Section::f, &Section::slope, &Section::moment, &Section::shear})
            joined(0, at_zone, value);
        for (const auto value : {&Section::f, &Section::slope, &Section::moment})
            joined(1, at_seat, value);
        if (m_seated)
            zero(1, at_seat, &Section::f);
        else
            joined(1, at_seat, &Section::shear);
        zero(2, 1, &Section::moment);
        zero(2, 1, &Section::shear);
        m_factors = A.fullPivLu().solve(b);
    }

    /// Deflection at the seat, times D/(p a⁴).
    double lift() const { return static_cast<double>(sum(2, &Section::f)); }

    /// What the seat bears on the plate, per length of it and times 1/(p a): the step of the shear force.
    double seat_load() const {
        const Real inside = sum(1, &Section::shear) + particular(at_seat, m_n, m_nu).shear;
        return static_cast<double>(inside - sum(2, &Section::shear));
    }

private:
    static constexpr Real at_clamp = static_cast<Real>(clamp / rim);
    static constexpr Real at_zone = static_cast<Real>(zone / rim);
    static constexpr Real at_seat = static_cast<Real>(seat / rim);

    Section basis(int k, Real r) const {
        const std::array<int, 4> powers{m_n, -m_n, m_n + 2, 2 - m_n};
        return power(powers[static_cast<std::size_t>(k)], r, m_n, m_nu);
    }

    Real sum(int ring, Real Section::*value) const {
        Real total = 0;
        for (int k = 0; k < 4; ++k)
            total += m_factors[4 * ring + k] * (basis(k, at_seat).*value);
        return total;
    }

    int m_n;
    bool m_seated;
    Real m_nu = static_cast<Real>(plate::Material{}.poisson_ratio);
    Eigen::Matrix<Real, 12, 1> m_factors;
};

stack::RingCompliance computed(int n, double seat_height) {
    stack::Stack stack;
    stack.shims = {{rim, thickness, {}}};
    stack.clamp_radius = stack.bore_radius = clamp;
    stack.zone = {zone, seat};
    stack.seat = {seat, seat, seat_height};
    stack::Path path(stack, stack::Theory::linear, plate::Grading{});
    const stack::State* state = path.at(0.01e5);
    if (state == nullptr) throw std::runtime_error(path.refusal());
    const std::optional<stack::RingCompliance> found = stack::ring_compliance(path.problem(), *state, n);
    if (!found) throw std::runtime_error("a flat plate that buckles");
    return *found;
}

} // namespace

void window_checks(Recorder& recorder) {
    const double D = plate::bending_stiffness(plate::Material{}, thickness);
    const Source source{"timoshenko_woinowsky_krieger_1959",
                        "chapter 9, the general solution in cos nθ (from memory), in three rings, solved in "
                        "extended precision"};
    for (const int n : {2, 3, 4, 5, 6, 8, 12}) {
        const Tolerance elements =
            relative(n < 6 ? 1e-6 : 3e-5, "40 cubic elements, whose error grows with the waves");
        recorder.add({fmt::format("clamped plate open under cos {}θ: seat lift per pressure", n), source,
                      Kind::computed_reference, ExactPlate(n, false).lift() * std::pow(rim, 4) / D,
                      computed(n, 0.0).lift, elements, "m/Pa"});
        recorder.add({fmt::format("clamped plate on a knife edge under cos {}θ: seat load per pressure", n),
                      source, Kind::computed_reference, ExactPlate(n, true).seat_load() * rim * seat,
                      computed(n, 0.05e-3).seat_load, elements, "N/(rad Pa)"});
    }
}

} // namespace valve::validation
