#include <plate/roark.hpp>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace valve::validation {
namespace {

/// Deflection, slope, radial moment and shear at a radius.
using EdgeState = std::array<long double, 4>;

/// The two of an edge's state that its support holds at zero, and the two it leaves.
struct Split {
    std::array<std::size_t, 2> held;
    std::array<std::size_t, 2> left;
};

Split split(EdgeSupport support) {
    switch (support) {
    case EdgeSupport::free:
        return {{2, 3}, {0, 1}};
    case EdgeSupport::simple:
        return {{0, 2}, {1, 3}};
    case EdgeSupport::guided:
        return {{1, 3}, {0, 2}};
    case EdgeSupport::fixed:
        return {{0, 1}, {2, 3}};
    }
    throw std::invalid_argument("no such support");
}

/// The rim's state from that of the inner edge at b, without load: C1 to C9.
std::array<EdgeState, 4> transfer(long double b, long double nu) {
    const long double ln = std::log(1.0L / b);
    const long double C1 = (1 + nu) / 2 * b * ln + (1 - nu) / 4 * (1 / b - b);
    const long double C2 = (1 - b * b * (1 + 2 * ln)) / 4;
    const long double C3 = b / 4 * ((b * b + 1) * ln + b * b - 1);
    const long double C4 = ((1 + nu) * b + (1 - nu) / b) / 2;
    const long double C5 = (1 - b * b) / 2;
    const long double C6 = b / 4 * (b * b - 1 + 2 * ln);
    const long double C7 = (1 - nu * nu) / 2 * (1 / b - b);
    const long double C8 = (1 + nu + (1 - nu) * b * b) / 2;
    const long double C9 = b * ((1 + nu) / 2 * ln + (1 - nu) / 4 * (1 - b * b));
    return {{{1, C1, C2, C3}, {0, C4, C5, C6}, {0, C7, C8, C9}, {0, 0, 0, b}}};
}

/// What a load from r takes off the rim's state: L3, L6, L9 of a ring; L11, L14, L17 of a pressure; L12, L15,
/// L18 of a rising one (from memory, and the ring's integrated over the load); and the load per metre of rim.
EdgeState load_part(RoarkLoad load, long double r, long double nu) {
    const long double ln = std::log(1.0L / r);
    const long double r2 = r * r;
    const long double r3 = r2 * r;
    const long double r5 = r3 * r2;
    switch (load) {
    case RoarkLoad::ring:
        return {r / 4 * ((r2 + 1) * ln + r2 - 1), r / 4 * (r2 - 1 + 2 * ln),
                r * ((1 + nu) / 2 * ln + (1 - nu) / 4 * (1 - r2)), r};
    case RoarkLoad::pressure:
        return {(1 + 4 * r2 - 5 * r2 * r2 - 4 * r2 * (2 + r2) * ln) / 64, (1 - r2 * r2 - 4 * r2 * ln) / 16,
                (1 - (1 - nu) / 4 * (1 - r2 * r2) - r2 * (1 + (1 + nu) * ln)) / 4, (1 - r2) / 2};
    case RoarkLoad::rising:
        return {(64 - 225 * r - 100 * r3 + 261 * r5 + 60 * r3 * (3 * r2 + 10) * ln) / (14400 * (1 - r)),
                (16 - 45 * r + 9 * r5 + 20 * r3 * (1 + 3 * ln)) / (720 * (1 - r)),
                ((1 + nu) / 2 * (1.0L / 9 - r / 4 + 5 * r3 / 36 + r3 * ln / 6) +
                 (1 - nu) / 4 * (2.0L / 15 - r / 4 + r3 / 6 - r5 / 20)) /
                    (1 - r),
                (2 - 3 * r + r3) / (6 * (1 - r))};
    }
    throw std::invalid_argument("no such load");
}

EdgeCoefficients coefficients(const EdgeState& s, long double radius, long double nu) {
    const long double hoop = s[1] * (1 - nu * nu) / radius + nu * s[2];
    return {static_cast<double>(s[0]), static_cast<double>(s[1]), static_cast<double>(s[2]),
            static_cast<double>(hoop), static_cast<double>(s[3])};
}

/// The state of the inner edge.
EdgeState inner_state(RoarkLoad load, const RoarkSupports& supports, long double inner,
                      long double load_radius, long double nu) {
    const std::array<EdgeState, 4> T = transfer(inner, nu);
    const EdgeState L = load_part(load, load_radius, nu);
    const auto [i, j] = split(supports.inner).left;
    const auto [k, l] = split(supports.outer).held;
    const long double determinant = T[k][i] * T[l][j] - T[k][j] * T[l][i];
    EdgeState b{};
    b[i] = (L[k] * T[l][j] - T[k][j] * L[l]) / determinant;
    b[j] = (T[k][i] * L[l] - L[k] * T[l][i]) / determinant;
    return b;
}

} // namespace

const RoarkSupports& supports(char letter) {
    const auto found = std::find_if(roark_supports.begin(), roark_supports.end(),
                                    [letter](const RoarkSupports& s) { return s.letter == letter; });
    if (found == roark_supports.end()) throw std::invalid_argument("no such case of Table 11.2");
    return *found;
}

PlateCoefficients roark(RoarkLoad load, const RoarkSupports& supports, long double inner,
                        long double load_radius, long double poisson_ratio) {
    const std::array<EdgeState, 4> T = transfer(inner, poisson_ratio);
    const EdgeState L = load_part(load, load_radius, poisson_ratio);
    const EdgeState b = inner_state(load, supports, inner, load_radius, poisson_ratio);
    EdgeState a{};
    for (const std::size_t m : split(supports.outer).left)
        a[m] = T[m][0] * b[0] + T[m][1] * b[1] + T[m][2] * b[2] + T[m][3] * b[3] - L[m];
    return {coefficients(b, inner, poisson_ratio), coefficients(a, 1.0L, poisson_ratio)};
}

EdgeCoefficients roark_at(long double radius, RoarkLoad load, const RoarkSupports& supports,
                          long double inner, long double load_radius, long double poisson_ratio) {
    // The part of the plate within the radius is a plate of the table with another rim.
    const std::array<EdgeState, 4> T = transfer(inner / radius, poisson_ratio);
    const EdgeState b = inner_state(load, supports, inner, load_radius, poisson_ratio);
    EdgeState L{};
    if (radius > load_radius) {
        L = load_part(load, load_radius / radius, poisson_ratio);
        long double size = 1.0L; // of the load at this rim, times its power of the radius in the shear force
        if (load == RoarkLoad::pressure) size = radius;
        if (load == RoarkLoad::rising) size = radius * (radius - load_radius) / (1.0L - load_radius);
        for (long double& value : L)
            value *= size;
    }
    // Deflection, slope, moment and shear force go with the third to the zeroth power of the radius.
    const std::array<long double, 4> power{radius * radius * radius, radius * radius, radius, 1.0L};
    EdgeState state{};
    for (std::size_t m = 0; m < 4; ++m) {
        for (std::size_t n = 0; n < 4; ++n)
            state[m] += T[m][n] * b[n] / power[n];
        state[m] = power[m] * (state[m] - L[m]);
    }
    return coefficients(state, radius, poisson_ratio);
}

} // namespace valve::validation
